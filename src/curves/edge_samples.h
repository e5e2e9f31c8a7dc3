#pragma once

// Within the room: a drawn edge as the points a fair fit needs of it.

#include <optional>
#include <vector>

#include "curves/drawn.h"
#include "fair_base.h"

namespace seamwright::curves {

/// Places along an edge, in order. Corners, which stand farthest from any curve, are always among them.
struct EdgeSamples {
    std::vector<double> at_mm;
    std::vector<Point> points;
};

/// Between places so far apart a curve of this curvature strays by no more than `most_sag_mm` from their chord.
inline constexpr double most_sag_mm = 0.004;
double spacing_at(double curvature);

class DrawnEdge {
  public:
    /// `finest_mm`: vertices much nearer to each other than this are passed over.
    DrawnEdge(const Path& path, double finest_mm);

    double length_mm() const { return running_mm_.back(); }
    Point point(double at_mm) const;
    EdgeSamples first_samples() const;
    /// A chain of clothoids near the edge, with long spans where the edge is gentle. `least_mm`: details shorter than
    /// this are averaged away. nullopt where the edge turns back on itself at that scale.
    std::optional<FairBase> first_base(double least_mm) const;

  private:
    bool is_gentle(double from_mm, double to_mm) const;
    void lay_pins(double from_mm, double to_mm, double least_mm, std::vector<double>& at) const;

    const Path& path_;
    double finest_mm_;
    std::vector<double> running_mm_;
};

}  // namespace seamwright::curves
