#include "plan/closing_study.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

#include "choice.h"
#include "geometry/between.h"
#include "plan/edging_study.h"
#include "shelf/mechanical.h"
#include "wood/elastic.h"
#include "wood/movement.h"

namespace seamwright::plan {
namespace {

using geometry::dot;
using seam::SeamPlace;

/// How far beside the seam the piece there is looked for.
constexpr double beside_mm = 1.0;
/// Places a seam is studied at: every 15 mm, but no more than these.
constexpr double apart_mm = 15.0;
constexpr std::size_t most_places = 160;
/// A hand-tightened bar clamp where the shelf has none that opens wide enough: 370 lbf, 1,650 N, the least of those in
/// data/gluing.csv that were measured.
constexpr double assumed_force_n = 1650.0;
/// Wood that is not in the tables: a middling hardwood across its grain and along it (our judgement).
const wood::PlaneElastic unknown_wood{12000.0, 900.0, 900.0, 0.4, "", true, true};
constexpr double unknown_density_kg_m3 = 650.0;
constexpr double unknown_caul_mpa = 10000.0;
/// Cauls and clamp jaws take this much of a clamp's opening, each.
constexpr double jaw_mm = 10.0;

seam::Held held(job::Held how) {
    switch (how) {
        case job::Held::one_way:
            return seam::Held::one_way;
        case job::Held::end_for_end:
            return seam::Held::end_for_end;
        case job::Held::with_edge:
            return seam::Held::with_edge;
        case job::Held::any_way:
            return seam::Held::any_way;
    }
    return seam::Held::one_way;
}

class Study {
  public:
    Study(const Plan& plan, const SeamPlan& seam, const job::Job& job, const shelf::Shelf& shelf, const StudyWish& wish)
        : plan_(plan), seam_(seam), job_(job), shelf_(shelf), wish_(wish) {}

    ClosingStudy study() {
        out_.places = seam::places_along(seam_.in_wood, apart_mm, most_places);
        closed_ = seam_.in_wood.closed;
        planned();
        together();
        look_at_sides();
        tolerate();
        press();
        glue();
        return std::move(out_);
    }

  private:
    const seam::Chain& chain() const { return seam_.chains[seam_.chosen]; }

    void planned() {
        for (const SeamPlace& p : out_.places) {
            out_.planned_gap_mm.push_back(geometry::between_samples(seam_.simulation.gap, p.at_mm,
                                                                    [](const seam::GapAt& g) { return g.gap_mm; }));
        }
        seam::SmallCloser closer(out_.places);
        out_.planned = closer.close(out_.planned_gap_mm);
        if (out_.planned.found) out_.pushed_gap_mm = closer.after(out_.planned_gap_mm, out_.planned);
    }

    void together() {
        out_.assembly = seam::assembly(seam_.in_wood);
        if (closed_) return;
        out_.push_rad = out_.assembly.best_rad;
        if (out_.assembly.possible) return;
        out_.freeing = seam::smallest_freeing(seam_.in_wood);
        out_.push_rad = out_.freeing->push_rad;
    }

    void look_at_sides() {
        for (const std::size_t side : {std::size_t{0}, std::size_t{1}}) look_at(side);
    }

    /// The piece at each place, its grain against the seam, and what is behind.
    void look_at(std::size_t side) {
        SideStudy& study = out_.sides[side];
        study.piece = side == 0 ? seam_.left_pieces : seam_.right_pieces;
        const double way = side == 0 ? -beside_mm : beside_mm;
        std::vector<const PiecePlan*> at;
        std::vector<const PiecePlan*> all;
        const PiecePlan* last = nullptr;
        for (const SeamPlace& p : out_.places) {
            const geometry::Point beside = p.at + way * p.normal;
            if (last == nullptr || !geometry::contains(last->region, beside)) {
                last = nullptr;
                for (const PiecePlan& piece : plan_.pieces) {
                    if (!geometry::contains(piece.region, beside)) continue;
                    last = &piece;
                    break;
                }
            }
            at.push_back(last);
            if (last != nullptr && std::find(all.begin(), all.end(), last) == all.end()) all.push_back(last);
            study.grain_rad.push_back(
                last != nullptr && known(*last)
                    ? acute(geometry::heading(geometry::left_of(p.normal)) -
                            fibres_at(plan_, static_cast<std::size_t>(last - plan_.pieces.data()), beside))
                    : std::numeric_limits<double>::quiet_NaN());
        }
        double area = 0.0;
        for (const PiecePlan* piece : all) {
            area += piece->area_mm2;
            if (study.species.empty() && known(*piece)) {
                study.species = piece->species;
                grain_[side] = piece->grain_rad;
            }
            read_moisture(study, *piece);
        }
        study.width_mm = std::max(1.0, area / across_mm());
        stretches(study, at);
    }
    static bool known(const PiecePlan& piece) { return shelf::find_species(piece.species) != nullptr; }
    static double acute(double angle_rad) { return std::abs(std::remainder(angle_rad, geometry::pi)); }

    void read_moisture(SideStudy& study, const PiecePlan& piece) const {
        for (const job::Piece& asked : job_.pieces) {
            if (asked.name != piece.name || !asked.moisture_percent) continue;
            constexpr double middle = 0.5 * (process::gluing_moisture.low + process::gluing_moisture.high);
            if (!study.moisture_percent ||
                std::abs(*asked.moisture_percent - middle) > std::abs(*study.moisture_percent - middle))
                study.moisture_percent = asked.moisture_percent;
        }
    }

    /// Of an open seam, its length as seen in the direction of the push; all of a closed one.
    double across_mm() const {
        if (closed_) return seam_.length_mm;
        const geometry::Point chord = out_.places.back().at - out_.places.front().at;
        const double across = std::abs(dot(chord, geometry::left_of(geometry::unit(out_.push_rad))));
        return std::max(across, 0.1 * seam_.length_mm);
    }

    void stretches(SideStudy& study, const std::vector<const PiecePlan*>& at) const {
        bool before = false;
        for (std::size_t i = 0; i < at.size(); ++i) {
            const double angle = study.grain_rad[i];
            const bool here = std::isfinite(angle) && wood::seam_grain(angle) != wood::SeamGrain::long_grain;
            // What ends at the seam is told apart from what runs out at it.
            const bool goes_on = before && here && study.stretches.back().piece == at[i]->name &&
                                 study.stretches.back().grain == wood::seam_grain(angle);
            if (here && !goes_on) {
                study.stretches.push_back(
                    {out_.places[i].at_mm, 0.0, 0.0, 0.0, wood::seam_grain(angle), at[i]->name, std::nullopt});
            }
            if (here) {
                SideStudy::Stretch& stretch = study.stretches.back();
                stretch.to_mm = out_.places[i].at_mm;
                if (angle > stretch.steepest_rad) {
                    stretch.steepest_rad = angle;
                    stretch.steepest_at_mm = out_.places[i].at_mm;
                    stretch.strength = wood::joint_strength(at[i]->species, angle);
                }
            }
            before = here;
        }
    }

    void tolerate() {
        seam::ToleranceWish wish;
        const job::Accuracy& a = job_.accuracy;
        wish.accuracy.measured_mm = a.measured_mm;
        wish.accuracy.marked_mm = a.marked_mm;
        wish.accuracy.cutter_wear_mm = a.cutter_wear_mm;
        wish.accuracy.guide_wear_mm = a.guide_wear_mm;
        wish.accuracy.run_out_mm = a.cutter_wobble_mm;
        wish.accuracy.guide_play_mm = a.guide_play_mm;
        wish.accuracy.off_centre_mm = a.off_centre_mm;
        wish.accuracy.held = held(a.held);
        wish.accuracy.routed_edge_mm = a.routed_edge_mm;
        wish.accuracy.hand_edge_mm = a.hand_edge_mm;
        wish.accuracy.edge_wave_mm = a.edge_wave_mm;
        wish.accuracy.paper_per_m_mm = a.paper_per_metre_mm;
        wish.accuracy.moisture_points = a.moisture_points;
        const auto& steps = chain().steps;
        const auto first = std::find_if(steps.begin(), steps.end(), [](const seam::Step& s) {
            return s.kind == seam::Step::Kind::cut_left || s.kind == seam::Step::Kind::cut_right;
        });
        const std::size_t side = first != steps.end() && first->kind == seam::Step::Kind::cut_right ? 1 : 0;
        if (const auto movement = wood::movement_of(out_.sides[side].species)) {
            // Flat-sawn: the larger of the two.
            wish.accuracy.movement_per_point = movement->tangential;
            wish.accuracy.grain_rad = grain_[side];
        }
        wish.limit_mm = job_.limits.gap_mm;
        wish.samples = wish_.samples;
        wish.seed = wish_.seed;
        out_.tolerance = seam::tolerance_of(chain(), shelf_, out_.places, closed_, wish, out_.planned_gap_mm);
        if (wish_.advice) {
            out_.advice =
                seam::advice_on(out_.tolerance, chain(), shelf_, out_.places, closed_, wish, out_.planned_gap_mm);
        }
    }

    std::optional<wood::PlaneElastic> elastic_of(const SideStudy& side) const {
        return side.species.empty() ? std::nullopt : wood::plane_elastic(side.species);
    }

    double wanted_mpa() const {
        double densest = 0.0;
        std::optional<double> crushing;
        for (const SideStudy& side : out_.sides) {
            const shelf::Species* species = shelf::find_species(side.species);
            if (species == nullptr) continue;
            densest = std::max(densest, species->density_kg_m3);
            const auto mechanical = shelf::mechanical_of(side.species);
            if (mechanical && mechanical->crushing_across)
                crushing = std::min(crushing.value_or(HUGE_VAL), mechanical->crushing_across->mpa);
        }
        return process::gluing_pressure_mpa(densest > 0.0 ? densest : unknown_density_kg_m3, crushing);
    }

    /// How wide the top is in the direction of the push.
    double opens_mm() const {
        const geometry::Box box = geometry::bounding_box(geometry::turned(plan_.outline, {}, -out_.push_rad));
        return box.width_mm() + 2.0 * (job_.gluing.caul_depth_mm + jaw_mm);
    }

    /// Those that open wide enough: the kind of which there are most, with the least force of any that is counted.
    void take_clamps(Pressing& pressing) const {
        pressing.opens_mm = opens_mm();
        for (const shelf::Clamps& clamps : shelf_.clamps) {
            if (clamps.opens_mm < pressing.opens_mm) continue;
            pressing.force_n = pressing.clamps.empty() ? clamps.force_n : std::min(pressing.force_n, clamps.force_n);
            pressing.clamps += (pressing.clamps.empty() ? "" : " and ") + clamps.name;
            pressing.there += static_cast<std::size_t>(clamps.count);
        }
        if (pressing.clamps.empty()) pressing.force_n = assumed_force_n;
    }

    /// What pressure does to the gap that 95 in 100 seams do not exceed.
    std::optional<process::ElasticClosing> elastic(double pressure_mpa) const {
        const auto& left = out_.tolerance.sampled.most_gap_mm;
        if (left.size() != out_.places.size()) return std::nullopt;
        std::vector<seam::GapAt> gap;
        for (std::size_t i = 0; i < left.size(); ++i) gap.push_back({out_.places[i].at_mm, std::max(0.0, left[i])});
        std::vector<process::PressedSide> sides;
        for (std::size_t side = 0; side < out_.sides.size(); ++side) {
            const double along = out_.push_rad + 0.5 * geometry::pi;
            sides.push_back(
                {elastic_of(out_.sides[side]).value_or(unknown_wood), along - grain_[side], out_.sides[side].width_mm});
        }
        return process::close_elastically(gap, job_.thickness_mm, pressure_mpa, sides);
    }

    /// What brings the gap that 95 in 100 seams do not exceed within the maker's limit; at most what the handbook asks.
    double needed_mpa(double most_mpa) const {
        const auto close = [&](double mpa) {
            const auto closed = elastic(mpa);
            return !closed || closed->left_mm <= job_.limits.gap_mm;
        };
        if (out_.tolerance.sampled.most_mm <= job_.limits.gap_mm) return 0.0;
        if (!close(most_mpa)) return most_mpa;
        double low = 0.0, high = most_mpa;
        constexpr int halvings = 6;
        for (int i = 0; i < halvings; ++i) {
            const double middle = 0.5 * (low + high);
            (close(middle) ? high : low) = middle;
        }
        return high;
    }

    /// As many clamps as there are, but no more than the handbook's pressure takes, and no fewer than bring the edges
    /// together and sit as close as cauls and practice ask.
    void lay_clamps(Pressing& pressing) {
        const double across = across_mm();
        const auto row = [&](double mpa) {
            return process::clamp_row(across, mpa, pressing.caul, pressing.behind, pressing.force_n);
        };
        const auto apart = [&](double mm) { return static_cast<std::size_t>(std::max(2.0, std::ceil(across / mm))); };
        pressing.for_wanted = row(pressing.wanted_mpa).count;
        constexpr double least_mpa = 1e-3;
        pressing.needed_mpa = needed_mpa(pressing.wanted_mpa);
        const double aimed = std::max(pressing.needed_mpa, least_mpa);
        // Six to twelve inches without deep cauls (data/gluing.csv, common practice, from memory).
        constexpr double widest_apart_mm = 300.0, usual_apart_mm = 200.0;
        pressing.fewest = std::max(row(aimed).count, apart(widest_apart_mm));
        const std::size_t most = std::max(pressing.fewest, pressing.for_wanted);
        const std::size_t there = pressing.clamps.empty() ? apart(usual_apart_mm) : pressing.there;
        const std::size_t count = std::clamp(there, pressing.fewest, most);
        const double full_n = pressing.wanted_mpa * job_.thickness_mm * across / static_cast<double>(count);
        pressing.row = process::even_row(across, count, std::min(pressing.force_n, full_n));
        pressing.given_mpa =
            pressing.row.force_n * static_cast<double>(pressing.row.count) / (job_.thickness_mm * across);
        pressing.elastic = elastic(pressing.given_mpa);
    }

    void press() {
        if (closed_ || !out_.assembly.possible) return;
        Pressing pressing;
        pressing.wanted_mpa = wanted_mpa();
        const std::size_t thin = out_.sides[0].width_mm < out_.sides[1].width_mm ? 0 : 1;
        const auto behind = elastic_of(out_.sides[thin]);
        pressing.caul = {unknown_caul_mpa, job_.gluing.caul_depth_mm, job_.gluing.caul_thickness_mm};
        pressing.behind = {out_.sides[thin].width_mm,
                           wood::modulus_at(behind.value_or(unknown_wood), out_.push_rad - grain_[thin]),
                           job_.thickness_mm};
        for (const SideStudy& side : out_.sides)
            if (!elastic_of(side)) pressing.stiffness_assumed.push_back(side.piece);
        take_clamps(pressing);
        lay_clamps(pressing);
        try {
            pressing.pressure = process::seam_pressure(out_.places, out_.push_rad, pressing.caul, pressing.behind,
                                                       pressing.row.clamps, job_.gluing.friction);
        } catch (const std::invalid_argument&) {
            return;  // It hooks between two places, by next to nothing.
        }
        out_.pressing = std::move(pressing);
    }

    void glue() {
        const process::Adhesive* adhesive = process::find_adhesive(job_.gluing.adhesive);
        if (adhesive == nullptr) return;
        process::GlueWish wish;
        wish.length_mm = seam_.length_mm;
        wish.thickness_mm = job_.thickness_mm;
        const auto& left = out_.tolerance.sampled.most_gap_mm;
        for (const double gap : left) {
            wish.mean_gap_mm += std::max(0.0, gap) / static_cast<double>(left.size());
            wish.largest_gap_mm = std::max(wish.largest_gap_mm, gap);
        }
        if (out_.pressing && out_.pressing->elastic) {
            // What the clamps close need not be filled.
            wish.largest_gap_mm = std::min(wish.largest_gap_mm, out_.pressing->elastic->left_mm);
        }
        wish.clamps = out_.pressing ? out_.pressing->row.count : 0;
        wish.temperature_c = job_.gluing.temperature_c;
        wish.moisture_left = out_.sides[0].moisture_percent;
        wish.moisture_right = out_.sides[1].moisture_percent;
        wish.exposure = process::exposure_named(job_.gluing.exposure).value_or(process::Exposure::d1);
        wish.people = job_.gluing.people;
        out_.glue = process::plan_gluing(*adhesive, wish);
    }

    const Plan& plan_;
    const SeamPlan& seam_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
    const StudyWish& wish_;
    bool closed_ = false;
    std::array<double, 2> grain_{};
    ClosingStudy out_;
};

/// Directions in which both may be pushed, their middle; nullopt where none serves both.
struct Ways {
    double from_rad = 0.0, to_rad = 0.0;
};
std::optional<Ways> shared(const Ways& a, const Ways& b) {
    // The pieces are pushed from one side or from the other: a seam drawn the other way is pushed the other way.
    for (const double turn : {0.0, geometry::pi}) {
        const double shift =
            geometry::two_pi *
                std::round((0.5 * (a.from_rad + a.to_rad) - 0.5 * (b.from_rad + b.to_rad) - turn) / geometry::two_pi) +
            turn;
        const Ways both{std::max(a.from_rad, b.from_rad + shift), std::min(a.to_rad, b.to_rad + shift)};
        if (both.from_rad <= both.to_rad) return both;
    }
    return std::nullopt;
}

}  // namespace

bool has_two_edges(const SeamPlan& seam) {
    return seam.chosen < seam.chains.size() && seam.simulation.carried_out && !seam.simulation.gap.empty() &&
           !seam.in_wood.empty() && !work_stops(seam.simulation);
}

std::optional<ClosingStudy> study_closing(const Plan& plan, std::size_t seam_index, const job::Job& job,
                                          const shelf::Shelf& shelf, const StudyWish& wish) {
    const SeamPlan& seam = plan.seams.at(seam_index);
    if (!has_two_edges(seam)) return std::nullopt;
    return Study(plan, seam, job, shelf, wish).study();
}

std::vector<GlueUp> glue_ups(const Plan& plan, const std::vector<std::optional<ClosingStudy>>& studies,
                             const job::Job& job) {
    std::vector<GlueUp> out;
    const auto study_of = [&](std::size_t i) -> const ClosingStudy* {
        return i < studies.size() && studies[i] ? &*studies[i] : nullptr;
    };
    struct Open {
        GlueUp up;
        Ways ways;
        double area_m2 = 0.0;
        std::size_t clamps = 0;
    };
    const process::Adhesive* adhesive = process::find_adhesive(job.gluing.adhesive);
    std::vector<Open> open;
    for (std::size_t i = 0; i < plan.seams.size(); ++i) {
        const ClosingStudy* study = study_of(i);
        if (study == nullptr || plan.seams[i].kind != job::SeamKind::open) continue;
        const Ways ways{study->assembly.from_rad, study->assembly.to_rad};
        const bool straight = study->assembly.possible && study->glue && study->pressing;
        if (straight && !open.empty() && adhesive != nullptr) {
            // One clamping holds both when the pushes agree; all of it has to be spread and pressed in time.
            Open& last = open.back();
            const auto both = last.up.push_rad ? shared(last.ways, ways) : std::nullopt;
            process::GlueWish wish;
            wish.length_mm = 1e6 * (last.area_m2 + study->glue->area_m2) / plan.thickness_mm;
            wish.thickness_mm = plan.thickness_mm;
            wish.clamps = std::max(last.clamps, study->pressing->row.count);
            wish.people = job.gluing.people;
            if (both && process::plan_gluing(*adhesive, wish).in_time) {
                last.up.seams.push_back(i);
                last.ways = *both;
                last.up.push_rad = 0.5 * (both->from_rad + both->to_rad);
                last.area_m2 += study->glue->area_m2;
                last.clamps = wish.clamps;
                continue;
            }
        }
        Open next;
        next.up.seams = {i};
        if (straight) next.up.push_rad = study->push_rad;
        next.ways = ways;
        next.area_m2 = study->glue ? study->glue->area_m2 : 0.0;
        next.clamps = study->pressing ? study->pressing->row.count : 0;
        open.push_back(std::move(next));
    }
    for (Open& o : open) {
        o.up.why = !o.up.push_rad          ? "It hooks behind itself: free it before you glue."
                   : o.up.seams.size() > 1 ? "One push closes them all, and there is time for it."
                   : open.size() > 1       ? "On its own: the glue gives no time for more, or another push is needed."
                                           : "";
        out.push_back(std::move(o.up));
    }
    for (std::size_t i = 0; i < plan.seams.size(); ++i) {
        if (plan.seams[i].kind == job::SeamKind::inlay && study_of(i) != nullptr)
            out.push_back({{i}, std::nullopt, "Set in from above, once the wood around it is one piece."});
    }
    std::vector<std::size_t> rings;
    for (std::size_t i = 0; i < plan.seams.size(); ++i)
        if (plan.seams[i].kind == job::SeamKind::edging && study_of(i) != nullptr) rings.push_back(i);
    std::stable_sort(rings.begin(), rings.end(), [&](std::size_t a, std::size_t b) {
        return job.seams[a].edging_width_mm > job.seams[b].edging_width_mm;
    });
    for (const std::size_t i : rings) out.push_back({{i}, std::nullopt, "After everything inside it is one piece."});
    return out;
}

}  // namespace seamwright::plan
