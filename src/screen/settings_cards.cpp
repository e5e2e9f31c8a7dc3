#include <fmt/format.h>

#include "cards.h"

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
    return {stick(blanks), templates(blanks), limits(blanks), paper(blanks), telling(blanks)};
}

}  // namespace seamwright::screen
