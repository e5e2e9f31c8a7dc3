#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "job/job.h"
#include "paper/papers.h"
#include "plan/plan.h"

namespace seamwright::app {

// What the maker reads on the terminal: plain text, lengths in the job's units, lines of at most `widest_line`
// characters.

/// One problem: where, found, allowed, remedy.
std::string problem_text(const job::Problem& problem, const units::LengthStyle& style);

/// All problems, errors first, each kind in its order; at most `most` of them, and how many more there are.
/// Empty when there are none.
std::string problems_text(const std::vector<job::Problem>& problems, const units::LengthStyle& style, std::size_t most);

/// "2 errors, 1 warning"; "no problems".
std::string problem_count(const std::vector<job::Problem>& problems);

/// The plan in a maker's words: the top, its pieces, each seam with the way to make it, step by step, with cautions.
std::string findings_text(const plan::Plan& plan);

/// The files written, each with what it is.
std::string papers_text(const std::string& folder, const std::vector<paper::PaperFile>& files);

}  // namespace seamwright::app
