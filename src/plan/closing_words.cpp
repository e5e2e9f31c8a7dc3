#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "plan/closing_study.h"
#include "plan/words.h"

namespace seamwright::plan::words {
namespace {

using units::show;
using units::Unit;
using SourceKind = seam::ToleranceSource::Kind;

constexpr double degrees = geometry::degrees_per_radian;
constexpr double percent = 100.0;
constexpr double newtons_per_pound = 4.4482216152605;  // exact by the definitions of the pound and standard gravity
constexpr double psi_per_mpa = 145.037737730209;

std::string force_text(double n, Unit unit) {
    if (unit == Unit::inch) return fmt::format("{:.0f} lbf", std::round(n / newtons_per_pound / 10.0) * 10.0);
    return n < 1000.0 ? fmt::format("{:.0f} N", std::round(n / 10.0) * 10.0) : fmt::format("{:.1f} kN", n / 1000.0);
}
std::string minutes_text(const process::Range& range) {
    const auto told = [](double minutes) {
        return minutes < 120.0 ? fmt::format("{:.3g}", minutes) : fmt::format("{:.3g}", minutes / 60.0);
    };
    const bool hours = range.low >= 120.0;
    if (!hours && range.high >= 120.0) return fmt::format("{:.3g} min to {:.3g} h", range.low, range.high / 60.0);
    return fmt::format("{} to {} {}", told(range.low), told(range.high), hours ? "h" : "min");
}

std::string held_text(job::Held held) {
    switch (held) {
        case job::Held::one_way:
            return "with the same handle toward the same end on every template and cut";
        case job::Held::end_for_end:
            return "turned end for end between the two pieces";
        case job::Held::with_edge:
            return "turned along with the edge";
        case job::Held::any_way:
            return "as it comes";
    }
    return {};
}

/// Sources of one kind and tool, that come up at several steps.
struct SourceGroup {
    seam::ToleranceSource first;
    std::size_t count = 0;
    double share = 0.0, alone_mm = 0.0;
};
std::vector<SourceGroup> source_groups(const std::vector<seam::ToleranceSource>& sources) {
    std::vector<SourceGroup> groups;
    for (const seam::ToleranceSource& s : sources) {
        auto group = std::find_if(groups.begin(), groups.end(), [&](const SourceGroup& g) {
            return g.first.kind == s.kind && g.first.tool == s.tool;
        });
        if (group == groups.end()) group = groups.insert(groups.end(), {s, 0, 0.0, 0.0});
        ++group->count;
        group->share += s.share;
        group->alone_mm = std::max(group->alone_mm, s.alone_mm);
    }
    std::stable_sort(groups.begin(), groups.end(),
                     [](const SourceGroup& a, const SourceGroup& b) { return a.share > b.share; });
    return groups;
}

class Teller {
  public:
    Teller(const ClosingStudy& study, const SeamPlan& seam, const Plan& plan, const job::Job& job)
        : study_(study), seam_(seam), plan_(plan), job_(job), unit_(plan.style.unit) {}

    std::vector<Told> all() const {
        std::vector<Told> parts{as_planned(), together(), tolerance()};
        if (!study_.advice.empty() || study_.tolerance.worn_throughout_mm) parts.push_back(habits());
        if (study_.pressing) parts.push_back(pressing());
        if (study_.glue) parts.push_back(gluing());
        parts.push_back(grain());
        return parts;
    }

  private:
    std::string thin(double mm) const { return thin_text(mm, unit_); }
    std::string length(double mm) const { return show(mm, plan_.style); }
    std::string stretch(double from_mm, double to_mm) const {
        if (to_mm - from_mm < 1.0) return fmt::format("at {}", length(from_mm));
        return fmt::format("from {} to {}", length(from_mm), length(to_mm));
    }
    std::string right() const { return seam_.right_pieces.empty() ? "the right piece" : seam_.right_pieces; }
    std::string left() const { return seam_.left_pieces.empty() ? "the left piece" : seam_.left_pieces; }

    Told as_planned() const {
        Told told{"As planned", {}, {}};
        const double before = *std::max_element(study_.planned_gap_mm.begin(), study_.planned_gap_mm.end(),
                                                [](double a, double b) { return std::abs(a) < std::abs(b); });
        told.lines.push_back(fmt::format(
            "With every size as planned the edges miss each other by {} as cut, and by {} once pushed together.",
            thin(std::abs(before)), thin(study_.planned.largest_gap_mm)));
        if (study_.planned.overlap_mm > 1e-6) {
            told.lines.push_back(fmt::format("They overlap: {} has to come off before they go together.",
                                             thin(study_.planned.overlap_mm)));
        }
        return told;
    }

    Told together() const {
        Told told{"Bringing the pieces together", {}, {}};
        if (seam_.kind == job::SeamKind::inlay) {
            told.lines.push_back(fmt::format(
                "{} goes in from above. Ease its lower edge a little, try it dry no deeper than you can get it out "
                "again, and press it down evenly with cauls and weights or clamps; give the glue a way out below.",
                capitalised(left())));
        } else if (seam_.kind == job::SeamKind::edging) {
            told.lines.push_back("The inside goes into its ring from above, or the ring is glued on in parts.");
        } else if (study_.assembly.possible) {
            const double room = study_.assembly.to_rad - study_.assembly.from_rad;
            told.lines.push_back(
                fmt::format("Push {} {}, straight. Any way up to {:.0f}° to either side of that works.", right(),
                            direction_text(study_.push_rad), 0.5 * room * degrees));
            told.lines.push_back(
                "That way lies along the middle of all the ways the seam faces: pushed like that, an even gap closes "
                "best.");
        } else if (study_.freeing) {
            told.lines.push_back(fmt::format(
                "No straight push brings these two together: the seam hooks behind itself. It comes free when {} {} "
                "moved, by up to {}; {} is then pushed {}.",
                times(study_.freeing->stretches.size(), "stretch", "stretches"),
                study_.freeing->stretches.size() == 1 ? "is" : "are", length(study_.freeing->by_mm), right(),
                direction_text(study_.push_rad)));
            for (const auto& s : study_.freeing->stretches) {
                told.lines.push_back(fmt::format("{}: by {} {}, most {}", capitalised(stretch(s.from_mm, s.to_mm)),
                                                 length(s.by_mm), direction_text(geometry::heading(s.move)),
                                                 place_text(s.at, plan_.style)));
            }
        }
        told.lines.push_back(
            "Dry first: push them together without glue, hold a light behind, and try 0.05 mm (0.002 in) feeler "
            "stock along the seam from both faces. Mark both pieces across the seam so that they meet the same way "
            "again.");
        return told;
    }

    Told tolerance() const {
        const seam::Tolerance& t = study_.tolerance;
        Told told{"With real tools and hands", {}, {}};
        if (t.sampled.samples > 0) {
            told.lines.push_back(fmt::format(
                "Of {} such seams, tried by calculation with every error anywhere within its size, half close to {} "
                "and 95 in 100 to {}; {:.0f} % stay within your limit of {}.",
                t.sampled.samples, thin(t.sampled.half_mm), thin(t.sampled.most_mm), percent * t.sampled.within_limit,
                thin(t.limit_mm)));
        }
        told.lines.push_back(fmt::format("All errors at their worst at once: {}. Worst ones squared and added: {}.",
                                         thin(t.worst_mm), thin(t.squares_mm)));
        if (t.sampled.not_together > 0) {
            told.lines.push_back(
                fmt::format("{} of them do not go together without taking something off.", t.sampled.not_together));
        }
        constexpr std::size_t most_told = 6;
        constexpr double least_share = 0.01;
        const auto groups = source_groups(t.sources);
        for (std::size_t i = 0; i < groups.size() && i < most_told; ++i) {
            const SourceGroup& g = groups[i];
            if (g.share < least_share) break;
            told.lines.push_back(fmt::format("{:.0f} % {}{}; {} it leaves {}", percent * g.share,
                                             source_text(g.first, seam_, g.count > 1), size_text(g.first),
                                             g.count > 1 ? "each time" : "alone", thin(g.alone_mm)));
        }
        return told;
    }
    /// " (± 0.10 mm)"
    std::string size_text(const seam::ToleranceSource& s) const {
        switch (s.kind) {
            case SourceKind::moisture:
                return fmt::format(" (± {:.1f} points)", s.size_mm);
            case SourceKind::paper:
                return fmt::format(" (± {} in a metre)", units::show_thin(s.size_mm, unit_));
            case SourceKind::cutter_wear:
            case SourceKind::guide_wear:
            case SourceKind::run_out:
                return fmt::format(" (up to {})", units::show_thin(s.size_mm, unit_));
            default:
                return fmt::format(" (± {})", units::show_thin(s.size_mm, unit_));
        }
    }

    Told habits() const {
        using What = seam::ToleranceAdvice::What;
        Told told{"What helps", {}, {}};
        const seam::Tolerance& t = study_.tolerance;
        for (const seam::ToleranceAdvice& a : study_.advice) {
            const std::string change =
                fmt::format("95 in 100 then close to {} instead of {}", thin(a.then_mm), thin(a.now_mm));
            switch (a.what) {
                case What::hold_one_way:
                    told.lines.push_back(fmt::format(
                        "Keep the same handle of the router toward the same end, on every template and cut: {}.",
                        change));
                    break;
                case What::do_not_turn:
                    told.lines.push_back(fmt::format(
                        "Keep the same handle of the router toward the same end, as you do: turned end for end between "
                        "the two pieces it would be {}.",
                        thin(a.then_mm)));
                    break;
                case What::measure:
                    told.lines.push_back(fmt::format("Measure the {} by a test cut: {}.", a.tool, change));
                    break;
                case What::copy_after_grinding:
                    told.lines.push_back(fmt::format(
                        "Have the {} ground before the first copy or after the last cut, never between: then it would "
                        "be {}. A ground cutter means copying again.",
                        a.tool, thin(a.then_mm)));
                    break;
            }
        }
        if (t.worn_throughout_mm) {
            told.lines.push_back(fmt::format(
                "One and the same cutter may be smaller by up to {} than planned, and the seam still closes.",
                thin(*t.worn_throughout_mm)));
        }
        if (t.worn_between_mm) {
            told.lines.push_back(
                fmt::format("Between copying and cutting it may lose no more than {}.", thin(*t.worn_between_mm)));
        }
        return told;
    }

    Told pressing() const {
        const Pressing& p = *study_.pressing;
        Told told{"Clamping", {}, {}};
        told.lines.push_back(
            fmt::format("{} clamps, {} apart, {} each; cauls {} deep and {} thick between clamps and wood.",
                        p.row.count, length(p.row.spacing_mm), force_text(p.row.force_n, unit_),
                        length(job_.gluing.caul_depth_mm), length(job_.gluing.caul_thickness_mm)));
        if (p.clamps.empty()) {
            told.lines.push_back(
                fmt::format("The shelf has no clamps that open {}; a bar clamp tightened by hand is taken to give {}.",
                            length(p.opens_mm), force_text(p.force_n, unit_)));
        } else if (p.there < p.fewest) {
            told.lines.push_back(
                fmt::format("Your {} are {}: too few; {} are needed. Take stiffer cauls, borrow some, or clamp one "
                            "stretch at a time.",
                            p.clamps, p.there, p.fewest));
        } else {
            told.lines.push_back(
                fmt::format("Your {} are enough: there are {}, {} at least are needed.", p.clamps, p.there, p.fewest));
        }
        told.lines.push_back(fmt::format("They press {} on the average, {} to {} along the seam.",
                                         pressure_text(p.given_mpa, unit_), pressure_text(p.pressure.least_mpa, unit_),
                                         pressure_text(p.pressure.largest_mpa, unit_)));
        constexpr double as_good_as = 0.95;
        if (p.given_mpa < as_good_as * p.wanted_mpa) {
            told.lines.push_back(
                fmt::format("The Wood Handbook asks for {} with woods as dense as these, which takes {} such clamps. "
                            "Edges that meet "
                            "hold with less; the poorer they fit, the nearer you should come to it.",
                            pressure_text(p.wanted_mpa, unit_), p.for_wanted));
        }
        if (p.pressure.slides) {
            told.lines.push_back(fmt::format(
                "On wet glue {} slides sideways, with {}, more than the {} that friction holds: set stops or cut ears "
                "for the clamps, or put in pins or loose tongues.",
                right(), force_text(std::abs(p.pressure.sideways_n), unit_),
                force_text(p.pressure.holds_sideways_n, unit_)));
        } else if (!p.pressure.steep.empty()) {
            const auto& steepest =
                *std::max_element(p.pressure.steep.begin(), p.pressure.steep.end(),
                                  [](const auto& a, const auto& b) { return a.steepest_rad < b.steepest_rad; });
            told.lines.push_back(fmt::format(
                "The seam is up to {:.0f}° aslant to the push ({}), where wet glue alone does not hold; over its whole "
                "length the two sides balance. Stops at both ends keep it from creeping while you tighten.",
                steepest.steepest_rad * degrees, stretch(steepest.from_mm, steepest.to_mm)));
        }
        for (const auto& s : p.pressure.lifted)
            told.lines.push_back(fmt::format("No pressure {}: set a clamp there.", stretch(s.from_mm, s.to_mm)));
        if (p.elastic) {
            const auto& e = *p.elastic;
            told.lines.push_back(
                e.closes
                    ? fmt::format("What 95 in 100 seams leave open they bend and dent shut: that takes {} (a model: "
                                  "straight seam, even width).",
                                  pressure_text(e.needed_mpa, unit_))
                    : fmt::format("Of what 95 in 100 seams leave open they close all but {}; to close it whole takes "
                                  "{} (a model: straight seam, even width).",
                                  thin(e.left_mm), pressure_text(e.needed_mpa, unit_)));
        }
        for (const std::string& piece : p.stiffness_assumed) {
            told.lines.push_back(fmt::format(
                "How stiff the wood of {} is, the tables do not say: a middling hardwood is taken for it.", piece));
        }
        told.cautions.push_back(
            "Cauls and clamps are heavy and slip: set stops, keep fingers out of the seam, tighten from the middle "
            "outward in turns, and stand aside of a bar under load.");
        return told;
    }

    Told gluing() const {
        const process::GluePlan& g = *study_.glue;
        const process::Adhesive& adhesive = *process::find_adhesive(job_.gluing.adhesive);
        Told told{"Gluing", {}, {}};
        told.lines.push_back(fmt::format(
            "{}: {} to {} on the seam, have {} ready.{}", adhesive.name, mass_text(g.grams.low, unit_),
            mass_text(g.grams.high, unit_), mass_text(g.to_mix_g, unit_),
            adhesive.from_memory ? " Numbers of the glue are from memory; its own sheet comes first." : ""));
        told.lines.push_back(
            fmt::format("Spreading takes {} about {:.0f} min, the clamps until {:.0f} min; the glue allows {:.3g} min "
                        "open and {:.3g} "
                        "more once closed.",
                        job_.gluing.people == 2 ? "two of you" : "one person", std::ceil(g.spread_min),
                        std::ceil(g.press_min), adhesive.open_min.low, adhesive.closed_min.low));
        told.lines.push_back(fmt::format(
            "Leave it clamped {}, and do nothing that stresses the seam for {:.0f} h. Shop and wood at {} or warmer.",
            minutes_text(g.clamp_min), g.next_step_h, temperature_text(adhesive.least_temperature_c, unit_)));
        told.lines.push_back(
            "What is pressed out shows on the good face: cover it along the seam with tape, or take the glue off when "
            "it is like rubber; wiped while wet it is driven into the grain.");
        for (const std::string& line : g.must) told.lines.push_back("Stop: " + line);
        for (const std::string& line : g.mind) told.lines.push_back(line);
        told.cautions.push_back(glue_caution(adhesive.id));
        return told;
    }
    static std::string glue_caution(const std::string& id) {
        if (id == "epoxy")
            return "Epoxy and its hardener burn and sensitise the skin for life: gloves, glasses, fresh air; never "
                   "take "
                   "it off with solvent on bare skin. A pot of it left standing can get hot enough to smoke. Read its "
                   "safety sheet.";
        if (id == "polyurethane")
            return "Polyurethane glue holds isocyanate, which can bring on asthma, and sticks to skin: gloves, "
                   "glasses, "
                   "fresh air. Read its safety sheet.";
        if (id == "urea")
            return "Urea resin gives off formaldehyde, and its powder and hardener harm eyes and lungs: gloves, mask, "
                   "fresh air. Read its safety sheet.";
        if (id == "hide") return "The glue and its pot scald at 60 °C: keep the lead out of the way.";
        return "Keep glue off skin and eyes, and air the shop. What its maker's sheet says comes first.";
    }

    /// All stretches of one kind on one piece.
    struct GrainGroup {
        std::string piece;
        wood::SeamGrain grain = wood::SeamGrain::run_out;
        std::string places;
        std::size_t count = 0;
        double steepest_rad = 0.0;
        std::optional<wood::JointStrength> weakest;
    };
    std::vector<GrainGroup> grain_groups() const {
        std::vector<GrainGroup> groups;
        for (const SideStudy& side : study_.sides) {
            for (const SideStudy::Stretch& s : side.stretches) {
                auto group = std::find_if(groups.begin(), groups.end(), [&](const GrainGroup& g) {
                    return g.piece == s.piece && g.grain == s.grain;
                });
                if (group == groups.end()) {
                    GrainGroup next;
                    next.piece = s.piece;
                    next.grain = s.grain;
                    group = groups.insert(groups.end(), std::move(next));
                }
                group->places += (group->count++ == 0 ? "" : ", ") + stretch(s.from_mm, s.to_mm);
                group->steepest_rad = std::max(group->steepest_rad, s.steepest_rad);
                const bool weaker =
                    s.strength && (!group->weakest || s.strength->joint_shear_mpa < group->weakest->joint_shear_mpa);
                if (weaker) group->weakest = s.strength;
            }
        }
        return groups;
    }

    Told grain() const {
        Told told{"Grain at the seam", {}, {}};
        const auto groups = grain_groups();
        bool ends = false, model = false;
        for (const GrainGroup& g : groups) {
            constexpr double short_rad = 0.35;  // 20°
            std::string line = fmt::format("{}: {} {}, up to {:.0f}° between fibres and seam", g.piece,
                                           g.grain == wood::SeamGrain::end_grain ? "end grain" : "the fibres run out",
                                           g.places, g.steepest_rad * degrees);
            if (g.grain == wood::SeamGrain::end_grain) {
                ends = true;
                line += ".";
            } else {
                if (g.weakest) {
                    model = true;
                    line += fmt::format("; glued, it bears about {} pulled apart and {} along the seam",
                                        pressure_text(g.weakest->joint_tension_mpa, unit_),
                                        pressure_text(g.weakest->joint_shear_mpa, unit_));
                }
                line += g.steepest_rad < short_rad
                            ? "."
                            : ". Such short grain breaks out easily: back it up while you rout, and do not lift the "
                              "piece by it.";
            }
            told.lines.push_back(line);
        }
        if (ends) {
            told.lines.push_back(
                "End grain alone makes no lasting joint: it holds a quarter of the wood at best. Put loose tongues or "
                "pins across it, back it with a spline below, or turn the grain of that piece.");
        }
        if (model) {
            told.lines.push_back(
                "These strengths are a model, not measured: tables for clear wood and Hankinson's formula, exponent "
                "1.75 for tension and 2 for shear.");
        }
        if (groups.empty()) {
            const bool unknown = study_.sides[0].species.empty() && study_.sides[1].species.empty();
            told.lines.push_back(unknown ? "No wood is chosen for these pieces yet, so nothing can be said of it."
                                         : "The fibres run along the seam on both sides, within 1 in 5: glued, it "
                                           "comes close to the wood itself.");
        }
        return told;
    }

    const ClosingStudy& study_;
    const SeamPlan& seam_;
    const Plan& plan_;
    const job::Job& job_;
    Unit unit_;
};

}  // namespace

std::string pressure_text(double mpa, units::Unit unit) {
    return unit == Unit::inch ? fmt::format("{:.0f} psi", mpa * psi_per_mpa) : fmt::format("{:.2f} MPa", mpa);
}

std::string direction_text(double rad) {
    struct Side {
        const char* name;
        double rad;
    };
    constexpr double quarter = 0.5 * geometry::pi;
    const std::array<Side, 4> sides{{{"right", 0.0}, {"back", quarter}, {"left", 2.0 * quarter}, {"front", -quarter}}};
    const auto off = [&](const Side& s) { return std::remainder(rad - s.rad, geometry::two_pi); };
    const auto nearest = std::min_element(
        sides.begin(), sides.end(), [&](const Side& a, const Side& b) { return std::abs(off(a)) < std::abs(off(b)); });
    const double over = off(*nearest);
    if (std::abs(over) * degrees < 0.5) return fmt::format("toward the {}", nearest->name);
    const double next_rad = nearest->rad + (over > 0.0 ? quarter : -quarter);
    const auto next = std::min_element(sides.begin(), sides.end(), [&](const Side& a, const Side& b) {
        return std::abs(std::remainder(next_rad - a.rad, geometry::two_pi)) <
               std::abs(std::remainder(next_rad - b.rad, geometry::two_pi));
    });
    return fmt::format("toward the {}, {:.0f}° over to the {}", nearest->name, std::abs(over) * degrees, next->name);
}

std::string closing_verdict(const ClosingStudy& study, const SeamPlan& seam, const Plan& plan) {
    const seam::Tolerance& t = study.tolerance;
    const Unit unit = plan.style.unit;
    const std::string limit = thin_text(t.limit_mm, unit);
    if (seam.kind == job::SeamKind::open && !study.assembly.possible)
        return "It cannot be pushed together as drawn: the seam hooks behind itself.";
    const double most = t.sampled.samples > 0 ? t.sampled.most_mm : t.squares_mm;
    const auto groups = source_groups(t.sources);
    const std::string worst_cause =
        groups.empty() ? std::string()
                       : fmt::format(" What counts most is {}.",
                                     source_text(groups.front().first, seam, groups.front().count > 1));
    switch (t.closes) {
        case seam::Closes::surely:
            return fmt::format("It closes, even with every error at its worst: {} at most, your limit is {}.",
                               thin_text(t.worst_mm, unit), limit);
        case seam::Closes::most_likely:
            return fmt::format("It most likely closes: 95 in 100 to {}, your limit is {}.{}", thin_text(most, unit),
                               limit, worst_cause);
        case seam::Closes::perhaps:
            return fmt::format("It may not close: 95 in 100 to {} only, your limit is {}.{}", thin_text(most, unit),
                               limit, worst_cause);
        case seam::Closes::hardly:
            return fmt::format("It hardly closes: half of such seams leave more than your limit of {}.{}", limit,
                               worst_cause);
    }
    return {};
}

std::string source_text(const seam::ToleranceSource& source, const SeamPlan& seam, bool several) {
    const auto step = [&] {
        if (several || !source.step || *source.step >= seam.steps.size()) return std::string();
        std::string title = seam.steps[*source.step].title;
        if (!title.empty() && title.front() >= 'A' && title.front() <= 'Z')
            title.front() = static_cast<char>(title.front() - 'A' + 'a');
        return ", where you " + title;
    };
    const std::string tool = source.tool.empty() ? "the tool" : source.tool;
    switch (source.kind) {
        case SourceKind::cutter_size:
        case SourceKind::guide_size:
            return fmt::format("the size of the {}{}", tool, source.measured ? ", measured" : ", not measured yet");
        case SourceKind::cutter_wear:
        case SourceKind::guide_wear:
            return fmt::format("wear of the {} during the work", tool);
        case SourceKind::run_out:
            return fmt::format("wobble of the {}", tool);
        case SourceKind::guide_play:
            return fmt::format("play of the {} in its base{}", tool, step());
        case SourceKind::off_centre:
            return "a guide that sits beside the middle of the spindle" + step();
        case SourceKind::routed_edge:
            return several ? "unevenness of the routed edges" : "unevenness of the routed edge" + step();
        case SourceKind::hand_edge:
            return several ? "unevenness of the edges worked by hand"
                           : "unevenness of the edge worked by hand" + step();
        case SourceKind::paper:
            return "paper that is longer or shorter" + step();
        case SourceKind::moisture:
            return "moisture that changes between the two cuts";
    }
    return {};
}

std::vector<Told> closing_text(const ClosingStudy& study, const SeamPlan& seam, const Plan& plan, const job::Job& job) {
    std::vector<Told> parts = Teller(study, seam, plan, job).all();
    // How the router was taken to be held stands with what that costs.
    parts[2].lines.push_back(
        fmt::format("The router is taken to be held {}; this and every size is yours to set under "
                    "\"accuracy\" in the job.",
                    held_text(job.accuracy.held)));
    return parts;
}

Told glue_ups_text(const std::vector<GlueUp>& order, const Plan& plan) {
    Told told{"Order of the glue-ups", {}, {}};
    if (order.size() < 2 && (order.empty() || order.front().seams.size() < 2)) return told;
    for (std::size_t k = 0; k < order.size(); ++k) {
        std::string names;
        for (const std::size_t i : order[k].seams) names += (names.empty() ? "" : " and ") + plan.seams.at(i).name;
        std::string line = fmt::format("{}. {}", k + 1, names);
        if (order[k].push_rad && order[k].seams.size() > 1)
            line += fmt::format(", pushed {}", direction_text(*order[k].push_rad));
        told.lines.push_back(line + ". " + order[k].why);
    }
    told.lines.push_back("Each next one when the one before may be unclamped.");
    return told;
}

}  // namespace seamwright::plan::words
