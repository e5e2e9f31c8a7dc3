#include <fmt/format.h>

#include <algorithm>

#include "parts.h"

namespace seamwright::job {

namespace {

using shelf::Board;
using shelf::Defect;

Defect read_defect(Checker& checker, const Node& node) {
    const Group group(checker, node, {"kind", "allowed", "at", "radius", "outline"});
    Defect defect;
    if (!group) return defect;
    if (const auto kind = group.need("kind", "what it is: a knot, a check, sapwood, wane or other")) {
        const auto choice = read_choice(checker, *kind, {"knot", "check", "sapwood", "wane", "other"});
        for (const auto k :
             {Defect::Kind::knot, Defect::Kind::check, Defect::Kind::sapwood, Defect::Kind::wane, Defect::Kind::other})
            if (choice == shelf::name_of(k)) defect.kind = k;
    }
    if (const auto allowed = group.find("allowed")) {
        const auto choice = read_choice(checker, *allowed, {"nowhere", "away_from_seams", "anywhere"});
        for (const auto a : {Defect::Allowed::nowhere, Defect::Allowed::away_from_seams, Defect::Allowed::anywhere})
            if (choice == shelf::name_of(a)) defect.allowed = a;
    }
    const auto shape = group.exactly_one({"at", "outline"}, "place");
    if (!shape) return defect;
    if (*shape == "outline") {
        const auto outline = group.find("outline");
        defect.outline = read_points(checker, *outline, 3).value_or(std::vector<Point>{});
    } else {
        group.need_point("at", "the middle of the spot, from the left end and the near edge", defect.at);
        group.need_length("radius", ranges::defect_radius_mm, "its radius, such as 12", defect.radius_mm);
    }
    return defect;
}

/// A place that cannot be on the board.
void check_on_board(Checker& checker, const Node& node, const Board& board, Point p) {
    if (!(board.length_mm > 0.0 && board.width_mm > 0.0)) return;
    constexpr double grace_mm = 1.0;
    const bool on =
        p.x >= -grace_mm && p.y >= -grace_mm && p.x <= board.length_mm + grace_mm && p.y <= board.width_mm + grace_mm;
    if (on) return;
    checker.error(node, fmt::format("a place at {}, {}", checker.say_mm(p.x), checker.say_mm(p.y)),
                  fmt::format("a place on the board, {} long and {} wide", checker.say_mm(board.length_mm),
                              checker.say_mm(board.width_mm)),
                  "measure from the left end and from the near edge of the board");
}

/// The name only: whether there is such a file is for those who draw it to find out.
std::optional<std::string> read_picture_name(Checker& checker, const Node& node) {
    auto name = read_name(checker, node);
    if (!name) return std::nullopt;
    std::string ending = name->substr(std::min(name->rfind('.'), name->size()));
    for (char& c : ending) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    if (ending != ".jpg" && ending != ".jpeg" && ending != ".png") {
        checker.error(node, quote(*name), "the name of a JPEG or PNG file, such as \"ash-1.jpg\"",
                      "make the picture with ./run board-photo and write the name of the file it gave");
        return std::nullopt;
    }
    // Both kinds of stroke part folders somewhere, and a colon a drive.
    const bool leads_out = name->front() == '/' || name->find_first_of("\\:") != std::string::npos ||
                           ('/' + *name).find("/../") != std::string::npos;
    if (leads_out) {
        checker.error(node, quote(*name), "a file in the folder of the job file, or below it",
                      "put the picture beside the job file and write its name alone");
        return std::nullopt;
    }
    return name;
}

Board read_board(Checker& checker, const Node& node, UsedNames& names) {
    const Group group(checker, node,
                      {"name", "species", "length", "width", "thickness", "planed", "class", "slope_degrees", "sawn",
                       "heart", "moisture_percent", "price", "picture", "outline", "defects", "grain_lines"});
    Board board;
    if (group.need_name("what is chalked on the board, such as \"walnut 3\"", board.name))
        names.add(checker, *group.find("name"), board.name, "board");
    board.species = read_wood(checker, group);
    group.need_length("length", ranges::board_length_mm, "its length, such as 2400", board.length_mm);
    group.need_length("width", ranges::board_mm, "its width, where it is widest, such as 220", board.width_mm);
    group.need_length("thickness", ranges::board_thickness_mm, "its thickness as it is, such as 30",
                      board.thickness_mm);
    if (const auto planed = group.find("planed")) {
        board.planed_mm = read_length(checker, *planed, ranges::board_thickness_mm);
        if (board.planed_mm && board.thickness_mm > 0.0 && *board.planed_mm > board.thickness_mm) {
            checker.error(*planed, checker.say_mm(*board.planed_mm),
                          fmt::format("not more than it is now, {}", checker.say_mm(board.thickness_mm)),
                          "\"planed\" is what is left when both faces are flat");
        }
    }
    if (const auto of_yard = group.find("class"))
        board.thickness_class = read_name(checker, *of_yard).value_or(std::string());
    if (const auto slope = group.find("slope_degrees")) {
        if (read_number(checker, *slope, ranges::slope_degrees, "degrees between fibres and board"))
            board.slope_rad = read_angle(checker, *slope).value_or(0.0);
    }
    if (const auto sawn = group.find("sawn")) {
        const auto choice = read_choice(checker, *sawn, {"flat", "rift", "quarter"});
        for (const auto s : {shelf::Sawn::flat, shelf::Sawn::rift, shelf::Sawn::quarter})
            if (choice == shelf::name_of(s)) board.sawn = s;
    }
    if (const auto heart = group.find("heart")) {
        if (const auto choice = read_choice(checker, *heart, {"up", "down"})) board.heart_up = *choice == "up";
    }
    if (const auto moisture = group.find("moisture_percent")) {
        board.moisture_percent =
            read_number(checker, *moisture, ranges::moisture_percent, "percent, as a moisture meter reads");
    }
    if (const auto price = group.find("price"))
        board.price = read_number(checker, *price, ranges::price, "the price of the board");
    if (const auto picture = group.find("picture"))
        board.picture = read_picture_name(checker, *picture).value_or(std::string());
    if (const auto outline = group.find("outline")) {
        board.outline = read_points(checker, *outline, 3).value_or(std::vector<Point>{});
        for (const Point p : board.outline) check_on_board(checker, *outline, board, p);
    }
    if (const auto defects = group.find("defects")) {
        for (const Node& item : read_list(checker, *defects, ranges::most_defects)) {
            board.defects.push_back(read_defect(checker, item));
            const Defect& defect = board.defects.back();
            if (defect.outline.empty() && defect.radius_mm > 0.0) check_on_board(checker, item, board, defect.at);
        }
    }
    if (const auto lines = group.find("grain_lines")) {
        for (const Node& item : read_list(checker, *lines, ranges::most_grain_lines)) {
            auto line = read_points(checker, item, 2);
            if (!line) continue;
            for (const Point p : *line) check_on_board(checker, item, board, p);
            board.grain_lines.push_back(std::move(*line));
        }
    }
    return board;
}

}  // namespace

std::vector<Board> read_boards(Checker& checker, const Node& node) {
    std::vector<Board> boards;
    UsedNames names;
    for (const Node& item : read_list(checker, node, ranges::most_boards))
        boards.push_back(read_board(checker, item, names));
    return boards;
}

std::optional<std::string> read_board_name(Checker& checker, const Node& node, const shelf::Shelf& shelf) {
    auto name = read_name(checker, node);
    if (!name) return std::nullopt;
    std::vector<std::string_view> known;
    for (const Board& board : shelf.boards) known.push_back(board.name);
    if (std::find(known.begin(), known.end(), *name) != known.end()) return name;
    const std::string near = nearest_name(*name, known);
    checker.error(node, fmt::format("{}, which is not on the shelf", quote(*name)),
                  "the name of one of the boards on this shelf",
                  near.empty() ? std::string("add the board to \"boards\" of the shelf, or take its name out")
                               : fmt::format("write {} if that is what is meant", quote(near)));
    return std::nullopt;
}

}  // namespace seamwright::job
