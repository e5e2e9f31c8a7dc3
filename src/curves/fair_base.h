#pragma once

// Within the room: the curve a fair fit starts each round from, and the cubic spline of offsets upon it.

#include <optional>
#include <span>
#include <vector>

#include "banded.h"
#include "curves/clothoid.h"

namespace seamwright::curves {

/// A chain of short clothoid spans, with continuous curvature given at the nodes between them.
struct FairBase {
    std::vector<Point> place;       ///< of each node
    std::vector<double> direction;  ///< of each node, running on without jumps
    std::vector<double> curvature;  ///< of each node
    std::vector<double> at_mm;      ///< length from the start to each node

    std::size_t spans() const { return at_mm.size() - 1; }
    double length_mm() const { return at_mm.back(); }
    double span_mm(std::size_t j) const { return at_mm[j + 1] - at_mm[j]; }
    Clothoid span(std::size_t j) const;
};

/// Through averages of the trace, `group_mm` apart, in spans of about `step_mm`. nullopt where the spline finds no way.
std::optional<FairBase> first_base(std::span<const Point> trace, double group_mm, double step_mm);

/// From a start, node curvatures and span lengths.
FairBase laid_out(Point start, double direction_rad, std::vector<double> curvature, const std::vector<double>& span_mm);

/// The foot of a point on the base.
struct Foot {
    std::size_t span = 0;
    double along_mm = 0.0;  ///< from the start of the span; beyond the ends of the base for the first and last span
    double off_mm = 0.0;    ///< of the point, positive to the left
};
/// Looks from span `near` on, the way the point lies: points in order each start where the one before was found.
Foot foot_on(const FairBase& base, Point p, std::size_t near);

/// Cubic B-splines over the nodes: spans + 3 of them (C. de Boor, A Practical Guide to Splines, chapter X).
class OffsetSpline {
  public:
    /// Nodes as lengths from the start.
    explicit OffsetSpline(const std::vector<double>& nodes);

    std::size_t size() const { return knots_.size() - 4; }
    struct Rows {
        BandRow value, slope, bend;  // the function, its first and second derivative
    };
    Rows at(std::size_t span, double along) const;

  private:
    std::vector<double> knots_;  // three more beyond each end, spaced as the end spans
};

}  // namespace seamwright::curves
