#include "server_jobs.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <stdexcept>
#include <utility>

#include "board_pictures.h"
#include "book_files.h"
#include "embedded/example_bench_top.h"
#include "embedded/example_hall_console.h"
#include "embedded/example_round_table.h"
#include "paper/papers.h"
#include "plan/effort.h"
#include "plan/work_studies.h"
#include "screen/closing_view.h"
#include "screen/feed_view.h"
#include "screen/made_view.h"
#include "screen/wood_view.h"
#include "screen/work_view.h"
#include "searched.h"
#include "server_board_photo.h"
#include "server_fault.h"
#include "server_json.h"
#include "server_wish.h"

namespace seamwright::app {
namespace {

using Json = nlohmann::ordered_json;
using store::JobId;

/// Jobs kept open. More than the windows a maker has in use; a heavy one takes some ten megabytes.
constexpr std::size_t most_kept = 8;

Answer no_job() {
    return fault(404, "There is no such job, or it was deleted.",
                 "Choose another one from the list of jobs; deleted ones can be brought back there.");
}

std::optional<std::string_view> example(std::string_view name) {
    if (name == "hall-console") return embedded::example_hall_console();
    if (name == "bench-top") return embedded::example_bench_top();
    if (name == "round-table") return embedded::example_round_table();
    return {};
}

edit::OpenJob open_own(const std::string& text) {
    auto opened = edit::OpenJob::open(text);
    if (auto* job = std::get_if<edit::OpenJob>(&opened)) return std::move(*job);
    throw std::logic_error("a document of the program's own cannot be read: " +
                           job::show(std::get<edit::Refused>(opened).problems.front()));
}

const std::string& name_of(const edit::OpenJob& job) {
    return job.document().job.name;
}

bool is_work_paper(std::string_view name) {
    return name == screen::book_name || name == screen::quote_name || name == screen::cut_list_name ||
           name == screen::calendar_name;
}

/// Entries of "made" that are set, put in or taken out, and nothing besides.
bool only_notes(const std::string& edits) {
    const Json list = Json::parse(edits, nullptr, false);
    if (!list.is_array()) return false;
    return std::all_of(list.begin(), list.end(), [](const Json& edit) {
        if (!edit.is_object() || edit.empty()) return false;
        std::size_t acts = 0;
        for (const char* act : {"set", "insert", "remove"}) {
            if (!edit.contains(act)) continue;
            ++acts;
            const Json& pointer = edit[act];
            if (!pointer.is_string() || !pointer.get_ref<const std::string&>().starts_with("/made/")) return false;
        }
        return acts == 1 && edit.size() == (edit.contains("remove") ? 1u : 2u) &&
               (edit.contains("remove") || edit.contains("value"));
    });
}

constexpr std::string_view unreadable = "This job cannot be read.";
constexpr std::string_view export_it = "Export it, mend what is listed in a text editor, and bring it in again.";

}  // namespace

/// Measures what the program needs for an answer.
class JobDesk::Stopwatch {
  public:
    std::int64_t microseconds() const {
        return std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() - start_).count();
    }

  private:
    std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

// ---------------------------------------------------------------------------------------------------- opened jobs

std::shared_ptr<const JobDesk::Current> JobDesk::kept(JobId id, std::int64_t version) {
    const std::lock_guard lock(mutex_);
    const auto found = std::find_if(current_.begin(), current_.end(),
                                    [&](const auto& each) { return each->id == id && each->version == version; });
    if (found == current_.end()) return nullptr;
    current_.splice(current_.begin(), current_, found);
    return current_.front();
}

std::shared_ptr<const JobDesk::Current> JobDesk::keep(const store::Saved& saved, edit::OpenJob job) {
    std::string shelf = in_one_spelling(edit::shelf_of(job.text()));
    auto current = std::make_shared<const Current>(
        Current{saved.id, saved.version, saved.undo, saved.redo, std::move(job), std::move(shelf)});
    const std::lock_guard lock(mutex_);
    // One of a slower request may be older than what is there.
    const auto same =
        std::find_if(current_.begin(), current_.end(), [&](const auto& each) { return each->id == saved.id; });
    if (same != current_.end()) {
        if ((*same)->version > saved.version) return current;
        current_.erase(same);
    }
    current_.push_front(current);
    if (current_.size() > most_kept) current_.pop_back();
    return current;
}

JobDesk::CurrentOrAnswer JobDesk::opened(const store::Saved& saved) {
    if (auto here = kept(saved.id, saved.version)) return here;
    auto job = edit::OpenJob::open(saved.document);
    if (const auto* refused = std::get_if<edit::Refused>(&job)) {
        return problems_answer(refused->problems, unreadable, export_it);
    }
    return keep(saved, std::move(std::get<edit::OpenJob>(job)));
}

JobDesk::CurrentOrAnswer JobDesk::current(JobId id) {
    const auto version = store_.version(id);
    if (!version) return no_job();
    if (auto here = kept(id, *version)) return here;
    const auto saved = store_.find(id);
    if (std::holds_alternative<store::Missing>(saved)) return no_job();
    return opened(std::get<store::Saved>(saved));
}

std::string JobDesk::shop_shelf() const {
    std::string shelf = store_.shelf();
    return shelf.empty() ? edit::shelf_of(embedded::example_hall_console()) : shelf;
}

Answer JobDesk::screen_answer(const edit::OpenJob& job, const screen::Around& around, const Stopwatch& watch) {
    const std::string text = screen::write_screen(job, around);
    Answer answer;
    answer.body = fmt::format("{{\"engine_us\":{},{}", watch.microseconds(), std::string_view(text).substr(1));
    answer.fields.emplace_back("Cache-Control", "no-store");
    return answer;
}

Answer JobDesk::screen_of(const Current& current, const Stopwatch& watch) const {
    screen::Around around;
    around.id = current.id;
    around.version = current.version;
    around.undo = current.undo;
    around.redo = current.redo;
    around.shelf_differs = current.shelf != in_one_spelling(shop_shelf());
    return screen_answer(current.job, around, watch);
}

Answer JobDesk::overtaken(const store::Overtaken& by, const Stopwatch& watch) {
    const auto now = opened(by.now);
    if (const auto* refused = std::get_if<Answer>(&now)) return *refused;
    Answer answer = screen_of(*std::get<0>(now), watch);
    answer.status = 409;
    answer.body = fmt::format("{{\"says\":{},\"screen\":{}}}", json_text(by.says), answer.body);
    return answer;
}

Answer JobDesk::overtaken(const Current& current, std::int64_t base, const Stopwatch& watch) {
    // Offers the job as it is: with a base that has passed, the store tells what was done since, and saves nothing.
    return after(store_.change(current.id, base, {name_of(current.job), current.job.text(), {}}), watch);
}

Answer JobDesk::after(const std::variant<store::Saved, store::Overtaken, store::Missing>& result,
                      const Stopwatch& watch) {
    if (std::holds_alternative<store::Missing>(result)) return no_job();
    if (const auto* by = std::get_if<store::Overtaken>(&result)) return overtaken(*by, watch);
    const auto now = opened(std::get<store::Saved>(result));
    if (const auto* refused = std::get_if<Answer>(&now)) return *refused;
    return screen_of(*std::get<0>(now), watch);
}

// ---------------------------------------------------------------------------------------------------- lists, new jobs

JobDesk::Outline JobDesk::outline_of(JobId id) const {
    const auto version = store_.version(id);
    if (!version) return {};
    {
        const std::lock_guard lock(mutex_);
        const auto found = outlines_.find(id);
        if (found != outlines_.end() && found->second.version == *version) return found->second;
    }
    const auto saved = store_.find(id);
    const auto* job = std::get_if<store::Saved>(&saved);
    if (job == nullptr) return {};
    const auto reading = job::read_document(job->document, [](const std::string&, std::string& why) {
        why = "files beside a saved job are not read";
        return std::optional<std::string>();
    });
    Outline outline{job->version, 0, units::Unit::millimetre};
    if (reading.document) {
        outline.seams = reading.document->job.seams.size();
        outline.unit = reading.document->job.style.unit;
    }
    const std::lock_guard lock(mutex_);
    return outlines_[id] = outline;
}

Answer JobDesk::list() const {
    Json jobs = Json::array(), deleted = Json::array();
    for (const auto& line : store_.jobs()) {
        const Outline outline = outline_of(line.id);
        jobs.push_back({{"id", line.id},
                        {"name", line.name},
                        {"changed", line.changed},
                        {"seams", outline.seams},
                        {"unit", outline.unit == units::Unit::inch ? "in" : "mm"}});
    }
    for (const auto& line : store_.deleted()) {
        deleted.push_back({{"id", line.id}, {"name", line.name}, {"deleted", line.deleted}});
    }
    return json_answer(200, {{"jobs", jobs}, {"deleted", deleted}, {"last", store_.last_opened().value_or(0)}});
}

Answer JobDesk::search(std::string_view query) const {
    constexpr std::string_view start = "find=";
    constexpr std::size_t longest_question = 1000;
    if (!query.starts_with(start) || query.size() > longest_question) return fault(400);
    std::string question;
    try {
        question = address_text(query.substr(start.size()));
    } catch (const Unreadable&) {
        return fault(400);
    }
    const store::Found found = store_.search(question, searched_words());
    Json jobs = Json::array();
    for (const auto& job : found.jobs) {
        Json hits = Json::array();
        for (const auto& hit : job.hits) {
            Json parts = Json::array();
            for (const auto& part : hit.parts) parts.push_back({{"text", part.text}, {"found", part.found}});
            hits.push_back({{"place", hit.place}, {"parts", parts}});
        }
        jobs.push_back(
            {{"id", job.id}, {"name", job.name}, {"changed", job.changed}, {"hits", hits}, {"more", job.more}});
    }
    return json_answer(200, {{"words", found.words}, {"jobs", jobs}, {"more", found.more}});
}

JobId JobDesk::create(const edit::OpenJob& job, std::string_view says) {
    if (store_.shelf().empty()) store_.keep_shelf(edit::shelf_of(job.text()));
    const JobId id = store_.create({name_of(job), job.text(), std::string(says)});
    store_.opened(id);
    return id;
}

void JobDesk::begin_with_an_example() {
    if (!store_.jobs().empty() || !store_.deleted().empty()) return;
    create(open_own(std::string(embedded::example_hall_console())), "Began with an example");
}

std::variant<JobId, JobDesk::NotOpened> JobDesk::take_in(const std::string& document) {
    auto opened = edit::OpenJob::open(document);
    if (auto* refused = std::get_if<edit::Refused>(&opened)) return NotOpened{std::move(refused->problems)};
    const auto& job = std::get<edit::OpenJob>(opened);
    for (const auto& line : store_.jobs()) {
        if (line.name != name_of(job)) continue;
        const auto there = store_.find(line.id);
        if (const auto* saved = std::get_if<store::Saved>(&there); saved && saved->document == job.text()) {
            store_.opened(line.id);
            return line.id;
        }
    }
    return create(job, "Brought in from a file");
}

Answer JobDesk::begin(std::string_view body) {
    const auto read = read_body(body);
    if (const auto* refused = std::get_if<Answer>(&read)) return *refused;
    const Json& wanted = std::get<Json>(read);
    if (wanted.size() != 1) return fault(400);
    const std::string kind = wanted.begin().key();
    const Json& value = wanted.begin().value();
    std::optional<edit::OpenJob> job;
    std::string says;
    if (kind == "blank" && value.is_object() && value.size() == 1 && value.contains("unit")) {
        const Json& unit = value["unit"];
        if (unit != "mm" && unit != "in") return fault(400);
        job = open_own(edit::blank_document(unit == "in" ? units::Unit::inch : units::Unit::millimetre, shop_shelf()));
        says = "Began with a plain top";
    } else if (kind == "example" && value.is_string()) {
        const auto text = example(value.get<std::string>());
        if (!text) return fault(400);
        job = open_own(std::string(*text));
        says = "Began with an example";
    } else if (kind == "document" && value.is_string()) {
        auto opened = edit::OpenJob::open(value.get<std::string>());
        if (const auto* refused = std::get_if<edit::Refused>(&opened)) {
            return problems_answer(refused->problems, "This file cannot be read as a job.",
                                   "Mend what is listed, and bring it in again.");
        }
        job = std::move(std::get<edit::OpenJob>(opened));
        says = "Brought in from a file";
    } else {
        return fault(400);
    }
    return json_answer(201, {{"id", create(*job, says)}});
}

Answer JobDesk::duplicate(JobId id, std::string_view body) {
    if (auto refused = refuse_unless_empty(body)) return *refused;
    const auto from = current(id);
    if (const auto* refused = std::get_if<Answer>(&from)) return *refused;
    const edit::OpenJob& job = std::get<0>(from)->job;
    const Json rename = Json::array({{{"set", "/name"}, {"value", name_of(job) + ", copy"}}});
    auto edited = job.edited(json_text(rename));
    // A name that is as long as it may be cannot grow.
    const auto* named = std::get_if<edit::OpenJob::Edited>(&edited);
    return json_answer(201, {{"id", create(named == nullptr ? job : named->job, "Copied from " + name_of(job))}});
}

Answer JobDesk::remove(JobId id, std::string_view body) {
    if (auto refused = refuse_unless_empty(body)) return *refused;
    return store_.remove(id) ? list() : no_job();
}

Answer JobDesk::restore(JobId id, std::string_view body) {
    if (auto refused = refuse_unless_empty(body)) return *refused;
    return store_.restore(id) ? list() : no_job();
}

// ---------------------------------------------------------------------------------------------------- one job

Answer JobDesk::screen(JobId id) {
    const Stopwatch watch;
    const auto now = current(id);
    if (const auto* refused = std::get_if<Answer>(&now)) return *refused;
    if (store_.last_opened() != id) store_.opened(id);
    return screen_of(*std::get<0>(now), watch);
}

Answer JobDesk::version(JobId id) const {
    const auto version = store_.version(id);
    return version ? json_answer(200, {{"version", *version}}) : no_job();
}

std::variant<JobDesk::CarriedOut, Answer> JobDesk::carry_out(JobId id, std::string_view body, With with,
                                                             const Stopwatch& watch) {
    const auto read = read_change(body, with);
    if (const auto* refused = std::get_if<Answer>(&read)) return *refused;
    const auto& change = std::get<Change>(read);
    const auto now = current(id);
    if (const auto* refused = std::get_if<Answer>(&now)) return *refused;
    const auto& base = std::get<0>(now);
    if (base->version != change.base) return overtaken(*base, change.base, watch);
    auto edited = base->job.edited(change.edits, shop_shelf());
    if (const auto* refused = std::get_if<edit::Refused>(&edited)) {
        return problems_answer(refused->problems, "That cannot be done.", "What stands in the way is listed.");
    }
    return CarriedOut{base, std::move(std::get<edit::OpenJob::Edited>(edited)), change.looks_at};
}

Answer JobDesk::attempt(JobId id, std::string_view body) {
    const Stopwatch watch;
    const auto tried = carry_out(id, body, With::attempt, watch);
    if (const auto* refused = std::get_if<Answer>(&tried)) return *refused;
    const auto& [base, edited, looks_at] = std::get<CarriedOut>(tried);
    screen::Around around;
    around.id = id;
    around.version = base->version;
    around.live = true;
    around.looks_at = looks_at;
    around.undo = base->undo;
    around.redo = base->redo;
    return screen_answer(edited.job, around, watch);
}

Answer JobDesk::edit(JobId id, std::string_view body) {
    const Stopwatch watch;
    auto done = carry_out(id, body, With::edits, watch);
    if (const auto* refused = std::get_if<Answer>(&done)) return *refused;
    auto& [base, edited, looks_at] = std::get<CarriedOut>(done);
    const store::Described next{name_of(edited.job), edited.job.text(), edited.says};
    const auto result = edited.shelf_changed ? store_.change(id, base->version, next, edit::shelf_of(edited.job.text()))
                                             : store_.change(id, base->version, next);
    if (const auto* saved = std::get_if<store::Saved>(&result)) {
        // Planned already; opening it from the text would do that again.
        return screen_of(*keep(*saved, std::move(edited.job)), watch);
    }
    return after(result, watch);
}

Answer JobDesk::undo(JobId id, std::string_view body) {
    const Stopwatch watch;
    const auto read = read_change(body, With::nothing);
    if (const auto* refused = std::get_if<Answer>(&read)) return *refused;
    return after(store_.undo(id, std::get<Change>(read).base), watch);
}

Answer JobDesk::redo(JobId id, std::string_view body) {
    const Stopwatch watch;
    const auto read = read_change(body, With::nothing);
    if (const auto* refused = std::get_if<Answer>(&read)) return *refused;
    return after(store_.redo(id, std::get<Change>(read).base), watch);
}

Answer JobDesk::history(JobId id) const {
    if (!store_.version(id)) return no_job();
    Json lines = Json::array();
    for (const auto& line : store_.history(id)) {
        lines.push_back({{"change", line.change}, {"says", line.says}, {"at", line.at}, {"current", line.current}});
    }
    return json_answer(200, lines);
}

Answer JobDesk::go_back(JobId id, std::string_view body) {
    const Stopwatch watch;
    const auto read = read_change(body, With::change);
    if (const auto* refused = std::get_if<Answer>(&read)) return *refused;
    const auto& wanted = std::get<Change>(read);
    if (!store_.version(id)) return no_job();
    const auto text = store_.document_of(id, wanted.change);
    if (!text) {
        return fault(404, "There is no such change in the history of this job.", "Open the history again.");
    }
    auto opened = edit::OpenJob::open(*text);
    if (const auto* refused = std::get_if<edit::Refused>(&opened)) {
        return problems_answer(refused->problems, "The job as it was then cannot be read any more.",
                               "Go back to another change.");
    }
    const auto lines = store_.history(id);
    const auto line =
        std::find_if(lines.begin(), lines.end(), [&](const auto& each) { return each.change == wanted.change; });
    const std::string says = line == lines.end() ? "Went back" : "Went back to: " + line->says;
    const auto& job = std::get<edit::OpenJob>(opened);
    return after(store_.change(id, wanted.base, {name_of(job), job.text(), says}), watch);
}

// ---------------------------------------------------------------------------------------------------- files

Answer JobDesk::paper(JobId id, const std::string& name) {
    const auto now = current(id);
    if (const auto* refused = std::get_if<Answer>(&now)) return *refused;
    const edit::OpenJob& job = std::get<0>(now)->job;
    if (job::any_error(job.problems())) {
        return fault(422, "The papers cannot be made while something in the job is wrong.",
                     "Mend what stands in the list of problems, then fetch them again.");
    }
    const std::string file = fmt::format("{} {}", name_of(job), name);
    if (is_work_paper(name)) return work_paper(*std::get<0>(now), name);
    if (name == "plan.json") return file_answer(plan::write_plan(job.plan()), file);
    if (auto paper = paper::one_paper(job.plan(), name, &job.document()))
        return file_answer(std::move(paper->bytes), file);
    return fault(404, "This job has no paper of that name.", "Load the page again: the job was changed since.");
}

Answer JobDesk::work_paper(const Current& now, const std::string& name) const {
    const plan::Plan& plan = now.job.plan();
    const job::Document& document = now.job.document();
    const auto studies = plan::study_work(plan, document.job, document.shelf, plan::effort_of_page);
    for (const screen::WorkFile& file : screen::work_files(studies.shop))
        if (file.name == name && !file.lacks.empty()) return fault(422, "This file cannot be made yet.", file.lacks);
    const ReadPictures read = read_board_pictures(document.shelf, [this](const std::string& picture, std::string& why) {
        auto bytes = store_.picture(picture);
        if (!bytes) why = "it is not kept here";
        return bytes;
    });
    auto files = book_files(plan, document, studies, read.pictures, name);
    return file_answer(std::move(files.front().bytes), fmt::format("{} {}", name_of(now.job), name));
}

Answer JobDesk::document(JobId id) const {
    const auto saved = store_.find(id);
    const auto* job = std::get_if<store::Saved>(&saved);
    if (job == nullptr) return no_job();
    std::string name;
    for (const auto& line : store_.jobs()) {
        if (line.id == id) name = line.name;
    }
    return file_answer(job->document, name + ".json");
}

template <typename Write>
Answer JobDesk::view_of(JobId id, const Write& write) {
    const auto now = current(id);
    if (const auto* refused = std::get_if<Answer>(&now)) return *refused;
    const Current& job = *std::get<0>(now);
    Answer answer;
    answer.body = write(job);
    answer.fields.emplace_back("Cache-Control", "no-store");
    return answer;
}

Answer JobDesk::shop(JobId id) {
    return view_of(id, [](const Current& now) { return screen::write_shop_view(now.job, now.version); });
}

Answer JobDesk::wood(JobId id) {
    return view_of(id, [this](const Current& now) {
        return screen::write_wood(now.job, now.version,
                                  [this](const std::string& name) { return store_.has_picture(name); });
    });
}

Answer JobDesk::work(JobId id) {
    return view_of(id, [](const Current& now) { return screen::write_work(now.job, now.version); });
}

Answer JobDesk::made(JobId id, Writes writes) {
    return view_of(id, [writes](const Current& now) {
        return screen::write_made(now.job, {now.version, now.undo, writes == Writes::notes});
    });
}

Answer JobDesk::note(JobId id, std::string_view body, Writes writes) {
    const auto read = read_change(body, With::edits);
    if (const auto* refused = std::get_if<Answer>(&read)) return *refused;
    if (!only_notes(std::get<Change>(read).edits)) {
        return fault(403, "Only notes of the work can be written here.", "Change anything else at the bench computer.");
    }
    Answer done = edit(id, body);
    if (done.status == 200) return made(id, writes);
    if (done.status != 409) return done;
    return fault(409, "The job was changed elsewhere meanwhile.", "Look at what stands here now, and note it again.");
}

Answer JobDesk::board_photo(std::string_view query, std::string_view body) {
    return board_photo_answer(
        query, body, [this](const std::string& name, const std::string& bytes) { store_.keep_picture(name, bytes); });
}

Answer JobDesk::picture(const std::string& name) const {
    auto bytes = store_.picture(name);
    if (!bytes) return fault(404);
    Answer answer;
    answer.body = std::move(*bytes);
    answer.type = "image/jpeg";
    // Its name is made of its bytes: others come under another name.
    answer.fields.emplace_back("Cache-Control", "max-age=31536000, immutable");
    return answer;
}

Answer JobDesk::closing(JobId id, const std::string& seam) {
    return view_of(id,
                   [&](const Current& now) { return screen::write_closing(now.job, std::stoul(seam), now.version); });
}

Answer JobDesk::feed(JobId id, const std::string& seam) {
    return view_of(id, [&](const Current& now) { return screen::write_feed(now.job, std::stoul(seam), now.version); });
}

}  // namespace seamwright::app
