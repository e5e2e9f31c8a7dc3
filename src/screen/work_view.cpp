#include "screen/work_view.h"

#include <fmt/format.h>

#include <algorithm>

#include "calendar_view.h"
#include "feed_maps.h"
#include "plan/effort.h"
#include "plan/words.h"
#include "plan/work_studies.h"
#include "told.h"

namespace seamwright::screen {
namespace {

using process::CostLine;

std::string why_no_calendar(const plan::ShopStudy& shop) {
    if (!shop.calendar.schedule) {
        std::string why;
        for (const auto& refusal : shop.calendar.refusals)
            why += fmt::format("{}{} {}", why.empty() ? "" : " ", refusal.says, refusal.remedy);
        return why;
    }
    if (!shop.dated) return "It needs the first day of work: say it under \"Shop calendar\" of the whole job.";
    return {};
}

/// What stands open, each with where to say it.
std::vector<std::string> open_of(const plan::ShopStudy& shop, const job::Job& job) {
    std::vector<std::string> open;
    if (!job.edges) open.emplace_back("Nothing is said of the edge: both its rims are taken as square.");
    if (!job.finish) open.emplace_back("No finish is said: its coats, its waits and what it costs are left out.");
    for (const auto& lacks : shop.finish_lacks) open.push_back(lacks);
    if (!job.calendar)
        open.emplace_back(
            "The hours of the shop are not said: one person, Monday to Friday, 08:00 to 12:00 and 13:00 to "
            "17:00, are taken.");
    if (!shop.calendar.schedule)
        open.push_back(why_no_calendar(shop));
    else if (!shop.dated)
        open.emplace_back("The first day of work is not said: days are counted instead of dated.");
    if (!job.prices) {
        open.emplace_back("No prices are said: nothing is summed up.");
    } else if (!shop.costs.complete) {
        std::string names;
        for (const auto& name : shop.costs.missing) names += (names.empty() ? "" : "; ") + name;
        open.push_back(fmt::format("No price for: {}.", names));
    }
    return open;
}

void write_kind(job::JsonWriter& json, CostLine::Kind kind, const process::CostSheet& sheet) {
    json.begin_group();
    json.text("says", plan::words::capitalised(process::says(kind)));
    bool any = false, all = true;
    json.begin_list("lines");
    for (const CostLine& line : sheet.lines) {
        if (line.kind != kind) continue;
        any = any || line.amount;
        all = all && line.amount;
        json.begin_group();
        json.text("what", line.what);
        json.text("quantity", fmt::format("{} {}", process::show_quantity(line.thousandths), line.unit));
        json.text("price", line.price ? process::show(*line.price, {}) : std::string());
        json.text("amount", line.amount ? process::show(*line.amount, {}) : std::string());
        json.end_group();
    }
    json.end_list();
    const std::string sum = process::show(process::sum_of(sheet, kind), {});
    json.text("sum", !any ? std::string("open") : all ? sum : sum + " and more");
    json.end_group();
}

void write_cost(job::JsonWriter& json, const plan::ShopStudy& shop, const job::Job& job) {
    const std::string currency = job.prices ? job.prices->currency : std::string();
    json.begin_group("cost");
    json.text("currency", currency);
    std::vector<CostLine::Kind> kinds;
    for (const CostLine& line : shop.costs.lines)
        if (std::find(kinds.begin(), kinds.end(), line.kind) == kinds.end()) kinds.push_back(line.kind);
    json.begin_list("kinds");
    for (const CostLine::Kind kind : kinds) write_kind(json, kind, shop.costs);
    json.end_list();
    json.text("sum", process::show(shop.costs.sum, currency) + (shop.costs.complete ? "" : " so far"));
    json.text("rounding", shop.costs.rounding);
    json.end_group();
}

void write_told_list(job::JsonWriter& json, std::string_view key, const std::vector<plan::words::Told>& list) {
    json.begin_list(key);
    for (const auto& told : list) write_told(json, {}, told);
    json.end_list();
}

void write_all(job::JsonWriter& json, const plan::WorkStudies& studies, const plan::Plan& plan, const job::Job& job,
               const shelf::Shelf& shelf) {
    const plan::ShopStudy& shop = studies.shop;
    auto days = plan::words::calendar_text(shop);
    json.text("lacks", "");
    json.texts("heads", {shop.calendar.schedule ? days.front().lines.front()
                                                : std::string("There is no calendar: why stands below."),
                         job.prices ? shop.costs.says : std::string("What it costs is open: there are no prices.")});
    json.texts("open", open_of(shop, job));
    write_feed_maps(json, studies.feed, plan);
    std::vector<plan::words::Told> feeding;
    for (const auto& edge : studies.feed.edges) feeding.push_back(plan::words::feed_text(edge, plan, job));
    if (!feeding.empty()) feeding.push_back(plan::words::feed_cautions_text(studies.feed, shelf, job.style));
    write_told_list(json, "feeding", feeding);
    write_told_list(json, "edge", plan::words::surface_text(studies, plan, job, shelf));
    write_told_list(json, "finish", plan::words::finish_text(shop, job));
    write_calendar(json, shop, job);
    // First when it is ready, last what decides it, and the days between.
    std::vector<plan::words::Told> ends;
    ends.push_back(std::move(days.front()));
    if (days.size() > 1) {
        ends.push_back(std::move(days.back()));
        days.pop_back();
    }
    days.erase(days.begin());
    write_told_list(json, "ends", ends);
    write_told_list(json, "days", days);
    write_cost(json, shop, job);
}

void write_nothing(job::JsonWriter& json) {
    json.text("lacks", "The plan first needs what is listed under \"what is known\".");
    for (const char* list : {"heads", "open", "feed", "feeding", "edge", "finish"}) {
        json.begin_list(list);
        json.end_list();
    }
    json.nothing("calendar");
    for (const char* list : {"ends", "days"}) {
        json.begin_list(list);
        json.end_list();
    }
    json.nothing("cost");
}

}  // namespace

std::vector<WorkFile> work_files(const plan::ShopStudy& shop) {
    return {{std::string(book_name), "the job book: every step with room for what is measured", {}},
            {std::string(quote_name), "the quote for the customer", {}},
            {std::string(cut_list_name), "the cut list as a table", {}},
            {std::string(calendar_name), "the calendar, for calendar programs", why_no_calendar(shop)}};
}

std::string write_work(const edit::OpenJob& job, std::int64_t version) {
    const plan::Plan& plan = job.plan();
    const job::Job& asked = job.document().job;
    job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
    json.begin_group();
    json.json("version", fmt::format("{}", version));
    const bool planned = !plan.outline.empty() && !job::any_error(job.problems());
    std::vector<WorkFile> files;
    if (planned) {
        const auto studies = plan::study_work(plan, asked, job.document().shelf, plan::effort_of_page);
        write_all(json, studies, plan, asked, job.document().shelf);
        files = work_files(studies.shop);
    } else {
        write_nothing(json);
    }
    json.begin_list("files");
    for (const WorkFile& file : files) {
        json.begin_group();
        json.text("name", file.name);
        json.text("says", file.says);
        json.text("lacks", file.lacks);
        json.end_group();
    }
    json.end_list();
    json.end_group();
    return json.take();
}

}  // namespace seamwright::screen
