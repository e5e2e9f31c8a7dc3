#include "board_pictures.h"

#include <fmt/format.h>

#include <set>
#include <span>
#include <variant>

#include "board_photo_words.h"
#include "trace/board_picture.h"

namespace seamwright::app {

ReadPictures read_board_pictures(const shelf::Shelf& shelf, const job::FetchFile& fetch) {
    ReadPictures out;
    std::set<std::string> looked_at;
    for (const shelf::Board& board : shelf.boards) {
        if (board.picture.empty() || !looked_at.insert(board.picture).second) continue;
        std::string why;
        const auto bytes = fetch(board.picture, why);
        if (!bytes) {
            out.told.push_back(fmt::format("The picture {} of {} is not shown: {}.", board.picture, board.name, why));
            continue;
        }
        // Files are read as char, pictures as unsigned char.
        const auto read =
            trace::read_colour_picture(std::span(reinterpret_cast<const std::uint8_t*>(bytes->data()), bytes->size()));
        if (const auto* problem = std::get_if<trace::TraceProblem>(&read)) {
            out.told.push_back(fmt::format("The picture {} of {} is not shown. {} {}", board.picture, board.name,
                                           problem->reason, problem->remedy));
            continue;
        }
        // Written anew whatever it was: what goes into a PDF is then of one ordinary kind.
        const auto small = trace::no_larger_than(std::get<trace::ColourPicture>(read), trace::longest_board_px);
        auto file = std::make_shared<paper::PictureFile>();
        file->width_px = small.width;
        file->height_px = small.height;
        file->jpeg = trace::write_jpeg(small, board_picture_quality);
        out.pictures.emplace(board.picture, std::move(file));
    }
    return out;
}

}  // namespace seamwright::app
