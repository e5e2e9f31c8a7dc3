#pragma once

#include <optional>
#include <vector>

#include "geometry/between.h"
#include "plan/plan.h"

namespace seamwright::screen {

using geometry::between_samples;

/// A radius of a kilometre is straight to any eye; the job file knows none larger.
inline constexpr double straightest_mm = 1e6;

/// A place along a seam.
struct Station {
    double at_mm = 0.0;  ///< from the start of the seam in the wood
    geometry::Point place;
    double heading_rad = 0.0;
    double curvature = 0.0;  ///< of the curve that was meant, 1/mm, + turns left
};

/// A stretch of a seam, from and to in mm along it.
struct Stretch {
    double from_mm = 0.0, to_mm = 0.0;
};

/// A seam within the wood laid out straight: evenly spread stations, and the worst places among them.
class Unrolled {
  public:
    /// Keeps a reference to the seam, whose in_wood must not be empty.
    explicit Unrolled(const plan::SeamPlan& seam);

    const plan::SeamPlan& seam() const { return *seam_; }
    const std::vector<Station>& stations() const { return stations_; }
    double length_mm() const { return length_mm_; }
    const std::vector<double>& running_mm() const { return running_mm_; }
    /// Inflections within the wood.
    std::vector<double> turns_mm() const;
    /// The stretch around the place of a reach problem where its step cannot follow by arithmetic; at least as long as
    /// two stations are apart.
    std::optional<Stretch> tight(const seam::ReachProblem& problem) const;
    /// Room of a step at a curvature: the radius less the least radius on that hand; infinite where it is straight.
    static double room_mm(const seam::ReachOfStep& reach, double curvature);

  private:
    Station station(double at_mm) const;
    std::optional<double> in_wood(double along_drawn_mm) const;

    const plan::SeamPlan* seam_;
    std::vector<double> running_mm_;
    double length_mm_ = 0.0;
    double starts_mm_ = 0.0;  ///< where the wood begins, along the curve as drawn
    std::vector<Station> stations_;
};

/// The largest number of even steps along a seam; the tightest places and the worst gap come on top.
inline constexpr double station_steps = 160.0;

}  // namespace seamwright::screen
