#pragma once

#include <span>

#include "fields.h"

namespace seamwright::edit {

/// How near a pointer can say a size.
struct Aim {
    double mm_per_px = 1.0;
    bool free = false;  ///< no marks
};
enum class Stride { fine, rule, coarse };

/// The maker's rule: which marks it has, and how a size read from it is written into the document.
struct Ruler {
    units::Unit bare = units::Unit::millimetre;  ///< of the document's bare numbers
    units::LengthStyle style;                    ///< of what the maker reads

    explicit Ruler(const Json& tree);

    double finest_mm() const;
    double stride_mm(Stride stride) const;
    /// The marks a pointer can hit: the closest that lie at least 4 px apart, or the widest there are.
    double marks_mm(const Aim& aim) const;
    /// About that size, on a coarse mark; never nought.
    double about(double mm) const;
    /// The nearest place on the marks of a usual rule.
    geometry::Point rounded(geometry::Point p) const;
    /// The nearest mark, or free: to a hundredth of a millimetre.
    double aimed(double mm, const Aim& aim) const;

    /// As the maker would write it: "2 3/8 in", 45.5.
    Json written(double mm) const;
    Json written(geometry::Point p) const;
    /// A size that was computed and not read from a rule: a plain number to a thousandth of a millimetre.
    Json computed(double mm) const;
    Json computed(geometry::Point p) const;

    std::optional<double> mm(const Json& value) const { return length_mm(value, bare); }
    double mm(const Json& value, double otherwise) const { return mm(value).value_or(otherwise); }
    std::optional<geometry::Point> point(const Json* value) const;
    std::string show(double mm) const { return units::show(mm, style); }
    std::string show(geometry::Point p) const;
};

/// A hand with a mouse holds still to about this.
inline constexpr double steady_px = 4.0;

/// The first of the marks, small to large, that is at least that; else the last.
double mark_of(std::span<const double> marks, double at_least);

/// The nearest multiple of `step`.
double to_multiple(double value, double step);
/// The next multiple of `step` that is no less, noise apart.
double up_to_multiple(double value, double step);

}  // namespace seamwright::edit
