#pragma once

#include <iosfwd>
#include <string>

#include "app/cli.h"
#include "plan/plan.h"

namespace seamwright::app {

struct SandingWish {
    std::string output;  ///< PDF; empty: only told
    std::string seam;    ///< its name; empty: all that were measured
};
/// Where to sand the templates that were measured, and whether the pairs copied from them close.
Exit tell_sanding(const plan::Plan& plan, const SandingWish& wish, std::ostream& out, std::ostream& err);

}  // namespace seamwright::app
