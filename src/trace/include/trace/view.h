#pragma once

#include <optional>
#include <span>
#include <vector>

#include "trace/marks.h"

namespace seamwright::trace {

// Marks are printed three in a row on strips of paper; a sheet has two strips on it, which may be cut apart. Strip n
// holds the marks 3n, 3n + 1, 3n + 2. Strips lie loose along the line that is traced: where each of them lies is found
// together with the camera.

inline constexpr int marks_a_strip = 3;
inline constexpr int most_strips = mark_count / marks_a_strip;
inline constexpr double mark_mm = 60.0;        ///< side of the black square
inline constexpr double mark_apart_mm = 85.0;  ///< from the middle of a mark to the middle of the next on its strip

/// Two marks whose middles were measured with a tape.
struct Taped {
    int from_mark = 0, to_mark = 0;
    double apart_mm = 0.0;
    double within_mm = 0.5;
};

struct ViewSettings {
    std::vector<Taped> taped;
    /// Scatter of the printed scale, as a part: paper and printers stray by this much when nothing was taped.
    double print_scale = 0.002;
    /// The line lies this much nearer to the camera than the marks (a template's thickness). mm
    double above_marks_mm = 0.0;
};

/// How good a place on the bench is known. mm, one σ
struct PlaceScatter {
    double near_mm = 0.0;     ///< against places within a hand's breadth
    double overall_mm = 0.0;  ///< against the whole view
};

/// Where a strip lies: the middle of its middle mark, and the direction of its row.
struct StripPlace {
    int strip = 0;
    Point at;
    double heading_rad = 0.0;
    double residual_px = 0.0;  ///< root mean square of its corners
};

/// The camera, its lens and the plane of the marks, found together.
class View {
  public:
    /// From the picture to the bench, mm; x to the right along the first strip, y away (counter-clockwise from x).
    Point to_bench(Point px) const;
    Point to_picture(Point mm) const;
    double mm_per_px(Point px) const;
    PlaceScatter scatter(Point mm) const;

    std::vector<StripPlace> strips;
    double residual_px = 0.0;  ///< root mean square of all corners
    double worst_residual_px = 0.0;
    int worst_mark = 0;
    double tilt_rad = 0.0;  ///< of the camera's axis from square to the bench
    double focal_px = 0.0;
    double lens_k1 = 0.0, lens_k2 = 0.0;

    struct Fit;                   ///< what the mapping needs; owned by the fit
    std::vector<double> numbers;  ///< the fitted numbers, for saving and repeating
};

/// Refused: fewer marks than settle the view, all of them in one row, marks that do not fit on one plane (one lies on
/// something, or paper curls), a mirrored picture, strips that the view does not tie together.
std::variant<View, TraceProblem> fit_view(const Picture& picture, const FoundMarks& marks,
                                          const ViewSettings& settings);

}  // namespace seamwright::trace
