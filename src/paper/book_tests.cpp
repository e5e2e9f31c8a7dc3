#include <fmt/format.h>

#include <cmath>

#include "book_sections.h"
#include "marks.h"
#include "plan/bench_notes.h"
#include "plan/words.h"

namespace seamwright::paper {
namespace {

constexpr double box_mm = 4.2, indent_mm = 7.0, label_mm = 13.0;
const Stroke rim{.width_mm = 0.35, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke fine_line{.width_mm = 0.15, .dash_mm = {}, .grey = 0.3, .colour = {}};
constexpr double disc_radius_mm = 22.0, rim_wide_mm = 7.0;

/// A rim to mark with the pencil: degrees from the direction of the fibres, counter-clockwise, fibres drawn across.
void disc(Drawing& drawing, Point middle, const std::string& title) {
    constexpr double inner = disc_radius_mm - rim_wide_mm;
    for (const double r : {disc_radius_mm, inner})
        drawing.paths.push_back(drawn(geometry::circle(middle, r), rim, "disc"));
    constexpr int every_deg = 15, named_deg = 45;
    for (int deg = 0; deg < 360; deg += every_deg) {
        const Point way = geometry::unit(deg / geometry::degrees_per_radian);
        const bool named = deg % named_deg == 0;
        drawing.paths.push_back(straight(middle + (named ? inner : disc_radius_mm - 2.0) * way,
                                         middle + (disc_radius_mm + (named ? 1.5 : 0.0)) * way, fine_line));
        if (!named) continue;
        const Point at = middle + (disc_radius_mm + 4.5) * way;
        drawing.texts.push_back({at - Point{0.0, 0.8}, fmt::format("{}°", deg), 2.2, 0.0, Text::Anchor::middle, false});
    }
    for (double y = -0.7; y <= 0.75; y += 0.35) {
        const double x = inner * std::sqrt(1.0 - y * y) * 0.9;
        if (std::abs(y) < 0.1) continue;
        drawing.paths.push_back(straight(middle + Point{-x, inner * y}, middle + Point{x, inner * y}, fine_line));
    }
    drawing.texts.push_back({middle - Point{0.0, 1.0}, title, 2.4, 0.0, Text::Anchor::middle, true});
}

void discs(TextPages& pages) {
    constexpr double high = 2.0 * disc_radius_mm + 14.0;
    pages.need(high);
    const double y = pages.y() - 0.5 * high;
    disc(pages.page(), {TextPages::margin_mm + 0.27 * pages.width_mm(), y}, "against");
    disc(pages.page(), {TextPages::margin_mm + 0.73 * pages.width_mm(), y}, "with the turn");
    pages.down(high);
    pages.say("Fibres run from 0° to 180°, seen from above as it was routed.", 2.6, false, indent_mm);
}

void write_trial(TextPages& pages, const plan::Trial& trial, std::size_t number) {
    pages.down(3.0);
    pages.tick_box(0.0, box_mm);
    pages.put(fmt::format("{}. {}", number, trial.title), {TextPages::margin_mm + box_mm + 2.5, pages.y() - 3.5}, 3.4,
              true);
    pages.down(5.0);
    const auto label = [&](const char* word, const std::string& text) {
        pages.labelled(word, plan::words::capitalised(text), indent_mm, label_mm);
    };
    label("Why", trial.why);
    label("On", trial.on + '.');
    label("How", trial.how);
    if (!trial.caution.empty()) pages.say(trial.caution, TextPages::text_mm, true, indent_mm + label_mm, "!");
    if (trial.room == plan::Trial::Room::discs) discs(pages);
    for (const std::string& what : trial.write_down) pages.blank(what, indent_mm);
    pages.down(1.0);
    label("Then", trial.then);
}

}  // namespace

void write_tests(TextPages& pages, const JobStudies& s, const BookPages&) {
    pages.chapter("Tests to make", "Before the good wood: each tells something no table knows.", 120.0);
    pages.mark(place::tests);
    const plan::BenchInputs inputs{
        s.plan, s.job, s.shelf, s.shop, s.rough, s.movement, s.feed, s.closing, s.boards ? &*s.boards : nullptr};
    std::size_t number = 0;
    for (const plan::Trial& trial : plan::trials(inputs)) {
        ++number;
        pages.keep_together(170.0, [&](TextPages& on) { write_trial(on, trial, number); });
    }
}

}  // namespace seamwright::paper
