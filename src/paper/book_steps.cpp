#include <fmt/format.h>

#include <algorithm>

#include "book_sections.h"
#include "marks.h"
#include "plan/words.h"
#include "text_size.h"

namespace seamwright::paper {

namespace {
const Stroke thin{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};
const Stroke box_line{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};
}  // namespace

std::vector<Drawing> step_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Step by step", s.plan.name);
    std::vector<std::string> said;
    std::size_t number = 0;
    for (const plan::WorkStep& step : s.shop.steps) {
        pages.down(3.5);
        pages.need(16.0);
        constexpr double box_mm = 4.2;
        const double left = TextPages::margin_mm;
        pages.page().paths.push_back(
            drawn(geometry::rectangle({left, pages.y() - box_mm}, {left + box_mm, pages.y()}), box_line));
        Text title{{left + box_mm + 2.5, pages.y() - 3.5},
                   fmt::format("{}. {}", ++number, step.task.name),
                   3.6,
                   0.0,
                   Text::Anchor::left,
                   true};
        while (title.height_mm > 2.4 && text_length_mm(title) > pages.width_mm() - 40.0) title.height_mm *= 0.95;
        pages.page().texts.push_back(std::move(title));
        pages.put(fmt::format("about {}", process::show_minutes(step.task.hands_on_min)),
                  {left + pages.width_mm(), pages.y() - 3.5}, 2.8, false, Text::Anchor::right);
        pages.down(4.5);
        for (const std::string& line : step.lines) pages.say(line, TextPages::text_mm, false, 7.0, "–");
        if (step.task.ready_wait_min > 0)
            pages.say(
                fmt::format("Then wait: {}, {}.", step.task.wait_name, process::show_minutes(step.task.ready_wait_min)),
                TextPages::text_mm, false, 7.0, "–");
        for (const std::string& caution : step.cautions) {
            // In full where it comes first; a book that repeats itself is not read.
            if (std::find(said.begin(), said.end(), caution) != said.end()) continue;
            said.push_back(caution);
            pages.say(caution, TextPages::text_mm, true, 7.0, "!");
        }
        for (const std::string& what : step.write_down) {
            pages.need(8.0);
            pages.down(6.5);
            Text text{
                {left + 7.0, pages.y()}, plan::words::capitalised(what) + ':', 2.8, 0.0, Text::Anchor::left, false};
            const double from = left + 9.0 + text_length_mm(text);
            pages.page().texts.push_back(std::move(text));
            pages.line({from, pages.y() - 0.8}, {left + pages.width_mm(), pages.y() - 0.8}, thin);
        }
    }
    return pages.finish();
}

}  // namespace seamwright::paper
