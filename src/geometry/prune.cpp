// Pruning: what a traced edge costs, and how not to pay it.
//
// At a bumpy edge of thousands of short straight pieces, the untrimmed parallel is a braid: the round join about each
// vertex crosses those of all vertices within twice the radius. Nearly all of it lies behind something. So each round
// join is first shortened by the discs about its neighbours, and dropped when nothing is left.
//
// The reason is always one and the same, and exact: *the smaller arc of radius R between two points that both lie in a
// disc of radius R lies in that disc*. So an arc whose ends are both nearer than R to some vertex is hidden as a whole,
// and if only one end is, the arc is hidden from there to the one place where it leaves the disc. A straight front is
// hidden when both its ends lie in one disc, since a disc is convex.
//
// One pass along the path with a stack (as in the convex hull of a chain) does most of it: each vertex in turn shortens
// and pops the joins before it. A pass back over the survivors does the other ends. Nothing in the proof assumes a
// direction, but the stack works only if the vertices come roughly in order along the edge.
//
// Steep bumps do no harm as long as there is a direction, in each block of some dozens of vertices, along which all
// segments go forward. Where the edge doubles back there is none, and half of its left-hand fronts face down. There the
// vertices are put in order along the chord of the block, and the fronts that face up from the chord are taken, of
// whichever side of a segment: the far side is left out without proof. So this way is only for the first attempt, which
// is checked: without a front that matters the chain breaks and everything is taken (parallel.cpp).

#include <algorithm>
#include <array>
#include <cmath>

#include "front.h"

namespace seamwright::geometry {

namespace {

/// Passes over the survivors. Each pass makes the next one short; after three nothing more was found to go.
constexpr int most_passes = 4;

/// Where an edge doubles back, the chord of a block of segments tells in which direction it goes on. A block has at
/// least so many segments, and a chord so many times as long as its longest segment: more, and the edge bends within
/// a block; less, and the chord is turned by the bumps. Within a factor of two either way the survivors hardly change.
constexpr std::size_t least_block = 32;
constexpr double chord_in_segments = 4.0;

/// A segment several times as long as so many neighbours on one side together is no bump (among a million bumps one
/// was as long as eight): it has its own direction.
constexpr std::size_t neighbours = 8;
constexpr double outweighing = 4.0;

/// The places where the circles of one radius about two vertices meet.
struct MeetingPlaces {
    Point entering, leaving;  // going clockwise about the one, of the disc about the other
};
MeetingPlaces meeting_places(Point one, Point other, double square_radius) {
    const Point between = other - one;
    const double square = norm2(between);
    const double half = std::sqrt(std::max(square_radius - 0.25 * square, 0.0) / square);
    const Point middle = one + 0.5 * between;
    const Point side = half * left_of(between);
    return {middle + side, middle - side};
}

struct Discs {
    double square_radius;
    double square_inside;  // a little less: inside by more than rounding

    bool holds(Point centre, Point p) const { return norm2(p - centre) < square_inside; }

    /// Shortens the end of `arc` by the disc about `by`; true when nothing is left.
    bool shorten_end(Join& arc, Point by) const {
        if (!holds(by, arc.to)) return false;
        if (holds(by, arc.from)) return true;
        arc.to = meeting_places(arc.vertex, by, square_radius).entering;
        return false;
    }
    bool shorten_start(Join& arc, Point by) const {
        if (!holds(by, arc.from)) return false;
        if (holds(by, arc.to)) return true;
        arc.from = meeting_places(arc.vertex, by, square_radius).leaving;
        return false;
    }
};

/// The directions of some segments, as long as they lie within less than a half turn. Then there is a direction along
/// which all of them go forward.
class Directions {
  public:
    /// False when there is no such direction any more. A segment of no length has none of its own.
    bool widen(Point d) {
        if (norm2(d) == 0.0) return true;
        if (norm2(right_) == 0.0) right_ = left_ = d;
        const bool beyond_right = cross(right_, d) < 0.0;
        const bool beyond_left = cross(left_, d) > 0.0;
        if (!beyond_right && !beyond_left) return dot(right_, d) >= 0.0 || dot(left_, d) >= 0.0;
        if (beyond_right && beyond_left) return false;
        if (beyond_right && cross(left_, d) >= 0.0) return false;
        if (beyond_left && cross(right_, d) <= 0.0) return false;
        (beyond_right ? right_ : left_) = d;
        return true;
    }

    /// Between the outermost two; some segment must have had a length.
    Point middle() const {
        const Point sum = right_ / norm(right_) + left_ / norm(left_);
        return sum / norm(sum);
    }

  private:
    Point right_, left_;
};

class RunPruner {
  public:
    RunPruner(const Path& path, std::size_t first, std::size_t last, const Pruning& how, FrontRoom& room)
        : path_(path),
          first_(first),
          last_(last),
          radius_mm_(how.radius_mm),
          facing_up_(how.facing_up),
          joins_(room.joins),
          lines_(room.lines),
          pruned_(room.pruned) {
        const double inside = how.radius_mm - how.slack_mm;
        discs_ = {how.radius_mm * how.radius_mm, inside * inside};
        slack_mm_ = how.slack_mm;
        per_diameter_ = 0.5 / how.radius_mm;
    }

    void run() {
        joins_.clear();
        forward();
        for (int pass = 1; pass < most_passes; ++pass) {
            const std::size_t before = joins_.size();
            backward_over_survivors();
            forward_over_survivors();
            // A pass that finds less than one in thirty costs more than the general step would.
            if (joins_.size() + before / 30 >= before) break;
        }
        take_survivors();
    }

  private:
    Point vertex(std::size_t segment) const { return path_.segments[segment].end; }

    Point normal(std::size_t segment) const {
        const Point along = path_.segments[segment].end - path_.segments[segment].start;
        return (radius_mm_ / norm(along)) * left_of(along);
    }

    // Ranks: 0 is the start of the run, 1 the end of its first segment, and so on, unless the edge doubles back.
    std::size_t rank_at_end(std::size_t segment) const {
        return ranks_.empty() ? segment - first_ + 1 : ranks_[segment - first_ + 1];
    }
    std::size_t rank_at_start(std::size_t segment) const {
        return ranks_.empty() ? segment - first_ : ranks_[segment - first_];
    }

    void pop_behind(Point by) {
        while (!joins_.empty() && discs_.shorten_end(joins_.back(), by)) joins_.pop_back();
    }

    /// A place shifted by the radius to the left of `along` lies in the disc about another place, `way` from it. That
    /// is so when the other place is higher, on this side, than the square of its distance over twice the radius (by
    /// more than rounding). Asked without root or division.
    bool hides(Point way, double square_way, Point along) const {
        const double height = cross(along, way);
        const double least = square_way * per_diameter_ + slack_mm_;
        return height > 0.0 && height * height > norm2(along) * least * least;
    }

    void push(Join join) {
        if (!joins_.empty() && discs_.shorten_start(join, joins_.back().vertex)) return;
        if (discs_.shorten_start(join, before_)) return;
        if (discs_.shorten_start(join, second_before_)) return;
        joins_.push_back(join);
    }

    void forward() {
        before_ = second_before_ = path_.segments[first_].start;
        if (!forward_along(facing_up_)) {
            joins_.clear();
            before_ = second_before_ = path_.segments[first_].start;
            if (find_blocks()) {
                forward_in_order();
            } else {
                forward_along(false);
            }
        }
        if (last_ > first_) pop_behind(vertex(last_));
    }

    void passed(Point v) {
        second_before_ = before_;
        before_ = v;
    }

    /// The vertices that end all segments but the last, as they come. When asked for, false at the first turn by more
    /// than a right angle: bumps that double back have one somewhere.
    bool forward_along(bool stop_where_it_turns) {
        Point before = along(first_);
        for (std::size_t i = first_; i < last_; ++i) {
            const Point v = vertex(i);
            pop_behind(v);
            const Point after = along(i + 1);
            const double turn = cross(before, after);
            if (turn <= 0.0 || stop_where_it_turns) {
                const bool turns_back = dot(before, after) <= 0.0;
                // Long segments have their own direction: the corners of a board are no bumps.
                if (turns_back && stop_where_it_turns && !is_long(i) && !is_long(i + 1)) return false;
                const bool outward = turn < 0.0 || (turn == 0.0 && turns_back);
                if (outward && !is_hidden_corner(i, before, after)) {
                    push({v, v + normal(i), v + normal(i + 1), static_cast<std::uint32_t>(i),
                          static_cast<std::uint32_t>(i - first_ + 1), false});
                }
            }
            before = after;
            passed(v);
        }
        return true;
    }

    /// The whole join lies in the disc about one of a few places nearby. Most corners of a bumpy edge go this way.
    bool is_hidden_corner(std::size_t i, Point before, Point after) const {
        const Point v = vertex(i);
        const auto hidden_by = [&](Point other) {
            const Point way = other - v;
            const double square = norm2(way);
            return hides(way, square, before) && hides(way, square, after);
        };
        if (!joins_.empty() && hidden_by(joins_.back().vertex)) return true;
        return hidden_by(second_before_) || (i + 2 <= last_ && hidden_by(vertex(i + 2)));
    }

    struct Block {
        std::size_t first, stop;  // its segments
        Point ahead;              // along its chord, one radius long
        double from_mm;           // sum of the chords before it
        bool doubles_back;        // some segment in it runs against the chord
        bool is_long = false;     // one long segment
    };
    const Block& block_of(std::size_t segment) const { return blocks_[block_at_[segment - first_]]; }

    Point along(std::size_t segment) const { return path_.segments[segment].end - path_.segments[segment].start; }

    bool is_long(std::size_t segment) const {
        const double size = norm(along(segment)) / outweighing;
        const auto outweighs = [&](std::size_t from) {
            double others = 0.0;
            for (std::size_t i = from; i < from + neighbours && others <= size; ++i) others += norm(along(i));
            return others <= size;
        };
        return (segment + neighbours <= last_ && outweighs(segment + 1)) ||
               (segment >= first_ + neighbours && outweighs(segment - neighbours));
    }

    /// The shortest block from here on whose chord tells a direction.
    Block block_from(std::size_t first, double from_mm) const {
        Block block{first, first + 1, {}, from_mm, false, is_long(first)};
        double longest = norm(along(first));
        double chord = longest;
        while (block.stop <= last_ && !block.is_long && !is_long(block.stop) &&
               (block.stop - first < least_block || chord < chord_in_segments * longest)) {
            longest = std::max(longest, norm(along(block.stop)));
            chord = distance(path_.segments[first].start, vertex(block.stop));
            ++block.stop;
        }
        if (chord == 0.0) return block;
        block.ahead = (radius_mm_ / chord) * (vertex(block.stop - 1) - path_.segments[first].start);
        if (block.is_long) return block;
        // The first segment of the next block shares a corner with this one.
        const std::size_t stop = block.stop <= last_ && !is_long(block.stop) ? block.stop + 1 : block.stop;
        if (all_go(block.ahead, first, stop)) return block;
        Directions directions;
        for (std::size_t i = first; i < stop && !block.doubles_back; ++i) {
            block.doubles_back = !directions.widen(along(i));
        }
        if (!block.doubles_back) block.ahead = radius_mm_ * directions.middle();
        return block;
    }

    bool all_go(Point ahead, std::size_t first, std::size_t stop) const {
        for (std::size_t i = first; i < stop; ++i) {
            if (dot(along(i), ahead) <= 0.0) return false;
        }
        return true;
    }

    /// True when some block doubles back; else there are no blocks.
    bool find_blocks() {
        double from_mm = 0.0;
        for (std::size_t first = first_; first <= last_;) {
            blocks_.push_back(block_from(first, from_mm));
            first = blocks_.back().stop;
            const Point chord = vertex(first - 1) - path_.segments[blocks_.back().first].start;
            from_mm += dot(chord, blocks_.back().ahead) / radius_mm_;
        }
        if (std::none_of(blocks_.begin(), blocks_.end(), [](const Block& b) { return b.doubles_back; })) {
            blocks_.clear();
            return false;
        }
        block_at_.resize(last_ - first_ + 1);
        for (std::size_t k = 0; k < blocks_.size(); ++k) {
            for (std::size_t i = blocks_[k].first; i < blocks_[k].stop; ++i) {
                block_at_[i - first_] = static_cast<std::uint32_t>(k);
            }
        }
        return true;
    }

    struct Placed {
        double along_mm;
        std::size_t segment;
    };

    /// The same vertices in order along the chords, with the joins that face up from them.
    void forward_in_order() {
        std::vector<Placed> order;
        order.reserve(last_ - first_);
        for (std::size_t i = first_; i < last_; ++i) {
            const Block& block = block_of(i);
            const Point from = path_.segments[block.first].start;
            order.push_back({block.from_mm + dot(vertex(i) - from, block.ahead) / radius_mm_, i});
        }
        // Two blocks at a time is enough: what runs back farther only leaves more survivors.
        for (std::size_t k = 0; k < blocks_.size(); ++k) {
            const std::size_t from = blocks_[k].first - first_;
            const std::size_t to = std::min(blocks_[std::min(k + 1, blocks_.size() - 1)].stop - first_, order.size());
            std::sort(order.begin() + static_cast<std::ptrdiff_t>(from),
                      order.begin() + static_cast<std::ptrdiff_t>(to), [](const Placed& a, const Placed& b) {
                          return a.along_mm != b.along_mm ? a.along_mm < b.along_mm : a.segment < b.segment;
                      });
        }
        ranks_.resize(last_ - first_ + 2);
        ranks_.back() = last_ - first_ + 1;
        for (std::size_t k = 0; k < order.size(); ++k) {
            const std::size_t i = order[k].segment;
            ranks_[i - first_ + 1] = k + 1;
            const Point v = vertex(i);
            pop_behind(v);
            Join join{v, {}, {}, static_cast<std::uint32_t>(i), static_cast<std::uint32_t>(k + 1), false};
            if (outward_join(join, block_of(i))) push(join);
            passed(v);
        }
    }

    bool outward_join(Join& join, const Block& block) const {
        if (block.doubles_back && !block_of(join.segment + 1).is_long) return face_up(join, block.ahead);
        join.from = join.vertex + normal(join.segment);
        join.to = join.vertex + normal(join.segment + 1);
        return cross(join.from - join.vertex, join.to - join.vertex) < 0.0;
    }

    /// The part of the join about a vertex that faces up from `ahead`; false when there is none.
    bool face_up(Join& join, Point ahead) const {
        Point from = normal(join.segment);
        Point to = normal(join.segment + 1);
        if (cross(from, to) > 0.0) {
            std::swap(from, to);
            from = -from;
            to = -to;
            join.from_right = true;
        }
        const bool from_up = cross(ahead, from) >= 0.0;
        const bool to_up = cross(ahead, to) >= 0.0;
        if (!from_up && !to_up) return false;
        join.from = join.vertex + (from_up ? from : -ahead);
        join.to = join.vertex + (to_up ? to : ahead);
        return true;
    }

    /// Both passes keep what survives at their end of the list of joins.
    void backward_over_survivors() {
        const std::size_t n = joins_.size();
        std::size_t kept = n;
        for (std::size_t k = n; k > 0; --k) {
            Join join = joins_[k - 1];
            while (kept < n && discs_.shorten_start(joins_[kept], join.vertex)) ++kept;
            if (kept < n && discs_.shorten_end(join, joins_[kept].vertex)) continue;
            joins_[--kept] = join;
        }
        joins_.erase(joins_.begin(), joins_.begin() + static_cast<std::ptrdiff_t>(kept));
    }

    void forward_over_survivors() {
        std::size_t kept = 0;
        for (std::size_t k = 0; k < joins_.size(); ++k) {
            Join join = joins_[k];
            while (kept > 0 && discs_.shorten_end(joins_[kept - 1], join.vertex)) --kept;
            if (kept > 0 && discs_.shorten_start(join, joins_[kept - 1].vertex)) continue;
            joins_[kept++] = join;
        }
        joins_.resize(kept);
    }

    /// Part of the straight front a→b inside the disc about c, as fractions; empty when low > high.
    struct Covered {
        double low, high;
    };
    Covered covered(Point c, Point a, Point b) const {
        const Point along = b - a;
        const double square = norm2(along);
        const double foot = dot(c - a, along) / square;
        const double height2 = norm2(c - a) - foot * foot * square;
        const double room = discs_.square_inside - height2;
        if (room <= 0.0) return {1.0, 0.0};
        const double half = std::sqrt(room / square);
        return {foot - half, foot + half};
    }

    /// `next_join`: the first join at or beyond the line's right-hand end.
    bool is_hidden(const UpLine& line, std::size_t next_join) const {
        const std::size_t i = line.segment;
        const Point start = path_.segments[i].start;
        const Point end = path_.segments[i].end;
        const Point up = line.backward ? start - end : end - start;
        // Both ends of the front are as high under another place, so the farther one tells.
        const auto hidden_by = [&](Point other) {
            return hides(other - start, std::max(norm2(other - start), norm2(other - end)), up);
        };
        const std::size_t first_join = next_join > 2 ? next_join - 2 : 0;
        const std::size_t stop_join = std::min(next_join + 2, joins_.size());
        if (next_join > 0 && hidden_by(joins_[next_join - 1].vertex)) return true;
        for (std::size_t k = first_join; k < stop_join; ++k) {
            if (k + 1 != next_join && hidden_by(joins_[k].vertex)) return true;
        }
        // The line's own neighbours, for fronts that face backward where the edge doubles back.
        if (i > first_ && hidden_by(path_.segments[i - 1].start)) return true;
        if (i < last_ && hidden_by(path_.segments[i + 1].end)) return true;
        std::array<Point, 6> near;
        std::size_t count = 0;
        for (std::size_t k = first_join; k < stop_join; ++k) near[count++] = joins_[k].vertex;
        if (i > first_) near[count++] = path_.segments[i - 1].start;
        if (i < last_) near[count++] = path_.segments[i + 1].end;
        const Point shift = line.backward ? -normal(i) : normal(i);
        const Point a = start + shift;
        const Point b = end + shift;
        // Two discs together: from the one end up to where the other takes over.
        double reached = 0.0;
        for (int round = 0; round < 2; ++round) {
            double best = reached;
            for (std::size_t k = 0; k < count; ++k) {
                const Covered c = covered(near[k], a, b);
                if (c.low < reached || (reached == 0.0 && c.low < 0.0)) best = std::max(best, c.high);
            }
            if (best > 1.0) return true;
            if (best == reached) return false;
            reached = best;
        }
        return false;
    }

    /// Lines in order of their right-hand ends. Each is hidden or kept as it comes.
    void find_visible_lines() {
        lines_.clear();
        if (ranks_.empty()) {
            find_visible_lines_along();
        } else {
            find_visible_lines_in_order();
        }
    }

    void find_visible_lines_along() {
        std::size_t i = first_;
        for (std::size_t next_join = 0; next_join <= joins_.size(); ++next_join) {
            const std::size_t stop = next_join < joins_.size() ? joins_[next_join].segment : last_;
            for (; i <= stop; ++i) {
                const Point start = path_.segments[i].start;
                const Point along = path_.segments[i].end - start;
                // Most are hidden by the join on one side or the other.
                const auto hidden_by = [&](std::size_t join) {
                    const Point way = joins_[join].vertex - start;
                    return hides(way, std::max(norm2(way), norm2(way - along)), along);
                };
                if (next_join > 0 && hidden_by(next_join - 1)) continue;
                if (next_join < joins_.size() && hidden_by(next_join)) continue;
                const UpLine line{i, false, rank_at_start(i), rank_at_end(i)};
                if (!is_hidden(line, next_join)) lines_.push_back(line);
            }
        }
    }

    void find_visible_lines_in_order() {
        std::size_t next_join = 0;
        for (std::size_t i = first_; i <= last_; ++i) {
            const std::size_t at_start = rank_at_start(i);
            const std::size_t at_end = rank_at_end(i);
            UpLine line{i, false, at_start, at_end};
            if (block_of(i).doubles_back && dot(along(i), block_of(i).ahead) < 0.0) {
                line = {i, true, at_end, at_start};
            }
            const std::size_t beyond = std::max(at_start, at_end);
            while (next_join < joins_.size() && joins_[next_join].rank < beyond) ++next_join;
            while (next_join > 0 && joins_[next_join - 1].rank >= beyond) --next_join;
            if (!is_hidden(line, next_join)) lines_.push_back(line);
        }
        std::stable_sort(lines_.begin(), lines_.end(),
                         [](const UpLine& a, const UpLine& b) { return a.right_rank < b.right_rank; });
    }

    void take_survivors() {
        find_visible_lines();
        pruned_.clear();
        std::size_t next_line = 0;
        const auto take_lines_to = [&](std::size_t rank) {
            for (; next_line < lines_.size() && lines_[next_line].right_rank <= rank; ++next_line) {
                const UpLine& line = lines_[next_line];
                pruned_.push_back({line.segment, false, line.backward, line.left_rank, line.right_rank, {}, {}});
            }
        };
        for (const Join& join : joins_) {
            take_lines_to(join.rank);
            pruned_.push_back({join.segment, true, join.from_right, join.rank, join.rank, join.from, join.to});
        }
        take_lines_to(no_front);
    }

    const Path& path_;
    std::size_t first_, last_;
    double radius_mm_;
    bool facing_up_;
    double slack_mm_ = 0.0;
    double per_diameter_ = 0.0;
    Discs discs_{};
    std::vector<Join>& joins_;
    std::vector<UpLine>& lines_;
    std::vector<PrunedFront>& pruned_;
    std::vector<std::size_t> ranks_;  // empty as long as nothing doubles back
    std::vector<Block> blocks_;       // likewise
    std::vector<std::uint32_t> block_at_;
    Point before_, second_before_;
};

}  // namespace

void prune_straight_stretch(const Path& path, std::size_t first, std::size_t last, const Pruning& how,
                            FrontRoom& room) {
    RunPruner(path, first, last, how, room).run();
}

}  // namespace seamwright::geometry
