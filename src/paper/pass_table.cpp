#include "pass_table.h"

#include <fmt/format.h>

#include "marks.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

constexpr double row_mm = 4.9;
constexpr double indent_mm = 7.0;
const Stroke thin{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};
const Stroke box_line{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};

class Table {
  public:
    Table(TextPages& pages, const units::LengthStyle& style) : pages_(pages), style_(style) {}

    void head(std::size_t rows) {
        pages_.down(1.5);
        // A table of a few rows is not parted.
        pages_.need(row_mm * static_cast<double>(std::min<std::size_t>(rows + 1, 8)));
        cells({"Pass", "deep below the face", "this step", "cutter below the base"}, 2.5, false);
    }
    void row(const std::string& name, double depth_mm, double step_mm, double out_mm) {
        cells({name, units::show(depth_mm, style_), units::show(step_mm, style_), units::show(out_mm, style_)}, 2.8,
              true);
    }

  private:
    void cells(const std::vector<std::string>& said, double height_mm, bool box) {
        pages_.need(row_mm);
        pages_.down(row_mm);
        const double left = TextPages::margin_mm + indent_mm, wide = pages_.width_mm() - indent_mm;
        const double at[] = {0.0, 0.26, 0.52, 0.72};
        for (std::size_t i = 0; i < said.size(); ++i)
            pages_.put(said[i], {left + at[i] * wide, pages_.y()}, height_mm, false);
        if (box) {
            constexpr double side_mm = 3.2;
            const Point corner{left + wide - side_mm, pages_.y() - 0.3};
            pages_.page().paths.push_back(
                drawn(geometry::rectangle(corner, corner + Point{side_mm, side_mm}), box_line));
        }
        pages_.line({left, pages_.y() - 1.3}, {left + wide, pages_.y() - 1.3}, thin);
    }

    TextPages& pages_;
    const units::LengthStyle& style_;
};

}  // namespace

void pass_table(TextPages& pages, const plan::StepPlan& step, const units::LengthStyle& style) {
    if (!step.depth || !step.passes || step.passes->passes.empty()) return;
    const bool staged = step.depth->staged();
    const auto& skim = step.depth->skim;
    Table table(pages, style);
    table.head(step.passes->passes.size() + (skim ? 1 : 0));
    if (staged) {
        std::size_t stage = 0;
        for (const process::Stage& one : step.depth->stages->stages) {
            ++stage;
            for (std::size_t i = 0; i < one.passes.size(); ++i)
                table.row(fmt::format("stage {}, pass {}", stage, i + 1), one.passes[i].depth_mm, one.passes[i].step_mm,
                          one.passes[i].projection_mm);
        }
    } else {
        for (std::size_t i = 0; i < step.passes->passes.size(); ++i) {
            const process::Pass& pass = step.passes->passes[i];
            table.row(fmt::format("{} of {}", i + 1, step.passes->passes.size()), pass.depth_mm, pass.step_mm,
                      pass.projection_mm);
        }
    }
    if (skim) {
        const process::Pass& last = step.passes->passes.back();
        table.row(fmt::format("skim of {}", units::show(skim->cut.side_mm, style)), skim->cut.depth_mm,
                  skim->cut.depth_mm, last.projection_mm);
    }
    pages.down(3.0);
}

}  // namespace seamwright::paper
