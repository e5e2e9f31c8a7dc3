#pragma once

#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "app/cli.h"

// Its own name.
namespace CLI {  // NOLINT(readability-identifier-naming)
class App;
}

namespace seamwright::app {

/// As the maker wrote it on the command line.
struct TraceWish {
    std::vector<std::string> pictures;
    bool scan = false;
    bool edge = false;
    std::optional<double> per_inch;
    std::string from, to;              ///< "X,Y" in pixels of the picture; empty: found
    std::vector<std::string> through;  ///< likewise
    std::vector<std::string> taped;    ///< "MARK-MARK=LENGTH"
    std::string above, smooth_below;   ///< lengths; empty: as usual
    std::string unit = "mm";           ///< of bare lengths, and for what is told
    std::string output;                ///< file for the trace, or for the job with it; empty: only told
    std::string job, seam;             ///< job file and the name of its seam; empty: none, or a new seam
};

/// Names the options of `seamwright trace`.
void add_trace_options(CLI::App& command, TraceWish& wish);

Exit trace(const TraceWish& wish, std::istream& in, std::ostream& out, std::ostream& err);

struct MarksWish {
    int strips = 8;
    std::string sheet = "A4";
    double measured_x = 100.0, measured_y = 100.0;  ///< of the bars of 100 mm
    std::string output;
};
void add_marks_options(CLI::App& command, MarksWish& wish);
/// Reference marks to print.
Exit print_marks(const MarksWish& wish, std::ostream& out, std::ostream& err);

}  // namespace seamwright::app
