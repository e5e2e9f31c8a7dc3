#include "seam/closing.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>

#include "geometry/path_index.h"
#include "seam/small_closing.h"
#include "small_lp.h"

namespace seamwright::seam {
namespace {

using geometry::dot;
using geometry::PathIndex;

Point turned(Point p, double by_rad) {
    const Point u = geometry::unit(by_rad);
    return p.x * u + p.y * geometry::left_of(u);
}

/// The motion that undoes `motion`, about the same point.
Point moved_back(const RigidMotion& motion, Point p) {
    return motion.about + turned(p - motion.shift - motion.about, -motion.turn_rad);
}

RigidMotion after(const RigidMotion& first, double turn_rad, Point shift) {
    // The second turn is about where the point `about` lies after the first motion.
    return {first.about, first.turn_rad + turn_rad, first.shift + shift};
}

/// A place of one edge, compared with the other edge.
struct Place {
    bool on_left = true;
    double at_mm = 0.0;  ///< along its edge
    Point own;           ///< on its edge, before any motion
};
struct Compared {
    double gap_mm = 0.0;
    Point on_right;  ///< where the right edge is, after the motion
    Point normal;    ///< there, from the left piece to the right one
};

/// An open edge is measured against the other one run on straight, so that its ends have something abreast of them.
Path run_on(const Path& path) {
    constexpr double part = 0.05;
    if (path.closed) return path;
    const double length = part * geometry::length_mm(path);
    return geometry::extended(path, length, length);
}

class Closer {
  public:
    Closer(const Path& left, const Path& right, double along_mm)
        : left_(left),
          right_(right),
          long_left_(run_on(left)),
          long_right_(run_on(right)),
          left_index_(long_left_),
          right_index_(long_right_),
          left_mm_(geometry::running_length_mm(left)),
          right_mm_(geometry::running_length_mm(right)) {
        const geometry::Box box = geometry::bounding_box(right);
        motion_.about = geometry::midpoint(box.low, box.high);
        half_mm_ = std::fmax(0.5 * std::hypot(box.width_mm(), box.height_mm()), 1.0);
        add_places(left_, left_mm_, true, along_mm);
        add_places(right_, right_mm_, false, along_mm);
    }

    Closing close() {
        Closing closing;
        if (!compare() || !pair()) return closing;
        constexpr int most_rounds = 12;
        double t = 0.0;
        for (int round = 0; round < most_rounds; ++round) {
            const auto step = best_step(t);
            if (!step) return closing;
            motion_ = after(motion_, (*step)[2] / half_mm_, {(*step)[0], (*step)[1]});
            const double moved = std::fmax(std::hypot((*step)[0], (*step)[1]), std::abs((*step)[2]));
            compare();
            add_extremes();
            if (moved < settled_mm && round > 0) break;
        }
        lift();
        return told();
    }

  private:
    static constexpr double settled_mm = 1e-9;
    /// A hundredth of a micrometre: less than this between places is not looked for.
    static constexpr double unseen_mm = 1e-5;

    void add_places(const Path& path, const std::vector<double>& running_mm, bool on_left, double along_mm) {
        const double length = running_mm.back();
        const double count = std::fmin(std::ceil(length / along_mm), 20000.0);
        const double last = path.closed ? count - 1.0 : count;
        for (double i = 0.0; i <= last; i += 1.0) add_place(path, running_mm, on_left, length * i / count);
        // Where arcs of different turn meet, the gap has its corners.
        constexpr std::size_t most_joints = 2000;
        if (path.segments.size() <= most_joints) {
            for (std::size_t i = 1; i + 1 < running_mm.size(); ++i) {
                if (corner_mm(path.segments[i - 1], path.segments[i], length / count) > unseen_mm)
                    add_place(path, running_mm, on_left, running_mm[i]);
            }
        }
    }
    /// How far the way over a joint of two arcs may stand off what places `apart_mm` from each other show of it.
    static double corner_mm(const geometry::Segment& before, const geometry::Segment& after, double apart_mm) {
        const Point in = geometry::tangent_at(before, 1.0);
        const Point out = geometry::tangent_at(after, 0.0);
        const double kink = 0.25 * apart_mm * geometry::norm(out - in);
        const double bend = geometry::curvature(after) - geometry::curvature(before);
        return kink + 0.125 * apart_mm * apart_mm * std::abs(bend);
    }
    void add_place(const Path& path, const std::vector<double>& running_mm, bool on_left, double at_mm) {
        places_.push_back({on_left, at_mm, geometry::point_at(path, geometry::station_at(path, running_mm, at_mm))});
    }

    Compared compared(const Place& place) const {
        Compared out;
        if (place.on_left) {
            const Point seen = moved_back(motion_, place.own);
            const auto near = right_index_.nearest(seen);
            const Point normal = geometry::right_of(geometry::tangent_at(long_right_, near.at));
            out.on_right = motion_.moved(near.point);
            out.normal = turned(normal, motion_.turn_rad);
            out.gap_mm = std::copysign(near.distance_mm, dot(near.point - seen, normal));
        } else {
            out.on_right = motion_.moved(place.own);
            const auto near = left_index_.nearest(out.on_right);
            out.normal = geometry::right_of(geometry::tangent_at(long_left_, near.at));
            out.gap_mm = std::copysign(near.distance_mm, dot(out.on_right - near.point, out.normal));
        }
        return out;
    }

    bool compare() {
        compared_.clear();
        compared_.reserve(places_.size());
        for (const Place& place : places_) compared_.push_back(compared(place));
        return !compared_.empty();
    }

    /// Edges that run the same way and lie side by side.
    bool pair() const {
        constexpr double most_part = 0.1;
        const double most_mm = most_part * left_mm_.back();
        for (const Compared& c : compared_)
            if (!(std::abs(c.gap_mm) <= most_mm)) return false;
        if (left_.closed != right_.closed) return false;
        if (left_.closed) return geometry::area_mm2(left_) * geometry::area_mm2(right_) > 0.0;
        return dot(left_.end() - left_.start(), right_.end() - right_.start()) > 0.0;
    }

    /// Shift and turn (as the way of a point half a length away) by the linear programme about where things lie now.
    std::optional<Three> best_step(double& largest_mm) const {
        double reach = 1e-3;
        for (const Compared& c : compared_) reach = std::fmax(reach, std::abs(c.gap_mm));
        reach *= 20.0;
        // Costs apart by a hair keep the method from going round in circles.
        constexpr double hair = 1e-11;
        std::vector<HalfSpace> within;
        within.reserve(2 * compared_.size() + 8);
        within.push_back({{0.0, 0.0, 0.0, 1.0}, 0.0});
        for (std::size_t k = 0; k < 3; ++k) {
            HalfSpace low;
            low.normal[k] = 1.0;
            low.at_least = -reach;
            within.push_back(low);
        }
        for (std::size_t k = 0; k < 3; ++k) {
            HalfSpace high;
            high.normal[k] = -1.0;
            high.at_least = -reach;
            within.push_back(high);
        }
        const std::size_t first_gap = within.size();
        add_gaps(within);
        const auto first = smallest({hair, 2.0 * hair, 3.0 * hair, 1.0}, within);
        if (!first) return std::nullopt;
        largest_mm = (*first)[3];
        // The smallest motion that does as well.
        const double allowed = largest_mm + 1e-10 + 1e-9 * largest_mm;
        std::vector<HalfSpace3> best;
        best.reserve(2 * compared_.size());
        for (std::size_t i = first_gap; i < within.size(); i += 2) {
            const HalfSpace& h = within[i];
            best.push_back({{h.normal[0], h.normal[1], h.normal[2]}, h.at_least});
            best.push_back({{-h.normal[0], -h.normal[1], -h.normal[2]}, -h.at_least - allowed});
        }
        const auto second = nearest_to_origin(best);
        return second ? second : Three{(*first)[0], (*first)[1], (*first)[2]};
    }

    /// 0 <= gap <= t, t being the fourth unknown: two half spaces for each place.
    void add_gaps(std::vector<HalfSpace>& within) const {
        const Point about = motion_.about + motion_.shift;
        for (const Compared& c : compared_) {
            const double turn = dot(c.normal, geometry::left_of(c.on_right - about)) / half_mm_;
            within.push_back({{c.normal.x, c.normal.y, turn, 0.0}, -c.gap_mm});
            within.push_back({{-c.normal.x, -c.normal.y, -turn, 1.0}, c.gap_mm});
        }
    }

    /// The gap between places: where it is least and most among neighbours, and may be less than all or more than all,
    /// the very place is looked for and taken in.
    void add_extremes() {
        double lowest = compared_.front().gap_mm, highest = lowest;
        for (const Compared& c : compared_) {
            lowest = std::fmin(lowest, c.gap_mm);
            highest = std::fmax(highest, c.gap_mm);
        }
        std::vector<Place> found;
        for (const bool on_left : {true, false}) {
            std::vector<std::pair<double, double>> row;  // place, gap
            for (std::size_t i = 0; i < places_.size(); ++i) {
                if (places_[i].on_left == on_left) row.emplace_back(places_[i].at_mm, compared_[i].gap_mm);
            }
            std::sort(row.begin(), row.end());
            for (std::size_t i = 1; i + 1 < row.size(); ++i) {
                const bool least = row[i].second <= row[i - 1].second && row[i].second <= row[i + 1].second;
                const bool most = row[i].second >= row[i - 1].second && row[i].second >= row[i + 1].second;
                if (!least && !most) continue;
                if (row[i + 1].first - row[i - 1].first < 1e-4) continue;
                // Between places the gap goes on at most as steeply as it does around them.
                const double beyond = 2.0 * steepest_step(row, i);
                if (beyond < unseen_mm) continue;
                const bool counts = least ? row[i].second - beyond <= lowest : row[i].second + beyond >= highest;
                if (!counts) continue;
                found.push_back(extreme(on_left, row[i - 1].first, row[i + 1].first, least ? 1.0 : -1.0));
            }
        }
        for (const Place& place : found) {
            places_.push_back(place);
            compared_.push_back(compared(place));
        }
    }

    /// Largest change of the gap from place to place, about place i of a row.
    static double steepest_step(const std::vector<std::pair<double, double>>& row, std::size_t i) {
        double step = 0.0;
        const std::size_t from = i >= 2 ? i - 2 : 0, to = std::min(i + 2, row.size() - 1);
        for (std::size_t k = from; k < to; ++k) step = std::fmax(step, std::abs(row[k + 1].second - row[k].second));
        return step;
    }

    Place extreme(bool on_left, double from_mm, double to_mm, double sign) const {
        const Path& path = on_left ? left_ : right_;
        const auto& running = on_left ? left_mm_ : right_mm_;
        const auto place = [&](double at) {
            return Place{on_left, at, geometry::point_at(path, geometry::station_at(path, running, at))};
        };
        const double golden = 0.5 * (3.0 - std::sqrt(5.0));
        double a = from_mm, b = to_mm;
        double c = a + golden * (b - a), d = b - golden * (b - a);
        double gc = sign * compared(place(c)).gap_mm, gd = sign * compared(place(d)).gap_mm;
        while (b - a > 1e-3) {
            if (gc < gd) {
                b = d;
                d = c;
                gd = gc;
                c = a + golden * (b - a);
                gc = sign * compared(place(c)).gap_mm;
            } else {
                a = c;
                c = d;
                gc = gd;
                d = b - golden * (b - a);
                gd = sign * compared(place(d)).gap_mm;
            }
        }
        return place(0.5 * (a + b));
    }

    /// What rounding and the bends between places have left of overlap is taken out by backing off a hair.
    void lift() {
        double least = 0.0;
        Point mean;
        for (const Compared& c : compared_) {
            least = std::fmin(least, c.gap_mm);
            mean = mean + c.normal;
        }
        if (least >= 0.0 || geometry::norm(mean) == 0.0 || least < -1e-4) return;
        const Point back = mean / geometry::norm(mean);
        double flattest = 1.0;
        for (const Compared& c : compared_)
            if (c.gap_mm < 0.0) flattest = std::fmin(flattest, dot(c.normal, back));
        constexpr double too_flat = 0.1;
        if (flattest < too_flat) return;
        motion_ = after(motion_, 0.0, (-least / flattest) * back);
        compare();
    }

    Closing told() const {
        Closing out;
        out.found = true;
        out.motion = motion_;
        for (std::size_t i = 0; i < places_.size(); ++i) {
            const double gap = compared_[i].gap_mm;
            out.least_gap_mm = i == 0 ? gap : std::fmin(out.least_gap_mm, gap);
            if (gap > out.largest_gap_mm) {
                out.largest_gap_mm = gap;
                out.largest_gap_at_mm = along_left(i);
            }
            if (places_[i].on_left) out.gap.push_back({places_[i].at_mm, gap});
        }
        std::stable_sort(out.gap.begin(), out.gap.end(),
                         [](const GapAt& a, const GapAt& b) { return a.at_mm < b.at_mm; });
        double sum = 0.0;
        for (std::size_t i = 1; i < out.gap.size(); ++i)
            sum += 0.5 * (out.gap[i].gap_mm + out.gap[i - 1].gap_mm) * (out.gap[i].at_mm - out.gap[i - 1].at_mm);
        if (left_.closed && out.gap.size() > 1) {
            sum += 0.5 * (out.gap.front().gap_mm + out.gap.back().gap_mm) *
                   (out.gap.front().at_mm + left_mm_.back() - out.gap.back().at_mm);
        }
        out.mean_gap_mm = sum / left_mm_.back();
        const double touching = std::fmax(1e-3, 0.05 * out.largest_gap_mm);
        for (std::size_t i = 0; i < out.gap.size(); ++i) {
            const bool lower = (i == 0 || out.gap[i].gap_mm <= out.gap[i - 1].gap_mm) &&
                               (i + 1 == out.gap.size() || out.gap[i].gap_mm < out.gap[i + 1].gap_mm);
            if (lower && out.gap[i].gap_mm <= touching) out.touches_mm.push_back(out.gap[i].at_mm);
        }
        return out;
    }

    double along_left(std::size_t i) const {
        if (places_[i].on_left) return places_[i].at_mm;
        const PathIndex index(left_);
        return geometry::length_to(left_mm_, index.nearest(compared_[i].on_right).at);
    }

    const Path& left_;
    const Path& right_;
    const Path long_left_, long_right_;
    const PathIndex left_index_, right_index_;
    const std::vector<double> left_mm_, right_mm_;
    RigidMotion motion_;
    double half_mm_ = 1.0;
    std::vector<Place> places_;
    std::vector<Compared> compared_;
};

/// Joined to the one before where they follow on each other.
void add_hook(std::vector<Assembly::Hook>& hooks, const Assembly::Hook& hook) {
    constexpr double same_mm = 1e-6;
    if (hooks.empty() || hook.from_mm - hooks.back().to_mm > same_mm) {
        hooks.push_back(hook);
        return;
    }
    Assembly::Hook& before = hooks.back();
    before.to_mm = hook.to_mm;
    if (hook.by_rad <= before.by_rad) return;
    before.by_rad = hook.by_rad;
    before.at = hook.at;
}

}  // namespace

Point RigidMotion::moved(Point p) const {
    return about + turned(p - about, turn_rad) + shift;
}

Path RigidMotion::moved(const Path& path) const {
    Path out = path;
    for (geometry::Segment& s : out.segments) {
        s.start = moved(s.start);
        s.end = moved(s.end);
        if (s.is_arc()) s.centre = moved(s.centre);
    }
    return out;
}

Closing close_seam(const Path& left, const Path& right, double along_mm) {
    if (!(along_mm > 0.0)) throw std::invalid_argument("close_seam: along_mm must be a positive length");
    if (left.empty() || right.empty()) return {};
    return Closer(left, right, along_mm).close();
}

Assembly assembly(const Path& seam, double jam_rad) {
    Assembly out;
    if (seam.empty()) return out;
    // The heading runs on through full turns, so that a seam that winds round is told from one that goes back.
    double heading = geometry::heading(geometry::tangent_at(seam.segments.front(), 0.0));
    double least = heading, most = heading;
    const auto reach = [&](double h) {
        least = std::fmin(least, h);
        most = std::fmax(most, h);
    };
    std::vector<std::pair<double, double>> ends;  // heading at start and end of each segment
    for (std::size_t i = 0; i < seam.segments.size(); ++i) {
        const geometry::Segment& s = seam.segments[i];
        const double here = geometry::heading(geometry::tangent_at(s, 0.0));
        heading += std::remainder(here - heading, 2.0 * geometry::pi);
        reach(heading);
        const double start = heading;
        if (s.is_arc()) heading += s.sweep_rad;
        reach(heading);
        ends.emplace_back(start, heading);
    }
    out.normals_span_rad = most - least;
    constexpr double quarter = 0.5 * geometry::pi;
    // The normal from the left piece to the right one is the heading less a quarter turn.
    const double normal_least = least - quarter, normal_most = most - quarter;
    out.best_rad = 0.5 * (normal_least + normal_most) + geometry::pi;
    out.from_rad = normal_most + quarter + jam_rad;
    out.to_rad = normal_least + 3.0 * quarter - jam_rad;
    out.possible = !seam.closed && out.from_rad <= out.to_rad;
    if (out.possible || seam.closed) return out;
    // n·d <= 0 with the kept angle: the heading may be off the middle by so much.
    const double middle = 0.5 * (least + most), allowed = quarter - jam_rad;
    const auto running = geometry::running_length_mm(seam);
    for (std::size_t i = 0; i < seam.segments.size(); ++i) {
        const auto [first, last] = ends[i];
        // Cut where the heading passes the limits: between the cuts it is on one side of them.
        std::vector<double> cuts{0.0, 1.0};
        for (const double limit : {middle - allowed, middle + allowed}) {
            const double u = last == first ? -1.0 : (limit - first) / (last - first);
            if (u > 0.0 && u < 1.0) cuts.push_back(u);
        }
        std::sort(cuts.begin(), cuts.end());
        for (std::size_t k = 0; k + 1 < cuts.size(); ++k) {
            const auto off = [&](double u) { return std::abs(first + u * (last - first) - middle) - allowed; };
            if (off(0.5 * (cuts[k] + cuts[k + 1])) <= 0.0) continue;
            const double length = running[i + 1] - running[i];
            const double worst = off(cuts[k]) >= off(cuts[k + 1]) ? cuts[k] : cuts[k + 1];
            add_hook(out.hooks, {running[i] + cuts[k] * length, running[i] + cuts[k + 1] * length, off(worst),
                                 geometry::point_at(seam.segments[i], worst)});
        }
    }
    return out;
}

namespace {

/// Places seen across a push: how far along, and how far each has to move to run on.
struct SeenAcross {
    std::vector<double> moves_mm;
    double by_mm = 0.0;
};

SeenAcross seen_across(const std::vector<SeamPlace>& places, double push_rad) {
    // The left piece lies ahead of the push, so the seam runs to the right of it, seen in its direction.
    const Point along = -1.0 * geometry::left_of(geometry::unit(push_rad));
    std::vector<double> x, least_after(places.size());
    for (const SeamPlace& p : places) x.push_back(dot(p.at, along));
    double least = HUGE_VAL;
    for (std::size_t i = places.size(); i-- > 0;) least_after[i] = least = std::min(least, x[i]);
    SeenAcross out;
    double farthest = -HUGE_VAL;
    for (std::size_t i = 0; i < places.size(); ++i) {
        farthest = std::max(farthest, x[i]);
        const double move = 0.5 * (farthest + least_after[i]) - x[i];
        out.moves_mm.push_back(move);
        out.by_mm = std::max(out.by_mm, std::abs(move));
    }
    return out;
}

}  // namespace

Freeing smallest_freeing(const Path& seam) {
    if (seam.empty() || seam.closed) throw std::invalid_argument("smallest_freeing: not an open seam");
    constexpr double apart_mm = 5.0;
    constexpr std::size_t most = 600;
    const std::vector<SeamPlace> places = places_along(seam, apart_mm, most);
    Freeing best;
    best.by_mm = HUGE_VAL;
    const auto look = [&](double push_rad) {
        const double by = seen_across(places, push_rad).by_mm;
        if (by < best.by_mm) {
            best.by_mm = by;
            best.push_rad = push_rad;
        }
    };
    // The middle of the ways that are free, where there are any.
    const Assembly straight = assembly(seam);
    if (straight.possible) {
        best.push_rad = straight.best_rad;
        best.by_mm = 0.0;
        return best;
    }
    constexpr int coarse = 360, fine = 20;
    const double step = geometry::two_pi / coarse;
    for (int i = 0; i < coarse; ++i) look(step * i);
    const double middle = best.push_rad;
    for (int i = -fine; i <= fine; ++i) look(middle + 2.0 * step * i / fine);
    const SeenAcross seen = seen_across(places, best.push_rad);
    const Point along = -1.0 * geometry::left_of(geometry::unit(best.push_rad));
    constexpr double moves_mm = 1e-6;
    bool before = false;
    for (std::size_t i = 0; i < places.size(); ++i) {
        const double by = std::abs(seen.moves_mm[i]);
        const bool here = by > moves_mm;
        if (here && !before) best.stretches.push_back({places[i].at_mm, places[i].at_mm, 0.0, {}, {}});
        if (here) {
            Freeing::Stretch& stretch = best.stretches.back();
            stretch.to_mm = places[i].at_mm;
            if (by > stretch.by_mm) {
                stretch.by_mm = by;
                stretch.at = places[i].at;
                stretch.move = seen.moves_mm[i] * along;
            }
        }
        before = here;
    }
    return best;
}

double uniform_mismatch_part(double normals_span_rad) {
    return 1.0 - std::cos(0.5 * std::clamp(normals_span_rad, 0.0, geometry::pi));
}

}  // namespace seamwright::seam
