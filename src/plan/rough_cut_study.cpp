#include "plan/rough_cut_study.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "geometry/path_index.h"
#include "index_marks.h"
#include "plan/edging_study.h"
#include "rough_outline.h"

namespace seamwright::plan {
namespace {

using geometry::PathIndex;
using geometry::Side;
using process::FasteningGround;

/// Seams are asked about beyond the wood too; farther than any template reaches.
constexpr double far_beyond_mm = 1000.0;
/// More wood than this at the ends is not worth a screw.
constexpr double most_ends_mm = 150.0;

bool is_cut(const seam::Step& step) {
    return step.kind == seam::Step::Kind::cut_left || step.kind == seam::Step::Kind::cut_right;
}

Path grown(const Path& wood, double by_mm) {
    if (by_mm <= 0.0) return wood;
    try {
        return geometry::main_path(geometry::parallel(wood, Side::right, by_mm).paths);
    } catch (const std::runtime_error&) {
        return wood;  // drawn without its margin; nothing is computed from this line
    }
}

/// The places to hold a template, as far as they lie on this piece: on a narrow one nearer to the edge.
std::vector<Point> tape_on(const TemplatePlan& t, const geometry::Region& finished) {
    constexpr double inside_mm = 8.0;     // half a strip of tape, and a little
    constexpr double off_edge_mm = 12.0;  // of the template
    const PathIndex edge(t.edge), outer(finished.outer);
    std::vector<Point> out;
    for (const Point p : t.fastening) {
        const Point on_edge = edge.nearest(p).point;
        for (const double part : {1.0, 0.8, 0.6, 0.45, 0.3}) {
            const Point at = on_edge + part * (p - on_edge);
            if (geometry::distance(at, on_edge) < off_edge_mm) break;
            if (!geometry::contains(finished, at) || outer.any_nearer_than(at, inside_mm)) continue;
            out.push_back(at);
            break;
        }
    }
    return out;
}

class Study {
  public:
    Study(const Plan& plan, const job::Job& job) : plan_(plan), job_(job), outline_(plan.outline) {
        out_.rules.kerf_mm = job.cutting.kerf_mm;
    }

    RoughCutStudy study() {
        for (std::size_t s = 0; s < plan_.seams.size(); ++s) add_cuts(s);
        for (std::size_t p = 0; p < plan_.pieces.size(); ++p) add_piece(p);
        for (RoughCut& cut : out_.cuts) fasten(cut);
        for (std::size_t s = 0; s < plan_.seams.size(); ++s)
            for (IndexMark& mark : index_marks(plan_, s, out_.cuts)) out_.marks.push_back(mark);
        return std::move(out_);
    }

  private:
    std::optional<std::size_t> piece_beside(std::size_t seam, bool on_left) const {
        for (std::size_t p = 0; p < plan_.pieces.size(); ++p)
            for (const Bordering& b : bordering(plan_, plan_.pieces[p]))
                if (b.seam == seam && b.on_left == on_left) return p;
        return std::nullopt;
    }

    void add_cuts(std::size_t s) {
        const SeamPlan& seam = plan_.seams[s];
        if (!seam.simulation.carried_out || seam.chosen >= seam.chains.size()) return;
        std::vector<RoughCut> cuts;
        for (const seam::Step& step : seam.chains[seam.chosen].steps) {
            if (!is_cut(step) || !step.pair || step.from_template < 0) continue;
            const auto index = static_cast<std::size_t>(step.from_template);
            const bool on_left = step.kind == seam::Step::Kind::cut_left;
            const auto piece = piece_beside(s, on_left);
            if (!piece || index >= seam.templates.size()) continue;
            const TemplatePlan& t = seam.templates[index];
            RoughCut cut;
            cut.seam = s;
            cut.piece = *piece;
            cut.template_index = index;
            cut.on_left = on_left;
            cut.from_waste = step.keeps_far;
            cut.guide_mm = step.pair->B_mm;
            cut.cutter_mm = step.pair->b_mm;
            cut.offset_mm = std::abs(step.edge_at_mm - step.rides_at_mm);
            try {
                const auto way =
                    geometry::parallel(t.edge, t.body_on_left ? Side::right : Side::left, 0.5 * cut.guide_mm);
                cut.way = geometry::main_path(way.paths);
            } catch (const std::runtime_error&) {
                continue;  // the plan says so already
            }
            if (!cut.from_waste) cut.saw_line = t.rough_cut;
            cut.reveal_mm = job_.limits.reveal_mm;
            cut.margin_mm = std::min(job_.cutting.margin_mm, cut.reveal_mm);
            cut.reveal = process::reveal_for(cut.reveal_mm, cut.cutter_mm, out_.rules);
            cut.tape = tape_on(t, plan_.pieces[*piece].region);
            cuts.push_back(std::move(cut));
        }
        std::stable_sort(cuts.begin(), cuts.end(),
                         [](const RoughCut& a, const RoughCut& b) { return a.on_left && !b.on_left; });
        for (RoughCut& cut : cuts) out_.cuts.push_back(std::move(cut));
    }

    void add_piece(std::size_t p) {
        RoughPiece rough;
        rough.piece = p;
        for (std::size_t i = 0; i < out_.cuts.size(); ++i)
            if (out_.cuts[i].piece == p) rough.cuts.push_back(i);
        rough.margin_mm = job_.cutting.margin_mm;
        rough.ends_mm = job_.cutting.at_ends_mm();
        // A ring of segments has no ends.
        if (segmented(plan_, p) != nullptr) rough.ends_mm = rough.margin_mm;
        rough.wood = rough_outline(plan_, plan_.pieces[p], rough.ends_mm - rough.margin_mm);
        rough.sawn = grown(rough.wood, rough.margin_mm);
        const geometry::Box box = geometry::bounding_box(geometry::turned(rough.wood, {}, -plan_.pieces[p].grain_rad));
        rough.length_mm = box.width_mm() + 2.0 * rough.margin_mm;
        rough.width_mm = box.height_mm() + 2.0 * rough.margin_mm;
        out_.pieces.push_back(std::move(rough));
    }

    FasteningGround ground_of(const RoughCut& cut, const Path& wood) const {
        const TemplatePlan& t = template_of(cut);
        FasteningGround ground;
        ground.under = t.body.empty() ? t.edge : t.body;
        if (t.edge.closed && !t.body.empty()) ground.openings.push_back(t.edge);
        ground.finished = plan_.pieces[cut.piece].region;
        ground.wood = wood;
        ground.grown_mm = job_.cutting.margin_mm;
        ground.marks = t.registration;
        for (const RoughCut& other : out_.cuts) {
            if (other.piece != cut.piece) continue;
            ground.cutters.push_back({other.way, other.cutter_mm});
            const Path& seam = plan_.seams[other.seam].in_wood;
            const bool own = other.seam == cut.seam && other.on_left == cut.on_left;
            if (own && cut.from_waste) continue;
            ground.edges.push_back({seam.closed ? seam : geometry::extended(seam, far_beyond_mm, far_beyond_mm),
                                    other.on_left ? Side::left : Side::right});
        }
        return ground;
    }

    const TemplatePlan& template_of(const RoughCut& cut) const {
        return plan_.seams[cut.seam].templates[cut.template_index];
    }

    /// Where the template may carry a screw beyond one end: `u` outward along the run-out, `v` into the body.
    process::Zone zone_at(const RoughCut& cut, bool first) const {
        const TemplatePlan& t = template_of(cut);
        const auto running = geometry::running_length_mm(t.edge);
        const auto station = geometry::station_at(t.edge, running, first ? 0.0 : running.back());
        const Point tip = geometry::point_at(t.edge, station);
        const Point tangent = geometry::tangent_at(t.edge, station);
        const Point outward = first ? -tangent : tangent;
        const bool body_left = t.body_on_left != first;
        const double deep = job_.sheet.body_mm;
        // Slanted ends of the wood lie nearer on one side; yet never the other end.
        const double back = std::min(2.0 * job_.sheet.run_out_mm + deep, 0.5 * running.back());
        return {tip, outward, -back, 0.0, body_left ? 0.0 : -deep, body_left ? deep : 0.0};
    }

    /// One half of a zone across the template: the half at the cut, or the one behind.
    static process::Zone half_of(process::Zone zone, bool at_cut) {
        const double middle = 0.5 * (zone.v0 + zone.v1);
        (((zone.v0 == 0.0) == at_cut) ? zone.v1 : zone.v0) = middle;
        return zone;
    }

    void fasten(RoughCut& cut) const {
        const SeamPlan& seam = plan_.seams[cut.seam];
        if (seam.in_wood.closed) return;
        FasteningGround ground = ground_of(cut, out_.pieces[cut.piece].wood);
        for (const bool first : {true, false}) {
            CutEnd end = entry(cut, first);
            const process::Zone zone = zone_at(cut, first);
            for (const bool at_cut : {true, false}) {
                const auto place = process::roomiest(ground, out_.rules, half_of(zone, at_cut));
                if (!place) continue;
                ground.screws.push_back(place->at);
                end.screws.push_back(told(cut, *place, ground));
            }
            ground.screws.clear();
            if (end.screws.empty()) end.ends_mm = ends_for(cut, zone);
            cut.ends.push_back(std::move(end));
        }
    }

    CutEnd::Screw told(const RoughCut& cut, const process::FasteningPlace& place, const FasteningGround& ground) const {
        CutEnd::Screw screw{place.at, PathIndex(ground.finished.outer).distance_mm(place.at), 0.0, HUGE_VAL,
                            place.room_mm};
        const Path line = geometry::extended(plan_.seams[cut.seam].in_wood, far_beyond_mm, far_beyond_mm);
        screw.off_seam_mm = PathIndex(line).distance_mm(place.at);
        for (const auto& cutter : ground.cutters)
            screw.off_cutter_mm = std::min(screw.off_cutter_mm, PathIndex(cutter.way).distance_mm(place.at));
        return screw;
    }

    std::optional<double> ends_for(const RoughCut& cut, const process::Zone& zone) const {
        const PiecePlan& piece = plan_.pieces[cut.piece];
        const double margin = job_.cutting.margin_mm;
        const auto fits = [&](double ends) {
            return process::roomiest(ground_of(cut, rough_outline(plan_, piece, ends - margin)), out_.rules, zone)
                .has_value();
        };
        double low = job_.cutting.at_ends_mm(), high = std::max(most_ends_mm, low);
        if (!fits(high)) return std::nullopt;
        constexpr double to_mm = 0.25;
        while (high - low > to_mm) {
            const double middle = 0.5 * (low + high);
            (fits(middle) ? high : low) = middle;
        }
        return high;
    }

    /// Walks along the cutter's way from the finished end outward until the whole cutter is off what lies there.
    CutEnd entry(const RoughCut& cut, bool first) const {
        const Path& seam = plan_.seams[cut.seam].in_wood;
        const auto running = geometry::running_length_mm(cut.way);
        const PathIndex way(cut.way);
        CutEnd end;
        end.finished = first ? seam.start() : seam.end();
        const double foot = geometry::length_to(running, way.nearest(end.finished).at);
        const double most = first ? foot : running.back() - foot;
        const double clear = 0.5 * cut.cutter_mm + out_.rules.reserve_mm;
        const auto at = [&](double out) {
            return geometry::point_at(cut.way, geometry::station_at(cut.way, running, first ? foot - out : foot + out));
        };
        const auto first_clear = [&](const PathIndex& of, double by) -> std::optional<double> {
            const auto is_clear = [&](double out) {
                const auto on = of.nearest(at(out));
                return on.distance_mm >= by && !of.contains(at(out), on);
            };
            constexpr double step = 0.5;
            for (double out = 0.0; out <= most; out += step) {
                if (!is_clear(out)) continue;
                double low = std::max(0.0, out - step), high = out;
                for (int k = 0; k < 20; ++k) {
                    const double middle = 0.5 * (low + high);
                    (is_clear(middle) ? high : low) = middle;
                }
                return high;
            }
            return std::nullopt;
        };
        const auto lead = first_clear(outline_, clear);
        // Straight on beyond the template, where it is too short even for that.
        end.lead_mm = lead.value_or(most + std::max(0.0, clear - outline_.distance_mm(at(most))));
        end.enters = at(std::min(end.lead_mm, most));
        end.run_out_mm = process::run_out_for(end.lead_mm, cut.guide_mm, out_.rules);
        constexpr double same_mm = 1e-6;
        end.held = lead.has_value() && end.run_out_mm <= most + same_mm;
        const Path& wood = out_.pieces[cut.piece].wood;
        const auto outside = first_clear(PathIndex(wood), clear + job_.cutting.margin_mm);
        end.from_outside = outside && *outside + 0.5 * cut.guide_mm <= most;
        return end;
    }

    const Plan& plan_;
    const job::Job& job_;
    PathIndex outline_;
    RoughCutStudy out_;
};

}  // namespace

RoughCutStudy study_rough_cut(const Plan& plan, const job::Job& job) {
    if (plan.outline.empty()) return {};
    return Study(plan, job).study();
}

}  // namespace seamwright::plan
