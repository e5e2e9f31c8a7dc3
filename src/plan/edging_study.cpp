#include "plan/edging_study.h"

#include <algorithm>
#include <cmath>

#include "geometry/path_index.h"
#include "wood/elastic.h"
#include "wood/movement.h"
#include "wood/strength.h"

namespace seamwright::plan {
namespace {

/// Part of its width that wood changes by, and the way it lies.
struct Local {
    const PieceMovement* moves = nullptr;
    double fibre_rad = 0.0;
};

Local local_at(const Plan& plan, const MovementStudy& movement, std::size_t ring, Point at) {
    for (std::size_t p = 0; p < plan.pieces.size() && p < movement.pieces.size(); ++p) {
        if (p == ring || !geometry::contains(plan.pieces[p].region, at)) continue;
        return {&movement.pieces[p], fibres_at(plan, p, at)};
    }
    return {};
}

/// Where a line through a place, inside a closed path, leaves it both ways.
std::pair<Point, Point> ends_within(const Path& path, const geometry::Box& box, Point through, Point way) {
    const double far = box.width_mm() + box.height_mm();
    const Path line = geometry::polyline(std::vector<Point>{through - far * way, through + far * way}, false);
    Point from = through, to = through;
    for (const auto& c : geometry::crossings(geometry::PathIndex(line), geometry::PathIndex(path))) {
        if (geometry::dot(c.point - from, way) < 0.0) from = c.point;
        if (geometry::dot(c.point - to, way) > 0.0) to = c.point;
    }
    return {from, to};
}

/// Stress over strength across the fibres of wood that is held while it wants to change by this part.
double part_of_strength(const std::string& species, double part) {
    const auto elastic = wood::plane_elastic(species);
    const auto strength = wood::joint_strength(species, 0.0);
    if (!elastic || !strength || !(strength->wood_tension_mpa > 0.0)) return 0.0;
    return elastic->across_mpa * std::abs(part) / strength->wood_tension_mpa;
}

double joint_opens_mm(const SegmentedEdging& edging, double part) {
    double most = 0.0;
    const auto& segments = edging.ring.segments;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const auto& next = segments[(i + 1) % segments.size()];
        // An end sawn off square by θ is off by atan(tan θ / (1 + part)) once its width has changed.
        double turn = 0.0;
        for (const double off : {segments[i].end_rad, next.start_rad})
            turn += off - std::atan(std::tan(off) / (1.0 + part));
        const double joint_mm = geometry::distance(segments[i].outer.end(), segments[i].joint_to);
        most = std::max(most, std::abs(turn) * joint_mm);
    }
    return most;
}

}  // namespace

const SegmentedEdging* segmented(const Plan& plan, std::size_t piece) {
    for (const SegmentedEdging& edging : plan.edgings)
        if (edging.piece == piece && !edging.ring.segments.empty()) return &edging;
    return nullptr;
}

Path segment_outline(const process::EdgingSegment& segment) {
    Path out = segment.outer;
    const auto join = [&](Point to) {
        if (geometry::distance(out.end(), to) > 1e-9) out.segments.push_back(geometry::line(out.end(), to));
    };
    join(segment.joint_to);
    const Path back = geometry::reversed(segment.inner);
    // At a mitre the inner edge is longer or shorter than to the joint: its first and last segments end there.
    for (std::size_t i = 0; i < back.segments.size(); ++i) {
        const geometry::Segment& s = back.segments[i];
        const Point from = i == 0 ? segment.joint_to : s.start;
        const Point to = i + 1 == back.segments.size() ? segment.joint_from : s.end;
        if (s.is_line()) {
            if (geometry::distance(from, to) > 1e-9) out.segments.push_back(geometry::line(from, to));
        } else {
            const Path arc{{s}, false};
            const geometry::PathIndex index(arc);
            const double u0 = i == 0 ? index.nearest(from).at.u : 0.0;
            const double u1 = i + 1 == back.segments.size() ? index.nearest(to).at.u : 1.0;
            if (!(u0 < u1)) continue;
            join(geometry::point_at(s, u0));
            out.segments.push_back(geometry::part(s, u0, u1));
        }
    }
    join(segment.joint_from);
    join(segment.outer.start());
    out.segments.back().end = out.segments.front().start;
    out.closed = true;
    return out;
}

std::size_t segment_at(const SegmentedEdging& edging, Point place) {
    const auto running = geometry::running_length_mm(edging.outer);
    const double at = geometry::length_to(running, geometry::PathIndex(edging.outer).nearest(place).at);
    const auto& segments = edging.ring.segments;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const double from = segments[i].from_mm, to = segments[i].to_mm;
        if (from < to ? at >= from && at < to : at >= from || at < to) return i;
    }
    return 0;
}

double run_out_rad(const process::EdgingPlan& ring) {
    double most = 0.0;
    for (const auto& s : ring.segments) most = std::max(most, s.run_out_rad);
    return most;
}

double fibres_at(const Plan& plan, std::size_t piece, Point place) {
    const SegmentedEdging* edging = segmented(plan, piece);
    return edging == nullptr ? plan.pieces[piece].grain_rad
                             : edging->ring.segments[segment_at(*edging, place)].fibre_rad;
}

double joints_mm2(const SegmentedEdging& edging, double thickness_mm) {
    double sum = 0.0;
    for (const auto& s : edging.ring.segments) sum += geometry::distance(s.outer.end(), s.joint_to) * thickness_mm;
    return sum;
}

RingMovement ring_movement(const SegmentedEdging& edging, const Plan& plan, const MovementStudy& movement) {
    RingMovement out;
    out.seam = edging.seam;
    const Path& inside = plan.seams[edging.seam].in_wood;
    const geometry::Box box = geometry::bounding_box(inside);
    const Point middle = geometry::midpoint(box.low, box.high);
    constexpr int ways = 36, samples = 200;
    double most_mm = -1.0;
    for (int k = 0; k < ways; ++k) {
        const double turn = geometry::pi * k / ways;
        const Point way = geometry::unit(turn);
        const auto [from, to] = ends_within(inside, box, middle, way);
        const double length = geometry::distance(from, to), step = length / samples;
        double dry = 0.0, damp = 0.0, quarter = 0.0, dry_part = 0.0, damp_part = 0.0;
        for (int n = 0; n < samples; ++n) {
            const Local here = local_at(plan, movement, edging.piece, from + step * (n + 0.5) * way);
            if (here.moves == nullptr) continue;
            if (!here.moves->known) return out;
            const std::string& species = plan.pieces[here.moves->piece].species;
            const double across = std::sin(turn - here.fibre_rad), part = across * across;
            dry += step * part * here.moves->dry_part;
            damp += step * part * here.moves->damp_part;
            dry_part = std::max(dry_part, part_of_strength(species, part * here.moves->dry_part));
            damp_part = std::max(damp_part, part_of_strength(species, part * here.moves->damp_part));
            const auto moves = wood::movement_of(species);
            quarter += step * part * (here.moves->damp_part - here.moves->dry_part) *
                       (moves ? moves->radial / wood::across_face(*moves, here.moves->sawn) : 1.0);
        }
        if (damp - dry <= most_mm) continue;
        most_mm = damp - dry;
        out.known = true;
        out.across_mm = length;
        out.turn_rad = turn;
        out.dry_mm = dry;
        out.damp_mm = damp;
        out.quarter_part = most_mm > 0.0 ? quarter / most_mm : 1.0;
        out.splits_dry = dry_part > damp_part;
        out.part_of_strength = std::max(dry_part, damp_part);
        out.from = from;
        out.to = to;
    }
    const PieceMovement& ring = movement.pieces[edging.piece];
    if (ring.known)
        out.joint_mm = std::max(joint_opens_mm(edging, ring.dry_part), joint_opens_mm(edging, ring.damp_part));
    return out;
}

}  // namespace seamwright::plan
