#include "process/build_up.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using geometry::Point;

/// An edge within this of the fibres shows long grain.
constexpr double half_way_rad = geometry::pi / 4.0;
/// Parts shorter than this along the edge break when they are sawn (common practice, from memory).
constexpr double shortest_mm = 15.0;
constexpr double most_lean_rad = 80.0 / geometry::degrees_per_radian;
constexpr double same_mm = 1e-6;
constexpr int most_parts = 1000;

void check(const BuildUpWish& wish) {
    if (!(wish.width_mm > 0.0) || !(wish.thickness_mm > 0.0) || !(wish.longest_mm > 0.0) || !(wish.widest_mm > 0.0) ||
        !(wish.allowance_mm >= 0.0))
        throw std::invalid_argument("plan_build_up: a measure that is none");
    for (const BuildUpEdge& edge : wish.edges) {
        const bool long_enough = edge.length_mm > 0.0 && edge.start_taken_mm >= 0.0 && edge.end_taken_mm >= 0.0 &&
                                 edge.start_taken_mm + edge.end_taken_mm < edge.length_mm;
        if (!long_enough || !std::isfinite(edge.length_mm) || !std::isfinite(edge.fibre_rad))
            throw std::invalid_argument("plan_build_up: edge " + edge.name + " has no length left");
        if (edge.pieces.size() != edge.seams.size() + 1)
            throw std::invalid_argument("plan_build_up: edge " + edge.name + " needs one piece more than it has seams");
        const bool fibres = edge.fibres_rad.empty() || edge.fibres_rad.size() == edge.pieces.size();
        if (!fibres ||
            !std::all_of(edge.fibres_rad.begin(), edge.fibres_rad.end(), [](double rad) { return std::isfinite(rad); }))
            throw std::invalid_argument("plan_build_up: edge " + edge.name + " has fibres for each piece, or for none");
        double before = 0.0;
        for (const BuildUpSeam& seam : edge.seams) {
            if (!(seam.at_mm > before) || !(seam.at_mm < edge.length_mm) || !(std::abs(seam.lean_rad) < most_lean_rad))
                throw std::invalid_argument("plan_build_up: seams of edge " + edge.name +
                                            " lie within it, in order, and lean less than 80 degrees");
            before = seam.at_mm;
        }
    }
}

/// A line from the edge inward that bounds a part.
struct Bound {
    double at_mm = 0.0, lean_rad = 0.0;
    double inner_mm(double width_mm) const { return at_mm + width_mm * std::tan(lean_rad); }
};

Bound between(const Bound& a, const Bound& b, double share, double width_mm) {
    const double at = std::lerp(a.at_mm, b.at_mm, share);
    const double inner = std::lerp(a.inner_mm(width_mm), b.inner_mm(width_mm), share);
    return {at, std::atan2(inner - at, width_mm)};
}

double fibre_of(const BuildUpEdge& edge, std::size_t piece) {
    return edge.fibres_rad.empty() ? edge.fibre_rad : edge.fibres_rad[piece];
}

BuildUpPart part_between(const BuildUpWish& wish, const BuildUpEdge& edge, std::size_t piece, const Bound& from,
                         const Bound& to) {
    BuildUpPart out;
    out.edge = edge.name;
    out.piece = edge.pieces[piece];
    out.from_mm = from.at_mm;
    out.to_mm = to.at_mm;
    out.inner_from_mm = from.inner_mm(wish.width_mm);
    out.inner_to_mm = to.inner_mm(wish.width_mm);
    out.start_lean_rad = from.lean_rad;
    out.end_lean_rad = to.lean_rad;
    out.thickness_mm = wish.thickness_mm;
    out.area_mm2 = 0.5 * wish.width_mm * (out.to_mm - out.from_mm + out.inner_to_mm - out.inner_from_mm);
    const std::array<Point, 4> corners{Point{out.from_mm, 0.0}, Point{out.to_mm, 0.0},
                                       Point{out.inner_to_mm, wish.width_mm}, Point{out.inner_from_mm, wish.width_mm}};
    const Point fibre = geometry::unit(fibre_of(edge, piece)), across = geometry::left_of(fibre);
    geometry::Box box;
    for (const Point& corner : corners) box.add(Point{geometry::dot(corner, fibre), geometry::dot(corner, across)});
    out.along_mm = box.width_mm() + 2.0 * wish.allowance_mm;
    out.across_mm = box.height_mm() + 2.0 * wish.allowance_mm;
    return out;
}

bool comes_out(const BuildUpWish& wish, const BuildUpPart& part) {
    return part.along_mm <= wish.longest_mm + same_mm && part.across_mm <= wish.widest_mm + same_mm;
}

/// The stretch under one piece of the top, in as few equal parts as the offcuts allow; none where no number will do.
std::vector<BuildUpPart> stretch(const BuildUpWish& wish, const BuildUpEdge& edge, std::size_t piece, const Bound& from,
                                 const Bound& to) {
    for (int n = 1; n <= most_parts; ++n) {
        if (n > 1 && to.at_mm - from.at_mm < n * same_mm) break;
        std::vector<BuildUpPart> parts;
        for (int i = 0; i < n; ++i) {
            const Bound a = between(from, to, static_cast<double>(i) / n, wish.width_mm);
            const Bound b = between(from, to, static_cast<double>(i + 1) / n, wish.width_mm);
            parts.push_back(part_between(wish, edge, piece, a, b));
            if (!comes_out(wish, parts.back())) break;
        }
        if (static_cast<int>(parts.size()) == n && comes_out(wish, parts.back())) return parts;
    }
    return {};
}

}  // namespace

BuildUpPlan plan_build_up(const BuildUpWish& wish) {
    check(wish);
    const auto shown = [&](double mm) { return units::show(mm, wish.style); };
    BuildUpPlan out;
    bool any_end_grain = false, any_strip = false;
    for (const BuildUpEdge& edge : wish.edges) {
        const double begins = edge.start_taken_mm, ends = edge.length_mm - edge.end_taken_mm;
        Bound from{begins, 0.0};
        for (std::size_t i = 0; i < edge.pieces.size(); ++i) {
            Bound to{ends, 0.0};
            if (i < edge.seams.size()) {
                to = {edge.seams[i].at_mm, edge.seams[i].lean_rad};
                if (to.at_mm < begins + same_mm || to.at_mm > ends - same_mm) {
                    out.must.push_back(fmt::format(
                        "On the {}, the seam at {} meets the edge where the strip beside it runs through: its end "
                        "would "
                        "show one wood under two. Let the build-up there be split at the seam too, or move the seam.",
                        edge.name, shown(to.at_mm)));
                    if (to.at_mm > ends - same_mm) to = {ends, 0.0};
                    if (to.at_mm < begins + same_mm) continue;
                }
            }
            if (to.at_mm - from.at_mm < same_mm) break;
            const bool end_grain = std::abs(std::remainder(fibre_of(edge, i), geometry::pi)) > half_way_rad;
            (end_grain ? out.end_grain_mm : out.strip_mm) += to.at_mm - from.at_mm;
            (end_grain ? any_end_grain : any_strip) = true;
            if (to.inner_mm(wish.width_mm) - from.inner_mm(wish.width_mm) < -same_mm) {
                out.must.push_back(fmt::format(
                    "On the {}, {} between {} and {} comes to a point before the inside of the build-up: take a "
                    "narrower build-up, or cut this part by hand to the seams.",
                    edge.name, edge.pieces[i], shown(from.at_mm), shown(to.at_mm)));
                from = to;
                continue;
            }
            const auto parts = stretch(wish, edge, i, from, to);
            if (parts.empty()) {
                out.must.push_back(fmt::format(
                    "On the {}, the part under {} does not come out of offcuts {} long and {} wide: it needs {} along "
                    "its fibres.",
                    edge.name, edge.pieces[i], shown(wish.longest_mm), shown(wish.widest_mm),
                    shown(part_between(wish, edge, i, from, to).along_mm)));
            }
            for (BuildUpPart part : parts) {
                part.end_grain = end_grain;
                if (part.to_mm - part.from_mm < shortest_mm) {
                    out.mind.push_back(
                        fmt::format("On the {}, the part under {} is only {} wide: saw it off a longer "
                                    "piece after gluing that one on.",
                                    edge.name, part.piece, shown(part.to_mm - part.from_mm)));
                }
                out.glue_mm2 += part.area_mm2;
                out.parts.push_back(part);
            }
            from = to;
        }
    }
    if (any_end_grain) {
        out.mind.emplace_back(
            "Take the end-grain pieces from the offcut that was next to the end of the same piece, and keep them in "
            "order: mark a triangle across them before they are sawn apart.");
    }
    if (any_strip) {
        out.mind.emplace_back(
            "Take each strip from the edge it goes under, turn it over like a page: colour and grain go on round the "
            "edge.");
    }
    if (!out.parts.empty()) {
        out.mind.emplace_back(
            "All fibres lie as in the top above them, so that both move alike. Short pieces are held in a jig or cut "
            "off "
            "a longer one, never by hand near a blade.");
    }
    return out;
}

std::vector<BuildUpEdge> rectangle_edges(double length_mm, double depth_mm, double width_mm, const std::string& piece) {
    BuildUpEdge front{"front", length_mm, 0.0, {}, {piece}, 0.0, 0.0};
    BuildUpEdge right{"right end", depth_mm, 0.5 * geometry::pi, {}, {piece}, width_mm, width_mm};
    BuildUpEdge back = front, left = right;
    back.name = "back";
    left.name = "left end";
    return {front, right, back, left};
}

}  // namespace seamwright::process
