#pragma once

#include <optional>
#include <string>
#include <vector>

#include "corner.h"
#include "plan/outline_study.h"

namespace seamwright::plan {

/// A rounded corner between two sides, with a leg of both for the guide to come in and go out on.
struct OutlineCorner {
    Path before, after;  ///< the whole sides, from sharp corner to sharp corner
    Rounding rounding;
    double radius_mm = 0.0;
    double leg_before_mm = 0.0, leg_after_mm = 0.0;

    /// Leg, arc, leg of the finished line.
    Path finished() const;
};

/// Full-size templates of the outline. A cut without tools gets a pattern whose edge is the line itself.
class OutlineTemplates {
  public:
    OutlineTemplates(const Plan& plan, const job::Job& job) : plan_(plan), job_(job) {}

    /// A side, or the whole outline.
    OutlineTemplate side(const OutlineCut& cut, std::vector<Path> beside) const;
    OutlineTemplate half(const OutlineCut& cut, std::optional<double> focus_mm) const;
    OutlineTemplate corner(const OutlineCut& cut, const OutlineCorner& corner,
                           const std::vector<std::string>& uses) const;

  private:
    TemplatePlan sheet(const OutlineCut& cut, const Path& finished, double run_out_mm, std::string title) const;
    std::string show(double mm) const { return units::show(mm, job_.style); }

    const Plan& plan_;
    const job::Job& job_;
};

}  // namespace seamwright::plan
