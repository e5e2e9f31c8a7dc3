#include "ruler.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace seamwright::edit {
namespace {

using geometry::Point;
using units::mm_per_inch;
using units::Unit;

constexpr std::array<double, 4> metric_marks_mm{0.5, 1.0, 5.0, 10.0};
constexpr std::array<double, 6> inch_marks_mm{mm_per_inch / 32.0, mm_per_inch / 16.0, mm_per_inch / 8.0,
                                              mm_per_inch / 4.0,  mm_per_inch / 2.0,  mm_per_inch};

/// The nearest decimal of so many digits: the division gives the very double that its text reads back as.
double to_decimals(double value, double parts) {
    return std::round(value * parts) / parts + 0.0;
}

}  // namespace

double mark_of(std::span<const double> marks, double at_least) {
    const auto it = std::find_if(marks.begin(), marks.end(), [&](double m) { return m >= at_least; });
    return it != marks.end() ? *it : marks.back();
}

double to_multiple(double value, double step) {
    return std::round(value / step) * step + 0.0;
}

double up_to_multiple(double value, double step) {
    constexpr double noise = 1e-6;  // of a step
    return std::ceil(value / step - noise) * step;
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
    return style.unit == Unit::inch ? mark_of(inch_marks_mm, at_least_mm) : mark_of(metric_marks_mm, at_least_mm);
}

double Ruler::about(double mm) const {
    const double mark_mm = stride_mm(Stride::coarse);
    return std::max(to_multiple(mm, mark_mm), mark_mm);
}

geometry::Point Ruler::rounded(geometry::Point p) const {
    const double mark_mm = stride_mm(Stride::rule);
    return {to_multiple(p.x, mark_mm), to_multiple(p.y, mark_mm)};
}

double Ruler::aimed(double mm, const Aim& aim) const {
    if (!aim.free) return to_multiple(mm, marks_mm(aim));
    return to_decimals(mm, 100.0);
}

Json Ruler::written(double mm) const {
    if (style.unit == Unit::inch) {
        const auto text = units::write_length(mm, {Unit::inch, 64, 1, false});
        return text.rounded ? computed(mm) : Json(text.text);
    }
    if (bare == Unit::millimetre) return computed(mm);
    return Json(fmt::format("{} mm", number_of(to_decimals(mm, 1e3)).dump()));
}

Json Ruler::written(Point p) const {
    return Json::array({written(p.x), written(p.y)});
}

Json Ruler::computed(double mm) const {
    return number_of(bare == Unit::inch ? to_decimals(mm / mm_per_inch, 1e5) : to_decimals(mm, 1e3));
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
