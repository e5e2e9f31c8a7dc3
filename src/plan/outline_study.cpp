#include "plan/outline_study.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <utility>

#include "choice.h"
#include "corner.h"
#include "fibres_of_piece.h"
#include "geometry/path_index.h"
#include "outline.h"
#include "outline_templates.h"
#include "places.h"
#include "templates.h"
#include "wood/strength.h"

namespace seamwright::plan {
namespace {

using geometry::PathIndex;
using Kind = OutlineCut::Kind;

constexpr std::array<const char*, 4> side_names{"front", "right end", "back", "left end"};
constexpr std::array<const char*, 4> corner_names{"front left corner", "front right corner", "back right corner",
                                                  "back left corner"};
/// A free outline is cut side by side where it turns outward by more; less, a template rounds by some hundredths of a
/// millimetre at most (our choice).
constexpr double corner_from_rad = 3.0 * (geometry::pi / 180.0);
/// Pairs that are carried out for a line before the best of them is taken.
constexpr std::size_t most_tried = 8;

bool is_straight(const Path& line) {
    return line.segments.size() == 1 && line.segments.front().is_line();
}

/// The radius when all of it is one arc, + turning left; 0 when it is not.
double one_radius(const Path& line) {
    const geometry::Segment& first = line.segments.front();
    if (first.is_line()) return 0.0;
    constexpr double same_mm = 1e-6;
    for (const geometry::Segment& s : line.segments) {
        if (s.is_line() || geometry::distance(s.centre, first.centre) > same_mm ||
            std::abs(s.radius_mm - first.radius_mm) > same_mm || (s.sweep_rad > 0.0) != (first.sweep_rad > 0.0))
            return 0.0;
    }
    return first.sweep_rad > 0.0 ? first.radius_mm : -first.radius_mm;
}

/// Along a closed path, round past its start where `to` comes before `from`.
Path stretch(const Path& closed, Point from, Point to) {
    const PathIndex index(closed);
    const auto running = geometry::running_length_mm(closed);
    return geometry::part(closed, running, geometry::length_to(running, index.nearest(from).at),
                          geometry::length_to(running, index.nearest(to).at));
}

class Study {
  public:
    Study(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, const BoardsStudy* boards)
        : plan_(plan), job_(job), shelf_(shelf) {
        for (std::size_t p = 0; p < plan.pieces.size(); ++p) fibres_.emplace_back(plan, p, shelf, boards);
    }

    OutlineStudy study() {
        if (plan_.outline.empty()) return {};
        out_.length_mm = plan_.box.width_mm();
        out_.width_mm = plan_.box.height_mm();
        out_.reveal_mm = job_.limits.reveal_mm;
        out_.kerf_mm = job_.cutting.kerf_mm;
        out_.run_out_mm = job_.sheet.run_out_mm;
        lay_out();
        for (Line& line : lines_) line.cut.end_grain_mm = end_grain_of(line.cut.line);
        put_in_order();
        choose_tools();
        for (Line& line : lines_) finish(line);
        make_templates();
        for (Line& line : lines_) out_.cuts.push_back(std::move(line.cut));
        add_trammel();
        sum_up();
        return std::move(out_);
    }

  private:
    struct Line {
        OutlineCut cut;
        Path guided;                    ///< what is simulated: a corner has a leg along both its sides
        double run_out_mm = 0.0;        ///< beyond that
        std::size_t place = 0;          ///< round the outline, counter-clockwise
        std::optional<std::size_t> as;  ///< made with the template of that place
        std::optional<OutlineCorner> corner = std::nullopt;
    };

    void lay_out() {
        if (const auto sides = outline_sides(job_)) {
            lay_rectangle(*sides);
        } else if (std::holds_alternative<job::FreeOutline>(job_.outline)) {
            lay_free();
        } else {
            lay_halves();
        }
    }

    void add_line(Kind kind, std::string name, Path line, std::string from, std::string to) {
        Line out;
        out.cut.kind = kind;
        out.cut.name = std::move(name);
        out.cut.length_mm = geometry::length_mm(line);
        out.cut.radius_mm = one_radius(line);
        out.cut.starts_at = std::move(from);
        out.cut.ends_at = std::move(to);
        out.guided = line;
        out.cut.line = std::move(line);
        out.run_out_mm = job_.sheet.run_out_mm;
        out.place = lines_.size();
        lines_.push_back(std::move(out));
    }

    void lay_rectangle(const std::array<Path, 4>& sides) {
        const auto& rectangle = std::get<job::RectangleOutline>(job_.outline);
        out_.diagonal_mm = std::hypot(rectangle.length_mm, rectangle.width_mm);
        out_.length_mm = rectangle.length_mm;
        out_.width_mm = rectangle.width_mm;
        for (std::size_t i = 0; i < 4; ++i) {
            add_line(is_straight(sides[i]) ? Kind::straight : Kind::side, side_names[i], sides[i], corner_names[i],
                     corner_names[(i + 1) % 4]);
            check_side(lines_.back().cut);
        }
        std::array<std::optional<Rounding>, 4> roundings;
        std::array<double, 4> from_mm{}, to_mm{};
        for (std::size_t i = 0; i < 4; ++i) to_mm[i] = geometry::length_mm(sides[i]);
        for (std::size_t i = 0; i < 4; ++i) {
            const double r = rectangle.corner_radius_mm[i];
            if (r > 0.0) roundings[i] = round_corner(sides[(i + 3) % 4], sides[i], r);
            if (!roundings[i]) continue;
            to_mm[(i + 3) % 4] = roundings[i]->before_mm;
            from_mm[i] = roundings[i]->after_mm;
        }
        std::optional<std::size_t> square;  // a corner between straight sides at a right angle, by its place
        for (std::size_t i = 0; i < 4; ++i) {
            if (!roundings[i]) continue;
            const std::size_t before = (i + 3) % 4;
            OutlineCorner corner;
            corner.before = sides[before];
            corner.after = sides[i];
            corner.rounding = *roundings[i];
            corner.radius_mm = rectangle.corner_radius_mm[i];
            // Neither past the middle of what is straight on between two roundings.
            corner.leg_before_mm = std::min(job_.sheet.run_out_mm, 0.5 * (to_mm[before] - from_mm[before]));
            corner.leg_after_mm = std::min(job_.sheet.run_out_mm, 0.5 * (to_mm[i] - from_mm[i]));
            Path arc;
            arc.segments.push_back(corner.rounding.arc);
            add_line(Kind::corner, corner_names[i], arc, {}, {});
            Line& line = lines_.back();
            line.guided = corner.finished();
            line.run_out_mm = 0.0;
            line.corner = corner;
            if (!is_straight(corner.before) || !is_straight(corner.after)) continue;
            if (square && lines_[*square].corner->radius_mm == corner.radius_mm &&
                lines_[*square].corner->leg_before_mm == corner.leg_before_mm &&
                lines_[*square].corner->leg_after_mm == corner.leg_after_mm) {
                line.as = square;
            } else {
                square = line.place;
            }
        }
    }

    /// What to measure along a side, from the straight line between its ends.
    static void check_side(OutlineCut& cut) {
        const Point from = cut.line.start(), to = cut.line.end();
        cut.chord_mm = geometry::distance(from, to);
        if (cut.kind == Kind::straight) return;
        const Point along = (to - from) / cut.chord_mm, out = geometry::right_of(along);
        const double far_mm = geometry::length_mm(cut.line);
        const PathIndex line(cut.line);
        for (const double part : {0.25, 0.5, 0.75}) {
            const Point foot = from + part * cut.chord_mm * along;
            const Point ends[] = {foot - far_mm * out, foot + far_mm * out};
            const Path across = geometry::polyline(ends);
            const auto meets = geometry::crossings(PathIndex(across), line);
            if (meets.size() == 1) cut.checks.push_back({part, geometry::dot(meets.front().point - foot, out)});
        }
    }

    /// Half a round or an oval, from where it is flattest: two settings of a template blend best there.
    void lay_halves() {
        const geometry::Box& box = plan_.box;
        const Point middle = geometry::midpoint(box.low, box.high);
        const bool long_in_x = box.width_mm() >= box.height_mm();
        const Point first = long_in_x ? Point{middle.x, box.low.y} : Point{box.high.x, middle.y};
        const Point second = long_in_x ? Point{middle.x, box.high.y} : Point{box.low.x, middle.y};
        add_line(Kind::half, long_in_x ? "right half" : "back half", stretch(plan_.outline, first, second), {}, {});
        add_line(Kind::half, long_in_x ? "left half" : "front half", stretch(plan_.outline, second, first), {}, {});
        lines_.back().as = 0;
        const double a = 0.5 * std::max(box.width_mm(), box.height_mm());
        const double b = 0.5 * std::min(box.width_mm(), box.height_mm());
        if (std::holds_alternative<job::OvalOutline>(job_.outline) && a > b) out_.focus_mm = std::sqrt(a * a - b * b);
    }

    void lay_free() {
        const Path& outline = plan_.outline;
        const std::size_t count = outline.segments.size();
        std::vector<std::size_t> starts;  // segments that begin at a corner
        for (std::size_t i = 0; i < count; ++i) {
            const geometry::Segment& before = outline.segments[(i + count - 1) % count];
            if (geometry::wrap_pi(geometry::heading_at(outline.segments[i], 0.0) - geometry::heading_at(before, 1.0)) >
                corner_from_rad)
                starts.push_back(i);
        }
        if (starts.empty()) {
            add_line(Kind::whole, "outline", outline, {}, {});
            lines_.back().run_out_mm = 0.0;
            return;
        }
        if (starts.size() == 1) {
            const auto second = bulging_opposite(starts.front());
            if (!second) {
                add_line(Kind::whole, "outline", outline, {}, {});
                lines_.back().run_out_mm = 0.0;
                return;
            }
            starts.push_back(*second);
            std::sort(starts.begin(), starts.end());
        }
        for (std::size_t k = 0; k < starts.size(); ++k) {
            const std::size_t from = starts[k], to = starts[(k + 1) % starts.size()];
            Path side;
            for (std::size_t i = from; side.empty() || i != to; i = (i + 1) % count)
                side.segments.push_back(outline.segments[i]);
            const auto corner = [&](std::size_t i) {
                return "corner " + place_words(outline.segments[i].start, job_.style);
            };
            const Kind kind = is_straight(side) ? Kind::straight : Kind::side;
            add_line(kind, fmt::format("side {}", k + 1), std::move(side), corner(from), corner(to));
            check_side(lines_.back().cut);
        }
    }

    /// A joint of the outline about half way round from a corner where it does not turn inward: there a template can
    /// run straight on.
    std::optional<std::size_t> bulging_opposite(std::size_t corner) const {
        const Path& outline = plan_.outline;
        const std::size_t count = outline.segments.size();
        const auto running = geometry::running_length_mm(outline);
        const double whole = running.back();
        std::optional<std::size_t> best;
        double best_off = HUGE_VAL;
        for (std::size_t i = 0; i < count; ++i) {
            const geometry::Segment& before = outline.segments[(i + count - 1) % count];
            if (i == corner || geometry::curvature(before) < 0.0 || geometry::curvature(outline.segments[i]) < 0.0)
                continue;
            const double round = std::fmod(running[i] - running[corner] + whole, whole);
            if (std::abs(round - 0.5 * whole) < best_off) {
                best_off = std::abs(round - 0.5 * whole);
                best = i;
            }
        }
        return best;
    }

    std::optional<std::size_t> piece_at(Point inside) const {
        for (std::size_t p = 0; p < plan_.pieces.size(); ++p)
            if (geometry::contains(plan_.pieces[p].region, inside)) return p;
        return std::nullopt;
    }

    /// Fibres a hair inside a place of the outline.
    double fibres_at(Point on_line, const PathIndex& line) const {
        constexpr double inside_mm = 0.5;
        const auto place = line.nearest(on_line).at;
        const Point inside = on_line + inside_mm * geometry::left_of(geometry::tangent_at(line.path(), place));
        const auto piece = piece_at(inside);
        return fibres_[piece.value_or(0)].at(inside);
    }

    double end_grain_of(const Path& line) const {
        if (fibres_.empty()) return 0.0;
        constexpr double step_mm = 10.0;
        const PathIndex index(line);
        const auto running = geometry::running_length_mm(line);
        const double steps = std::max(1.0, std::ceil(running.back() / step_mm));
        double sum = 0.0;
        for (double k = 0.0; k < steps; k += 1.0) {
            const auto station = geometry::station_at(line, running, running.back() * (k + 0.5) / steps);
            const double askew = std::abs(std::remainder(geometry::heading(geometry::tangent_at(line, station)) -
                                                             fibres_at(geometry::point_at(line, station), index),
                                                         geometry::pi));
            if (askew > wood::end_grain_from_rad) sum += running.back() / steps;
        }
        return sum;
    }

    void put_in_order() {
        const auto share = [](const Line& line) {
            // Twentieths: sides that differ by less are alike.
            return std::lround(20.0 * line.cut.end_grain_mm / line.cut.length_mm);
        };
        std::stable_sort(lines_.begin(), lines_.end(), [&](const Line& a, const Line& b) {
            const bool a_corner = a.cut.kind == Kind::corner, b_corner = b.cut.kind == Kind::corner;
            if (a_corner != b_corner) return b_corner;
            if (a_corner || a.cut.kind == Kind::half) return false;
            return share(a) > share(b);
        });
    }

    struct Candidate {
        seam::Pair pair;
        bool doubts = false;  ///< something about the tools is told
        bool set_up = false;  ///< the seams are cut with it
    };

    std::vector<Candidate> candidates() const {
        std::vector<seam::Pair> of_seams;
        for (const SeamPlan& seam : plan_.seams) {
            if (seam.chosen >= seam.chains.size()) continue;
            for (const seam::Step& step : seam.chains[seam.chosen].steps)
                if (step.pair && (step.kind == seam::Step::Kind::cut_left || step.kind == seam::Step::Kind::cut_right))
                    of_seams.push_back(*step.pair);
        }
        std::vector<Candidate> out;
        for (const seam::Pair& pair : seam::pairs(shelf_).usable) {
            const auto problems = seam::tool_problems(seam::chain_of_one_edge(pair), shelf_, depths_of(job_));
            if (std::any_of(problems.begin(), problems.end(), [](const auto& p) { return p.stops_the_work; })) continue;
            out.push_back(
                {pair, !problems.empty(), std::find(of_seams.begin(), of_seams.end(), pair) != of_seams.end()});
        }
        // A stouter cutter leaves a truer edge; of guides the smallest offset follows most.
        std::stable_sort(out.begin(), out.end(), [](const Candidate& a, const Candidate& b) {
            if (a.doubts != b.doubts) return b.doubts;
            if (a.set_up != b.set_up) return a.set_up;
            if (a.pair.b_mm != b.pair.b_mm) return a.pair.b_mm > b.pair.b_mm;
            return a.pair.B_mm < b.pair.B_mm;
        });
        return out;
    }

    seam::OneEdge carried_out(const Line& line, const seam::Pair& pair) const {
        try {
            const seam::CutConditions conditions{depths_of(job_), line.run_out_mm};
            if (line.cut.kind == Kind::half && line.as)
                return turned_end_for_end(seam::simulate_one_edge(lines_.front().guided, pair, shelf_, conditions),
                                          line.guided);
            return seam::simulate_one_edge(line.guided, pair, shelf_, conditions);
        } catch (const std::runtime_error&) {
            return {};  // beyond the arithmetic: as good as not reached
        }
    }

    /// What the template of the first half leaves along the second.
    seam::OneEdge turned_end_for_end(seam::OneEdge made, const Path& line) const {
        if (!made.carried_out) return made;
        const Point middle = geometry::midpoint(plan_.box.low, plan_.box.high);
        for (Path* path : {&made.template_edge, &made.centre, &made.edge})
            *path = geometry::turned(*path, middle, geometry::pi);
        constexpr double certified_mm = 1e-4;
        const PathIndex cut(made.edge), wanted(line);
        const auto missed = geometry::largest_distance(line, cut, certified_mm);
        const auto strays = geometry::largest_distance(made.edge, wanted, certified_mm);
        const auto& larger = missed.value_mm >= strays.value_mm ? missed : strays;
        made.off_mm = larger.value_mm;
        made.off_at = larger.at;
        return made;
    }

    static bool on_line(const seam::OneEdge& made) {
        return made.carried_out && made.off_mm + made.certified_to_mm <= reached_mm;
    }

    static double margin(const Line& line, const seam::Pair& pair) {
        return seam::least_margin_mm(seam::chain_of_one_edge(pair), seam::tightest_turns(line.guided));
    }

    void take(Line& line, const seam::Pair& pair, seam::OneEdge made) const {
        const bool guide = pair.rides == seam::Pair::Rides::guide;
        line.cut.tools = OutlineTools{pair, guide ? shelf_.guides[pair.rider].name : shelf_.bearings[pair.rider].name,
                                      shelf_.cutters[pair.cutter].name};
        line.cut.reached = on_line(made);
        line.cut.made = std::move(made);
    }

    void choose_tools() {
        const auto list = candidates();
        // Where a bulge uses up the offset exactly the template has a sharp corner, and is right.
        constexpr double hair_mm = 1e-9;
        const auto follows = [&](const Line& line, const seam::Pair& pair) { return margin(line, pair) >= -hair_mm; };
        std::size_t tried = 0;
        for (const Candidate& c : list) {
            if (!std::all_of(lines_.begin(), lines_.end(), [&](const Line& l) { return follows(l, c.pair); })) continue;
            if (tried++ == most_tried) break;
            std::vector<seam::OneEdge> made;
            for (const Line& line : lines_) {
                made.push_back(carried_out(line, c.pair));
                if (!on_line(made.back())) break;
            }
            if (made.size() < lines_.size() || !on_line(made.back())) continue;
            for (std::size_t i = 0; i < lines_.size(); ++i) take(lines_[i], c.pair, std::move(made[i]));
            return;
        }
        for (Line& line : lines_) {
            // All that follow it by arithmetic first; without any, what the best of the others leaves is told.
            std::vector<Candidate> order = list;
            std::stable_partition(order.begin(), order.end(),
                                  [&](const Candidate& c) { return follows(line, c.pair); });
            std::size_t count = 0;
            for (const Candidate& c : order) {
                if (count++ == most_tried || line.cut.reached) break;
                seam::OneEdge made = carried_out(line, c.pair);
                const bool better = !line.cut.tools || (made.carried_out && !line.cut.made.carried_out) ||
                                    (made.carried_out && made.off_mm < line.cut.made.off_mm);
                if (better) take(line, c.pair, std::move(made));
            }
        }
    }

    /// Least distance of the cutter's middle from the finished wood beyond the ends of the line, less its radius.
    double clear_of(const Line& line) const {
        const Path& way = line.cut.made.centre;
        if (way.empty() || way.closed || line.run_out_mm == 0.0) return 0.0;
        const double radius_mm = 0.5 * line.cut.tools->pair.b_mm;
        const PathIndex wood(plan_.outline), index(way);
        const auto running = geometry::running_length_mm(way);
        const double from = geometry::length_to(running, index.nearest(line.guided.start()).at);
        const double to = geometry::length_to(running, index.nearest(line.guided.end()).at);
        const auto clear_at = [&](double at_mm) {
            const Point p = geometry::point_at(way, geometry::station_at(way, running, at_mm));
            const auto nearest = wood.nearest(p);
            return (wood.contains(p, nearest) ? -nearest.distance_mm : nearest.distance_mm) - radius_mm;
        };
        double least = 0.0;  // abreast of the line it is the cut itself
        // A distance changes no faster than the place: halves that cannot be less by a hundredth are passed over.
        std::vector<std::pair<double, double>> open{{0.0, from}, {to, running.back()}};
        while (!open.empty()) {
            const auto [low, high] = open.back();
            open.pop_back();
            const double half = 0.5 * (high - low);
            const double here = clear_at(low + half);
            least = std::min(least, here);
            if (here - half >= least - reached_mm) continue;
            open.emplace_back(low, low + half);
            open.emplace_back(low + half, high);
        }
        return least;
    }

    void finish(Line& line) {
        OutlineCut& cut = line.cut;
        feed(cut);
        if (!cut.tools) {
            cut.findings.push_back({"No guide and cutter on the shelf get through this wood along a template.",
                                    "Saw outside the line and plane, or scrape and sand, to it; or buy a cutter with "
                                    "longer flutes."});
            return;
        }
        cut.clear_mm = clear_of(line);
        const shelf::Cutter& cutter = shelf_.cutters[cut.tools->pair.cutter];
        cut.passes = passes(cutter, job_.sheet.thickness_mm, geometry::length_mm(line.guided) + 2.0 * line.run_out_mm);
        cut.speed = process::speed_for(cut.tools->pair.b_mm, cutter.max_speed_rpm.value_or(0.0));
        for (const seam::ReachProblem& p : cut.made.problems)
            if (!p.at) cut.findings.push_back({p.says, {}});
        if (!cut.reached) unreached(line);
        if (cut.clear_mm < -reached_mm)
            cut.findings.push_back(
                {fmt::format("Beyond its end the cutter would cut {} into the finished top.", show(-cut.clear_mm)),
                 "Stop there, lift the router off, and finish the last of it by hand."});
    }

    /// What is wrong with a line that no pair on the shelf makes, and which would.
    void unreached(Line& line) const {
        OutlineCut& told = line.cut;
        const seam::TightestTurns turns = seam::tightest_turns(line.guided);
        const seam::Pair& pair = told.tools->pair;
        const bool bulge = turns.left_mm < pair.offset_mm();
        const bool hollow = turns.right_mm < 0.5 * pair.b_mm;
        if (bulge && turns.left_mm > 0.0)
            told.findings.push_back(
                {fmt::format("It bulges to a radius of {}, less than the offset of {}: the template has no edge there, "
                             "and the wood comes out rounder.",
                             show(turns.left_mm), show(pair.offset_mm())),
                 fmt::format("Take a bearing as large as its cutter, or with the {} a guide of {} at most.",
                             told.tools->cutter, show(pair.b_mm + 2.0 * turns.left_mm))});
        if (hollow && turns.right_mm > 0.0)
            told.findings.push_back(
                {fmt::format("It is hollow to a radius of {}: the cutter, {} across, does not reach into it.",
                             show(turns.right_mm), show(pair.b_mm)),
                 fmt::format("Take a cutter of {} at most, or finish that hollow by hand.",
                             show(2.0 * turns.right_mm))});
        if (turns.left_mm == 0.0)
            told.findings.push_back({"It has an outward corner in it that a template rounds.",
                                     "Leave it full there and plane it to the line by hand."});
        if (turns.right_mm == 0.0)
            told.findings.push_back({"It has an inward corner in it, which no cutter reaches.",
                                     "Rout up to it and clear the corner with a chisel."});
        if (told.findings.empty() || (!bulge && !hollow))
            told.findings.push_back({"Two places of the line come too near each other for the guide.",
                                     "Take a smaller guide, or finish that place by hand."});
    }

    std::optional<process::PassPlan> passes(const shelf::Cutter& cutter, double template_mm, double length_mm) const {
        const job::Limits& l = job_.limits;
        try {
            return process::plan_passes(job_.thickness_mm, template_mm, cutter.cutting_length_mm, length_mm,
                                        l.feed_mm_per_min,
                                        {l.first_pass_mm, l.pass_mm, l.last_pass_mm, l.below_wood_mm});
        } catch (const std::invalid_argument&) {
            return std::nullopt;  // the seams say so already
        }
    }

    void feed(OutlineCut& cut) {
        if (fibres_.empty()) return;
        process::EdgeCut edge;
        edge.edge = cut.line;
        const PathIndex index(cut.line);
        edge.fibres = [this, &index](Point p) { return fibres_at(p, index); };
        process::SideCut side;
        const double b = cut.tools ? cut.tools->pair.b_mm : 2.0 * side.cutter_radius_mm;
        side.cutter_radius_mm = 0.5 * b;
        side.side_cut_mm = std::min(job_.limits.reveal_mm, b);
        cut.feed = process::plan_feed(edge, side);
        if (cut.line.closed || cut.kind == Kind::corner || cut.kind == Kind::half) return;
        for (const process::ExitCorner& corner : cut.feed.exits) {
            if (!corner.at_end) continue;
            const bool at_start = corner.at_mm < 0.5 * cut.length_mm;
            const std::string& at = at_start ? cut.starts_at : cut.ends_at;
            // The side that meets it there, if it is still to be cut.
            bool passed = false;
            OutlineCut::Exit exit{at, {}};
            for (const Line& other : lines_) {
                if (&other.cut == &cut) {
                    passed = true;
                } else if (passed && (at_start ? other.cut.ends_at : other.cut.starts_at) == at) {
                    exit.taken_by = other.cut.name;
                }
            }
            cut.exits.push_back(std::move(exit));
        }
    }

    void make_templates() {
        const OutlineTemplates maker(plan_, job_);
        // Templates stand in the order of the cuts; one that does several cuts where the first of them is.
        std::vector<std::optional<std::size_t>> of_place(lines_.size());
        for (Line& line : lines_) {
            if (line.cut.kind == Kind::straight) continue;
            std::size_t leader = line.as.value_or(line.place);
            if (!of_place[leader]) {
                of_place[leader] = out_.templates.size();
                out_.templates.push_back(template_of(maker, leader));
            }
            line.cut.template_index = of_place[leader];
        }
    }

    OutlineTemplate template_of(const OutlineTemplates& maker, std::size_t place) {
        Line* line = nullptr;
        std::vector<std::string> uses;
        for (Line& l : lines_) {
            if (l.place == place) line = &l;
            if (l.place == place || l.as == place) uses.push_back(l.cut.name);
        }
        if (line->cut.kind == Kind::corner) return maker.corner(line->cut, *line->corner, uses);
        if (line->cut.kind == Kind::half) return maker.half(line->cut, out_.focus_mm);
        std::vector<Path> beside;
        for (const Line& l : lines_)
            if (l.place != place && l.cut.kind != Kind::corner) beside.push_back(l.cut.line);
        return maker.side(line->cut, std::move(beside));
    }

    void add_trammel() {
        const double radius = one_radius(plan_.outline);
        if (radius <= 0.0) return;
        // Without a template under it: the stoutest cutter that gets through.
        const shelf::Cutter* best = nullptr;
        const double depth = job_.thickness_mm + job_.limits.below_wood_mm;
        for (const shelf::Cutter& c : shelf_.cutters) {
            if (c.cutting_length_mm < depth || c.reach_or_default_mm() < depth) continue;
            if (best == nullptr || c.cutting.real_mm() > best->cutting.real_mm()) best = &c;
        }
        if (best == nullptr) return;
        Trammel out;
        out.pivot = plan_.outline.segments.front().centre;
        out.radius_mm = radius;
        out.cutter = best->name;
        out.cutter_mm = best->cutting.real_mm();
        out.passes = passes(*best, 0.0, geometry::two_pi * radius);
        out.speed = process::speed_for(out.cutter_mm, best->max_speed_rpm.value_or(0.0));
        out_.trammel = std::move(out);
    }

    void sum_up() {
        out_.reached = !out_.cuts.empty();
        for (const OutlineCut& cut : out_.cuts) {
            out_.reached = out_.reached && cut.reached;
            if (!cut.made.carried_out) continue;
            out_.certified_to_mm = std::max(out_.certified_to_mm, cut.made.certified_to_mm);
            if (cut.made.off_mm < out_.largest_off_mm) continue;
            out_.largest_off_mm = cut.made.off_mm;
            out_.largest_off_cut = cut.name;
        }
    }

    std::string show(double mm) const { return units::show(mm, job_.style); }

    const Plan& plan_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
    std::vector<FibresOfPiece> fibres_;
    std::vector<Line> lines_;
    OutlineStudy out_;
};

}  // namespace

OutlineStudy study_outline(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                           const BoardsStudy* boards) {
    return Study(plan, job, shelf, boards).study();
}

double radius_of_arc(double chord_mm, double rise_mm) {
    return chord_mm * chord_mm / (8.0 * rise_mm) + 0.5 * rise_mm;
}

double rise_at(double chord_mm, double rise_mm, double part) {
    const double r = radius_of_arc(chord_mm, rise_mm), x = chord_mm * (0.5 - part);
    return std::sqrt(r * r - x * x) - (r - rise_mm);
}

double lean_of(double difference_mm, double length_mm, double width_mm) {
    return difference_mm * std::hypot(length_mm, width_mm) / (2.0 * length_mm);
}

}  // namespace seamwright::plan
