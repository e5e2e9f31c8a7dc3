#include <fmt/format.h>

#include <algorithm>

#include "book_sections.h"
#include "feed_map.h"
#include "plan/feed_study.h"

namespace seamwright::paper {

void write_feed(TextPages& pages, const JobStudies& s, const BookPages&) {
    pages.chapter("Feeding the router", "Each routed edge: where it may tear, and the strokes in their order.", 110.0);
    pages.say(
        "Thin: comes clean. Broken: feed slowly. Heavy, with ticks: expected to tear. Arrows with numbers: the "
        "strokes in their order; dashed: a skim only; dashed with two open heads: that skim as a climb cut.",
        TextPages::text_mm);
    pages.part(plan::words::feed_cautions_text(s.feed, s.shelf, s.job.style));
    for (const plan::RoutedEdge& edge : s.feed.edges) {
        constexpr double highest_mm = 60.0, around_mm = 14.0;
        const Box box = feed_map_box(edge, s.plan);
        const double scale =
            std::min((pages.width_mm() - 2.0 * around_mm) / box.width_mm(), highest_mm / box.height_mm());
        const double high = scale * box.height_mm() + 2.0 * around_mm;
        pages.down(3.0);
        pages.need(high + 40.0);
        const Point corner{TextPages::margin_mm + 0.5 * (pages.width_mm() - scale * box.width_mm()),
                           pages.y() - high + around_mm};
        pages.mark(place::feed(edge.seam, edge.on_left));
        draw_feed_map(pages.page(), edge, s.plan, corner - scale * box.low, scale);
        pages.down(high);
        pages.part(plan::words::feed_text(edge, s.plan, s.job));
    }
}

}  // namespace seamwright::paper
