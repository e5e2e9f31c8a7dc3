#include "book_sections.h"
#include "plan/words.h"

namespace seamwright::paper {

using plan::words::Told;

void write_surface(TextPages& pages, const JobStudies& s, const BookPages&) {
    pages.mark(place::flat);
    pages.part(plan::words::flattening_text(s.shop, s.job));
    pages.mark(place::edge);
    pages.part(plan::words::edges_text(s.shop, s.job));
    pages.mark(place::sanding);
    pages.part(plan::words::sanding_text(s.shop));
    pages.mark(place::finish);
    for (const Told& told : plan::words::finish_text(s.shop, s.job)) pages.part(told);
}

}  // namespace seamwright::paper
