#include <fmt/format.h>

#include "book_sections.h"
#include "edge_drawing.h"
#include "plan/words.h"

namespace seamwright::paper {

using plan::words::Told;

namespace {

void put_edge(TextPages& pages, const JobStudies& s) {
    if (!s.shop.edges.areas) return;  // the profiles meet, which is told
    EdgeSection section{s.shop.edges.shape, std::nullopt, s.job.style};
    if (s.job.build_up) section.build_up = EdgeSection::BuildUp{s.job.build_up->thickness_mm, s.job.build_up->width_mm};
    constexpr double highest_mm = 110.0;
    const double n = edge_section_n(section, pages.width_mm(), highest_mm);
    const double high = edge_section_height_mm(section, n);
    pages.need(high + TextPages::line_mm);
    pages.down(high);
    draw_edge_section(pages.page(), section, TextPages::margin_mm + 0.5 * pages.width_mm(), pages.y(), n);
    const process::EdgeShape& shape = section.shape;
    pages.say(fmt::format("The edge in cross-section, {}.{}",
                          n == 1.0 ? "at full size but for the printer's error" : fmt::format("1 : {:g}", n),
                          process::reach_mm(shape.top) + process::reach_mm(shape.underside) > 0.0
                              ? " Dashed: what the cutters take."
                              : ""),
              TextPages::text_mm);
}

}  // namespace

void write_surface(TextPages& pages, const JobStudies& s, const BookPages&) {
    pages.mark(place::flat);
    pages.part(plan::words::flattening_text(s.shop, s.job));
    pages.keep_together(200.0, [&](TextPages& on) {
        on.mark(place::edge);
        on.part(plan::words::edges_text(s.shop, s.job));
        put_edge(on, s);
    });
    pages.mark(place::sanding);
    pages.part(plan::words::sanding_text(s.shop));
    pages.mark(place::finish);
    for (const Told& told : plan::words::finish_text(s.shop, s.job)) pages.part(told);
}

}  // namespace seamwright::paper
