#include "plan/plan.h"

#include <fmt/format.h>

#include <optional>
#include <stdexcept>
#include <tuple>
#include <utility>

#include "boards.h"
#include "choice.h"
#include "edgings.h"
#include "flattening.h"
#include "job/read.h"
#include "made.h"
#include "outline.h"
#include "pieces.h"
#include "plan/sha256.h"
#include "seams.h"
#include "steps.h"
#include "sticks.h"
#include "templates.h"
#include "verdict.h"

namespace seamwright::plan {
namespace {

class Planner {
  public:
    Planner(const job::Job& job, const shelf::Shelf& shelf, const Made* before)
        : job_(job), shelf_(shelf), before_(before) {}

    Plan plan() {
        copy_settings();
        const auto outline = lay_outline();
        if (!outline) return std::move(plan_);
        plan_.outline = *outline;
        plan_.area_mm2 = geometry::area_mm2(plan_.outline);
        plan_.box = geometry::bounding_box(plan_.outline);
        auto layout = lay_seams();
        if (!layout) return std::move(plan_);
        plan_.pieces = name_pieces(job_, std::move(layout->pieces), plan_.problems);
        plan_.milled_mm = study_flattening(plan_, shelf_, nullptr).milled_mm;
        routed_ = job_;
        routed_.thickness_mm = plan_.milled_mm;
        if (layout->seams.empty()) {
            fit_boards(job_, plan_);
            return std::move(plan_);
        }
        if (before_ != nullptr && !stands_as_before()) before_ = nullptr;
        for (LaidSeam& laid : layout->seams) {
            const std::size_t index = laid.index;
            plan_.seams.push_back(plan_seam(std::move(laid)));
            lay_stick(plan_.seams.back(), index);
            const auto& found = plan_.seams.back().problems;
            plan_.problems.insert(plan_.problems.end(), found.begin(), found.end());
        }
        report_sticks(job_, plan_.seams, plan_.problems);
        lay_edgings(job_, plan_);
        report_ring_movement(job_, shelf_, plan_);
        fit_boards(job_, plan_);
        return std::move(plan_);
    }

  private:
    void copy_settings() {
        plan_.name = job_.name;
        plan_.note = job_.note;
        plan_.style = job_.style;
        plan_.thickness_mm = job_.thickness_mm;
        plan_.paper = job_.paper;
        plan_.sheet = job_.sheet;
        plan_.limits = job_.limits;
        plan_.inputs_sha256 = sha256_hex(job::write_document({job_, shelf_}));
        refuse_cross_grain();
    }

    /// A long piece glued fast across the fibres holds what must move: the top cups or splits.
    void refuse_cross_grain() {
        if (!job_.build_up || job_.build_up->ends != job::BuildUp::Ends::glued_across) return;
        plan_.problems.push_back(
            {job::Problem::Weight::error, "/build_up/ends", "wood glued fast across the fibres under the ends",
             "\"end_grain\": short pieces whose fibres run as the top's, or \"floating\": one long "
             "piece the top can move over",
             "write \"end_grain\", or \"floating\" and hold it with screws in slots; glued across, "
             "the top splits or cups in its first dry season",
             std::nullopt});
    }

    /// A result that misses its certificate is a limit of the arithmetic, not of the maker: it is said, and nothing is
    /// made of it.
    static job::Problem beyond_arithmetic(std::string pointer, const char* why) {
        return {job::Problem::Weight::error,
                std::move(pointer),
                fmt::format("a shape this program cannot compute to its own limits ({})", why),
                "lines without loops and cusps much smaller than a cutter",
                "draw it simpler there, with fewer points",
                std::nullopt};
    }

    std::optional<Path> lay_outline() {
        try {
            return outline_path(job_, plan_.problems);
        } catch (const std::runtime_error& e) {
            plan_.problems.push_back(beyond_arithmetic("/top/outline", e.what()));
            return std::nullopt;
        }
    }

    std::optional<Layout> lay_seams() {
        try {
            return lay_out_seams(job_, plan_.outline, before_, plan_.problems);
        } catch (const std::runtime_error& e) {
            plan_.problems.push_back(beyond_arithmetic("/seams", e.what()));
            return std::nullopt;
        }
    }

    /// All that every seam stands on is what it was before: top, templates, limits, shelf and way of writing lengths.
    bool stands_as_before() const {
        const job::Job& was = before_->job;
        const auto& style = job_.style;
        return before_->plan.outline == plan_.outline && was.thickness_mm == job_.thickness_mm &&
               before_->plan.milled_mm == plan_.milled_mm && was.sheet == job_.sheet && was.limits == job_.limits &&
               was.paper == job_.paper && before_->shelf == shelf_ &&
               std::tie(was.style.unit, was.style.denominator, was.style.decimals, was.style.feet) ==
                   std::tie(style.unit, style.denominator, style.decimals, style.feet);
    }

    /// The seam as planned before, when nothing of its own has changed either.
    const SeamPlan* untouched(const LaidSeam& laid, const SidePieces& beside) const {
        if (before_ == nullptr || laid.index >= before_->job.seams.size() || laid.index >= before_->plan.seams.size()) {
            return nullptr;
        }
        const job::Seam& was = before_->job.seams[laid.index];
        const job::Seam& asked = job_.seams[laid.index];
        const SeamPlan& planned = before_->plan.seams[laid.index];
        // A shelf that gives no way at all is told once, at whichever seam comes first.
        const bool same = !planned.chains.empty() && was.name == asked.name && was.kind == asked.kind &&
                          was.as_made == asked.as_made && was.master == asked.master && was.chain == asked.chain &&
                          planned.in_wood == laid.in_wood && planned.left_pieces == beside.left &&
                          planned.right_pieces == beside.right && planned.left_species == beside.left_species &&
                          planned.right_species == beside.right_species;
        return same ? &planned : nullptr;
    }

    void lay_stick(SeamPlan& plan, std::size_t index) const {
        plan.stick = bent_stick(job_, index, plan.drawn);
        plan.sprung.reset();
        const auto* sprung = std::get_if<curves::Sprung>(&job_.seams[index].curve);
        if (sprung == nullptr || plan.kind == job::SeamKind::edging) return;
        auto stick = curves::stick_of(*sprung);
        if (const auto* found = std::get_if<curves::SprungStick>(&stick)) plan.sprung = *found;
    }

    SeamPlan plan_seam(LaidSeam laid) {
        SidePieces beside = pieces_beside(laid.in_wood, plan_.pieces);
        if (const SeamPlan* planned = untouched(laid, beside)) {
            SeamPlan plan = *planned;
            // The same seam in the wood may be drawn farther beyond it.
            plan.drawn = std::move(laid.drawn);
            plan.eased = std::move(laid.eased);
            plan.bumps = curves::bumps_of(plan.drawn, told_bump);
            return plan;
        }
        const job::Seam& asked = job_.seams[laid.index];
        if (!solved_) solved_ = seam::solve_chains(shelf_, depths_of(routed_));
        SeamPlan plan;
        plan.name = asked.name;
        plan.kind = asked.kind;
        plan.drawn = std::move(laid.drawn);
        plan.eased = std::move(laid.eased);
        plan.bumps = curves::bumps_of(plan.drawn, told_bump);
        plan.in_wood = std::move(laid.in_wood);
        plan.length_mm = geometry::length_mm(plan.in_wood);
        plan.any_exact = solved_->any_exact;
        plan.advice = solved_->advice;
        plan.left_pieces = std::move(beside.left);
        plan.right_pieces = std::move(beside.right);
        plan.left_species = std::move(beside.left_species);
        plan.right_species = std::move(beside.right_species);
        try {
            carry_out(plan, laid.index);
        } catch (const std::runtime_error& e) {
            plan.problems.push_back(beyond_arithmetic(fmt::format("/seams/{}", laid.index), e.what()));
            plan.verdict = "This seam could not be computed.";
        }
        return plan;
    }

    void carry_out(SeamPlan& plan, std::size_t index) {
        auto choice = choose_chain(routed_, shelf_, *solved_, index, plan.in_wood, plan.problems);
        if (!choice) {
            plan.verdict = "There is no way to cut this seam with the tools on the shelf.";
            if (solved_->ranked.empty()) report_no_chain(job_, *solved_, plan_.problems);
            return;
        }
        plan.chains = std::move(choice->chains);
        plan.chosen = choice->chosen;
        plan.simulation = std::move(choice->simulation);
        plan.closes = edges_close(plan.simulation, job_.limits);
        const seam::Chain& chain = plan.chains[plan.chosen];
        plan.steps =
            plan_steps(routed_, shelf_, index, plan.in_wood, chain, plan.simulation,
                       {plan.left_pieces, plan.right_pieces, plan.left_species, plan.right_species}, plan.problems);
        plan.templates = plan_templates(job_, shelf_, plan.name, plan.in_wood, chain, plan.simulation, plan_.outline);
        plan.verdict = verdict_of(plan, job_);
        plan.as_made = made_plan(plan, index, routed_, shelf_, plan.problems);
        report_findings(plan, index, job_, plan.problems);
    }

    /// A crest or a hollow of curvature that stands out by less is not told, 1/mm: a fiftieth of a turn in a metre.
    static constexpr double told_bump = 2e-5;

    const job::Job& job_;
    const shelf::Shelf& shelf_;
    const Made* before_;
    job::Job routed_;  ///< the job with boards as thick as they are when the seams are routed
    std::optional<seam::Chains> solved_;
    Plan plan_;
};

}  // namespace

Plan make_plan(const job::Job& job, const shelf::Shelf& shelf) {
    return Planner(job, shelf, nullptr).plan();
}

Plan make_plan(const job::Job& job, const shelf::Shelf& shelf, const Made& before) {
    return Planner(job, shelf, &before).plan();
}

}  // namespace seamwright::plan
