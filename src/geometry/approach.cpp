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
// crossings, segment by segment. Both sweeps go over the boxes of small runs.

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

/// How far a path may run back at most, as its boxes tell: within a box by its whole extent.
double back_by_boxes_mm(std::span<const Box> boxes, Point along) {
    Progress progress;
    double widest = 0.0;
    for (const Box& box : boxes) {
        const double middle = dot(midpoint(box.low, box.high), along);
        const double half = 0.5 * (std::abs(along.x) * box.width_mm() + std::abs(along.y) * box.height_mm());
        progress.reach(middle - half, middle + half);
        widest = std::max(widest, 2.0 * half);
    }
    return std::max(progress.back, widest);
}

bool open_runs_back(const Path& path, const PathIndex& index, double radius_mm) {
    const Point chord = path.end() - path.start();
    const double size = norm(chord);
    if (size == 0.0) return true;
    const Point along = chord / size;
    if (back_by_boxes_mm(index.run_boxes(), along) <= run_back * radius_mm) return false;
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
    ClosedPath(const Path& path, const PathIndex& index, double radius_mm)
        : path_(path), index_(index), radius_mm_(radius_mm), box_(index.box()) {
        flat_ = box_.width_mm() >= box_.height_mm();
        gather();
    }

    bool crosses_itself() {
        const std::size_t n = stretches_.size();
        std::size_t first = 0;
        std::size_t last = 0;
        for (std::size_t i = 1; i < n; ++i) {
            if (start(i) < start(first)) first = i;
            if (start(i) > start(last)) last = i;
        }
        struct Span {
            double low = 1e300, high = -1e300;
        };
        std::array<std::array<Span, bin_count>, 2> spans{};
        std::array<Progress, 2> progress{};
        for (std::size_t k = 0; k < n; ++k) {
            const std::size_t i = (first + k) % n;
            const bool out = (i + n - first) % n < (last + n - first) % n;
            stretches_[i].way = out ? 0 : 1;
            const Box& box = stretches_[i].box;
            out ? progress[0].reach(low(box), high(box)) : progress[1].reach(-high(box), -low(box));
            for (std::size_t b = bin(low(box)); b <= bin(high(box)); ++b) {
                Span& span = spans[out ? 0 : 1][b];
                span.low = std::min(span.low, flat_ ? box.low.y : box.low.x);
                span.high = std::max(span.high, flat_ ? box.high.y : box.high.x);
            }
        }
        const bool forward = std::max(progress[0].back, progress[1].back) <= run_back * radius_mm_;
        std::array<bool, bin_count> clear{};
        for (std::size_t b = 0; b < bin_count; ++b) {
            clear[b] = forward && (spans[0][b].high < spans[1][b].low || spans[1][b].high < spans[0][b].low);
        }
        std::array<std::vector<std::size_t>, 2> doubtful;
        std::array<std::size_t, 2> segments{};
        for (std::size_t i = 0; i < n; ++i) {
            const Stretch& s = stretches_[i];
            bool all_clear = true;
            for (std::size_t b = bin(low(s.box)); b <= bin(high(s.box)); ++b) all_clear = all_clear && clear[b];
            if (all_clear) continue;
            doubtful[s.way].push_back(i);
            segments[s.way] += s.stop - s.first;
        }
        // Where neither runs back, the way out can only cross the way back: it is enough to look at one of them.
        for (const std::size_t way : {std::size_t{0}, std::size_t{1}}) {
            if (forward && segments[way] > segments[1 - way]) continue;
            for (const std::size_t i : doubtful[way]) {
                if (crossed(stretches_[i])) return true;
            }
            if (forward) break;
        }
        return false;
    }

  private:
    /// Neighbouring segments [first, stop) in one box: a run of the index where that is small, single segments
    /// elsewhere. A small run cannot run back by more than counts.
    struct Stretch {
        Box box;
        std::size_t first, stop;
        std::size_t way;  // 0: out, 1: back
    };
    void gather() {
        const std::span<const Box> runs = index_.run_boxes();
        const std::size_t n = path_.segments.size();
        stretches_.reserve(runs.size() + box_fan);
        for (std::size_t r = 0; r < runs.size(); ++r) {
            const std::size_t first = r * box_fan;
            const std::size_t stop = std::min(first + box_fan, n);
            if (high(runs[r]) - low(runs[r]) <= run_back * radius_mm_) {
                stretches_.push_back({runs[r], first, stop, 0});
                continue;
            }
            for (std::size_t i = first; i < stop; ++i) {
                stretches_.push_back({holding_box(path_.segments[i]), i, i + 1, 0});
            }
        }
    }

    double start(std::size_t stretch) const {
        const Point p = path_.segments[stretches_[stretch].first].start;
        return flat_ ? p.x : p.y;
    }
    double low(const Box& box) const { return flat_ ? box.low.x : box.low.y; }
    double high(const Box& box) const { return flat_ ? box.high.x : box.high.y; }

    std::size_t bin(double at) const {
        const double size = high(box_) - low(box_);
        if (!(size > 0.0)) return 0;
        const double place = std::clamp((at - low(box_)) / size, 0.0, 1.0) * static_cast<double>(bin_count);
        return std::min(static_cast<std::size_t>(place), bin_count - 1);
    }

    bool crossed(const Stretch& s) const {
        for (std::size_t i = s.first; i < s.stop; ++i) {
            if (crossed(i)) return true;
        }
        return false;
    }
    bool crossed(std::size_t i) const {
        const std::size_t n = path_.segments.size();
        bool found = false;
        index_.visit(holding_box(path_.segments[i]), [&](std::size_t j) {
            if (found || j == i || j == (i + 1) % n || i == (j + 1) % n) return;
            found = meet(path_.segments[i], path_.segments[j]).size > 0;
        });
        return found;
    }

    const Path& path_;
    const PathIndex& index_;
    double radius_mm_;
    Box box_;
    bool flat_ = true;
    std::vector<Stretch> stretches_;
};

}  // namespace

bool comes_from_behind(const Path& path, const PathIndex& index, double radius_mm) {
    if (path.closed) return ClosedPath(path, index, radius_mm).crosses_itself();
    return open_runs_back(path, index, radius_mm);
}

}  // namespace seamwright::geometry
