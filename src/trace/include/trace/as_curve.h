#pragma once

#include <string>
#include <vector>

#include "curves/traced.h"
#include "trace/trace.h"

namespace seamwright::trace {

/// The file a trace came from.
struct TracedFile {
    bool scan = false;   ///< one or more scans; else a photo
    std::string name;    ///< without folders
    std::string sha256;  ///< of its bytes, 64 hex digits; of several scans, of the first
};

/// The trace as a curve of a job. Its own origin is the middle of the trace's box, its axes are the bench's. An open
/// line runs from left to right, or, where it stands upright, from the bottom up.
curves::Traced as_curve(const Trace& trace, const TracedFile& file);

/// What a trace may be used for, and what not, in the maker's words: one sentence each.
struct TraceUse {
    bool good = false;
    std::string says;
};
/// To take over a drawn line, to lay out boards, to copy a template so that it fits an edge that exists, to find high
/// spots of hundredths of a millimetre: those never from a photo, whatever it says of itself.
std::vector<TraceUse> uses_of(double near_mm, double overall_mm, bool scan);

}  // namespace seamwright::trace
