// Areas of routed edges.
//
// A profile is a plane curve carried along the outline. At a depth d inside the outline the line it is carried along
// has the length L − K d, where L is that of the outline and K its turning: 2 π for any smooth closed outline, and for
// a sharp corner of turn β that stays mitred 2 tan(β/2) in place of β. So the surface is ∫ (L − K d) ds = L g − K m
// with the girth g = ∫ ds and the first moment m = ∫ d ds of the profile, and the strip it takes from a face as far as
// w in is L w − K w²/2. Nothing is approximated as long as the parallels keep all their parts.

#include "process/edge_profile.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using geometry::pi;

void check(const EdgeProfile& profile) {
    if (profile.kind != EdgeProfile::Kind::square && (!(profile.size_mm > 0.0) || !std::isfinite(profile.size_mm)))
        throw std::invalid_argument("edge profile: its size must be above 0");
}

void check(const EdgeShape& shape) {
    check(shape.top);
    check(shape.underside);
    if (!(shape.thickness_mm > 0.0) || !std::isfinite(shape.thickness_mm))
        throw std::invalid_argument("edge: its thickness must be above 0");
}

/// ∫ d ds over the profile, d inward from the outline.
double moment_mm2(const EdgeProfile& profile) {
    const double s = profile.size_mm;
    switch (profile.kind) {
        case EdgeProfile::Kind::round_over:
            return s * s * (pi / 2.0 - 1.0);
        case EdgeProfile::Kind::chamfer:
            return s * s / std::sqrt(2.0);
        case EdgeProfile::Kind::cove:
            return s * s;
        case EdgeProfile::Kind::square:
            break;
    }
    return 0.0;
}

double flat_mm(const EdgeShape& shape) {
    return shape.thickness_mm - reach_mm(shape.top) - reach_mm(shape.underside);
}

}  // namespace

const char* says(EdgeProfile::Kind kind) {
    switch (kind) {
        case EdgeProfile::Kind::round_over:
            return "round-over";
        case EdgeProfile::Kind::chamfer:
            return "chamfer";
        case EdgeProfile::Kind::cove:
            return "cove";
        case EdgeProfile::Kind::square:
            break;
    }
    return "square";
}

std::optional<EdgeProfile::Kind> profile_named(const std::string& id) {
    using Kind = EdgeProfile::Kind;
    for (const Kind kind : {Kind::square, Kind::round_over, Kind::chamfer, Kind::cove})
        if (id == says(kind)) return kind;
    return std::nullopt;
}

double reach_mm(const EdgeProfile& profile) {
    return profile.kind == EdgeProfile::Kind::square ? 0.0 : profile.size_mm;
}

double girth_mm(const EdgeProfile& profile) {
    switch (profile.kind) {
        case EdgeProfile::Kind::round_over:
        case EdgeProfile::Kind::cove:
            return pi / 2.0 * profile.size_mm;
        case EdgeProfile::Kind::chamfer:
            return std::sqrt(2.0) * profile.size_mm;
        case EdgeProfile::Kind::square:
            break;
    }
    return 0.0;
}

double shorter_per_mm(const geometry::Path& outline) {
    if (!outline.closed || outline.empty()) throw std::invalid_argument("shorter_per_mm: the outline is not closed");
    double sum = 0.0;
    for (std::size_t i = 0; i < outline.segments.size(); ++i) {
        const geometry::Segment& s = outline.segments[i];
        const geometry::Segment& next = outline.segments[(i + 1) % outline.segments.size()];
        sum += s.sweep_rad;
        const double turn = geometry::wrap_pi(geometry::heading_at(next, 0.0) - geometry::heading_at(s, 1.0));
        // A corner that turns back on itself has no mitre.
        constexpr double most_rad = 179.0 / geometry::degrees_per_radian;
        sum += 2.0 * std::tan(0.5 * std::clamp(turn, -most_rad, most_rad));
    }
    return sum;
}

double profile_area_mm2(const EdgeProfile& profile, double length_mm, double shorter) {
    check(profile);
    return length_mm * girth_mm(profile) - shorter * moment_mm2(profile);
}

TrueAreas true_areas(const geometry::Path& outline, const EdgeShape& shape) {
    check(shape);
    const double flat = flat_mm(shape);
    if (flat < 0.0) throw std::invalid_argument("true_areas: the profiles meet");
    const double shorter = shorter_per_mm(outline);
    const double length = geometry::length_mm(outline), area = std::abs(geometry::area_mm2(outline));
    const auto inside = [&](const EdgeProfile& profile) {
        const double w = reach_mm(profile);
        return area - length * w + 0.5 * shorter * w * w;
    };
    return {inside(shape.top), inside(shape.underside),
            length * flat + profile_area_mm2(shape.top, length, shorter) +
                profile_area_mm2(shape.underside, length, shorter)};
}

EdgeFindings check_edge(const EdgeWish& wish) {
    check(wish.shape);
    const auto shown = [&](double mm) { return units::show(mm, wish.style); };
    EdgeFindings out;
    out.flat_mm = flat_mm(wish.shape);
    const double top = reach_mm(wish.shape.top), underside = reach_mm(wish.shape.underside);
    if (out.flat_mm < 0.0) {
        out.must.push_back(
            fmt::format("The two profiles meet: together {} deep on an edge {} thick. Take smaller ones.",
                        shown(top + underside), shown(wish.shape.thickness_mm)));
    } else if (out.flat_mm < wish.least_flat_mm && (top > 0.0 || underside > 0.0)) {
        out.must.push_back(
            fmt::format("Only {} of the edge stay upright: a bearing needs {} to ride on. Rout the first "
                        "profile, and guide the second by a template.",
                        shown(out.flat_mm), shown(wish.least_flat_mm)));
    }
    if (wish.joint_mm) {
        const double joint = *wish.joint_mm;
        const auto say = [&](const EdgeProfile& profile, double past_mm, const char* which) {
            if (past_mm > 0.0) {
                out.reaches_joint = true;
                out.must.push_back(
                    fmt::format("The {} on the {} goes {} past the glue joint of the build-up: the joint would run "
                                "through the profile as a line. Take it smaller, or the joint deeper.",
                                says(profile.kind), which, shown(past_mm)));
            } else if (past_mm > -wish.joint_clear_mm) {
                out.mind.push_back(fmt::format("The {} on the {} ends {} from the glue joint of the build-up.",
                                               says(profile.kind), which, shown(-past_mm)));
            }
        };
        if (joint > 0.0 && joint < wish.shape.thickness_mm) {
            if (top > 0.0) say(wish.shape.top, top - joint, "top");
            if (underside > 0.0) say(wish.shape.underside, joint - (wish.shape.thickness_mm - underside), "underside");
        }
    }
    if (top == 0.0 || underside == 0.0) {
        out.mind.emplace_back(
            "Break the sharp arris with a stroke of fine paper: finish runs off it and it splinters.");
    }
    if (top > 0.0 || underside > 0.0) {
        out.mind.emplace_back(
            "Rout end grain first and the long grain after it, against the cutter's rotation, in two or three depths; "
            "a block behind the last corner keeps it from breaking out.");
    }
    return out;
}

CornerRound round_corner(double turn_rad, double radius_mm) {
    if (!(turn_rad > 0.0) || !(turn_rad < pi) || !(radius_mm >= 0.0) || !std::isfinite(radius_mm))
        throw std::invalid_argument("round_corner: the turn lies between 0 and a half turn, the radius is 0 or more");
    const double half_tan = std::tan(0.5 * turn_rad);
    CornerRound out;
    out.tangent_mm = radius_mm * half_tan;
    out.arc_mm = radius_mm * turn_rad;
    out.shorter_mm = 2.0 * out.tangent_mm - out.arc_mm;
    out.off_mm = radius_mm * (1.0 / std::cos(0.5 * turn_rad) - 1.0);
    out.taken_mm2 = radius_mm * radius_mm * (half_tan - 0.5 * turn_rad);
    return out;
}

CornerFindings check_corner(const CornerWish& wish) {
    const auto shown = [&](double mm) { return units::show(mm, wish.style); };
    if (!(wish.guide_mm > 0.0) || !(wish.before_mm >= 0.0) || !(wish.after_mm >= 0.0))
        throw std::invalid_argument("check_corner: a length or diameter that is none");
    CornerFindings out;
    out.round = round_corner(wish.turn_rad, wish.radius_mm);
    const double room = std::min(wish.before_mm, wish.after_mm);
    if (out.round.tangent_mm > room) {
        out.must.push_back(
            fmt::format("A radius of {} takes {} of edge to either side of the corner; there are {}. At "
                        "most {} fits.",
                        shown(wish.radius_mm), shown(out.round.tangent_mm), shown(room),
                        shown(room / std::tan(0.5 * wish.turn_rad))));
    }
    if (wish.inward && wish.radius_mm < 0.5 * wish.guide_mm) {
        out.must.push_back(
            fmt::format("What rides on the edge is {} across and cannot reach into a corner of radius {}: "
                        "make it {} or more, or finish the corner by hand.",
                        shown(wish.guide_mm), shown(wish.radius_mm), shown(0.5 * wish.guide_mm)));
    }
    if (!wish.inward && wish.radius_mm == 0.0) {
        out.mind.emplace_back("A sharp corner bruises, and people: round it at least a little.");
    }
    return out;
}

}  // namespace seamwright::process
