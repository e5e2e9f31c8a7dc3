#pragma once

#include <iosfwd>
#include <string>

#include "app/cli.h"
#include "job/read.h"
#include "plan/plan.h"

namespace seamwright::app {

struct TestCutWish {
    std::string guide, cutter;  ///< for the sheet; empty: those of the first routed step of the plan
    std::string sheet;          ///< PDF to write; empty: none
    std::string keep;           ///< job file to write, with what the test cuts tell taken over; empty: none
};
/// The sheet of a test cut, or what the test cuts on the shelf of a job tell. `text` is the job as it was read.
Exit test_cut(const std::string& text, const job::Document& document, const plan::Plan& plan, const TestCutWish& wish,
              std::ostream& out, std::ostream& err);

}  // namespace seamwright::app
