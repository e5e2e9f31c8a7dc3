#include "plan/movement_study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "asked.h"
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
        return out_;
    }

  private:
    PieceMovement piece(std::size_t i) const {
        const PiecePlan& plan = plan_.pieces[i];
        PieceMovement out;
        out.piece = i;
        const geometry::Box box = geometry::bounding_box(geometry::turned(plan.region.outer, {}, -plan.grain_rad));
        out.width_mm = box.height_mm();
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
    static double in_y(const PiecePlan& piece) {
        const double c = std::cos(piece.grain_rad);
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
                const PieceMovement* here = at({x, plan_.box.low.y + step * (n + 0.5)});
                if (here == nullptr) continue;
                w.width_mm += step;
                w.dry_mm += step * here->dry_part * in_y(plan_.pieces[here->piece]);
                w.damp_mm += step * here->damp_part * in_y(plan_.pieces[here->piece]);
            }
            if (w.width_mm > 0.0) out_.widths.push_back(w);
        }
    }

    void slots() {
        const double width = plan_.box.height_mm();
        out_.fixed_at_mm = std::clamp(job_.base.fixed_line_mm.value_or(0.5 * width), 0.0, width);
        double range = 0.0;
        for (const WidthAt& w : out_.widths) range = std::max(range, (w.damp_mm - w.dry_mm) / w.width_mm);
        const double far = std::max(out_.fixed_at_mm, width - out_.fixed_at_mm);
        constexpr double every_mm = 100.0, spare_mm = 1.0;
        for (double off = every_mm; off < far + every_mm; off += every_mm) {
            const double here = std::min(off, far);
            // To either side of the screw as it is set: all of the range, for who knows in which season that is.
            out_.slots.push_back({here, job_.base.screw_mm + 2.0 * (range * here) + spare_mm});
            if (here == far) break;
        }
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
            const PieceMovement* here = at({x, plan_.box.low.y + step * (n + 0.5)});
            if (here == nullptr) continue;
            const PiecePlan& piece = plan_.pieces[here->piece];
            const auto elastic = wood::plane_elastic(piece.species);
            if (!elastic) return;
            sag.stiffness_assumed = sag.stiffness_assumed || elastic->from_memory || elastic->of_group;
            stiffness += wood::modulus_at(*elastic, piece.grain_rad) * step * t * t * t / 12.0;
        }
        if (!(stiffness > 0.0)) return;
        const double l = sag.span_mm, own_n = out_.weight_kg * gravity_m_s2 * l / length;
        sag.own_mm = 5.0 / 384.0 * own_n * l * l * l / stiffness;
        sag.load_mm = 1.0 / 48.0 * sag.load_n * l * l * l / stiffness;
        sag.overhang_mm = 0.5 * (length - l);
        const double o = sag.overhang_mm, end_n = out_.weight_kg * gravity_m_s2 * o / length;
        // Held level at the support, loaded at its end.
        sag.overhang_sag_mm = (end_n / 8.0 + sag.load_n / 3.0) * o * o * o / stiffness;
        out_.sag = sag;
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

namespace words {
namespace {

std::string air_text(const job::Air& air, units::Unit unit) {
    const double c = air.celsius();
    return unit == units::Unit::inch ? fmt::format("{:.0f} °F and {:.0f} %", 1.8 * c + 32.0, air.humidity_percent)
                                     : fmt::format("{:.0f} °C and {:.0f} %", c, air.humidity_percent);
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
            const double askew = std::abs(std::remainder(a.grain_rad - b.grain_rad, geometry::pi));
            constexpr double crossing_rad = 30.0 * geometry::pi / 180.0;
            if (askew < crossing_rad) continue;
            start.cautions.push_back(fmt::format(
                "The fibres of {} and {} cross at {:.0f}°: where they are glued to each other one holds what the other "
                "wants to move. Make one of them float, or keep it narrow.",
                a.name, b.name, askew * geometry::degrees_per_radian));
        }
    }
    if (!start.lines.empty() || !start.cautions.empty()) out.push_back(std::move(start));

    Told base{"Holding it on its base", {}, {}};
    base.lines.push_back(
        fmt::format("Hold it fast along one line, {} from its lowest edge, and let every other screw "
                    "of {} slide in a slot across the fibres:",
                    show(study.fixed_at_mm), show(job.base.screw_mm)));
    for (const Slot& slot : study.slots)
        base.lines.push_back(
            fmt::format("{} from that line: a slot {} long.", show(slot.off_mm), show(slot.length_mm)));
    base.lines.push_back("Set each screw in the middle of its slot, or toward where the season will take it.");
    out.push_back(std::move(base));

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
        constexpr double part = 360.0;
        if (s.own_mm + s.load_mm > s.span_mm / part) {
            weight.cautions.push_back(
                fmt::format("That is more than {:.0f}th of the span, which the eye sees (common "
                            "practice): bring the supports nearer, or make it thicker.",
                            part));
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
