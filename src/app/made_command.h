#pragma once

#include <iosfwd>
#include <string>

#include "app/cli.h"
#include "job/read.h"
#include "plan/plan.h"

namespace seamwright::app {

/// Tells what was noted of the work of a job, held against what was told of it, and what the shop has learnt; with
/// `keep` writes the job anew with its notes on the shelf for other jobs. `text` is the job as it was read.
Exit tell_made(const std::string& text, const job::Document& document, const plan::Plan& plan, const std::string& keep,
               std::ostream& out, std::ostream& err);

}  // namespace seamwright::app
