#include "write_shop_work.h"

namespace seamwright::job {
namespace {

void write_edge(JsonWriter& w, std::string_view name, const EdgeShape& edge) {
    w.begin_group(name);
    w.text("kind", name_of(edge.kind));
    if (edge.kind != EdgeShape::Kind::square) w.number("reach", edge.size_mm);
    w.end_group();
}

void write_calendar(JsonWriter& w, const Calendar& calendar) {
    w.begin_group("calendar");
    if (calendar.start) w.text("first_day", show(*calendar.start));
    w.number("people", calendar.people);
    w.begin_group("hours");
    for (std::size_t d = 0; d < calendar.week.size(); ++d) {
        if (calendar.week[d].empty()) continue;
        std::vector<std::string> hours;
        for (const auto& h : calendar.week[d]) hours.push_back(show_time(h.from) + '-' + show_time(h.to));
        w.texts(name_of_weekday(d), hours);
    }
    w.end_group();
    if (!calendar.off.empty()) {
        std::vector<std::string> off;
        for (const Day day : calendar.off) off.push_back(show(day));
        w.texts("off", off);
    }
    w.end_group();
}

void write_prices(JsonWriter& w, const Prices& prices) {
    const auto price = [&](std::string_view name, const std::optional<double>& value) {
        if (value) w.number(name, *value);
    };
    w.begin_group("prices");
    if (!prices.currency.empty()) w.text("currency", prices.currency);
    price("labour_per_hour", prices.labour_per_hour);
    price("sheet_per_m2", prices.sheet_per_m2);
    price("adhesive_per_kg", prices.adhesive_per_kg);
    price("finish_per_litre", prices.finish_per_litre);
    price("abrasive_per_sheet", prices.abrasive_per_sheet);
    price("cutter_per_metre", prices.cutter_per_metre);
    price("wood_per_m3", prices.wood_per_m3);
    w.number("waste_percent", prices.waste_percent);
    w.number("overhead_percent", prices.overhead_percent);
    if (!prices.customer.empty()) w.text("customer", prices.customer);
    if (!prices.terms.empty()) w.text("terms", prices.terms);
    w.end_group();
}

}  // namespace

void write_shop_work(JsonWriter& w, const Job& job) {
    if (job.edges) {
        w.begin_group("edges");
        write_edge(w, "top", job.edges->top);
        write_edge(w, "underside", job.edges->underside);
        w.end_group();
    }
    if (job.finish) {
        w.begin_group("finish");
        w.text("system", job.finish->system);
        if (!job.finish->apply.empty()) w.text("apply", job.finish->apply);
        if (job.finish->coats > 0) w.number("coats", job.finish->coats);
        w.end_group();
    }
    if (job.calendar) write_calendar(w, *job.calendar);
    if (job.prices) write_prices(w, *job.prices);
    if (job.made.empty()) return;
    w.begin_list("made");
    for (const Made& made : job.made) {
        w.begin_group();
        w.text("step", made.step);
        w.text("on", show(made.on));
        if (made.hours) w.number("hours", *made.hours);
        if (made.gap_mm) w.number("gap", *made.gap_mm);
        if (made.offset_mm) w.number("offset", *made.offset_mm);
        if (made.litres) w.number("litres", *made.litres);
        if (!made.note.empty()) w.text("note", made.note);
        w.end_group();
    }
    w.end_list();
}

}  // namespace seamwright::job
