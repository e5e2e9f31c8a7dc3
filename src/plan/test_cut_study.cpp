#include "plan/test_cut_study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plan/words.h"
#include "shelf/find_tool.h"

namespace seamwright::plan {
namespace {

using shelf::find_tool;
using What = seam::CutReading::What;

/// To the thousandth of a millimetre: no reading is better.
double told(double mm) {
    return std::round(mm * 1e3) / 1e3;
}
double told_up(double mm) {
    return std::ceil(mm * 1e3 - 1e-6) / 1e3;
}

const std::vector<seam::CutPlace>& places() {
    static const std::vector<seam::CutPlace> all = seam::places_to_measure();
    return all;
}

std::optional<job::Problem> missing_tool(const shelf::Shelf& shelf, const shelf::TestCut& cut, const std::string& at) {
    const auto problem = [&](const char* member, const std::string& name, const char* what) {
        return job::Problem{job::Problem::Weight::error,
                            at + '/' + member,
                            fmt::format("\"{}\", which is not on the shelf", name),
                            fmt::format("a {} of this shelf", what),
                            "put it back on the shelf, or take this test cut away",
                            {}};
    };
    if (find_tool(shelf.guides, cut.guide) == nullptr) return problem("guide", cut.guide, "guide");
    if (find_tool(shelf.cutters, cut.cutter) == nullptr) return problem("cutter", cut.cutter, "cutter");
    return std::nullopt;
}

const seam::Chain* chosen(const Plan& plan, std::size_t seam) {
    if (seam >= plan.seams.size()) return nullptr;
    const SeamPlan& s = plan.seams[seam];
    return s.chosen < s.chains.size() ? &s.chains[s.chosen] : nullptr;
}

}  // namespace

TestCutStudy study_test_cut(const shelf::Shelf& shelf, const shelf::TestCut& cut, std::size_t number,
                            const units::LengthStyle& style) {
    TestCutStudy out;
    const std::string at = fmt::format("/shelf/test_cuts/{}", number);
    out.problem = missing_tool(shelf, cut, at);
    if (out.problem) return out;
    seam::TestCut asked;
    asked.guide_mm = find_tool(shelf.guides, cut.guide)->outside.nominal_mm;
    asked.cutter_mm = find_tool(shelf.cutters, cut.cutter)->cutting.nominal_mm;
    asked.reading_mm = cut.reading_within_mm;
    for (std::size_t i = 0; i < cut.readings_mm.size(); ++i) {
        if (!cut.readings_mm[i]) continue;
        asked.readings.push_back({places()[i].what, *cut.readings_mm[i], places()[i].towards_rad});
        out.places.push_back(i);
    }
    const seam::TestCutAnswer answer = seam::solve_test_cut(asked);
    if (answer.problem) {
        const auto& reading = answer.problem->reading;
        const bool one = reading && *reading < out.places.size();
        out.problem =
            job::Problem{job::Problem::Weight::error,
                         one ? fmt::format("{}/readings/{}", at, out.places[*reading] + 1) : at + "/readings",
                         one ? fmt::format("{} at place {}", words::thin_text(asked.readings[*reading].mm, style.unit),
                                           out.places[*reading] + 1)
                             : "no readings",
                         answer.problem->reason,
                         answer.problem->remedy,
                         {}};
        return out;
    }
    out.tools = answer.tools;
    for (const std::size_t r : answer.tools.doubtful) out.doubtful.push_back(out.places[r]);
    out.tells_sizes = answer.tools.guide_mm.told && answer.tools.cutter_mm.told;
    out.tells_off_centre = answer.tools.off_x_mm.told && answer.tools.off_y_mm.told;
    out.can_be_kept =
        out.doubtful.empty() && (answer.tools.guide_mm.told || answer.tools.cutter_mm.told || out.tells_off_centre);
    return out;
}

shelf::Shelf learned(shelf::Shelf shelf, const shelf::TestCut& cut, const TestCutStudy& study) {
    shelf::Guide* guide = find_tool(shelf.guides, cut.guide);
    shelf::Cutter* cutter = find_tool(shelf.cutters, cut.cutter);
    if (!study.can_be_kept || guide == nullptr || cutter == nullptr) return shelf;
    const auto take = [](const seam::Known& known, shelf::Diameter& into) {
        if (!known.told) return;
        into.measured_mm = told(known.value);
        into.measured_within_mm = told_up(known.within);
    };
    take(study.tools.guide_mm, guide->outside);
    take(study.tools.cutter_mm, cutter->cutting);
    if (study.tells_off_centre) {
        guide->off_centre = {told(study.tools.off_x_mm.value), told(study.tools.off_y_mm.value),
                             told_up(std::fmax(study.tools.off_x_mm.within, study.tools.off_y_mm.within))};
    }
    return shelf;
}

std::vector<SeamRelearned> relearned(const Plan& then, const job::Job& job, const shelf::Shelf& after) {
    const Plan now = make_plan(job, after);
    const seam::Depths depths{then.milled_mm, job.sheet.thickness_mm, job.limits.below_wood_mm};
    std::vector<SeamRelearned> out;
    for (std::size_t i = 0; i < then.seams.size(); ++i) {
        const seam::Chain* old_way = chosen(then, i);
        const seam::Chain* new_way = chosen(now, i);
        if (old_way == nullptr || new_way == nullptr) continue;
        SeamRelearned seam{then.seams[i].name,   old_way->id, new_way->id, old_way->mismatch_mm, 0.0,
                           new_way->mismatch_mm, false};
        const auto really = seam::chain_of_id(after, depths, old_way->id);
        seam.lost = !really;
        if (really) seam.really_mm = really->mismatch_mm;
        out.push_back(std::move(seam));
    }
    return out;
}

namespace words {
namespace {

std::string within_text(const seam::Known& known, units::Unit unit) {
    return fmt::format("{} ± {}", units::show_thin(known.value, unit), units::show_thin(known.within, unit));
}

std::string size_line(const std::string& tool, const seam::Known& known, double marked_mm, units::Unit unit) {
    const double off = known.value - marked_mm;
    if (!known.told) return fmt::format("{}: the readings do not tell its size.", tool);
    const std::string against =
        std::abs(off) <= known.within
            ? "as marked, as far as these readings tell"
            : fmt::format("{} {} than marked", units::show_thin(std::abs(off), unit), off > 0.0 ? "more" : "less");
    return fmt::format("{}: {}, {}.", tool, within_text(known, unit), against);
}

/// Where the cutter stands, as seen from above by the one who holds the router.
std::string toward_text(double x_mm, double y_mm) {
    std::string side = x_mm > 0.0 ? "to the right" : "to the left";
    std::string along = y_mm > 0.0 ? "away from you" : "toward you";
    // tan 22.5°: nearer to an axis than to the diagonal.
    constexpr double nearer = 0.41421356;
    if (std::abs(x_mm) < nearer * std::abs(y_mm)) return along;
    if (std::abs(y_mm) < nearer * std::abs(x_mm)) return side;
    return along + " and " + side;
}

std::string mismatch_text(double mm, units::Unit unit) {
    if (std::abs(mm) <= seam::exact_mm) return "both edges match";
    return fmt::format("{} {}", mm > 0.0 ? "a gap of" : "an overlap of", units::show_thin(std::abs(mm), unit));
}

}  // namespace

std::string test_place_text(std::size_t place) {
    const seam::CutPlace& p = places().at(place);
    if (p.what == What::slot_width) return fmt::format("width of the straight slot, {}", p.says);
    if (p.on_arc) return fmt::format("round template to its slot, {}", p.says);
    return fmt::format("straight template to its {}slot, {}", p.turned ? "second " : "", p.says);
}

Told test_cut_text(const TestCutStudy& study, const shelf::TestCut& cut, const units::LengthStyle& style) {
    Told out;
    out.title = fmt::format("What the test cut of {} and {} tells", cut.guide, cut.cutter);
    if (study.problem) {
        out.lines.push_back(fmt::format("Nothing yet: {}. {}", study.problem->found,
                                        study.problem->allowed.empty()
                                            ? study.problem->remedy
                                            : study.problem->allowed + ' ' + study.problem->remedy));
        return out;
    }
    const units::Unit unit = style.unit;
    const seam::RealTools& t = study.tools;
    out.lines.push_back(size_line(cut.guide, t.guide_mm, t.marked_guide_mm, unit));
    out.lines.push_back(size_line(cut.cutter, t.cutter_mm, t.marked_cutter_mm, unit));
    out.lines.push_back(fmt::format("From the template's edge to the near edge of the cut: {}; to the far edge: {}.",
                                    within_text(t.near_mm, unit), within_text(t.far_mm, unit)));
    if (study.tells_off_centre) {
        const double within = std::fmax(t.off_x_mm.within, t.off_y_mm.within);
        out.lines.push_back(
            t.off_centre_mm <= within
                ? fmt::format("The cutter stands in the middle of the guide, within {}.",
                              units::show_thin(within, unit))
                : fmt::format(
                      "The cutter stands {} ± {} off the middle of the guide, {}, the router held as for the test "
                      "cut: keep the same handle toward the same end, always.",
                      units::show_thin(t.off_centre_mm, unit), units::show_thin(within, unit),
                      toward_text(t.off_x_mm.value, t.off_y_mm.value)));
    } else {
        out.lines.emplace_back(
            "Where the cutter stands in the guide is not told: it takes readings on the round coupon.");
    }
    if (t.spare > 0) {
        out.lines.push_back(fmt::format("{} readings, {} more than needed, agree within {}.", study.places.size(),
                                        t.spare, units::show_thin(std::ceil(100.0 * t.scatter_mm) / 100.0, unit)));
    }
    for (const std::size_t place : study.doubtful) {
        out.cautions.push_back(
            fmt::format("Place {} ({}) does not go with the others: read it again, and leave it empty "
                        "if it stays so.",
                        place + 1, test_place_text(place)));
    }
    return out;
}

Told relearned_text(const std::vector<SeamRelearned>& seams, const units::LengthStyle& style) {
    Told out;
    out.title = "What the real sizes change";
    for (const SeamRelearned& s : seams) {
        if (s.lost) {
            out.lines.push_back(
                fmt::format("{}: the way chosen before cannot be gone with them; now {}.", s.seam, s.after));
        } else if (s.before == s.after) {
            out.lines.push_back(
                fmt::format("{}: the same way is the best, {}.", s.seam, mismatch_text(s.after_mm, style.unit)));
        } else {
            out.lines.push_back(fmt::format("{}: the way chosen before really makes {}. The best now: {}; {}.", s.seam,
                                            mismatch_text(s.really_mm, style.unit), s.after,
                                            mismatch_text(s.after_mm, style.unit)));
        }
    }
    if (out.lines.empty()) out.lines.emplace_back("Nothing: there is no seam with a way of copying.");
    return out;
}

}  // namespace words
}  // namespace seamwright::plan
