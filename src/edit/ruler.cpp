#include "ruler.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

namespace seamwright::edit {
namespace {

using geometry::Point;
using units::mm_per_inch;
using units::Unit;

/// A hand with a mouse holds still to about this.
constexpr double steady_px = 4.0;

constexpr std::array<double, 4> metric_marks_mm{0.5, 1.0, 5.0, 10.0};
constexpr std::array<double, 6> inch_marks_mm{mm_per_inch / 32.0, mm_per_inch / 16.0, mm_per_inch / 8.0,
                                              mm_per_inch / 4.0,  mm_per_inch / 2.0,  mm_per_inch};

template <std::size_t N>
double marks(const std::array<double, N>& all, double at_least_mm) {
    for (const double mark : all) {
        if (mark >= at_least_mm) return mark;
    }
    return all.back();
}

/// The nearest decimal of so many digits: the division gives the very double that its text reads back as.
double rounded(double value, double parts) {
    return std::round(value * parts) / parts + 0.0;
}

}  // namespace

double to_multiple(double value, double step) {
    return std::round(value / step) * step + 0.0;
}

Ruler::Ruler(const Json& tree) : bare(unit_of(tree)) {
    style.unit = bare;
    if (const Json* unit = find(tree, {"show", "unit"}); unit != nullptr && unit->is_string())
        style.unit = *unit == "in" ? Unit::inch : Unit::millimetre;
    const auto whole = [&](const char* name, int& into) {
        const Json* value = find(tree, {"show", name});
        if (value != nullptr && value->is_number() && std::abs(value->get<double>()) <= 64.0)
            into = static_cast<int>(value->get<double>());
    };
    whole("fractions", style.denominator);
    whole("decimals", style.decimals);
    const Json* feet = find(tree, {"show", "feet"});
    style.feet = feet != nullptr && feet->is_boolean() && feet->get<bool>();
}

double Ruler::finest_mm() const {
    return style.unit == Unit::inch ? inch_marks_mm.front() : metric_marks_mm.front();
}

double Ruler::stride_mm(Stride stride) const {
    const bool inch = style.unit == Unit::inch;
    if (stride == Stride::fine) return finest_mm();
    if (stride == Stride::rule) return inch ? mm_per_inch / 16.0 : 1.0;
    return inch ? mm_per_inch / 2.0 : 10.0;
}

double Ruler::marks_mm(const Aim& aim) const {
    const double at_least_mm = steady_px * aim.mm_per_px;
    return style.unit == Unit::inch ? marks(inch_marks_mm, at_least_mm) : marks(metric_marks_mm, at_least_mm);
}

double Ruler::aimed(double mm, const Aim& aim) const {
    if (!aim.free) return to_multiple(mm, marks_mm(aim));
    return rounded(mm, 100.0);
}

Json Ruler::written(double mm) const {
    if (style.unit == Unit::inch) {
        const auto text = units::write_length(mm, {Unit::inch, 64, 1, false});
        return text.rounded ? computed(mm) : Json(text.text);
    }
    if (bare == Unit::millimetre) return computed(mm);
    return Json(fmt::format("{} mm", number_of(rounded(mm, 1e3)).dump()));
}

Json Ruler::written(Point p) const {
    return Json::array({written(p.x), written(p.y)});
}

Json Ruler::computed(double mm) const {
    return number_of(bare == Unit::inch ? rounded(mm / mm_per_inch, 1e5) : rounded(mm, 1e3));
}

Json Ruler::computed(Point p) const {
    return Json::array({computed(p.x), computed(p.y)});
}

std::optional<Point> Ruler::point(const Json* value) const {
    if (value == nullptr || !value->is_array() || value->size() != 2) return std::nullopt;
    const auto x = mm((*value)[0]), y = mm((*value)[1]);
    if (!x || !y) return std::nullopt;
    return Point{*x, *y};
}

std::string Ruler::show(Point p) const {
    return fmt::format("x {}, y {}", show(p.x), show(p.y));
}

}  // namespace seamwright::edit
