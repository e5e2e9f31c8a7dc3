#include "front.h"

#include <algorithm>
#include <cmath>

#include "arc_sector.h"
#include "rounding.h"
#include "shift.h"

namespace seamwright::geometry {

namespace {

/// Rounding steps (of slack) by which an arc's radius may differ from the disc's and still count as the disc's own. The
/// edge behind a rolled disc has arcs of exactly that radius, rounded once each time it is closed.
constexpr double pivot_slack = 4.0;

/// The segment shifted to its left. An arc that turns left within `radius_mm` has no front: every place on it would be
/// nearer to its neighbours on the arc than to its own foot. (With radius equal to the arc's own it is one point.)
bool left_front_of(const Segment& s, double radius_mm, double slack_mm, Segment& front) {
    if (s.is_line() && s.start == s.end) return false;
    front = shifted_left(s, radius_mm);
    return s.is_line() || front.radius_mm > slack_mm;
}

Segment join_arc(Point vertex, Point from, Point to) {
    Segment arc;
    arc.start = from;
    arc.end = to;
    arc.centre = vertex;
    const Point a = from - vertex;
    const Point b = to - vertex;
    arc.radius_mm = norm(a);
    double sweep = turn_of(cross(a, b), dot(a, b));
    // A spike turns back on itself: half a turn, clockwise.
    if (sweep > 0.0) sweep = sweep > 0.5 * pi ? sweep - 2.0 * pi : 0.0;
    arc.sweep_rad = sweep;
    return arc;
}

/// An arc that the disc just fits: its front is one point, the disc pivots there from one neighbour to the next.
bool is_pivot(const Segment& s, double radius_mm, double slack_mm) {
    return s.is_arc() && s.sweep_rad > 0.0 && std::abs(s.radius_mm - radius_mm) <= pivot_slack * slack_mm;
}

/// The turn of a joint by its sine and cosine, which tell all that is asked here.
struct Turn {
    double sine, cosine;
    // The sine is the angle itself where it is that small.
    bool is_smooth() const { return std::abs(sine) <= smooth_joint_rad && cosine > 0.0; }
    bool is_spike() const { return std::abs(sine) <= smooth_joint_rad && cosine < 0.0; }
};
Turn turn_between(const Segment& s, const Segment& next) {
    const Point arriving = tangent_at(s, 1.0);
    const Point leaving = tangent_at(next, 0.0);
    return {cross(arriving, leaving), dot(arriving, leaving)};
}

bool joins_smoothly(const Path& path, std::size_t i) {
    const std::size_t n = path.segments.size();
    if (i + 1 == n && !path.closed) return true;
    return turn_between(path.segments[i], path.segments[(i + 1) % n]).is_smooth();
}

/// Says that one front runs into another if it ends where that one starts.
void join_if_touching(std::vector<Front>& fronts, std::size_t from, std::size_t into, double slack_mm) {
    if (from == no_front || into == no_front) return;
    if (distance(fronts[from].segment.end, fronts[into].segment.start) <= pivot_slack * slack_mm) {
        fronts[from].runs_into = into;
    }
}

class LeftFronts {
  public:
    LeftFronts(const Path& path, const Pruning& how, FrontRoom& room, std::vector<Front>& fronts)
        : path_(path), how_(how), n_(path.segments.size()), room_(room), fronts_(fronts) {}

    void take() {
        fronts_.clear();
        for (std::size_t i = 0; i < n_; ++i) {
            const std::size_t last = last_of_run(i);
            if (last - i + 1 >= least_run && path_.segments[i].is_line()) {
                prune_straight_stretch(path_, i, last, how_, room_);
                add_run(i, last);
                i = last;
            } else if (is_pivot(path_.segments[i], how_.radius_mm, how_.slack_mm) && joins_smoothly(path_, i)) {
                continue;  // the front before runs on
            } else {
                add_segment(i);
            }
            add_corner(i);
        }
        // The last joint of a closed path runs into the first front, if that one was kept.
        if (path_.closed && !fronts_.empty() && fronts_.front().source == 0 &&
            fronts_.front().from == TracedSegment::From::segment) {
            join_if_touching(fronts_, open_end_, 0, how_.slack_mm);
        }
    }

  private:
    /// The last of the straight segments from here on.
    std::size_t last_of_run(std::size_t first) const {
        std::size_t last = first;
        while (last + 1 < n_ && path_.segments[last + 1].is_line()) ++last;
        return last;
    }

    void add_segment(std::size_t i) {
        Front front;
        front.source = static_cast<std::uint32_t>(i);
        if (!left_front_of(path_.segments[i], how_.radius_mm, how_.slack_mm, front.segment)) {
            open_end_ = no_front;
            return;
        }
        if (open_end_ != no_front) fronts_[open_end_].runs_into = fronts_.size();
        open_end_ = fronts_.size();
        fronts_.push_back(front);
    }

    /// The joint after segment i: a smooth one is run over, an outward one gets a round join.
    void add_corner(std::size_t i) {
        if (i + 1 == n_ && !path_.closed) return;
        const Segment& s = path_.segments[i];
        const Segment& next = path_.segments[(i + 1) % n_];
        const Turn turn = turn_between(s, next);
        if (turn.is_smooth()) return;
        const std::size_t before = open_end_;
        open_end_ = no_front;
        if (turn.sine > 0.0 && !turn.is_spike()) return;
        Front corner;
        corner.from = TracedSegment::From::corner;
        corner.source = static_cast<std::uint32_t>(i);
        corner.segment = join_arc(s.end, s.end + how_.radius_mm * left_of(tangent_at(s, 1.0)),
                                  s.end + how_.radius_mm * left_of(tangent_at(next, 0.0)));
        if (corner.segment.sweep_rad == 0.0) return;
        if (before != no_front) fronts_[before].runs_into = fronts_.size();
        open_end_ = fronts_.size();
        fronts_.push_back(corner);
    }

    /// What pruning left of a straight stretch. Afterwards the end of its last line is open.
    void add_run(std::size_t first, std::size_t last) {
        const std::size_t begin = fronts_.size();
        std::size_t last_line = no_front;
        room_.places.clear();
        for (const PrunedFront& kept : room_.pruned) {
            const Segment& s = path_.segments[kept.segment];
            Front front;
            front.source = static_cast<std::uint32_t>(kept.segment);
            if (kept.on_right) {
                front.place = Front::Place::right;
                front.source = static_cast<std::uint32_t>(kept.is_join ? corner_from_the_end(kept.segment, n_)
                                                                       : segment_from_the_end(kept.segment, n_));
            }
            if (kept.is_join) {
                front.from = TracedSegment::From::corner;
                const bool goes_on = follows_join(kept.from);
                front.segment = join_arc(s.end, goes_on ? fronts_.back().segment.end : kept.from, kept.to);
                if (front.segment.sweep_rad == 0.0) continue;
                if (goes_on) fronts_.back().runs_into = fronts_.size();
            } else if (!left_front_of(kept.on_right ? reversed(s) : s, how_.radius_mm, how_.slack_mm, front.segment)) {
                continue;
            }
            room_.places.push_back({kept.left_rank, kept.right_rank, kept.is_join});
            fronts_.push_back(front);
            if (kept.is_join || kept.on_right) continue;
            if (kept.segment == first) join_if_touching(fronts_, open_end_, fronts_.size() - 1, how_.slack_mm);
            if (kept.segment == last) last_line = fronts_.size() - 1;
        }
        link_run(begin);
        open_end_ = last_line;
    }

    /// A join of the same run ends here: the two were shortened to the place where they cross. (Being less than half
    /// turns, they cross nowhere else.)
    bool follows_join(Point from) const {
        return !room_.places.empty() && room_.places.back().is_join &&
               distance(fronts_.back().segment.end, from) <= how_.slack_mm;
    }

    /// Lines run into the joins about their right-hand ends and joins into the lines that start there, unless one of
    /// them was shortened.
    void link_run(std::size_t begin) {
        // Lines come in order of their right-hand ends, so the join asked for stands near the one found before.
        std::size_t near = 0;
        const auto join_at = [&](std::size_t rank) {
            const auto& joins = room_.joins_at;
            while (near < joins.size() && joins[near].rank < rank) ++near;
            while (near > 0 && joins[near - 1].rank >= rank) --near;
            return near < joins.size() && joins[near].rank == rank ? joins[near].front : no_front;
        };
        room_.joins_at.clear();
        for (std::size_t k = 0; k < room_.places.size(); ++k) {
            if (room_.places[k].is_join) room_.joins_at.push_back({room_.places[k].left_rank, begin + k});
        }
        for (std::size_t k = 0; k < room_.places.size(); ++k) {
            if (room_.places[k].is_join) continue;
            join_if_touching(fronts_, begin + k, join_at(room_.places[k].right_rank), how_.slack_mm);
            join_if_touching(fronts_, join_at(room_.places[k].left_rank), begin + k, how_.slack_mm);
        }
    }

    const Path& path_;
    Pruning how_;
    std::size_t n_;
    FrontRoom& room_;
    std::vector<Front>& fronts_;
    std::size_t open_end_ = no_front;  // the front whose end the next one continues, if it does
};

}  // namespace

void take_left_fronts(const Path& path, const Pruning& how, FrontRoom& room, std::vector<Front>& fronts) {
    LeftFronts(path, how, room, fronts).take();
    splice_flat_joints(fronts, path, how.radius_mm, how.slack_mm);
}

namespace {

Front cap_about(Point vertex, Point from_mm, double sweep_rad) {
    Front f;
    f.place = Front::Place::cap;
    f.from = TracedSegment::From::corner;
    f.segment = arc_about(vertex, vertex + from_mm, sweep_rad);
    return f;
}

}  // namespace

void take_near_fronts(const Path& path, double radius_mm, double slack_mm, FrontRoom& room,
                      std::vector<Front>& fronts) {
    take_left_fronts(path, {radius_mm, slack_mm, true}, room, fronts);
    if (path.closed || fronts.empty()) return;
    const std::size_t n = fronts.size();
    const Point leaving = radius_mm * left_of(tangent_at(path.segments.back(), 1.0));
    const Point arriving = radius_mm * left_of(tangent_at(path.segments.front(), 0.0));
    fronts.push_back(cap_about(path.end(), leaving, -pi));
    fronts.push_back(cap_about(path.start(), -arriving, -pi));
    join_if_touching(fronts, n - 1, n, slack_mm);
    join_if_touching(fronts, n + 1, 0, slack_mm);
}

void take_all_fronts(const Path& path, const Pruning& how, FrontRoom& room, std::vector<Front>& fronts) {
    take_left_fronts(path, how, room, fronts);
    std::vector<Front> back;
    take_left_fronts(reversed(path), how, room, back);
    const std::size_t shift = fronts.size();
    for (Front& f : back) {
        f.place = f.place == Front::Place::right ? Front::Place::left : Front::Place::right;
        f.far_side = true;
        if (f.runs_into != no_front) f.runs_into += shift;
    }
    fronts.insert(fronts.end(), back.begin(), back.end());
    if (path.closed || shift == 0 || back.empty()) return;
    // The caps close the way around an open path: left fronts, end, right fronts, start.
    const std::size_t after = fronts.size();
    const Point leaving = how.radius_mm * left_of(tangent_at(path.segments.back(), 1.0));
    const Point arriving = how.radius_mm * left_of(tangent_at(path.segments.front(), 0.0));
    fronts.push_back(cap_about(path.end(), leaving, -pi));
    fronts.push_back(cap_about(path.start(), -arriving, -pi));
    join_if_touching(fronts, shift - 1, after, how.slack_mm);
    join_if_touching(fronts, after, shift, how.slack_mm);
    join_if_touching(fronts, after - 1, after + 1, how.slack_mm);
    join_if_touching(fronts, after + 1, 0, how.slack_mm);
}

}  // namespace seamwright::geometry
