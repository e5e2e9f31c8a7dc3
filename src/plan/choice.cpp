#include "choice.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <tuple>
#include <utility>

namespace seamwright::plan {
namespace {

using job::Problem;
using seam::Chain;

/// Letters to change, add or leave out to make one text of the other (Levenshtein).
std::size_t changes_between(const std::string& a, const std::string& b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 0; i < a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i + 1;
        for (std::size_t j = 0; j < b.size(); ++j) {
            const std::size_t replaced = diagonal + (a[i] == b[j] ? 0 : 1);
            diagonal = row[j + 1];
            row[j + 1] = std::min({replaced, row[j + 1] + 1, row[j] + 1});
        }
    }
    return row.back();
}

std::string nearest_ids(const std::vector<Chain>& chains, const std::string& id) {
    constexpr std::size_t most = 3;
    std::vector<std::pair<std::size_t, std::size_t>> order;
    for (std::size_t i = 0; i < chains.size(); ++i) order.emplace_back(changes_between(chains[i].id, id), i);
    std::sort(order.begin(), order.end());
    std::string text;
    for (std::size_t k = 0; k < order.size() && k < most; ++k)
        text += fmt::format("{}\"{}\"", k == 0 ? "" : ", ", chains[order[k].second].id);
    return text;
}

bool hand_fits(const Chain& chain, const std::optional<job::Seam::Hand>& master) {
    return !master || chain.prints_mating || chain.master_on_left == (*master == job::Seam::Hand::left);
}

/// Smaller is better.
auto badness(const seam::Simulation& s, const job::Limits& limits) {
    return std::tuple(!s.carried_out, work_stops(s), !edges_close(s, limits), s.largest_gap_mm);
}

}  // namespace

void report_no_chain(const job::Job& job, const seam::Chains& solved, std::vector<Problem>& problems) {
    // The shelf is the same for every seam: said once.
    if (std::any_of(problems.begin(), problems.end(), [](const Problem& p) { return p.pointer == "/shelf"; })) return;
    std::string found = "no guide or bearing on the shelf that can be used with a cutter";
    constexpr std::size_t most = 3;
    for (std::size_t i = 0; i < solved.refused.size() && i < most; ++i) {
        const auto& r = solved.refused[i];
        found += fmt::format("{} \"{}\" with \"{}\": {}", i == 0 ? ":" : ";", r.rider, r.cutter, r.reason);
    }
    std::string remedy = "add a guide that the cutter passes through, or a smaller cutter";
    if (!solved.advice.empty()) {
        remedy += fmt::format("; {} of {} would make a way that matches",
                              solved.advice.front().what == seam::Advice::What::cutter ? "a cutter" : "a guide",
                              units::show(solved.advice.front().diameter_mm, job.style));
    }
    problems.push_back({Problem::Weight::error, "/shelf", found,
                        "at least one guide with a cutter that turns inside it, or a bearing that fits its cutter",
                        remedy, std::nullopt});
}

seam::Depths depths_of(const job::Job& job) {
    return {job.thickness_mm, job.sheet.thickness_mm, job.limits.below_wood_mm};
}

bool work_stops(const seam::Simulation& simulation) {
    return std::any_of(simulation.problems.begin(), simulation.problems.end(),
                       [](const seam::ReachProblem& p) { return p.stops_the_work; });
}

bool edges_close(const seam::Simulation& simulation, const job::Limits& limits) {
    return simulation.carried_out && !work_stops(simulation) && simulation.largest_gap_mm <= limits.gap_mm;
}

std::optional<Choice> choose_chain(const job::Job& job, const shelf::Shelf& shelf, const seam::Chains& solved,
                                   std::size_t seam_index, const Path& in_wood, std::vector<Problem>& problems) {
    if (solved.ranked.empty()) return std::nullopt;
    const job::Seam& seam = job.seams[seam_index];
    const auto turns = seam::tightest_turns(in_wood);
    const seam::Depths depths = depths_of(job);
    seam::Chains chains;
    chains.ranked = solved.ranked;
    std::vector<double> margins;
    margins.reserve(chains.ranked.size());
    for (const Chain& chain : chains.ranked) margins.push_back(seam::least_margin_mm(chain, turns));
    seam::rerank(chains, margins);

    Choice choice;
    choice.chains = std::move(chains.ranked);
    std::vector<std::size_t> candidates;
    if (!seam.chain.empty()) {
        auto it = std::find_if(choice.chains.begin(), choice.chains.end(),
                               [&](const Chain& c) { return c.id == seam.chain; });
        if (it == choice.chains.end()) {
            auto pinned = seam::chain_of_id(shelf, depths, seam.chain);
            if (!pinned) {
                problems.push_back({Problem::Weight::error, fmt::format("/seams/{}/chain", seam_index),
                                    fmt::format("\"{}\", a way of copying that the shelf does not give", seam.chain),
                                    fmt::format("one made of the shelf's tools; the nearest are {}",
                                                nearest_ids(choice.chains, seam.chain)),
                                    "copy one of these, or leave it out: the best way is then taken", std::nullopt});
                return std::nullopt;
            }
            pinned->margin_mm = seam::least_margin_mm(*pinned, turns);
            it = choice.chains.insert(choice.chains.end(), std::move(*pinned));
        }
        candidates.push_back(static_cast<std::size_t>(it - choice.chains.begin()));
        if (!hand_fits(*it, seam.master)) {
            problems.push_back({Problem::Weight::warning, fmt::format("/seams/{}/master", seam_index),
                                "a master on the other hand than the way of copying that is asked for",
                                "a master and a way of copying that agree",
                                "leave one of the two out; the way of copying is followed", std::nullopt});
        }
    } else {
        for (std::size_t i = 0; i < choice.chains.size() && candidates.size() < most_simulated; ++i) {
            if (hand_fits(choice.chains[i], seam.master)) candidates.push_back(i);
        }
        if (candidates.empty()) candidates.push_back(0);
    }

    const seam::CutConditions conditions{depths, job.sheet.run_out_mm};
    for (std::size_t k = 0; k < candidates.size(); ++k) {
        auto simulation = seam::simulate(in_wood, choice.chains[candidates[k]], shelf, conditions);
        if (k == 0 || badness(simulation, job.limits) < badness(choice.simulation, job.limits)) {
            choice.chosen = candidates[k];
            choice.simulation = std::move(simulation);
        }
        if (edges_close(choice.simulation, job.limits)) break;
    }
    return choice;
}

}  // namespace seamwright::plan
