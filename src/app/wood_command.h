#pragma once

#include <iosfwd>
#include <string>

#include "app/cli.h"
#include "job/read.h"
#include "plan/plan.h"

namespace seamwright::app {

/// Which piece comes from which board, and what the top does over the year. `output`: PDF; empty: only told. `fetch`:
/// the pictures that boards name, for the PDF.
Exit tell_wood(const plan::Plan& plan, const job::Document& document, const job::FetchFile& fetch,
               const std::string& output, std::ostream& out, std::ostream& err);

}  // namespace seamwright::app
