#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "app/cli.h"

// Its own name.
namespace CLI {  // NOLINT(readability-identifier-naming)
class App;
}

namespace seamwright::app {

/// As the maker wrote it on the command line.
struct BoardPhotoWish {
    std::string photo;
    std::vector<std::string> corners;  ///< four times "X,Y" in pixels of the photo
    std::string length, width, above;  ///< empty: measured by the marks; the marks lie on the board
    std::string unit = "mm";           ///< of bare lengths, and for what is told
    std::string output;
};

/// Names the options of `seamwright board-photo`.
void add_board_photo_options(CLI::App& command, BoardPhotoWish& wish);

/// A photo of a board becomes the board's picture.
Exit board_photo(const BoardPhotoWish& wish, std::ostream& out, std::ostream& err);

}  // namespace seamwright::app
