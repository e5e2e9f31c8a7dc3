#pragma once

#include <string>
#include <vector>

#include "job/read.h"
#include "paper/finished_picture.h"

namespace seamwright::app {

/// The pictures that boards of a shelf name.
struct ReadPictures {
    paper::BoardPictures pictures;
    std::vector<std::string> told;  ///< of each that cannot be shown: which, and why
};

/// Reads each once, through the guarded decoder, and brings it to at most trace::longest_board_px.
ReadPictures read_board_pictures(const shelf::Shelf& shelf, const job::FetchFile& fetch);

}  // namespace seamwright::app
