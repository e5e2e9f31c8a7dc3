#pragma once

#include <vector>

#include "plan/feed_study.h"

namespace seamwright::plan {

/// Places along a routed edge and beside it. Lengths go round a closed edge, and stop at the ends of an open one. The
/// edge must outlive it.
class BesideEdge {
  public:
    explicit BesideEdge(const RoutedEdge& edge);

    double length_mm() const { return running_.back(); }
    geometry::Station station(double mm) const;
    Point at(double mm) const;
    Point tangent(double mm) const;
    /// Square to the edge, of length 1, out of the wood.
    Point out(double mm) const;

  private:
    const RoutedEdge& edge_;
    std::vector<double> running_;
};

}  // namespace seamwright::plan
