#include "paper/disc_sheet.h"

#include <fmt/format.h>

#include <cmath>
#include <stdexcept>

#include "marks.h"
#include "process/grain_feed.h"
#include "text_pages.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

using geometry::pi;
using geometry::unit;

const Stroke thin{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};
const Stroke middling{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke rim_line{.width_mm = 0.5, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke feed_line{.width_mm = 0.7, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke climb_line{.width_mm = 0.7, .dash_mm = {2.4, 1.6}, .grey = 0.0, .colour = {}};
constexpr int marks = 36;
constexpr double step_rad = 2.0 * pi / marks;

class DiscSheets {
  public:
    DiscSheets(const job::Job& job, const SheetSize& sheet)
        : pages_(sheet, "A routed disc", "where this wood tears, all round"), job_(job) {}

    std::vector<Drawing> sheets() {
        pages_.say(
            "Paste this on the very board, the arrow along its fibres, and saw it out about 2 mm outside the ring. "
            "Angles go counter-clockwise from the arrow, as seen from the face.",
            3.0);
        disc();
        pages_.new_page();
        how();
        table();
        return pages_.finish();
    }

  private:
    Drawing& page() { return pages_.page(); }
    std::string show(double mm) const { return units::show(mm, job_.style); }

    void disc() {
        constexpr double around_mm = 19.0;
        pages_.need(2.0 * (disc_radius_mm + around_mm) + 4.0);
        pages_.down(disc_radius_mm + around_mm + 4.0);
        const Point c{TextPages::margin_mm + 0.5 * pages_.width_mm(), pages_.y()};
        page().paths.push_back(drawn(geometry::circle(c, disc_radius_mm), rim_line, "rim"));
        for (int i = 0; i < marks; ++i) {
            const double angle = i * step_rad;
            const bool large = i % 3 == 0;
            const Point out = unit(angle);
            page().paths.push_back(straight(c + (disc_radius_mm - (large ? 9.0 : 5.0)) * out, c + disc_radius_mm * out,
                                            large ? middling : thin, fmt::format("mark-{}", 10 * i)));
            if (!large) continue;
            pages_.put(fmt::format("{}°", 10 * i), c + (disc_radius_mm - 14.0) * out + Point{0.0, -1.1}, 3.1, true,
                       Text::Anchor::middle);
        }
        fibres(c);
        arrows(c);
        page().paths.push_back(straight(c - Point{3.0, 0.0}, c + Point{3.0, 0.0}, thin));
        page().paths.push_back(straight(c - Point{0.0, 3.0}, c + Point{0.0, 3.0}, thin));
        pages_.down(disc_radius_mm + around_mm);
        bar();
    }

    void fibres(Point c) {
        constexpr double half_mm = 34.0;
        for (const double up : {-10.0, -5.0, 5.0, 10.0})
            page().paths.push_back(straight(c + Point{-half_mm, up}, c + Point{half_mm, up}, thin));
        pages_.line(c + Point{-half_mm, 0.0}, c + Point{half_mm - 3.0, 0.0}, feed_line);
        page().paths.push_back(arrow_head(c + Point{half_mm, 0.0}, 0.0, 5.0, "fibres"));
        pages_.put("along the fibres", c + Point{0.0, 13.0}, 3.4, true, Text::Anchor::middle);
        pages_.put("wood, board, day:", c + Point{-38.0, -20.0}, 2.8);
        pages_.line(c + Point{-13.0, -20.8}, c + Point{38.0, -20.8}, thin);
        pages_.put("face up", c + Point{0.0, -32.0}, 3.4, true, Text::Anchor::middle);
    }

    /// Which way the router goes round: seen from above with a cutter that turns clockwise, conventional is
    /// counter-clockwise around the outside.
    void arrows(Point c) {
        const auto arc = [&](double radius, double from, double to, const Stroke& stroke, const std::string& id) {
            Path path;
            path.segments.push_back(geometry::arc_about(c, c + radius * unit(from), to - from));
            page().paths.push_back(drawn(path, stroke, id));
            const Point tip = c + radius * unit(to);
            const double heading = to + (to > from ? 0.5 : -0.5) * pi;
            page().paths.push_back(arrow_head(tip + 2.5 * unit(heading), heading, 4.0));
        };
        const double radius = disc_radius_mm + 6.0;
        arc(radius, 0.30 * pi, 0.46 * pi, feed_line, "conventional");
        arc(radius, -0.30 * pi, -0.46 * pi, climb_line, "climb");
        pages_.put("1: conventional", c + (radius + 8.0) * unit(0.38 * pi) + Point{2.0, 0.0}, 3.0, true);
        pages_.put("2: climb, skim only", c + (radius + 8.0) * unit(-0.38 * pi) + Point{2.0, -3.0}, 3.0, true);
    }

    /// So that what comes out of the printer can be measured.
    void bar() {
        const Point from{TextPages::margin_mm, pages_.y()};
        pages_.line(from, from + Point{100.0, 0.0}, middling);
        for (const double x : {0.0, 100.0}) pages_.line(from + Point{x, -2.0}, from + Point{x, 2.0}, middling);
        pages_.put("this bar is 100 mm long; the disc is " + show(2.0 * disc_radius_mm) + " across",
                   from + Point{104.0, -1.0}, 2.8);
    }

    void how() {
        plan::words::Told told{"How to go about it", {}, {}};
        const auto add = [&](std::string line) { told.lines.push_back(std::move(line)); };
        add("Screw a carrier of sheet, at least 300 mm (12 in) square, to the bench. Make a round template, smaller "
            "all "
            "round than the ring by half of what the guide is wider than the cutter; for a bearing as wide as the "
            "cutter, "
            "as large as the ring.");
        add("Screw the disc to the carrier from below and the template on top of it, with two screws each, well inside "
            "the ring and clear of the cutter: nothing may turn. Write down the cutter, and how much it takes off the "
            "rim all round.");
        add("First all round conventional: counter-clockwise as seen from above, at full depth in your usual passes. "
            "Look at the rim, and write every stretch into the table.");
        add(fmt::format(
            "Then, if you mean to climb at all: with a guide smaller by {} take a skim of {} off all round "
            "as a climb cut, clockwise, and write again: on the shelf that is a second disc of the same day. Leave "
            "it out if anything is not held fast.",
            show(2.0 * process::most_skim_mm), show(process::most_skim_mm)));
        add("Clean: as it should be. Fuzzy: rough or lifted, but sanding takes it off. Torn: fibres missing below the "
            "edge.");
        for (
            const char* line :
            {"What the makers of router and cutter say comes before this sheet.",
             "The disc is a small part: never rout it loose, held by hand or held down by tape alone. It is screwed to "
             "its carrier, and the carrier to the bench.",
             "Unplug the router before you touch cutter or guide. Keep screws out of the way of the cutter. Both hands "
             "on the router, and a sure stand.",
             "A climb cut pulls the router forward: only a skim, slowly, and never on a router table.",
             "Eyes, ears and lungs: wear glasses, hearing protection and a dust mask, and draw the dust off."})
            told.cautions.push_back(line);
        pages_.part(told);
    }

    void table() {
        pages_.down(4.0);
        pages_.say("What is seen on the rim", 3.6, true);
        pages_.say("From and to in degrees, counter-clockwise; a stretch may run on past 0°.", 2.8);
        const double x = TextPages::margin_mm, wide = pages_.width_mm();
        const double columns[] = {0.0, 0.16, 0.32, 0.60};
        const char* heads[] = {"from °", "to °", "fed", "seen (one of them)"};
        pages_.down(5.0);
        for (std::size_t i = 0; i < 4; ++i) pages_.put(heads[i], {x + columns[i] * wide, pages_.y()}, 2.8);
        pages_.down(1.6);
        pages_.line({x, pages_.y()}, {x + wide, pages_.y()}, middling);
        constexpr int rows = 12;
        constexpr double row_mm = 7.0;
        for (int i = 0; i < rows; ++i) {
            pages_.need(row_mm);
            pages_.down(row_mm);
            const double base = pages_.y() + 2.0;
            pages_.line({x, base - 1.0}, {x + 0.13 * wide, base - 1.0}, thin);
            pages_.line({x + 0.16 * wide, base - 1.0}, {x + 0.29 * wide, base - 1.0}, thin);
            box(x + 0.32 * wide, base, "conventional");
            box(x + 0.49 * wide, base, "climb");
            box(x + 0.62 * wide, base, "clean");
            box(x + 0.75 * wide, base, "fuzzy");
            box(x + 0.88 * wide, base, "torn");
        }
        pages_.down(3.0);
        pages_.say("Then give it to the shelf: on the page under \"Discs\", or in the job file under \"discs\".", 3.0);
        pages_.down(7.0);
        double at = x;
        for (const auto& [says, room] :
             {std::pair{"Wood", 52.0}, {"Day", 36.0}, {"Cutter", 36.0}, {"Taken off", 44.0}}) {
            pages_.put(says, {at, pages_.y()}, 3.0);
            const double from = at + 4.0 + 2.0 * static_cast<double>(std::string(says).size());
            pages_.line({from, pages_.y() - 0.8}, {at + room - 3.0, pages_.y() - 0.8}, thin);
            at += room + 2.0;
        }
    }

    void box(double x, double base, const char* says) {
        page().paths.push_back(drawn(geometry::rectangle({x, base - 0.6}, {x + 3.2, base + 2.6}), middling));
        pages_.put(says, {x + 4.6, base}, 2.8);
    }

    TextPages pages_;
    const job::Job& job_;
};

}  // namespace

std::vector<Drawing> disc_sheets(const job::Job& job) {
    const auto sheet = find_sheet(job.paper.size);
    if (!sheet) throw std::invalid_argument("disc_sheets: no such sheet");
    return DiscSheets(job, *sheet).sheets();
}

}  // namespace seamwright::paper
