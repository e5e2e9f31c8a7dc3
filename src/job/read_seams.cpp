#include <fmt/format.h>

#include <algorithm>

#include "parts.h"

namespace seamwright::job {

namespace {

/// The narrower side of an outline whose size is plain from the document; 0 where it is not.
double narrow_side_mm(const Outline& outline) {
    if (const auto* rectangle = std::get_if<RectangleOutline>(&outline)) {
        return std::min(rectangle->length_mm, rectangle->width_mm);
    }
    if (const auto* round = std::get_if<RoundOutline>(&outline)) return round->diameter_mm;
    if (const auto* oval = std::get_if<OvalOutline>(&outline)) return std::min(oval->length_mm, oval->width_mm);
    return 0.0;
}

void read_edging(Checker& checker, const Group& group, const Outline& outline, Seam& seam) {
    if (const auto curve = group.find("curve")) {
        checker.error(*curve, "a curve", "no curve: an edging follows the outline at its width",
                      "take \"curve\" out, or make the seam an inlay");
    }
    const auto width = group.need("width", "the width of the edging, such as 60");
    if (!width) return;
    const auto length = read_length(checker, *width, ranges::edging_width_mm);
    if (!length) return;
    seam.edging_width_mm = *length;
    const double narrow_mm = narrow_side_mm(outline);
    if (narrow_mm > 0.0 && 2.0 * *length >= narrow_mm) {
        checker.error(*width, checker.say_mm(*length),
                      fmt::format("less than half the top, {}", checker.say_mm(0.5 * narrow_mm)),
                      "make the edging narrower");
    }
}

Segments read_segments(Checker& checker, const Node& node) {
    const Group group(checker, node, {"board_width", "board_length", "number"});
    Segments segments;
    group.need_length("board_width", ranges::board_mm, "the width of the boards it is sawn from, such as 120",
                      segments.board_width_mm);
    group.length("board_length", ranges::board_length_mm, segments.board_length_mm);
    if (const auto number = group.find("number"))
        segments.number = read_whole(checker, *number, 1, ranges::most_segments).value_or(0);
    return segments;
}

void read_eased(Checker& checker, const Node& node, Seam& seam) {
    if (seam.kind == SeamKind::edging) {
        checker.error(node, "an easing for an edging", "an easing only for a seam that is drawn",
                      "take \"eased\" out: an edging follows the outline");
        return;
    }
    const Group group(checker, node, {"least_radius", "within"});
    Easing easing;
    const bool radius = group.need_length("least_radius", ranges::radius_mm,
                                          "the tightest radius the seam may turn, such as 20", easing.least_radius_mm);
    const bool within = group.need_length("within", ranges::eased_within_mm,
                                          "how far the seam may move for that, such as 3", easing.within_mm);
    if (radius && within) seam.eased = easing;
}

Seam read_seam(Checker& checker, const Node& node, const Outline& outline, UsedNames& names) {
    const Group group(checker, node,
                      {"name", "kind", "curve", "width", "segments", "eased", "stick", "master", "chain", "as_made"});
    Seam seam;
    if (!group) return seam;
    if (group.need_name("what the seam is called on the papers, such as \"front seam\"", seam.name)) {
        names.add(checker, *group.find("name"), seam.name, "seam");
    }
    bool kind_known = false;
    if (const auto kind = group.need("kind", "\"open\" (edge to edge), \"inlay\" (closed) or \"edging\"")) {
        const auto choice = read_choice(checker, *kind, {"open", "inlay", "edging"});
        kind_known = choice.has_value();
        if (choice == "inlay") seam.kind = SeamKind::inlay;
        if (choice == "edging") seam.kind = SeamKind::edging;
    }
    if (kind_known && seam.kind == SeamKind::edging) {
        read_edging(checker, group, outline, seam);
        if (const auto segments = group.find("segments")) seam.segments = read_segments(checker, *segments);
    } else if (kind_known) {
        if (const auto width = group.find("width")) {
            checker.error(*width, "a width", "a width only for an edging",
                          "take \"width\" out, or say \"kind\": \"edging\"");
        }
        if (const auto segments = group.find("segments")) {
            checker.error(*segments, "segments", "segments only for an edging",
                          "take \"segments\" out, or say \"kind\": \"edging\"");
        }
        if (const auto curve = group.need("curve", "the line of the seam, such as { \"straight\": { ... } }")) {
            auto read = read_curve(checker, *curve, seam.kind == SeamKind::open ? Ends::open : Ends::closed);
            if (read) seam.curve = std::move(*read);
        }
    }
    if (const auto eased = group.find("eased"); eased && kind_known) read_eased(checker, *eased, seam);
    if (const auto stick = group.find("stick"); stick && kind_known) {
        if (seam.kind == SeamKind::edging) {
            checker.error(*stick, "a stick for an edging", "a stick only for a seam that is drawn",
                          "take \"stick\" out: an edging follows the outline");
        } else {
            seam.stick = read_stick(checker, *stick);
        }
    }
    if (const auto made = group.find("as_made"); made && kind_known) {
        if (seam.kind == SeamKind::open) {
            seam.as_made = read_made_edge(checker, *made);
        } else {
            checker.error(*made, "readings along a closed seam", "readings along seams from edge to edge",
                          "take \"as_made\" out: measure a closed template in the shop, against its print");
        }
    }
    if (const auto master = group.find("master")) {
        const auto choice = read_choice(checker, *master, {"left", "right"});
        if (choice) seam.master = *choice == "left" ? Seam::Hand::left : Seam::Hand::right;
    }
    if (const auto chain = group.find("chain")) {
        const auto text = read_note(checker, *chain);
        if (text) seam.chain = *text;
    }
    return seam;
}

}  // namespace

bool UsedNames::add(Checker& checker, const Node& item, const std::string& name, std::string_view of_what) {
    if (std::find(names_.begin(), names_.end(), name) != names_.end()) {
        checker.error(item, fmt::format("a second {} called {}", of_what, quote(name)),
                      "every name once: the papers tell things apart by it", "give one of them another name");
        return false;
    }
    names_.push_back(name);
    return true;
}

std::optional<Stick> read_stick(Checker& checker, const Node& node) {
    const Group group(checker, node, {"species", "thickness"});
    Stick stick;
    const bool thick =
        group.need_length("thickness", ranges::stick_thickness_mm,
                          "how thick the stick is in the direction it is bent, such as 6", stick.thickness_mm);
    const auto species = group.need("species", "the wood of the stick, such as \"Ash, white\"");
    const auto name = species ? read_name(checker, *species) : std::nullopt;
    if (!thick || !name) return std::nullopt;
    stick.species = *name;
    if (shelf::find_species(*name) == nullptr) {
        checker.warning(*species, fmt::format("{}, which is not in the tables", quote(*name)),
                        "a species of data/mechanical.csv, for what it bears",
                        fmt::format("write \"{}\" if that is what is meant; otherwise it stays open whether the "
                                    "stick breaks",
                                    shelf::nearest_species(*name)));
    }
    return stick;
}

std::vector<Seam> read_seams(Checker& checker, const Node& node, const Outline& outline) {
    std::vector<Seam> seams;
    UsedNames names;
    for (const Node& item : read_list(checker, node, ranges::most_seams)) {
        seams.push_back(read_seam(checker, item, outline, names));
    }
    if (node.value->list() != nullptr && node.value->list()->empty()) {
        checker.warning(node, "no seam", "one or more seams", "add a seam; without one there is no template to plan");
    }
    return seams;
}

namespace {

std::optional<Laid> read_laid(Checker& checker, const Group& group, const shelf::Shelf& shelf) {
    Laid laid;
    const auto board = group.need("board", "the board it lies on, by its name on the shelf");
    if (!board || !group.need_point("at", "where the middle of the piece lies on the board", laid.at))
        return std::nullopt;
    const auto name = read_board_name(checker, *board, shelf);
    if (!name) return std::nullopt;
    laid.board = *name;
    group.flag("turned", laid.turned);
    group.flag("over", laid.over);
    return laid;
}

void read_strips(Checker& checker, const Group& group, const shelf::Shelf& shelf, Piece& piece) {
    if (const auto strips = group.find("strips"))
        piece.strips = static_cast<std::size_t>(read_whole(checker, *strips, 1, ranges::most_strips).value_or(0));
    const auto laid = group.find("laid_strips");
    if (!laid) return;
    if (piece.strips == 0) {
        checker.error(*laid, "strips laid without their number", "\"strips\" beside \"laid_strips\"",
                      "write into how many strips the piece is divided, such as \"strips\": 3");
        return;
    }
    std::vector<bool> used(piece.strips);
    for (const Node& item : read_list(checker, *laid, piece.strips)) {
        const Group strip(checker, item, {"strip", "board", "at", "turned", "over"});
        const auto number = strip.need("strip", "which strip, counted from 1");
        auto where = read_laid(checker, strip, shelf);
        if (!number || !where) continue;
        const auto which = read_whole(checker, *number, 1, static_cast<int>(piece.strips));
        if (!which) continue;
        const auto k = static_cast<std::size_t>(*which);
        if (used[k - 1]) {
            checker.error(*number, fmt::format("strip {} a second time", k), "each strip once", "take one of them out");
            continue;
        }
        used[k - 1] = true;
        piece.laid_strips.push_back({k, std::move(*where)});
    }
}

}  // namespace

std::vector<Piece> read_pieces(Checker& checker, const Node& node, const shelf::Shelf& shelf) {
    std::vector<Piece> pieces;
    UsedNames names;
    for (const Node& item : read_list(checker, node, ranges::most_pieces)) {
        const Group group(checker, item,
                          {"name", "at", "species", "grain_degrees", "moisture_percent", "board", "one_board",
                           "from_boards", "laid", "strips", "laid_strips"});
        Piece piece;
        if (group.need_name("what the piece is called on the papers, such as \"insert\"", piece.name)) {
            names.add(checker, *group.find("name"), piece.name, "piece");
        }
        group.need_point("at", "any place inside the piece, such as [755, 190]", piece.at);
        if (const auto species = group.need("species", "the wood, such as \"Walnut, black\"")) {
            if (const auto name = read_name(checker, *species)) {
                piece.species = *name;
                if (*name == no_species) {
                    checker.warning(*species, "no wood chosen yet", "a wood, for the weight of the piece",
                                    "choose its wood");
                } else if (shelf::find_species(*name) == nullptr) {
                    checker.warning(*species, fmt::format("{}, which is not in the tables", quote(*name)),
                                    "a species of data/mechanical.csv, for its weight",
                                    fmt::format("write \"{}\" if that is what is meant; otherwise the weight of this "
                                                "piece stays open",
                                                shelf::nearest_species(*name)));
                }
            }
        }
        if (const auto grain = group.find("grain_degrees")) {
            piece.grain_rad = read_angle(checker, *grain).value_or(0.0);
        }
        if (const auto moisture = group.find("moisture_percent")) {
            piece.moisture_percent =
                read_number(checker, *moisture, ranges::moisture_percent, "percent, as a moisture meter reads");
        }
        if (const auto node_of_board = group.find("board")) {
            const Group board(checker, *node_of_board, {"width", "margin"});
            if (board) {
                board.need_length("width", ranges::board_mm, "the width of the board, such as 180", piece.board_mm);
                board.length("margin", ranges::board_margin_mm, piece.board_margin_mm);
                if (piece.board_mm > 0.0 && 2.0 * piece.board_margin_mm >= piece.board_mm) {
                    checker.error(*node_of_board, "margins as wide as the board", "some board left between them",
                                  "make \"margin\" smaller");
                }
            }
        }
        group.flag("one_board", piece.one_board);
        if (const auto from = group.find("from_boards")) {
            UsedNames used;
            for (const Node& entry : read_list(checker, *from, ranges::most_boards)) {
                const auto name = read_board_name(checker, entry, shelf);
                if (name && used.add(checker, entry, *name, "board")) piece.from_boards.push_back(*name);
            }
        }
        if (const auto laid = group.find("laid"))
            piece.laid = read_laid(checker, Group(checker, *laid, {"board", "at", "turned", "over"}), shelf);
        read_strips(checker, group, shelf, piece);
        pieces.push_back(std::move(piece));
    }
    return pieces;
}

}  // namespace seamwright::job
