// Joints of a segmented edging.
//
// On a circle all segments are alike and the joints are a comb of even teeth: the seams, taken modulo one tooth, leave
// gaps, and the comb goes into the middle of the widest.
//
// Elsewhere the places of joints are chosen among many along the outline by dynamic programming: with the first joint
// held, the best way to a place in k segments is the best way to some place before it in k − 1 and one segment more.
// The widest segment of a way never gets narrower by going on, so the best part of a way is part of a best way. Each
// first joint within reach of one segment is tried.

#include "process/edging.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace seamwright::process {
namespace {

using geometry::Path;
using geometry::Point;
using geometry::Segment;
using geometry::two_pi;

/// Turns between segments that are smaller are taken for smooth: drawn outlines have joints of a few hundredths of a
/// degree.
constexpr double corner_rad = 1.0 / geometry::degrees_per_radian;
/// Lengths this near are the same.
constexpr double same_mm = 1e-6;
/// Stretches become longer until so many in a row no longer come out of the board.
constexpr int patience = 12;

void check_arc(double radius_mm, double angle_rad) {
    if (!(radius_mm > 0.0) || !(angle_rad > 0.0) || !(angle_rad <= two_pi))
        throw std::invalid_argument("arc: the radius is above 0, the angle between 0 and a full turn");
}

void check(const Path& outline, const EdgingWish& wish) {
    if (outline.empty()) throw std::invalid_argument("plan_edging: the outline is empty");
    if (!(wish.width_mm > 0.0) || !(wish.board_width_mm > 0.0) || !(wish.margin_mm >= 0.0) ||
        !(wish.end_margin_mm >= 0.0) || !(wish.clear_mm >= 0.0) ||
        (wish.board_length_mm && !(*wish.board_length_mm > 0.0)))
        throw std::invalid_argument("plan_edging: a length that is none");
    if (!std::all_of(wish.seams_mm.begin(), wish.seams_mm.end(), [](double at) { return std::isfinite(at); }))
        throw std::invalid_argument("plan_edging: a seam's place is no number");
    if (!(wish.run_out_rad > 0.0) || wish.run_out_rad > most_run_out_rad)
        throw std::invalid_argument("plan_edging: run-out lies above 0 and at most at 60 degrees");
    if (wish.segments && (*wish.segments < 1 || *wish.segments > most_segments))
        throw std::invalid_argument(fmt::format("plan_edging: segments are 1 to {}", most_segments));
}

struct Corner {
    double at_mm = 0.0;
    double turn_rad = 0.0;
};

class Outline {
  public:
    Outline(const Path& path, const EdgingWish& wish)
        : path_(path), wish_(wish), running_(geometry::running_length_mm(path)) {
        const std::size_t n = path.segments.size();
        for (std::size_t i = 0; i < n; ++i) {
            if (i == 0 && !path.closed) continue;
            const Segment& before = path.segments[(i + n - 1) % n];
            const double turn =
                geometry::wrap_pi(geometry::heading_at(path.segments[i], 0.0) - geometry::heading_at(before, 1.0));
            if (std::abs(turn) > corner_rad) corners_.push_back({running_[i], turn});
        }
        for (const Segment& s : path.segments) strips_.push_back(strip(s));
    }

    const Path& path() const { return path_; }
    const EdgingWish& wish() const { return wish_; }
    double length_mm() const { return running_.back(); }
    bool closed() const { return path_.closed; }
    const std::vector<Corner>& corners() const { return corners_; }

    double folded(double at_mm) const {
        if (!closed()) return at_mm;
        const double at = std::fmod(at_mm, length_mm());
        return at < 0.0 ? at + length_mm() : at;
    }
    double turn_at(double at_mm) const {
        for (const Corner& corner : corners_)
            if (apart(corner.at_mm, at_mm) < same_mm) return corner.turn_rad;
        return 0.0;
    }
    double apart(double a_mm, double b_mm) const {
        const double d = std::abs(folded(a_mm) - folded(b_mm));
        return closed() ? std::min(d, length_mm() - d) : d;
    }
    double to_seam(double at_mm) const {
        double least = std::numeric_limits<double>::infinity();
        for (const double seam : wish_.seams_mm) least = std::min(least, apart(at_mm, seam));
        return least;
    }

    /// The segment between two stations, `to` counted on past the start of a closed outline.
    EdgingSegment segment(double from_mm, double to_mm) const {
        EdgingSegment out;
        out.from_mm = folded(from_mm);
        out.to_mm = closed() ? folded(to_mm) : to_mm;
        if (closed() && to_mm - from_mm > length_mm() - same_mm) {
            out.outer = geometry::part(path_, running_, 0.0, length_mm());
        } else if (closed() && out.to_mm < same_mm) {
            out.outer = geometry::part(path_, running_, out.from_mm, length_mm());
        } else {
            out.outer = geometry::part(path_, running_, out.from_mm, out.to_mm);
        }
        out.outer.closed = false;
        const double w = wish_.width_mm;
        for (const Segment& s : out.outer.segments) {
            out.inner.segments.push_back(inside(s));
            // Half the band between two circles, or a rectangle.
            out.area_mm2 += w * geometry::length_mm(s) - 0.5 * w * w * s.sweep_rad;
        }
        const Segment &first = out.outer.segments.front(), &last = out.outer.segments.back();
        const double leaves = geometry::heading_at(first, 0.0), arrives = geometry::heading_at(last, 1.0);
        const double turn_from = turn_at(out.from_mm), turn_to = turn_at(out.to_mm);
        out.fibre_rad = geometry::heading(out.outer.end() - out.outer.start());
        out.chord_mm = geometry::distance(out.outer.start(), out.outer.end());
        out.start_rad = geometry::wrap_pi(out.fibre_rad - leaves) + 0.5 * turn_from;
        out.end_rad = geometry::wrap_pi(arrives - out.fibre_rad) + 0.5 * turn_to;
        out.joint_from = mitred(out.outer.start(), leaves, -0.5 * turn_from);
        out.joint_to = mitred(out.outer.end(), arrives, 0.5 * turn_to);
        out.area_mm2 -= 0.5 * w * w * (std::tan(0.5 * turn_from) + std::tan(0.5 * turn_to));
        for (const Segment& s : out.outer.segments) {
            for (const double u : {0.0, 1.0}) {
                const double off = std::abs(geometry::wrap_pi(geometry::heading_at(s, u) - out.fibre_rad));
                out.run_out_rad = std::max(out.run_out_rad, off);
            }
        }
        const Point along = geometry::unit(out.fibre_rad), across = geometry::left_of(along);
        const double width = extent(out, across);
        out.rise_mm = width - w;
        out.board_width_mm = width + 2.0 * wish_.margin_mm;
        out.board_length_mm = extent(out, along) + 2.0 * wish_.end_margin_mm;
        return out;
    }

    /// The board width that `segment` would tell, in a small part of its time; nothing where it does not come out.
    std::optional<double> board_mm(double from_mm, double to_mm) const {
        const double from = folded(from_mm), to = closed() ? folded(to_mm) : to_mm;
        geometry::Station first = geometry::station_at(path_, running_, from);
        geometry::Station last = geometry::station_at(path_, running_, to);
        const Point start = geometry::point_at(path_, first), end = geometry::point_at(path_, last);
        if (geometry::distance(start, end) < same_mm) return std::nullopt;
        // At a joint of the outline the stretch begins with what follows and ends with what went before.
        const std::size_t n = strips_.size();
        if ((1.0 - first.u) * geometry::length_mm(path_.segments[first.segment]) < same_mm)
            first = {(first.segment + 1) % n, 0.0};
        if (last.u * geometry::length_mm(path_.segments[last.segment]) < same_mm)
            last = {(last.segment + n - 1) % n, 1.0};
        Board board((end - start) / geometry::distance(start, end), std::cos(wish_.run_out_rad + 1e-9));
        std::size_t count = (last.segment + n - first.segment) % n + 1;
        if (first.segment == last.segment && !(first.u < last.u)) count = n + 1;
        for (std::size_t k = 0; k < count; ++k) {
            const std::size_t i = (first.segment + k) % n;
            const double u0 = k == 0 ? first.u : 0.0, u1 = k + 1 == count ? last.u : 1.0;
            const bool whole = u0 == 0.0 && u1 == 1.0;
            const Strip here = whole ? strips_[i] : strip(geometry::part(path_.segments[i], u0, u1));
            if (!board.add(here)) return std::nullopt;
            if (k == 0) board.add(mitred(start, geometry::heading(here.leaves), -0.5 * turn_at(from)));
            if (k + 1 == count) board.add(mitred(end, geometry::heading(here.arrives), 0.5 * turn_at(to)));
        }
        const double width = board.box.height_mm() + 2.0 * wish_.margin_mm;
        const double length = board.box.width_mm() + 2.0 * wish_.end_margin_mm;
        if (width > wish_.board_width_mm + same_mm) return std::nullopt;
        if (wish_.board_length_mm && length > *wish_.board_length_mm + same_mm) return std::nullopt;
        return width;
    }

    bool comes_out(const EdgingSegment& s) const {
        return s.board_width_mm <= wish_.board_width_mm + same_mm && s.run_out_rad <= wish_.run_out_rad + 1e-9 &&
               (!wish_.board_length_mm || s.board_length_mm <= *wish_.board_length_mm + same_mm);
    }

  private:
    /// A stretch of the outline with the edging beside it.
    struct Strip {
        Segment outer, inner;
        Point leaves, arrives;  ///< directions of both at their ends
    };
    Strip strip(const Segment& s) const {
        return {s, inside(s), geometry::tangent_at(s, 0.0), geometry::tangent_at(s, 1.0)};
    }

    /// The rectangle along a chord that holds what is added to it.
    struct Board {
        Point along, across;
        double least_cosine = 0.0;  ///< of the run-out
        geometry::Box box{};

        Board(Point along_chord, double cosine)
            : along(along_chord), across(geometry::left_of(along_chord)), least_cosine(cosine) {}
        void add(Point p) { box.add(Point{geometry::dot(p, along), geometry::dot(p, across)}); }
        /// False where the fibres run out too far.
        bool add(const Strip& strip) {
            if (geometry::dot(strip.leaves, along) < least_cosine || geometry::dot(strip.arrives, along) < least_cosine)
                return false;
            for (const Segment* s : {&strip.outer, &strip.inner}) {
                add(s->start);
                add(s->end);
                // With less than a quarter turn off the chord to either side, an arc is farthest across the chord where
                // it runs along it, and along the chord at its ends.
                if (s->is_arc() && geometry::dot(strip.leaves, across) * geometry::dot(strip.arrives, across) < 0.0) {
                    const double side = s->sweep_rad > 0.0 ? -1.0 : 1.0;
                    add(s->centre + side * s->radius_mm * across);
                }
            }
            return true;
        }
    };

    Segment inside(const Segment& s) const {
        const double w = wish_.width_mm;
        if (s.is_line()) {
            const Point by = w * geometry::left_of(geometry::tangent_at(s, 0.0));
            return geometry::line(s.start + by, s.end + by);
        }
        const double scale = s.sweep_rad > 0.0 ? (s.radius_mm - w) / s.radius_mm : (s.radius_mm + w) / s.radius_mm;
        return geometry::arc_about(s.centre, s.centre + scale * (s.start - s.centre), s.sweep_rad);
    }
    Point mitred(Point at, double heading_rad, double half_turn_rad) const {
        const Point square = geometry::left_of(geometry::unit(heading_rad + half_turn_rad));
        return at + wish_.width_mm / std::cos(half_turn_rad) * square;
    }
    static double extent(const EdgingSegment& s, Point towards) {
        double high = std::max(geometry::dot(s.joint_from, towards), geometry::dot(s.joint_to, towards));
        double low = std::min(geometry::dot(s.joint_from, towards), geometry::dot(s.joint_to, towards));
        for (const Path* path : {&s.outer, &s.inner}) {
            high = std::max(high, geometry::dot(geometry::farthest(*path, towards).point, towards));
            low = std::min(low, geometry::dot(geometry::farthest(*path, -towards).point, towards));
        }
        return high - low;
    }

    const Path& path_;
    const EdgingWish& wish_;
    std::vector<double> running_;
    std::vector<Corner> corners_;
    std::vector<Strip> strips_;
};

std::optional<double> radius_of_circle(const Path& path) {
    if (!path.closed) return std::nullopt;
    const Segment& first = path.segments.front();
    for (const Segment& s : path.segments) {
        if (!(s.sweep_rad > 0.0) || std::abs(s.radius_mm - first.radius_mm) > same_mm ||
            geometry::distance(s.centre, first.centre) > same_mm)
            return std::nullopt;
    }
    return first.radius_mm;
}

/// Where an even comb of joints lies farthest from all seams.
double best_phase(const std::vector<double>& seams_mm, double tooth_mm) {
    std::vector<double> at;
    for (const double seam : seams_mm) {
        const double folded = std::fmod(seam, tooth_mm);
        at.push_back(folded < 0.0 ? folded + tooth_mm : folded);
    }
    if (at.empty()) return 0.0;
    std::sort(at.begin(), at.end());
    double widest = at.front() + tooth_mm - at.back();
    double phase = at.back() + 0.5 * widest;
    for (std::size_t i = 1; i < at.size(); ++i) {
        const double gap = at[i] - at[i - 1];
        if (gap > widest + same_mm) {
            widest = gap;
            phase = at[i - 1] + 0.5 * gap;
        }
    }
    return std::fmod(phase, tooth_mm);
}

std::vector<EdgingSegment> even_segments(const Outline& outline, double radius_mm) {
    const EdgingWish& wish = outline.wish();
    const auto least = ring_segments(radius_mm, wish.width_mm, wish.board_width_mm, wish.margin_mm);
    if (!least) return {};
    int n = std::max(*least, static_cast<int>(std::ceil(geometry::pi / wish.run_out_rad - 1e-9)));
    const int most = wish.segments ? *wish.segments : std::min(most_segments, 3 * n + 8);
    if (wish.segments) n = *wish.segments;
    for (; n <= most; ++n) {
        const double tooth = outline.length_mm() / n;
        const double phase = best_phase(wish.seams_mm, tooth);
        std::vector<EdgingSegment> out;
        bool good = true;
        for (int k = 0; good && k < n; ++k) {
            const double from = phase + k * tooth;
            good = outline.to_seam(from) >= wish.clear_mm - same_mm;
            out.push_back(outline.segment(from, from + tooth));
            good = good && outline.comes_out(out.back());
        }
        if (good) return out;
    }
    return {};
}

std::vector<double> places(const Outline& outline) {
    const double length = outline.length_mm();
    std::vector<double> out;
    for (std::size_t i = 0; i < joint_places; ++i)
        out.push_back(length * static_cast<double>(i) / static_cast<double>(joint_places));
    for (const double seam : outline.wish().seams_mm) {
        for (const double side : {-1.0, 1.0}) {
            const double at = outline.folded(seam + side * outline.wish().clear_mm);
            if (at >= 0.0 && at < length) out.push_back(at);
        }
    }
    const auto is_corner = [&](double at) { return outline.turn_at(at) != 0.0; };
    std::erase_if(out, [&](double at) {
        const bool end = !outline.closed() && at == 0.0;
        return is_corner(at) || (!end && outline.to_seam(at) < outline.wish().clear_mm - same_mm);
    });
    for (const Corner& corner : outline.corners()) out.push_back(corner.at_mm);
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end(), [](double a, double b) { return b - a < same_mm; }), out.end());
    return out;
}

/// From which place to which one segment comes out of the board, and how wide a board it needs.
struct Reach {
    std::size_t to = 0;
    double width_mm = 0.0;
};

class Search {
  public:
    explicit Search(const Outline& outline) : outline_(outline), places_(places(outline)) {
        if (outline.closed()) {
            turns_ = places_.size();
        } else {
            places_.push_back(outline.length_mm());
            turns_ = places_.size() - 1;
        }
        for (std::size_t from = 0; from < turns_; ++from) reach_.push_back(reach_from(from));
    }

    std::vector<EdgingSegment> best() const {
        Way best;
        for (const std::size_t start : starts()) {
            const Way way = best_from(start, best);
            if (way.better_than(best)) best = way;
        }
        std::vector<EdgingSegment> out;
        for (std::size_t i = 1; i < best.stops.size(); ++i)
            out.push_back(outline_.segment(at(best.stops[i - 1]), at(best.stops[i])));
        return out;
    }

  private:
    struct Way {
        std::vector<std::size_t> stops;
        double widest_mm = 0.0;
        bool better_than(const Way& other) const {
            if (stops.empty() || other.stops.empty()) return !stops.empty();
            if (stops.size() != other.stops.size()) return stops.size() < other.stops.size();
            return widest_mm < other.widest_mm - same_mm;
        }
    };

    double at(std::size_t place) const {
        const std::size_t n = places_.size();
        return outline_.closed() ? places_[place % n] + (place >= n ? outline_.length_mm() : 0.0) : places_[place];
    }

    std::vector<Reach> reach_from(std::size_t from) const {
        std::vector<Reach> out;
        const std::size_t last = outline_.closed() ? from + places_.size() : places_.size() - 1;
        int failed = 0;
        for (std::size_t to = from + 1; to <= last && failed < patience; ++to) {
            if (const auto width = outline_.board_mm(at(from), at(to))) {
                out.push_back({to, *width});
                failed = 0;
            } else {
                ++failed;
            }
            const std::size_t place = outline_.closed() ? to % places_.size() : to;
            if (outline_.turn_at(places_[place]) != 0.0) break;
        }
        return out;
    }

    /// A closed way has a joint at every corner, and among the places that one segment from any place reaches: the
    /// fewest are those where segments are shortest.
    std::vector<std::size_t> starts() const {
        if (!outline_.closed()) return {0};
        if (!outline_.corners().empty()) {
            for (std::size_t i = 0; i < places_.size(); ++i)
                if (outline_.turn_at(places_[i]) != 0.0) return {i};
        }
        std::vector<std::size_t> out;
        std::size_t base = 0, window = std::numeric_limits<std::size_t>::max();
        for (std::size_t i = 0; i < reach_.size(); ++i) {
            if (reach_[i].empty() || reach_[i].back().to - i >= window) continue;
            base = i;
            window = reach_[i].back().to - i;
        }
        if (window == std::numeric_limits<std::size_t>::max()) return out;
        for (std::size_t i = 0; i <= std::min(window, places_.size() - 1); ++i)
            out.push_back((base + i) % places_.size());
        return out;
    }

    Way best_from(std::size_t start, const Way& so_far) const {
        constexpr double none = std::numeric_limits<double>::infinity();
        const auto& wanted = outline_.wish().segments;
        const std::size_t stops = turns_ + 1;
        std::size_t most = wanted ? static_cast<std::size_t>(*wanted) : static_cast<std::size_t>(most_segments);
        if (!so_far.stops.empty()) most = std::min(most, so_far.stops.size() - 1);
        std::vector<std::vector<std::size_t>> before;
        std::vector<double> widest(stops, none);
        widest[0] = 0.0;
        for (std::size_t k = 1; k <= most; ++k) {
            std::vector<double> next(stops, none);
            before.emplace_back(stops, 0);
            for (std::size_t i = 0; i < turns_; ++i) {
                if (widest[i] == none) continue;
                const std::size_t from = outline_.closed() ? (start + i) % turns_ : i;
                for (const Reach& reach : reach_[from]) {
                    const std::size_t to = i + (reach.to - from);
                    if (to >= stops) break;
                    const double wide = std::max(widest[i], reach.width_mm);
                    if (wide < next[to]) {
                        next[to] = wide;
                        before.back()[to] = i;
                    }
                }
            }
            widest = next;
            if (widest.back() == none || (wanted && k != most)) continue;
            Way way;
            way.widest_mm = widest.back();
            std::size_t stop = stops - 1;
            for (std::size_t back = k; back > 0; --back) {
                way.stops.push_back(start + stop);
                stop = before[back - 1][stop];
            }
            way.stops.push_back(start);
            std::reverse(way.stops.begin(), way.stops.end());
            return way;
        }
        return {};
    }

    const Outline& outline_;
    std::vector<double> places_;
    std::size_t turns_ = 0;  ///< places from which a segment may start
    std::vector<std::vector<Reach>> reach_;
};

/// The tightest outward bend, or none.
std::optional<Segment> tightest(const Path& path) {
    std::optional<Segment> out;
    for (const Segment& s : path.segments)
        if (s.sweep_rad > 0.0 && (!out || s.radius_mm < out->radius_mm)) out = s;
    return out;
}

void say(const Outline& outline, EdgingPlan& plan) {
    const EdgingWish& wish = outline.wish();
    const auto shown = [&](double mm) { return units::show(mm, wish.style); };
    constexpr double told_run_out_rad = 15.0 / geometry::degrees_per_radian;
    double run_out = 0.0;
    for (const EdgingSegment& s : plan.segments) run_out = std::max(run_out, s.run_out_rad);
    if (run_out > told_run_out_rad) {
        plan.mind.push_back(fmt::format(
            "Fibres run out of the edge at up to {:.1f}°: the ends of the segments are short grain and split "
            "off under the cutter. Saw close, rout in light passes from the middle of each segment to its "
            "ends, and back up the last end.",
            run_out * geometry::degrees_per_radian));
    }
    for (const Corner& corner : outline.corners()) {
        const double clear = outline.to_seam(corner.at_mm);
        if (clear < wish.clear_mm)
            plan.mind.push_back(fmt::format("The mitre at a corner lies {} from a seam.", shown(clear)));
    }
    plan.mind.emplace_back(
        "The joints between segments are partly end grain: put a loose tongue or spline in each, and fit all of them "
        "dry "
        "before the first is glued.");
    plan.mind.emplace_back(
        "Around solid wood, edging that runs across its fibres does not let it move: a glued ring splits or is pushed "
        "open as the seasons change. Glue it all round only to a core that does not move.");
}

}  // namespace

double chord_mm(double radius_mm, double angle_rad) {
    check_arc(radius_mm, angle_rad);
    return 2.0 * radius_mm * std::sin(0.5 * angle_rad);
}

double sagitta_mm(double radius_mm, double angle_rad) {
    check_arc(radius_mm, angle_rad);
    return radius_mm * (1.0 - std::cos(0.5 * angle_rad));
}

double ring_board_width_mm(double outer_radius_mm, double edging_width_mm, double angle_rad) {
    if (!(edging_width_mm > 0.0) || !(edging_width_mm < outer_radius_mm) || !(angle_rad < geometry::pi))
        throw std::invalid_argument(
            "ring_board_width_mm: the edging is narrower than the radius, and less than half a "
            "ring is sawn from one board");
    return edging_width_mm + sagitta_mm(outer_radius_mm - edging_width_mm, angle_rad);
}

std::optional<int> ring_segments(double outer_radius_mm, double edging_width_mm, double board_width_mm,
                                 double margin_mm) {
    constexpr int fewest = 3;
    if (!(edging_width_mm > 0.0) || !(edging_width_mm < outer_radius_mm) || !(margin_mm >= 0.0))
        throw std::invalid_argument("ring_segments: the edging is narrower than the radius, margins are 0 or more");
    const double rise = board_width_mm - edging_width_mm - 2.0 * margin_mm;
    if (!(rise > 0.0)) return std::nullopt;
    const double inner = outer_radius_mm - edging_width_mm;
    if (rise >= inner) return fewest;
    const double half_rad = std::acos(1.0 - rise / inner);
    const double n = std::ceil(geometry::pi / half_rad - 1e-9);
    if (n > most_segments) return std::nullopt;
    return std::max(fewest, static_cast<int>(n));
}

EdgingPlan plan_edging(const Path& path, const EdgingWish& wish) {
    check(path, wish);
    const auto shown = [&](double mm) { return units::show(mm, wish.style); };
    EdgingPlan out;
    const auto bend = tightest(path);
    if (bend && bend->radius_mm <= wish.width_mm + same_mm) {
        out.must.push_back(
            fmt::format("The outline bends as tightly as {}, and the edging is {} wide: its inside would "
                        "cross itself. Make the edging narrower than that, or the bend wider.",
                        shown(bend->radius_mm), shown(wish.width_mm)));
        return out;
    }
    const Outline outline(path, wish);
    if (const auto radius = radius_of_circle(path)) {
        out.segments = even_segments(outline, *radius);
        out.even = !out.segments.empty();
    }
    if (!out.even) out.segments = Search(outline).best();
    if (out.segments.empty()) {
        out.must.push_back(fmt::format(
            "There is no way to saw this edging{} from boards {} wide{}: {} wide itself, with {} of margin to either "
            "side, at most {:.0f}° of run-out and joints {} from every seam. Take wider boards, a narrower edging, "
            "or let joints come nearer to seams.",
            wish.segments ? fmt::format(" in {} segments", *wish.segments) : "", shown(wish.board_width_mm),
            wish.board_length_mm ? fmt::format(" and {} long", shown(*wish.board_length_mm)) : "", shown(wish.width_mm),
            shown(wish.margin_mm), wish.run_out_rad * geometry::degrees_per_radian, shown(wish.clear_mm)));
        return out;
    }
    double area = 0.0, boards = 0.0, nearest = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < out.segments.size(); ++i) {
        const EdgingSegment& s = out.segments[i];
        area += s.area_mm2;
        boards += s.board_width_mm * s.board_length_mm;
        out.board_length_mm += s.board_length_mm;
        out.widest_mm = std::max(out.widest_mm, s.board_width_mm);
        if (i > 0 || path.closed) nearest = std::min(nearest, outline.to_seam(s.from_mm));
    }
    out.yield = area / boards;
    out.nearest_seam_mm = std::isfinite(nearest) ? nearest : 0.0;
    say(outline, out);
    return out;
}

}  // namespace seamwright::process
