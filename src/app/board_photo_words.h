#pragma once

#include <string>
#include <vector>

#include "trace/board_picture.h"
#include "units/length.h"

namespace seamwright::app {

/// How good the JPEG of a board's picture is, as libjpeg counts: its figure keeps, at a tenth of the size.
inline constexpr int board_picture_quality = 88;

/// What is told of a board's picture, the same on the terminal and on the page: one sentence each.
std::vector<std::string> words_of(const trace::BoardPicture& board, const units::LengthStyle& style);

}  // namespace seamwright::app
