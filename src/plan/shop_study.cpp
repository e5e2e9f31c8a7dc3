#include "plan/shop_study.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "flattening.h"
#include "job_costs.h"
#include "plan/edging_study.h"
#include "plan/words.h"
#include "wood/strength.h"
#include "work_steps.h"

namespace seamwright::plan {
namespace {

using process::EdgeProfile;

EdgeProfile profile_of(const job::EdgeShape& edge) {
    using Asked = job::EdgeShape::Kind;
    switch (edge.kind) {
        case Asked::square:
            return {EdgeProfile::Kind::square, 0.0};
        case Asked::round_over:
            return {EdgeProfile::Kind::round_over, edge.size_mm};
        case Asked::chamfer:
            return {EdgeProfile::Kind::chamfer, edge.size_mm};
        case Asked::cove:
            return {EdgeProfile::Kind::cove, edge.size_mm};
    }
    return {};
}

/// Length of the outline that runs across the fibres of the piece there.
double end_grain_of(const Plan& plan) {
    constexpr double step_mm = 10.0;
    double sum = 0.0;
    for (const geometry::Segment& s : plan.outline.segments) {
        const double length = geometry::length_mm(s);
        const double parts = std::max(1.0, std::ceil(length / step_mm));
        for (double k = 0.0; k < parts; k += 1.0) {
            const double at = (k + 0.5) / parts;
            const Point tangent = geometry::tangent_at(s, at);
            // A hair inside; the outline runs counter-clockwise.
            const Point inside = geometry::point_at(s, at) + 0.5 * geometry::left_of(tangent);
            for (std::size_t p = 0; p < plan.pieces.size(); ++p) {
                if (!geometry::contains(plan.pieces[p].region, inside)) continue;
                const double askew =
                    std::abs(std::remainder(geometry::heading(tangent) - fibres_at(plan, p, inside), geometry::pi));
                if (askew > wood::end_grain_from_rad) sum += length / parts;
                break;
            }
        }
    }
    return sum;
}

EdgesStudy study_edges(const Plan& plan, const job::Job& job) {
    EdgesStudy out;
    const job::Edges asked = job.edges.value_or(job::Edges{});
    const double under = job.build_up ? job.build_up->thickness_mm : 0.0;
    out.shape = {plan.thickness_mm + under, profile_of(asked.top), profile_of(asked.underside)};
    process::EdgeWish wish;
    wish.shape = out.shape;
    if (job.build_up) wish.joint_mm = plan.thickness_mm;
    wish.style = plan.style;
    out.findings = process::check_edge(wish);
    out.length_mm = geometry::length_mm(plan.outline);
    out.end_grain_mm = end_grain_of(plan);
    if (out.findings.flat_mm >= 0.0) out.areas = process::true_areas(plan.outline, out.shape);
    return out;
}

process::FinishWish wish_of(const EdgesStudy& edges, const Plan& plan, const job::Job& job) {
    process::FinishWish wish;
    constexpr double mm2 = 1e-6;
    wish.area = {edges.areas->top_mm2 * mm2, edges.areas->underside_mm2 * mm2, edges.areas->edge_mm2 * mm2};
    if (job.finish->coats > 0) wish.coats = job.finish->coats;
    if (job.climate.shop) {
        wish.temperature_c = job.climate.shop->celsius();
        wish.humidity_percent = job.climate.shop->humidity_percent;
    }
    wish.unit = plan.style.unit;
    return wish;
}

/// The film on the wood stays as it is told: what differs is how much goes elsewhere.
void spread_as_learnt(process::FinishAmounts& amounts, double spread, units::Unit unit) {
    const auto spread_out = [&](process::Range& litres) { litres = {spread * litres.low, spread * litres.high}; };
    for (process::CoatAmount& coat : amounts.coats) spread_out(coat.from_can_l);
    spread_out(amounts.litres);
    amounts.cans =
        process::buy_cans(amounts.litres.high, unit == units::Unit::inch ? process::us_cans() : process::metric_cans());
    amounts.bought_l = process::litres_in(amounts.cans);
}

void study_finish(ShopStudy& out, const Plan& plan, const job::Job& job) {
    if (!job.finish) return;
    const process::FinishSystem* system = process::find_finish(job.finish->system);
    if (system == nullptr) {
        std::string known;
        for (const auto& s : process::finish_systems()) known += (known.empty() ? "" : ", ") + s.id;
        out.finish_lacks.push_back("There is no finish called \"" + job.finish->system + "\"; known are " + known +
                                   '.');
        return;
    }
    if (!out.edges.areas) {
        out.finish_lacks.push_back("The profiles of the edge meet: put them right first.");
        return;
    }
    FinishStudy finish;
    finish.system = system;
    finish.way = system->ways.front();
    if (const auto asked = process::way_named(job.finish->apply)) {
        finish.way = *asked;
        if (std::find(system->ways.begin(), system->ways.end(), *asked) == system->ways.end())
            out.finish_lacks.push_back(system->name + " is not usually put on " + process::name_of(*asked).says + '.');
    }
    process::FinishWish wish = wish_of(out.edges, plan, job);
    wish.way = finish.way;
    finish.amounts = process::finish_amounts(*system, wish);
    finish.spread = out.rates.spread_of(system->id);
    if (finish.spread != 1.0) spread_as_learnt(finish.amounts, finish.spread, wish.unit);
    finish.coats = process::coat_schedule(*system, wish);
    out.finish = std::move(finish);
}

process::SandingPlan study_sanding(const ShopStudy& study, const Plan& plan) {
    process::SandingWish wish;
    constexpr double mm2 = 1e-6, mm = 1e-3;
    if (study.edges.areas)
        wish.faces_m2 = (study.edges.areas->top_mm2 + study.edges.areas->underside_mm2) * mm2;
    else
        wish.faces_m2 = 2.0 * plan.area_mm2 * mm2;
    wish.edge_m = study.edges.length_mm * mm;
    wish.end_grain_m = std::min(study.edges.end_grain_mm * mm, wish.edge_m);
    for (const SeamPlan& seam : plan.seams) wish.seam_m += 2.0 * seam.length_mm * mm;
    if (study.finish) wish.last_p = static_cast<int>(std::lround(study.finish->system->last_grit.low));
    return process::plan_sanding(wish);
}

process::Moment morning_of(job::Day day) {
    return process::Moment(std::chrono::local_days(day));
}

process::Shop shop_of(const job::Job& job, const shelf::Shelf& shelf) {
    process::Shop shop;
    const job::Calendar calendar = job.calendar.value_or(job::Calendar{{}, 1, job::usual_week(), {}});
    for (std::size_t from_monday = 0; from_monday < 7; ++from_monday) {
        auto& day = shop.hours.days.at((from_monday + 1) % 7);
        day.clear();
        for (const auto& hours : calendar.week[from_monday]) day.push_back({hours.from, hours.to});
    }
    for (const job::Day day : calendar.off) shop.days_off.push_back({day, day});
    shop.people = calendar.people;
    for (const auto& clamps : shelf.clamps) shop.clamps.push_back({clamps.name, static_cast<int>(clamps.count)});
    return shop;
}

/// Hours noted over hours reckoned, of the steps that were noted.
double pace_of(const std::vector<WorkStep>& steps, const WorkRates& rates, const job::Job& job) {
    double noted = 0.0, reckoned = 0.0;
    for (const WorkStep& step : steps) {
        double hours = 0.0;
        for (const job::Made& made : job.made)
            if (made.step == step.task.id || made.step == step.task.name) hours += made.hours.value_or(0.0);
        if (hours == 0.0) continue;
        noted += hours;
        reckoned += rates.pace_of(step.task.id) * step.usual_min / 60.0;
    }
    return reckoned > 0.0 ? noted / reckoned : 1.0;
}

}  // namespace

namespace {

/// Steps, and the calendar with them, in the order in which they begin.
void put_in_order(ShopStudy& out) {
    if (!out.calendar.schedule) return;
    process::Schedule& schedule = *out.calendar.schedule;
    std::vector<std::size_t> order(out.steps.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return schedule.tasks[a].start < schedule.tasks[b].start; });
    std::vector<std::size_t> place(order.size());
    std::vector<WorkStep> steps;
    std::vector<process::Planned> tasks;
    for (std::size_t i = 0; i < order.size(); ++i) {
        place[order[i]] = i;
        steps.push_back(std::move(out.steps[order[i]]));
        tasks.push_back(std::move(schedule.tasks[order[i]]));
    }
    const auto renumber = [&](std::vector<std::size_t>& of) {
        for (std::size_t& task : of) task = place[task];
    };
    for (process::Planned& task : tasks) renumber(task.late_after);
    for (process::ChainStep& link : schedule.chain) link.task = place[link.task];
    for (process::SideBySide& together : schedule.together) {
        renumber(together.at_work);
        renumber(together.waiting);
    }
    out.steps = std::move(steps);
    schedule.tasks = std::move(tasks);
}

}  // namespace

ShopStudy study_shop(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, const ShopInputs& inputs) {
    ShopStudy out;
    if (plan.outline.empty()) return out;
    out.edges = study_edges(plan, job);
    out.flattening = study_flattening(plan, shelf, inputs.boards);
    out.rates = rates_of(shelf, job);
    study_finish(out, plan, job);
    out.sanding = study_sanding(out, plan);
    out.steps = work_steps(out, plan, job, shelf, inputs);
    out.pace = pace_of(out.steps, out.rates, job);
    for (WorkStep& step : out.steps)
        step.task.hands_on_min =
            static_cast<int>(std::ceil(step.usual_min * out.rates.pace_of(step.task.id) * out.pace));
    std::vector<process::Task> tasks;
    for (const WorkStep& step : out.steps) tasks.push_back(step.task);
    out.dated = job.calendar && job.calendar->start;
    // A Monday that stands for any.
    const job::Day any = std::chrono::year(2001) / std::chrono::January / std::chrono::day(1);
    out.shop = shop_of(job, shelf);
    out.calendar = process::plan_calendar(out.shop, tasks, morning_of(out.dated ? *job.calendar->start : any));
    put_in_order(out);
    out.costs = job_costs(out, plan, job, shelf, inputs);
    return out;
}

}  // namespace seamwright::plan
