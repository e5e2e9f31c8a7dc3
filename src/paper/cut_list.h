#pragma once

#include "paper/job_book.h"

namespace seamwright::paper {

/// A part as it is sawn roughly.
struct CutLine {
    std::string part, species, board;  ///< board empty: not laid yet
    double length_mm = 0.0, width_mm = 0.0, thickness_mm = 0.0;
    std::optional<Point> from;  ///< its corner on the board, from the left end and the near edge
    bool turned = false, over = false;
    std::string place = {};  ///< where a part of the build-up goes; else empty
};
/// Board by board, along each; then what lies on none.
std::vector<CutLine> cut_list(const JobStudies& studies);

}  // namespace seamwright::paper
