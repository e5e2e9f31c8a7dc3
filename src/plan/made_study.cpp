#include "plan/made_study.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace seamwright::plan {
namespace {

using seam::Pair;
using Kind = seam::Step::Kind;

const seam::Chain* chosen(const Plan& plan, std::size_t seam) {
    if (seam >= plan.seams.size()) return nullptr;
    const SeamPlan& s = plan.seams[seam];
    return s.chosen < s.chains.size() ? &s.chains[s.chosen] : nullptr;
}

bool cuts_wood(Kind kind) {
    return kind == Kind::cut_left || kind == Kind::cut_right;
}

struct Tools {
    std::optional<Pair> first;
    bool several = false;
};
/// Of the cuts into the wood of these seams, or of every step that is routed.
Tools tools_of(const Plan& plan, const std::vector<std::size_t>& seams, bool wood_only) {
    Tools tools;
    for (const std::size_t s : seams) {
        const seam::Chain* chain = chosen(plan, s);
        if (chain == nullptr) continue;
        for (const seam::Step& step : chain->steps) {
            if (!step.pair || (wood_only && !cuts_wood(step.kind))) continue;
            if (!tools.first) tools.first = step.pair;
            tools.several = tools.several || *step.pair != *tools.first;
        }
    }
    return tools;
}

std::vector<std::size_t> all_seams(const Plan& plan) {
    std::vector<std::size_t> all(plan.seams.size());
    for (std::size_t s = 0; s < all.size(); ++s) all[s] = s;
    return all;
}

Tools tools_at(const WorkStep& step, const Plan& plan) {
    const std::string kind = kind_of_step(step.task.id);
    if (kind == "test-cut") {
        Tools tools = tools_of(plan, all_seams(plan), false);
        tools.several = false;
        return tools;
    }
    if (kind == "rout" || kind == "fit" || kind == "glue") return tools_of(plan, step.seams, true);
    return {};
}

class Compare {
  public:
    Compare(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
            const std::vector<std::optional<ClosingStudy>>& closing)
        : plan_(plan), job_(job), shelf_(shelf), closing_(closing) {}

    /// The worst of the step's seams.
    std::optional<GapFound> gap(const WorkStep& step, double found_mm) const {
        std::optional<GapFound> out;
        const bool clamped = kind_of_step(step.task.id) == "glue";
        for (const std::size_t s : step.seams) {
            if (s >= closing_.size() || !closing_[s]) continue;
            const seam::Tolerance& t = closing_[s]->tolerance;
            GapFound gap;
            gap.told_mm = t.sampled.samples > 0 ? t.sampled.half_mm : t.planned_mm;
            gap.most_mm = t.sampled.samples > 0 ? t.sampled.most_mm : t.squares_mm;
            gap.limit_mm = t.limit_mm;
            const auto& pressing = closing_[s]->pressing;
            if (clamped && pressing && pressing->elastic) {
                gap.clamped = true;
                gap.most_mm = std::min(gap.most_mm, pressing->elastic->left_mm);
                gap.told_mm = std::min(gap.told_mm, gap.most_mm);
            }
            if (!out || gap.most_mm > out->most_mm) out = gap;
        }
        if (!out) return out;
        if (const Tools tools = tools_at(step, plan_); tools.first && !tools.several) {
            out->rider = rider_of(*tools.first).first;
            out->cutter = shelf_.cutters.at(tools.first->cutter).name;
        }
        out->found_mm = found_mm;
        out->inside = found_mm <= out->most_mm + gap_read_mm;
        return out;
    }

    std::optional<OffsetFound> offset(const WorkStep& step, double found_mm) const {
        const Tools tools = tools_at(step, plan_);
        if (!tools.first) return std::nullopt;
        const Pair& pair = *tools.first;
        OffsetFound out;
        out.on_bearing = pair.rides == Pair::Rides::bearing;
        const auto [rider, rides] = rider_of(pair);
        const shelf::Diameter& cuts = shelf_.cutters.at(pair.cutter).cutting;
        out.rider = rider;
        out.cutter = shelf_.cutters.at(pair.cutter).name;
        out.several = tools.several;
        out.found_mm = found_mm;
        out.told_mm = pair.offset_mm();
        const double rider_within = size_within_mm(rides, job_.accuracy);
        const double cutter_within = size_within_mm(cuts, job_.accuracy);
        const auto square = [](double v) { return v * v; };
        double sum = square(offset_read_mm) + square(0.5 * rider_within) + square(0.5 * cutter_within);
        // A bearing sits on the cutter itself.
        if (!out.on_bearing) {
            const auto& known = shelf_.guides.at(pair.rider).off_centre;
            const double aside =
                known ? std::hypot(known->x_mm, known->y_mm) + known->within_mm : job_.accuracy.off_centre_mm;
            sum += square(aside) + square(job_.accuracy.guide_play_mm);
        }
        const double off = out.found_mm - out.told_mm;
        out.explained_mm = std::sqrt(sum);
        out.inside = std::abs(off) <= out.explained_mm;
        const auto share_of = [&](double within) { return square(0.5 * within) / sum; };
        out.rider_more_mm = 2.0 * share_of(rider_within) * off;
        out.rider_within_mm = rider_within * std::sqrt(1.0 - share_of(rider_within));
        out.cutter_more_mm = -2.0 * share_of(cutter_within) * off;
        out.cutter_within_mm = cutter_within * std::sqrt(1.0 - share_of(cutter_within));
        out.test_cut = !out.inside;
        return out;
    }

  private:
    std::pair<std::string, shelf::Diameter> rider_of(const Pair& pair) const {
        if (pair.rides == Pair::Rides::bearing) {
            const shelf::Bearing& bearing = shelf_.bearings.at(pair.rider);
            return {bearing.name, bearing.outside};
        }
        const shelf::Guide& guide = shelf_.guides.at(pair.rider);
        return {guide.name, guide.outside};
    }

    const Plan& plan_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
    const std::vector<std::optional<ClosingStudy>>& closing_;
};

std::optional<std::size_t> step_of(const ShopStudy& shop, const std::string& step) {
    for (std::size_t i = 0; i < shop.steps.size(); ++i)
        if (shop.steps[i].task.id == step || shop.steps[i].task.name == step) return i;
    return std::nullopt;
}

}  // namespace

MadeStudy study_made(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, const ShopStudy& shop,
                     const std::vector<std::optional<ClosingStudy>>& closing) {
    MadeStudy out;
    out.steps.resize(shop.steps.size());
    out.entries.resize(job.made.size());
    const Compare compare(plan, job, shelf, closing);
    for (std::size_t i = 0; i < job.made.size(); ++i) {
        const job::Made& made = job.made[i];
        out.hours_noted += made.hours.value_or(0.0);
        const auto at = step_of(shop, made.step);
        if (!at) {
            out.strangers.push_back(i);
            continue;
        }
        const WorkStep& step = shop.steps[*at];
        out.steps[*at].entries.push_back(i);
        out.steps[*at].hours += made.hours.value_or(0.0);
        EntryFound& found = out.entries[i];
        if (made.gap_mm) found.gap = compare.gap(step, *made.gap_mm);
        if (made.offset_mm) found.offset = compare.offset(step, *made.offset_mm);
        if (made.litres && step.litres && *made.litres > 0.0) {
            const process::Range told = *step.litres;
            found.litres = {*made.litres, step.area_m2, told, told.low <= *made.litres && *made.litres <= told.high};
        }
        found.nothing_told = (made.gap_mm && !found.gap) || (made.offset_mm && !found.offset) ||
                             (made.litres && *made.litres > 0.0 && !found.litres);
    }
    for (std::size_t i = 0; i < shop.steps.size(); ++i) {
        const WorkStep& step = shop.steps[i];
        StepMade& made = out.steps[i];
        const std::string kind = kind_of_step(step.task.id);
        made.takes_gap = kind == "fit" || kind == "glue";
        made.takes_offset = (kind == "rout" || kind == "test-cut") && tools_at(step, plan).first.has_value();
        made.takes_litres = step.litres.has_value();
        if (made.entries.empty()) {
            out.hours_to_go += step.task.hands_on_min / 60.0;
            continue;
        }
        ++out.done;
        if (made.hours > 0.0 && step.usual_min > 0.0) {
            const double usual_h = step.usual_min / 60.0;
            out.entries[made.entries.front()].hours =
                HoursFound{made.hours, usual_h, usual_h * shop.rates.pace_of(step.task.id)};
        }
    }
    return out;
}

std::vector<shelf::WorkDone> work_done_of(const MadeStudy& study, const job::Job& job, const ShopStudy& shop) {
    std::vector<shelf::WorkDone> out;
    for (std::size_t s = 0; s < study.steps.size(); ++s) {
        const WorkStep& step = shop.steps[s];
        for (const std::size_t i : study.steps[s].entries) {
            const job::Made& made = job.made[i];
            const EntryFound& found = study.entries[i];
            shelf::WorkDone done;
            done.job = job.name;
            done.step = step.task.id;
            done.on = job::show(made.on);
            const auto same = std::find_if(out.begin(), out.end(), [&](const auto& d) { return same_work(d, done); });
            shelf::WorkDone& into = same == out.end() ? out.emplace_back(std::move(done)) : *same;
            const auto add = [](std::optional<double>& sum, const std::optional<double>& more) {
                if (more) sum = sum.value_or(0.0) + *more;
            };
            add(into.hours, made.hours);
            add(into.litres, made.litres);
            if (made.hours) into.usual_min = step.usual_min;
            if (made.gap_mm) into.gap_mm = made.gap_mm;
            if (made.offset_mm) into.offset_mm = made.offset_mm;
            if (found.gap) {
                into.gap_told_mm = found.gap->told_mm;
                into.guide = found.gap->rider;
                into.cutter = found.gap->cutter;
            }
            if (found.offset) {
                into.offset_told_mm = found.offset->told_mm;
                into.guide = found.offset->rider;
                into.cutter = found.offset->cutter;
            }
            if (found.litres && shop.finish) {
                into.system = shop.finish->system->id;
                into.area_m2 = found.litres->area_m2;
                // As told before anything was learnt: what is learnt later must not stand on what was learnt before.
                into.litres_told = 0.5 * (found.litres->told.low + found.litres->told.high) / shop.finish->spread;
            }
            // No longer than a note may be.
            constexpr std::size_t longest_note = 20000;
            if (!made.note.empty() && into.note.size() + made.note.size() + 2 <= longest_note)
                into.note += (into.note.empty() ? "" : "; ") + made.note;
        }
    }
    return out;
}

bool same_work(const shelf::WorkDone& a, const shelf::WorkDone& b) {
    return a.job == b.job && a.step == b.step && a.on == b.on;
}

bool same_record(const shelf::WorkDone& a, const shelf::WorkDone& b) {
    constexpr double written = 2e-3;
    const auto same = [](const std::optional<double>& x, const std::optional<double>& y) {
        return x.has_value() == y.has_value() && (!x || std::abs(*x - *y) <= written);
    };
    return same_work(a, b) && a.note == b.note && a.guide == b.guide && a.cutter == b.cutter && a.system == b.system &&
           same(a.usual_min, b.usual_min) && same(a.hours, b.hours) && same(a.gap_mm, b.gap_mm) &&
           same(a.gap_told_mm, b.gap_told_mm) && same(a.offset_mm, b.offset_mm) &&
           same(a.offset_told_mm, b.offset_told_mm) && same(a.area_m2, b.area_m2) && same(a.litres, b.litres) &&
           same(a.litres_told, b.litres_told);
}

shelf::Diameter outside_found(const shelf::Guide& guide, const GuideFound& found) {
    shelf::Diameter out = guide.outside;
    // To the thousandth of a millimetre: no reading is better.
    out.measured_mm = std::round(found.outside_mm * 1e3) / 1e3;
    out.measured_within_mm = std::ceil(found.within_mm * 1e3 - 1e-6) / 1e3;
    return out;
}

}  // namespace seamwright::plan
