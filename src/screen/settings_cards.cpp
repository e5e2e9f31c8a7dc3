#include <fmt/format.h>

#include "cards.h"
#include "process/gluing.h"

namespace seamwright::screen {
namespace {

Card templates(const Blanks& blanks) {
    const job::TemplateSheet& sheet = blanks.job().document().job.sheet;
    Card card{"/template", "Templates", {}};
    card.say({"Templates are made of a sheet ",
              blanks.length("/template/thickness", sheet.thickness_mm, "thickness of the templates"), " thick."});
    card.say({"They run on for ", blanks.length("/template/run_out", sheet.run_out_mm, "run-out of the templates"),
              " past the wood at each end, so that the router is guided before it cuts and after."});
    card.say({"Behind their edge they are ", blanks.length("/template/body", sheet.body_mm, "width of the templates"),
              " wide."});
    return card;
}

Card stick(const Blanks& blanks) {
    Card card{"/stick", "The stick", {}};
    say_stick(card, blanks, std::nullopt);
    return card;
}

Card limits(const Blanks& blanks) {
    const job::Limits& l = blanks.job().document().job.limits;
    Card card{"/limits", "Limits", {}};
    card.say(
        {"The two edges may miss each other by at most ", blanks.length("/limits/gap", l.gap_mm, "largest gap"), "."});
    card.say({"The router takes ", blanks.length("/limits/first_pass", l.first_pass_mm, "first pass"),
              " in the first pass, at most ", blanks.length("/limits/pass", l.pass_mm, "deepest pass"),
              " in those between, and ", blanks.length("/limits/last_pass", l.last_pass_mm, "last pass"),
              " in the last (common practice; what the maker of your cutter says comes first)."});
    card.say({"At the end it goes ", blanks.length("/limits/below_wood", l.below_wood_mm, "depth below the wood"),
              " into the spoil board."});
    card.say({"It is fed at ", blanks.length("/limits/feed_per_minute", l.feed_mm_per_min, "feed in a minute"),
              " in a minute (common practice by hand in hardwood)."});
    card.say({"Before routing, the wood is sawn so that ",
              blanks.length("/limits/reveal", l.reveal_mm, "wood left by the saw"), " is left outside the seam."});
    return card;
}

Card accuracy(const Blanks& blanks) {
    const job::Accuracy& a = blanks.job().document().job.accuracy;
    Card card{"/accuracy", "How true the work is", {}};
    const auto length = [&](const char* name, double mm, const char* label) {
        return blanks.length(std::string("/accuracy/") + name, mm, label);
    };
    card.say({"The router is held ",
              blanks.choice("/accuracy/held", std::string(job::name_of(a.held)), "how the router is held",
                            {{"one_way", "with the same handle toward the same end, always", {}},
                             {"end_for_end", "turned end for end between the two pieces", {}},
                             {"with_edge", "turned along with the edge", {}},
                             {"any_way", "as it comes", {}}}),
              "."});
    card.say({"A diameter that was measured is true to ",
              length("measured_size", a.measured_mm, "error of measured sizes"), ", one known from its marking to ",
              length("marked_size", a.marked_mm, "error of marked sizes"), "."});
    card.say({"During a job a cutter loses up to ", length("cutter_wear", a.cutter_wear_mm, "wear of a cutter"),
              " and a guide ", length("guide_wear", a.guide_wear_mm, "wear of a guide"), "; a cutter wobbles by up to ",
              length("cutter_wobble", a.cutter_wobble_mm, "wobble of a cutter"), "."});
    card.say({"A guide sits up to ", length("off_centre", a.off_centre_mm, "guide off centre"),
              " beside the spindle and has ", length("guide_play", a.guide_play_mm, "play of a guide"), " of play."});
    card.say({"A routed edge is even to ", length("routed_edge", a.routed_edge_mm, "unevenness of a routed edge"),
              ", one worked by hand to ", length("hand_edge", a.hand_edge_mm, "unevenness of an edge by hand"),
              ", in waves of ", length("edge_wave", a.edge_wave_mm, "wave of the unevenness"), "."});
    card.say({"Paper is longer or shorter by up to ", length("paper_per_metre", a.paper_per_metre_mm, "error of paper"),
              " in a metre; the piece cut first gains or loses up to ",
              blanks.number("/accuracy/moisture_points", a.moisture_points, "moisture gained between the cuts"),
              " points of moisture until the other one is cut."});
    card.say({"Until you change them, all of these are common practice, from memory."});
    return card;
}

Card gluing(const Blanks& blanks) {
    const job::Gluing& g = blanks.job().document().job.gluing;
    Card card{"/gluing", "Gluing", {}};
    std::vector<Choice> glues;
    for (const process::Adhesive& adhesive : process::adhesives()) glues.push_back({adhesive.id, adhesive.name, {}});
    std::vector<Choice> exposures;
    for (const process::ExposureName& name : process::exposures()) exposures.push_back({name.id, name.says, {}});
    card.say({"The seams are glued with ", blanks.choice("/gluing/adhesive", g.adhesive, "glue", std::move(glues)),
              "; the top will be ",
              blanks.choice("/gluing/exposure", g.exposure, "what the top will see", std::move(exposures)), "."});
    card.say({"The shop is ", blanks.number("/gluing/temperature_c", g.temperature_c, "temperature of the shop in °C"),
              " °C warm; ", blanks.number("/gluing/people", g.people, "people who glue"), " of you glue (1 or 2)."});
    card.say({"Cauls between clamps and wood are ",
              blanks.length("/gluing/caul_depth", g.caul_depth_mm, "depth of the cauls"), " deep and ",
              blanks.length("/gluing/caul_thickness", g.caul_thickness_mm, "thickness of the cauls"), " thick."});
    return card;
}

Card paper(const Blanks& blanks) {
    const job::Paper& p = blanks.job().document().job.paper;
    Card card{"/paper", "Paper", {}};
    card.say({"The papers are printed on ",
              blanks.choice("/paper/size", p.size, "size of the paper",
                            {{"A4", "A4", {}}, {"A3", "A3", {}}, {"Letter", "Letter", {}}, {"Tabloid", "Tabloid", {}}}),
              "."});
    card.say({"Neighbouring sheets share a strip of ",
              blanks.length("/paper/overlap", p.overlap_mm, "overlap of the sheets"), "; ",
              blanks.length("/paper/margin", p.margin_mm, "margin of the sheets"),
              " is kept free at the edge of every sheet."});
    card.say({"The printed 100 mm bars measure ",
              blanks.length("/paper/measured_bar_x", p.correction.measured_x_mm, "the x bar as measured"),
              " along the short side of the sheet and ",
              blanks.length("/paper/measured_bar_y", p.correction.measured_y_mm, "the y bar as measured"),
              " along the long side; the papers are drawn so that they come out true."});
    return card;
}

Card telling(const Blanks& blanks) {
    const units::LengthStyle& style = blanks.job().document().job.style;
    const std::vector<Choice> both{{"mm", "millimetres", {}}, {"in", "inches", {}}};
    Card card{"/show", "Lengths", {}};
    card.say({"A number without a unit is in ",
              blanks.choice("/unit", blanks.unit() == units::Unit::inch ? "in" : "mm", "unit of plain numbers", both),
              "."});
    card.say({"Lengths are told in ",
              blanks.choice("/show/unit", style.unit == units::Unit::inch ? "in" : "mm",
                            "unit that lengths are told in", both),
              "."});
    if (style.unit == units::Unit::inch) {
        std::vector<Choice> fractions;
        for (int n = 1; n <= 64; n *= 2) {
            const std::string text = fmt::format("{}", n);
            fractions.push_back({text, n == 1 ? "whole inches" : fmt::format("1/{} in", n), {}});
        }
        card.say({"The finest division told is ",
                  blanks.choice("/show/fractions", fmt::format("{}", style.denominator), "finest division of the inch",
                                std::move(fractions)),
                  "; whole feet are split off: ", blanks.yes("/show/feet", "whole feet split off"), "."});
    } else {
        std::vector<Choice> decimals;
        for (const char* text : {"0", "1", "2", "3", "4"}) decimals.push_back({text, text, {}});
        card.say({"Millimetres are told with ",
                  blanks.choice("/show/decimals", fmt::format("{}", style.decimals), "digits behind the point",
                                std::move(decimals)),
                  " digits behind the point."});
    }
    return card;
}

}  // namespace

std::vector<Card> settings_cards(const Blanks& blanks) {
    return {stick(blanks),  templates(blanks), limits(blanks), accuracy(blanks),
            gluing(blanks), paper(blanks),     telling(blanks)};
}

}  // namespace seamwright::screen
