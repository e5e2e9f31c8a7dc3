#include "process/feed_plan.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "wood/strength.h"

namespace seamwright::process {
namespace {

using geometry::Path;

constexpr double rounding_mm = 1e-6;
// Less of a stretch than this is no reason against turning it over.
constexpr double hardly_any_mm = 1.0;

/// Neighbouring stretches that are cut in one stroke.
struct Group {
    bool tears = false;
    double from_mm = 0.0, to_mm = 0.0, length_mm = 0.0;
    std::vector<TearStretch> stretches;

    void take(const Group& next) {
        to_mm = next.to_mm;
        length_mm += next.length_mm;
        stretches.insert(stretches.end(), next.stretches.begin(), next.stretches.end());
    }
};

std::vector<Group> neighbours_joined(const std::vector<Group>& groups, bool closed) {
    std::vector<Group> out;
    for (const Group& g : groups) {
        if (!out.empty() && out.back().tears == g.tears)
            out.back().take(g);
        else
            out.push_back(g);
    }
    if (closed && out.size() > 1 && out.front().tears == out.back().tears) {
        out.back().take(out.front());
        out.erase(out.begin());
    }
    return out;
}

/// Groups that tear and groups that do not in turn, in the order of the path.
std::vector<Group> strokes(const std::vector<TearStretch>& stretches, bool closed, double least_stroke_mm) {
    std::vector<Group> groups;
    for (const TearStretch& s : stretches)
        groups.push_back({s.zone == TearZone::tears, s.from_mm, s.to_mm, s.length_mm, {s}});
    groups = neighbours_joined(groups, closed);
    // Alone, there is nothing beside it to be taken with.
    if (groups.size() > 1)
        for (Group& g : groups) g.tears = g.tears || g.length_mm < least_stroke_mm;
    groups = neighbours_joined(groups, closed);
    if (closed && groups.size() == 1) {
        Group& all = groups.front();
        const TearStretch* longest = nullptr;
        for (const TearStretch& s : all.stretches)
            if (s.zone == TearZone::clean && (longest == nullptr || s.length_mm > longest->length_mm)) longest = &s;
        double start = 0.0;
        if (longest != nullptr) start = std::fmod(longest->from_mm + 0.5 * longest->length_mm, all.length_mm);
        all.from_mm = all.to_mm = start;
    }
    return groups;
}

double worst(const Group& group, double TearStretch::* risk) {
    double most = 0.0;
    for (const TearStretch& s : group.stretches) most = std::max(most, s.*risk);
    return most;
}

/// A stretch without wood's say, to measure lengths by.
TearStretch span_of(const Group& group) {
    TearStretch s;
    s.zone = TearZone::tears;
    s.from_mm = group.from_mm;
    s.to_mm = group.to_mm;
    return s;
}

/// A length of edge between two corners, or ends; on a closed edge `to` may be before `from`.
struct Side {
    double from_mm = 0.0, to_mm = 0.0, length_mm = 0.0;
    bool free_at_from = false, free_at_to = false;  ///< nothing holds the wood beyond
    bool end_at_from = false, end_at_to = false;    ///< of an open edge
};

std::vector<Side> sides_of(const EdgeCut& cut, double corner_rad) {
    const Path& edge = cut.edge;
    const auto running = geometry::running_length_mm(edge);
    const double whole = running.back();
    struct Corner {
        double at_mm = 0.0;
        bool free = false, end = false;
    };
    std::vector<Corner> corners;
    const std::size_t count = edge.segments.size();
    if (!edge.closed) corners.push_back({0.0, true, true});
    for (std::size_t i = edge.closed ? 0 : 1; i < count; ++i) {
        const geometry::Segment& before = edge.segments[i == 0 ? count - 1 : i - 1];
        const double turn =
            geometry::wrap_pi(geometry::heading_at(edge.segments[i], 0.0) - geometry::heading_at(before, 1.0));
        if (std::abs(turn) < corner_rad) continue;
        // The wood ends there where the edge turns toward it; where it turns away the wood goes on.
        corners.push_back({running[i], (turn > 0.0) == cut.wood_on_left, false});
    }
    if (!edge.closed) corners.push_back({whole, true, true});
    std::vector<Side> sides;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        if (!edge.closed && i + 1 == corners.size()) break;
        const Corner &from = corners[i], &to = corners[(i + 1) % corners.size()];
        const double length = to.at_mm - from.at_mm;
        sides.push_back(
            {from.at_mm, to.at_mm, length > 0.0 ? length : length + whole, from.free, to.free, from.end, to.end});
    }
    return sides;
}

/// "Tears" from 60° on to either side, worst at 90°: finds end grain with the exactness of stretches.
TearModel end_grain_model() {
    constexpr double quarter_turn = 0.5 * geometry::pi;
    constexpr double from = wood::end_grain_from_rad;
    TearModel model;
    model.table = {{-quarter_turn, 2.0}, {-from, 1.0}, {-from, 0.0}, {from, 0.0}, {from, 1.0}, {quarter_turn, 2.0}};
    return model;
}

FeedRun run_of(const Group& group, const FeedPlan& plan, const EdgeCut& cut, const SideCut& side,
               const TearModel& model, const std::vector<TearStretch>& turned, double whole_mm) {
    FeedRun run;
    run.from_mm = group.from_mm;
    run.to_mm = group.to_mm;
    run.length_mm = group.length_mm;
    run.along_path = plan.conventional_along_path;
    run.side_cut_mm = side.side_cut_mm;
    run.risk = worst(group, &TearStretch::risk);
    const auto most_at_risk = std::max_element(group.stretches.begin(), group.stretches.end(),
                                               [](const auto& a, const auto& b) { return a.risk_skim < b.risk_skim; });
    run.worst_phi_rad = most_at_risk->worst_phi_rad;
    const TearStretch span = span_of(group);
    run.tears_turned_mm = length_in_both(std::span(&span, 1), turned, whole_mm, TearZone::tears);
    if (group.tears) {
        run.way = FeedWay::conventional_skim;
        run.side_cut_mm = std::min(side.side_cut_mm, side.skim_mm);
        run.risk = worst(group, &TearStretch::risk_skim);
        const bool skim_tears = tear_zone(model, run.risk) == TearZone::tears;
        if (run.tears_turned_mm < hardly_any_mm) run.remedies.push_back(TearRemedy::turn_over);
        run.remedies.push_back(TearRemedy::leave_skim);
        if (skim_tears && cut.held_fast && !cut.on_table) {
            run.way = FeedWay::climb_skim;
            run.along_path = !plan.conventional_along_path;
            run.risk = worst(group, &TearStretch::risk_climb_skim);
            run.remedies.push_back(TearRemedy::climb_skim);
        }
        run.remedies.push_back(TearRemedy::larger_cutter);
    }
    if (!cut.edge.closed) {
        const auto at_end = [&](double at) { return at < rounding_mm || at > whole_mm - rounding_mm; };
        run.enters_at_end = at_end(run.set_in_mm());
        run.leaves_at_end = at_end(run.lift_out_mm());
    }
    for (const ExitCorner& exit : plan.exits) {
        TearStretch corner;
        corner.zone = TearZone::tears;
        corner.from_mm = exit.end_grain_from_mm;
        corner.to_mm = exit.end_grain_to_mm;
        run.backed = run.backed || length_in_both(std::span(&corner, 1), std::span(&span, 1), whole_mm,
                                                  TearZone::tears) > rounding_mm;
    }
    return run;
}

std::vector<FeedCaution> cautions_for(const FeedPlan& plan, const EdgeCut& cut) {
    const auto any = [&](auto&& asked) { return std::any_of(plan.runs.begin(), plan.runs.end(), asked); };
    const bool climbs = any([](const FeedRun& r) { return r.way == FeedWay::climb_skim; });
    const bool tears = any([](const FeedRun& r) { return r.way != FeedWay::conventional; });
    std::vector<FeedCaution> out{FeedCaution::model_not_measured, FeedCaution::makers_instructions,
                                 FeedCaution::hold_work_and_template};
    if (!cut.on_table) out.push_back(FeedCaution::both_hands);
    if (climbs) {
        out.push_back(FeedCaution::climb_pulls);
        out.push_back(FeedCaution::climb_skim_only);
    }
    // Also where none is advised: a maker who sees the wood tear is tempted to climb.
    if (tears) {
        out.push_back(FeedCaution::no_climb_on_table);
        out.push_back(FeedCaution::no_climb_when_loose);
    }
    if (!plan.exits.empty()) out.push_back(FeedCaution::back_up_exit);
    if (cut.face_down || plan.turn_over) out.push_back(FeedCaution::template_turned_too);
    return out;
}

void require_sound(const FeedLimits& limits) {
    if (!(limits.exit_reach_mm >= 0.0) || !(limits.least_stroke_mm >= 0.0) || !(limits.corner_rad >= 0.0))
        throw std::invalid_argument("plan_feed: limits must not be negative");
}

}  // namespace

std::vector<ExitCorner> exit_corners(const EdgeCut& cut, const FeedLimits& limits) {
    require_sound(limits);
    const bool along = teeth_along_path(cut);
    const double whole = geometry::length_mm(cut.edge);
    const TearModel end_grain = end_grain_model();
    std::vector<ExitCorner> out;
    for (const Side& side : sides_of(cut, limits.corner_rad)) {
        if (!(along ? side.free_at_to : side.free_at_from)) continue;
        const double reach = std::min(limits.exit_reach_mm, side.length_mm);
        if (!(reach > rounding_mm)) continue;
        double from = along ? side.to_mm - reach : side.from_mm;
        if (from < 0.0) from += whole;
        const auto on_edge = [&](double at) { return from + at > whole + rounding_mm ? from + at - whole : from + at; };
        EdgeCut near = cut;
        near.edge = geometry::part(cut.edge, from, on_edge(reach));
        near.edge.closed = false;
        auto found = tear_stretches(near, {}, end_grain);
        std::erase_if(found, [](const TearStretch& s) { return s.zone != TearZone::tears; });
        if (found.empty()) continue;
        const TearStretch& nearest = along ? found.back() : found.front();
        ExitCorner exit;
        exit.at_mm = along ? side.to_mm : side.from_mm;
        exit.end_grain_from_mm = on_edge(nearest.from_mm);
        exit.end_grain_to_mm = on_edge(nearest.to_mm);
        exit.worst_phi_rad = nearest.worst_phi_rad;
        exit.at_end = along ? side.end_at_to : side.end_at_from;
        out.push_back(exit);
    }
    std::sort(out.begin(), out.end(), [](const ExitCorner& a, const ExitCorner& b) { return a.at_mm < b.at_mm; });
    return out;
}

FeedPlan plan_feed(const EdgeCut& cut, const SideCut& side, const TearModel& model, const FeedLimits& limits) {
    require_sound(limits);
    FeedPlan plan;
    plan.stretches = tear_stretches(cut, side, model);
    plan.conventional_along_path = teeth_along_path(cut);
    plan.exits = exit_corners(cut, limits);
    EdgeCut turned_over = cut;
    turned_over.face_down = !cut.face_down;
    const auto turned = tear_stretches(turned_over, side, model);
    plan.faces = cut.face_down ? choose_face(turned, plan.stretches) : choose_face(plan.stretches, turned);
    plan.turn_over = plan.faces.better == (cut.face_down ? FaceChoice::Better::up : FaceChoice::Better::down);

    const double whole_mm = geometry::length_mm(cut.edge);
    auto groups = strokes(plan.stretches, cut.edge.closed, limits.least_stroke_mm);
    if (!plan.conventional_along_path) std::reverse(groups.begin(), groups.end());
    for (const bool skims : {false, true})
        for (const Group& group : groups)
            if (group.tears == skims) plan.runs.push_back(run_of(group, plan, cut, side, model, turned, whole_mm));
    plan.cautions = cautions_for(plan, cut);
    return plan;
}

}  // namespace seamwright::process
