#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "job/job.h"
#include "plan/closing_study.h"
#include "seam/test_cut.h"
#include "shelf/shelf.h"

namespace seamwright::plan {

// What a test cut tells of a guide and a cutter, and what that changes.

struct TestCutStudy {
    /// Without one, what was found; with one, nothing can be found.
    std::optional<job::Problem> problem;
    seam::RealTools tools;
    std::vector<std::size_t> places;    ///< of each reading: its place, from 0
    std::vector<std::size_t> doubtful;  ///< places to read again
    bool tells_sizes = false;           ///< both diameters
    bool tells_off_centre = false;      ///< where the cutter stands in the guide
    /// The shelf may take it over: it tells something, and no reading stands out.
    bool can_be_kept = false;
};

/// `number`: of the test cut on the shelf, for the place of problems.
TestCutStudy study_test_cut(const shelf::Shelf& shelf, const shelf::TestCut& cut, std::size_t number,
                            const units::LengthStyle& style);

/// The shelf with what the test cut tells: measured sizes, how well they are known, where the cutter stands in the
/// guide. Unchanged where study.can_be_kept is false.
shelf::Shelf learned(shelf::Shelf shelf, const shelf::TestCut& cut, const TestCutStudy& study);

/// What the real sizes do to one seam.
struct SeamRelearned {
    std::string seam;
    std::string before, after;  ///< ids of the ways of copying chosen
    double before_mm = 0.0;     ///< mismatch that the way chosen before is thought to have: + gap, − overlap
    double really_mm = 0.0;     ///< and has with the real sizes
    double after_mm = 0.0;      ///< of the way chosen now
    bool lost = false;          ///< the way chosen before is none with the real sizes
};
/// `then`: the plan of the job with the shelf as it was.
std::vector<SeamRelearned> relearned(const Plan& then, const job::Job& job, const shelf::Shelf& after);

namespace words {

/// "Slot, near one end": what to measure at a place.
std::string test_place_text(std::size_t place);
/// What was found, and what to do next.
Told test_cut_text(const TestCutStudy& study, const shelf::TestCut& cut, const units::LengthStyle& style);
Told relearned_text(const std::vector<SeamRelearned>& seams, const units::LengthStyle& style);

}  // namespace words
}  // namespace seamwright::plan
