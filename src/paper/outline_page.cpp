#include "paper/outline_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "feed_map.h"
#include "marks.h"
#include "placing.h"
#include "text_pages.h"
#include "text_size.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

using Kind = plan::OutlineCut::Kind;

const Stroke seam_line{.width_mm = 0.15, .dash_mm = {}, .grey = 0.5, .colour = {}};
const Stroke middling{.width_mm = 0.35, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke arrow_line{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke measured{.width_mm = 0.2, .dash_mm = {3.0, 1.5}, .grey = 0.2, .colour = {}};
const Stroke centre_line{.width_mm = 0.2, .dash_mm = {6.0, 1.2, 1.0, 1.2}, .grey = 0.2, .colour = {}};

constexpr double around_mm = 17.0, highest_mm = 95.0;
constexpr double arrow_off_mm = 4.5, number_off_mm = 10.0;

class Picture {
  public:
    Picture(TextPages& pages, const plan::Plan& plan, const plan::OutlineStudy& study, const job::Job& job)
        : pages_(pages), plan_(plan), study_(study), job_(job) {
        box_ = plan.box;
        for (const auto& cut : study.cuts) box_.add(geometry::bounding_box(cut.line));
        scale_ = std::min((pages.width_mm() - 2.0 * around_mm) / box_.width_mm(),
                          (highest_mm - 2.0 * around_mm) / box_.height_mm());
        high_mm_ = scale_ * box_.height_mm() + 2.0 * around_mm;
        pages.need(high_mm_);
        const Point corner{TextPages::margin_mm + 0.5 * (pages.width_mm() - scale_ * box_.width_mm()),
                           pages.y() - high_mm_ + around_mm};
        origin_ = corner - scale_ * box_.low;
    }

    void draw() {
        for (const plan::SeamPlan& seam : plan_.seams) page().paths.push_back(drawn(placed(seam.in_wood), seam_line));
        page().paths.push_back(drawn(placed(plan_.outline), middling));
        across();
        std::size_t number = 0;
        for (const plan::OutlineCut& cut : study_.cuts) {
            ++number;
            if (!cut.feed.stretches.empty() && cut.kind != Kind::corner) {
                plan::RoutedEdge edge;
                edge.on_left = true;
                edge.edge = cut.line;
                edge.feed = cut.feed;
                draw_tear_stretches(page(), edge, origin_, scale_);
            }
            if (cut.kind != Kind::corner) arrow(cut.line);
            name(cut, number);
            for (const auto& exit : cut.exits)
                if (exit.taken_by.empty()) backing(exit.at == cut.starts_at ? cut.line.start() : cut.line.end());
        }
        pages_.down(high_mm_ + 1.0);
    }

  private:
    Drawing& page() { return pages_.page(); }
    Point on(Point p) const { return origin_ + scale_ * p; }
    Path placed(const Path& path) const { return geometry::moved(geometry::scaled(path, scale_), origin_); }

    /// Outside the line, along its middle, toward its end.
    void arrow(const Path& line) {
        const auto running = geometry::running_length_mm(line);
        const double length = running.back();
        // All round, a quarter is enough.
        const double from = (line.closed ? 0.05 : 0.15) * length, to = (line.closed ? 0.20 : 0.85) * length;
        constexpr double step_mm = 1.5;
        const double parts = std::max(2.0, std::ceil((to - from) * scale_ / step_mm));
        std::vector<Point> points;
        double heading = 0.0;
        for (double k = 0.0; k <= parts; k += 1.0) {
            const auto station = geometry::station_at(line, running, from + (to - from) * k / parts);
            const Point tangent = geometry::tangent_at(line, station);
            points.push_back(on(geometry::point_at(line, station)) + arrow_off_mm * geometry::right_of(tangent));
            heading = geometry::heading(tangent);
        }
        page().paths.push_back(drawn(geometry::polyline(points), arrow_line));
        page().paths.push_back(arrow_head(points.back() + 1.0 * geometry::unit(heading), heading, 3.0));
    }

    /// Its number in a ring outside the middle of its line.
    void name(const plan::OutlineCut& cut, std::size_t number) {
        const auto running = geometry::running_length_mm(cut.line);
        const double part = cut.line.closed ? 0.125 : 0.5;
        const auto station = geometry::station_at(cut.line, running, part * running.back());
        const double off = cut.kind == Kind::corner ? number_off_mm - 3.0 : number_off_mm;
        const Point at = on(geometry::point_at(cut.line, station)) +
                         off * geometry::right_of(geometry::tangent_at(cut.line, station));
        page().paths.push_back(drawn(geometry::circle(at, 2.9), arrow_line));
        Text text;
        text.text = std::to_string(number);
        text.height_mm = 3.4;
        text.bold = true;
        text.anchor = Text::Anchor::middle;
        text.at = at - Point{0.0, 1.2};
        page().texts.push_back(std::move(text));
    }

    void backing(Point corner) {
        const Point at = on(corner), half{1.6, 1.6};
        DrawnPath block = drawn(geometry::rectangle(at - half, at + half), arrow_line);
        block.fill.colour = "#000000";
        page().paths.push_back(std::move(block));
    }

    /// A measure across the top: its line, and its length on a white ground in the middle part of it.
    void measure(Point from, Point to, double part, const std::string& text, const Stroke& stroke) {
        page().paths.push_back(straight(on(from), on(to), stroke));
        if (text.empty()) return;
        Text t;
        t.text = text;
        t.height_mm = 3.0;
        Patch patch = patch_for(t);
        patch.turn_rad = reading_turn(geometry::heading(to - from));
        patch.centre = on(from + part * (to - from));
        page().paths.push_back(ground(patch.outline(0.6)));
        page().texts.push_back(centred(t, patch));
    }

    void across() {
        const auto show = [&](double mm) { return units::show(mm, job_.style); };
        if (study_.diagonal_mm) {
            const double l = study_.length_mm, w = study_.width_mm;
            const std::string text = show(*study_.diagonal_mm);
            measure({0.0, 0.0}, {l, w}, 0.3, text, measured);
            measure({l, 0.0}, {0.0, w}, 0.3, text, measured);
        }
        const Point low = plan_.box.low, high = plan_.box.high, middle = geometry::midpoint(low, high);
        const bool halves = !study_.cuts.empty() && study_.cuts.front().kind == Kind::half;
        if (!halves) return;
        measure({low.x, middle.y}, {high.x, middle.y}, 0.3, show(plan_.box.width_mm()), centre_line);
        measure({middle.x, low.y}, {middle.x, high.y}, 0.3, show(plan_.box.height_mm()), centre_line);
        if (study_.focus_mm) {
            const bool in_x = plan_.box.width_mm() >= plan_.box.height_mm();
            const Point by = *study_.focus_mm * (in_x ? Point{1.0, 0.0} : Point{0.0, 1.0});
            for (const Point at : {middle - by, middle + by})
                page().paths.push_back(drawn(geometry::circle(on(at), 1.0), middling));
        }
    }

    TextPages& pages_;
    const plan::Plan& plan_;
    const plan::OutlineStudy& study_;
    const job::Job& job_;
    Box box_;
    double scale_ = 1.0, high_mm_ = 0.0;
    Point origin_;
};

std::string key_text(const plan::OutlineStudy& study) {
    std::string text =
        "Numbers: the cuts in their order; arrows: the feed. Thin: comes clean. Broken: feed slowly. Heavy, with "
        "ticks: "
        "expected to tear.";
    bool backing = false;
    for (const auto& cut : study.cuts)
        for (const auto& exit : cut.exits) backing = backing || exit.taken_by.empty();
    if (backing) text += " Black square: clamp a backing there.";
    if (study.diagonal_mm) text += " Broken across: the two diagonals, alike when the top is square.";
    if (study.focus_mm) text += " Small rings: where the pins of the string stand.";
    return text;
}

void found(TextPages& pages, const plan::OutlineStudy& study) {
    std::vector<std::string> blanks{"Length", "Width"};
    if (study.diagonal_mm) blanks = {"Length", "Width", "Corner to corner, one way", "Corner to corner, the other way"};
    if (study.trammel) blanks = {"Across, along the fibres", "Across, square to that"};
    pages.down(3.0);
    pages.need(8.0 + 8.0 * static_cast<double>(blanks.size()));
    pages.say("What was measured", 3.6, true);
    for (const std::string& blank : blanks) {
        pages.down(7.0);
        const double left = TextPages::margin_mm + 5.0;
        Text text{{left, pages.y()}, blank + ':', 3.0, 0.0, Text::Anchor::left, false};
        const double from = left + 2.0 + text_length_mm(text);
        pages.page().texts.push_back(std::move(text));
        pages.line({from, pages.y() - 0.8}, {std::max(from, left + 70.0) + 40.0, pages.y() - 0.8}, seam_line);
    }
}

}  // namespace

std::vector<Drawing> outline_pages(const plan::Plan& plan, const plan::OutlineStudy& study, const job::Job& job) {
    const auto sheet = find_sheet(plan.paper.size);
    if (!sheet) throw std::invalid_argument("outline_pages: no such sheet");
    TextPages pages(*sheet, "Cutting the outline", plan.name);
    Picture(pages, plan, study, job).draw();
    pages.say(key_text(study), TextPages::text_mm);
    for (const plan::words::Told& told : plan::words::outline_text(study, plan, job)) pages.part(told);
    found(pages, study);
    return pages.finish();
}

}  // namespace seamwright::paper
