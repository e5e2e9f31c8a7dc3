#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "plan/made_study.h"
#include "plan/words.h"

namespace seamwright::plan::words {
namespace {

struct KindWords {
    std::string_view kind, says;
};
constexpr std::array<KindWords, 18> kind_words{{
    {"boards", "bringing the boards in"},
    {"mill", "jointing and planing"},
    {"panel", "gluing up panels"},
    {"ring", "gluing up rings"},
    {"templates", "making templates"},
    {"templates-outline", "making templates of the outline"},
    {"test-cut", "the test cut"},
    {"rough-saw", "rough sawing"},
    {"rout", "routing edges"},
    {"fit", "dry fitting"},
    {"glue", "gluing"},
    {"flatten", "getting the top flat"},
    {"outline", "cutting to the outline"},
    {"build-up", "the build-up"},
    {"edges", "edge profiles"},
    {"sand", "scraping and sanding"},
    {"finish", "finishing"},
    {"deliver", "packing and delivery"},
}};

/// The number behind the last dash, from 1; 0: none.
std::size_t number_of(const std::string& id) {
    const auto dash = id.rfind('-');
    if (dash == std::string::npos) return 0;
    std::size_t number = 0;
    const char* end = id.data() + id.size();
    const auto read = std::from_chars(id.data() + dash + 1, end, number);
    return read.ec == std::errc() && read.ptr == end ? number : 0;
}

/// "1.3 times"
std::string times_text(double ratio) {
    return fmt::format("{:.2f} times", ratio);
}

std::string within_text(double mm, double within_mm, units::Unit unit) {
    return fmt::format("{} ± {}", units::show_thin(mm, unit), units::show_thin(within_mm, unit));
}

std::string signed_text(double mm, double within_mm, units::Unit unit, std::string_view more, std::string_view less) {
    return fmt::format("{} {}", within_text(std::abs(mm), within_mm, unit), mm >= 0.0 ? more : less);
}

std::string litre_text(double litres) {
    return fmt::format("{:.2f} L", litres);
}

std::string of_jobs(std::size_t count, std::string_view one, std::string_view several, std::size_t jobs) {
    return fmt::format("{} of {}", times(count, one, several), times(jobs, "job", "jobs"));
}

std::string spread_text(const Rate& rate) {
    return rate.count > 1 ? fmt::format(", from {:.2f} to {:.2f}", rate.low, rate.high) : std::string();
}

void tell_hours(const HoursFound& h, Told& told) {
    std::string line = fmt::format("{} taken; {} is usual, so {} that.", hours_text(h.hours), hours_text(h.usual_h),
                                   times_text(h.ratio()));
    if (std::abs(h.learnt_h - h.usual_h) > 0.05 * h.usual_h)
        line += fmt::format(" By your own other jobs {}.", hours_text(h.learnt_h));
    told.lines.push_back(std::move(line));
}

void tell_gap(const GapFound& g, units::Unit unit, Told& told) {
    const std::string where = g.clamped ? "in clamps" : "pushed together";
    std::string line = fmt::format("Gap found {}. {} half of such seams are better than {}, 95 in 100 than {}: ",
                                   units::show_thin(g.found_mm, unit), capitalised(where), thin_text(g.told_mm, unit),
                                   thin_text(g.most_mm, unit));
    line += g.inside ? "as told." : "more than told.";
    told.lines.push_back(std::move(line));
    if (g.found_mm > g.limit_mm + 1e-9)
        told.cautions.push_back(fmt::format("It is wider than your limit of {}.", thin_text(g.limit_mm, unit)));
    if (!g.inside)
        told.cautions.emplace_back(
            "Something is not as the plan takes it: look for dust on an edge, a template that is not fair, a guide "
            "that has come loose, then make a test cut.");
}

void tell_offset(const OffsetFound& o, units::Unit unit, Told& told) {
    const double off = o.found_mm - o.told_mm;
    std::string line = fmt::format("Offset found {}, told {} for {} and {}: ", units::show_thin(o.found_mm, unit),
                                   units::show_thin(o.told_mm, unit), o.rider, o.cutter);
    if (o.inside) {
        line += fmt::format("within the ± {} that sizes, seat and reading leave open.",
                            units::show_thin(o.explained_mm, unit));
    } else {
        line += fmt::format("{} {}, and no more than ± {} is left open by sizes, seat and reading.",
                            units::show_thin(std::abs(off), unit), off > 0.0 ? "more" : "less",
                            units::show_thin(o.explained_mm, unit));
    }
    told.lines.push_back(std::move(line));
    if (o.several)
        told.lines.push_back("This step also cuts with other tools; what is told here is told of the first ones.");
    if (o.inside) return;
    told.lines.push_back(fmt::format(
        "If it is the tools, then most likely {} is {} and {} {}, than the shelf says{}. One reading cannot tell them "
        "apart.",
        o.rider, signed_text(o.rider_more_mm, o.rider_within_mm, unit, "larger", "smaller"), o.cutter,
        signed_text(o.cutter_more_mm, o.cutter_within_mm, unit, "larger", "smaller"),
        o.on_bearing ? "" : "; the rest is how the guide sits"));
    if (o.test_cut)
        told.cautions.push_back(
            fmt::format("Make a test cut of {} and {} before you cut more wood with them.", o.rider, o.cutter));
}

void tell_litres(const LitresFound& l, Told& told) {
    std::string line = fmt::format("{} used, {} to {} told: {}.", litre_text(l.litres), litre_text(l.told.low),
                                   litre_text(l.told.high),
                                   l.inside                 ? "as told"
                                   : l.litres > l.told.high ? "more than told"
                                                            : "less than told");
    if (l.area_m2 > 0.0) line += fmt::format(" One litre went over {:.1f} m².", l.area_m2 / l.litres);
    told.lines.push_back(std::move(line));
}

}  // namespace

std::string step_kind_text(const std::string& kind) {
    const auto* it = std::find_if(kind_words.begin(), kind_words.end(), [&](const auto& w) { return w.kind == kind; });
    return it == kind_words.end() ? kind : std::string(it->says);
}

std::string step_text(const std::string& id, const job::Job& job) {
    const std::string kind = kind_of_step(id);
    const std::string says = step_kind_text(kind);
    const std::size_t number = number_of(id);
    if (number == 0) return says;
    const bool of_seam = kind == "templates" || kind == "rout" || kind == "fit";
    if (of_seam && number <= job.seams.size()) return fmt::format("{} of {}", says, job.seams[number - 1].name);
    return fmt::format("{} {}", says, number);
}

std::string hours_text(double hours) {
    if (hours > 0.0 && hours < 0.95) return fmt::format("{:.0f} min", std::ceil(60.0 * hours - 1e-9));
    std::string text = fmt::format("{:.1f}", hours);
    if (text.ends_with(".0")) text.resize(text.size() - 2);
    return text + " h";
}

std::string made_progress_text(const MadeStudy& study) {
    return fmt::format("{} of {} done, {} noted, {} to go", study.done, times(study.steps.size(), "step", "steps"),
                       hours_text(study.hours_noted), hours_text(study.hours_to_go));
}

Told entry_text(const EntryFound& found, const job::Job& job) {
    Told told;
    const units::Unit unit = job.style.unit;
    if (found.hours) tell_hours(*found.hours, told);
    if (found.gap) tell_gap(*found.gap, unit, told);
    if (found.offset) tell_offset(*found.offset, unit, told);
    if (found.litres) tell_litres(*found.litres, told);
    if (found.nothing_told)
        told.lines.emplace_back("The plan tells nothing of this step that a measurement here could be held against.");
    return told;
}

std::vector<Told> made_text(const MadeStudy& study, const job::Job& job, const ShopStudy& shop) {
    std::vector<Told> out;
    for (std::size_t s = 0; s < study.steps.size(); ++s) {
        Told told{shop.steps[s].task.name, {}, {}};
        for (const std::size_t i : study.steps[s].entries) {
            const Told entry = entry_text(study.entries[i], job);
            told.lines.insert(told.lines.end(), entry.lines.begin(), entry.lines.end());
            told.cautions.insert(told.cautions.end(), entry.cautions.begin(), entry.cautions.end());
            if (!job.made[i].note.empty())
                told.lines.push_back(fmt::format("{}: {}", job::show(job.made[i].on), job.made[i].note));
        }
        if (!told.lines.empty()) out.push_back(std::move(told));
    }
    if (!study.strangers.empty()) {
        Told told{"Notes about steps that the plan does not have", {}, {}};
        for (const std::size_t i : study.strangers)
            told.lines.push_back(fmt::format("\"{}\", {}.", job.made[i].step, job::show(job.made[i].on)));
        out.push_back(std::move(told));
    }
    return out;
}

std::string guide_offer_text(const GuideFound& found, const job::Job& job) {
    return fmt::format("Take {} over as the measured outside of {}", units::show_thin(found.outside_mm, job.style.unit),
                       found.guide);
}

std::vector<std::string> pace_lines(const WorkRates& rates) {
    std::vector<std::string> lines;
    if (!rates.overall) return lines;
    const Rate& all = *rates.overall;
    lines.push_back(fmt::format("By what your shop wrote down, work takes {} the usual (the middle of {}{}).",
                                times_text(all.ratio), of_jobs(all.count, "step", "steps", all.jobs),
                                spread_text(all)));
    std::string kinds;
    for (const NamedRate& kind : rates.kinds)
        kinds += fmt::format("{}{} {} ({})", kinds.empty() ? "" : ", ", step_kind_text(kind.name),
                             times_text(kind.rate.ratio), kind.rate.count);
    if (all.count < enough_records)
        lines.push_back(
            fmt::format("Little to go by yet: until {} steps were noted the usual stands in for the others, {}.",
                        enough_records, times_text(rates.pace_of({}))));
    else if (!kinds.empty())
        lines.push_back(fmt::format("By kind of step: {}; all others at that pace.", kinds));
    return lines;
}

Told rates_text(const WorkRates& rates, const job::Job& job) {
    const units::Unit unit = job.style.unit;
    Told told{"What your shop has learnt", {}, {}};
    told.lines = pace_lines(rates);
    for (const NamedRate& finish : rates.finishes) {
        const process::FinishSystem* system = process::find_finish(finish.name);
        const std::string name = system != nullptr ? system->name : finish.name;
        told.lines.push_back(fmt::format(
            "{}: {} the litres of the table (the middle of {}{}){}.", capitalised(name), times_text(finish.rate.ratio),
            of_jobs(finish.rate.count, "coat", "coats", finish.rate.jobs), spread_text(finish.rate),
            finish.rate.count >= enough_records ? ""
                                                : fmt::format("; used once {} coats were measured", enough_records)));
    }
    for (const GapBias& gap : rates.gaps) {
        if (gap.same_way) {
            told.lines.push_back(fmt::format(
                "Seams cut with {} and {} fit {} {} than told, {} of {}: what causes it is in the tools or in how they "
                "are held. A test cut tells.",
                gap.guide, gap.cutter, units::show_thin(std::abs(gap.more_mm), unit),
                gap.more_mm > 0.0 ? "wider" : "tighter", gap.count, times(gap.count, "seam", "seams")));
        } else {
            told.lines.push_back(fmt::format("Seams cut with {} and {}: {} measured at the dry fit, {}.", gap.guide,
                                             gap.cutter, times(gap.count, "gap was", "gaps were"),
                                             gap.count < enough_records ? "too few to tell" : "no common error"));
        }
    }
    for (const GuideFound& guide : rates.guides) {
        if (!guide.agree) continue;
        told.lines.push_back(
            fmt::format("{}: {} tell an outside of {}, if the cutters are as the shelf says. A test cut tells both.",
                        capitalised(guide.guide), times(guide.count, "offset", "offsets"),
                        within_text(guide.outside_mm, guide.within_mm, unit)));
    }
    return told;
}

}  // namespace seamwright::plan::words
