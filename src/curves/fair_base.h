#pragma once

// Within the room: the curve a fair fit starts each round from, and the cubic spline of offsets upon it.

#include <array>
#include <cmath>
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

/// The base with its ends brought to the feet of two points: end spans are cut, lengthened, dropped or added. Says by
/// how much the ends had to be moved.
double trim_ends(FairBase& base, Point first, Point last);

/// The base with spans cut in equal parts where one turns by more than `most_turn_rad` (but none shorter than about
/// `least_mm`), or is more than twice as long as its neighbour. The curve itself stays the same.
void refine(FairBase& base, double most_turn_rad, double least_mm);

struct CurvatureBounds {
    double low = -HUGE_VAL, high = HUGE_VAL;
};
/// The base moved along its normals by the spline of these coefficients, laid out anew within the bounds. nullopt where
/// the offset is too large for the base: it would turn back on itself.
std::optional<FairBase> moved(const FairBase& base, const std::vector<double>& offset, const CurvatureBounds& bounds);

/// The foot of a point on the base.
struct Foot {
    std::size_t span = 0;
    double along_mm = 0.0;  ///< from the start of the span; beyond the ends of the base for the first and last span
    double off_mm = 0.0;    ///< of the point, positive to the left
};
/// Looks from span `near` on, the way the point lies: points in order each start where the one before was found.
Foot foot_on(const FairBase& base, Point p, std::size_t near);

/// The ways a base can be moved along its normals while it stays a chain of clothoids with continuous curvature, to
/// first order: what a cubic spline is to a straight row of nodes. One function for each node and one more at each end,
/// every one of them not zero over four spans at most.
class OffsetSpline {
  public:
    explicit OffsetSpline(const FairBase& base);

    /// Number of functions: spans + 3.
    std::size_t size() const { return spans_.size() - 3; }
    /// Offset, `along` from the start of a span.
    BandRow value(std::size_t span, double along) const;
    /// Change of direction at a node.
    BandRow turn(std::size_t node) const;
    /// Change of curvature at a node.
    BandRow bend(std::size_t node) const;
    /// Change of a span's length.
    BandRow stretch(std::size_t span) const;

  private:
    /// Of a span: what its curvatures and its length gain by offset and turn at its two ends.
    struct Span {
        double length = 0.0;
        std::array<double, 4> start_bend{}, end_bend{}, stretch{};
    };
    /// Of one function: offset, turn and gain of curvature at its five nodes; at the first and last it is nothing.
    struct Function {
        std::array<double, 5> offset{}, turn{}, bend{};
    };
    static Span span_of(double length, double k0, double k1);
    Function function_of(std::size_t first) const;

    std::vector<Span> spans_;          // three more beyond each end, as the end spans bend there
    std::vector<Function> functions_;  // the i-th over spans_ i … i + 3
};

}  // namespace seamwright::curves
