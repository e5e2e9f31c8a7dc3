#include <fmt/format.h>

#include "book_sections.h"
#include "plan/words.h"

namespace seamwright::paper {

using plan::words::Told;

std::vector<Drawing> calendar_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Calendar", s.plan.name);
    for (const Told& told : plan::words::calendar_text(s.shop)) pages.part(told);
    return pages.finish();
}

}  // namespace seamwright::paper
