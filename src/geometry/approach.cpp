// Does a path come near itself from behind?
//
// The step that trims the fronts on the left is sound as long as a place on the left can be too near only to what shows
// it its left side. Two kinds of path are of that kind for sure, and cheap to tell:
//
//   * an open path that never runs back along its own chord by more than half the disc's radius: it parts the plane, at
//     the scale of the disc, into one side and the other;
//   * a closed path that does not cross itself.
//
// A closed path is told in two sweeps: it falls into a way out and a way back along its longer side; where the two lie
// clear of each other (compared in bins) and neither runs back, they cannot cross. Only what is left is searched for
// crossings, segment by segment.

#include <algorithm>
#include <array>
#include <cmath>

#include "box_walk.h"
#include "crossing.h"
#include "front.h"

namespace seamwright::geometry {

namespace {

/// How far a path may run back, in disc radii, and still count as going forward.
constexpr double run_back = 0.5;

/// Along the longer side of a closed path. More bins cost memory traffic, fewer leave more to be searched.
constexpr std::size_t bin_count = 64;

struct Progress {
    double farthest = -1e300;
    double back = 0.0;
    void reach(double low, double high) {
        back = std::max(back, farthest - low);
        farthest = std::max(farthest, high);
    }
};

bool open_runs_back(const Path& path, double radius_mm) {
    const Point chord = path.end() - path.start();
    const double size = norm(chord);
    if (size == 0.0) return true;
    const Point along = chord / size;
    Progress progress;
    for (const Segment& s : path.segments) {
        double low = std::min(dot(s.start, along), dot(s.end, along));
        double high = std::max(dot(s.start, along), dot(s.end, along));
        if (s.is_arc()) {
            if (in_sector(s, along)) high = dot(s.centre, along) + s.radius_mm;
            if (in_sector(s, -along)) low = dot(s.centre, along) - s.radius_mm;
        }
        progress.reach(low, high);
    }
    return progress.back > run_back * radius_mm;
}

class ClosedPath {
  public:
    ClosedPath(const Path& path, const PathIndex& index) : path_(path), index_(index) {
        for (const Segment& s : path.segments) box_.add(holding_box(s));
        flat_ = box_.width_mm() >= box_.height_mm();
    }

    bool crosses_itself(double radius_mm) const {
        const std::size_t n = path_.segments.size();
        std::size_t first = 0;
        std::size_t last = 0;
        for (std::size_t i = 1; i < n; ++i) {
            if (along(path_.segments[i].start) < along(path_.segments[first].start)) first = i;
            if (along(path_.segments[i].start) > along(path_.segments[last].start)) last = i;
        }
        struct Span {
            double low = 1e300, high = -1e300;
        };
        std::array<std::array<Span, bin_count>, 2> spans{};
        std::array<Progress, 2> progress{};
        for (std::size_t k = 0; k < n; ++k) {
            const std::size_t i = (first + k) % n;
            const bool out = (i + n - first) % n < (last + n - first) % n;
            const Box box = holding_box(path_.segments[i]);
            const double low = flat_ ? box.low.x : box.low.y;
            const double high = flat_ ? box.high.x : box.high.y;
            out ? progress[0].reach(low, high) : progress[1].reach(-high, -low);
            for (std::size_t b = bin(low); b <= bin(high); ++b) {
                Span& span = spans[out ? 0 : 1][b];
                span.low = std::min(span.low, flat_ ? box.low.y : box.low.x);
                span.high = std::max(span.high, flat_ ? box.high.y : box.high.x);
            }
        }
        const bool forward = std::max(progress[0].back, progress[1].back) <= run_back * radius_mm;
        std::array<bool, bin_count> clear{};
        for (std::size_t b = 0; b < bin_count; ++b) {
            clear[b] = forward && (spans[0][b].high < spans[1][b].low || spans[1][b].high < spans[0][b].low);
        }
        for (std::size_t i = 0; i < n; ++i) {
            const Box box = holding_box(path_.segments[i]);
            bool all_clear = true;
            for (std::size_t b = bin(flat_ ? box.low.x : box.low.y); b <= bin(flat_ ? box.high.x : box.high.y); ++b) {
                all_clear = all_clear && clear[b];
            }
            if (!all_clear && crossed(i, box)) return true;
        }
        return false;
    }

  private:
    double along(Point p) const { return flat_ ? p.x : p.y; }

    std::size_t bin(double at) const {
        const double low = flat_ ? box_.low.x : box_.low.y;
        const double size = flat_ ? box_.width_mm() : box_.height_mm();
        if (!(size > 0.0)) return 0;
        const double place = std::clamp((at - low) / size, 0.0, 1.0) * static_cast<double>(bin_count);
        return std::min(static_cast<std::size_t>(place), bin_count - 1);
    }

    bool crossed(std::size_t i, const Box& box) const {
        const std::size_t n = path_.segments.size();
        bool found = false;
        index_.visit(box, [&](std::size_t j) {
            if (found || j == i || j == (i + 1) % n || i == (j + 1) % n) return;
            found = meet(path_.segments[i], path_.segments[j]).size > 0;
        });
        return found;
    }

    const Path& path_;
    const PathIndex& index_;
    Box box_;
    bool flat_ = true;
};

}  // namespace

bool comes_from_behind(const Path& path, const PathIndex& index, double radius_mm) {
    if (path.closed) return ClosedPath(path, index).crosses_itself(radius_mm);
    return open_runs_back(path, radius_mm);
}

}  // namespace seamwright::geometry
