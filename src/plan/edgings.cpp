// What cannot be done as asked is found by giving way in one thing after the other: first in what is only common
// practice (run-out, distance of joints from seams), where the ring is laid all the same and a warning says so, then in
// what the boards and the number allow, where the least that would do is the remedy.

#include "edgings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "geometry/path_index.h"
#include "plan/edging_study.h"

namespace seamwright::plan {
namespace {

using job::Problem;
using process::EdgingPlan;
using process::EdgingWish;

/// Beyond either end of a segment, for sawing its end angles (common practice, from memory).
constexpr double end_margin_mm = 15.0;
constexpr double same_mm = 1e-6;

class Layer {
  public:
    Layer(const job::Job& job, Plan& plan) : job_(job), plan_(plan) {}

    void lay() {
        std::vector<std::size_t> rings;
        for (std::size_t i = 0; i < plan_.seams.size(); ++i)
            if (plan_.seams[i].kind == job::SeamKind::edging) rings.push_back(i);
        std::stable_sort(rings.begin(), rings.end(), [&](std::size_t a, std::size_t b) { return width(a) > width(b); });
        for (std::size_t k = 0; k < rings.size(); ++k) {
            if (!job_.seams[rings[k]].segments) continue;
            const double outside = k + 1 < rings.size() ? width(rings[k + 1]) : 0.0;
            lay_ring(rings[k], outside, k == 0);
        }
        std::sort(plan_.edgings.begin(), plan_.edgings.end(),
                  [](const SegmentedEdging& a, const SegmentedEdging& b) { return a.seam < b.seam; });
    }

  private:
    double width(std::size_t seam) const { return job_.seams[seam].edging_width_mm; }
    std::string show(double mm) const { return units::show(mm, job_.style); }

    /// The ring lies outside its seam, and has it as its hole.
    std::optional<std::size_t> ring_of(std::size_t seam) const {
        const geometry::Segment first = plan_.seams[seam].in_wood.segments.front();
        for (std::size_t p = 0; p < plan_.pieces.size(); ++p)
            for (const Path& hole : plan_.pieces[p].region.holes)
                if (std::find(hole.segments.begin(), hole.segments.end(), geometry::reversed(first)) !=
                    hole.segments.end())
                    return p;
        return std::nullopt;
    }

    void lay_ring(std::size_t seam, double outside_mm, bool innermost) {
        if (plan_.seams[seam].in_wood.empty()) return;
        const auto piece = ring_of(seam);
        if (!piece) return;
        SegmentedEdging edging;
        edging.seam = seam;
        edging.piece = *piece;
        edging.outer = plan_.pieces[*piece].region.outer;
        edging.width_mm = width(seam) - outside_mm;
        if (innermost) {
            meet_seams(edging);
        } else {
            meet_joints(edging);
        }
        const job::Segments& asked = *job_.seams[seam].segments;
        EdgingWish& wish = edging.wish;
        wish.width_mm = edging.width_mm;
        wish.board_width_mm = asked.board_width_mm;
        wish.board_length_mm = asked.board_length_mm;
        wish.margin_mm = job_.cutting.margin_mm;
        wish.end_margin_mm = std::max(end_margin_mm, job_.cutting.at_ends_mm());
        if (asked.number > 0) wish.segments = asked.number;
        wish.style = job_.style;
        for (const auto& m : edging.meetings) wish.seams_mm.push_back(m.at_mm);
        divide(edging);
        plan_.edgings.push_back(std::move(edging));
    }

    void meet(SegmentedEdging& edging, Point at, std::size_t seam, bool joint) const {
        const geometry::PathIndex outer(edging.outer);
        const auto running = geometry::running_length_mm(edging.outer);
        edging.meetings.push_back({geometry::length_to(running, outer.nearest(at).at), seam, joint});
    }

    void meet_seams(SegmentedEdging& edging) const {
        for (std::size_t s = 0; s < plan_.seams.size(); ++s) {
            const SeamPlan& other = plan_.seams[s];
            if (other.kind != job::SeamKind::open || other.in_wood.empty()) continue;
            meet(edging, other.in_wood.start(), s, false);
            meet(edging, other.in_wood.end(), s, false);
        }
    }

    /// The ring inside this one is laid already.
    void meet_joints(SegmentedEdging& edging) const {
        if (plan_.edgings.empty()) return;
        const SegmentedEdging& inside = plan_.edgings.back();
        for (const auto& s : inside.ring.segments) meet(edging, s.outer.start(), inside.seam, true);
    }

    void warn(const SegmentedEdging& edging, Problem::Weight weight, const char* key, std::string found,
              std::string allowed, std::string remedy) {
        std::optional<Point> at;
        if (!edging.outer.empty()) at = edging.outer.start();
        plan_.problems.push_back({weight, fmt::format("/seams/{}{}", edging.seam, key),
                                  fmt::format("edging \"{}\": {}", plan_.seams[edging.seam].name, found),
                                  std::move(allowed), std::move(remedy), at});
    }

    void divide(SegmentedEdging& edging) {
        edging.ring = process::plan_edging(edging.outer, edging.wish);
        if (!edging.ring.segments.empty()) return;
        if (bends_too_tightly(edging)) return;
        if (give_way(edging)) return;
        refuse(edging);
    }

    bool bends_too_tightly(const SegmentedEdging& edging) {
        double tightest = HUGE_VAL;
        for (const auto& s : edging.outer.segments)
            if (s.sweep_rad > 0.0) tightest = std::min(tightest, s.radius_mm);
        if (tightest > edging.width_mm + same_mm) return false;
        warn(edging, Problem::Weight::error, "/width",
             fmt::format("{} wide, around a bend of {}", show(edging.width_mm), show(tightest)),
             "an edging narrower than the tightest bend of its outer edge",
             fmt::format("make it narrower than {}, or the bend wider", show(tightest)));
        return true;
    }

    /// Run-out, then the distance from seams, then both: only common practice.
    bool give_way(SegmentedEdging& edging) {
        for (const auto& [steep, near] : {std::pair(true, false), {false, true}, {true, true}}) {
            EdgingWish wish = edging.wish;
            if (steep) wish.run_out_rad = process::most_run_out_rad;
            if (near) wish.clear_mm = 0.0;
            EdgingPlan ring = process::plan_edging(edging.outer, wish);
            if (ring.segments.empty()) continue;
            if (steep) say_steep(edging, ring);
            if (near) say_near(edging, ring);
            edging.ring = std::move(ring);
            return true;
        }
        return false;
    }

    void say_steep(const SegmentedEdging& edging, const EdgingPlan& ring) {
        const double allowed = edging.wish.run_out_rad;
        EdgingWish free = edging.wish;
        free.segments.reset();
        free.clear_mm = 0.0;
        const EdgingPlan good = process::plan_edging(edging.outer, free);
        const bool asked = edging.wish.segments.has_value();
        warn(
            edging, Problem::Weight::warning, asked ? "/segments/number" : "/segments",
            fmt::format("{} segments, whose fibres run out of the edge at up to {:.1f}°: the short grain at their ends "
                        "breaks under the cutter",
                        ring.segments.size(), run_out_rad(ring) * geometry::degrees_per_radian),
            fmt::format("at most {:.0f}° (common practice, from memory)", allowed * geometry::degrees_per_radian),
            good.segments.empty() ? "make the bends of the outline wider"
                                  : fmt::format("take {} segments, or leave the number out", good.segments.size()));
    }

    void say_near(const SegmentedEdging& edging, const EdgingPlan& ring) {
        warn(edging, Problem::Weight::warning, "/segments",
             fmt::format("a joint between segments lies {} from where a seam meets the edging",
                         show(ring.nearest_seam_mm)),
             fmt::format("at least {}", show(edging.wish.clear_mm)),
             "give another number of segments or wider boards, or move the seam");
    }

    bool goes(const SegmentedEdging& edging, const std::function<void(EdgingWish&)>& change,
              std::size_t* segments = nullptr) const {
        EdgingWish wish = edging.wish;
        wish.clear_mm = 0.0;
        wish.run_out_rad = process::most_run_out_rad;
        change(wish);
        const EdgingPlan ring = process::plan_edging(edging.outer, wish);
        if (segments != nullptr) *segments = ring.segments.size();
        return !ring.segments.empty();
    }

    /// The least length that will do; nullopt where none does up to `most`.
    std::optional<double> least(const SegmentedEdging& edging, double from, double most,
                                const std::function<void(EdgingWish&, double)>& set) const {
        const auto with = [&](double mm) { return goes(edging, [&](EdgingWish& w) { set(w, mm); }); };
        double low = from, high = from;
        do {
            if (high >= most) return std::nullopt;
            low = high;
            high = std::min(1.3 * high, most);
        } while (!with(high));
        constexpr double to_mm = 0.5;
        while (high - low > to_mm) {
            const double middle = 0.5 * (low + high);
            (with(middle) ? high : low) = middle;
        }
        return std::ceil(high);
    }

    void refuse(const SegmentedEdging& edging) {
        const job::Segments& asked = *job_.seams[edging.seam].segments;
        const auto set_width = [](EdgingWish& w, double mm) { w.board_width_mm = mm; };
        const double most_mm = 2.0 * geometry::length_mm(edging.outer);
        const auto wide = least(edging, asked.board_width_mm, most_mm, set_width);
        const std::string wider = wide ? fmt::format("take boards at least {} wide", show(*wide)) : std::string();
        std::size_t others = 0;
        if (edging.wish.segments && goes(edging, [](EdgingWish& w) { w.segments.reset(); }, &others)) {
            warn(edging, Problem::Weight::error, "/segments/number",
                 fmt::format("{} segments do not come out of boards {} wide", asked.number, show(asked.board_width_mm)),
                 fmt::format("{} segments from such boards", others),
                 fmt::format("write {}, leave the number out{}", others, wider.empty() ? "" : ", or " + wider));
            return;
        }
        if (asked.board_length_mm && goes(edging, [](EdgingWish& w) { w.board_length_mm.reset(); })) {
            const auto set_length = [](EdgingWish& w, double mm) { w.board_length_mm = mm; };
            const auto length = least(edging, *asked.board_length_mm, most_mm, set_length);
            warn(edging, Problem::Weight::error, "/segments/board_length",
                 fmt::format("no segment comes out of boards {} long", show(*asked.board_length_mm)),
                 "boards as long as one segment with its ends",
                 length ? fmt::format("take boards at least {} long", show(*length))
                        : "take longer boards, or more segments");
            return;
        }
        warn(edging, Problem::Weight::error, "/segments/board_width",
             fmt::format("no segment comes out of boards {} wide: the edging alone is {}, with {} to either side for "
                         "saw and router",
                         show(asked.board_width_mm), show(edging.width_mm), show(edging.wish.margin_mm)),
             "boards that hold the edging and the rise of its curve",
             wider.empty() ? "take wider boards, or a narrower edging" : wider + ", or a narrower edging");
    }

    const job::Job& job_;
    Plan& plan_;
};

}  // namespace

void lay_edgings(const job::Job& job, Plan& plan) {
    Layer(job, plan).lay();
}

void report_ring_movement(const job::Job& job, const shelf::Shelf& shelf, Plan& plan) {
    if (plan.edgings.empty()) return;
    const MovementStudy movement = study_movement(plan, job, shelf, nullptr);
    for (const SegmentedEdging& edging : plan.edgings) {
        if (edging.ring.segments.empty()) continue;
        const RingMovement moves = ring_movement(edging, plan, movement);
        if (!moves.known || moves.part_of_strength < RingMovement::doubtful_part) continue;
        plan.problems.push_back({Problem::Weight::warning, fmt::format("/seams/{}", edging.seam),
                                 words::ring_movement_found(moves, plan, job),
                                 "a field that moves little against the ring around it",
                                 words::ring_movement_remedy(moves, job), moves.from});
    }
}

}  // namespace seamwright::plan
