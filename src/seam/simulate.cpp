// The chain carried out on the drawn seam. The guide is a disc that rolls along the edge of a template; the cutter, a
// smaller disc about the same centre, sweeps a groove. With the template's edge T, its rider on side s:
//
//   centre path   parallel(T, s, B/2)
//   near edge     what the cutter leaves of the sheet under the template: every touched place of T shifted by
//                 o = (B − b)/2, and an arc of b/2 where the guide rests on two places at once (edge_behind)
//   far edge      the groove's other side: all that is b/2 from the centre path on the far side. Discs add up, so it is
//                 the trimmed parallel(T, s, B/2 + b/2): one step instead of two
//
// Every edge is made from the one it was copied from, with all the faults that one has.

#include "seam/simulate.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <span>
#include <stdexcept>
#include <utility>

#include "gap.h"
#include "geometry/path_index.h"
#include "seam/one_edge.h"

namespace seamwright::seam {
namespace {

using geometry::Parallel;
using geometry::Side;
using geometry::Station;
using geometry::TracedPath;
using geometry::Unreached;
using Kind = ReachProblem::Kind;

// What the guide misses by less than this cannot be felt, let alone seen: it is the 1 µm a gap may be.
constexpr double noticed_mm = 0.001;

std::optional<Path> one_edge(const std::vector<TracedPath>& paths) {
    if (paths.empty()) return std::nullopt;
    return geometry::main_path(paths);
}

class Workbench {
  public:
    /// `master`: as it was made, with run-out; null: as the chain means it.
    Workbench(const Path& drawn, const Chain& chain, const CutConditions& conditions, const Path* master = nullptr)
        : drawn_(drawn),
          master_(master),
          base_(drawn.closed ? drawn : geometry::extended(drawn, conditions.run_out_mm, conditions.run_out_mm)),
          chain_(chain),
          drawn_index_(drawn_),
          drawn_mm_(geometry::running_length_mm(drawn_)) {}

    void carry_out(Simulation& sim) {
        std::optional<Path> left, right;
        for (std::size_t i = 0; i < chain_.steps.size(); ++i) {
            const Step& step = chain_.steps[i];
            std::optional<Path> edge = step.pair ? routed(sim, i) : by_hand(sim, i);
            if (!edge) return;
            const bool on_left = step.template_on_left != step.keeps_far;
            if (step.kind == Step::Kind::cut_left) {
                left = std::move(edge);
            } else if (step.kind == Step::Kind::cut_right) {
                right = std::move(edge);
            } else {
                sim.templates.push_back({std::move(*edge), on_left, step.edge_at_mm});
            }
        }
        if (!left || !right) return;
        keep_edges(sim, drawn_, *left, *right);
        if (master_ == nullptr) measure_gap(sim, drawn_, chain_.master_on_left, *left, *right);
    }

    /// The one cut of a chain of one edge, with its run-outs.
    std::optional<Path> carry_out_one(Simulation& sim) {
        std::optional<Path> edge = by_hand(sim, 0);
        if (!edge) return std::nullopt;
        sim.templates.push_back({std::move(*edge), true, chain_.steps[0].edge_at_mm});
        return routed(sim, 1);
    }

  private:
    std::optional<Path> by_hand(Simulation& sim, std::size_t i) {
        if (master_ != nullptr && chain_.steps[i].kind == Step::Kind::make_master) return *master_;
        const double n_mm = chain_.steps[i].edge_at_mm;
        const Side side = n_mm > 0.0 ? Side::right : Side::left;
        const Parallel edge = geometry::parallel(base_, side, std::abs(n_mm));
        for (const Unreached& u : geometry::unreached(base_, edge)) {
            report(sim, i, Kind::template_edge_gone, base_, side, std::abs(n_mm), u,
                   "The seam turns tighter here than the template stands off it: the edge of the template cannot "
                   "follow, and the seam comes out rounder than drawn.");
        }
        return finish(sim, i, one_edge(edge.paths));
    }

    std::optional<Path> routed(Simulation& sim, std::size_t i) {
        const Step& step = chain_.steps[i];
        const Pair& pair = *step.pair;
        const TemplateEdge& source = sim.templates.at(static_cast<std::size_t>(step.from_template));
        const Side side = source.body_on_left ? Side::right : Side::left;
        const Parallel centre = geometry::parallel(source.edge, side, 0.5 * pair.B_mm);
        const auto missed = geometry::unreached(source.edge, centre);
        for (const Unreached& u : missed) {
            report(sim, i, Kind::guide_in_hollow, source.edge, side, 0.5 * pair.B_mm, u,
                   pair.rides == Pair::Rides::guide
                       ? "The guide is too large for this hollow of the template: it does not reach the bottom."
                       : "The bearing is too large for this hollow of the template: it does not reach the bottom.");
        }
        if (step.keeps_far) return far_edge(sim, i, source.edge, side, missed);
        if (pair.offset_mm() >= 0.0) return finish(sim, i, one_edge(geometry::edge_behind(centre, pair.offset_mm())));
        // A bearing worn below its cutter: the cutter reaches past the template's edge.
        const auto path = one_edge(centre.paths);
        if (!path) return finish(sim, i, std::nullopt);
        return finish(sim, i, one_edge(geometry::parallel(*path, geometry::other(side), 0.5 * pair.b_mm).paths));
    }

    std::optional<Path> far_edge(Simulation& sim, std::size_t i, const Path& source, Side side,
                                 const std::vector<Unreached>& missed_by_guide) {
        const double far_mm = chain_.steps[i].pair->far_mm();
        const Parallel edge = geometry::parallel(source, side, far_mm);
        const auto running_mm = geometry::running_length_mm(source);
        const auto place = [&](const Station& s) { return geometry::length_to(running_mm, s); };
        for (const Unreached& u : geometry::unreached(source, edge)) {
            // The guide's own trouble is told already; the far edge only widens it.
            const bool told = std::any_of(missed_by_guide.begin(), missed_by_guide.end(), [&](const Unreached& g) {
                return g.depth_mm > noticed_mm && place(g.from) <= place(u.to) && place(u.from) <= place(g.to);
            });
            if (told) continue;
            report(sim, i, Kind::template_edge_gone, source, side, far_mm, u,
                   "The seam turns tighter here than the far edge of the groove stands off the template: that edge "
                   "cannot follow.");
        }
        return finish(sim, i, one_edge(edge.paths));
    }

    // Tightest turn of a stretch toward `side`; 0 at a corner.
    static double tightest(const Path& path, Side side, const Unreached& u) {
        const std::size_t count = path.segments.size();
        Path stretch;
        for (std::size_t s = u.from.segment;; s = (s + 1) % count) {
            stretch.segments.push_back(path.segments[s]);
            if (s == u.to.segment || stretch.segments.size() == count) break;
        }
        const TightestTurns turns = tightest_turns(stretch);
        return side == Side::left ? turns.left_mm : turns.right_mm;
    }

    void report(Simulation& sim, std::size_t i, Kind kind, const Path& source, Side side, double wanted_mm,
                const Unreached& u, const char* says) const {
        if (u.depth_mm <= noticed_mm) return;
        ReachProblem p;
        p.kind = kind;
        p.step = i;
        p.says = says;
        p.wanted_mm = wanted_mm;
        p.found_mm = tightest(source, side, u);
        if (p.found_mm >= wanted_mm) {
            // No single arc is too tight: two stretches of the edge come too near each other.
            p.found_mm = std::max(0.0, wanted_mm - u.depth_mm);
        }
        p.depth_mm = u.depth_mm;
        p.stops_the_work = false;
        const auto on_seam = drawn_index_.nearest(u.deepest);
        p.at = on_seam.point;
        p.at_mm = drawn_mm_[on_seam.at.segment] +
                  on_seam.at.u * (drawn_mm_[on_seam.at.segment + 1] - drawn_mm_[on_seam.at.segment]);
        sim.problems.push_back(std::move(p));
    }

    std::optional<Path> finish(Simulation& sim, std::size_t i, std::optional<Path> edge) const {
        if (edge && !edge->empty()) return edge;
        ReachProblem p;
        p.kind = Kind::template_edge_gone;
        p.step = i;
        p.says = "Nothing is left of this edge: the seam is too tight for these tools throughout.";
        p.wanted_mm = std::abs(chain_.steps[i].edge_at_mm);
        sim.problems.push_back(std::move(p));
        return std::nullopt;
    }

    const Path& drawn_;
    const Path* master_;
    Path base_;
    const Chain& chain_;
    geometry::PathIndex drawn_index_;
    std::vector<double> drawn_mm_;
};

}  // namespace

namespace {

Simulation carried_out(const Path& drawn, const Chain& chain, const shelf::Shelf& shelf,
                       const CutConditions& conditions, const Path* master) {
    if (drawn.empty()) throw std::invalid_argument("simulate: the seam has no segments");
    Simulation sim;
    sim.problems = tool_problems(chain, shelf, conditions.depths);
    sim.reach = reach_of(chain, tightest_turns(drawn));
    sim.least_margin_mm = least_margin_mm(chain, tightest_turns(drawn));
    Workbench(drawn, chain, conditions, master).carry_out(sim);
    std::stable_sort(sim.problems.begin(), sim.problems.end(), [](const ReachProblem& a, const ReachProblem& b) {
        return std::pair(a.step, !a.stops_the_work) < std::pair(b.step, !b.stops_the_work);
    });
    return sim;
}

}  // namespace

Simulation simulate(const Path& drawn, const Chain& chain, const shelf::Shelf& shelf, const CutConditions& conditions) {
    return carried_out(drawn, chain, shelf, conditions, nullptr);
}

Simulation simulate_from(const Path& master_edge, const Path& drawn, const Chain& chain, const shelf::Shelf& shelf,
                         const CutConditions& conditions) {
    if (master_edge.empty() || master_edge.closed || drawn.closed)
        throw std::invalid_argument("simulate_from: an open edge along an open seam is needed");
    const Path master = geometry::extended(master_edge, conditions.run_out_mm, conditions.run_out_mm);
    return carried_out(drawn, chain, shelf, conditions, &master);
}

Chain chain_of_one_edge(const Pair& pair) {
    const double template_at_mm = -pair.offset_mm();
    Step made;
    made.kind = Step::Kind::make_master;
    made.makes_template = 0;
    made.edge_at_mm = template_at_mm;
    Step cut;
    cut.kind = Step::Kind::cut_left;
    cut.pair = pair;
    cut.from_template = 0;
    cut.rides_at_mm = template_at_mm;
    Chain chain;
    chain.steps = {std::move(made), std::move(cut)};
    chain.templates = 1;
    return chain;
}

OneEdge simulate_one_edge(const Path& drawn, const Pair& pair, const shelf::Shelf& shelf,
                          const CutConditions& conditions) {
    if (drawn.empty()) throw std::invalid_argument("simulate_one_edge: the line has no segments");
    const Chain chain = chain_of_one_edge(pair);
    Simulation sim;
    sim.problems = tool_problems(chain, shelf, conditions.depths);
    OneEdge out;
    out.margin_mm = least_margin_mm(chain, tightest_turns(drawn));
    const auto whole = Workbench(drawn, chain, conditions).carry_out_one(sim);
    if (!sim.templates.empty()) out.template_edge = sim.templates.front().edge;
    if (whole) {
        keep_edges(sim, drawn, *whole, *whole);
        out.edge = std::move(sim.left_edge);
        out.carried_out = sim.carried_out;
        const auto centre = geometry::parallel(out.template_edge, Side::right, 0.5 * pair.B_mm);
        if (!centre.paths.empty()) out.centre = geometry::main_path(centre.paths);
    }
    if (out.carried_out) {
        constexpr double certified_mm = 1e-4;
        const geometry::PathIndex cut(*whole), line(drawn);
        const auto missed = geometry::largest_distance(drawn, cut, certified_mm);
        const auto strays = geometry::largest_distance(out.edge, line, certified_mm);
        const auto& larger = missed.value_mm >= strays.value_mm ? missed : strays;
        out.off_mm = larger.value_mm;
        out.off_at = larger.at;
        out.certified_to_mm = std::max(missed.bound_mm, strays.bound_mm);
    }
    std::stable_sort(sim.problems.begin(), sim.problems.end(), [](const ReachProblem& a, const ReachProblem& b) {
        return a.stops_the_work && !b.stops_the_work;
    });
    out.problems = std::move(sim.problems);
    return out;
}

}  // namespace seamwright::seam
