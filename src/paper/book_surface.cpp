#include <fmt/format.h>

#include "book_sections.h"
#include "plan/words.h"

namespace seamwright::paper {

using plan::words::Told;

std::vector<Drawing> surface_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Edge, sanding and finish", s.plan.name);
    pages.part(plan::words::edges_text(s.shop, s.job));
    pages.part(plan::words::sanding_text(s.shop));
    for (const Told& told : plan::words::finish_text(s.shop, s.job)) pages.part(told);
    return pages.finish();
}

}  // namespace seamwright::paper
