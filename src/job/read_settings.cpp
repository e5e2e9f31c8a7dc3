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

namespace {

std::optional<Air> read_air(Checker& checker, const Node& node) {
    const Group group(checker, node, {"celsius", "fahrenheit", "humidity"});
    if (!group) return std::nullopt;
    Air air;
    const auto scale = group.exactly_one({"celsius", "fahrenheit"}, "temperature");
    if (!scale) return std::nullopt;
    air.in_fahrenheit = *scale == "fahrenheit";
    const auto temperature =
        read_number(checker, *group.find(*scale), air.in_fahrenheit ? ranges::temperature_f : ranges::temperature_c,
                    air.in_fahrenheit ? "degrees Fahrenheit" : "degrees Celsius");
    if (!temperature) return std::nullopt;
    air.temperature = *temperature;
    const auto humidity = group.need("humidity", "the relative humidity in percent, such as 45");
    if (!humidity) return std::nullopt;
    const auto read = read_number(checker, *humidity, ranges::humidity_percent, "percent relative humidity");
    if (!read) return std::nullopt;
    air.humidity_percent = *read;
    return air;
}

}  // namespace

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
                      {"gap", "first_pass", "pass", "last_pass", "below_wood", "feed_per_minute", "reveal",
                       "passes_by_wood", "skim"});
    Limits limits;
    group.length("gap", ranges::gap_mm, limits.gap_mm);
    group.length("first_pass", ranges::pass_mm, limits.first_pass_mm);
    group.length("pass", ranges::pass_mm, limits.pass_mm);
    group.length("last_pass", ranges::pass_mm, limits.last_pass_mm);
    group.length("below_wood", ranges::below_wood_mm, limits.below_wood_mm);
    group.length("feed_per_minute", ranges::feed_mm_per_min, limits.feed_mm_per_min);
    group.length("reveal", ranges::reveal_mm, limits.reveal_mm);
    group.flag("passes_by_wood", limits.passes_by_wood);
    group.length("skim", ranges::skim_mm, limits.skim_mm);
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

Climate read_climate(Checker& checker, const Node& node) {
    const Group group(checker, node, {"shop", "driest", "dampest"});
    Climate climate;
    if (const auto shop = group.find("shop")) climate.shop = read_air(checker, *shop);
    const auto driest = group.find("driest"), dampest = group.find("dampest");
    if (driest) climate.driest = read_air(checker, *driest);
    if (dampest) climate.dampest = read_air(checker, *dampest);
    if (climate.driest && climate.dampest && climate.driest->humidity_percent > climate.dampest->humidity_percent) {
        checker.error(*driest, shortest(climate.driest->humidity_percent) + " % in the driest air",
                      "not more than in the dampest, " + shortest(climate.dampest->humidity_percent) + " %",
                      "write the dry season under \"driest\" and the damp one under \"dampest\"");
    }
    return climate;
}

Base read_base(Checker& checker, const Node& node) {
    const Group group(checker, node, {"screw", "fixed_line", "supports", "load_n"});
    Base base;
    group.length("screw", ranges::screw_mm, base.screw_mm);
    group.length("fixed_line", ranges::fixed_line_mm, base.fixed_line_mm);
    group.length("supports", ranges::supports_mm, base.supports_mm);
    if (const auto load = group.find("load_n"))
        base.load_n = read_number(checker, *load, ranges::load_n, "newtons put on the top").value_or(base.load_n);
    return base;
}

Cutting read_cutting(Checker& checker, const Node& node) {
    const Group group(checker, node,
                      {"margin", "ends", "kerf", "jointing", "grain_within_degrees", "defect_from_seam",
                       "joint_from_seam", "narrowest_strip", "turn_over", "heart_sides"});
    Cutting cutting;
    group.length("margin", ranges::cutting_margin_mm, cutting.margin_mm);
    group.length("ends", ranges::cutting_ends_mm, cutting.ends_mm);
    group.length("kerf", ranges::kerf_mm, cutting.kerf_mm);
    group.length("jointing", ranges::jointing_mm, cutting.jointing_mm);
    if (const auto within = group.find("grain_within_degrees")) {
        if (read_number(checker, *within, ranges::grain_within_degrees, "degrees the fibres may lie askew"))
            cutting.grain_within_rad = read_angle(checker, *within).value_or(cutting.grain_within_rad);
    }
    group.length("defect_from_seam", ranges::kept_off_mm, cutting.defect_from_seam_mm);
    group.length("joint_from_seam", ranges::kept_off_mm, cutting.joint_from_seam_mm);
    group.length("narrowest_strip", ranges::strip_mm, cutting.narrowest_strip_mm);
    group.flag("turn_over", cutting.turn_over);
    if (const auto sides = group.find("heart_sides")) {
        const auto choice = read_choice(checker, *sides, {"any", "alternate", "match"});
        using Sides = Cutting::HeartSides;
        for (const auto s : {Sides::any, Sides::alternate, Sides::match})
            if (choice == name_of(s)) cutting.heart_sides = s;
    }
    return cutting;
}

BuildUp read_build_up(Checker& checker, const Node& node) {
    const Group group(checker, node, {"thickness", "width", "ends"});
    BuildUp build_up;
    group.need_length("thickness", ranges::build_up_mm, "how much thicker the edge becomes, such as 20",
                      build_up.thickness_mm);
    group.need_length("width", ranges::build_up_mm, "how far it reaches in from the edge, such as 70",
                      build_up.width_mm);
    if (const auto ends = group.find("ends")) {
        const auto choice = read_choice(checker, *ends, {"end_grain", "floating", "glued_across"});
        using Under = BuildUp::Ends;
        for (const auto e : {Under::end_grain, Under::floating, Under::glued_across})
            if (choice == name_of(e)) build_up.ends = e;
    }
    return build_up;
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
