#include "keep_record.h"

#include <fmt/format.h>

#include <algorithm>

#include "plan/effort.h"
#include "plan/made_study.h"
#include "plan/words.h"
#include "plan/work_studies.h"

namespace seamwright::edit {
namespace {

/// A document holds no more (src/job/ranges.h); the oldest are let go.
constexpr std::size_t most_records = 5000;

bool same_work(const Json& a, const Json& b) {
    const auto same = [&](const char* member) {
        return a.contains(member) && b.contains(member) && a[member] == b[member];
    };
    return same("job") && same("step") && same("on");
}

void put_record(Json& list, const Json& record) {
    const auto there =
        std::find_if(list.begin(), list.end(), [&](const Json& each) { return same_work(each, record); });
    if (there == list.end())
        list.push_back(record);
    else
        *there = record;
}

Json json_of(const shelf::WorkDone& done, const Ruler& ruler) {
    Json json = Json::object();
    json["job"] = done.job;
    json["step"] = done.step;
    json["on"] = done.on;
    const auto number = [&](const char* name, const std::optional<double>& value) {
        if (value) json[name] = number_of(*value);
    };
    const auto length = [&](const char* name, const std::optional<double>& mm) {
        if (mm) json[name] = ruler.computed(*mm);
    };
    const auto text = [&](const char* name, const std::string& value) {
        if (!value.empty()) json[name] = value;
    };
    number("usual_minutes", done.usual_min);
    number("hours", done.hours);
    text("guide", done.guide);
    text("cutter", done.cutter);
    length("gap", done.gap_mm);
    length("gap_told", done.gap_told_mm);
    length("offset", done.offset_mm);
    length("offset_told", done.offset_told_mm);
    text("system", done.system);
    number("area_m2", done.area_m2);
    number("litres", done.litres);
    number("litres_told", done.litres_told);
    text("note", done.note);
    return json;
}

/// What the shop knows and this shelf does not.
void bring_in(Json& list, std::string_view shop_shelf, units::Unit unit) {
    auto shop = parsed(shop_shelf);
    if (!shop || !shop->is_object() || !shop->contains("work_done") || !(*shop)["work_done"].is_array()) return;
    leave_out_units(*shop, unit);
    Json both = std::move((*shop)["work_done"]);
    for (const Json& own : list) put_record(both, own);
    list = std::move(both);
}

}  // namespace

std::string keep_record(Bench& bench) {
    const job::Document document = bench.document();
    if (document.job.made.empty()) {
        refuse("/made", "nothing noted yet", "notes of the work, step by step",
               "note hours or measurements at the steps first");
    }
    const plan::Plan& plan = bench.plan();
    const auto studies = plan::study_work(plan, document.job, document.shelf, plan::effort_of_page);
    const auto study = plan::study_made(plan, document.job, document.shelf, studies.shop, studies.closing);
    const auto records = plan::work_done_of(study, document.job, studies.shop);
    if (records.empty()) {
        refuse("/made", "no note about a step that the plan has", "notes of steps of the shop plan",
               "correct the step that the notes name");
    }
    const Ruler ruler = bench.ruler();
    const units::Unit unit = unit_of(bench.tree());
    Json& shelf = bench.change()["shelf"];
    Json list = shelf.contains("work_done") ? shelf["work_done"] : Json::array();
    bring_in(list, bench.shop_shelf(), unit);
    for (const shelf::WorkDone& record : records) put_record(list, json_of(record, ruler));
    if (list.size() > most_records)
        list.erase(list.begin(), list.begin() + static_cast<std::ptrdiff_t>(list.size() - most_records));
    shelf["work_done"] = std::move(list);
    return fmt::format("{} of {} kept on the shelf for other jobs",
                       plan::words::times(records.size(), "record", "records"), document.job.name);
}

}  // namespace seamwright::edit
