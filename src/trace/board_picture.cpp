// A photo of a board, seen squarely from above.
//
// With marks the view (view.h) leads from the photo to millimetres on the face; the board is the rectangle around its
// corners, along its two long edges. Lengths taken with a tape are better than the scale of a print (0.2 %, 5 mm on 2.4
// m): where they are given, the rectangle is stretched to them.
// Without marks four corners and two lengths fix the eight numbers of a plane seen through a pinhole (a homography).

#include "trace/board_picture.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <functional>

#include "geometry/region.h"

namespace seamwright::trace {
namespace {

/// Corners marked by hand may lie a little outside.
constexpr double outside_px = 2.0;
constexpr double shortest_side_px = 20.0;
constexpr std::size_t fewest_marks = 4;
/// Print and tape together stray by less (view.h: 0.2 % the print).
constexpr double most_stray = 0.02, stray_mm = 2.0;
/// A photo taken very much aslant makes a long side look short; more than this is a corner taken for another.
constexpr double most_foreshortened = 1.5;
/// As in photo.cpp: 95 % of the worst of two independent parts.
constexpr double in_95_of_worst = 2.45;
/// Of a length read off a tape, as a part.
constexpr double taped_scale = 0.0003;
constexpr double uncertain_mm = 3.0;
constexpr double coarse_mm_per_px = 1.0, blurred_px = 2.5, out_of_square_mm = 5.0;
/// Places are worked out at every so many pixels of the board's picture, and between them along straight lines.
constexpr int grid_px = 16;

const std::array<const char*, 4> corner_names{"near left", "near right", "far right", "far left"};

std::optional<TraceProblem> check_corners(const std::array<Point, 4>& corners, int width, int height) {
    for (std::size_t i = 0; i < 4; ++i) {
        const Point p = corners[i];
        if (p.x >= -outside_px && p.y >= -outside_px && p.x <= width + outside_px && p.y <= height + outside_px)
            continue;
        return TraceProblem{fmt::format("The {} corner, {:.0f},{:.0f}, lies outside the picture of {} × {} pixels.",
                                        corner_names[i], p.x, p.y, width, height),
                            "Take the whole board into the picture, and count pixels from its upper left corner.", p};
    }
    int left = 0;
    for (std::size_t i = 0; i < 4; ++i) {
        const Point a = corners[i], b = corners[(i + 1) % 4], c = corners[(i + 2) % 4];
        if (distance(a, b) < shortest_side_px)
            return TraceProblem{fmt::format("The {} and the {} corner lie {:.0f} pixels apart.", corner_names[i],
                                            corner_names[(i + 1) % 4], distance(a, b)),
                                "Mark each corner of the board once, and go closer if it is that small.", b};
        // y runs down, so a turn to the left has a negative product.
        if (geometry::cross(b - a, c - b) < 0.0) ++left;
    }
    if (left == 0)
        return TraceProblem{"The corners run the wrong way round: the board would come out in a mirror.",
                            "Mark them in this order: near left, near right, far right, far left.",
                            {}};
    if (left != 4)
        return TraceProblem{
            "The four corners make a figure that crosses itself or has a hollow; a board cannot look so.",
            "Mark them in this order: near left, near right, far right, far left.",
            {}};
    return std::nullopt;
}

/// From places of one plane to those of another, by four that belong together.
std::optional<Eigen::Matrix3d> homography(const std::array<Point, 4>& from, const std::array<Point, 4>& to) {
    Eigen::Matrix<double, 8, 8> a;
    Eigen::Matrix<double, 8, 1> b;
    for (Eigen::Index i = 0; i < 4; ++i) {
        const Point p = from[static_cast<std::size_t>(i)], q = to[static_cast<std::size_t>(i)];
        a.row(2 * i) << p.x, p.y, 1.0, 0.0, 0.0, 0.0, -p.x * q.x, -p.y * q.x;
        a.row(2 * i + 1) << 0.0, 0.0, 0.0, p.x, p.y, 1.0, -p.x * q.y, -p.y * q.y;
        b.segment<2>(2 * i) << q.x, q.y;
    }
    const Eigen::FullPivLU<Eigen::Matrix<double, 8, 8>> solver(a);
    if (!solver.isInvertible()) return std::nullopt;
    const Eigen::Matrix<double, 8, 1> h = solver.solve(b);
    Eigen::Matrix3d m;
    m << h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1.0;
    return m;
}

Point through(const Eigen::Matrix3d& m, Point p) {
    const Eigen::Vector3d q = m * Eigen::Vector3d(p.x, p.y, 1.0);
    return {q.x() / q.z(), q.y() / q.z()};
}

/// From a part of the board's length and width (0 .. 1) to the photo.
using Way = std::function<Point(Point)>;

/// mm of one photo pixel along the board's length and width, the coarsest and the finest of them.
struct Grain {
    double coarsest = 0.0, finest = HUGE_VAL;
};
Grain grain_of(const Way& way, double length_mm, double width_mm) {
    constexpr double step = 1e-3;
    Grain out;
    for (const double x : {0.0, 0.5, 1.0 - step}) {
        for (const double y : {0.0, 0.5, 1.0 - step}) {
            const Point at = way({x, y});
            const double along = step * length_mm / distance(at, way({x + step, y}));
            const double across = step * width_mm / distance(at, way({x, y + step}));
            out.coarsest = std::max({out.coarsest, along, across});
            out.finest = std::min({out.finest, along, across});
        }
    }
    return out;
}

/// Where on the photo, bilinear; beyond its edge as at the edge.
class Sampler {
  public:
    explicit Sampler(const ColourPicture& photo) : photo_(photo) {}
    void add(Point px, std::array<double, 3>& sum) const {
        const double x = std::clamp(px.x - 0.5, 0.0, photo_.width - 1.0);
        const double y = std::clamp(px.y - 0.5, 0.0, photo_.height - 1.0);
        const auto left = static_cast<std::size_t>(x), top = static_cast<std::size_t>(y);
        const double u = x - static_cast<double>(left), v = y - static_cast<double>(top);
        const auto width = static_cast<std::size_t>(photo_.width);
        const std::size_t right = std::min(left + 1, width - 1);
        const std::size_t below = std::min(top + 1, static_cast<std::size_t>(photo_.height) - 1);
        const auto* rgb = photo_.rgb.data();
        for (std::size_t k = 0; k < 3; ++k) {
            const auto at = [&](std::size_t c, std::size_t r) { return double{1.0} * rgb[3 * (r * width + c) + k]; };
            sum[k] += (1.0 - v) * ((1.0 - u) * at(left, top) + u * at(right, top)) +
                      v * ((1.0 - u) * at(left, below) + u * at(right, below));
        }
    }

  private:
    const ColourPicture& photo_;
};

Point between(Point a, Point b, double t) {
    return (1.0 - t) * a + t * b;
}

ColourPicture taken_squarely(const ColourPicture& photo, const Way& way, int width, int height, int samples) {
    ColourPicture out;
    out.width = width;
    out.height = height;
    out.rgb.resize(3 * static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
    const int columns = (width + grid_px - 1) / grid_px, rows = (height + grid_px - 1) / grid_px;
    std::vector<Point> grid;
    for (int r = 0; r <= rows; ++r)
        for (int c = 0; c <= columns; ++c)
            grid.push_back(
                way({static_cast<double>(c * grid_px) / width, 1.0 - static_cast<double>(r * grid_px) / height}));
    const auto node = [&](int c, int r) {
        return grid[static_cast<std::size_t>(r) * static_cast<std::size_t>(columns + 1) + static_cast<std::size_t>(c)];
    };
    const Sampler sampler(photo);
    const double share = 1.0 / (samples * samples);
    std::size_t at = 0;
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            std::array<double, 3> sum{};
            for (int j = 0; j < samples; ++j) {
                const double down = (y + (j + 0.5) / samples) / grid_px;
                const int r = y / grid_px;
                for (int i = 0; i < samples; ++i) {
                    const double right = (x + (i + 0.5) / samples) / grid_px;
                    const int c = x / grid_px;
                    const Point upper = between(node(c, r), node(c + 1, r), right - c);
                    const Point lower = between(node(c, r + 1), node(c + 1, r + 1), right - c);
                    sampler.add(between(upper, lower, down - r), sum);
                }
            }
            for (const double each : sum) out.rgb[at++] = static_cast<std::uint8_t>(std::lround(each * share));
        }
    }
    return out;
}

void remark(BoardPicture& board, std::string reason, std::string remedy) {
    board.remarks.push_back({std::move(reason), std::move(remedy), {}});
}

/// Measures the board by the view. A refusal where tape and marks contradict each other.
std::optional<TraceProblem> measure(const View& view, const BoardPictureSettings& settings, BoardPicture& board,
                                    Way& way) {
    std::array<Point, 4> on_bench;
    for (std::size_t i = 0; i < 4; ++i) {
        on_bench[i] = view.to_bench(settings.corners_px[i]);
        if (!std::isfinite(on_bench[i].x) || !std::isfinite(on_bench[i].y))
            return TraceProblem{fmt::format("The {} corner lies beyond the horizon of the bench.", corner_names[i]),
                                "Take the photo from higher up, and mark the corners again.", settings.corners_px[i]};
    }
    const Point way_along = (on_bench[1] - on_bench[0]) + (on_bench[2] - on_bench[3]);
    const Point along = way_along / norm(way_along), across = geometry::left_of(along);
    geometry::Box box;
    for (const Point p : on_bench) box.add(Point{dot(p, along), dot(p, across)});
    board.measured_length_mm = box.width_mm();
    board.measured_width_mm = box.height_mm();
    board.length_mm = settings.length_mm.value_or(board.measured_length_mm);
    // What the tape says about the print along the board holds across it too.
    board.width_mm = settings.width_mm.value_or(board.measured_width_mm * board.length_mm / board.measured_length_mm);
    struct Side {
        const char* name;
        double given_mm, measured_mm;
    };
    for (const Side& side : {Side{"long", board.length_mm, board.measured_length_mm},
                             Side{"wide", board.width_mm, board.measured_width_mm}}) {
        if (std::abs(side.given_mm - side.measured_mm) <= most_stray * side.given_mm + stray_mm) continue;
        return TraceProblem{fmt::format("The board is said to be {:.0f} mm {}; by the marks it is {:.0f} mm.",
                                        side.given_mm, side.name, side.measured_mm),
                            "Measure again, look at the unit and at the order of the corners, and say with --above how "
                            "much higher the face lies where the marks lie beside the board.",
                            {}};
    }
    const std::array<Point, 4> square{Point{box.low.x, box.low.y}, Point{box.high.x, box.low.y},
                                      Point{box.high.x, box.high.y}, Point{box.low.x, box.high.y}};
    for (std::size_t i = 0; i < 4; ++i) {
        const Point p{dot(on_bench[i], along), dot(on_bench[i], across)};
        board.out_of_square_mm = std::max(board.out_of_square_mm, distance(p, square[i]));
        board.corners_mm[i] = p - box.low;
        board.within_mm = std::max(board.within_mm, in_95_of_worst * view.scatter(on_bench[i]).overall_mm);
    }
    way = [kept = view, along, across, box](Point part) {
        const double x = box.low.x + part.x * box.width_mm(), y = box.low.y + part.y * box.height_mm();
        return kept.to_picture(x * along + y * across);
    };
    return std::nullopt;
}

std::optional<TraceProblem> by_corners(const BoardPictureSettings& settings, BoardPicture& board, Way& way) {
    const auto& c = settings.corners_px;
    board.length_mm = *settings.length_mm;
    board.width_mm = *settings.width_mm;
    const double seen_long = distance(c[0], c[1]) + distance(c[3], c[2]);
    const double seen_wide = distance(c[1], c[2]) + distance(c[0], c[3]);
    const double seen = seen_long / seen_wide, said = board.length_mm / board.width_mm;
    if ((said > most_foreshortened && seen < 1.0) || (said < 1.0 / most_foreshortened && seen > 1.0))
        return TraceProblem{
            fmt::format("The near edge, from the first corner to the second, looks {} than the ends, but the board is "
                        "{:.0f} mm long and {:.0f} mm wide.",
                        seen < 1.0 ? "shorter" : "longer", board.length_mm, board.width_mm),
            "Begin at the near left corner: near left, near right, far right, far left.",
            {}};
    const auto m = homography({Point{0.0, 0.0}, Point{1.0, 0.0}, Point{1.0, 1.0}, Point{0.0, 1.0}}, c);
    if (!m)
        return TraceProblem{"The four corners lie nearly in one line.",
                            "Take the photo from higher up, and mark the corners again.",
                            {}};
    way = [m](Point part) { return through(*m, part); };
    remark(board,
           "There are no marks by which to check it: the four corners and the two lengths are taken as they are.",
           "Lay a printed sheet of marks on the board, so that the scale is measured and a lens that bows is mended.");
    return std::nullopt;
}

void add_remarks(BoardPicture& board, const FoundMarks& marks, const std::array<Point, 4>& corners,
                 double above_marks_mm) {
    if (board.photo_mm_per_px > coarse_mm_per_px)
        remark(board,
               fmt::format("A pixel of the photo is up to {:.1f} mm wide on the board: the figure will look soft.",
                           board.photo_mm_per_px),
               "Go closer, so that the board fills the picture, or use the camera's full size.");
    if (!board.by_marks) return;
    if (board.within_mm > uncertain_mm)
        remark(
            board, fmt::format("Places on it are uncertain by up to {:.0f} mm.", board.within_mm),
            "Cut the sheets of marks apart and lay a strip near each corner; measure the length with a tape and give "
            "it too.");
    const geometry::Path edge = geometry::polyline(corners, true);
    std::size_t on_board = 0;
    for (const FoundMark& mark : marks.marks) {
        const Point middle = 0.25 * (mark.corners_px[0] + mark.corners_px[1] + mark.corners_px[2] + mark.corners_px[3]);
        if (above_marks_mm == 0.0 && geometry::contains({edge, {}}, middle)) ++on_board;
    }
    if (on_board > 0)
        remark(
            board, fmt::format("{} of the marks lie on the board and hide the wood there.", on_board),
            "For a picture without them lay the strips on the bench beside the board, on both sides, and say how much "
            "higher its face lies (--above).");
    std::vector<double> blur;
    for (const FoundMark& mark : marks.marks) blur.push_back(mark.blur_px);
    std::nth_element(blur.begin(), blur.begin() + static_cast<std::ptrdiff_t>(blur.size() / 2), blur.end());
    if (blur[blur.size() / 2] > blurred_px)
        remark(board, fmt::format("The photo is blurred, by about {:.1f} pixels.", blur[blur.size() / 2]),
               "Use more light, hold the camera still, and let it focus on the board.");
    if (board.out_of_square_mm > out_of_square_mm)
        remark(board, fmt::format("The corners lie up to {:.0f} mm off a rectangle.", board.out_of_square_mm),
               "Where the board is not cut square, or tapers, give it an outline; else look where the corners were "
               "marked.");
}

}  // namespace

std::variant<BoardPicture, TraceProblem> picture_of_board(std::span<const std::uint8_t> file,
                                                          const BoardPictureSettings& settings) {
    auto read = read_colour_picture(file);
    if (auto* why = std::get_if<TraceProblem>(&read)) return std::move(*why);
    const ColourPicture& photo = std::get<ColourPicture>(read);
    if (auto why = check_corners(settings.corners_px, photo.width, photo.height)) return std::move(*why);

    BoardPicture board;
    Way way;
    const Picture greys = in_greys(photo);
    const FoundMarks marks = find_marks(greys);
    std::variant<View, TraceProblem> fitted = TraceProblem{
        fmt::format("{} marks are seen in the photo; at least {} are needed to measure by.", marks.marks.size(),
                    fewest_marks),
        "Lay a whole printed sheet of marks on the board, flat and well lit; or measure the board, and give its "
        "length and width.",
        {}};
    if (marks.marks.size() >= fewest_marks || marks.mirrored) {
        ViewSettings view = settings.view;
        // The print only scales the whole, and that is mended by the tape.
        if (settings.length_mm) view.print_scale = std::min(view.print_scale, taped_scale);
        fitted = fit_view(greys, marks, view);
    }
    if (const auto* view = std::get_if<View>(&fitted)) {
        board.by_marks = true;
        board.marks = marks.marks.size() - view->left_out.size();
        board.residual_px = view->residual_px;
        if (auto why = measure(*view, settings, board, way)) return std::move(*why);
        board.remarks.insert(board.remarks.end(), view->remarks.begin(), view->remarks.end());
    } else {
        const auto& why = std::get<TraceProblem>(fitted);
        if (!settings.length_mm || !settings.width_mm || marks.mirrored) return why;
        if (auto refused = by_corners(settings, board, way)) return std::move(*refused);
        if (!marks.marks.empty()) board.remarks.push_back(why);
    }
    const Grain grain = grain_of(way, board.length_mm, board.width_mm);
    if (!std::isfinite(grain.coarsest) || !(grain.finest > 0.0))
        return TraceProblem{"The corners do not fit a flat board seen from above.",
                            "Take the photo from higher up, and mark the corners again.",
                            {}};
    board.photo_mm_per_px = grain.coarsest;
    const double per_mm =
        std::min({finest_px_per_mm, 1.0 / grain.finest, longest_board_px / std::max(board.length_mm, board.width_mm)});
    // Never too narrow to be read again.
    const auto pixels = [&](double mm) {
        return std::clamp(static_cast<int>(std::lround(per_mm * mm)), static_cast<int>(fewest_pixels_across),
                          longest_board_px);
    };
    constexpr int most_samples = 4;
    const int samples = std::clamp(static_cast<int>(std::ceil(1.0 / (per_mm * grain.finest))), 1, most_samples);
    board.picture = taken_squarely(photo, way, pixels(board.length_mm), pixels(board.width_mm), samples);
    add_remarks(board, marks, settings.corners_px, settings.view.above_marks_mm);
    return board;
}

}  // namespace seamwright::trace
