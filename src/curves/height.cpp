#include "curves/height.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "curves/elastica.h"

namespace seamwright::curves {

namespace {

struct Marks {
    double mark_mm = 0.0;

    /// What is a multiple but for rounding stays.
    static constexpr double noise = 1e-9;

    double down(double mm) const {
        if (!(mark_mm > 0.0) || std::abs(mm) < mark_mm) return mm;
        return std::copysign(std::floor(std::abs(mm) / mark_mm + noise) * mark_mm, mm);
    }
    double up(double mm) const {
        if (!(mark_mm > 0.0)) return mm;
        return std::copysign(std::ceil(std::abs(mm) / mark_mm - noise) * mark_mm, mm);
    }
    double nearest(double mm) const { return mark_mm > 0.0 ? std::round(mm / mark_mm) * mark_mm : mm; }
};

struct Heightened {
    double factor;
    Marks marks;

    std::optional<Curve> operator()(const Straight& straight) const { return straight; }

    std::optional<Curve> operator()(const Arc& arc) const {
        Arc out = arc;
        if (arc.rise_mm) {
            out.rise_mm = marks.down(factor * *arc.rise_mm);
            return out;
        }
        const double half = 0.5 * geometry::distance(arc.from, arc.to);
        const double radius = std::abs(arc.radius_mm.value_or(0.0));
        const double rise =
            factor * half * half / (radius + std::sqrt(std::fmax(0.0, (radius - half) * (radius + half))));
        // A radius means the shorter way round.
        if (!(rise > 0.0 && rise <= half)) return std::nullopt;
        out.radius_mm =
            std::copysign(std::fmax(half, marks.up(0.5 * (half * half / rise + rise))), arc.radius_mm.value_or(0.0));
        return out;
    }

    std::optional<Curve> operator()(const Sprung& sprung) const {
        const auto stick = stick_of(sprung);
        const auto* s = std::get_if<SprungStick>(&stick);
        if (s == nullptr) return std::nullopt;
        Sprung out = sprung;
        if (sprung.rise_mm) {
            out.rise_mm = marks.down(factor * *sprung.rise_mm);
        } else {
            const auto other = sprung_stick({s->chord_mm, std::nullopt, factor * s->rise_mm});
            const auto* o = std::get_if<SprungStick>(&other);
            if (o == nullptr) return std::nullopt;
            const double marked = marks.down(o->length_mm);
            out.length_mm = std::copysign(marked > s->chord_mm ? marked : o->length_mm, sprung.length_mm.value_or(0.0));
        }
        if (std::holds_alternative<CurveProblem>(stick_of(out))) return std::nullopt;
        return out;
    }

    std::optional<Curve> operator()(const Wave& wave) const {
        Wave out = wave;
        for (Wave::Term& term : out.terms) term.half_height_mm = marks.down(factor * term.half_height_mm);
        return out;
    }

    std::optional<Curve> operator()(const Pins& pins) const {
        if (pins.closed || pins.points.size() < 2) return std::nullopt;
        const Point from = pins.points.front();
        const Point span = pins.points.back() - from;
        const double chord_mm = geometry::norm(span);
        if (!(chord_mm > 0.0)) return std::nullopt;
        const Point along = span / chord_mm;
        const Point across = geometry::left_of(along);
        Pins out = pins;
        for (std::size_t i = 1; i + 1 < out.points.size(); ++i) {
            Point& p = out.points[i];
            const Point off = p - from;
            p = from + dot(off, along) * along + factor * dot(off, across) * across;
            p = {marks.nearest(p.x), marks.nearest(p.y)};
        }
        const double chord_rad = geometry::heading(along);
        for (auto* held : {&out.start_heading_rad, &out.end_heading_rad}) {
            if (!*held) continue;
            const double off_rad = geometry::wrap_pi(**held - chord_rad);
            *held = geometry::wrap_pi(chord_rad + std::atan2(factor * std::sin(off_rad), std::cos(off_rad)));
        }
        return out;
    }

    std::optional<Curve> operator()(const Oval& /*oval*/) const { return std::nullopt; }
    std::optional<Curve> operator()(const Imported& /*imported*/) const { return std::nullopt; }
    std::optional<Curve> operator()(const Traced& /*traced*/) const { return std::nullopt; }
};

}  // namespace

std::optional<Curve> with_height(const Curve& curve, double factor, double mark_mm) {
    if (!(factor > 0.0) || !std::isfinite(factor))
        throw std::invalid_argument("with_height: the factor must be a positive number");
    return std::visit(Heightened{factor, Marks{mark_mm}}, curve);
}

std::optional<BaseLine> base_line(const Curve& curve) {
    if (const auto* straight = std::get_if<Straight>(&curve)) return BaseLine{straight->from, straight->to};
    if (const auto* arc = std::get_if<Arc>(&curve)) return BaseLine{arc->from, arc->to};
    if (const auto* sprung = std::get_if<Sprung>(&curve)) return BaseLine{sprung->from, sprung->to};
    if (const auto* wave = std::get_if<Wave>(&curve)) return BaseLine{wave->from, wave->to};
    const auto* pins = std::get_if<Pins>(&curve);
    if (pins == nullptr || pins->closed || pins->points.size() < 2) return std::nullopt;
    return BaseLine{pins->points.front(), pins->points.back()};
}

bool has_height(const Curve& curve) {
    if (const auto* pins = std::get_if<Pins>(&curve)) return !pins->closed && pins->points.size() > 2;
    return std::holds_alternative<Arc>(curve) || std::holds_alternative<Sprung>(curve) ||
           std::holds_alternative<Wave>(curve);
}

}  // namespace seamwright::curves
