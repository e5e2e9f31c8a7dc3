#pragma once

#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "curves/clothoid.h"
#include "curves/drawn.h"

namespace seamwright::curves {

// The fair curve under a trace: as near to the points as the maker wants, and its curvature changing as little as it
// can.
//
//     min ½ ∫ (dκ/ds)² ds + ½ (2π/λ)⁶ ∫ w (η − m)² ds     within the band and the tightest radii,
//
// η being the curve's offset from the trace. A circle costs nothing, so points on a circle give that circle. Without
// limits a ripple of wave length λ comes through at half its height, one of wave length ℓ at 1/(1 + (λ/ℓ)⁶) of it.

/// A place the curve must come to, beside the trace itself.
struct FairPin {
    Point at;
    double tolerance_mm = 0.0;  ///< how far the curve may miss it, sideways; 0: it goes through
};

struct FairEnd {
    bool held = false;                  ///< goes through the trace's end point
    std::optional<double> heading_rad;  ///< direction of travel there; absent: free
    std::optional<double> curvature;    ///< 1/mm, positive to the left; absent: free
};

struct FairSettings {
    /// λ: ripples shorter than this are smoothed out. > 0, mm.
    double wave_mm = 150.0;
    /// Tightest radius allowed where the curve turns left, or right, as seen along the trace. > 0, mm.
    std::optional<double> least_radius_left_mm, least_radius_right_mm;
    /// How far the curve may lie to the left and to the right of the trace. >= 0, mm; infinite: no band. With 0 on one
    /// side the curve nowhere crosses to that side.
    double band_left_mm = HUGE_VAL;
    double band_right_mm = HUGE_VAL;
    /// The trace runs round: its last point is followed by its first. The curve closes on itself, in place, direction
    /// and curvature, and begins beside the first point; `start` and `end` are passed over, and waves longer than a
    /// quarter of the lap count as that.
    bool closed = false;
    FairEnd start, end;
    std::vector<FairPin> pins;  ///< in any order
    /// Points that stand out from the rest (a bump, a slip of the pencil) pull less the farther out they are, and not
    /// at all beyond about five times the usual scatter, which counts as 0.01 mm at least (Tukey's biweight; P. Huber,
    /// Robust Statistics, 1981).
    bool robust = false;
    /// Points within half a step count as one, at their mean offset: right for what was measured. Off for a curve that
    /// was drawn: then the band holds at every point.
    bool averaged = true;
    /// Length of the curve's spans, mm. Absent: a fortieth of the wave, shorter for tight radii and short curves. Below
    /// a hundredth of the wave digits are lost.
    std::optional<double> step_mm;
};

/// Where one point of the trace lies beside the fair curve.
struct TraceOffset {
    double at_mm = 0.0;   ///< along the fair curve
    double off_mm = 0.0;  ///< of the point, from the curve; positive to its left
};

struct FairCurve {
    std::vector<Clothoid> spans;  ///< curvature runs on without steps, straight within each span
    double length_mm = 0.0;
    bool closed = false;
    std::vector<TraceOffset> offsets;  ///< one for each point of the trace
    double largest_off_mm = 0.0;       ///< largest |off_mm|
    double rms_off_mm = 0.0;           ///< root of the mean square, by length
    double steepest = 0.0;             ///< largest |dκ/ds|, 1/mm²
    int rounds = 0;                    ///< times the curve was laid anew
    int steps = 0;                     ///< steps of the solver, all rounds together

    geometry::SmoothCurve curve() const;
    /// As lines and arcs, like every drawn curve.
    std::variant<Drawn, CurveProblem> drawn(double within_mm = 0.002) const;
    double curvature_at(double at_mm) const;
};

/// What stands in the way where no curve satisfies all that was asked.
struct FairBlock {
    std::optional<std::size_t> pin;     ///< index of the pin; absent for a stretch of the band
    double from_mm = 0.0, to_mm = 0.0;  ///< along the curve; equal for a pin
    Point at;                           ///< the place that pushes most
    Point move;                         ///< which way, and by how much, to move what stands there
    double share = 0.0;                 ///< of the whole push, 0..1
};

/// Why there is no fair curve.
struct FairProblem {
    std::string reason;
    std::string remedy;
    std::optional<Point> at;
    /// Where the band and the pins contradict the radii and the held ends: the amount by which all of them would have
    /// to be widened, the places that force it, hardest first, and the curve that this widening gives.
    double widen_mm = 0.0;
    std::vector<FairBlock> blocks;
    std::optional<FairCurve> nearest;
};

/// The fair curve of a trace. The points come in order; none is dropped, and points that lie closer together than
/// the curve's own steps (a fortieth of the wave, or less for tight radii) are averaged by their offset from the curve,
/// which a bend does not bias. `weights`: empty, or one for each point, >= 0 (1/σ²: any common factor matters as if
/// the points were that many).
/// Refused: fewer than 3 points, points that are none or beyond a kilometre, a trace that doubles back within the
/// wave, settings outside their ranges, a contradiction (see FairProblem).
std::variant<FairCurve, FairProblem> fit_fair(std::span<const Point> trace, const FairSettings& settings,
                                              std::span<const double> weights = {});

/// Where points given in order lie beside a fair curve.
std::vector<TraceOffset> offsets_from(const FairCurve& curve, std::span<const Point> trace);

/// Points along a path for `fit_fair`, evenly spaced, both ends included; corners are kept in as they come.
std::vector<Point> trace_of(const Path& path, double step_mm);

}  // namespace seamwright::curves
