#include "sticks.h"

#include <fmt/format.h>

#include <cmath>

#include "curves/bending.h"
#include "plan/words.h"

namespace seamwright::plan {
namespace {

/// Curves that lie as a stick lies. Arcs and waves are drawn in other ways, unless the seam names a stick for them.
bool drawn_with_a_stick(const curves::Curve& curve) {
    return std::holds_alternative<curves::Pins>(curve) || std::holds_alternative<curves::Sprung>(curve);
}

std::optional<curves::Drawn::Tightest> tightest_of(const curves::Drawn& drawn) {
    std::optional<curves::Drawn::Tightest> tightest;
    for (const auto& turn : {drawn.tightest_left, drawn.tightest_right}) {
        if (turn && std::isfinite(turn->radius_mm) && (!tightest || turn->radius_mm < tightest->radius_mm))
            tightest = turn;
    }
    return tightest;
}

void report(const std::string& pointer, const StickPlan& stick, const std::string& seam,
            const units::LengthStyle& style, std::vector<job::Problem>& problems) {
    const double thickest_mm = words::thickest_told_mm(stick, style);
    problems.push_back({job::Problem::Weight::warning, pointer,
                        fmt::format("a stick of {}, {} thick, for a bend of {} in {}: {}", stick.limit->species,
                                    units::show(stick.stick.thickness_mm, style), units::show(stick.radius_mm, style),
                                    seam, words::strain_text(stick)),
                        fmt::format("at most {:.0f} % of what breaks it, since one stick differs from the next",
                                    100.0 * stick.limit->share),
                        thickest_mm > 0.0 ? fmt::format("take a stick of {} or thinner, or let the seam turn wider",
                                                        units::show(thickest_mm, style))
                                          : std::string("no stick bends so far cold and dry: let the seam turn wider"),
                        stick.at});
}

}  // namespace

std::optional<StickPlan> bent_stick(const job::Job& job, std::size_t seam, const curves::Drawn& drawn) {
    const job::Seam& asked = job.seams[seam];
    if (asked.kind == job::SeamKind::edging) return std::nullopt;
    StickPlan plan;
    plan.own = asked.stick.has_value();
    if (plan.own) {
        plan.stick = *asked.stick;
    } else if (job.stick && drawn_with_a_stick(asked.curve)) {
        plan.stick = *job.stick;
    } else {
        return std::nullopt;
    }
    plan.limit = shelf::bending_limit(plan.stick.species);
    plan.length_mm = geometry::length_mm(drawn.path);
    const auto tightest = tightest_of(drawn);
    if (!tightest) return plan;
    plan.radius_mm = tightest->radius_mm;
    plan.along_mm = tightest->at_mm;
    plan.at = tightest->at;
    plan.strain = curves::skin_strain(plan.stick.thickness_mm, plan.radius_mm);
    if (!plan.limit) return plan;
    plan.part_of_rupture = plan.strain / plan.limit->strain_at_rupture;
    plan.part_that_breaks = shelf::part_that_breaks(plan.part_of_rupture);
    plan.greatest_thickness_mm = curves::greatest_thickness_mm(plan.radius_mm, plan.limit->allowed_strain);
    plan.holds = plan.strain <= plan.limit->allowed_strain;
    return plan;
}

void report_sticks(const job::Job& job, const std::vector<SeamPlan>& seams, std::vector<job::Problem>& problems) {
    const SeamPlan* tightest = nullptr;
    for (std::size_t i = 0; i < seams.size(); ++i) {
        const auto& stick = seams[i].stick;
        if (!stick || stick->holds) continue;
        if (stick->own) {
            report(fmt::format("/seams/{}/stick/thickness", i), *stick, seams[i].name, job.style, problems);
        } else if (tightest == nullptr || stick->radius_mm < tightest->stick->radius_mm) {
            tightest = &seams[i];
        }
    }
    if (tightest != nullptr) report("/stick/thickness", *tightest->stick, tightest->name, job.style, problems);
}

}  // namespace seamwright::plan
