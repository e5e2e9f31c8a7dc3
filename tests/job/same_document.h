#pragma once

#include <tuple>

#include "job/read.h"

// Equality to the last bit of everything a document says; curves have no operator of their own.
namespace seamwright::job::testing {

inline bool same(const curves::Straight& a, const curves::Straight& b) {
    return a.from == b.from && a.to == b.to;
}
inline bool same(const curves::Arc& a, const curves::Arc& b) {
    return std::tie(a.from, a.to, a.radius_mm, a.rise_mm) == std::tie(b.from, b.to, b.radius_mm, b.rise_mm);
}
inline bool same(const curves::Sprung& a, const curves::Sprung& b) {
    return std::tie(a.from, a.to, a.length_mm, a.rise_mm) == std::tie(b.from, b.to, b.length_mm, b.rise_mm);
}
inline bool same(const curves::Wave& a, const curves::Wave& b) {
    if (!(a.from == b.from && a.to == b.to && a.terms.size() == b.terms.size())) return false;
    for (std::size_t i = 0; i < a.terms.size(); ++i) {
        const auto& s = a.terms[i];
        const auto& t = b.terms[i];
        if (std::tie(s.half_height_mm, s.length_mm, s.shift) != std::tie(t.half_height_mm, t.length_mm, t.shift)) {
            return false;
        }
    }
    return true;
}
inline bool same(const curves::Oval& a, const curves::Oval& b) {
    return std::tie(a.centre, a.length_mm, a.width_mm, a.turn_rad) ==
           std::tie(b.centre, b.length_mm, b.width_mm, b.turn_rad);
}
inline bool same(const curves::Pins& a, const curves::Pins& b) {
    return std::tie(a.points, a.closed, a.start_heading_rad, a.end_heading_rad, a.batten) ==
           std::tie(b.points, b.closed, b.start_heading_rad, b.end_heading_rad, b.batten);
}
inline bool same(const curves::Imported& a, const curves::Imported& b) {
    return a.path == b.path && a.bound_mm == b.bound_mm;
}
inline bool same(const curves::Traced& a, const curves::Traced& b) {
    return a == b;
}
inline bool same(const curves::Curve& a, const curves::Curve& b) {
    return a.index() == b.index() &&
           std::visit([&](const auto& one) { return same(one, std::get<std::decay_t<decltype(one)>>(b)); }, a);
}
inline bool same(const Outline& a, const Outline& b) {
    if (a.index() != b.index()) return false;
    if (const auto* drawn = std::get_if<FreeOutline>(&a)) return same(drawn->curve, std::get<FreeOutline>(b).curve);
    return std::visit(
        [&](const auto& one) {
            using T = std::decay_t<decltype(one)>;
            if constexpr (std::is_same_v<T, FreeOutline>) {
                return false;
            } else {
                return one == std::get<T>(b);
            }
        },
        a);
}
inline bool same(const Seam& a, const Seam& b) {
    const auto plain = [](const Seam& s) {
        return std::tie(s.name, s.kind, s.edging_width_mm, s.segments, s.eased, s.stick, s.as_made, s.master, s.chain);
    };
    return plain(a) == plain(b) && (a.kind == SeamKind::edging || same(a.curve, b.curve));
}
inline bool same(const Job& a, const Job& b) {
    if (a.seams.size() != b.seams.size()) return false;
    for (std::size_t i = 0; i < a.seams.size(); ++i) {
        if (!same(a.seams[i], b.seams[i])) return false;
    }
    const auto plain = [](const Job& j) {
        return std::tie(j.name, j.note, j.style.unit, j.style.denominator, j.style.decimals, j.style.feet,
                        j.thickness_mm, j.pieces, j.stick, j.sheet, j.limits, j.accuracy, j.gluing, j.climate, j.base,
                        j.cutting, j.build_up, j.edges, j.finish, j.calendar, j.prices, j.made, j.paper);
    };
    return plain(a) == plain(b) && same(a.outline, b.outline);
}
inline bool same(const Document& a, const Document& b) {
    return same(a.job, b.job) && a.shelf == b.shelf;
}

}  // namespace seamwright::job::testing
