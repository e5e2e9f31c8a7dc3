#pragma once

#include <string>
#include <vector>

#include "trace/as_curve.h"
#include "units/length.h"

namespace seamwright::app {

/// What is told of a trace, the same on the terminal and on the page.
struct TraceWords {
    std::string line;     ///< "A line of 1609.4 mm."
    std::string picture;  ///< "4000 × 3000 pixels, 0.46 mm each on the bench"
    std::string marks;    ///< how well they agree; empty without marks
    std::string trust;    ///< both uncertainties
    std::vector<trace::TraceUse> uses;
};
TraceWords words_of(const trace::Trace& found, bool scan, const units::LengthStyle& style);

}  // namespace seamwright::app
