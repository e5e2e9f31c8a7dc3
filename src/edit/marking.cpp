#include "marking.h"

#include <fmt/format.h>

#include <algorithm>

#include "laying.h"

namespace seamwright::edit {

std::string mark_board(Bench& bench, const std::string& board, const std::string& what,
                       const std::vector<geometry::Point>& through) {
    const shelf::Shelf& shelf = bench.document().shelf;
    const std::size_t b = number_of_board(shelf, board);
    const bool grain = what == "grain";
    const std::size_t least = grain ? 2 : 3;
    if (through.size() < least) {
        refuse("/shelf/boards", fmt::format("{} places", through.size()),
               grain ? "two places or more along the fibres" : "three places or more around the spot",
               "press at more places on the board before you finish");
    }
    // A spot drawn past the edge of the board ends there.
    Json places = Json::array();
    for (const geometry::Point p : through) {
        const geometry::Point on{std::clamp(p.x, 0.0, shelf.boards[b].length_mm),
                                 std::clamp(p.y, 0.0, shelf.boards[b].width_mm)};
        places.push_back(bench.ruler().computed(on));
    }
    Json& entry = bench.change()["shelf"]["boards"][b];
    Json& list = entry[grain ? "grain_lines" : "defects"];
    if (!list.is_array()) list = Json::array();
    if (grain) {
        list.push_back(std::move(places));
        return fmt::format("Grain drawn on {}", board);
    }
    Json spot = Json::object();
    spot["kind"] = what;
    spot["outline"] = std::move(places);
    list.push_back(std::move(spot));
    return fmt::format("{} marked on {}",
                       what == "other"     ? "A spot"
                       : what == "sapwood" ? "Sapwood"
                                           : "A " + what,
                       board);
}

}  // namespace seamwright::edit
