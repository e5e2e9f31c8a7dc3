#pragma once

#include <array>
#include <optional>
#include <variant>
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
    double within_mm = 0.5;  ///< one σ
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
    double near_mm = 0.0;     ///< across a line, against places a hand's breadth to either side of it
    double overall_mm = 0.0;  ///< against the whole view
};

/// Where a strip lies: the middle of its middle mark, and the direction of its row.
struct StripPlace {
    int strip = 0;
    Point at;
    double heading_rad = 0.0;
    double residual_px = 0.0;  ///< root mean square of its corners
};

inline constexpr std::size_t camera_numbers = 11;

/// The numbers that were fitted, and how they scatter together: all that the mapping needs. A view can be kept by them.
struct ViewNumbers {
    double width_px = 0.0, height_px = 0.0;
    double above_marks_mm = 0.0;
    /// Logarithm of the focal length in pixels; the axis' place in the picture from its middle, px along x and y;
    /// parts by which the lens moves a place at the picture's corner outwards, by the second and by the fourth power;
    /// logarithm of mm per pixel where the axis meets the bench; that place, mm; tilts and roll, rad.
    std::array<double, camera_numbers> camera{};
    std::array<double, camera_numbers * camera_numbers> spread{};  ///< covariance, row after row
    /// The motion of the whole view that goes with each number, about `middle`: along x, along y, turn.
    std::array<double, 3 * camera_numbers> motion{};
    Point middle;
};

/// The camera, its lens and the plane of the marks, found together. A value: may be copied and kept.
class View {
  public:
    /// From the picture to the bench, mm; x to the right along the first strip (the lowest number seen), y away
    /// (counter-clockwise from x), from the middle of that strip's middle mark. On the plane of the line, which is
    /// `above_marks_mm` above that of the marks. Places in the picture at which the bench cannot be (above its horizon)
    /// give not-a-number.
    Point to_bench(Point px) const;
    Point to_picture(Point mm) const;
    /// Of one pixel on the bench, there: the root of its area.
    double mm_per_px(Point px) const;
    PlaceScatter scatter(Point mm) const;

    std::vector<StripPlace> strips;
    double residual_px = 0.0;  ///< root mean square of all corners that were used, of their distance
    double worst_residual_px = 0.0;
    int worst_mark = 0;
    double tilt_rad = 0.0;  ///< of the camera's axis from square to the bench
    double focal_px = 0.0;
    double lens_k1 = 0.0, lens_k2 = 0.0;  ///< u = c + f·x·(1 + k1 r² + k2 r⁴), x the ray at distance 1, r its length
    double print_scale = 0.0;             ///< part by which all strips are printed too large, as far as that is known
    std::vector<int> left_out;            ///< marks that do not fit on the plane of the others
    std::vector<TraceProblem> remarks;

    ViewNumbers numbers;
};

/// Refused: fewer than four marks, all of them in one row, marks that do not fit on one plane (something lies under
/// them, or the paper curls), a mirrored picture, a view that leaves more open than the print does.
std::variant<View, TraceProblem> fit_view(const Picture& picture, const FoundMarks& marks,
                                          const ViewSettings& settings);

}  // namespace seamwright::trace
