#pragma once

#include <iosfwd>
#include <string>

#include "app/cli.h"
#include "job/read.h"
#include "plan/plan.h"

namespace seamwright::app {

/// What the routed discs on the shelf of a job tell of its woods; or, with a file name, the sheet of a disc.
Exit disc(const job::Document& document, const plan::Plan& plan, const std::string& sheet, std::ostream& out,
          std::ostream& err);

}  // namespace seamwright::app
