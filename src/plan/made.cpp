#include "made.h"

#include <fmt/format.h>

#include <algorithm>

#include "choice.h"
#include "geometry/path_index.h"
#include "plan/words.h"

namespace seamwright::plan {
namespace {

using job::Problem;

/// How finely the closed pair is compared, mm.
constexpr double compared_mm = 4.0;

/// The master's edge as meant, from where the seam enters the wood to where it leaves it.
Path master_in_wood(const SeamPlan& seam) {
    const Path& whole = seam.simulation.templates.front().edge;
    const geometry::PathIndex index(whole);
    const auto running = geometry::running_length_mm(whole);
    const double from = geometry::length_to(running, index.nearest(seam.in_wood.start()).at);
    const double to = geometry::length_to(running, index.nearest(seam.in_wood.end()).at);
    return from < to ? geometry::part(whole, from, to) : Path{};
}

std::string thin(double mm, const job::Job& job) {
    return words::thin_text(mm, job.style.unit);
}

const curves::Spot* largest(const std::vector<curves::Spot>& spots, bool high) {
    const curves::Spot* found = nullptr;
    for (const curves::Spot& spot : spots) {
        if ((spot.height_mm > 0.0) != high) continue;
        if (found == nullptr || std::abs(spot.height_mm) > std::abs(found->height_mm)) found = &spot;
    }
    return found;
}

std::string told_spots(const MadePlan& made, const job::Job& job) {
    const curves::Spot* high = largest(made.made.map.spots, true);
    const curves::Spot* low = largest(made.made.map.spots, false);
    if (high == nullptr && low == nullptr) return fmt::format("The edge is fair within {}.", thin(made.fair_mm, job));
    const auto told = [&](const curves::Spot& spot, const char* how) {
        return fmt::format("{} by {} at {}", how, thin(std::abs(spot.height_mm), job),
                           units::show(spot.at_mm, job.style));
    };
    std::string text = "The edge ";
    if (high != nullptr) text += told(*high, "stands proud");
    if (high != nullptr && low != nullptr) text += " and ";
    if (low != nullptr) text += told(*low, "lies low");
    text += ".";
    const auto& sand = made.made.sanding;
    if (!sand.spots.empty()) {
        text += fmt::format(" Sanding alone makes it fair: {} to take down, {} at the deepest.",
                            words::times(sand.spots.size(), "spot", "spots"), thin(sand.deepest_mm, job));
    }
    return text;
}

std::string told_closing(const MadePlan& made, const job::Job& job) {
    const std::string limit = thin(job.limits.gap_mm, job);
    if (!made.closing.found) return "The pair cannot be cut from it with these tools.";
    if (made.closes) {
        return fmt::format("The pair copied from it as it is closes to {}; your limit is {}.",
                           thin(made.closing.largest_gap_mm, job), limit);
    }
    return fmt::format(
        "The pair copied from it as it is leaves a gap of {}, {} along it; your limit is {}: sand it first.",
        thin(made.closing.largest_gap_mm, job), units::show(made.closing.largest_gap_at_mm, job.style), limit);
}

}  // namespace

std::optional<MadePlan> made_plan(const SeamPlan& seam, std::size_t seam_index, const job::Job& job,
                                  const shelf::Shelf& shelf, std::vector<Problem>& problems) {
    const std::optional<job::MadeEdge>& asked = job.seams[seam_index].as_made;
    if (!asked || seam.simulation.templates.empty()) return std::nullopt;
    const seam::TemplateEdge& master = seam.simulation.templates.front();
    MadePlan out;
    out.template_on_left = master.body_on_left;
    out.edge = master_in_wood(seam);
    if (out.edge.empty()) return std::nullopt;
    out.length_mm = geometry::length_mm(out.edge);
    out.wave_mm = asked->wave_mm;
    out.fair_mm = asked->fair_mm;
    curves::MapSettings settings;
    // Proud is away from the body.
    settings.wood = master.body_on_left ? curves::WoodSide::left : curves::WoodSide::right;
    settings.wave_mm = asked->wave_mm;
    settings.fair_mm = asked->fair_mm;
    auto made = curves::as_made(out.edge, asked->readings, settings);
    if (auto* why = std::get_if<curves::FairProblem>(&made)) {
        problems.push_back({Problem::Weight::error, fmt::format("/seams/{}/as_made", seam_index), why->reason,
                            "readings along the edge of the template made by hand", why->remedy, why->at});
        return std::nullopt;
    }
    out.made = std::get<curves::AsMade>(std::move(made));
    const seam::Simulation cut = seam::simulate_from(out.made.measured, seam.in_wood, seam.chains[seam.chosen], shelf,
                                                     {depths_of(job), job.sheet.run_out_mm});
    if (cut.carried_out && !work_stops(cut)) {
        out.closing = seam::close_seam(cut.left_edge, cut.right_edge, compared_mm);
        out.closes = out.closing.found && out.closing.largest_gap_mm <= job.limits.gap_mm;
    }
    out.verdict = told_spots(out, job) + ' ' + told_closing(out, job);
    return out;
}

}  // namespace seamwright::plan
