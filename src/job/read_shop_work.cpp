#include <fmt/format.h>

#include <algorithm>

#include "parts.h"

namespace seamwright::job {
namespace {

EdgeShape read_edge(Checker& checker, const Node& node) {
    const Group group(checker, node, {"kind", "reach"});
    EdgeShape edge;
    if (const auto kind = group.need("kind", "what is routed along it: square, round_over, chamfer or cove")) {
        const auto choice = read_choice(checker, *kind, {"square", "round_over", "chamfer", "cove"});
        using Kind = EdgeShape::Kind;
        for (const auto k : {Kind::square, Kind::round_over, Kind::chamfer, Kind::cove})
            if (choice == name_of(k)) edge.kind = k;
        if (choice && edge.kind != Kind::square)
            group.need_length("reach", ranges::edge_mm, "its radius, or the width of the chamfer, such as 6",
                              edge.size_mm);
    }
    return edge;
}

std::optional<Day> read_day_at(Checker& checker, const Node& node) {
    const auto text = read_name(checker, node);
    if (!text) return std::nullopt;
    const auto day = read_day(*text);
    if (!day) checker.error(node, quote(*text), "a day that there is, as year-month-day", "write it like 2026-12-07");
    return day;
}

std::optional<Calendar::Hours> read_hours(Checker& checker, const Node& node) {
    const auto text = read_name(checker, node);
    if (!text) return std::nullopt;
    const auto dash = text->find('-');
    const auto from = read_time(std::string_view(*text).substr(0, std::min(dash, text->size())));
    const auto to = dash == std::string::npos ? std::nullopt : read_time(std::string_view(*text).substr(dash + 1));
    if (!from || !to || *from >= *to) {
        checker.error(node, quote(*text), "a time of the day and a later one", "write it like 08:00-12:00");
        return std::nullopt;
    }
    return Calendar::Hours{*from, *to};
}

/// How many stretches of hours are written, good or not.
std::size_t read_week(Checker& checker, const Node& node, Calendar& calendar) {
    std::vector<std::string_view> days;
    for (std::size_t d = 0; d < 7; ++d) days.push_back(name_of_weekday(d));
    const Group group(checker, node, days);
    std::size_t written = 0;
    if (!group) return 1;
    for (std::size_t d = 0; d < 7; ++d) {
        calendar.week[d].clear();
        const auto day = group.find(days[d]);
        if (!day) continue;
        for (const Node& item : read_list(checker, *day, ranges::most_hours)) {
            ++written;
            const auto hours = read_hours(checker, item);
            if (!hours) continue;
            if (!calendar.week[d].empty() && calendar.week[d].back().to > hours->from) {
                checker.error(item, "hours that begin before those before them end", "hours one after the other",
                              "put them in order, or make one of two");
                continue;
            }
            calendar.week[d].push_back(*hours);
        }
    }
    return written;
}

void price_at(Checker& checker, const Group& group, std::string_view name, std::optional<double>& into) {
    if (const auto node = group.find(name)) into = read_number(checker, *node, ranges::price, "in your own money");
}

}  // namespace

Edges read_edges(Checker& checker, const Node& node) {
    const Group group(checker, node, {"top", "underside"});
    Edges edges;
    if (const auto top = group.find("top")) edges.top = read_edge(checker, *top);
    if (const auto underside = group.find("underside")) edges.underside = read_edge(checker, *underside);
    return edges;
}

Finish read_finish(Checker& checker, const Node& node) {
    const Group group(checker, node, {"system", "apply", "coats"});
    Finish finish;
    if (const auto system = group.need("system", "the kind of finish, such as \"hardwax_oil\""))
        finish.system = read_name(checker, *system).value_or("");
    if (const auto apply = group.find("apply"))
        finish.apply = read_choice(checker, *apply, {"brush", "wipe", "spray", "low-pressure-spray"}).value_or("");
    if (const auto coats = group.find("coats"))
        finish.coats = read_whole(checker, *coats, 1, ranges::most_coats).value_or(0);
    return finish;
}

Calendar read_calendar(Checker& checker, const Node& node) {
    const Group group(checker, node, {"first_day", "people", "hours", "off"});
    Calendar calendar;
    calendar.week = usual_week();
    if (const auto start = group.find("first_day")) calendar.start = read_day_at(checker, *start);
    if (const auto people = group.find("people")) calendar.people = read_whole(checker, *people, 1, 2).value_or(1);
    if (const auto hours = group.find("hours")) {
        if (read_week(checker, *hours, calendar) == 0) {
            checker.error(*hours, "a week without any hours", "some hours on one day at least",
                          "write when the shop works, such as \"monday\": [\"08:00-12:00\"]");
        }
    }
    if (const auto off = group.find("off")) {
        for (const Node& item : read_list(checker, *off, ranges::most_days_off))
            if (const auto day = read_day_at(checker, item)) calendar.off.push_back(*day);
        std::sort(calendar.off.begin(), calendar.off.end());
        calendar.off.erase(std::unique(calendar.off.begin(), calendar.off.end()), calendar.off.end());
    }
    return calendar;
}

Prices read_prices(Checker& checker, const Node& node) {
    const Group group(
        checker, node,
        {"currency", "labour_per_hour", "sheet_per_m2", "adhesive_per_kg", "finish_per_litre", "abrasive_per_sheet",
         "cutter_per_metre", "wood_per_m3", "waste_percent", "overhead_percent", "customer", "terms"});
    Prices prices;
    if (const auto currency = group.find("currency")) prices.currency = read_name(checker, *currency).value_or("");
    price_at(checker, group, "labour_per_hour", prices.labour_per_hour);
    price_at(checker, group, "sheet_per_m2", prices.sheet_per_m2);
    price_at(checker, group, "adhesive_per_kg", prices.adhesive_per_kg);
    price_at(checker, group, "finish_per_litre", prices.finish_per_litre);
    price_at(checker, group, "abrasive_per_sheet", prices.abrasive_per_sheet);
    price_at(checker, group, "cutter_per_metre", prices.cutter_per_metre);
    price_at(checker, group, "wood_per_m3", prices.wood_per_m3);
    if (const auto waste = group.find("waste_percent"))
        prices.waste_percent =
            read_number(checker, *waste, ranges::percent_more, "percent more").value_or(prices.waste_percent);
    if (const auto over = group.find("overhead_percent"))
        prices.overhead_percent =
            read_number(checker, *over, ranges::percent_more, "percent more").value_or(prices.overhead_percent);
    if (const auto customer = group.find("customer")) prices.customer = read_name(checker, *customer).value_or("");
    if (const auto terms = group.find("terms")) prices.terms = read_note(checker, *terms).value_or("");
    return prices;
}

std::vector<Made> read_made(Checker& checker, const Node& node) {
    std::vector<Made> out;
    for (const Node& item : read_list(checker, node, ranges::most_made)) {
        const Group group(checker, item, {"step", "on", "hours", "gap", "offset", "litres", "note"});
        Made made;
        const auto step = group.need("step", "which step, as the shop plan calls it");
        const auto on = group.need("on", "the day, such as 2026-12-07");
        if (step) made.step = read_name(checker, *step).value_or("");
        if (on) made.on = read_day_at(checker, *on).value_or(Day{});
        if (const auto hours = group.find("hours")) made.hours = read_number(checker, *hours, ranges::hours, "hours");
        group.length("gap", ranges::gap_found_mm, made.gap_mm);
        group.length("offset", ranges::offset_found_mm, made.offset_mm);
        if (const auto litres = group.find("litres"))
            made.litres = read_number(checker, *litres, ranges::litres, "litres of finish");
        if (const auto note = group.find("note")) made.note = read_note(checker, *note).value_or("");
        out.push_back(std::move(made));
    }
    return out;
}

}  // namespace seamwright::job
