#include "job_costs.h"

#include <algorithm>
#include <cmath>

#include "plan/edging_study.h"
#include "plan/words.h"
#include "process/gluing.h"

namespace seamwright::plan {
namespace {

using process::CostLine;
using process::Money;

std::optional<Money> priced(const std::optional<double>& price) {
    return price ? std::optional(process::money(*price)) : std::nullopt;
}

class Costs {
  public:
    Costs(const ShopStudy& study, const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
          const ShopInputs& inputs)
        : study_(study),
          plan_(plan),
          job_(job),
          shelf_(shelf),
          inputs_(inputs),
          prices_(job.prices.value_or(job::Prices{})) {}

    process::CostSheet sheet() {
        wood();
        build_up();
        materials();
        for (const WorkStep& step : study_.steps)
            lines_.push_back(
                process::labour_line(step.task.name, step.task.hands_on_min, priced(prices_.labour_per_hour)));
        if (prices_.overhead_percent > 0.0) {
            const process::CostSheet before = process::cost_sheet(lines_, prices_.currency);
            lines_.push_back(process::share_line("Overhead", prices_.overhead_percent, before.sum));
        }
        return process::cost_sheet(std::move(lines_), prices_.currency);
    }

  private:
    static constexpr double mm2 = 1e-6;

    void wood() {
        const double waste = 1e-2 * prices_.waste_percent;
        std::vector<bool> laid(plan_.pieces.size());
        if (inputs_.boards != nullptr) {
            for (std::size_t i = 0; i < inputs_.boards->parts.size(); ++i)
                if (inputs_.boards->placing.lies[i]) laid[inputs_.boards->parts[i].piece] = true;
            for (const std::size_t b : inputs_.boards->placing.boards_used) {
                const shelf::Board& board = shelf_.boards[b];
                const double area = std::abs(geometry::area_mm2(stock::outline_of(board))) * mm2;
                if (board.price) {
                    lines_.push_back(process::cost_line(CostLine::Kind::wood, board.name + ", " + board.species, 1.0,
                                                        "board", process::money(*board.price), "as priced"));
                } else {
                    lines_.push_back(process::cubic_line(board.name + ", " + board.species, area, board.thickness_mm,
                                                         0.0, priced(prices_.wood_per_m3)));
                }
            }
        }
        constexpr double planing_mm = 6.0;
        for (std::size_t i = 0; i < plan_.pieces.size(); ++i) {
            if (laid[i]) continue;
            const PiecePlan& piece = plan_.pieces[i];
            // As it is sawn, a rectangle along its fibres.
            const geometry::Box blank =
                geometry::bounding_box(geometry::turned(piece.region.outer, {}, -piece.grain_rad));
            const double around_mm = 2.0 * job_.limits.reveal_mm;
            double area_mm2 = (blank.width_mm() + around_mm) * (blank.height_mm() + around_mm);
            if (const SegmentedEdging* edging = segmented(plan_, i)) {
                area_mm2 = 0.0;
                for (const auto& s : edging->ring.segments) area_mm2 += s.board_width_mm * s.board_length_mm;
            }
            lines_.push_back(process::cubic_line(piece.name + ", " + piece.species, area_mm2 * mm2,
                                                 plan_.thickness_mm + planing_mm, waste, priced(prices_.wood_per_m3)));
        }
    }

    /// What comes from no offcut.
    void build_up() {
        if (inputs_.build_up == nullptr) return;
        const BuildUpStudy& study = *inputs_.build_up;
        constexpr double planing_mm = 6.0;
        for (const auto& lacking : study.lacking) {
            double area_mm2 = 0.0;
            for (const std::size_t i : lacking.parts) area_mm2 += study.parts[i].along_mm * study.parts[i].across_mm;
            lines_.push_back(process::cubic_line("Build-up, " + lacking.species, area_mm2 * mm2,
                                                 study.thickness_mm + planing_mm, 1e-2 * prices_.waste_percent,
                                                 priced(prices_.wood_per_m3)));
        }
    }

    void materials() {
        double sheet_m2 = 0.0, routed_m = 0.0, grams = 0.0;
        for (const SeamPlan& seam : plan_.seams) {
            for (const TemplatePlan& t : seam.templates)
                if (!t.body.empty()) {
                    const geometry::Box blank = geometry::bounding_box(t.body);
                    sheet_m2 += blank.width_mm() * blank.height_mm() * mm2;
                }
            for (const StepPlan& step : seam.steps)
                if (step.passes) {
                    const std::size_t skims = step.depth && step.depth->skim ? 1 : 0;
                    routed_m += 1e-3 * step.passes->length_mm * static_cast<double>(step.passes->passes.size() + skims);
                }
        }
        for (const auto& closing : inputs_.closing)
            if (closing && closing->glue) grams += closing->glue->to_mix_g;
        double ring_mm2 = 0.0;
        for (const SegmentedEdging& edging : plan_.edgings) ring_mm2 += joints_mm2(edging, plan_.thickness_mm);
        if (sheet_m2 > 0.0)
            lines_.push_back(process::cost_line(CostLine::Kind::sheet, "Template sheet", sheet_m2, "m²",
                                                priced(prices_.sheet_per_m2), "a rectangle round each template"));
        if (grams > 0.0)
            lines_.push_back(process::adhesive_line("Glue for the seams", grams, priced(prices_.adhesive_per_kg)));
        glue("Glue for the joints of rings", ring_mm2);
        if (inputs_.build_up != nullptr) glue("Glue for the build-up", inputs_.build_up->glue_mm2);
        if (study_.finish)
            lines_.push_back(process::litres_line(study_.finish->system->name, study_.finish->amounts.bought_l,
                                                  priced(prices_.finish_per_litre)));
        const int abrasives = study_.sanding.discs + study_.sanding.quarter_sheets;
        if (abrasives > 0)
            lines_.push_back(process::abrasives_line("Sanding discs and quarter sheets", abrasives,
                                                     priced(prices_.abrasive_per_sheet)));
        if (routed_m > 0.0)
            lines_.push_back(process::cost_line(CostLine::Kind::cutter, "Wear of cutters", routed_m, "m",
                                                priced(prices_.cutter_per_metre), "all passes"));
    }

    /// The most the glue's sheet asks for, and a fifth that stays on the brush (common practice, from memory).
    void glue(const std::string& what, double area_mm2) {
        const process::Adhesive* adhesive = process::find_adhesive(job_.gluing.adhesive);
        if (adhesive == nullptr || !(area_mm2 > 0.0)) return;
        constexpr double brush = 1.2;
        lines_.push_back(process::adhesive_line(what, brush * adhesive->spread_g_m2.high * area_mm2 * mm2,
                                                priced(prices_.adhesive_per_kg)));
    }

    const ShopStudy& study_;
    const Plan& plan_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
    const ShopInputs& inputs_;
    job::Prices prices_;
    std::vector<CostLine> lines_;
};

}  // namespace

process::CostSheet job_costs(const ShopStudy& study, const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                             const ShopInputs& inputs) {
    return Costs(study, plan, job, shelf, inputs).sheet();
}

}  // namespace seamwright::plan
