#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geometry/point.h"

namespace seamwright::seam {

using geometry::Point;

// A test cut tells what guide and cutter really do. A slot is cut along a straight and along a round template edge, the
// router held one way throughout; one straight slot is cut once more with the router turned end for end.
//
//     width of the slot                          b
//     template edge to the near edge of it       (B − b)/2 + n·w
//     template edge to its far edge              (B + b)/2 + n·w
//     the guide across, with callipers           B
//
// n points from the template to the slot, as seen from the router; w is the way from the middle of the guide to that of
// the cutter. A cutter that wobbles cuts wider than it is: b is what it cuts.

struct CutReading {
    enum class What { slot_width, near_edge, far_edge, guide_across };
    What what = What::slot_width;
    double mm = 0.0;
    /// Direction of n in the frame of the router (its handles along x, say); of edges only. Turned end for end it is
    /// half a turn more.
    double towards_rad = 0.0;
};

struct TestCut {
    double guide_mm = 0.0, cutter_mm = 0.0;  ///< as marked, > 0
    /// How far one reading may be off, one standard deviation: callipers with a reading to 0.02 mm on wood (common
    /// practice, from memory). > 0
    double reading_mm = 0.03;
    std::vector<CutReading> readings;
};

/// With 95 in 100 of such test cuts the true value lies within ± `within`.
struct Known {
    double value = 0.0;
    double within = 0.0;
    bool told = false;  ///< false: the readings say nothing about it; the value is what was marked (or none)
};

struct RealTools {
    double marked_guide_mm = 0.0, marked_cutter_mm = 0.0;
    Known guide_mm, cutter_mm;          ///< B, b
    Known near_mm, far_mm;              ///< (B − b)/2, (B + b)/2: often known better than B and b are
    Known off_x_mm, off_y_mm;           ///< w, in the frame of the router
    double off_centre_mm = 0.0;         ///< its length
    double scatter_mm = 0.0;            ///< of the readings about what they tell together; 0 when none is to spare
    std::size_t spare = 0;              ///< readings more than needed
    std::vector<double> off_mm;         ///< of each reading, from what all together say
    std::vector<std::size_t> doubtful;  ///< readings that stand out: read or typed wrong, or the work moved
};

struct TestCutProblem {
    std::string reason;
    std::string remedy;
    std::optional<std::size_t> reading;
};

/// The sizes that suit all readings best (least squares; the marked sizes count as if read to ±1 mm, so that what no
/// reading tells stays as marked).
/// nullopt in `problem`: solved. Refused: no readings, a reading that is none or farther than 3 mm from what is marked.
struct TestCutAnswer {
    RealTools tools;
    std::optional<TestCutProblem> problem;
};
TestCutAnswer solve_test_cut(const TestCut& cut);

/// What to cut and measure, in order: enough to tell all four apart. shelf::test_cut_places of them, numbered from 1 on
/// the sheet and in documents.
struct CutPlace {
    CutReading::What what = CutReading::What::slot_width;
    double towards_rad = 0.0;
    bool on_arc = false;  ///< on the round coupon, at this direction; otherwise on the straight one
    bool turned = false;  ///< the router turned end for end
    std::string says;     ///< in the maker's words
};
std::vector<CutPlace> places_to_measure();

}  // namespace seamwright::seam
