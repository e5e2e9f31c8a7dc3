#include "steps.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

#include "plan/cautions.h"
#include "plan/words.h"

namespace seamwright::plan {
namespace {

using Kind = seam::Step::Kind;

/// A place so near beside the seam lies in the piece there: no piece is thinner.
constexpr double beside_mm = 0.5;
/// Places along a seam at which the pieces beside it are looked up.
constexpr int places_along = 9;

bool is_cut(const seam::Step& step) {
    return step.kind == Kind::cut_left || step.kind == Kind::cut_right;
}

class StepWriter {
  public:
    StepWriter(const job::Job& job, const shelf::Shelf& shelf, std::size_t seam_index, const Path& in_wood,
               const seam::Chain& chain, const seam::Simulation& simulation, const SidePieces& beside,
               std::vector<job::Problem>& problems)
        : job_(job),
          shelf_(shelf),
          seam_index_(seam_index),
          in_wood_(in_wood),
          chain_(chain),
          simulation_(simulation),
          beside_(beside),
          problems_(problems) {}

    std::vector<StepPlan> write() {
        std::vector<StepPlan> steps;
        for (const seam::Step& step : chain_.steps) {
            StepPlan plan;
            plan.step = step;
            plan.title = title(step);
            plan.lines = lines(step);
            if (steps.empty()) plan.lines.push_back(which_side());
            if (step.pair) {
                const shelf::Cutter& cutter = shelf_.cutters[step.pair->cutter];
                plan_depth(plan, step, cutter);
                plan.speed = process::speed_for(step.pair->b_mm, cutter.max_speed_rpm.value_or(0.0));
                plan.cautions = routing_cautions();
            } else {
                plan.cautions = hand_work_cautions();
            }
            steps.push_back(std::move(plan));
        }
        return steps;
    }

  private:
    std::string show(double mm) const { return units::show(mm, job_.style); }

    static std::string hand(bool left) { return left ? "left" : "right"; }

    std::string title(const seam::Step& step) const {
        std::string text = words::step_title(step, chain_.prints_mating);
        if (!is_cut(step)) return text;
        return text + of(step.kind == Kind::cut_left ? beside_.left : beside_.right);
    }

    static std::string of(const std::string& pieces) { return pieces.empty() ? "" : ": " + pieces; }

    std::string which_side() const {
        return in_wood_.closed ? "Left is the inside of this seam, right the outside."
                               : "Left and right are as seen when you walk along the seam from its start to its end.";
    }

    std::vector<std::string> lines(const seam::Step& step) const {
        std::vector<std::string> lines{step.says};
        if (!step.pair) {
            lines.push_back(fmt::format("Its edge lies {} to the {} of the seam.", show(std::abs(step.edge_at_mm)),
                                        hand(step.edge_at_mm < 0.0)));
            return lines;
        }
        lines.push_back(fmt::format("From the edge of the template to the edge that stays: {}.",
                                    show(std::abs(step.edge_at_mm - step.rides_at_mm))));
        if (is_cut(step) && !step.keeps_far) {
            lines.push_back(fmt::format("First saw the wood along the rough-cut line, {} outside the seam.",
                                        show(job_.limits.reveal_mm)));
        }
        lines.push_back(feed(step));
        return lines;
    }

    /// A router cutter turns clockwise seen from above, so the tooth in front pushes the router to the left of its way:
    /// with the template on the left it is held against it, and the cut at the template's side is against the feed.
    std::string feed(const seam::Step& step) const {
        const std::string way = in_wood_.closed         ? (step.template_on_left ? "counter-clockwise" : "clockwise")
                                : step.template_on_left ? "from the start of the seam to its end"
                                                        : "from the end of the seam to its start";
        return fmt::format(
            "Feed {}, the template on the left of the way you push (for a cutter that turns clockwise seen from above, "
            "as is usual).",
            way);
    }

    /// Passes, and in wood what wood and cutter say about them.
    void plan_depth(StepPlan& plan, const seam::Step& step, const shelf::Cutter& cutter) {
        const auto from = static_cast<std::size_t>(step.from_template);
        if (from >= simulation_.templates.size()) return;
        const double edge_mm = geometry::length_mm(simulation_.templates[from].edge);
        const double depth_mm = is_cut(step) ? job_.thickness_mm : job_.sheet.thickness_mm;
        const job::Limits& l = job_.limits;
        try {
            process::PassRules rules = rules_of(l);
            if (is_cut(step)) {
                const bool left = step.kind == Kind::cut_left;
                plan.depth =
                    cut_depth(job_, shelf_, step, left ? beside_.left_species : beside_.right_species, edge_mm);
                rules = rules_of(*plan.depth, l);
                const auto told = words::depth_lines(*plan.depth, job_.style);
                plan.lines.insert(plan.lines.end(), told.begin(), told.end());
            }
            plan.passes = process::plan_passes(depth_mm, job_.sheet.thickness_mm, cutter.cutting_length_mm, edge_mm,
                                               l.feed_mm_per_min, rules);
            if (!plan.depth || !plan.depth->staged()) return;
            plan.passes->passes.clear();
            plan.passes->minutes = plan.depth->stages->minutes;
            for (const process::Stage& stage : plan.depth->stages->stages)
                plan.passes->passes.insert(plan.passes->passes.end(), stage.passes.begin(), stage.passes.end());
        } catch (const std::invalid_argument&) {
            problems_.push_back({job::Problem::Weight::error, "/limits/pass",
                                 fmt::format("passes of {} for a cut {} deep (seam \"{}\")", show(l.pass_mm),
                                             show(depth_mm), job_.seams[seam_index_].name),
                                 "passes that get through the wood in a number a person can make",
                                 "make the passes deeper", std::nullopt});
        }
    }

    const job::Job& job_;
    const shelf::Shelf& shelf_;
    std::size_t seam_index_;
    const Path& in_wood_;
    const seam::Chain& chain_;
    const seam::Simulation& simulation_;
    const SidePieces& beside_;
    std::vector<job::Problem>& problems_;
};

}  // namespace

SidePieces pieces_beside(const Path& in_wood, const std::vector<PiecePlan>& pieces) {
    const auto running_mm = geometry::running_length_mm(in_wood);
    std::vector<bool> on_left(pieces.size(), false), on_right(pieces.size(), false);
    for (int i = 0; i < places_along; ++i) {
        const auto station = geometry::station_at(in_wood, running_mm, running_mm.back() * (i + 0.5) / places_along);
        const Point p = geometry::point_at(in_wood, station);
        const Point n = beside_mm * geometry::left_of(geometry::tangent_at(in_wood, station));
        for (std::size_t k = 0; k < pieces.size(); ++k) {
            on_left[k] = on_left[k] || geometry::contains(pieces[k].region, p + n);
            on_right[k] = on_right[k] || geometry::contains(pieces[k].region, p - n);
        }
    }
    const auto listed = [&](const std::vector<bool>& on) {
        std::string text;
        for (std::size_t k = 0; k < pieces.size(); ++k) {
            if (on[k]) text += (text.empty() ? "" : " and ") + pieces[k].name;
        }
        return text;
    };
    const auto heaviest = [&](const std::vector<bool>& on) {
        std::string name;
        double density = 0.0;
        for (std::size_t k = 0; k < pieces.size(); ++k) {
            // All are of one thickness; of an unknown wood the weight is 0.
            const double here = on[k] && pieces[k].area_mm2 > 0.0 ? pieces[k].weight_kg / pieces[k].area_mm2 : 0.0;
            if (here <= density) continue;
            name = pieces[k].species;
            density = here;
        }
        return name;
    };
    return {listed(on_left), listed(on_right), heaviest(on_left), heaviest(on_right)};
}

std::vector<StepPlan> plan_steps(const job::Job& job, const shelf::Shelf& shelf, std::size_t seam_index,
                                 const Path& in_wood, const seam::Chain& chain, const seam::Simulation& simulation,
                                 const SidePieces& beside, std::vector<job::Problem>& problems) {
    return StepWriter(job, shelf, seam_index, in_wood, chain, simulation, beside, problems).write();
}

}  // namespace seamwright::plan
