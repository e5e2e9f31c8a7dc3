#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "book_sections.h"
#include "plan/bench_notes.h"
#include "plan/cautions.h"
#include "plan/words.h"
#include "text_size.h"

namespace seamwright::paper {
namespace {

constexpr double box_mm = 4.2, small_box_mm = 3.0, indent_mm = 7.0, label_mm = 17.0;

/// Where a step is drawn or worked out: what stands there, and its page.
class Drawings {
  public:
    Drawings(const JobStudies& s, const BookPages& where) : s_(s), where_(where) {}

    std::string of(const plan::WorkStep& step) {
        text_.clear();
        const std::string& id = step.task.id;
        const auto starts = [&](const char* with) { return id.starts_with(with); };
        if (id == "boards" || id == "mill" || starts("panel-")) {
            add("cut list", place::cut_list);
            add("boards", place::boards);
        } else if (id == "test-cut") {
            add("test cut", place::tests);
        } else if (id == "rough-saw") {
            for (const plan::RoughPiece& piece : s_.rough.pieces)
                if (!piece.cuts.empty()) add(s_.plan.pieces[piece.piece].name, place::rough(piece.piece));
            if (!s_.rough.cuts.empty()) add("fastening and marks", place::fastening);
            add("cut list", place::cut_list);
        } else if (starts("templates-") || starts("rout-")) {
            // Its operations tell their own pages.
        } else if (starts("fit-") || starts("glue-")) {
            for (const std::size_t s : step.seams) add(s_.plan.seams[s].name, place::closing(s));
        } else if (id == "outline") {
            add("its cuts", place::outline);
            add("finished top", place::top);
        } else if (id == "build-up" || starts("ring-")) {
            add("its parts", place::edge_parts);
        } else if (id == "flatten") {
            add("getting it flat", place::flat);
        } else if (id == "sand") {
            add("sanding", place::sanding);
        } else if (starts("finish-")) {
            add("finish", place::finish);
        } else if (id == "deliver") {
            add("screws, slots and seasons", place::seasons);
        } else {
            add("edge", place::edge);
        }
        return text_;
    }

  private:
    void add(const std::string& what, const std::string& place) {
        if (!where_.has(place)) return;
        text_ += fmt::format("{}{} on {}", text_.empty() ? "" : "; ", what, where_.page(place));
    }

    const JobStudies& s_;
    const BookPages& where_;
    std::string text_;
};

/// The operations of a seam that a step is made of.
std::vector<std::size_t> operations_of(const JobStudies& s, const plan::WorkStep& step) {
    using Kind = seam::Step::Kind;
    std::vector<std::size_t> out;
    const bool makes = step.task.id.starts_with("templates-"), cuts = step.task.id.starts_with("rout-");
    if (step.seams.empty() || !(makes || cuts)) return out;
    const auto& steps = s.plan.seams[step.seams.front()].steps;
    for (std::size_t k = 0; k < steps.size(); ++k) {
        const Kind kind = steps[k].step.kind;
        if ((kind == Kind::cut_left || kind == Kind::cut_right) == cuts) out.push_back(k);
    }
    return out;
}

/// A caution, and the step that told it first.
struct SaidIn {
    std::string caution;
    std::size_t step = 0;
};

class Writer {
  public:
    Writer(TextPages& pages, const JobStudies& s, const BookPages& where, std::vector<SaidIn> told)
        : pages_(pages),
          s_(s),
          where_(where),
          inputs_{
              s.plan, s.job, s.shelf, s.shop, s.rough, s.movement, s.feed, s.closing, s.boards ? &*s.boards : nullptr},
          said_(std::move(told)) {}

    const std::vector<SaidIn>& told() const { return said_; }

    void write(std::size_t number) {
        const plan::WorkStep& step = s_.shop.steps[number];
        const plan::BenchNotes notes = plan::bench_notes(inputs_, number);
        pages_.down(3.5);
        pages_.need(30.0);
        pages_.tick_box(0.0, box_mm);
        title(number, step);
        if (const std::string drawn = Drawings(s_, where_).of(step); !drawn.empty())
            label("Drawing", plan::words::capitalised(drawn) + '.');
        labels("First", notes.first);
        labels("With", notes.with);
        const auto operations = operations_of(s_, step);
        if (operations.empty()) {
            std::vector<std::string> lines = step.lines;
            lines.insert(lines.end(), notes.how.begin(), notes.how.end());
            labels("Do", lines);
        } else {
            for (const std::size_t k : operations) operation(step.seams.front(), k);
            labels("Do", notes.how);
        }
        labels("Check", notes.check);
        if (step.task.ready_wait_min > 0)
            label("Wait", fmt::format("{}, {}.", step.task.wait_name, process::show_minutes(step.task.ready_wait_min)));
        if (step.task.clamp_wait_min > 0)
            label("", fmt::format("In clamps {}.", process::show_minutes(step.task.clamp_wait_min)));
        if (!notes.next.empty()) label("Then", notes.next);
        cautions(number, step);
        for (const std::string& what : step.write_down) pages_.blank(plan::words::capitalised(what), indent_mm);
        pages_.blank("Done on, and hours it took", indent_mm);
    }

  private:
    void label(const std::string& word, const std::string& text) { pages_.labelled(word, text, indent_mm, label_mm); }
    void labels(const std::string& word, const std::vector<std::string>& lines) {
        for (std::size_t i = 0; i < lines.size(); ++i) label(i == 0 ? word : "", plan::words::capitalised(lines[i]));
    }

    /// In full where it comes first; after that in short, for a book that repeats itself is not read.
    void cautions(std::size_t number, const plan::WorkStep& step) {
        const auto routing = plan::routing_cautions();
        std::set<std::size_t> router, other;
        for (const std::string& caution : step.cautions) {
            const auto before =
                std::find_if(said_.begin(), said_.end(), [&](const SaidIn& said) { return said.caution == caution; });
            if (before == said_.end()) {
                said_.push_back({caution, number});
                pages_.say(caution, TextPages::text_mm, true, indent_mm, "!");
            } else if (std::find(routing.begin(), routing.end(), caution) != routing.end()) {
                router.insert(before->step);
            } else {
                other.insert(before->step);
            }
        }
        const auto in_full = [](const std::set<std::size_t>& steps) {
            std::string numbers;
            for (const std::size_t told : steps) numbers += fmt::format("{}{}", numbers.empty() ? "" : ", ", told + 1);
            return fmt::format("in full in step {}", numbers);
        };
        if (!router.empty())
            pages_.say(
                fmt::format("Unplug before you touch the cutter. All held fast, both hands on the router, against "
                            "the turn of the cutter, a pass at a time. Eyes, ears, dust ({}).",
                            in_full(router)),
                TextPages::text_mm, true, indent_mm, "!");
        for (const std::size_t step_before : other)
            if (!router.contains(step_before))
                pages_.say(fmt::format("Cautions as before ({}).", in_full({step_before})), TextPages::text_mm, true,
                           indent_mm, "!");
    }

    void title(std::size_t number, const plan::WorkStep& step) {
        const double left = TextPages::margin_mm;
        std::string about = fmt::format("about {}", process::show_minutes(step.task.hands_on_min));
        if (s_.shop.dated && s_.shop.calendar.schedule) {
            const process::Moment start = s_.shop.calendar.schedule->tasks[number].start;
            const auto day = std::chrono::floor<std::chrono::days>(start);
            about += fmt::format(", {} {}", job::show(std::chrono::year_month_day(day)),
                                 job::show_time(static_cast<int>((start - day).count())));
        }
        Text time{{left + pages_.width_mm(), pages_.y() - 3.5}, about, 2.8, 0.0, Text::Anchor::right, false};
        Text title{{left + box_mm + 2.5, pages_.y() - 3.5},
                   fmt::format("{}. {}", number + 1, step.task.name),
                   3.6,
                   0.0,
                   Text::Anchor::left,
                   true};
        const double room = pages_.width_mm() - box_mm - 5.0 - text_length_mm(time);
        while (title.height_mm > 2.4 && text_length_mm(title) > room) title.height_mm *= 0.95;
        pages_.page().texts.push_back(std::move(title));
        pages_.page().texts.push_back(std::move(time));
        pages_.down(5.0);
    }

    /// A box of its own, and where it is drawn.
    void operation(std::size_t seam, std::size_t k) {
        pages_.need(TextPages::line_mm + 1.0);
        pages_.down(0.6);
        pages_.tick_box(indent_mm + label_mm - small_box_mm - 1.5, small_box_mm);
        pages_.down(-0.2);
        pages_.labelled("",
                        fmt::format("{}: drawing on {}.", s_.plan.seams[seam].steps[k].title,
                                    where_.page(place::operation(seam, k))),
                        indent_mm, label_mm);
    }

    TextPages& pages_;
    const JobStudies& s_;
    const BookPages& where_;
    plan::BenchInputs inputs_;
    std::vector<SaidIn> said_;
};

}  // namespace

void write_steps(TextPages& pages, const JobStudies& s, const BookPages& where) {
    pages.mark(place::steps);
    pages.say("What stands here without a figure of this job is common practice. Times are reckoned: note your own.",
              TextPages::text_mm);
    // Cautions told already; those of a step count once it is really written.
    std::vector<SaidIn> told;
    for (std::size_t i = 0; i < s.shop.steps.size(); ++i) {
        constexpr double most_mm = 105.0;
        std::vector<SaidIn> after;
        pages.keep_together(most_mm, [&](TextPages& on) {
            Writer writer(on, s, where, told);
            writer.write(i);
            after = writer.told();
        });
        told = std::move(after);
    }
}

}  // namespace seamwright::paper
