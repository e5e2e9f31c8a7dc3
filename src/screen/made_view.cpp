#include "screen/made_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "field.h"
#include "plan/effort.h"
#include "plan/made_study.h"
#include "plan/words.h"
#include "plan/work_studies.h"
#include "say.h"
#include "told.h"

namespace seamwright::screen {
namespace {

/// What a step can be asked for.
struct Want {
    std::string_view key;
    Field::Kind kind;
    std::string_view says;
};
std::vector<Want> wants_of(const plan::StepMade& step) {
    std::vector<Want> wants{{"hours", Field::Kind::number, "hours"}};
    if (step.takes_gap) wants.push_back({"gap", Field::Kind::length, "widest gap"});
    if (step.takes_offset) wants.push_back({"offset", Field::Kind::length, "offset, template to cut"});
    if (step.takes_litres) wants.push_back({"litres", Field::Kind::number, "litres for this coat"});
    return wants;
}

class MadeWriter {
  public:
    MadeWriter(const edit::OpenJob& job, const AroundMade& around)
        : job_(job), asked_(job.document().job), shelf_(job.document().shelf), around_(around), blanks_(job) {}

    std::string write() {
        json_.begin_group();
        json_.json("version", fmt::format("{}", around_.version));
        json_.text("name", asked_.name);
        json_.text("undo", around_.notes_only ? std::string() : around_.undo);
        if (job_.plan().outline.empty()) {
            nothing();
        } else {
            studies_ = plan::study_work(job_.plan(), asked_, shelf_, plan::effort_of_page);
            study_ = plan::study_made(job_.plan(), asked_, shelf_, studies_.shop, studies_.closing);
            everything();
        }
        json_.end_group();
        return json_.take();
    }

  private:
    void nothing() {
        json_.text("lacks", "The top has no outline yet: there are no steps to note anything at.");
        json_.text("progress", "");
        json_.count("done", 0);
        for (const char* list : {"steps", "strangers", "learnt", "sizes", "kept"}) {
            json_.begin_list(list);
            json_.end_list();
        }
        json_.text("keep", "");
        json_.text("kept_says", "");
    }

    void everything() {
        json_.text("lacks", "");
        json_.text("progress", plan::words::made_progress_text(study_));
        json_.count("done", study_.done);
        json_.begin_list("steps");
        bool next = true;
        for (std::size_t s = 0; s < study_.steps.size(); ++s) {
            const bool open = study_.steps[s].entries.empty();
            step(s, open && next);
            next = next && !open;
        }
        json_.end_list();
        json_.begin_list("strangers");
        for (const std::size_t i : study_.strangers) {
            const std::string& step = asked_.made[i].step;
            note(i, plan::words::step_text(step, asked_), wants_measured(asked_.made[i]));
        }
        json_.end_list();
        learnt();
    }

    void step(std::size_t s, bool next) {
        const plan::WorkStep& step = studies_.shop.steps[s];
        const plan::StepMade& made = study_.steps[s];
        const auto wants = wants_of(made);
        json_.begin_group();
        json_.text("id", step.task.id);
        json_.text("name", step.task.name);
        json_.text("tells", tells_of(step));
        json_.flag("done", !made.entries.empty());
        json_.flag("next", next);
        json_.texts("measure", step.write_down);
        json_.begin_list("wants");
        for (const Want& want : wants) {
            json_.begin_group();
            json_.text("key", want.key);
            json_.text("says", want.says);
            json_.text("unit", unit_of(want));
            json_.end_group();
        }
        json_.end_list();
        json_.begin_list("notes");
        for (const std::size_t i : made.entries) note(i, step.task.name, wants);
        json_.end_list();
        json_.end_group();
    }

    std::string tells_of(const plan::WorkStep& step) const {
        std::string tells = "about " + plan::words::hours_text(step.task.hands_on_min / 60.0);
        const double wait_h = std::round(step.task.ready_wait_min / 60.0);
        if (wait_h >= 48.0)
            tells += fmt::format(", then {:.0f} days of waiting", std::round(wait_h / 24.0));
        else if (wait_h >= 1.0)
            tells += fmt::format(", then {} of waiting", plan::words::hours_text(wait_h));
        return tells;
    }

    std::string_view unit_of(const Want& want) const {
        if (want.kind != Field::Kind::length) return {};
        return blanks_.unit() == units::Unit::inch ? "in" : "mm";
    }

    static std::vector<Want> wants_measured(const job::Made& made) {
        plan::StepMade takes;
        takes.takes_gap = made.gap_mm.has_value();
        takes.takes_offset = made.offset_mm.has_value();
        takes.takes_litres = made.litres.has_value();
        return wants_of(takes);
    }

    /// What was measured stands here even where the step does not ask for it.
    void note(std::size_t i, const std::string& step, std::vector<Want> wants) {
        const job::Made& made = asked_.made[i];
        for (const Want& more : wants_measured(made)) {
            const bool there =
                std::any_of(wants.begin(), wants.end(), [&](const Want& w) { return w.key == more.key; });
            if (!there) wants.push_back(more);
        }
        const std::string at = fmt::format("/made/{}", i);
        const std::string of = fmt::format("{}, {}", step, job::show(made.on));
        const plan::words::Told told = plan::words::entry_text(study_.entries[i], asked_);
        json_.begin_group();
        json_.text("pointer", at);
        json_.text("step", step);
        write_field(json_, "on", blanks_.text(at + "/on", "day of " + of));
        json_.begin_list("fields");
        for (const Want& want : wants) {
            const std::string pointer = fmt::format("{}/{}", at, want.key);
            std::string label = fmt::format("{} of {}", want.says, of);
            json_.begin_group();
            json_.text("says", want.says);
            write_field(
                json_, "field",
                want.kind == Field::Kind::length
                    ? blanks_.open_length(pointer, std::move(label))
                    : Field{pointer, want.kind, job_.written_at(pointer).value_or(""), std::move(label), {}, {}});
            json_.end_group();
        }
        json_.end_list();
        write_field(json_, "words", blanks_.text(at + "/note", "words of " + of));
        json_.texts("tells", told.lines);
        json_.texts("cautions", told.cautions);
        json_.end_group();
    }

    void learnt() {
        const plan::WorkRates& rates = studies_.shop.rates;
        json_.begin_list("learnt");
        if (const auto told = plan::words::rates_text(rates, asked_); !told.lines.empty()) write_told(json_, {}, told);
        json_.end_list();
        json_.begin_list("sizes");
        for (const plan::GuideFound& guide : rates.guides) {
            if (!guide.offered || around_.notes_only) continue;
            const auto& known = shelf_.guides[guide.index];
            const shelf::Diameter after = plan::outside_found(known, guide);
            const std::string at = fmt::format("/shelf/guides/{}/", guide.index);
            json_.begin_group();
            json_.text("says", plan::words::guide_offer_text(guide, asked_));
            json_.begin_list("edits");
            for (const auto& [member, mm] :
                 {std::pair("measured", *after.measured_mm), {"measured_within", *after.measured_within_mm}})
                json_.json({}, set_edit(at + member, fmt::format("{} mm", mm)));
            json_.end_list();
            json_.end_group();
        }
        json_.end_list();
        kept();
    }

    void kept() {
        const auto records = plan::work_done_of(study_, asked_, studies_.shop);
        std::size_t there = 0;
        for (const auto& record : records)
            there += static_cast<std::size_t>(
                std::any_of(shelf_.work_done.begin(), shelf_.work_done.end(),
                            [&](const auto& done) { return plan::same_record(done, record); }));
        json_.text("keep", around_.notes_only || records.empty() || there == records.size()
                               ? std::string()
                               : fmt::format("Keep {} on the shelf for other jobs",
                                             plan::words::times(records.size(), "record", "records")));
        json_.text("kept_says", !records.empty() && there == records.size()
                                    ? "All of it is kept on the shelf; new jobs learn from it."
                                    : "");
        json_.begin_list("kept");
        for (std::size_t i = 0; i < shelf_.work_done.size() && !around_.notes_only; ++i) {
            const shelf::WorkDone& done = shelf_.work_done[i];
            if (done.job != asked_.name) continue;
            json_.begin_group();
            json_.text("pointer", fmt::format("/shelf/work_done/{}", i));
            json_.text("says", plan::words::capitalised(
                                   fmt::format("{}, {}{}", plan::words::step_text(done.step, asked_), done.on,
                                               done.hours ? ": " + plan::words::hours_text(*done.hours) : "")));
            json_.end_group();
        }
        json_.end_list();
    }

    const edit::OpenJob& job_;
    const job::Job& asked_;
    const shelf::Shelf& shelf_;
    const AroundMade& around_;
    Blanks blanks_;
    job::JsonWriter json_{job::JsonWriter::Layout::one_line_thousandths};
    plan::WorkStudies studies_;
    plan::MadeStudy study_;
};

}  // namespace

std::string write_made(const edit::OpenJob& job, const AroundMade& around) {
    return MadeWriter(job, around).write();
}

}  // namespace seamwright::screen
