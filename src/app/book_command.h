#pragma once

#include <iosfwd>
#include <string>

#include "app/cli.h"
#include "job/read.h"
#include "plan/plan.h"

namespace seamwright::app {

/// Tells the steps of the work, the calendar and the costs; with an output folder it writes the job book, the quote,
/// the cut list and, where the job says on which day the work begins, the calendar file.
Exit tell_book(const plan::Plan& plan, const job::Document& document, const job::FetchFile& fetch,
               const std::string& output, std::ostream& out, std::ostream& err);

}  // namespace seamwright::app
