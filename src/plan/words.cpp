#include "plan/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace seamwright::plan::words {
namespace {

using units::show;
using units::show_thin;
using units::Unit;

constexpr double mm2_per_square_foot = 304.8 * 304.8;
constexpr double kg_per_pound = 0.45359237;  // exact, international pound (1959)
/// Places known better than this are known better than any maker can measure.
constexpr double finest_told_mm = 0.001;

std::string certified_text(double mm, Unit unit) {
    if (mm <= finest_told_mm) return unit == Unit::inch ? "0.00004 in" : "0.001 mm";
    return unit == Unit::inch ? fmt::format("{:.5f} in", mm / units::mm_per_inch) : fmt::format("{:.3f} mm", mm);
}

}  // namespace

std::string area_text(double mm2, Unit unit) {
    return unit == Unit::inch ? fmt::format("{:.2f} sq ft", mm2 / mm2_per_square_foot)
                              : fmt::format("{:.3f} m²", mm2 / 1e6);
}

std::string exact_size(double mm, const units::LengthStyle& style) {
    constexpr double callipers_mm = 0.005;
    const auto written = units::write_length(mm, style);
    return std::abs(written.error_mm) <= callipers_mm ? written.text : units::show_thin(mm, style.unit);
}

std::string weight_text(double kg, Unit unit) {
    return unit == Unit::inch ? fmt::format("{:.1f} lb", kg / kg_per_pound) : fmt::format("{:.1f} kg", kg);
}

std::string size_text(const geometry::Box& box, const units::LengthStyle& style) {
    return fmt::format("{} × {}", show(box.high.x - box.low.x, style), show(box.high.y - box.low.y, style));
}

std::string times(std::size_t count, std::string_view one, std::string_view several) {
    return fmt::format("{} {}", count, count == 1 ? one : several);
}

std::string place_text(geometry::Point at, const units::LengthStyle& style) {
    return fmt::format("{} from the left, {} from the front", show(at.x, style), show(at.y, style));
}

std::string shape_text(const SeamPlan& seam, const units::LengthStyle& style) {
    std::string text = fmt::format("{} long", show(seam.length_mm, style));
    const auto tell = [&](const std::optional<curves::Drawn::Tightest>& tightest, std::string_view hand) {
        if (!tightest || !std::isfinite(tightest->radius_mm)) return;
        text += fmt::format("; tightest radius turning {} {} ({})", hand, show(tightest->radius_mm, style),
                            place_text(tightest->at, style));
    };
    tell(seam.drawn.tightest_left, "left");
    tell(seam.drawn.tightest_right, "right");
    return text + ".";
}

std::string fairness_text(const SeamPlan& seam, const units::LengthStyle& style) {
    const auto places = [&](const std::vector<std::string>& all) {
        std::string text;
        constexpr std::size_t most = 4;
        for (std::size_t i = 0; i < all.size() && i < most; ++i)
            text += (i == 0 ? "" : i + 1 == all.size() ? " and " : ", ") + all[i];
        if (all.size() > most) text += fmt::format(" and in {} more places", all.size() - most);
        return text;
    };
    std::vector<std::string> turns, bumps;
    for (const double at : seam.drawn.inflections_mm) turns.push_back(show(at, style));
    for (const curves::Bump& bump : seam.bumps) {
        // A crest of curvature that turns right is a hollow one, and the other way about.
        const bool sharper = bump.high == (bump.curvature >= 0.0);
        bumps.push_back(fmt::format("{} ({})", show(bump.at_mm, style), sharper ? "sharper" : "flatter"));
    }
    std::string text = turns.empty() ? std::string("it turns one way all along")
                                     : fmt::format("it turns the other way at {}", places(turns));
    text += bumps.empty()
                ? "; its bend changes evenly, without a crest"
                : fmt::format("; its bend has {}: at {}", times(bumps.size(), "crest", "crests"), places(bumps));
    return text + " (along the line as drawn).";
}

std::string board_text(const PiecePlan& piece, const units::LengthStyle& style) {
    const PiecePlan::Board& board = *piece.board;
    std::string text = fmt::format("{} is {} wide across its grain; a board of {} leaves {} between margins of {}",
                                   piece.name, show(board.takes_mm, style), show(board.width_mm, style),
                                   show(board.width_mm - 2.0 * board.margin_mm, style), show(board.margin_mm, style));
    text += board.fits ? ": it comes out of it." : ": it does not come out of it.";
    constexpr double no_limit = 100.0, percent = 100.0;
    if (board.times_as_high <= 0.0) {
        if (!board.fits)
            text += fmt::format(" A board of {} would do.", show(board.takes_mm + 2.0 * board.margin_mm, style));
        return text;
    }
    if (board.times_as_high >= no_limit) return text + " The board does not limit the height of its seams.";
    // Rounded down, so that what is told fits.
    return text + fmt::format(" Its seams may be at most {:.0f} % as high as they are drawn.",
                              std::floor(percent * board.times_as_high));
}

std::string sprung_text(const curves::SprungStick& stick, const units::LengthStyle& style) {
    return fmt::format("{} long between its ends, rises by {} and leaves them at {:.1f}°", show(stick.length_mm, style),
                       show(stick.rise_mm, style), stick.end_slope_rad * geometry::degrees_per_radian);
}

double thickest_told_mm(const StickPlan& stick, const units::LengthStyle& style) {
    constexpr double told_mm = 0.1;
    constexpr double told_in = 1.0 / 64.0;
    const double step_mm = style.unit == Unit::inch ? told_in * units::mm_per_inch : told_mm;
    return std::floor(stick.greatest_thickness_mm / step_mm) * step_mm;
}

std::string strain_text(const StickPlan& stick) {
    constexpr double percent = 100.0;
    std::string text = fmt::format("its skin is stretched by {:.2f} %, ", percent * stick.strain);
    const double part = stick.part_of_rupture;
    text += part < 1.5 ? fmt::format("{:.0f} % of what breaks such wood", percent * part)
                       : fmt::format("{:.1f} times what breaks such wood", part);
    text += stick.limit->from_memory ? " (on the average; from memory)" : " (on the average)";
    // What hardly ever breaks is not told as odds: nobody has measured them.
    constexpr double worth_telling = 0.001;
    constexpr double nearly_all = 0.95;
    const double breaks = stick.part_that_breaks;
    if (breaks > nearly_all) return text + "; it breaks";
    if (breaks > 0.5) return text + "; more such sticks break than hold";
    if (breaks > worth_telling) {
        const double one_in = 1.0 / breaks;
        const double size = std::pow(10.0, std::floor(std::log10(one_in)));
        text += fmt::format("; about one such stick in {:.0f} breaks", std::round(one_in / size) * size);
    }
    return text;
}

std::string stick_text(const StickPlan& stick, const units::LengthStyle& style) {
    std::string text =
        fmt::format("{}, {} thick, at least {} long", stick.limit ? stick.limit->species : stick.stick.species,
                    show(stick.stick.thickness_mm, style), show(stick.length_mm, style));
    if (!stick.at) return text + "; it lies straight.";
    text += fmt::format(". In its tightest bend, to a radius of {} {}, ", show(stick.radius_mm, style),
                        place_text(*stick.at, style));
    if (!stick.limit)
        return text + fmt::format("its skin is stretched by {:.2f} %. What such wood bears is not in the tables.",
                                  100.0 * stick.strain);
    text += strain_text(stick);
    const double thickest_mm = thickest_told_mm(stick, style);
    const std::string up_to = thickest_mm > 0.0 ? show(thickest_mm, style) : std::string("none");
    return text + (stick.holds ? fmt::format(". It holds; so does any up to {} thick.", up_to)
                               : fmt::format(". Thickest that holds: {}.", up_to));
}

std::string proof_text(const SeamPlan& seam, const Plan& plan) {
    const auto& simulation = seam.simulation;
    const Unit unit = plan.style.unit;
    std::string text = fmt::format(
        "largest gap {} before closing, computed on the two edges as the tools leave them, to within {}; "
        "your limit is {}.",
        show_thin(std::abs(simulation.largest_gap_mm), unit), certified_text(simulation.certified_to_mm, unit),
        show_thin(plan.limits.gap_mm, unit));
    if (std::abs(simulation.largest_gap_mm) > finest_told_mm) {
        text += fmt::format(" It is {} along the seam.", show(simulation.largest_gap_at_mm, plan.style));
    }
    return text;
}

std::string reach_text(const SeamPlan& seam, const units::LengthStyle& style) {
    const auto& reach = seam.simulation.reach;
    if (reach.empty()) return {};
    const auto least = std::min_element(reach.begin(), reach.end(),
                                        [](const auto& a, const auto& b) { return a.margin_mm < b.margin_mm; });
    if (!std::isfinite(least->margin_mm)) return "a straight seam: every tool reaches all of it.";
    if (least->margin_mm < 0.0) {
        return fmt::format("the seam is {} tighter than step {} can follow.", show(-least->margin_mm, style),
                           least->step + 1);
    }
    return fmt::format("the tightest radius is {} larger than the least that step {} can follow.",
                       show(least->margin_mm, style), least->step + 1);
}

std::string depths_text(const process::PassPlan& plan, const units::LengthStyle& style) {
    const auto& passes = plan.passes;
    if (passes.empty()) return {};
    std::string text =
        fmt::format("{} to {} deep", times(passes.size(), "pass", "passes"), show(passes.back().depth_mm, style));
    text += fmt::format(": first {}", show(passes.front().step_mm, style));
    if (passes.size() > 2) {
        text +=
            fmt::format(", then {} of {}", times(passes.size() - 2, "step", "steps"), show(passes[1].step_mm, style));
    }
    if (passes.size() > 1) text += fmt::format(", last {}", show(passes.back().step_mm, style));
    text +=
        fmt::format(". Cutter out below the base: {} for the first pass", show(passes.front().projection_mm, style));
    if (passes.size() > 1) text += fmt::format(", {} for the last", show(passes.back().projection_mm, style));
    return text + '.';
}

std::string passes_text(const process::PassPlan& plan, const units::LengthStyle& style) {
    if (plan.passes.empty()) return {};
    return depths_text(plan, style) + fmt::format(" About {:.0f} min of cutting, {} each pass.",
                                                  std::max(1.0, std::ceil(plan.minutes)), show(plan.length_mm, style));
}

std::vector<std::string> passes_lines(const StepPlan& step, const units::LengthStyle& style) {
    if (!step.passes || step.passes->passes.empty()) return {};
    if (step.depth && step.depth->staged()) return stage_lines(*step.depth, style);
    return {passes_text(*step.passes, style)};
}

std::string advice_text(const seam::Advice& advice, const units::LengthStyle& style) {
    using What = seam::Advice::What;
    const std::string_view what = advice.what == What::guide    ? "guide with an outside of"
                                  : advice.what == What::cutter ? "cutter of"
                                                                : "bearing of";
    return fmt::format("a {} {}, used with {}", what, show(advice.diameter_mm, style), advice.with);
}

std::string thin_text(double mm, units::Unit unit) {
    if (mm <= finest_told_mm) return unit == units::Unit::inch ? "less than 0.0001 in" : "less than 0.001 mm";
    return units::show_thin(mm, unit);
}

std::string kind_text(job::SeamKind kind) {
    switch (kind) {
        case job::SeamKind::open:
            return "from edge to edge";
        case job::SeamKind::inlay:
            return "closed: an inlay";
        case job::SeamKind::edging:
            return "closed: an edging ring";
    }
    return {};
}

std::string step_title(const seam::Step& step, bool prints_mating) {
    using Kind = seam::Step::Kind;
    // The template made by a far copy lies on the other hand than the one it is copied from.
    const std::string_view makes = step.template_on_left != step.keeps_far ? "left" : "right";
    switch (step.kind) {
        case Kind::make_master:
            return fmt::format("Make the {} {}template by hand", makes, prints_mating ? "" : "master ");
        case Kind::make_mating:
            return fmt::format("Make the {} template by hand", makes);
        case Kind::copy_far:
            return fmt::format("Copy the {} mating template", makes);
        case Kind::copy_near:
            return fmt::format("Copy a second {} template", makes);
        case Kind::cut_left:
            return "Cut the left edge";
        case Kind::cut_right:
            return "Cut the right edge";
    }
    return {};
}

std::string temperature_text(double celsius, units::Unit unit) {
    return unit == units::Unit::inch ? fmt::format("{:.0f} °F", 1.8 * celsius + 32.0)
                                     : fmt::format("{:.0f} °C", celsius);
}

std::string mass_text(double grams, units::Unit unit) {
    constexpr double grams_per_ounce = 28.349523125;  // exact
    return unit == units::Unit::inch ? fmt::format("{:.1f} oz", grams / grams_per_ounce)
                                     : fmt::format("{:.0f} g", grams);
}

std::string capitalised(std::string text) {
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
        text.front() = static_cast<char>(text.front() - 'a' + 'A');
    return text;
}

std::string speed_text(const process::Speed& speed) {
    return fmt::format("Speed at most {:.0f} rpm, {:.0f} m/s at the rim ({}{}).", speed.rpm, speed.rim_m_per_s,
                       speed.source, speed.from_memory ? ", from memory" : "");
}

}  // namespace seamwright::plan::words
