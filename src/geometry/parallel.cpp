// Trimmed parallels, with provenance.
//
// The problem: all centres of a disc of radius R that touches a path on one side and is nowhere nearer to it. Known
// libraries either flatten every arc or stitch pieces by nearness, and lose pieces on a bumpy edge
// (docs/method.md, "What was measured").
//
// The way here, in four steps:
//   1. Fronts.   Each line or arc of the source is shifted to the left; outward corners get a round join. Exact: a
//                parallel of a line is a line, of an arc a concentric arc. Straight stretches are pruned first
//                (prune.cpp).
//   2. Crossings. All places where two fronts meet, found with boxes in path order. A crossing is known by the two
//                fronts that make it, never by its position.
//   3. Slices.   Between crossings a front is either nowhere nearer than R to the source, or everywhere. One distance
//                question at the middle of each slice decides (Liu et al. 2007, "slice and validate").
//   4. Stitching. From a kept slice one goes on at the crossing: to the other front if its next slice is kept, else
//                along the same front. At an untouched end one goes on to the next front.
//
// Every piece knows its source segment and stretch, which is what edge.cpp needs to close an edge without offsetting
// twice.
//
// Error budget, for coordinates up to S (S = largest coordinate + R), u = 1.1e-16:
//   shift of a front            a few u S
//   place of a crossing         along the front 20 u S / sin(angle of crossing); across it a few u S
//   joint of a smooth source    as broken as the source, plus R × 1e-9 rad (smooth_joint_rad)
// The distance verdict uses slack = rounding_mm(S) = 256 × 2 u S (1.4e-10 mm on a 2.4 m top). The certificate measures
// the distance again, on every kept slice and at every joint, with the whole source.

#include "geometry/parallel.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <future>
#include <limits>
#include <span>
#include <stdexcept>

#include "box_walk.h"
#include "crossing.h"
#include "front.h"
#include "geometry/path_index.h"
#include "rounding.h"

namespace seamwright::geometry {

namespace {

/// The certificate is refused beyond this many times the drawing's size: 2.4 nm on a 2.4 m top, a thousandth of the
/// micrometre that the simulated gap may show. Reached only where the source itself is broken.
constexpr double refused_beyond = 1e-9;

/// Share of the slack with which a tangle of fronts is tried again: 16 × u × size.
constexpr double least_slack = 1.0 / 32.0;

/// Crossings beyond this number are refused: they would fill a gigabyte. A traced edge has fewer than two a front after
/// pruning; this many come up only where a path of many thousand pieces runs over itself again and again.
constexpr std::size_t most_crossings = 20'000'000;

/// So many neighbouring slices share the way down from the whole source to the parts near them.
constexpr std::size_t most_together = 12;

/// Starting a thread costs as much as some three hundred questions.
constexpr std::size_t least_for_two_threads = 2000;

/// Memory is kept from one parallel to the next as long as no more fronts than this took part (about 10 MB).
constexpr std::size_t most_kept_fronts = 1U << 15U;

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();

/// Two fronts meet, at a fraction of each.
struct FrontCrossing {
    std::array<std::uint32_t, 2> fronts;
    std::array<double, 2> u;
    Point point;
};

/// A crossing seen from one of its fronts. Cuts are kept by front, then in order along it; a cut's number is its place
/// in that order.
struct Cut {
    std::uint32_t crossing;
    std::uint32_t side;  // 0 or 1: which of the two fronts
};

/// A front has one slice more than it has cuts, so that the slice that ends at cut k of front f is number k + f.
struct Slice {
    std::uint32_t front;
    std::uint32_t next = none;
    std::uint32_t question = none;  // none: too short to ask, or seen to lie behind something
    bool kept = false;
    bool has_previous = false;
};

/// A slice whose distance is measured: in its middle for the verdict, at its start for the certificate.
struct Question {
    std::uint32_t slice;
    Point middle, start;
    double distance_mm, start_distance_mm;  // the second of kept slices only
};

/// Memory to work in, used again and again: for a small path, fresh pages would cost a third of the time.
struct Workroom {
    FrontRoom for_fronts;
    std::vector<Front> fronts;
    std::vector<Box> boxes;
    std::vector<FrontCrossing> crossings;
    std::vector<std::uint32_t> first_cut;  // of each front, and one more
    std::vector<Cut> cuts;
    std::vector<std::array<std::uint32_t, 2>> cut_of;  // of each crossing: its cuts on either front
    std::vector<char> entered;                         // some front runs into this one
    std::vector<Slice> slices;
    std::vector<Question> questions;
    std::array<std::vector<PathIndex::Part>, 2> parts;  // one for each thread
};

/// The stations of a piece that was found on the reversed source of n segments, told in those of the source itself.
void told_backward(TracedSegment& t, std::size_t n) {
    if (t.from == TracedSegment::From::corner) {
        t.source = corner_from_the_end(t.source, n);
        return;
    }
    t.source = segment_from_the_end(t.source, n);
    const double u0 = t.u0;
    t.u0 = 1.0 - t.u1;
    t.u1 = 1.0 - u0;
}

class Trimmer {
  public:
    Trimmer(const Path& source, double radius_mm, Workroom& room)
        : source_(source),
          radius_mm_(radius_mm),
          index_(source),
          room_(room),
          fronts_(room.fronts),
          crossings_(room.crossings),
          first_cut_(room.first_cut),
          cuts_(room.cuts),
          slices_(room.slices),
          questions_(room.questions) {
        const Box box = index_.box();
        size_mm_ = largest_coordinate(box) + radius_mm;
        slack_mm_ = rounding_mm(size_mm_);
        if (!index_.is_unbroken()) {
            broken_mm_ = largest_break_mm(source);
        } else if (source.closed) {
            broken_mm_ = distance(source.segments.back().end, source.segments.front().start);
        }
        bound_mm_ = refused_beyond * size_mm_ + broken_mm_;
    }

    std::vector<TracedPath> run(Certificate& certificate) {
        // The fronts on the left are enough for a source that does not come near itself from behind. Where they are
        // not, a chain ends in the open or a distance is wrong; then the fronts of the other side take part as well:
        // first without those that face along a stretch that doubles back, for there are very many of them and hardly
        // ever one that counts, then all.
        const bool from_behind = comes_from_behind(source_, index_, radius_mm_);
        enum class Fronts { near, around, all };
        for (const Fronts taken : {Fronts::near, Fronts::around, Fronts::all}) {
            if (from_behind && taken == Fronts::near) continue;
            const bool all_around = taken != Fronts::near;
            if (all_around) {
                take_all_fronts(source_, {radius_mm_, slack_mm_, taken == Fronts::around}, room_.for_fronts, fronts_);
            } else {
                take_near_fronts(source_, radius_mm_, slack_mm_, room_.for_fronts, fronts_);
            }
            find_cuts();
            // Where two fronts all but coincide, the slack lets both pass and the ways may be mixed up. With less of
            // it, still several times what a distance is off, only one passes.
            for (const double share : {1.0, least_slack}) {
                nearest_kept_mm_ = radius_mm_ - share * slack_mm_ - broken_mm_;
                slice();
                link();
                loose_ends_ = false;
                certificate_ = {};
                certificate_.bound_mm = bound_mm_;
                std::vector<TracedPath> paths = all_around ? stitch_around() : stitch();
                certificate = certificate_;
                const bool certain = certificate.worst_deviation_mm <= certificate.bound_mm && !torn(paths);
                if (certain && (taken == Fronts::all || !loose_ends_)) return paths;
            }
        }
        throw std::runtime_error("parallel: the result cannot be certified, it is off by more than rounding");
    }

  private:
    // ---- crossings ----

    void find_cuts() {
        const std::size_t n = fronts_.size();
        crossings_.clear();
        std::vector<Box>& boxes = room_.boxes;
        boxes.clear();
        for (const Front& f : fronts_) boxes.push_back(holding_box(f.segment).grown(slack_mm_));
        const BoxLevels levels = build_boxes(n, [&](std::size_t i) { return boxes[i]; });
        walk_box_pairs(levels, n, [&](std::size_t i, std::size_t j) {
            if (boxes[i].meets(boxes[j])) cross_pair(i, j);
        });
        order_cuts();
    }

    void cross_pair(std::size_t i, std::size_t j) {
        // Fronts that run into each other are tangent there (or straight), so they meet nowhere else; rounding may see
        // the joint as a crossing somewhat beside it.
        if (fronts_[i].runs_into == j || fronts_[j].runs_into == i) return;
        for (const Crossing& c : meet(fronts_[i].segment, fronts_[j].segment)) {
            if (crossings_.size() >= most_crossings) {
                throw std::runtime_error("parallel: the source runs over itself too often");
            }
            crossings_.push_back({{static_cast<std::uint32_t>(i), static_cast<std::uint32_t>(j)}, {c.u, c.v}, c.point});
        }
    }

    void order_cuts() {
        const std::size_t n = fronts_.size();
        first_cut_.assign(n + 1, 0);
        for (const FrontCrossing& c : crossings_) {
            ++first_cut_[c.fronts[0]];
            ++first_cut_[c.fronts[1]];
        }
        std::uint32_t sum = 0;
        for (std::uint32_t& first : first_cut_) {
            sum += first;
            first = sum;
        }
        // Filled from the back, so that each first_cut_ ends up at its front's first.
        cuts_.resize(sum);
        for (std::size_t k = crossings_.size(); k > 0; --k) {
            const auto crossing = static_cast<std::uint32_t>(k - 1);
            for (const std::uint32_t side : {1U, 0U}) {
                cuts_[--first_cut_[crossings_[crossing].fronts[side]]] = {crossing, side};
            }
        }
        for (std::size_t f = 0; f < n; ++f) {
            std::sort(cuts_.begin() + first_cut_[f], cuts_.begin() + first_cut_[f + 1], [&](Cut a, Cut b) {
                if (u_of(a) != u_of(b)) return u_of(a) < u_of(b);
                if (other_front(a) != other_front(b)) return other_front(a) < other_front(b);
                return a.crossing != b.crossing ? a.crossing < b.crossing : a.side < b.side;
            });
        }
        room_.cut_of.resize(crossings_.size());
        for (std::uint32_t k = 0; k < sum; ++k) room_.cut_of[cuts_[k].crossing][cuts_[k].side] = k;
    }

    double u_of(Cut cut) const { return crossings_[cut.crossing].u[cut.side]; }
    Point point_of(Cut cut) const { return crossings_[cut.crossing].point; }
    std::uint32_t other_front(Cut cut) const { return crossings_[cut.crossing].fronts[1 - cut.side]; }

    // ---- slices ----

    std::uint32_t cut_at_end(std::size_t slice) const {
        const std::size_t end = slice - slices_[slice].front;
        return end == first_cut_[slices_[slice].front + 1] ? none : static_cast<std::uint32_t>(end);
    }

    /// Where a slice lies on its front.
    struct Stretch {
        const Front& front;
        std::uint32_t cut0 = none, cut1 = none;  // none: the front's own end
        double u0 = 0.0, u1 = 1.0;
        Point start{}, end{};
    };
    Stretch stretch(std::size_t slice) const {
        const std::size_t f = slices_[slice].front;
        const std::size_t end = slice - f;
        Stretch s{fronts_[f]};
        if (end != first_cut_[f]) {
            s.cut0 = static_cast<std::uint32_t>(end - 1);
            s.u0 = u_of(cuts_[s.cut0]);
            s.start = point_of(cuts_[s.cut0]);
        } else {
            s.start = s.front.segment.start;
        }
        if (end != first_cut_[f + 1]) {
            s.cut1 = static_cast<std::uint32_t>(end);
            s.u1 = u_of(cuts_[s.cut1]);
            s.end = point_of(cuts_[s.cut1]);
        } else {
            s.end = s.front.segment.end;
        }
        return s;
    }
    const Front& front_of(std::size_t slice) const { return fronts_[slices_[slice].front]; }
    std::size_t first_slice(std::size_t front) const { return first_cut_[front] + front; }

    void slice() {
        room_.entered.assign(fronts_.size(), 0);
        for (const Front& f : fronts_) {
            if (f.runs_into != no_front) room_.entered[f.runs_into] = 1;
        }
        slices_.clear();
        for (std::size_t f = 0; f < fronts_.size(); ++f) {
            const std::size_t count = first_cut_[f + 1] - first_cut_[f] + 1;
            slices_.insert(slices_.end(), count, Slice{static_cast<std::uint32_t>(f)});
        }
        judge();
    }

    void judge() {
        questions_.clear();
        const double longest_scrap = longest_scrap_mm();
        for (std::size_t i = 0; i < slices_.size(); ++i) {
            const Stretch s = stretch(i);
            const double size = length(s);
            // What is shorter than rounding is passed over when linking.
            if (size <= slack_mm_ || (size <= longest_scrap && is_stub(s))) continue;
            const Point middle = middle_of(s);
            // Most slices that go lie beyond a crossing: behind the very front that made it.
            const auto hidden = [&](std::uint32_t cut) {
                return cut != none && is_behind(other_front(cuts_[cut]), middle);
            };
            if (hidden(s.cut0) || hidden(s.cut1)) continue;
            slices_[i].question = static_cast<std::uint32_t>(questions_.size());
            questions_.push_back({static_cast<std::uint32_t>(i), middle, s.start, 0.0, 0.0});
        }
        answer_all();
    }

    /// Every question stands by itself, so that two threads may share them: the answers are the same to the last bit.
    void answer_all() {
        const std::span<Question> all(questions_);
        std::vector<PathIndex::Part>& parts = room_.parts[0];
        if (all.size() < least_for_two_threads) return answer(all, parts);
        const std::size_t half = all.size() / 2;
        auto second =
            std::async(std::launch::async | std::launch::deferred, [&] { answer(all.subspan(half), room_.parts[1]); });
        answer(all.first(half), parts);
        second.get();
    }

    void answer(std::span<Question> questions, std::vector<PathIndex::Part>& parts) {
        // Neighbours lie together and look at the same parts of the source.
        for (std::size_t from = 0; from < questions.size();) {
            Box box;
            std::size_t stop = from;
            for (; stop < questions.size() && stop < from + most_together; ++stop) {
                Box with = box;
                with.add(questions[stop].middle);
                with.add(questions[stop].start);
                if (stop > from && with.width_mm() + with.height_mm() > radius_mm_) break;
                box = with;
            }
            index_.parts_near(box, farthest_mm(), parts);
            for (; from + 2 <= stop; from += 2) {
                Question& one = questions[from];
                Question& two = questions[from + 1];
                const auto both = index_.distances_between(parts, {one.middle, one.start, two.middle, two.start},
                                                           nearest_kept_mm_, farthest_mm());
                answer(one, both[0]);
                answer(two, both[1]);
            }
            if (from < stop) {
                Question& last = questions[from++];
                answer(last, index_.distances_between(parts, last.middle, last.start, nearest_kept_mm_, farthest_mm()));
            }
        }
    }

    void answer(Question& q, const PathIndex::TwoDistances& both) {
        q.distance_mm = both.first_mm;
        q.start_distance_mm = both.second_mm;
        slices_[q.slice].kept = q.distance_mm >= nearest_kept_mm_;
    }

    /// A short slice at an end of a front where no other front goes on leads nowhere. Next to a flat crossing rounding
    /// may let it pass for kept, and it would take a slice from the way that goes through.
    bool is_stub(const Stretch& s) const {
        const bool from_nowhere = s.cut0 == none && room_.entered[number_of(s.front)] == 0;
        const bool to_nowhere = s.cut1 == none && s.front.runs_into == no_front;
        if (!from_nowhere && !to_nowhere) return false;
        return source_.closed || !(at_source_start(s) || at_source_end(s));
    }
    std::size_t number_of(const Front& front) const { return static_cast<std::size_t>(&front - fronts_.data()); }

    /// True when p is nearer than the disc's radius to the place that this front is about.
    bool is_behind(std::size_t front, Point p) const {
        const Front& f = fronts_[front];
        const std::size_t n = source_.segments.size();
        double mm = 0.0;
        if (f.from == TracedSegment::From::corner) {
            mm = distance(f.segment.centre, p);
        } else {
            mm = nearest(
                     source_.segments[f.place == Front::Place::right ? segment_from_the_end(f.source, n) : f.source], p)
                     .distance_mm;
        }
        return mm < nearest_kept_mm_;
    }

    /// The distance to the source, as far as it matters: what is too near or too far is not told more exactly.
    double distance_mm(Point p) const { return index_.distance_between(p, nearest_kept_mm_, farthest_mm()); }
    double farthest_mm() const { return radius_mm_ + 2.0 * bound_mm_; }

    /// The middle of a slice. Of an arc up to a half turn it stands over the middle of the chord by the rise, which is
    /// h² / (R + √(R² − h²)) for half the chord h: no trigonometry, and exact for flat arcs as well.
    static Point middle_of(const Stretch& s) {
        const Segment& front = s.front.segment;
        if (front.is_line()) return midpoint(s.start, s.end);
        if (std::abs(front.sweep_rad) * (s.u1 - s.u0) > 0.5 * pi) return point_at(front, 0.5 * (s.u0 + s.u1));
        const Point chord = s.end - s.start;
        const double square = 0.25 * norm2(chord);
        const double rise = square / (front.radius_mm + std::sqrt(front.radius_mm * front.radius_mm - square));
        const Point away = front.sweep_rad > 0.0 ? right_of(chord) : left_of(chord);
        return midpoint(s.start, s.end) + (0.5 * rise / std::sqrt(square)) * away;
    }

    // ---- stitching ----

    static double length(const Stretch& s) { return length_mm(s.front.segment) * (s.u1 - s.u0); }
    double length(std::size_t slice) const { return length(stretch(slice)); }
    bool is_short(std::size_t slice) const { return length(slice) <= slack_mm_; }

    /// The slice that begins at the same crossing on the other front.
    std::size_t slice_across(Cut cut) const {
        return room_.cut_of[cut.crossing][1 - cut.side] + std::size_t{other_front(cut)} + 1;
    }

    /// The slice on the other front where this one ends: across the crossing, or where the front runs on.
    std::size_t other_way(std::size_t slice) const {
        const std::uint32_t cut = cut_at_end(slice);
        if (cut != none) return slice_across(cuts_[cut]);
        const std::size_t into = front_of(slice).runs_into;
        return into == no_front ? none : first_slice(into);
    }

    bool is_free(std::size_t slice) const {
        return slice != none && slices_[slice].kept && !slices_[slice].has_previous;
    }

    /// The kept slice that follows; slices shorter than rounding are stepped over. `steps` bounds a cluster of
    /// crossings in one place.
    std::size_t follow(std::size_t at, int steps) const {
        constexpr int most_steps = 6;
        if (steps > most_steps) return none;
        const std::array<std::size_t, 2> options{other_way(at), cut_at_end(at) == none ? none : at + 1};
        for (const std::size_t o : options) {
            if (is_free(o)) return o;
        }
        for (const std::size_t o : options) {
            if (o == none || !is_short(o)) continue;
            const std::size_t beyond = follow(o, steps + 1);
            if (beyond != none) return beyond;
        }
        return none;
    }

    void link(std::size_t from, std::size_t to) {
        slices_[from].next = static_cast<std::uint32_t>(to);
        slices_[to].has_previous = true;
    }

    void link() {
        // First from front to front: a stub that is kept by rounding must not take a slice from the way that turns off.
        for (std::size_t i = 0; i < slices_.size(); ++i) {
            if (!slices_[i].kept) continue;
            const std::size_t next = other_way(i);
            if (is_free(next)) link(i, next);
        }
        for (std::size_t i = 0; i < slices_.size(); ++i) {
            if (!slices_[i].kept || slices_[i].next != none) continue;
            const std::size_t next = follow(i, 0);
            if (next != none) link(i, next);
        }
    }

    /// The slice as a segment. Its ends are the crossings themselves, so that neighbours join to the last bit.
    static Segment segment_of(const Stretch& s) {
        Segment piece = s.front.segment;
        piece.start = s.start;
        piece.end = s.end;
        if (piece.is_arc()) piece.sweep_rad *= s.u1 - s.u0;
        return piece;
    }

    TracedSegment traced(const Stretch& s) const {
        const Front& front = s.front;
        TracedSegment t;
        t.segment = segment_of(s);
        t.from = front.from;
        t.source = front.source;
        const auto on_source = [&](double u) { return front.u0 + (front.u1 - front.u0) * u; };
        t.u0 = front.from == TracedSegment::From::segment ? on_source(s.u0) : 1.0;
        t.u1 = front.from == TracedSegment::From::segment ? on_source(s.u1) : 1.0;
        if (front.place == Front::Place::right) told_backward(t, source_.segments.size());
        return t;
    }

    /// Runs of linked slices: open chains first, then loops.
    struct Chain {
        std::vector<std::size_t> slices;
        bool closed = false;
    };
    std::vector<Chain> chains() const {
        std::vector<char> used(slices_.size(), 0);
        std::vector<Chain> all;
        const auto gather = [&](std::size_t from, bool closed) {
            Chain chain;
            chain.closed = closed;
            for (std::size_t at = from; at != none && used[at] == 0; at = slices_[at].next) {
                used[at] = 1;
                chain.slices.push_back(at);
            }
            all.push_back(std::move(chain));
        };
        for (std::size_t i = 0; i < slices_.size(); ++i) {
            if (slices_[i].kept && !slices_[i].has_previous && used[i] == 0) gather(i, false);
        }
        for (std::size_t i = 0; i < slices_.size(); ++i) {
            if (slices_[i].kept && used[i] == 0) gather(i, true);
        }
        return all;
    }

    /// The path made of these slices, measured as it is made.
    TracedPath traced(const std::vector<std::size_t>& slices, bool closed) {
        TracedPath path;
        path.closed = closed;
        path.segments.reserve(slices.size());
        for (const std::size_t i : slices) {
            path.segments.push_back(traced(stretch(i)));
            const Question& asked = questions_[slices_[i].question];
            measured(asked.distance_mm);
            measured(asked.start_distance_mm);
        }
        if (!slices.empty()) measured(distance_mm(path.segments.back().segment.end));
        return path;
    }

    /// A piece does not begin where the one before it ends.
    bool torn(const std::vector<TracedPath>& paths) const {
        for (const TracedPath& path : paths) {
            for (std::size_t i = 0; i + 1 < path.segments.size(); ++i) {
                const double gap_mm = distance(path.segments[i].segment.end, path.segments[i + 1].segment.start);
                // A smooth joint of the source may open by as much as it turns.
                if (gap_mm > bound_mm_ + 2.0 * smooth_joint_rad * radius_mm_) return true;
            }
        }
        return false;
    }

    void measured(double distance_mm) {
        const double deviation = std::abs(distance_mm - radius_mm_);
        certificate_.worst_deviation_mm = std::max(certificate_.worst_deviation_mm, deviation);
        ++certificate_.places;
    }

    static bool at_source_start(const Stretch& s) {
        return s.front.place == Front::Place::left && s.front.source == 0 &&
               s.front.from == TracedSegment::From::segment && s.u0 == 0.0;
    }
    bool at_source_end(const Stretch& s) const {
        return s.front.place == Front::Place::left && s.front.source + 1 == source_.segments.size() && s.u1 == 1.0;
    }

    double length(const std::vector<std::size_t>& slices) const {
        double sum = 0.0;
        for (const std::size_t i : slices) sum += length(i);
        return sum;
    }

    /// A stub beyond a flat crossing may pass for kept, because it lies behind by less than rounding. Two fronts that
    /// touch, and bend differently by one over the drawing's size, are that near over this length (0.6 µm on a 2.4 m
    /// top).
    double longest_scrap_mm() const { return std::sqrt(slack_mm_ * size_mm_); }

    bool is_cap(std::size_t slice) const { return front_of(slice).place == Front::Place::cap; }

    std::vector<TracedPath> stitch() {
        std::vector<TracedPath> paths;
        for (Chain& chain : chains()) {
            std::vector<std::size_t>& all = chain.slices;
            const bool is_scrap = length(all) <= longest_scrap_mm();
            if (chain.closed) {
                if (!is_scrap) paths.push_back(traced(all, true));
                continue;
            }
            const bool from_start = is_cap(all.front()) || at_source_start(stretch(all.front()));
            const bool to_end = is_cap(all.back()) || at_source_end(stretch(all.back()));
            const auto first = std::find_if_not(all.begin(), all.end(), [&](std::size_t i) { return is_cap(i); });
            const auto last = std::find_if_not(all.rbegin(), all.rend(), [&](std::size_t i) { return is_cap(i); });
            if (first == all.end()) continue;
            if (is_scrap && !from_start && !to_end) continue;
            if (source_.closed || !from_start || !to_end) loose_ends_ = true;
            paths.push_back(traced({first, last.base()}, false));
        }
        return paths;
    }

    /// Length on the near side less length on the far side; caps are on neither.
    double near_length(std::size_t slice) const {
        const Front& front = front_of(slice);
        if (front.place == Front::Place::cap) return 0.0;
        return front.far_side ? -length(slice) : length(slice);
    }
    bool is_mostly_near(const std::vector<std::size_t>& slices) const {
        double sum = 0.0;
        for (const std::size_t i : slices) sum += near_length(i);
        return sum > 0.0;
    }

    /// The stretch of a way that has most of its length on the near side and least on the far one. Where a bump hides a
    /// cap, the way comes around the end of the source without passing it.
    std::vector<std::size_t> mostly_near(const std::vector<std::size_t>& run) const {
        double best = 0.0;
        double sum = 0.0;
        std::size_t from = 0;
        std::size_t best_from = 0;
        std::size_t best_to = 0;
        for (std::size_t k = 0; k < run.size(); ++k) {
            if (sum <= 0.0) {
                sum = 0.0;
                from = k;
            }
            sum += near_length(run[k]);
            if (sum > best) {
                best = sum;
                best_from = from;
                best_to = k + 1;
            }
        }
        return {run.begin() + static_cast<std::ptrdiff_t>(best_from),
                run.begin() + static_cast<std::ptrdiff_t>(best_to)};
    }

    /// The way around the whole source falls into loops. Those mostly on its left are wanted; the one that goes around
    /// the ends of an open source is wanted from the start cap to the end cap.
    std::vector<TracedPath> stitch_around() {
        std::vector<TracedPath> paths;
        for (const Chain& chain : chains()) {
            const std::vector<std::size_t>& all = chain.slices;
            const bool is_scrap = length(all) <= longest_scrap_mm();
            if (!chain.closed && !is_scrap) loose_ends_ = true;
            if (std::none_of(all.begin(), all.end(), [&](std::size_t i) { return is_cap(i); })) {
                // Scraps of an arrangement that rounding has torn; the certificate looks at what is kept.
                if (chain.closed && !is_scrap && is_mostly_near(all)) paths.push_back(traced(all, true));
                continue;
            }
            const std::size_t n = all.size();
            for (std::size_t k = 0; k < n; ++k) {
                if (!is_cap(all[k])) continue;
                const std::size_t stop = chain.closed ? k + n : n;
                std::vector<std::size_t> run;
                std::size_t j = k + 1;
                for (; j < stop && !is_cap(all[j % n]); ++j) run.push_back(all[j % n]);
                if (run.empty()) continue;
                const std::size_t left_cap = slices_[all[k]].front;
                const std::size_t next_cap = j < stop || chain.closed ? slices_[all[j % n]].front : none;
                const std::size_t start_cap = fronts_.size() - 1;
                const bool on_far_side = left_cap != start_cap && next_cap == start_cap;
                if (on_far_side && !is_mostly_near(run)) continue;
                // From the start cap to the end cap, unless a bump hides one of them: then the way goes on around.
                if (left_cap == next_cap) run = mostly_near(run);
                if (!run.empty()) paths.push_back(traced(run, false));
            }
        }
        return paths;
    }

    const Path& source_;
    double radius_mm_;
    PathIndex index_;
    double size_mm_ = 0.0;
    double slack_mm_ = 0.0;
    double broken_mm_ = 0.0;
    double bound_mm_ = 0.0;
    double nearest_kept_mm_ = 0.0;
    Certificate certificate_;
    bool loose_ends_ = false;
    Workroom& room_;
    std::vector<Front>& fronts_;
    std::vector<FrontCrossing>& crossings_;
    std::vector<std::uint32_t>& first_cut_;
    std::vector<Cut>& cuts_;
    std::vector<Slice>& slices_;
    std::vector<Question>& questions_;
};

std::vector<TracedPath> trimmed(const Path& source, double radius_mm, Certificate& certificate) {
    static thread_local Workroom room;
    std::vector<TracedPath> paths = Trimmer(source, radius_mm, room).run(certificate);
    if (room.fronts.size() > most_kept_fronts) room = {};
    return paths;
}

/// Results for the reversed source, told in terms of the source itself.
void turn_back(std::vector<TracedPath>& paths, const Path& source) {
    const std::size_t n = source.segments.size();
    for (TracedPath& path : paths) {
        std::reverse(path.segments.begin(), path.segments.end());
        for (TracedSegment& t : path.segments) {
            t.segment = reversed(t.segment);
            told_backward(t, n);
        }
    }
    std::reverse(paths.begin(), paths.end());
}

std::vector<TracedPath> source_itself(const Path& source) {
    TracedPath same;
    same.closed = source.closed;
    for (std::size_t i = 0; i < source.segments.size(); ++i) {
        same.segments.push_back({source.segments[i], TracedSegment::From::segment, i, 0.0, 1.0});
    }
    return {same};
}

}  // namespace

Path TracedPath::path() const {
    Path p;
    p.closed = closed;
    p.segments.reserve(segments.size());
    for (const TracedSegment& t : segments) p.segments.push_back(t.segment);
    return p;
}

Parallel parallel(const Path& source, Side side, double distance_mm) {
    if (source.empty()) throw std::invalid_argument("parallel: the source has no segments");
    if (!(distance_mm >= 0.0) || !std::isfinite(distance_mm)) {
        throw std::invalid_argument("parallel: the distance must be a number, zero or more");
    }
    Parallel result;
    result.distance_mm = distance_mm;
    result.side = side;
    if (distance_mm == 0.0) {
        result.paths = source_itself(source);
        return result;
    }
    if (side == Side::left) {
        result.paths = trimmed(source, distance_mm, result.certificate);
        return result;
    }
    const Path backward = reversed(source);
    result.paths = trimmed(backward, distance_mm, result.certificate);
    turn_back(result.paths, source);
    return result;
}

Path main_path(const std::vector<TracedPath>& paths) {
    // Loops are compared by what they enclose: a small one in a hollow may well be the longer.
    const bool loops = std::all_of(paths.begin(), paths.end(), [](const TracedPath& p) { return p.closed; });
    Path best;
    double largest = -1.0;
    for (const TracedPath& traced : paths) {
        Path path = traced.path();
        const double size = loops ? std::abs(area_mm2(path)) : length_mm(path);
        if (size > largest) {
            largest = size;
            best = std::move(path);
        }
    }
    if (largest < 0.0) throw std::runtime_error("the edge has vanished: no path is left");
    return best;
}

}  // namespace seamwright::geometry
