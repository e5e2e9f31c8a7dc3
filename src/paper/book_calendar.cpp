#include <fmt/format.h>

#include "book_sections.h"
#include "calendar_drawing.h"
#include "plan/calendar_picture.h"
#include "plan/words.h"

namespace seamwright::paper {

using plan::words::Told;

void write_calendar(TextPages& pages, const JobStudies& s, const BookPages&) {
    pages.chapter("Calendar", "Days across, steps down; then every day in words.", 110.0);
    pages.mark(place::calendar);
    const auto said = plan::words::calendar_text(s.shop);
    pages.part(said.front());
    if (auto picture = plan::calendar_picture(s.shop)) {
        for (auto& row : picture->rows) row.name = fmt::format("{}. {}", row.step + 1, row.name);
        draw_calendar(pages, *picture);
    }
    for (std::size_t i = 1; i < said.size(); ++i) pages.part(said[i]);
}

}  // namespace seamwright::paper
