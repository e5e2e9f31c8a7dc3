#pragma once

#include <cstddef>
#include <vector>

#include "geometry/path.h"

namespace seamwright::bench {

/// How far a result is from what it should be, in both directions. The second finds lost pieces.
struct Deviation {
    double output_to_truth_mm = 0.0;
    double truth_to_output_mm = 0.0;
    std::size_t places = 0;  ///< looked at, both directions together; 0 would mean nothing was measured
};

/// What a parallel or a closing should be, known without computing either: a place q is on the parallel when its
/// distance to the source is the wanted one and it lies on the wanted side. Only the upper edge is scored, one distance
/// clear of the ends of the board.
class Truth {
  public:
    /// `edge`: the upper edge of the closed `board`; `smooth_board`: the same without its bumps, to tell inside from
    /// outside also where bumps double back.
    Truth(geometry::Path edge, geometry::Path board, const geometry::Path& smooth_board, double distance_mm,
          bool outward);

    Deviation of_parallel(const std::vector<geometry::Path>& output) const;
    /// Closing by a disc of distance_mm that rolls outside. Truth to output: places of the source that the disc
    /// touches. Output to truth: every place is `distance` from the parallel (which must be right: `parallel`).
    Deviation of_closing(const std::vector<geometry::Path>& output, const std::vector<geometry::Path>& parallel) const;

  private:
    bool scored(geometry::Point p) const;

    geometry::Path edge_;
    geometry::Path board_;
    double distance_mm_;
    std::vector<geometry::Point> on_parallel_;  // sampled
    std::vector<geometry::Point> touched_;      // sampled
};

std::size_t pieces(const std::vector<geometry::Path>& paths);

}  // namespace seamwright::bench
