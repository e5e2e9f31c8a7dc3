#include "verdict.h"

#include <fmt/format.h>

#include <algorithm>

#include "choice.h"
#include "plan/words.h"

namespace seamwright::plan {
namespace {

using job::Problem;
using seam::ReachProblem;
using Kind = ReachProblem::Kind;

std::string thin(double mm, const job::Job& job) {
    return words::thin_text(mm, job.style.unit);
}

std::string remedy_for(Kind kind) {
    switch (kind) {
        case Kind::guide_in_hollow:
            return "use a smaller guide, or open the curve there";
        case Kind::cutter_in_hollow:
            return "use a smaller cutter, or open the curve there";
        case Kind::template_edge_gone:
            return "use a pair with a smaller offset, or open the curve there";
        case Kind::barrel_too_long:
            return "use a thicker template or a guide with a shorter barrel";
        case Kind::cutter_too_short:
            return "use a cutter with longer cutting edges";
        case Kind::reach_too_short:
            return "use a longer cutter or a thinner template";
        case Kind::shank_in_guide:
            return "use a guide with a larger bore, or a thinner shank";
        case Kind::bearing_above_template:
            return "use a thicker template, or a cutter with shorter cutting edges for the first passes";
    }
    return {};
}

std::string allowed_for(const ReachProblem& p, const job::Job& job) {
    switch (p.kind) {
        case Kind::guide_in_hollow:
        case Kind::cutter_in_hollow:
        case Kind::template_edge_gone:
            return fmt::format("a radius of at least {}; here it is {}", units::show(p.wanted_mm, job.style),
                               units::show(p.found_mm, job.style));
        case Kind::barrel_too_long:
        case Kind::bearing_above_template:
            return fmt::format("at most {}; it is {}", units::show(p.wanted_mm, job.style),
                               units::show(p.found_mm, job.style));
        case Kind::cutter_too_short:
        case Kind::reach_too_short:
        case Kind::shank_in_guide:
            return fmt::format("at least {}; it is {}", units::show(p.wanted_mm, job.style),
                               units::show(p.found_mm, job.style));
    }
    return {};
}

std::string advice_words(const SeamPlan& seam, const job::Job& job) {
    if (seam.advice.empty()) return "open the curve, or choose other tools";
    const seam::Advice& a = seam.advice.front();
    const char* what = a.what == seam::Advice::What::cutter  ? "a cutter"
                       : a.what == seam::Advice::What::guide ? "a guide"
                                                             : "a bearing";
    return fmt::format("{} of {}, used with {}, would make edges that match", what,
                       units::show(a.diameter_mm, job.style), a.with);
}

}  // namespace

std::string verdict_of(const SeamPlan& seam, const job::Job& job) {
    const seam::Simulation& s = seam.simulation;
    const auto stop =
        std::find_if(s.problems.begin(), s.problems.end(), [](const ReachProblem& p) { return p.stops_the_work; });
    if (stop != s.problems.end())
        return fmt::format("This seam cannot be cut with these tools: step {}: {}", stop->step + 1, stop->says);
    if (!s.carried_out) return "This seam cannot be cut with these tools: no edge is left to work from.";
    const std::string limit = units::show_thin(job.limits.gap_mm, job.style.unit);
    if (!seam.closes) {
        return fmt::format(
            "This seam does not close: the edges miss each other by {} at the worst place, {} along it; "
            "your limit is {}.",
            thin(s.largest_gap_mm, job), units::show(s.largest_gap_at_mm, job.style), limit);
    }
    std::string text;
    if (seam.chains[seam.chosen].prints_mating) {
        text = "This seam closes as well as you work both templates to their lines: nothing is copied.";
    } else {
        text = fmt::format("This seam closes: the largest gap between the edges is {}; your limit is {}.",
                           thin(s.largest_gap_mm, job), limit);
    }
    if (s.off_seam_mm > job.limits.gap_mm) {
        text += fmt::format(" It comes out up to {} off the drawn line, {} along it.", thin(s.off_seam_mm, job),
                            units::show(s.off_seam_at_mm, job.style));
    }
    return text;
}

void report_findings(const SeamPlan& seam, std::size_t seam_index, const job::Job& job,
                     std::vector<Problem>& problems) {
    const std::string pointer = fmt::format("/seams/{}", seam_index);
    const auto& found = seam.simulation.problems;
    for (std::size_t i = 0; i < found.size(); ++i) {
        const auto alike = [&](const ReachProblem& p) {
            return p.kind == found[i].kind && p.step == found[i].step && p.stops_the_work == found[i].stops_the_work;
        };
        if (std::any_of(found.begin(), found.begin() + static_cast<std::ptrdiff_t>(i), alike)) continue;
        const ReachProblem* worst = &found[i];
        std::size_t places = 0;
        for (const ReachProblem& p : found) {
            if (!alike(p)) continue;
            ++places;
            if (p.depth_mm > worst->depth_mm) worst = &p;
        }
        std::string text = fmt::format("seam \"{}\", step {}: {}", seam.name, worst->step + 1, worst->says);
        if (places > 1) text += fmt::format(" So in {} places; this is the worst.", places);
        problems.push_back({worst->stops_the_work ? Problem::Weight::error : Problem::Weight::warning, pointer, text,
                            allowed_for(*worst, job), remedy_for(worst->kind), worst->at});
    }
    if (!seam.closes && !work_stops(seam.simulation)) {
        if (!seam.simulation.carried_out) {
            problems.push_back({Problem::Weight::error, pointer, seam.verdict, "two edges that can be cut",
                                "open the tightest turns of the seam, or use smaller tools", std::nullopt});
            return;
        }
        std::optional<Point> at;
        if (!seam.in_wood.empty()) {
            const auto running_mm = geometry::running_length_mm(seam.in_wood);
            at = geometry::point_at(seam.in_wood,
                                    geometry::station_at(seam.in_wood, running_mm, seam.simulation.largest_gap_at_mm));
        }
        problems.push_back({Problem::Weight::warning, pointer,
                            fmt::format("seam \"{}\": the edges miss each other by {}", seam.name,
                                        thin(seam.simulation.largest_gap_mm, job)),
                            fmt::format("at most {}", units::show_thin(job.limits.gap_mm, job.style.unit)),
                            advice_words(seam, job), at});
    }
}

}  // namespace seamwright::plan
