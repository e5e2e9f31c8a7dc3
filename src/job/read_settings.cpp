#include "parts.h"

namespace seamwright::job {

units::LengthStyle read_show(Checker& checker, const std::optional<Node>& node) {
    units::LengthStyle style;
    style.unit = checker.unit;
    if (!node) return style;
    const Group group(checker, *node, {"unit", "fractions", "decimals", "feet"});
    if (const auto unit = group.find("unit")) {
        const auto choice = read_choice(checker, *unit, {"mm", "in"});
        if (choice) style.unit = *choice == "in" ? units::Unit::inch : units::Unit::millimetre;
    }
    if (const auto fractions = group.find("fractions")) {
        constexpr int finest = 64;
        const auto denominator = read_whole(checker, *fractions, 1, finest);
        if (denominator && (*denominator & (*denominator - 1)) != 0) {
            checker.error(*fractions, shortest(*denominator), "1, 2, 4, 8, 16, 32 or 64",
                          "write the finest division of the rule that is used");
        } else if (denominator) {
            style.denominator = *denominator;
        }
    }
    if (const auto decimals = group.find("decimals")) {
        constexpr int most_decimals = 4;
        style.decimals = read_whole(checker, *decimals, 0, most_decimals).value_or(style.decimals);
    }
    group.flag("feet", style.feet);
    return style;
}

TemplateSheet read_template(Checker& checker, const Node& node) {
    const Group group(checker, node, {"thickness", "run_out", "body"});
    TemplateSheet sheet;
    group.length("thickness", ranges::sheet_mm, sheet.thickness_mm);
    group.length("run_out", ranges::run_out_mm, sheet.run_out_mm);
    group.length("body", ranges::body_mm, sheet.body_mm);
    return sheet;
}

Limits read_limits(Checker& checker, const Node& node) {
    const Group group(checker, node,
                      {"gap", "first_pass", "pass", "last_pass", "below_wood", "feed_per_minute", "reveal"});
    Limits limits;
    group.length("gap", ranges::gap_mm, limits.gap_mm);
    group.length("first_pass", ranges::pass_mm, limits.first_pass_mm);
    group.length("pass", ranges::pass_mm, limits.pass_mm);
    group.length("last_pass", ranges::pass_mm, limits.last_pass_mm);
    group.length("below_wood", ranges::below_wood_mm, limits.below_wood_mm);
    group.length("feed_per_minute", ranges::feed_mm_per_min, limits.feed_mm_per_min);
    group.length("reveal", ranges::reveal_mm, limits.reveal_mm);
    return limits;
}

Accuracy read_accuracy(Checker& checker, const Node& node) {
    const Group group(
        checker, node,
        {"measured_size", "marked_size", "cutter_wear", "guide_wear", "cutter_wobble", "guide_play", "off_centre",
         "held", "routed_edge", "hand_edge", "edge_wave", "paper_per_metre", "moisture_points"});
    Accuracy a;
    group.length("measured_size", ranges::tool_error_mm, a.measured_mm);
    group.length("marked_size", ranges::tool_error_mm, a.marked_mm);
    group.length("cutter_wear", ranges::tool_error_mm, a.cutter_wear_mm);
    group.length("guide_wear", ranges::tool_error_mm, a.guide_wear_mm);
    group.length("cutter_wobble", ranges::tool_error_mm, a.cutter_wobble_mm);
    group.length("guide_play", ranges::tool_error_mm, a.guide_play_mm);
    group.length("off_centre", ranges::tool_error_mm, a.off_centre_mm);
    if (const auto held = group.find("held")) {
        const auto choice = read_choice(checker, *held, {"one_way", "end_for_end", "with_edge", "any_way"});
        for (const Held h : {Held::one_way, Held::end_for_end, Held::with_edge, Held::any_way})
            if (choice == name_of(h)) a.held = h;
    }
    group.length("routed_edge", ranges::tool_error_mm, a.routed_edge_mm);
    group.length("hand_edge", ranges::tool_error_mm, a.hand_edge_mm);
    group.length("edge_wave", ranges::edge_wave_mm, a.edge_wave_mm);
    group.length("paper_per_metre", ranges::paper_per_metre_mm, a.paper_per_metre_mm);
    if (const auto points = group.find("moisture_points")) {
        a.moisture_points = read_number(checker, *points, ranges::moisture_points, "points of moisture").value_or(0.0);
    }
    return a;
}

Gluing read_gluing(Checker& checker, const Node& node) {
    const Group group(checker, node,
                      {"adhesive", "exposure", "temperature_c", "people", "caul_depth", "caul_thickness", "friction"});
    Gluing g;
    if (const auto adhesive = group.find("adhesive")) {
        g.adhesive =
            read_choice(checker, *adhesive, {"pva", "cross-linking-pva", "polyurethane", "epoxy", "urea", "hide"})
                .value_or(g.adhesive);
    }
    if (const auto exposure = group.find("exposure")) {
        const auto choice = read_choice(checker, *exposure, {"D1", "D2", "D3", "D4", "Type II", "Type I"});
        if (choice) g.exposure = *choice;
    }
    if (const auto temperature = group.find("temperature_c")) {
        g.temperature_c = read_number(checker, *temperature, ranges::temperature_c, "degrees Celsius in the shop")
                              .value_or(g.temperature_c);
    }
    if (const auto people = group.find("people")) g.people = read_whole(checker, *people, 1, 2).value_or(g.people);
    group.length("caul_depth", ranges::caul_mm, g.caul_depth_mm);
    group.length("caul_thickness", ranges::caul_mm, g.caul_thickness_mm);
    if (const auto friction = group.find("friction")) {
        g.friction = read_number(checker, *friction, ranges::friction, "how much wood grips wood with wet glue between")
                         .value_or(g.friction);
    }
    return g;
}

Paper read_paper(Checker& checker, const Node& node) {
    const Group group(checker, node, {"size", "overlap", "margin", "measured_bar_x", "measured_bar_y"});
    Paper paper;
    if (const auto size = group.find("size")) {
        paper.size = read_choice(checker, *size, {"A4", "A3", "Letter", "Tabloid"}).value_or(paper.size);
    }
    group.length("overlap", ranges::overlap_mm, paper.overlap_mm);
    group.length("margin", ranges::margin_mm, paper.margin_mm);
    group.length("measured_bar_x", ranges::measured_bar_mm, paper.correction.measured_x_mm);
    group.length("measured_bar_y", ranges::measured_bar_mm, paper.correction.measured_y_mm);
    return paper;
}

}  // namespace seamwright::job
