// First pass light, because the cutter then also finds the depth and clears the first shavings; last pass light,
// because it leaves the edge. What lies between is shared out evenly (common practice).

#include "process/passes.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

// A depth that is a whole number of steps but for rounding must not cost one pass more.
constexpr double relative_rounding = 1e-9;

void require_positive(double value, const char* what) {
    if (!(value > 0.0) || !std::isfinite(value)) throw std::invalid_argument(what);
}

std::vector<double> steps_for(double total_mm, const PassRules& rules) {
    const double first_mm = std::min(rules.first_mm, rules.step_mm);
    const double last_mm = std::min(rules.last_mm, rules.step_mm);
    if (total_mm <= std::min(first_mm, last_mm)) return {total_mm};
    if (total_mm <= first_mm + last_mm) {
        const double first_part = total_mm * first_mm / (first_mm + last_mm);
        return {first_part, total_mm - first_part};
    }
    const double between_mm = total_mm - first_mm - last_mm;
    const double count = std::max(1.0, std::ceil(between_mm / rules.step_mm * (1.0 - relative_rounding)));
    std::vector<double> steps{first_mm};
    steps.insert(steps.end(), static_cast<std::size_t>(count), between_mm / count);
    steps.push_back(last_mm);
    return steps;
}

}  // namespace

PassPlan plan_passes(double thickness_mm, double template_mm, double cutting_length_mm, double edge_length_mm,
                     double feed_mm_per_min, const PassRules& rules) {
    require_positive(thickness_mm, "plan_passes: thickness must be above 0");
    require_positive(cutting_length_mm, "plan_passes: cutting length must be above 0");
    require_positive(feed_mm_per_min, "plan_passes: feed must be above 0");
    require_positive(rules.first_mm, "plan_passes: first pass must be above 0");
    require_positive(rules.step_mm, "plan_passes: step must be above 0");
    require_positive(rules.last_mm, "plan_passes: last pass must be above 0");
    if (!(template_mm >= 0.0) || !(edge_length_mm >= 0.0) || !(rules.below_mm >= 0.0))
        throw std::invalid_argument("plan_passes: template, length and depth below the wood must not be negative");
    const double total_mm = thickness_mm + rules.below_mm;
    if (total_mm / rules.step_mm > most_passes)
        throw std::invalid_argument("plan_passes: step too small for the depth");

    PassPlan plan;
    double depth_mm = 0.0;
    for (const double step_mm : steps_for(total_mm, rules)) {
        depth_mm += step_mm;
        plan.passes.push_back({depth_mm, step_mm, template_mm + depth_mm});
    }
    // The sum of the steps may miss the whole by a rounding step.
    plan.passes.back().depth_mm = total_mm;
    plan.passes.back().projection_mm = template_mm + total_mm;
    plan.length_mm = edge_length_mm;
    plan.minutes = static_cast<double>(plan.passes.size()) * edge_length_mm / feed_mm_per_min;
    plan.deeper_than_flute = total_mm > cutting_length_mm;
    return plan;
}

}  // namespace seamwright::process
