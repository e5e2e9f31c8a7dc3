#include "pass_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "marks.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

constexpr double row_mm = 4.9;
constexpr double indent_mm = 7.0;
constexpr double between_mm = 8.0;
constexpr std::size_t most_in_one_column = 10, most_kept_together = 26;
const Stroke thin{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};
const Stroke box_line{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};

/// Name, depth, step, cutter below the base.
using Row = std::array<std::string, 4>;

void cells(TextPages& pages, double left, double wide, const Row& said, double height_mm, bool box) {
    constexpr std::array<double, 4> at{0.0, 0.30, 0.52, 0.70};
    for (std::size_t i = 0; i < said.size(); ++i)
        pages.put(said[i], {left + at[i] * wide, pages.y()}, height_mm, false);
    if (box) {
        constexpr double side_mm = 3.2;
        const Point corner{left + wide - side_mm, pages.y() - 0.3};
        pages.page().paths.push_back(drawn(geometry::rectangle(corner, corner + Point{side_mm, side_mm}), box_line));
    }
    pages.line({left, pages.y() - 1.3}, {left + wide, pages.y() - 1.3}, thin);
}

std::vector<Row> rows_of(const plan::StepPlan& step, const units::LengthStyle& style) {
    const auto show = [&](double mm) { return units::show(mm, style); };
    std::vector<Row> rows;
    const auto add = [&](std::string name, const process::Pass& pass) {
        rows.push_back({std::move(name), show(pass.depth_mm), show(pass.step_mm), show(pass.projection_mm)});
    };
    if (step.depth->staged()) {
        std::size_t stage = 0;
        for (const process::Stage& one : step.depth->stages->stages) {
            ++stage;
            for (std::size_t i = 0; i < one.passes.size(); ++i)
                add(fmt::format("stage {}, pass {}", stage, i + 1), one.passes[i]);
        }
    } else {
        for (std::size_t i = 0; i < step.passes->passes.size(); ++i)
            add(fmt::format("{} of {}", i + 1, step.passes->passes.size()), step.passes->passes[i]);
    }
    if (step.depth->skim) {
        const process::FinalSkim& skim = step.depth->skim->cut;
        add("skim of " + show(skim.side_mm), {skim.depth_mm, skim.depth_mm, step.passes->passes.back().projection_mm});
    }
    return rows;
}

}  // namespace

void pass_table(TextPages& pages, const plan::StepPlan& step, const units::LengthStyle& style) {
    if (!step.depth || !step.passes || step.passes->passes.empty()) return;
    const std::vector<Row> rows = rows_of(step, style);
    const std::size_t columns = rows.size() > most_in_one_column ? 2 : 1;
    const std::size_t down = (rows.size() + columns - 1) / columns;
    const double left = TextPages::margin_mm + indent_mm;
    const double wide =
        (pages.width_mm() - indent_mm - between_mm * static_cast<double>(columns - 1)) / static_cast<double>(columns);
    const auto column = [&](std::size_t c) { return left + static_cast<double>(c) * (wide + between_mm); };
    pages.down(1.5);
    // Not parted, unless it is as long as half a sheet.
    pages.need(row_mm * static_cast<double>(std::min<std::size_t>(down + 1, most_kept_together)));
    pages.down(row_mm);
    for (std::size_t c = 0; c < columns; ++c)
        cells(pages, column(c), wide, {"Pass", "deep", "step", "cutter out"}, 2.5, false);
    for (std::size_t i = 0; i < down; ++i) {
        pages.need(row_mm);
        pages.down(row_mm);
        for (std::size_t c = 0; c < columns; ++c)
            if (c * down + i < rows.size()) cells(pages, column(c), wide, rows[c * down + i], 2.6, true);
    }
    pages.down(3.0);
}

}  // namespace seamwright::paper
