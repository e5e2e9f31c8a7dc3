#include <fmt/format.h>

#include <cmath>

#include "cards.h"
#include "chains.h"
#include "plan/words.h"
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
                                                            {"sprung", "a sprung stick", {}},
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

Field eased_choice(const Blanks& blanks, const std::string& pointer, const job::Seam& seam) {
    const auto edit = [&](bool on) {
        job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
        json.begin_group();
        json.text("ease", pointer);
        json.flag("on", on);
        json.end_group();
        return json.take_part();
    };
    return blanks.choice(
        pointer + "/eased", seam.eased ? "eased" : "drawn", "whether " + seam.name + " is eased",
        {{"drawn", "as it is drawn", edit(false)}, {"eased", "eased where it turns too tight", edit(true)}});
}

void say_easing(Card& card, const Blanks& blanks, const std::string& pointer, std::size_t index,
                const job::Seam& seam) {
    card.say({"It is cut ", eased_choice(blanks, pointer, seam), "."});
    if (!seam.eased) return;
    const std::string at = pointer + "/eased";
    card.say({"It turns no tighter than a radius of ",
              blanks.length(at + "/least_radius", seam.eased->least_radius_mm, "tightest radius of " + seam.name),
              " and lies within ",
              blanks.length(at + "/within", seam.eased->within_mm, "how far " + seam.name + " may move"),
              " of what is drawn."});
    const plan::Plan& plan = blanks.job().plan();
    if (index >= plan.seams.size() || !plan.seams[index].eased) return;
    const plan::EasedPlan& eased = *plan.seams[index].eased;
    if (eased.unchanged || eased.stretches.empty()) {
        card.say({"Nothing had to be moved."});
        return;
    }
    card.say({fmt::format("It was moved in {}, at most by {}, {} along it.",
                          plan::words::times(eased.stretches.size(), "stretch", "stretches"),
                          units::show(std::abs(eased.largest.largest_mm), plan.style),
                          units::show(eased.largest.at_mm, plan.style))});
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
        say_stick(card, blanks, index);
        say_easing(card, blanks, pointer, index, seam);
        const plan::Plan& plan = blanks.job().plan();
        if (index < plan.seams.size() && !plan.seams[index].drawn.path.empty())
            card.say({plan::words::capitalised(plan::words::fairness_text(plan.seams[index], plan.style))});
    }
    card.say({"The template made by hand lies on the side ", master_hand(blanks, pointer, seam), "."});
    card.say({"Guide and cutter are used in this way: ", chain_choice(blanks, pointer, index, seam), "."});
    return card;
}

}  // namespace seamwright::screen
