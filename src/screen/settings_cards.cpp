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
    card.say({"Passes by wood and cutter: ", blanks.yes("/limits/passes_by_wood", "passes by wood and cutter"),
              "; the three depths above then do not count."});
    const bool skims = l.skim_mm > 0.0;
    std::vector<Part> skim{"Last skim: ",
                           blanks.choice("/limits/skim", skims ? "own" : "", "whether a skim is left",
                                         {{"", "none", open_edit("/limits/skim")},
                                          {"own", "left and taken off", set_edit("/limits/skim", "0.5 mm")}})};
    if (skims) {
        skim.emplace_back(", ");
        skim.emplace_back(blanks.length("/limits/skim", l.skim_mm, "last skim"));
        skim.emplace_back(" thick, in one pass at the full depth");
    }
    skim.emplace_back(".");
    card.say(std::move(skim));
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

/// One of three airs: not said, or with its temperature and humidity.
void say_air(Card& card, const Blanks& blanks, const std::string& name, const std::optional<job::Air>& air,
             const std::string& what, const std::string& otherwise) {
    const std::string at = "/climate/" + name;
    const bool inches = blanks.unit() == units::Unit::inch;
    job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
    json.begin_group();
    json.text("set", at);
    json.begin_group("value");
    json.number(inches ? "fahrenheit" : "celsius", inches ? 70.0 : 21.0);
    json.number("humidity", 45.0);
    json.end_group();
    json.end_group();
    card.say({what + " is ",
              blanks.choice(at, air ? "own" : "", name + " air",
                            {{"", otherwise, open_edit(at)}, {"own", "air of its own", json.take_part()}}),
              "."});
    if (!air) return;
    card.say({"It is ",
              blanks.number(at + (air->in_fahrenheit ? "/fahrenheit" : "/celsius"), air->temperature,
                            "temperature of the " + name + " air"),
              air->in_fahrenheit ? " °F warm, with a humidity of " : " °C warm, with a humidity of ",
              blanks.number(at + "/humidity", air->humidity_percent, "humidity of the " + name + " air"), " %."});
}

Card year(const Blanks& blanks) {
    const job::Job& job = blanks.job().document().job;
    Card card{"/climate", "The air and the base", {}};
    say_air(card, blanks, "shop", job.climate.shop, "The air of the shop", "not said");
    say_air(card, blanks, "driest", job.climate.driest, "Where the top will stand the driest air",
            "21 °C and 30 %, a heated house in winter");
    say_air(card, blanks, "dampest", job.climate.dampest, "The dampest air there", "21 °C and 65 %");
    const double middle_mm = 0.5 * blanks.job().plan().box.height_mm();
    card.say({"It is held on its base by screws of ",
              blanks.length("/base/screw", job.base.screw_mm, "screws of the base"), "; fast along a line ",
              blanks.length("/base/fixed_line", job.base.fixed_line_mm.value_or(middle_mm), "line held fast"),
              " from its front edge."});
    const bool said = job.base.supports_mm > 0.0;
    card.say({"How far its supports stand apart is ",
              blanks.choice("/base/supports", said ? "said" : "", "supports of the top",
                            {{"", "not said", open_edit("/base/supports")},
                             {"said", "said here", set_edit("/base/supports", "1000 mm")}}),
              "."});
    if (!said) return card;
    card.say({"The outermost stand ", blanks.length("/base/supports", job.base.supports_mm, "distance of the supports"),
              " apart along its length; it carries ", blanks.number("/base/load_n", job.base.load_n, "load in newtons"),
              " N in the middle."});
    return card;
}

Card cutting(const Blanks& blanks) {
    const job::Cutting& c = blanks.job().document().job.cutting;
    Card card{"/cutting", "Pieces out of boards", {}};
    card.say({"Around each piece ", blanks.length("/cutting/margin", c.margin_mm, "wood left around a piece"),
              " is left by the rough cut, and ",
              blanks.length("/cutting/ends", c.at_ends_mm(), "wood left at both ends of a piece"),
              " at both its ends, for fastening the templates; the saw takes ",
              blanks.length("/cutting/kerf", c.kerf_mm, "kerf of the saw"), ", jointing up to ",
              blanks.length("/cutting/jointing", c.jointing_mm, "taken off by jointing"), " off an edge."});
    card.say({"Fibres lie askew by ",
              blanks.angle("/cutting/grain_within_degrees", c.grain_within_rad * geometry::degrees_per_radian,
                           "how far fibres lie askew"),
              " at most; ",
              blanks.choice("/cutting/turn_over", c.turn_over ? "yes" : "no", "faces of the pieces",
                            {{"yes", "either face", R"({"set": "/cutting/turn_over", "value": true})"},
                             {"no", "only the face drawn", R"({"set": "/cutting/turn_over", "value": false})"}}),
              " of a board may be up."});
    card.say({"A spot that is allowed in the wood stays ",
              blanks.length("/cutting/defect_from_seam", c.defect_from_seam_mm, "spots off a seam"),
              " off seams and edges, a glue joint ",
              blanks.length("/cutting/joint_from_seam", c.joint_from_seam_mm, "glue joints off a seam"),
              " off a seam along it; no strip is narrower than ",
              blanks.length("/cutting/narrowest_strip", c.narrowest_strip_mm, "narrowest strip"), "."});
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
    return {stick(blanks), templates(blanks), limits(blanks), accuracy(blanks), gluing(blanks),
            year(blanks),  cutting(blanks),   paper(blanks),  telling(blanks)};
}

}  // namespace seamwright::screen
