#include <fmt/format.h>

#include <algorithm>

#include "cards.h"
#include "plan/words.h"
#include "shelf/shelf.h"

namespace seamwright::screen {
namespace {

std::vector<Choice> all_woods() {
    std::vector<Choice> woods;
    for (const auto& species : shelf::all_species()) woods.push_back({species.name, species.name, {}});
    return woods;
}

std::string piece_edit(geometry::Point at, std::string_view what) {
    job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
    json.begin_group();
    json.point("piece", at);
    json.text(what, "$");
    json.end_group();
    return json.take_part();
}

/// A board to start from (our choice).
void say_board(Card& card, const Blanks& blanks, const std::string& pointer, const job::Piece& piece) {
    const std::string at = pointer + "/board";
    const auto edit = [&] {
        job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
        json.begin_group();
        json.text("set", at);
        json.begin_group("value");
        json.text("width", blanks.unit() == units::Unit::inch ? "8 in" : "200 mm");
        json.end_group();
        json.end_group();
        return json.take_part();
    };
    card.say({"It comes out of ",
              blanks.choice(
                  at, piece.board_mm > 0.0 ? "board" : "", "board of " + piece.name,
                  {{"", "whatever board there is", open_edit(at)}, {"board", "a board of a certain width", edit()}}),
              "."});
    if (!(piece.board_mm > 0.0)) return;
    card.say({"The board is ", blanks.length(at + "/width", piece.board_mm, "width of the board of " + piece.name),
              " wide; ", blanks.length(at + "/margin", piece.board_margin_mm, "margin of the board of " + piece.name),
              " is kept free along each edge."});
    for (const plan::PiecePlan& planned : blanks.job().plan().pieces) {
        if (planned.name == piece.name && planned.board)
            card.say({plan::words::board_text(planned, blanks.job().plan().style)});
    }
}

}  // namespace

Field wood_choice(const Blanks& blanks, const std::string& pointer, const std::string& now, const std::string& of) {
    std::vector<Choice> woods = all_woods();
    const shelf::Species* known = shelf::find_species(now);
    if (known == nullptr)
        woods.insert(woods.begin(), {now, now.empty() || now == job::no_species ? "not chosen yet" : now, {}});
    return blanks.choice(pointer, known == nullptr ? now : known->name, "wood of " + of, std::move(woods));
}

std::vector<Card> piece_cards(const Blanks& blanks) {
    std::vector<Card> cards;
    const auto& pieces = blanks.job().document().job.pieces;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        const std::string pointer = fmt::format("/pieces/{}", i);
        const job::Piece& piece = pieces[i];
        Card card{pointer, piece.name, {}};
        card.say({"This piece is called ", blanks.text(pointer + "/name", "name of " + piece.name), "."});
        card.say({"It is of ", wood_choice(blanks, pointer + "/species", piece.species, piece.name),
                  ", its fibres run at ",
                  blanks.angle(pointer + "/grain_degrees", piece.grain_rad * geometry::degrees_per_radian,
                               "grain of " + piece.name),
                  " to the length of the top."});
        card.say(joined({{"It is the piece that lies "},
                         blanks.place(pointer + "/at", piece.at, "place of " + piece.name),
                         {"."}}));
        Field moisture = blanks.number(pointer + "/moisture_percent", 0.0, "moisture of " + piece.name);
        if (!piece.moisture_percent) moisture.value.clear();
        card.say({"Its moisture before gluing, as a meter reads it in percent: ", std::move(moisture), "."});
        say_board(card, blanks, pointer, piece);
        cards.push_back(std::move(card));
    }
    for (const plan::PiecePlan& piece : blanks.job().plan().pieces) {
        if (piece.named) continue;
        Field name{
            "/pieces", Field::Kind::text, piece.name, "name of " + piece.name, {}, piece_edit(piece.label_at, "name")};
        Field wood = wood_choice(blanks, "/pieces", "", piece.name);
        wood.edit = piece_edit(piece.label_at, "species");
        Card card{"/pieces", piece.name, {}};
        card.say({"This piece has no name of its own yet: ", std::move(name), "."});
        card.say({"It is of ", std::move(wood), "."});
        cards.push_back(std::move(card));
    }
    return cards;
}

}  // namespace seamwright::screen
