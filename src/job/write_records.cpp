#include "write_records.h"

#include "checker.h"

namespace seamwright::job {

void write_records(JsonWriter& w, const shelf::Shelf& shelf) {
    const auto text = [&](std::string_view name, const std::string& value) {
        if (!value.empty()) w.text(name, value);
    };
    const auto number = [&](std::string_view name, const std::optional<double>& value) {
        if (value) w.number(name, *value);
    };
    if (!shelf.discs.empty()) {
        w.begin_list("discs");
        for (const shelf::Disc& disc : shelf.discs) {
            w.begin_group();
            w.text("species", disc.species);
            text("on", disc.on);
            w.number("cutter_diameter", disc.cutter_mm);
            w.number("side_cut", disc.side_cut_mm);
            if (disc.on_table) w.flag("on_table", true);
            w.begin_list("rim");
            for (const shelf::RimStretch& stretch : disc.rim) {
                w.begin_group();
                w.number("from_degrees", degrees_of(stretch.from_rad));
                w.number("to_degrees", degrees_of(stretch.to_rad));
                w.text("feed", stretch.climb ? "climb" : "conventional");
                w.text("seen", name_of(stretch.seen));
                w.end_group();
            }
            w.end_list();
            w.end_group();
        }
        w.end_list();
    }
    if (shelf.work_done.empty()) return;
    w.begin_list("work_done");
    for (const shelf::WorkDone& done : shelf.work_done) {
        w.begin_group();
        w.text("job", done.job);
        w.text("step", done.step);
        w.text("on", done.on);
        number("usual_minutes", done.usual_min);
        number("hours", done.hours);
        text("guide", done.guide);
        text("cutter", done.cutter);
        number("gap", done.gap_mm);
        number("gap_told", done.gap_told_mm);
        number("offset", done.offset_mm);
        number("offset_told", done.offset_told_mm);
        text("system", done.system);
        number("area_m2", done.area_m2);
        number("litres", done.litres);
        number("litres_told", done.litres_told);
        text("note", done.note);
        w.end_group();
    }
    w.end_list();
}

}  // namespace seamwright::job
