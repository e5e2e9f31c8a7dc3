#include "camera.h"

// libjpeg's header needs FILE.
#include <cstdio>
// clang-format off
#include <jpeglib.h>
// clang-format on
#include <png.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <stdexcept>

namespace seamwright::trace {

namespace {

using geometry::cross;
using geometry::dot;
using geometry::left_of;
using geometry::norm;
using geometry::pi;
using geometry::unit;

struct Vec3 {
    double x = 0.0, y = 0.0, z = 0.0;
};
using Mat3 = std::array<Vec3, 3>;  // rows

double dot3(const Vec3& a, const Vec3& b) {
    return a.x * b.x + a.y * b.y + a.z * b.z;
}
Vec3 times(const Mat3& m, const Vec3& v) {
    return {dot3(m[0], v), dot3(m[1], v), dot3(m[2], v)};
}
Vec3 times_transposed(const Mat3& m, const Vec3& v) {
    return {m[0].x * v.x + m[1].x * v.y + m[2].x * v.z, m[0].y * v.x + m[1].y * v.y + m[2].y * v.z,
            m[0].z * v.x + m[1].z * v.y + m[2].z * v.z};
}
Mat3 product(const Mat3& a, const Mat3& b) {
    Mat3 c;
    for (std::size_t i = 0; i < 3; ++i) c[i] = times_transposed(b, a[i]);
    return c;
}

/// The camera's pose: a place on the bench in its own axes (right, down, forward) is turn · place + shift.
struct Pose {
    Mat3 turn;
    Vec3 shift;
    Vec3 from;  ///< the camera itself, on the bench
};

Pose pose_of(const Camera& c) {
    const double cx = std::cos(c.tilt_x_rad), sx = std::sin(c.tilt_x_rad);
    const double cy = std::cos(c.tilt_y_rad), sy = std::sin(c.tilt_y_rad);
    const double cz = std::cos(c.roll_rad), sz = std::sin(c.roll_rad);
    const Mat3 roll{Vec3{cz, -sz, 0.0}, Vec3{sz, cz, 0.0}, Vec3{0.0, 0.0, 1.0}};
    const Mat3 about_x{Vec3{1.0, 0.0, 0.0}, Vec3{0.0, cx, -sx}, Vec3{0.0, sx, cx}};
    const Mat3 about_y{Vec3{cy, 0.0, sy}, Vec3{0.0, 1.0, 0.0}, Vec3{-sy, 0.0, cy}};
    const Mat3 from_above{Vec3{1.0, 0.0, 0.0}, Vec3{0.0, -1.0, 0.0}, Vec3{0.0, 0.0, -1.0}};
    Pose p;
    p.turn = product(product(roll, about_x), product(about_y, from_above));
    const Vec3 looked = times(p.turn, {c.looks_at.x, c.looks_at.y, 0.0});
    p.shift = {-looked.x, -looked.y, c.away_mm - looked.z};
    const Vec3 back = times_transposed(p.turn, p.shift);
    p.from = {-back.x, -back.y, -back.z};
    return p;
}

Point middle_of(const Camera& c) {
    return {0.5 * c.width + c.off_centre_px.x, 0.5 * c.height + c.off_centre_px.y};
}

double lens(const Camera& c, double r2) {
    return 1.0 + r2 * (c.k1 + r2 * c.k2);
}

/// Takes the lens off: the part by which a place at squared distance `seen2` from the axis is to be brought in.
double unlens(const Camera& c, double seen2) {
    const double seen = std::sqrt(seen2);
    double r = seen;
    for (int i = 0; i < 30; ++i) {
        const double r2 = r * r;
        const double slope = 1.0 + r2 * (3.0 * c.k1 + r2 * 5.0 * c.k2);
        const double step = (r * lens(c, r2) - seen) / slope;
        r -= step;
        if (std::abs(step) < 1e-15) break;
    }
    return seen > 0.0 ? r / seen : 1.0;
}

Point project(const Camera& c, const Pose& p, Point mm, double raised_mm) {
    const Vec3 at = times(p.turn, {mm.x, mm.y, raised_mm});
    const Point flat{(at.x + p.shift.x) / (at.z + p.shift.z), (at.y + p.shift.y) / (at.z + p.shift.z)};
    return middle_of(c) + (c.focal_px * lens(c, norm2(flat))) * flat;
}

/// From pixels to the bench, fast: the lens from a table, then one division.
class Ray {
  public:
    Ray(const Camera& camera, const Pose& pose) : camera_(camera), pose_(pose), middle_(middle_of(camera)) {
        const double far_x = std::max(middle_.x, camera.width - middle_.x) + 40.0;
        const double far_y = std::max(middle_.y, camera.height - middle_.y) + 40.0;
        const double most = (far_x * far_x + far_y * far_y) / (camera.focal_px * camera.focal_px);
        per_step_ = table_size / most;
        for (std::size_t i = 0; i < table_.size(); ++i)
            table_[i] = unlens(camera, static_cast<double>(i) * most / table_size);
    }

    Point to_bench(Point px) const {
        const Point seen = (px - middle_) / camera_.focal_px;
        const double at = std::min(norm2(seen) * per_step_, table_size - 1.0);
        const auto i = static_cast<std::size_t>(at);
        const double part = at - static_cast<double>(i);
        // The table is fine enough for straight lines in it: 2⁻¹⁴ steps of a curve that bends little.
        return plane((table_[i] + part * (table_[i + 1] - table_[i])) * seen);
    }
    Point plane(Point flat) const {
        const Vec3 along = times_transposed(pose_.turn, {flat.x, flat.y, 1.0});
        const double k = -pose_.from.z / along.z;
        return {pose_.from.x + k * along.x, pose_.from.y + k * along.y};
    }
    /// Where the ray that ends on the bench at `mm` passes a height that grows from `raised` at `about` by `slope`.
    Point higher(Point mm, double raised, Point slope, Point about) const {
        const Point towards{pose_.from.x - mm.x, pose_.from.y - mm.y};
        const double s = (raised + dot(slope, mm - about)) / (pose_.from.z - dot(slope, towards));
        return mm + s * towards;
    }
    double mm_per_px(Point px) const {
        const Point a = to_bench({px.x - 0.5, px.y}), b = to_bench({px.x + 0.5, px.y});
        const Point c = to_bench({px.x, px.y - 0.5}), d = to_bench({px.x, px.y + 0.5});
        return std::max(norm(b - a), norm(d - c));
    }

  private:
    static constexpr int table_size = 1 << 14;
    Camera camera_;
    Pose pose_;
    Point middle_;
    double per_step_ = 0.0;
    std::array<double, table_size + 1> table_{};
};

std::uint64_t scramble(std::uint64_t z) {
    // splitmix64 (G. Steele, D. Lea, C. Flood, Fast splittable pseudorandom number generators, 2014).
    z += 0x9e3779b97f4a7c15ULL;
    z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27U)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31U);
}

/// Numbers by chance that are the same on every machine.
class Chance {
  public:
    explicit Chance(std::uint64_t seed) : state_(scramble(seed)) {}
    double even(double low, double high) {
        state_ = scramble(state_);
        return low + (high - low) * static_cast<double>(state_ >> 11U) * 0x1p-53;
    }
    double normal() {
        const double u = even(0x1p-53, 1.0);
        const double v = even(0.0, 2.0 * pi);
        return std::sqrt(-2.0 * std::log(u)) * std::cos(v);
    }

  private:
    std::uint64_t state_;
};

/// One thing that is drawn. All that is known of it at a place: how far its nearest edge is, and what it reflects there
/// (below 0: nothing, it is not there).
struct Seen {
    double edge_mm = 0.0;
    double reflects = -1.0;
};

enum class Shape { box, disc, cells, line, sheet };

struct Thing {
    Shape shape = Shape::box;
    Point at;
    Point along{1.0, 0.0};
    double half_length = 0.0, half_width = 0.0;
    double reflects = 0.0;
    double raised_mm = 0.0;
    Point slope;
    // of cells
    int across = 0;
    std::vector<bool> black;
    double white = 0.0;
    double spread_mm = 0.0;
    // of lines and sheets
    std::vector<Point> points;
    double patchy = 0.0;
    geometry::Box box;        ///< all that a sheet can cover
    bool more_above = false;  ///< the next thing is the same sheet, higher
};

double patch_at(Point mm) {
    constexpr double patch_mm = 0.4;
    const auto i = static_cast<std::int64_t>(std::floor(mm.x / patch_mm));
    const auto j = static_cast<std::int64_t>(std::floor(mm.y / patch_mm));
    const std::uint64_t z = scramble(static_cast<std::uint64_t>(i) * 0x100000001b3ULL ^ static_cast<std::uint64_t>(j));
    return static_cast<double>(z >> 11U) * 0x1p-53;
}

struct Nearest {
    double d2 = std::numeric_limits<double>::max();
    double side = 0.0;      ///< above 0: the place lies to the left
    bool past_end = false;  ///< beyond the first or the last point
};

void look_at_piece(const std::vector<Point>& points, std::size_t i, Point p, Nearest& best) {
    const Point a = points[i], d = points[i + 1] - a;
    const double t = dot(p - a, d) / norm2(d);
    const double held = std::clamp(t, 0.0, 1.0);
    const double d2 = norm2(p - (a + held * d));
    if (d2 >= best.d2) return;
    best.d2 = d2;
    best.past_end = (i == 0 && t < 0.0) || (i + 2 == points.size() && t > 1.0);
    Point direction = d / norm(d);
    if (t < 0.0 && i > 0) {
        const Point before = a - points[i - 1];
        direction = direction + before / norm(before);
    } else if (t > 1.0 && i + 2 < points.size()) {
        const Point after = points[i + 2] - points[i + 1];
        direction = direction + after / norm(after);
    }
    best.side = cross(direction, p - (a + held * d));
}

Seen see_curve(const Thing& t, const Nearest& n, Point p) {
    const double d = std::sqrt(n.d2);
    if (t.shape == Shape::line) {
        if (d > t.half_width) return {d - t.half_width, -1.0};
        // Patches are far smaller than a pixel or a few of them: the line is sampled wherever it lies.
        const double edge = t.patchy > 0.0 ? 0.0 : t.half_width - d;
        return {edge, t.reflects + t.patchy * (0.5 - t.reflects) * patch_at(p)};
    }
    const double to_left = n.side > 0.0 ? d : -d;
    const bool in = to_left < 0.0 && to_left > -t.half_width && !n.past_end;
    const double edge = n.past_end ? 0.0 : std::min(std::abs(to_left), std::abs(to_left + t.half_width));
    return {edge, in ? t.reflects : -1.0};
}

Seen see(const Thing& t, Point p) {
    const Point from = p - t.at;
    const double u = dot(from, t.along), v = cross(t.along, from);
    switch (t.shape) {
        case Shape::disc: {
            const double d = norm(from) - t.half_length;
            return {std::abs(d), d < 0.0 ? t.reflects : -1.0};
        }
        case Shape::box: {
            const double out_u = std::abs(u) - t.half_length, out_v = std::abs(v) - t.half_width;
            const double d = std::max(out_u, out_v);
            return {std::abs(d), d < 0.0 ? t.reflects : -1.0};
        }
        case Shape::cells: {
            const double out = std::max(std::abs(u), std::abs(v)) - (t.half_length + t.spread_mm);
            if (out >= 0.0) return {out, -1.0};
            const double cell = 2.0 * t.half_length / t.across;
            const double column = (u + t.half_length) / cell, row = (t.half_length - v) / cell;
            const double to_line =
                cell * std::min(std::abs(column - std::round(column)), std::abs(row - std::round(row)));
            const auto held = [&](double k) {
                return static_cast<std::size_t>(std::clamp(k, 0.0, static_cast<double>(t.across) - 0.5));
            };
            const bool black = t.black[held(row) * static_cast<std::size_t>(t.across) + held(column)];
            return {std::min(-out, to_line), black ? t.reflects : t.white};
        }
        default:
            break;
    }
    throw std::logic_error("curves are looked at piece by piece");
}

/// What is near one square of pixels.
struct Near {
    std::uint32_t thing = 0;
    std::uint32_t piece = 0;  ///< of a curve
};

Point place_on_strip(const LaidStrip& s, double along_mm, double across_mm) {
    const Point u = unit(s.heading_rad);
    return s.at + (1.0 + s.print_scale) * (along_mm * u + across_mm * left_of(u));
}

std::vector<Thing> things_on(const Bench& bench) {
    constexpr double strip_end_mm = 18.0;  // of paper beyond the outer marks
    constexpr double strip_rim_mm = 15.0;  // of paper beside them
    std::vector<Thing> things;
    const auto clutter = [&](bool on_top) {
        for (const Clutter& c : bench.clutter) {
            if (c.on_top != on_top) continue;
            Thing t;
            t.shape = c.round ? Shape::disc : Shape::box;
            t.at = c.at;
            t.along = unit(c.heading_rad);
            t.half_length = 0.5 * c.length_mm;
            t.half_width = 0.5 * c.width_mm;
            t.reflects = c.reflects;
            things.push_back(t);
        }
    };
    clutter(false);
    for (const LaidTemplate& l : bench.templates) {
        Thing t;
        t.shape = Shape::sheet;
        t.points = l.edge;
        t.half_width = l.depth_mm;
        for (const Point p : l.edge) t.box.add(p);
        t.box = t.box.grown(l.depth_mm);
        // The wall as sheets one above the other, seen less than a pixel apart.
        constexpr double level_mm = 1.5;
        const int walls = l.thick_mm > 0.0 ? static_cast<int>(std::ceil(l.thick_mm / level_mm)) : 0;
        t.more_above = true;
        for (int i = 0; i < walls; ++i) {
            t.reflects = l.wall_reflects;
            t.raised_mm = l.thick_mm * i / walls;
            things.push_back(t);
        }
        t.reflects = l.reflects;
        t.raised_mm = l.thick_mm;
        t.more_above = false;
        things.push_back(t);
    }
    for (const DrawnCurve& c : bench.curves) {
        Thing t;
        t.shape = Shape::line;
        t.points = c.points;
        t.half_width = 0.5 * c.width_mm;
        t.reflects = c.reflects;
        t.patchy = c.patchy;
        t.raised_mm = c.raised_mm;
        things.push_back(t);
    }
    std::vector<Thing> marks;
    for (const LaidStrip& s : bench.strips) {
        Thing paper;
        paper.at = s.at;
        paper.along = unit(s.heading_rad);
        paper.half_length = mark_apart_mm + 0.5 * mark_mm + strip_end_mm;
        paper.half_width = 0.5 * mark_mm + strip_rim_mm;
        paper.reflects = bench.paper_reflects;
        things.push_back(paper);
        for (int i = 0; i < marks_a_strip; ++i) {
            const int id = s.strip * marks_a_strip + i;
            Thing mark;
            mark.shape = Shape::cells;
            mark.at = place_on_strip(s, (i - 1) * mark_apart_mm, 0.0);
            mark.along = paper.along;
            mark.half_length = 0.5 * mark_mm * (1.0 + s.print_scale);
            mark.across = mark_cells_across;
            for (const auto& row : mark_cells(id)) mark.black.insert(mark.black.end(), row.begin(), row.end());
            mark.reflects = bench.ink_reflects;
            mark.white = bench.paper_reflects;
            mark.spread_mm = bench.ink_spread_mm;
            const auto lifted = std::find_if(bench.lifted.begin(), bench.lifted.end(),
                                             [&](const LiftedMark& l) { return l.mark == id; });
            if (lifted == bench.lifted.end()) {
                things.push_back(mark);
                continue;
            }
            // It takes its own piece of paper with it.
            Thing piece = paper;
            piece.at = mark.at;
            piece.half_length = 0.5 * mark_apart_mm;
            piece.raised_mm = mark.raised_mm = lifted->raised_mm;
            piece.slope = mark.slope = lifted->leans * paper.along;
            marks.push_back(piece);
            marks.push_back(mark);
        }
    }
    for (const PrintedSquare& s : bench.squares) {
        Thing paper;
        paper.at = s.at;
        paper.along = unit(s.heading_rad);
        paper.half_length = paper.half_width = 0.5 * s.side_mm + strip_rim_mm;
        paper.reflects = bench.paper_reflects;
        Thing square = paper;
        square.shape = Shape::cells;
        square.half_length = 0.5 * s.side_mm;
        square.across = s.across;
        square.black = s.black;
        square.reflects = bench.ink_reflects;
        square.white = bench.paper_reflects;
        square.spread_mm = bench.ink_spread_mm;
        things.push_back(paper);
        things.push_back(square);
    }
    things.insert(things.end(), marks.begin(), marks.end());
    clutter(true);
    return things;
}

bool is_curve(const Thing& t) {
    return t.shape == Shape::line || t.shape == Shape::sheet;
}

constexpr int tile_px = 16;

/// Draws the bench as the lens throws it on the sensor, in parts of the light, without blur.
class Sensor {
  public:
    Sensor(const Bench& bench, const Camera& camera)
        : bench_(bench),
          camera_(camera),
          pose_(pose_of(camera)),
          ray_(camera, pose_),
          things_(things_on(bench)),
          across_((camera.width + tile_px - 1) / tile_px),
          down_((camera.height + tile_px - 1) / tile_px),
          near_(static_cast<std::size_t>(across_ * down_)) {
        for (std::uint32_t i = 0; i < things_.size(); ++i) {
            spread(i);
            if (things_[i].shape == Shape::sheet) sheets_.push_back(i);
        }
        // No two in one row or column: an edge that runs along the rows is drawn as finely as a slanting one. A grid of
        // 4 × 4 would move it by up to an eighth of a pixel.
        constexpr std::size_t spread = 13;
        for (std::size_t i = 0; i < samples_.size(); ++i) {
            const auto count = static_cast<double>(samples_.size());
            const auto column = static_cast<double>(i * spread % samples_.size());
            samples_[i] = {(column + 0.5) / count, (static_cast<double>(i) + 0.5) / count};
        }
        Chance chance(0x6772616eU);
        for (double& g : streaks_) g = chance.even(-1.0, 1.0);
    }

    std::vector<float> draw() const {
        std::vector<float> light(static_cast<std::size_t>(camera_.width) * static_cast<std::size_t>(camera_.height));
        for (int row = 0; row < down_; ++row)
            for (int column = 0; column < across_; ++column) draw_tile(column, row, light);
        return light;
    }

  private:
    void note(Point low, Point high, Near what) {
        const auto tile = [](double px, int most) {
            return static_cast<int>(std::clamp(std::floor(px / tile_px), -1.0, static_cast<double>(most)));
        };
        const int x0 = std::max(tile(low.x, across_), 0), x1 = std::min(tile(high.x, across_), across_ - 1);
        const int y0 = std::max(tile(low.y, down_), 0), y1 = std::min(tile(high.y, down_), down_ - 1);
        for (int y = y0; y <= y1; ++y)
            for (int x = x0; x <= x1; ++x) near_[static_cast<std::size_t>(y * across_ + x)].push_back(what);
    }
    void note_between(Point a, Point b, double reach, Near what) {
        note({std::min(a.x, b.x) - reach, std::min(a.y, b.y) - reach},
             {std::max(a.x, b.x) + reach, std::max(a.y, b.y) + reach}, what);
    }
    void spread(std::uint32_t i) {
        const Thing& t = things_[i];
        const double per_mm = camera_.focal_px / (camera_.away_mm * 0.7);
        if (is_curve(t)) {
            const double reach = 4.0 + per_mm * (t.shape == Shape::line ? t.half_width : 0.0);
            for (std::uint32_t k = 0; k + 1 < t.points.size(); ++k) {
                const Point a = project(camera_, pose_, t.points[k], t.raised_mm);
                const Point b = project(camera_, pose_, t.points[k + 1], t.raised_mm);
                note_between(a, b, reach, {i, k});
                if (t.shape != Shape::sheet) continue;
                const Point along = t.points[k + 1] - t.points[k];
                const Point deep = (t.half_width / norm(along)) * geometry::right_of(along);
                const Point c = project(camera_, pose_, t.points[k] + deep, t.raised_mm);
                const Point d = project(camera_, pose_, t.points[k + 1] + deep, t.raised_mm);
                note_between(c, d, reach, {i, k});
                if (k == 0) note_between(a, c, reach, {i, k});
                if (k + 2 == t.points.size()) note_between(b, d, reach, {i, k});
            }
            // A tile is noted by the near and by the far edge; pieces in order.
            for (auto& tile : near_) {
                const auto own = std::find_if(tile.begin(), tile.end(), [&](const Near& n) { return n.thing == i; });
                std::sort(own, tile.end(), [](const Near& l, const Near& r) { return l.piece < r.piece; });
            }
            return;
        }
        const double reach = 4.0 + per_mm * (t.spread_mm + std::abs(t.raised_mm) * 0.2);
        const double half_width = t.shape == Shape::box ? t.half_width : t.half_length;
        geometry::Box box;
        // Corners and the middles of the sides: the lens bows them.
        for (int u = -1; u <= 1; ++u)
            for (int v = -1; v <= 1; ++v) {
                const Point from = u * t.half_length * t.along + v * half_width * left_of(t.along);
                box.add(project(camera_, pose_, t.at + from, t.raised_mm + dot(t.slope, from)));
            }
        box = box.grown(reach);
        note(box.low, box.high, {i, 0});
    }

    Point at_height(const Thing& t, Point mm) const {
        if (t.raised_mm == 0.0 && t.slope == Point{}) return mm;
        return ray_.higher(mm, t.raised_mm, t.slope, t.at);
    }

    double ground(Point mm) const {
        const double wander = streak(0.011 * mm.x + 31.7) * 2.0 + streak(0.003 * mm.x);
        const double across = 0.55 * (mm.y + 6.0 * wander);
        return bench_.reflects * (1.0 + bench_.grain * (0.6 * streak(across) + 0.4 * streak(0.23 * across + 7.1)));
    }
    double streak(double at) const {
        const double low = std::floor(at);
        const double part = at - low;
        const auto i = static_cast<std::uint64_t>(static_cast<std::int64_t>(low));
        const double a = streaks_[i % streaks_.size()], b = streaks_[(i + 1) % streaks_.size()];
        return a + (b - a) * part * part * (3.0 - 2.0 * part);
    }

    /// What is seen at a place: the things and the pieces of curves that are near, sheets that cover all of the tile,
    /// and the bare bench.
    Seen look(Point mm, const std::vector<Near>& near, const std::vector<std::uint32_t>& covering, double bare) const {
        Seen seen{1e300, bare};
        auto cover = covering.begin();
        for (std::size_t k = 0; k < near.size();) {
            const std::uint32_t i = near[k].thing;
            for (; cover != covering.end() && *cover < i; ++cover) seen.reflects = things_[*cover].reflects;
            const Thing& t = things_[i];
            const Point p = at_height(t, mm);
            Seen here;
            if (is_curve(t)) {
                Nearest n;
                for (; k < near.size() && near[k].thing == i; ++k) look_at_piece(t.points, near[k].piece, p, n);
                here = see_curve(t, n, p);
            } else {
                ++k;
                here = see(t, p);
            }
            seen.edge_mm = std::min(seen.edge_mm, here.edge_mm);
            if (here.reflects >= 0.0) seen.reflects = here.reflects;
        }
        if (cover != covering.end()) seen.reflects = things_[covering.back()].reflects;
        return seen;
    }

    /// Sheets reach far from their edge: which of them cover all of a tile.
    std::vector<std::uint32_t> covering_sheets(const std::vector<Near>& near, Point middle) const {
        std::vector<std::uint32_t> covering;
        bool same = false, covered = false;
        for (const std::uint32_t i : sheets_) {
            const bool is_near = std::any_of(near.begin(), near.end(), [&](const Near& n) { return n.thing == i; });
            // Far from all edges the levels of a thick sheet agree.
            if (!is_near && !(same && near.empty())) covered = covers(things_[i], at_height(things_[i], middle));
            if (!is_near && covered) covering.push_back(i);
            same = things_[i].more_above && !is_near;
        }
        return covering;
    }

    void draw_tile(int column, int row, std::vector<float>& light) const {
        const auto& near = near_[static_cast<std::size_t>(row * across_ + column)];
        const Point middle_px{(column + 0.5) * tile_px, (row + 0.5) * tile_px};
        const Point middle = ray_.to_bench(middle_px);
        const std::vector<std::uint32_t> covering = covering_sheets(near, middle);
        const double pixel_mm = ray_.mm_per_px(middle_px);
        const int x1 = std::min((column + 1) * tile_px, camera_.width);
        const int y1 = std::min((row + 1) * tile_px, camera_.height);
        const Grain grain = grain_of(column, row);
        for (int y = row * tile_px; y < y1; ++y) {
            float* out = &light[static_cast<std::size_t>(y) * static_cast<std::size_t>(camera_.width)];
            for (int x = column * tile_px; x < x1; ++x) {
                const double bare = grain_at(grain, x - column * tile_px, y - row * tile_px);
                if (near.empty()) {
                    out[x] = static_cast<float>(covering.empty() ? bare : things_[covering.back()].reflects);
                    continue;
                }
                const Seen seen = look(ray_.to_bench({x + 0.5, y + 0.5}), near, covering, bare);
                // Half the diagonal of a pixel, and something to spare for tilt.
                if (seen.edge_mm > 0.9 * pixel_mm) {
                    out[x] = static_cast<float>(seen.reflects);
                    continue;
                }
                double sum = 0.0;
                for (const Point& in_pixel : samples_)
                    sum += look(ray_.to_bench(Point{static_cast<double>(x), static_cast<double>(y)} + in_pixel), near,
                                covering, bare)
                               .reflects;
                out[x] = static_cast<float>(sum / static_cast<double>(samples_.size()));
            }
        }
    }

    // The grain is only there to disturb: it is asked every few pixels and drawn straight between.
    static constexpr int grain_px = 4;
    static constexpr std::size_t grain_across = tile_px / grain_px + 1;
    using Grain = std::array<std::array<double, grain_across>, grain_across>;
    Grain grain_of(int column, int row) const {
        Grain grain{};
        for (std::size_t j = 0; j < grain_across; ++j)
            for (std::size_t i = 0; i < grain_across; ++i) {
                const Point px{column * tile_px + 0.5 + static_cast<double>(i) * grain_px,
                               row * tile_px + 0.5 + static_cast<double>(j) * grain_px};
                grain[j][i] = bench_.grain == 0.0 ? bench_.reflects : ground(ray_.to_bench(px));
            }
        return grain;
    }
    static double grain_at(const Grain& grain, int x, int y) {
        const auto i = static_cast<std::size_t>(x / grain_px), j = static_cast<std::size_t>(y / grain_px);
        const double u = static_cast<double>(x % grain_px) / grain_px, v = static_cast<double>(y % grain_px) / grain_px;
        const double above = grain[j][i] + u * (grain[j][i + 1] - grain[j][i]);
        const double below = grain[j + 1][i] + u * (grain[j + 1][i + 1] - grain[j + 1][i]);
        return above + v * (below - above);
    }
    static bool covers(const Thing& t, Point p) {
        if (p.x < t.box.low.x || p.x > t.box.high.x || p.y < t.box.low.y || p.y > t.box.high.y) return false;
        Nearest n;
        for (std::size_t k = 0; k + 1 < t.points.size(); ++k) look_at_piece(t.points, k, p, n);
        return see_curve(t, n, p).reflects >= 0.0;
    }

    const Bench& bench_;
    const Camera& camera_;
    Pose pose_;
    Ray ray_;
    std::vector<Thing> things_;
    std::vector<std::uint32_t> sheets_;
    int across_, down_;
    std::vector<std::vector<Near>> near_;
    std::array<double, 1024> streaks_{};
    std::array<Point, 32> samples_{};  ///< within a pixel
};

/// Blur along the rows, in place; what lies beyond the picture looks like its last pixel.
void blur_rows(std::vector<float>& light, int width, int height, const std::vector<float>& kernel) {
    const int reach = static_cast<int>(kernel.size()) / 2;
    std::vector<float> row(static_cast<std::size_t>(width + 2 * reach));
    for (int y = 0; y < height; ++y) {
        float* at = &light[static_cast<std::size_t>(y) * static_cast<std::size_t>(width)];
        std::copy(at, at + width, row.begin() + reach);
        std::fill(row.begin(), row.begin() + reach, at[0]);
        std::fill(row.end() - reach, row.end(), at[width - 1]);
        std::fill(at, at + width, 0.0F);
        for (std::size_t k = 0; k < kernel.size(); ++k) {
            const float* from = row.data() + k;
            const float weight = kernel[k];
            for (int x = 0; x < width; ++x) at[x] += weight * from[x];
        }
    }
}

std::vector<float> gaussian(double sigma_px) {
    const int reach = sigma_px > 0.0 ? static_cast<int>(std::ceil(3.5 * sigma_px)) : 0;
    std::vector<float> kernel;
    double sum = 0.0;
    for (int i = -reach; i <= reach; ++i) sum += reach ? std::exp(-0.5 * i * i / (sigma_px * sigma_px)) : 1.0;
    for (int i = -reach; i <= reach; ++i)
        kernel.push_back(static_cast<float>((reach ? std::exp(-0.5 * i * i / (sigma_px * sigma_px)) : 1.0) / sum));
    return kernel;
}

/// Greys for parts of the light, in steps fine enough to be drawn straight between.
std::vector<float> grey_curve(bool as_seen) {
    constexpr int steps = 4096;
    std::vector<float> curve;
    for (int i = 0; i <= steps + 1; ++i) {
        const double v = std::min(1.0, static_cast<double>(i) / steps);
        // sRGB, IEC 61966-2-1.
        const double seen = v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1.0 / 2.4) - 0.055;
        curve.push_back(static_cast<float>(255.0 * (as_seen ? seen : v)));
    }
    return curve;
}

}  // namespace

Point Camera::to_px(Point mm, double raised_mm) const {
    return project(*this, pose_of(*this), mm, raised_mm);
}

Point Camera::to_mm(Point px, double raised_mm) const {
    const Pose pose = pose_of(*this);
    const Point seen = (px - middle_of(*this)) / focal_px;
    const Point flat = unlens(*this, norm2(seen)) * seen;
    const Vec3 along = times_transposed(pose.turn, {flat.x, flat.y, 1.0});
    const double k = (raised_mm - pose.from.z) / along.z;
    return {pose.from.x + k * along.x, pose.from.y + k * along.y};
}

double Camera::mm_per_px(Point px) const {
    const Point x = to_mm({px.x + 0.5, px.y}) - to_mm({px.x - 0.5, px.y});
    const Point y = to_mm({px.x, px.y + 0.5}) - to_mm({px.x, px.y - 0.5});
    return std::sqrt(std::abs(cross(x, y)));
}

Picture photograph(const Bench& bench, const Camera& camera, const Light& light) {
    const int width = camera.width, height = camera.height;
    std::vector<float> sensor = Sensor(bench, camera).draw();
    const std::vector<float> kernel = gaussian(light.blur_px);
    if (kernel.size() > 1) blur_rows(sensor, width, height, kernel);
    const std::vector<float> curve = grey_curve(light.as_seen);
    const float top = static_cast<float>(curve.size()) - 2.0F;
    const std::uint64_t start = scramble(light.seed);
    // σ of four even numbers of 16 bits together.
    const auto noise = static_cast<float>(light.noise / (65536.0 * std::sqrt(4.0 / 12.0)));

    Picture picture;
    picture.width = width;
    picture.height = height;
    picture.grey.resize(sensor.size());
    if (camera.notes_focal) picture.focal_px = camera.focal_px;
    std::vector<float> row(static_cast<std::size_t>(width));
    const int reach = static_cast<int>(kernel.size()) / 2;
    const Point light_from = unit(static_cast<double>(light.seed % 360U) * pi / 180.0);
    for (int y = 0; y < height; ++y) {
        std::fill(row.begin(), row.end(), 0.0F);
        for (int k = -reach; k <= reach; ++k) {
            const int from_y = std::clamp(y + k, 0, height - 1);
            const float* from = &sensor[static_cast<std::size_t>(from_y) * static_cast<std::size_t>(width)];
            const float weight = kernel[static_cast<std::size_t>(k + reach)];
            for (std::size_t x = 0; x < row.size(); ++x) row[x] += weight * from[x];
        }
        const double v = 2.0 * (y + 0.5) / height - 1.0;
        for (int x = 0; x < width; ++x) {
            const double u = 2.0 * (x + 0.5) / width - 1.0;
            const double lit =
                light.exposure * (1.0 - light.shading * (0.5 - 0.35 * (u * light_from.x + v * light_from.y) +
                                                         0.25 * (u * u + v * v) - 0.25));
            const float at = std::clamp(row[static_cast<std::size_t>(x)] * static_cast<float>(lit), 0.0F, 1.0F) * top;
            const auto i = static_cast<std::size_t>(at);
            const std::size_t place =
                static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x);
            float grey = curve[i] + (at - static_cast<float>(i)) * (curve[i + 1] - curve[i]);
            if (noise > 0.0F) {
                const std::uint64_t z = scramble(start + place);
                const auto sum = static_cast<std::int64_t>((z & 0xffffU) + ((z >> 16U) & 0xffffU) +
                                                           ((z >> 32U) & 0xffffU) + (z >> 48U)) -
                                 2 * 65535;
                grey += noise * static_cast<float>(sum);
            }
            picture.grey[place] = static_cast<std::uint8_t>(std::clamp(grey + 0.5F, 0.0F, 255.0F));
        }
    }
    return picture;
}

Picture mirrored(const Picture& picture) {
    Picture turned = picture;
    for (auto row = turned.grey.begin(); row != turned.grey.end(); row += picture.width)
        std::reverse(row, row + picture.width);
    return turned;
}

std::vector<std::uint8_t> jpeg_file(const Picture& picture, int quality, std::span<const std::uint8_t> app1) {
    jpeg_compress_struct file{};
    jpeg_error_mgr errors{};
    file.err = jpeg_std_error(&errors);
    jpeg_create_compress(&file);
    unsigned char* bytes = nullptr;
    unsigned long size = 0;
    jpeg_mem_dest(&file, &bytes, &size);
    file.image_width = static_cast<JDIMENSION>(picture.width);
    file.image_height = static_cast<JDIMENSION>(picture.height);
    file.input_components = 1;
    file.in_color_space = JCS_GRAYSCALE;
    jpeg_set_defaults(&file);
    jpeg_set_quality(&file, quality, TRUE);
    if (!app1.empty()) file.write_JFIF_header = FALSE;
    jpeg_start_compress(&file, TRUE);
    if (!app1.empty()) jpeg_write_marker(&file, JPEG_APP0 + 1, app1.data(), static_cast<unsigned>(app1.size()));
    std::vector<std::uint8_t> row(static_cast<std::size_t>(picture.width));
    while (file.next_scanline < file.image_height) {
        const auto from = picture.grey.begin() + static_cast<std::ptrdiff_t>(file.next_scanline) * picture.width;
        std::copy(from, from + picture.width, row.begin());
        JSAMPROW rows[1] = {row.data()};
        jpeg_write_scanlines(&file, rows, 1);
    }
    jpeg_finish_compress(&file);
    std::vector<std::uint8_t> out(bytes, bytes + size);
    jpeg_destroy_compress(&file);
    std::free(bytes);
    return out;
}

std::vector<std::uint8_t> png_file(const Picture& picture) {
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    image.width = static_cast<png_uint_32>(picture.width);
    image.height = static_cast<png_uint_32>(picture.height);
    image.format = PNG_FORMAT_GRAY;
    png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(image);
    std::vector<std::uint8_t> out(size);
    if (!png_image_write_to_memory(&image, out.data(), &size, 0, picture.grey.data(), 0, nullptr))
        throw std::runtime_error(image.message);
    out.resize(size);
    return out;
}

std::array<Point, 4> laid_corners(const Bench& bench, int mark) {
    const auto strip = std::find_if(bench.strips.begin(), bench.strips.end(),
                                    [&](const LaidStrip& s) { return s.strip == mark / marks_a_strip; });
    if (strip == bench.strips.end()) throw std::invalid_argument("no such strip on the bench");
    const double along = (mark % marks_a_strip - 1) * mark_apart_mm;
    const double half = 0.5 * mark_mm;
    return {place_on_strip(*strip, along - half, half), place_on_strip(*strip, along + half, half),
            place_on_strip(*strip, along + half, -half), place_on_strip(*strip, along - half, -half)};
}

UsualCase usual_case(std::uint64_t seed, const UsualSettings& settings) {
    Chance chance(seed * 7919U + 17U);
    UsualCase c;
    const double length = settings.length_mm;
    // A wave whose height and length wander, so that no two are alike.
    const double height = length * chance.even(0.015, 0.04), waves = chance.even(0.8, 1.6);
    const double phase = chance.even(0.0, 2.0 * pi), bow = length * chance.even(-0.03, 0.03);
    const auto wave = [&](double x) {
        const double t = x / length;
        return height * std::sin(2.0 * pi * waves * t + phase) + bow * 4.0 * t * t;
    };
    for (double x = -0.5 * length; x <= 0.5 * length + 1e-9; x += 2.0) c.curve.push_back({x, wave(x)});

    const double common = settings.print_scale * chance.normal();
    // A strip at the left end of each row, one at the right, the rest between; not touching the line.
    const int above = (settings.strips + 1) / 2, below = settings.strips / 2;
    const double clear = settings.edge ? 200.0 : 110.0;
    for (int i = 0; i < settings.strips; ++i) {
        const bool up = i < above;
        const int k = up ? i : i - above, row = up ? above : below;
        const double part = row > 1 ? static_cast<double>(k) / (row - 1) : 0.5;
        LaidStrip s;
        s.strip = i;
        const double x = (part - 0.5) * (length - 260.0) + chance.even(-25.0, 25.0);
        const double room = chance.even(0.0, 40.0);
        s.heading_rad = std::atan2(wave(x + 100.0) - wave(x - 100.0), 200.0) + chance.even(-0.12, 0.12);
        s.at = {x, wave(x) + (up ? 110.0 + room : -(clear + room))};
        s.print_scale = common + settings.own_print_scale * chance.normal();
        c.bench.strips.push_back(s);
    }
    if (settings.edge) {
        LaidTemplate t;
        t.edge = c.curve;
        t.depth_mm = 110.0;
        t.thick_mm = settings.thick_mm;
        t.reflects = 0.72;
        c.bench.reflects = 0.16;
        c.bench.templates.push_back(t);
    } else {
        DrawnCurve d;
        d.points = c.curve;
        d.width_mm = chance.even(0.5, 1.2);
        d.reflects = chance.even(0.08, 0.2);
        d.patchy = 0.3;
        c.bench.reflects = 0.62;
        c.bench.curves.push_back(d);
    }
    c.bench.grain = 0.04;
    c.bench.ink_spread_mm = chance.even(0.0, 0.1);
    for (int i = 0; i < 3; ++i) {
        Clutter tool;
        tool.round = i == 0;
        tool.length_mm = i == 0 ? 24.0 : chance.even(80.0, 180.0);
        tool.width_mm = chance.even(8.0, 25.0);
        tool.heading_rad = chance.even(0.0, pi);
        const double x = chance.even(-0.45, 0.45) * length;
        tool.at = {x, wave(x) + (chance.even(-1.0, 1.0) > 0.0 ? 1.0 : -1.0) * chance.even(330.0, 450.0)};
        tool.reflects = chance.even(0.05, 0.7);
        c.bench.clutter.push_back(tool);
    }

    Camera& cam = c.camera;
    cam.width = settings.width;
    cam.height = settings.height;
    cam.focal_px = cam.width * chance.even(0.68, 0.80);
    cam.tilt_x_rad = chance.even(-0.2, 0.2);
    cam.tilt_y_rad = chance.even(-0.12, 0.12);
    cam.roll_rad = chance.even(-0.05, 0.05);
    cam.looks_at = {chance.even(-30.0, 30.0), chance.even(-30.0, 30.0) + bow * 0.3};
    cam.k1 = chance.even(-0.04, 0.05);
    cam.k2 = chance.even(-0.04, 0.04);
    cam.off_centre_px = {0.004 * cam.width * chance.normal(), 0.004 * cam.width * chance.normal()};
    // So far away that the whole line is in the picture, with some room beside it.
    cam.away_mm = 1.14 * length * cam.focal_px / cam.width;
    cam.notes_focal = true;
    c.light.blur_px = chance.even(0.7, 1.2);
    c.light.noise = chance.even(1.0, 3.0);
    c.light.shading = chance.even(0.05, 0.25);
    c.light.exposure = chance.even(0.85, 1.05);
    c.light.seed = seed;

    if (settings.taped_within_mm > 0.0) {
        const auto middle = [&](int mark) {
            const auto q = laid_corners(c.bench, mark);
            return 0.25 * (q[0] + q[1] + q[2] + q[3]);
        };
        const int from = 0, to = (above - 1) * marks_a_strip + marks_a_strip - 1;
        c.taped.push_back({from, to, norm(middle(to) - middle(from)) + settings.taped_within_mm * chance.normal(),
                           settings.taped_within_mm});
    }
    return c;
}

}  // namespace seamwright::trace
