#include <fmt/format.h>

#include "cards.h"
#include "chains.h"
#include "seam_view.h"

namespace seamwright::screen {
namespace {

Field drawn_as(const Blanks& blanks, std::size_t index, const job::Seam& seam) {
    const std::string pointer = fmt::format("/seams/{}", index);
    const std::string now(curve_kind(blanks.job(), index));
    std::vector<Choice> choices = seam.kind == job::SeamKind::inlay
                                      ? std::vector<Choice>{{"oval", "an oval", {}},
                                                            {"circle", "a circle", {}},
                                                            {"pins", "a curve round pins", {}}}
                                      : std::vector<Choice>{{"straight", "a straight line", {}},
                                                            {"arc", "an arc", {}},
                                                            {"wave", "a wave", {}},
                                                            {"pins", "a curve through pins", {}}};
    if (now == "svg_path") choices.push_back({now, "it came from a drawing", {}});
    if (now == "points") choices.push_back({now, "it came from a list of points", {}});
    if (now == "lines_and_arcs") choices.push_back({now, "it came, as lines and arcs", {}});
    Field field = blanks.choice(pointer + "/curve", now, "how " + seam.name + " is drawn", std::move(choices));
    job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
    json.begin_group();
    json.text("redraw", pointer);
    json.text("as", "$");
    json.end_group();
    field.edit = json.take_part();
    return field;
}

Field master_hand(const Blanks& blanks, const std::string& pointer, const job::Seam& seam) {
    const std::string now = !seam.master ? "" : *seam.master == job::Seam::Hand::left ? "left" : "right";
    const bool closed = seam.kind != job::SeamKind::open;
    return blanks.choice(pointer + "/master", now, "hand of the master of " + seam.name,
                         {{"", "whichever has more room", open_edit(pointer + "/master")},
                          {"left", closed ? "left, the inside" : "left", {}},
                          {"right", closed ? "right, the outside" : "right", {}}});
}

Field chain_choice(const Blanks& blanks, const std::string& pointer, std::size_t index, const job::Seam& seam) {
    const edit::OpenJob& job = blanks.job();
    std::vector<Choice> choices{{"", "the best one", open_edit(pointer + "/chain")}};
    bool listed = seam.chain.empty();
    if (index < job.plan().seams.size()) {
        for (const auto& chain : job.plan().seams[index].chains) {
            choices.push_back({chain.id, chain_title(chain, job.document().shelf), {}});
            listed = listed || chain.id == seam.chain;
        }
    }
    if (!listed) choices.push_back({seam.chain, seam.chain, {}});
    return blanks.choice(pointer + "/chain", seam.chain, "way of copying for " + seam.name, std::move(choices));
}

}  // namespace

Card seam_card(const Blanks& blanks, std::size_t index) {
    const job::Seam& seam = blanks.job().document().job.seams.at(index);
    const std::string pointer = fmt::format("/seams/{}", index);
    Card card{pointer, seam.name, {}};
    card.say({"This seam is called ", blanks.text(pointer + "/name", "name of " + seam.name), " and is ",
              blanks.choice(pointer + "/kind", std::string(job::name_of(seam.kind)), "kind of " + seam.name,
                            {{"open", "a seam from edge to edge", {}},
                             {"inlay", "an inlay, one piece set into another", {}},
                             {"edging", "an edging, alike all round", {}}}),
              "."});
    if (seam.kind == job::SeamKind::edging) {
        card.say({"It runs ", blanks.length(pointer + "/width", seam.edging_width_mm, "width of " + seam.name),
                  " inside the edge of the top, all the way round."});
    } else {
        card.say({"It is drawn as ", drawn_as(blanks, index, seam), "."});
        say_curve(card, blanks, pointer + "/curve", seam.curve, seam.name);
    }
    card.say({"The template made by hand lies on the side ", master_hand(blanks, pointer, seam), "."});
    card.say({"Guide and cutter are used in this way: ", chain_choice(blanks, pointer, index, seam), "."});
    return card;
}

}  // namespace seamwright::screen
