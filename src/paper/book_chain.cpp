#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "book_sections.h"
#include "marks.h"
#include "paper/papers.h"
#include "pass_table.h"
#include "plan/section.h"
#include "plan/words.h"
#include "section_drawing.h"
#include "text_size.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

using plan::words::Told;
using Kind = seam::Step::Kind;

constexpr double label_mm = 21.0;

SectionWords words_of(const JobStudies& s, const plan::SeamPlan& seam, const seam::Step& step) {
    SectionWords words;
    words.left = seam.left_pieces.empty() ? "left piece" : seam.left_pieces;
    words.right = seam.right_pieces.empty() ? "right piece" : seam.right_pieces;
    words.style = s.job.style;
    words.feed_away = step.template_on_left;
    if (step.kind == Kind::cut_left) words.kept = words.left + ", stays";
    if (step.kind == Kind::cut_right) words.kept = words.right + ", stays";
    if (step.kind == Kind::make_master) words.kept = "becomes the master";
    if (!step.pair) return words;
    const shelf::Cutter& cutter = s.shelf.cutters.at(step.pair->cutter);
    words.cutter = fmt::format("{}, {} flutes", cutter.name, cutter.flutes);
    words.rider = step.pair->rides == seam::Pair::Rides::guide ? s.shelf.guides.at(step.pair->rider).name
                                                               : s.shelf.bearings.at(step.pair->rider).name;
    return words;
}

void key(TextPages& pages) {
    constexpr double high = 5.0, wide = 9.0;
    pages.need(high + 4.0);
    pages.down(high + 2.0);
    double x = TextPages::margin_mm;
    for (const char* what : {"wood", "template", "made", "waste", "bench"}) {
        draw_section_key(pages.page(), what, {{x, pages.y()}, {x + wide, pages.y() + high}});
        const Text& said = pages.page().texts.back();
        x = said.at.x + 2.0 * said.height_mm + 1.45 * static_cast<double>(said.text.size());
    }
    pages.down(2.0);
}

/// Pass by pass, across: its depth, how far the cutter stands out for it, and a box.
void passes_of(TextPages& pages, const process::PassPlan& plan, const units::LengthStyle& style, const char* in) {
    constexpr std::size_t most_across = 8;
    constexpr double row_mm = 4.6, head_mm = 38.0, text_mm = 2.7, box_mm = 2.8;
    const Stroke thin{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};
    const double left = TextPages::margin_mm, right = left + pages.width_mm();
    const double column_mm = (pages.width_mm() - head_mm) / most_across;
    for (std::size_t from = 0; from < plan.passes.size(); from += most_across) {
        const std::size_t until = std::min(plan.passes.size(), from + most_across);
        pages.need(4.0 * row_mm + 2.0);
        pages.down(2.0);
        const double top = pages.y();
        const auto row = [&](const std::string& head, bool bold, const auto& cell) {
            pages.down(row_mm);
            pages.put(head, {left, pages.y() + 1.2}, text_mm, true);
            for (std::size_t i = from; i < until; ++i) {
                const double x = left + head_mm + column_mm * (static_cast<double>(i - from) + 0.5);
                Text t{{x, pages.y() + 1.2}, cell(i), text_mm, 0.0, Text::Anchor::middle, bold};
                if (const double length = text_length_mm(t); length > column_mm - 1.0)
                    t.height_mm *= (column_mm - 1.0) / length;
                pages.page().texts.push_back(std::move(t));
            }
            pages.line({left, pages.y()}, {right, pages.y()}, thin);
        };
        row("Pass", true, [](std::size_t i) { return fmt::format("{}", i + 1); });
        row(std::string("Depth in the ") + in, false,
            [&](std::size_t i) { return units::show(plan.passes[i].depth_mm, style); });
        row("Cutter below the base", false,
            [&](std::size_t i) { return units::show(plan.passes[i].projection_mm, style); });
        row("Done", false, [](std::size_t) { return std::string(); });
        for (std::size_t i = from; i < until; ++i) {
            const Point low{left + head_mm + column_mm * (static_cast<double>(i - from) + 0.5) - 0.5 * box_mm,
                            pages.y() + 0.5 * (row_mm - box_mm)};
            pages.page().paths.push_back(drawn(geometry::rectangle(low, low + Point{box_mm, box_mm}),
                                               {.width_mm = 0.25, .dash_mm = {}, .grey = 0.0, .colour = {}}));
        }
        pages.line({left, top}, {right, top}, thin);
    }
    pages.down(1.0);
}

class Operation {
  public:
    Operation(TextPages& pages, const JobStudies& s, const BookPages& where, std::size_t seam, std::size_t number)
        : pages_(pages),
          s_(s),
          where_(where),
          seam_index_(seam),
          number_(number),
          seam_(s.plan.seams[seam]),
          told_(seam_.steps[number]) {}

    void write() {
        const plan::Section section = plan::section_of(told_.step, s_.shelf, plan::sizes_of(s_.plan));
        // What is said under it and its title have room on the same sheet.
        constexpr double largest_mm = 128.0, words_mm = 118.0, heading_mm = 18.0;
        const double sheet_mm = sheet_of(s_).height_mm - 2.0 * TextPages::margin_mm - heading_mm;
        const double n = section_n(section, pages_.width_mm(), std::min(largest_mm, sheet_mm - words_mm));
        const double high = section_height_mm(section, n);
        constexpr double title_mm = 12.0, first_words_mm = 20.0;
        pages_.down(3.0);
        pages_.need(title_mm + high + first_words_mm);
        pages_.mark(place::operation(seam_index_, number_));
        constexpr double box_mm = 4.2;
        pages_.tick_box(0.0, box_mm);
        pages_.put(fmt::format("{}. {}", number_ + 1, told_.title),
                   {TextPages::margin_mm + box_mm + 2.5, pages_.y() - 3.5}, 3.4, true);
        pages_.down(8.5);
        pages_.put(fmt::format("Across the edge, seen along the seam from its start; {}.{}", scale_text(n),
                               told_.step.pair ? fmt::format(" Feed {}.", told_.step.template_on_left
                                                                              ? "away from you (cross in a ring)"
                                                                              : "toward you (dot in a ring)")
                                               : std::string()),
                   {TextPages::margin_mm, pages_.y()}, 2.6);
        pages_.down(3.0 + high);
        draw_section(pages_.page(), section, words_of(s_, seam_, told_.step), told_.passes ? &*told_.passes : nullptr,
                     TextPages::margin_mm + 0.5 * pages_.width_mm(), pages_.y(), n);
        pages_.down(1.0);
        said();
    }

  private:
    static std::string scale_text(double n) {
        return n == 1.0 ? std::string("full size, 1 : 1") : fmt::format("scale 1 : {:g}", n);
    }
    std::string show(double mm) const { return units::show(mm, s_.job.style); }
    void label(const std::string& word, const std::string& text) {
        pages_.labelled(word, plan::words::capitalised(text), 0.0, label_mm);
    }
    bool cuts_wood() const { return told_.step.kind == Kind::cut_left || told_.step.kind == Kind::cut_right; }

    void said() {
        const auto& lines = told_.lines;
        for (std::size_t i = 0; i < lines.size(); ++i) label(i == 0 ? "Do" : "", lines[i]);
        if (told_.step.pair) {
            set_up();
        } else {
            by_hand();
        }
    }

    void set_up() {
        if (told_.passes && !told_.passes->passes.empty()) {
            const process::PassPlan& plan = *told_.passes;
            if (told_.depth && (told_.depth->staged() || told_.depth->skim)) {
                for (const std::string& line : plan::words::passes_lines(told_, s_.job.style)) label("Passes", line);
                pass_table(pages_, told_, s_.job.style);
            } else {
                passes_of(pages_, plan, s_.job.style, cuts_wood() ? "wood" : "sheet");
            }
            const double seconds = 60.0 * plan.minutes / static_cast<double>(plan.passes.size());
            std::string speed;
            if (told_.speed && told_.speed->rpm > 0.0) speed = plan::words::speed_text(*told_.speed) + ' ';
            label("Speed", speed + fmt::format("Feed {} a minute: a pass of {} takes about {:.0f} s. Slower burns, "
                                               "faster tears.",
                                               show(s_.job.limits.feed_mm_per_min), show(plan.length_mm), seconds));
            if (plan.deeper_than_flute && !(told_.depth && told_.depth->staged()))
                label("",
                      "The cut is deeper than the flutes are long: no pass cleans the whole edge at once. Keep the "
                      "router to the template through every pass.");
        }
        if (cuts_wood()) {
            const bool left = told_.step.kind == Kind::cut_left;
            std::string drawings;
            for (const plan::RoughCut& cut : s_.rough.cuts) {
                if (cut.seam != seam_index_ || cut.on_left != left) continue;
                if (where_.has(place::rough(cut.piece)))
                    drawings = fmt::format("Held by {}: drawing on {}. ", plan::words::holding_text(cut),
                                           where_.page(place::rough(cut.piece)));
            }
            if (where_.has(place::feed(seam_index_, left)))
                drawings +=
                    fmt::format("Strokes in their order: drawing on {}.", where_.page(place::feed(seam_index_, left)));
            if (!drawings.empty()) label("Drawings", drawings);
        }
        label("Check", cuts_wood()
                           ? "after the first pass, from the template's edge to the cut: it must be o as drawn. After "
                             "the last: no step to be felt down the edge, and it is square to the face."
                           : "after the last pass: nothing left standing, edge square to the face, no step to be felt. "
                             "Mark the upper face and the seam's name before you lift it off.");
        pages_.blank("From template to edge, measured at start, middle and end");
        pages_.blank("Last depth set, turns a minute, and what you saw");
    }

    void by_hand() {
        const std::string print =
            told_.step.makes_template >= 0 &&
                    static_cast<std::size_t>(told_.step.makes_template) < seam_.templates.size()
                ? slug(seam_.templates[static_cast<std::size_t>(told_.step.makes_template)].title) + "-sheets.pdf"
                : std::string("its sheets");
        label("Print", fmt::format("{}, at 100 %. The key map on its first sheet tells how the sheets are joined: trim "
                                   "one of two neighbours at the grey joint line, line to line and diamond to diamond, "
                                   "tape. Bars of 100 mm and 4 in must measure so on every sheet.",
                                   print));
        label("Glue on",
              "flat on the sheet, printed side up, the run-in and run-out on it whole; let it dry under "
              "a board. The side that is up now is the upper face of the template for good.");
        label("Work",
              "saw 1 to 2 mm outside, then with block plane, spokeshave and a long sanding stick to the middle "
              "of the hairline. Keep the edge square: copies take over whatever it does.");
        label("Check", fmt::format("a springy stick laid along the edge touches all along; light shows none. Two marks "
                                   "in a ring are on the sheet: their distance, measured, tells how the paper grew. "
                                   "Proud or low by more than {}: measure it and see \"seamwright sanding\".",
                                   units::show_thin(s_.job.limits.gap_mm, s_.job.style.unit)));
        pages_.blank("Check bars, lengthwise and across");
        pages_.blank("Worst high and low spot, and where");
    }

    TextPages& pages_;
    const JobStudies& s_;
    const BookPages& where_;
    std::size_t seam_index_, number_;
    const plan::SeamPlan& seam_;
    const plan::StepPlan& told_;
};

}  // namespace

void write_chains(TextPages& pages, const JobStudies& s, const BookPages& where) {
    pages.chapter("Templates and cuts", "Every template and every cut, seam by seam, each drawn across the edge.",
                  400.0);
    pages.say(
        "B is the outside of the guide or bearing, b the diameter of the cutter, o = (B - b) / 2 from the template's "
        "edge to the cut. The heavy line is the edge that comes of the step; numbers in the cutter are the passes. "
        "Unplug the router before every setting.",
        TextPages::text_mm);
    key(pages);
    for (std::size_t i = 0; i < s.plan.seams.size(); ++i) {
        const plan::SeamPlan& seam = s.plan.seams[i];
        Told about{plan::words::capitalised(seam.name), {seam.verdict}, {}};
        for (const plan::TemplatePlan& t : seam.templates)
            about.lines.push_back(
                fmt::format("{}: {}.", plan::words::capitalised(t.title),
                            t.master ? "made by hand from its paper" : "copied, its paper is for checking"));
        pages.need(TextPages::with_heading_mm + 40.0);
        pages.mark(place::seam(i));
        pages.part(about);
        for (std::size_t k = 0; k < seam.steps.size(); ++k)
            pages.keep_together(240.0, [&](TextPages& on) { Operation(on, s, where, i, k).write(); });
    }
}

}  // namespace seamwright::paper
