#pragma once

#include <cstddef>
#include <iosfwd>
#include <string>

#include "app/cli.h"
#include "job/job.h"
#include "plan/plan.h"

namespace seamwright::app {

struct ClosingWish {
    std::string seam;            ///< its name; empty: all
    std::string output;          ///< PDF; empty: only told
    std::size_t samples = 1000;  ///< seams tried by calculation
};
/// Whether the seams close with real tools and hands, and how they are pushed together, clamped and glued.
Exit tell_closing(const plan::Plan& plan, const job::Job& job, const shelf::Shelf& shelf, const ClosingWish& wish,
                  std::ostream& out, std::ostream& err);

}  // namespace seamwright::app
