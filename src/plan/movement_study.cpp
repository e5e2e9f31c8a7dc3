#include "plan/movement_study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "asked.h"
#include "plan/edging_study.h"
#include "plan/words.h"
#include "shelf/shelf.h"
#include "wood/air.h"
#include "wood/elastic.h"
#include "wood/movement.h"

namespace seamwright::plan {
namespace {

constexpr job::Air heated_winter{21.0, false, 30.0}, heated_summer{21.0, false, 65.0};
/// Pieces whose moisture nobody measured: as at rest in the shop, or as kiln-dried wood is sold (common practice).
constexpr double as_sold_percent = 8.0;
constexpr double gravity_m_s2 = 9.80665;
/// Two supports this part of the length apart bend a plain board least under its own weight (from memory).
constexpr double least_bent_part = 0.554;
/// Bent less than this part of a span, or of what stands out, it looks straight (common practice, from memory).
constexpr double part_of_span = 360.0, part_of_overhang = 180.0;

class Study {
  public:
    Study(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, const BoardsStudy* boards)
        : plan_(plan), job_(job), shelf_(shelf), boards_(boards) {}

    MovementStudy study() {
        out_.air_assumed = !job_.climate.driest || !job_.climate.dampest;
        out_.driest = job_.climate.driest.value_or(heated_winter);
        out_.dampest = job_.climate.dampest.value_or(heated_summer);
        out_.dry_percent = wood::moisture_at_rest(out_.driest.celsius(), out_.driest.humidity_percent);
        out_.damp_percent = wood::moisture_at_rest(out_.dampest.celsius(), out_.dampest.humidity_percent);
        if (job_.climate.shop) {
            out_.shop_percent =
                wood::moisture_at_rest(job_.climate.shop->celsius(), job_.climate.shop->humidity_percent);
        }
        for (std::size_t i = 0; i < plan_.pieces.size(); ++i) out_.pieces.push_back(piece(i));
        widths();
        slots();
        weight_and_sag();
        end_build_up();
        return out_;
    }

  private:
    PieceMovement piece(std::size_t i) const {
        const PiecePlan& plan = plan_.pieces[i];
        PieceMovement out;
        out.piece = i;
        const geometry::Box box = geometry::bounding_box(geometry::turned(plan.region.outer, {}, -plan.grain_rad));
        out.width_mm = box.height_mm();
        if (const SegmentedEdging* edging = segmented(plan_, i))
            out.width_mm = edging->ring.widest_mm - 2.0 * edging->wish.margin_mm;
        std::optional<double> reading;
        if (const job::Piece* asked = asked_of(job_, plan)) reading = asked->moisture_percent;
        bool first = true;
        for (std::size_t k = 0; boards_ != nullptr && k < boards_->parts.size(); ++k) {
            if (boards_->parts[k].piece != i || !boards_->placing.lies[k]) continue;
            const shelf::Board& board = shelf_.boards[boards_->placing.lies[k]->board];
            if (!reading) reading = board.moisture_percent;
            // Strips that are sawn differently: the one that moves most.
            out.sawn = first ? board.sawn : std::min(out.sawn, board.sawn);
            first = false;
        }
        out.measured = reading.has_value();
        out.made_percent = reading.value_or(out_.shop_percent.value_or(as_sold_percent));
        if (const shelf::Species* species = shelf::find_species(plan.species)) {
            // Weight goes with moisture, and the volume nearly stays.
            out.density_kg_m3 = species->density_kg_m3 / 1.12 * (1.0 + out.made_percent / 100.0);
        }
        const auto movement = wood::movement_of(plan.species);
        if (!movement) return out;
        out.known = true;
        out.from_memory = movement->from_memory;
        const double c = wood::across_face(*movement, out.sawn);
        out.dry_part = wood::change_part(*movement, c, out.made_percent, out_.dry_percent);
        out.damp_part = wood::change_part(*movement, c, out.made_percent, out_.damp_percent);
        return out;
    }

    /// The part of its free movement across the fibres that a piece shows in y.
    double in_y(std::size_t piece, Point at) const {
        const double c = std::cos(fibres_at(plan_, piece, at));
        return c * c;
    }

    const PieceMovement* at(Point p) const {
        for (std::size_t i = 0; i < plan_.pieces.size(); ++i)
            if (geometry::contains(plan_.pieces[i].region, p)) return &out_.pieces[i];
        return nullptr;
    }

    void widths() {
        constexpr int stations = 5, samples = 240;
        for (int k = 0; k < stations; ++k) {
            const double x = plan_.box.low.x + plan_.box.width_mm() * (k + 0.5) / stations;
            WidthAt w{x - plan_.box.low.x, 0.0, 0.0, 0.0};
            const double step = plan_.box.height_mm() / samples;
            for (int n = 0; n < samples; ++n) {
                const Point place{x, plan_.box.low.y + step * (n + 0.5)};
                const PieceMovement* here = at(place);
                if (here == nullptr) continue;
                const double part = in_y(here->piece, place);
                w.width_mm += step;
                w.dry_mm += step * here->dry_part * part;
                w.damp_mm += step * here->damp_part * part;
            }
            if (w.width_mm > 0.0) out_.widths.push_back(w);
        }
    }

    void slots() {
        const double width = plan_.box.height_mm();
        out_.fixed_at_mm = std::clamp(job_.base.fixed_line_mm.value_or(0.5 * width), 0.0, width);
        double range = 0.0;
        for (const WidthAt& w : out_.widths) range = std::max(range, (w.damp_mm - w.dry_mm) / w.width_mm);
        out_.slots = slots_up_to(std::max(out_.fixed_at_mm, width - out_.fixed_at_mm), range);
    }

    /// `range`: from the driest to the dampest, as a part of the distance.
    std::vector<Slot> slots_up_to(double far_mm, double range) const {
        std::vector<Slot> out;
        constexpr double every_mm = 100.0, spare_mm = 1.0;
        for (double off = every_mm; off < far_mm + every_mm; off += every_mm) {
            const double here = std::min(off, far_mm);
            // To either side of the screw as it is set: all of the range, for who knows in which season that is.
            out.push_back({here, job_.base.screw_mm + 2.0 * (range * here) + spare_mm});
            if (here == far_mm) break;
        }
        return out;
    }

    void weight_and_sag() {
        for (std::size_t i = 0; i < plan_.pieces.size(); ++i)
            out_.weight_kg += plan_.pieces[i].area_mm2 * plan_.thickness_mm * 1e-9 * out_.pieces[i].density_kg_m3;
        const double length = plan_.box.width_mm();
        if (!(job_.base.supports_mm > 0.0) || job_.base.supports_mm > length) return;
        Sag sag;
        sag.span_mm = job_.base.supports_mm;
        sag.load_n = job_.base.load_n;
        sag.weight_kg = out_.weight_kg;
        // Stiffness of the section at the middle: pieces side by side.
        double stiffness = 0.0;
        constexpr int samples = 240;
        const double step = plan_.box.height_mm() / samples, t = plan_.thickness_mm;
        const double x = plan_.box.low.x + 0.5 * length;
        for (int n = 0; n < samples; ++n) {
            const Point place{x, plan_.box.low.y + step * (n + 0.5)};
            const PieceMovement* here = at(place);
            if (here == nullptr) continue;
            const PiecePlan& piece = plan_.pieces[here->piece];
            const auto elastic = wood::plane_elastic(piece.species);
            if (!elastic) return;
            sag.stiffness_assumed = sag.stiffness_assumed || elastic->from_memory || elastic->of_group;
            stiffness += wood::modulus_at(*elastic, fibres_at(plan_, here->piece, place)) * step * t * t * t / 12.0;
        }
        if (!(stiffness > 0.0)) return;
        const Beam beam{length, stiffness, out_.weight_kg * gravity_m_s2 / length, sag.load_n};
        sag.overhang_mm = 0.5 * (length - sag.span_mm);
        sag.own_mm = beam.own_in_middle_mm(sag.span_mm);
        sag.load_mm = beam.load_in_middle_mm(sag.span_mm);
        sag.overhang_sag_mm = beam.at_end_mm(sag.span_mm);
        sag.good_spans = beam.good_spans();
        out_.sag = sag;
    }

    /// A top on two supports that stand in as far from either end. Formulas: W. Young, R. Budynas, Roark's Formulas for
    /// Stress and Strain, table of beams (from memory).
    struct Beam {
        double length_mm, stiffness, own_n_per_mm, load_n;

        double own_in_middle_mm(double span) const {
            const double out = 0.5 * (length_mm - span);
            return own_n_per_mm * span * span / (384.0 * stiffness) * (5.0 * span * span - 24.0 * out * out);
        }
        double load_in_middle_mm(double span) const { return load_n * span * span * span / (48.0 * stiffness); }
        /// With the load at one end.
        double at_end_mm(double span) const {
            const double out = 0.5 * (length_mm - span);
            const double own =
                own_n_per_mm * out / (24.0 * stiffness) * (3.0 * out * out * (out + 2.0 * span) - span * span * span);
            return own + load_n * out * out * (span + out) / (3.0 * stiffness);
        }
        std::optional<Sag::Spans> good_spans() const {
            constexpr int steps = 100;
            std::optional<Sag::Spans> out;
            for (int k = 20; k <= steps; ++k) {
                const double span = length_mm * k / steps, end = 0.5 * (length_mm - span);
                const double middle = own_in_middle_mm(span) + load_in_middle_mm(span);
                if (middle > span / part_of_span || at_end_mm(span) > end / part_of_overhang + 1e-9) continue;
                if (!out) out = Sag::Spans{span, span};
                out->most_mm = span;
            }
            return out;
        }
    };

    void end_build_up() {
        if (!job_.build_up || out_.widths.empty()) return;
        EndBuildUp out;
        for (const WidthAt& w : {out_.widths.front(), out_.widths.back()}) {
            if (w.damp_mm - w.dry_mm < out.damp_mm - out.dry_mm) continue;
            out = {w.width_mm, w.dry_mm, w.damp_mm, {}};
        }
        if (job_.build_up->ends == job::BuildUp::Ends::floating)
            out.slots = slots_up_to(0.5 * out.width_mm, (out.damp_mm - out.dry_mm) / out.width_mm);
        out_.end_build_up = std::move(out);
    }

    const Plan& plan_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
    const BoardsStudy* boards_;
    MovementStudy out_;
};

}  // namespace

MovementStudy study_movement(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                             const BoardsStudy* boards) {
    return Study(plan, job, shelf, boards).study();
}

namespace {

/// Whether they lie on either side of a seam somewhere.
bool share_a_seam(const Plan& plan, const PiecePlan& a, const PiecePlan& b) {
    constexpr int places = 24;
    constexpr double beside_mm = 0.5;
    for (const SeamPlan& seam : plan.seams) {
        if (seam.in_wood.empty()) continue;
        const auto running = geometry::running_length_mm(seam.in_wood);
        for (int k = 0; k < places; ++k) {
            const auto station = geometry::station_at(seam.in_wood, running, running.back() * (k + 0.5) / places);
            const Point at = geometry::point_at(seam.in_wood, station);
            const Point left = beside_mm * geometry::left_of(geometry::tangent_at(seam.in_wood, station));
            const auto apart = [&](const PiecePlan& one, const PiecePlan& other) {
                return geometry::contains(one.region, at + left) && geometry::contains(other.region, at - left);
            };
            if (apart(a, b) || apart(b, a)) return true;
        }
    }
    return false;
}

}  // namespace

namespace words {
namespace {

std::string air_text(const job::Air& air, units::Unit unit) {
    return fmt::format("{} and {:.0f} %", temperature_text(air.celsius(), unit), air.humidity_percent);
}

Told end_build_up_text(const EndBuildUp& under, const job::Job& job) {
    const auto show = [&](double mm) { return units::show(std::abs(mm), job.style); };
    using Ends = job::BuildUp::Ends;
    Told out{"Built up under the ends", {}, {}};
    const std::string moves = fmt::format("Under the ends the top moves by {} over the year, {} wide.",
                                          show(under.damp_mm - under.dry_mm), show(under.width_mm));
    switch (job.build_up->ends) {
        case Ends::end_grain:
            out.lines.push_back(moves + " Short pieces whose fibres run as the top's move with it: glue them fast.");
            out.lines.push_back(
                "Saw them from the top's own offcuts and lay them in the order they came off, so that colour and grain "
                "line up.");
            break;
        case Ends::floating:
            out.lines.push_back(moves +
                                " Hold the long piece fast in its middle only, without glue elsewhere, and let "
                                "every other screw slide in a slot along it:");
            for (const Slot& slot : under.slots)
                out.lines.push_back(
                    fmt::format("{} from the middle: a slot {} long.", show(slot.off_mm), show(slot.length_mm)));
            break;
        case Ends::glued_across:
            out.cautions.push_back(moves +
                                   " A long piece glued fast across its fibres hardly moves at all: the top "
                                   "splits, cups, or tears it off. It is refused.");
            break;
    }
    return out;
}

std::string sawn_text(shelf::Sawn sawn) {
    return sawn == shelf::Sawn::quarter ? "quarter-sawn" : sawn == shelf::Sawn::rift ? "rift-sawn" : "flat-sawn";
}

}  // namespace

std::vector<Told> movement_text(const MovementStudy& study, const Plan& plan, const job::Job& job) {
    const auto show = [&](double mm) { return units::show(mm, job.style); };
    const auto thin = [&](double mm) { return units::show(std::abs(mm), job.style); };
    const auto moves = [&](double mm) { return mm < 0.0 ? "shrinks by " + thin(mm) : "swells by " + thin(mm); };
    std::vector<Told> out;
    Told year{"Over the year where it stands", {}, {}};
    year.lines.push_back(fmt::format(
        "In the driest air, {}, wood comes to rest at {:.1f} % moisture; in the dampest, {}, at {:.1f} %{}.",
        air_text(study.driest, job.style.unit), study.dry_percent, air_text(study.dampest, job.style.unit),
        study.damp_percent, study.air_assumed ? " (a heated house; common practice, from memory: set your own)" : ""));
    if (!study.widths.empty()) {
        const auto most = std::max_element(study.widths.begin(), study.widths.end(), [](const auto& a, const auto& b) {
            return a.damp_mm - a.dry_mm < b.damp_mm - b.dry_mm;
        });
        year.lines.push_back(
            fmt::format("The top, {} wide {} from its left end, {} when it is driest and {} when it is "
                        "dampest: {} in all.",
                        show(most->width_mm), show(most->at_mm), moves(most->dry_mm), moves(most->damp_mm),
                        show(most->damp_mm - most->dry_mm)));
    }
    for (const PieceMovement& p : study.pieces) {
        const PiecePlan& piece = plan.pieces[p.piece];
        if (!p.known) {
            year.lines.push_back(fmt::format("{}: its wood is not in the tables.", capitalised(piece.name)));
            continue;
        }
        year.lines.push_back(fmt::format(
            "{}, {} {}, {} across its fibres at {:.1f} %{}: {} and {}{}.", capitalised(piece.name), sawn_text(p.sawn),
            piece.species, show(p.width_mm), p.made_percent, p.measured ? " as measured" : " assumed",
            moves(p.width_mm * p.dry_part), moves(p.width_mm * p.damp_part), p.from_memory ? " (from memory)" : ""));
    }
    out.push_back(std::move(year));

    Told start{"Before you start", {}, {}};
    constexpr double beyond_points = 1.0, apart_points = 2.0;
    double least = HUGE_VAL, most = -HUGE_VAL;
    for (const PieceMovement& p : study.pieces) {
        if (!p.measured) continue;
        const std::string name = capitalised(plan.pieces[p.piece].name);
        least = std::min(least, p.made_percent);
        most = std::max(most, p.made_percent);
        const shelf::Species* species = shelf::find_species(plan.pieces[p.piece].species);
        const double days = wood::settling_days(plan.thickness_mm, species == nullptr || species->hardwood);
        if (p.made_percent > study.damp_percent + beyond_points) {
            start.cautions.push_back(fmt::format(
                "{} reads {:.1f} %: too wet to start. It should read {:.0f} to {:.0f} %, between what the driest and "
                "the "
                "dampest air make of it; stickered in the shop that takes about {:.0f} days at {} (a model, from "
                "memory).",
                name, p.made_percent, study.dry_percent, study.damp_percent, days, show(plan.thickness_mm)));
        } else if (p.made_percent < study.dry_percent - beyond_points) {
            start.cautions.push_back(fmt::format(
                "{} reads {:.1f} %, drier than the driest air will make it: it can only swell.", name, p.made_percent));
        }
    }
    if (most - least > apart_points) {
        start.cautions.push_back(
            fmt::format("The pieces differ by {:.1f} points of moisture: let them come together "
                        "before you rout the seams, within {:.0f}.",
                        most - least, apart_points));
    }
    if (study.shop_percent && (*study.shop_percent > study.damp_percent + beyond_points ||
                               *study.shop_percent < study.dry_percent - beyond_points)) {
        start.cautions.push_back(
            fmt::format("In the air of the shop wood comes to rest at {:.1f} %, outside what it "
                        "will see where it stands.",
                        *study.shop_percent));
    }
    const bool none =
        std::none_of(study.pieces.begin(), study.pieces.end(), [](const PieceMovement& p) { return p.measured; });
    if (none) start.lines.push_back("No piece has been measured with a moisture meter yet.");
    // Pieces whose fibres cross: each keeps its length and moves across it.
    for (std::size_t i = 0; i < study.pieces.size(); ++i) {
        for (std::size_t k = i + 1; k < study.pieces.size(); ++k) {
            const auto& a = plan.pieces[study.pieces[i].piece];
            const auto& b = plan.pieces[study.pieces[k].piece];
            // What a ring of segments does to the wood within is told with the ring.
            if (segmented(plan, study.pieces[i].piece) != nullptr || segmented(plan, study.pieces[k].piece) != nullptr)
                continue;
            const double askew = std::abs(std::remainder(a.grain_rad - b.grain_rad, geometry::pi));
            constexpr double crossing_rad = 30.0 * geometry::pi / 180.0;
            if (askew < crossing_rad || !share_a_seam(plan, a, b)) continue;
            start.cautions.push_back(fmt::format(
                "The fibres of {} and {} cross at {:.0f}°: where they are glued to each other one holds what the other "
                "wants to move. Make one of them float, or keep it narrow.",
                a.name, b.name, askew * geometry::degrees_per_radian));
        }
    }
    if (!start.lines.empty() || !start.cautions.empty()) out.push_back(std::move(start));

    Told base{"Holding it on its base", {}, {}};
    base.lines.push_back(
        fmt::format("Hold it fast along one line, {} from its front edge, and let every other screw "
                    "of {} slide in a slot across the fibres:",
                    show(study.fixed_at_mm), show(job.base.screw_mm)));
    for (const Slot& slot : study.slots)
        base.lines.push_back(
            fmt::format("{} from that line: a slot {} long.", show(slot.off_mm), show(slot.length_mm)));
    base.lines.push_back("Set each screw in the middle of its slot, or toward where the season will take it.");
    out.push_back(std::move(base));

    if (study.end_build_up) out.push_back(end_build_up_text(*study.end_build_up, job));

    Told weight{"Weight and sag", {}, {}};
    weight.lines.push_back(fmt::format("It weighs {} at that moisture.", weight_text(study.weight_kg, job.style.unit)));
    if (study.sag) {
        const Sag& s = *study.sag;
        weight.lines.push_back(fmt::format(
            "Between supports {} apart it sags by {} of itself and by {} more under {:.0f} N in the middle{}.",
            show(s.span_mm), thin_text(s.own_mm, job.style.unit), thin_text(s.load_mm, job.style.unit), s.load_n,
            s.stiffness_assumed ? " (stiffness partly from memory)" : ""));
        weight.lines.push_back(
            "Wood lets go with time: count on twice that after years of standing loaded (common "
            "practice, from memory).");
        if (s.overhang_mm > 1.0) {
            weight.lines.push_back(
                fmt::format("It stands out {} at each end; with that load at the very end it gives "
                            "{} there.",
                            show(s.overhang_mm), thin_text(s.overhang_sag_mm, job.style.unit)));
        }
        if (s.own_mm + s.load_mm > s.span_mm / part_of_span) {
            weight.cautions.push_back(
                fmt::format("In the middle that is more than a {:.0f}th of the span, which the eye sees (common "
                            "practice): bring the supports nearer, or make it thicker.",
                            part_of_span));
        }
        if (s.overhang_mm > 1.0 && s.overhang_sag_mm > s.overhang_mm / part_of_overhang) {
            weight.cautions.push_back(
                fmt::format("At the end that is more than a {:.0f}th of what stands out: set the supports farther "
                            "apart, or make it thicker.",
                            part_of_overhang));
        }
        weight.lines.push_back(
            s.good_spans
                ? fmt::format("With supports {} to {} apart neither its middle nor its ends give more than the "
                              "eye sees; a span of about {} bends it least under itself.",
                              show(s.good_spans->least_mm), show(s.good_spans->most_mm),
                              show(least_bent_part * plan.box.width_mm()))
                : std::string("At this thickness no two supports keep both middle and ends straight to the eye "
                              "under that load: a third support, an apron, or thicker wood."));
        const double tips = s.load_n * s.overhang_mm;
        if (tips > 0.5 * s.weight_kg * gravity_m_s2 * s.span_mm) {
            weight.cautions.push_back(
                "That load at the very end is more than the top's own weight balances: screw it to a base that is "
                "heavy or wide enough not to tip.");
        }
    } else {
        weight.lines.push_back("Say how far apart its supports stand to learn how much it sags.");
    }
    constexpr double alone_kg = 25.0;
    if (study.weight_kg > alone_kg)
        weight.cautions.push_back("Lift it with two, and turn it with two: the seam is no handle.");
    out.push_back(std::move(weight));
    return out;
}

}  // namespace words
}  // namespace seamwright::plan
