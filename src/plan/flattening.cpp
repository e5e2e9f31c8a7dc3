#include "flattening.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plan/words.h"

namespace seamwright::plan {
namespace {

/// Fibres farther apart than this do not take one way of planing (our judgement).
constexpr double askew_rad = 15.0 / geometry::degrees_per_radian;

bool fibres_cross(const Plan& plan) {
    for (const PiecePlan& a : plan.pieces) {
        for (const PiecePlan& b : plan.pieces)
            if (std::abs(std::remainder(a.grain_rad - b.grain_rad, geometry::pi)) > askew_rad) return true;
    }
    return false;
}

}  // namespace

FlatteningStudy study_flattening(const Plan& plan, const shelf::Shelf& shelf, const BoardsStudy* boards) {
    FlatteningStudy out;
    process::FlatteningWish wish;
    wish.length_mm = plan.box.high.x - plan.box.low.x;
    wish.width_mm = plan.box.high.y - plan.box.low.y;
    wish.fibres_cross = fibres_cross(plan);
    for (const shelf::Cutter& cutter : shelf.cutters) {
        if (cutter.cutting.real_mm() <= wish.widest_cutter_mm) continue;
        wish.widest_cutter_mm = cutter.cutting.real_mm();
        wish.cutter_max_rpm = cutter.max_speed_rpm.value_or(0.0);
    }
    out.plan = process::plan_flattening(wish);
    // To what callipers and rule of the maker show, never less.
    const double step_mm = plan.style.unit == units::Unit::inch ? units::mm_per_inch / plan.style.denominator : 0.1;
    constexpr double hair = 1e-9;
    out.milled_mm = step_mm * std::ceil((plan.thickness_mm + out.plan.spare_mm) / step_mm - hair);
    if (boards == nullptr) return out;
    for (const std::size_t index : boards->placing.boards_used) {
        const shelf::Board& board = shelf.boards.at(index);
        const double planes_to = board.planed_mm.value_or(board.thickness_mm);
        if (planes_to >= out.milled_mm) continue;
        out.thin.push_back({board.name, planes_to});
    }
    return out;
}

namespace words {

Told flattening_text(const ShopStudy& study, const job::Job& job) {
    const process::FlatteningPlan& plan = study.flattening.plan;
    const auto show = [&](double mm) { return units::show(mm, job.style); };
    const auto thin = [&](double mm) { return thin_text(mm, job.style.unit); };
    Told told{"Getting it flat", {}, plan.cautions};
    told.lines.push_back(fmt::format(
        "The boards were planed to {}: steps between pieces (up to {}), hollow and wind (up to {}) and sanding ({} a "
        "face) bring that down to {} (common practice, from memory).",
        show(study.flattening.milled_mm), thin(plan.step_mm), thin(plan.hollow_mm), thin(plan.sanded_mm),
        show(job.thickness_mm)));
    told.lines.push_back(
        "Lay a straight edge across, along and corner to corner, and two winding sticks on the ends: mark what stands "
        "proud.");
    using Way = process::FlatteningWay;
    if (plan.way == Way::scrape) {
        told.lines.push_back("Scraper and sander take out what is left.");
    } else {
        told.lines.push_back(fmt::format(
            "The underside first, only until it lies without rocking; then the top, to {} over the finished thickness, "
            "and stop there. Where one face loses much the other loses little: both together up to {}.",
            thin(2.0 * plan.sanded_mm), thin(plan.off_face_mm)));
    }
    if (plan.way == Way::hand_plane)
        told.lines.push_back(
            "Plane across the fibres until it is flat, then along them with a fine cut; chamfer the far rim first, or "
            "it breaks out.");
    if (plan.way == Way::bridge)
        told.lines.push_back("Fibres of the pieces run askew to each other: a plane would tear one of them.");
    if (plan.way != Way::scrape && plan.bridge) {
        const process::BridgeCut& b = *plan.bridge;
        told.lines.push_back(fmt::format(
            "{}: a router on a bridge with the {} cutter, {} strokes side by side, {} apart, at most {} a face of {} "
            "each and only where it still stands proud, not above {:.0f} turns a minute.",
            plan.way == Way::bridge ? "So" : "Or", show(b.cutter_mm), b.strokes, show(b.step_over_mm),
            times(static_cast<std::size_t>(b.passes), "pass", "passes"), thin(b.pass_mm), b.rpm));
    } else if (plan.way == Way::bridge) {
        told.lines.push_back(fmt::format(
            "No straight cutter on the shelf is {} wide for a router on a bridge: have it sanded on a wide machine, or "
            "plane with a high angle and a fine cut.",
            show(plan.narrowest_cutter_mm)));
    }
    for (const auto& board : study.flattening.thin) {
        told.cautions.push_back(fmt::format(
            "{} gives no more than {}, {} less than that: press the seams level with cauls across them, or the top may "
            "come out thinner.",
            board.name, show(board.planes_to_mm), thin(study.flattening.milled_mm - board.planes_to_mm)));
    }
    return told;
}

}  // namespace words

}  // namespace seamwright::plan
