#include "board_photo_words.h"

#include <fmt/format.h>

#include <cmath>

#include "plan/words.h"

namespace seamwright::app {

std::vector<std::string> words_of(const trace::BoardPicture& board, const units::LengthStyle& style) {
    const auto show = [&](double mm) { return units::show(mm, style); };
    const auto thin = [&](double mm) { return plan::words::thin_text(mm, style.unit); };
    std::vector<std::string> said;
    if (board.by_marks) {
        said.push_back(fmt::format("By the marks the board is {} long and {} wide.", show(board.measured_length_mm),
                                   show(board.measured_width_mm)));
        said.push_back(fmt::format("{} agree within {:.2f} pixels ({} on the board); places on it are good to {}.",
                                   plan::words::times(board.marks, "mark", "marks"), board.residual_px,
                                   thin(board.residual_px * board.photo_mm_per_px), thin(board.within_mm)));
        said.push_back(fmt::format("Its corners lie within {} of a rectangle.", thin(board.out_of_square_mm)));
    } else {
        said.push_back(fmt::format("By its four corners, taken as {} long and {} wide.", show(board.length_mm),
                                   show(board.width_mm)));
    }
    said.push_back(
        fmt::format("The picture shows {} × {} in {} × {} pixels, {:.2f} to a mm; a pixel of the photo is up "
                    "to {} wide there.",
                    show(board.length_mm), show(board.width_mm), board.picture.width, board.picture.height,
                    board.picture.width / board.length_mm, thin(board.photo_mm_per_px)));
    return said;
}

}  // namespace seamwright::app
