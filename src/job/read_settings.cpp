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
