#pragma once

#include "plan/plan_jobs.h"

namespace seamwright::plan::testing {

/// A round top of two boards with a ring of segments, with boards, in mm.
inline Document ring_table() {
    return document_of(job::testing::slurp(job::testing::source("tests/cases/edge/ring-table.json")));
}
/// A rectangular top with two curved seams and an edge built up with end grain, with boards, in inches.
inline Document built_up() {
    return document_of(job::testing::slurp(job::testing::source("tests/cases/edge/built-up.json")));
}

/// The problems at a place of the job.
inline std::vector<job::Problem> at_pointer(const Plan& plan, const std::string& pointer) {
    std::vector<job::Problem> list;
    for (const auto& p : plan.problems)
        if (p.pointer == pointer) list.push_back(p);
    return list;
}

}  // namespace seamwright::plan::testing
