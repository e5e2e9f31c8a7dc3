#include "plan/work_rates.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <stdexcept>
#include <utility>

#include "shelf/find_tool.h"

namespace seamwright::plan {
namespace {

using shelf::WorkDone;

/// What was found of several jobs.
class Found {
  public:
    void add(const std::string& job, double value) {
        values_.push_back(value);
        jobs_.insert(job);
    }
    std::size_t count() const { return values_.size(); }
    std::size_t jobs() const { return jobs_.size(); }
    const std::vector<double>& values() const { return values_; }
    Rate rate() const {
        const auto [low, high] = std::minmax_element(values_.begin(), values_.end());
        return {median(values_), *low, *high, count(), jobs()};
    }

  private:
    std::vector<double> values_;
    std::set<std::string> jobs_;
};

/// One step of one job, of all the days it took.
struct StepDone {
    double hours = 0.0, litres = 0.0, usual_min = 0.0, litres_told = 0.0;
    std::string system;
};

bool noted_here(const WorkDone& done, const job::Job& job) {
    return done.job == job.name && std::any_of(job.made.begin(), job.made.end(), [&](const job::Made& made) {
               return made.step == done.step && job::show(made.on) == done.on;
           });
}

/// In the order of their first days, which is that of the records.
std::vector<std::pair<std::pair<std::string, std::string>, StepDone>> steps_of(
    const std::vector<const WorkDone*>& records) {
    std::vector<std::pair<std::pair<std::string, std::string>, StepDone>> out;
    for (const WorkDone* done : records) {
        const std::pair key(done->job, done->step);
        auto it = std::find_if(out.begin(), out.end(), [&](const auto& each) { return each.first == key; });
        if (it == out.end()) it = out.insert(out.end(), {key, {}});
        StepDone& step = it->second;
        step.hours += done->hours.value_or(0.0);
        if (done->hours && done->usual_min) step.usual_min = *done->usual_min;
        step.litres += done->litres.value_or(0.0);
        if (done->litres && done->litres_told) step.litres_told = *done->litres_told;
        if (!done->system.empty()) step.system = done->system;
    }
    return out;
}

std::vector<GapBias> gaps_of(const std::vector<const WorkDone*>& records) {
    std::map<std::pair<std::string, std::string>, Found> found;
    for (const WorkDone* done : records) {
        if (kind_of_step(done->step) != "fit" || done->cutter.empty() || !done->gap_mm || !done->gap_told_mm) continue;
        found[{done->guide, done->cutter}].add(done->job, *done->gap_mm - *done->gap_told_mm);
    }
    std::vector<GapBias> out;
    for (const auto& [tools, each] : found) {
        const auto& v = each.values();
        const bool wider = std::all_of(v.begin(), v.end(), [](double d) { return d > 0.0; });
        const bool tighter = std::all_of(v.begin(), v.end(), [](double d) { return d < 0.0; });
        const double more = median(v);
        out.push_back({tools.first, tools.second, more, each.count(), each.jobs(),
                       each.count() >= enough_records && (wider || tighter) && std::abs(more) > gap_read_mm});
    }
    return out;
}

/// B = 2o + b from every offset o found with a cutter that is on the shelf.
std::vector<GuideFound> guides_of(const std::vector<const WorkDone*>& records, const shelf::Shelf& shelf,
                                  const job::Accuracy& accuracy) {
    std::vector<GuideFound> out;
    for (std::size_t g = 0; g < shelf.guides.size(); ++g) {
        const shelf::Guide& guide = shelf.guides[g];
        Found outsides;
        double cutter_within = 0.0;
        for (const WorkDone* done : records) {
            if (done->guide != guide.name || !done->offset_mm) continue;
            const shelf::Cutter* cutter = shelf::find_tool(shelf.cutters, done->cutter);
            if (cutter == nullptr) continue;
            outsides.add(done->job, 2.0 * *done->offset_mm + cutter->cutting.real_mm());
            cutter_within = std::max(cutter_within, size_within_mm(cutter->cutting, accuracy));
        }
        if (outsides.count() == 0) continue;
        GuideFound found{guide.name, g, median(outsides.values()), 0.0, outsides.count(), outsides.jobs()};
        const double read = 2.0 * offset_read_mm;
        found.within_mm = std::hypot(read / std::sqrt(static_cast<double>(found.count)), cutter_within);
        found.agree = found.count >= enough_records &&
                      std::all_of(outsides.values().begin(), outsides.values().end(),
                                  [&](double mm) { return std::abs(mm - found.outside_mm) <= read; });
        const double off = std::abs(found.outside_mm - guide.outside.real_mm());
        const double known = size_within_mm(guide.outside, accuracy);
        found.offered = found.agree && (off > std::hypot(found.within_mm, known) ||
                                        (!guide.outside.measured_mm && found.within_mm < known));
        out.push_back(std::move(found));
    }
    return out;
}

std::vector<NamedRate> named(const std::map<std::string, Found>& found, std::size_t fewest) {
    std::vector<NamedRate> out;
    for (const auto& [name, each] : found)
        if (each.count() >= fewest) out.push_back({name, each.rate()});
    return out;
}

const Rate* find_rate(const std::vector<NamedRate>& rates, std::string_view name) {
    const auto it = std::find_if(rates.begin(), rates.end(), [&](const NamedRate& r) { return r.name == name; });
    return it == rates.end() ? nullptr : &it->rate;
}

}  // namespace

double median(std::vector<double> values) {
    if (values.empty()) throw std::invalid_argument("median of nothing");
    std::sort(values.begin(), values.end());
    const std::size_t half = values.size() / 2;
    return values.size() % 2 == 1 ? values[half] : 0.5 * (values[half - 1] + values[half]);
}

std::string kind_of_step(std::string_view id) {
    const auto dash = id.rfind('-');
    const std::string_view number = dash == std::string_view::npos ? std::string_view() : id.substr(dash + 1);
    const bool digits =
        !number.empty() && std::all_of(number.begin(), number.end(), [](char c) { return c >= '0' && c <= '9'; });
    return std::string(digits ? id.substr(0, dash) : id);
}

double size_within_mm(const shelf::Diameter& size, const job::Accuracy& accuracy) {
    return size.measured_mm ? size.measured_within_mm.value_or(accuracy.measured_mm) : accuracy.marked_mm;
}

double WorkRates::pace_of(std::string_view step_id) const {
    if (const Rate* rate = find_rate(kinds, kind_of_step(step_id))) return rate->ratio;
    if (!overall || overall->count < 2) return 1.0;
    // The usual stands in for what is missing of enough, so that one slip of the pen stops no calendar.
    static_assert(enough_records == 3);
    return overall->count == 2 ? std::clamp(1.0, overall->low, overall->high) : overall->ratio;
}

double WorkRates::spread_of(std::string_view system) const {
    const Rate* rate = find_rate(finishes, system);
    return rate != nullptr && rate->count >= enough_records ? rate->ratio : 1.0;
}

WorkRates rates_of(const shelf::Shelf& shelf, const job::Job& job) {
    std::vector<const WorkDone*> records;
    for (const WorkDone& done : shelf.work_done)
        if (!noted_here(done, job)) records.push_back(&done);
    WorkRates out;
    Found all;
    std::map<std::string, Found> kinds, finishes;
    for (const auto& [key, step] : steps_of(records)) {
        if (step.hours > 0.0 && step.usual_min > 0.0) {
            const double ratio = 60.0 * step.hours / step.usual_min;
            all.add(key.first, ratio);
            kinds[kind_of_step(key.second)].add(key.first, ratio);
        }
        if (step.litres > 0.0 && step.litres_told > 0.0 && !step.system.empty())
            finishes[step.system].add(key.first, step.litres / step.litres_told);
    }
    if (all.count() > 0) out.overall = all.rate();
    out.kinds = named(kinds, enough_records);
    out.finishes = named(finishes, 1);
    out.gaps = gaps_of(records);
    out.guides = guides_of(records, shelf, job.accuracy);
    return out;
}

}  // namespace seamwright::plan
