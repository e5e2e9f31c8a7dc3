#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "plan/shop_study.h"
#include "plan/words.h"
#include "process/film.h"

namespace seamwright::plan::words {
namespace {

constexpr std::array<const char*, 7> weekdays{"Sunday",   "Monday", "Tuesday", "Wednesday",
                                              "Thursday", "Friday", "Saturday"};

/// "Monday 2026-12-07"; without a date "Day 3, a Wednesday".
std::string day_text(process::Moment moment, process::Moment first, bool dated) {
    const auto day = std::chrono::floor<std::chrono::days>(moment);
    const std::chrono::weekday weekday{day};
    if (dated)
        return fmt::format("{} {}", weekdays.at(weekday.c_encoding()), job::show(std::chrono::year_month_day(day)));
    const auto since = (day - std::chrono::floor<std::chrono::days>(first)).count() + 1;
    return fmt::format("Day {}, a {}", since, weekdays.at(weekday.c_encoding()));
}

std::string time_text(process::Moment moment) {
    const auto day = std::chrono::floor<std::chrono::days>(moment);
    return job::show_time(static_cast<int>((moment - day).count()));
}

std::string chain_text(const process::ChainStep& link, const ShopStudy& study) {
    const std::string& name = study.steps[link.task].task.name;
    using Kind = process::ChainStep::Kind;
    const auto minutes = static_cast<int>((link.when.until - link.when.from).count());
    const std::string lasts = process::show_minutes(minutes);
    switch (link.kind) {
        case Kind::work:
            return fmt::format("{}: {} of work", name, lasts);
        case Kind::clamped:
            return fmt::format("{}: {} in clamps", name, lasts);
        case Kind::wait:
            return fmt::format("{}: {}, waited for {}", name, study.steps[link.task].task.wait_name, lasts);
        case Kind::closed:
            return fmt::format("the shop is closed for {}", lasts);
        case Kind::too_short:
            return fmt::format("{} left of the day, too short for: {}", lasts, name);
        case Kind::held_back:
            return fmt::format("{} held back by {}, for what must follow it in time", name, lasts);
        case Kind::not_before:
            return fmt::format("{} may not begin before; {} waited", name, lasts);
    }
    return name;
}

}  // namespace

Told edges_text(const ShopStudy& study, const job::Job& job) {
    const auto show = [&](double mm) { return units::show(mm, job.style); };
    Told told{"The edge", {}, {}};
    const auto tell = [&](const char* where, const process::EdgeProfile& profile) {
        if (profile.kind == process::EdgeProfile::Kind::square) return;
        told.lines.push_back(
            fmt::format("{}: a {} of {} all round.", where, process::says(profile.kind), show(profile.size_mm)));
    };
    tell("Upper rim", study.edges.shape.top);
    tell("Lower rim", study.edges.shape.underside);
    if (told.lines.empty()) told.lines.push_back("Both rims stay square.");
    told.lines.push_back(fmt::format("The edge is {} thick and {} long; {} of it shows end grain.",
                                     show(study.edges.shape.thickness_mm), show(study.edges.length_mm),
                                     show(study.edges.end_grain_mm)));
    for (const auto& line : study.edges.findings.mind) told.lines.push_back(line);
    for (const auto& line : study.edges.findings.must) told.cautions.push_back(line);
    return told;
}

Told sanding_text(const ShopStudy& study) {
    Told told{"Scraping and sanding", {}, {}};
    if (study.sanding.scraping_min > 0.0)
        told.lines.push_back(
            fmt::format("Scrape the seams level first: about {}.",
                        process::show_minutes(static_cast<int>(std::ceil(study.sanding.scraping_min)))));
    for (const auto& step : study.sanding.steps) {
        std::string paper;
        if (step.discs > 0) paper += fmt::format(", {}", times(static_cast<std::size_t>(step.discs), "disc", "discs"));
        if (step.quarter_sheets > 0)
            paper += fmt::format(
                ", {}", times(static_cast<std::size_t>(step.quarter_sheets), "quarter sheet", "quarter sheets"));
        told.lines.push_back(fmt::format("P{} ({:.0f} µm): {} About {}{}.", step.grit.p, step.grit.mean_um, step.reason,
                                         process::show_minutes(static_cast<int>(std::ceil(step.minutes))), paper));
    }
    for (const auto& line : study.sanding.mind) told.lines.push_back(line);
    told.cautions = study.sanding.cautions;
    return told;
}

std::vector<Told> finish_text(const ShopStudy& study, const job::Job& job) {
    std::vector<Told> out;
    if (!study.finish_lacks.empty()) out.push_back({"What is wrong with the finish", {}, study.finish_lacks});
    if (!study.finish) return out;
    const FinishStudy& finish = *study.finish;
    const process::FinishSystem& system = *finish.system;
    Told what{fmt::format("Finish: {}, {}", system.name, process::name_of(finish.way).says), {}, {}};
    what.lines.push_back(system.looks);
    what.lines.push_back(
        fmt::format("Stands water: {}; heat: {}; alcohol: {}; wear: {} (common practice, from memory).",
                    process::says(system.water), process::says(system.heat), process::says(system.alcohol),
                    process::says(system.wear)));
    for (const auto& coat : finish.amounts.coats)
        what.lines.push_back(fmt::format("Coat {}: {:.2f} m², {:.2f} to {:.2f} L from the can.", coat.coat,
                                         coat.area_m2, coat.from_can_l.low, coat.from_can_l.high));
    std::string cans;
    for (const auto& bought : finish.amounts.cans)
        cans += fmt::format("{}{} × {}", cans.empty() ? "" : ", ", bought.count, bought.size.name);
    what.lines.push_back(fmt::format("Buy {} ({:.2f} to {:.2f} L are used).", cans, finish.amounts.litres.low,
                                     finish.amounts.litres.high));
    if (finish.spread != 1.0)
        what.lines.push_back(
            fmt::format("That is {:.2f} times the table: so much your shop used before.", finish.spread));
    if (finish.amounts.dry_um)
        what.lines.push_back(
            fmt::format("Dry film when all coats are on: {}.",
                        process::show_films(finish.amounts.dry_um->low, finish.amounts.dry_um->high, job.style.unit)));
    for (const auto& line : finish.amounts.mind) what.lines.push_back(line);
    what.lines.push_back("To mend it later: " + system.repair);
    for (const auto& line : finish.amounts.must) what.cautions.push_back(line);
    for (const auto& line : process::finish_cautions(system, finish.way)) what.cautions.push_back(line);
    out.push_back(std::move(what));

    Told order{"Coat by coat", {}, {}};
    for (const auto& step : finish.coats.steps) {
        std::string line = fmt::format("{} About {}.", step.text,
                                       process::show_minutes(static_cast<int>(std::ceil(step.hands_on_min))));
        if (step.wait_h.high > 0.0)
            line += fmt::format(" Then wait {:.0f} to {:.0f} h.", step.wait_h.low, step.wait_h.high);
        if (step.most_h) line += fmt::format(" The next coat within {:.0f} h, or sand first.", *step.most_h);
        order.lines.push_back(std::move(line));
    }
    order.lines.push_back(fmt::format(
        "From the start: light use after {:.0f} to {:.0f} h, shipped after {:.0f} to {:.0f} "
        "h, through and through hard after {:.0f} to {:.0f} days.",
        finish.coats.light_use_after_h.low, finish.coats.light_use_after_h.high, finish.coats.shipped_after_h.low,
        finish.coats.shipped_after_h.high, finish.coats.cured_after_d.low, finish.coats.cured_after_d.high));
    for (const auto& line : finish.coats.mind) order.lines.push_back(line);
    for (const auto& line : finish.coats.must) order.cautions.push_back(line);
    out.push_back(std::move(order));
    return out;
}

Told cost_text(const ShopStudy& study, const job::Job& job) {
    const std::string currency = job.prices ? job.prices->currency : std::string();
    Told told{"What it costs", {}, {}};
    for (const auto& line : study.costs.lines) {
        std::string text = fmt::format("{}: {} {}", line.what, process::show_quantity(line.thousandths), line.unit);
        if (line.price) text += fmt::format(" at {}", process::show(*line.price, currency));
        text +=
            line.amount ? fmt::format(", {}", process::show(*line.amount, currency)) : std::string(", no price yet");
        told.lines.push_back(text + '.');
    }
    told.lines.push_back(study.costs.says);
    told.lines.push_back(study.costs.rounding);
    return told;
}

std::vector<Told> calendar_text(const ShopStudy& study) {
    std::vector<Told> out;
    if (!study.calendar.schedule) {
        Told lacks{"Why there is no calendar", pace_lines(study.rates), {}};
        for (const auto& refusal : study.calendar.refusals)
            lacks.cautions.push_back(fmt::format("{} {}", refusal.says, refusal.remedy));
        out.push_back(std::move(lacks));
        return out;
    }
    const process::Schedule& schedule = *study.calendar.schedule;
    struct Line {
        process::Moment from;
        std::string text;
    };
    std::vector<Line> lines;
    for (std::size_t i = 0; i < schedule.tasks.size(); ++i) {
        const process::Planned& planned = schedule.tasks[i];
        for (const process::Stretch& work : planned.work)
            lines.push_back({work.from, fmt::format("{}–{} {}", time_text(work.from), time_text(work.until),
                                                    study.steps[i].task.name)});
    }
    std::stable_sort(lines.begin(), lines.end(), [](const Line& a, const Line& b) { return a.from < b.from; });
    const process::Moment first = lines.empty() ? schedule.finish : lines.front().from;
    Told end{"When it can be delivered", {}, {}};
    end.lines.push_back(fmt::format("Earliest delivery: {}, {}.", day_text(schedule.delivery, first, study.dated),
                                    time_text(schedule.delivery)));
    if (!study.dated) end.lines.push_back("Say on which day the work begins (calendar, first_day) to have dates.");
    end.lines.push_back(schedule.proven ? "No order of the steps is done sooner (proved)."
                                        : fmt::format("No order is done before {}, {}.",
                                                      day_text(schedule.no_earlier_than, first, study.dated),
                                                      time_text(schedule.no_earlier_than)));
    const bool learnt = study.rates.overall.has_value();
    if (learnt) {
        for (auto& line : pace_lines(study.rates)) end.lines.push_back(std::move(line));
    }
    if (std::abs(study.pace - 1.0) > 0.005)
        end.lines.push_back(fmt::format("Reckoned with your own hours: {:.2f} times {}.", study.pace,
                                        learnt ? "what your shop has learnt" : "the usual"));
    else if (!learnt)
        end.lines.push_back("Hours are common practice, from memory; note your own and they set the pace.");
    out.push_back(std::move(end));

    Told chain{"What decides the end", {}, {}};
    // The night before the first hour says nothing.
    auto link = schedule.chain.begin();
    while (link != schedule.chain.end() && link->kind == process::ChainStep::Kind::closed) ++link;
    for (; link != schedule.chain.end(); ++link) chain.lines.push_back(chain_text(*link, study) + '.');

    for (const Line& line : lines) {
        std::string day = day_text(line.from, first, study.dated);
        if (out.size() < 2 || out.back().title != day) out.push_back({std::move(day), {}, {}});
        out.back().lines.push_back(line.text);
    }
    out.push_back(std::move(chain));
    return out;
}

}  // namespace seamwright::plan::words
