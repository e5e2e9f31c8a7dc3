#include "paper/test_cut_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

#include "marks.h"
#include "plan/test_cut_study.h"
#include "shelf/find_tool.h"
#include "strokes.h"
#include "text_pages.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

using geometry::circle;
using geometry::pi;
using geometry::polyline;
using geometry::rectangle;

constexpr double quarter = 0.5 * pi;
constexpr double straight_long_mm = 170.0;
constexpr double straight_deep_mm = 24.0;
constexpr double round_radius_mm = 60.0;
constexpr double router_mm = 7.0;
const Stroke thin{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};
const Stroke middling{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Fill template_fill{.colour = {}, .hatch_spacing_mm = 3.2, .hatch_angle_rad = 0.25 * pi};
const Fill slot_fill{.colour = "#e4e4e4", .hatch_spacing_mm = 0.0, .hatch_angle_rad = 0.0};
const Fill black{.colour = "#000000", .hatch_spacing_mm = 0.0, .hatch_angle_rad = 0.0};
const Fill white{.colour = "#ffffff", .hatch_spacing_mm = 0.0, .hatch_angle_rad = 0.0};

struct Sizes {
    double near_mm = 0.0, far_mm = 0.0;
    double middle_mm() const { return 0.5 * (near_mm + far_mm); }
};

template <class Tool>
const Tool& on_shelf(const std::vector<Tool>& tools, const std::string& name) {
    const Tool* tool = shelf::find_tool(tools, name);
    if (tool == nullptr) throw std::invalid_argument(fmt::format("\"{}\" is not on the shelf", name));
    return *tool;
}

class TestCutSheets {
  public:
    TestCutSheets(const shelf::Guide& guide, const shelf::Cutter& cutter, const job::Job& job, const SheetSize& sheet)
        : pages_(sheet, "Test cut", fmt::format("{} with {}", guide.name, cutter.name)),
          guide_(guide),
          cutter_(cutter),
          job_(job) {
        const double B = guide.outside.nominal_mm, b = cutter.cutting.nominal_mm;
        if (!(b < B)) throw std::invalid_argument("the cutter is not narrower than the guide");
        sizes_ = {0.5 * (B - b), 0.5 * (B + b)};
    }

    std::vector<Drawing> sheets() {
        pages_.say(
            "Paste this sheet on template stock and work to the two heavy edges, straight and round. Only how even "
            "they are matters, not how large.",
            3.0);
        straight_coupon("First cut: the handle with the tape to the right", 0, false);
        straight_coupon(
            "Second cut, in fresh wood: the same template, the router turned end for end, the tape to the left", 6,
            true);
        round_coupon();
        pages_.new_page();
        how();
        table();
        return pages_.finish();
    }

  private:
    Drawing& page() { return pages_.page(); }
    void draw(const Path& path, const Stroke& stroke, const Fill& fill = {}) {
        page().paths.push_back({path, stroke, fill, {}, {}});
    }
    std::string about(double mm) const { return units::show_thin(mm, job_.style.unit); }

    /// A number in a ring, white behind it.
    void numbered(std::size_t place, Point at) {
        draw(circle(at, 2.9), middling, white);
        pages_.put(fmt::format("{}", place + 1), at + Point{0.0, -1.1}, 3.1, true, Text::Anchor::middle);
    }
    /// From `a` to `b` with heads at both ends; short ones get their heads from outside.
    void measure(Point a, Point b) {
        const double heading = std::atan2(b.y - a.y, b.x - a.x);
        const Point along = geometry::unit(heading);
        constexpr double head_mm = 1.6;
        const bool room = geometry::distance(a, b) > 3.0 * head_mm;
        if (room) {
            pages_.line(a, b, middling);
            page().paths.push_back(arrow_head(a, heading + pi, head_mm));
            page().paths.push_back(arrow_head(b, heading, head_mm));
        } else {
            pages_.line(a - 4.0 * along, b + 4.0 * along, middling);
            page().paths.push_back(arrow_head(a, heading, head_mm));
            page().paths.push_back(arrow_head(b, heading + pi, head_mm));
        }
    }
    /// Which way the router goes: the template on its left, so that the cutter pulls the guide against it.
    void goes(Point from, Point to) {
        pages_.line(from, to, {.width_mm = 0.6, .dash_mm = {}, .grey = 0.0, .colour = {}});
        page().paths.push_back(arrow_head(to, std::atan2(to.y - from.y, to.x - from.x), 2.6));
    }
    /// The router from above: its base, two handles, tape round one of them.
    void router(Point at, bool tape_right) {
        draw(circle(at, router_mm), middling, white);
        draw(circle(at, 0.8), middling, black);
        for (const double side : {-1.0, 1.0}) {
            const Point handle = at + Point{side * (router_mm + 2.6), 0.0};
            const bool tape = (side > 0.0) == tape_right;
            draw(circle(handle, 2.2), middling, tape ? black : white);
        }
    }

    void straight_coupon(const std::string& title, std::size_t first_place, bool turned) {
        const double reach = sizes_.far_mm + 6.0;
        pages_.need(straight_deep_mm + reach + 16.0);
        pages_.down(7.0);
        pages_.say(title, 3.2, true);
        pages_.down(reach + 3.0);
        const double x0 = TextPages::margin_mm + 0.5 * (pages_.width_mm() - straight_long_mm);
        const double x1 = x0 + straight_long_mm, edge = pages_.y();
        const double low = edge + sizes_.near_mm, high = edge + sizes_.far_mm;
        draw(rectangle({x0, low}, {x1, high}), thin, slot_fill);
        draw(rectangle({x0, edge - straight_deep_mm}, {x1, edge}), thin, template_fill);
        page().paths.push_back(straight({x0, edge}, {x1, edge}, edge_band()));
        page().paths.push_back(
            straight({x0, edge}, {x1, edge}, {.width_mm = 0.35, .dash_mm = {}, .grey = 0.0, .colour = {}}));
        const double part = straight_long_mm / 6.0;
        for (int third = 0; third < 3; ++third) {
            const double x = x0 + part * (0.7 + 2.15 * third);
            const auto k = static_cast<std::size_t>(third);
            if (!turned) {
                measure({x, low}, {x, high});
                numbered(first_place + k, {x + 5.0, 0.5 * (low + high)});
            }
            const double to_slot = turned ? x + 6.0 : x + 16.0;
            const std::size_t place = turned ? first_place + k : first_place + 3 + k;
            measure({to_slot, edge}, {to_slot, low});
            numbered(place, {to_slot + 5.0, edge + std::min(0.5 * sizes_.near_mm, sizes_.near_mm - 0.5)});
        }
        const Point held{x0 + 4.15 * part, edge + sizes_.middle_mm()};
        router(held, !turned);
        goes(held + Point{-router_mm - 6.5, 0.0}, held + Point{-router_mm - 18.5, 0.0});
        const Text label{{x0 + 0.5 * straight_long_mm, edge - 0.5 * straight_deep_mm - 1.2},
                         turned ? "straight template, again" : "straight template",
                         3.6,
                         0.0,
                         Text::Anchor::middle,
                         true};
        labelled(label);
        pages_.down(straight_deep_mm + 1.0);
    }

    void round_coupon() {
        const double reach = round_radius_mm + sizes_.far_mm + 3.0;
        pages_.need(reach + 14.0);
        pages_.down(7.0);
        pages_.say("Third cut, round the round template: the tape to the right all the way, the router never turns",
                   3.2, true);
        pages_.down(reach);
        const Point c{TextPages::margin_mm + 0.5 * pages_.width_mm(), pages_.y()};
        const auto arc = [&](double radius, double from, double to) {
            return geometry::arc_about(c, c + radius * geometry::unit(from), to - from);
        };
        Path slot;
        const double inner = round_radius_mm + sizes_.near_mm, outer = round_radius_mm + sizes_.far_mm;
        slot.segments.push_back(arc(inner, 0.0, pi));
        slot.segments.push_back(geometry::line(c - Point{inner, 0.0}, c - Point{outer, 0.0}));
        slot.segments.push_back(arc(outer, pi, 0.0));
        slot.segments.push_back(geometry::line(c + Point{outer, 0.0}, c + Point{inner, 0.0}));
        slot.closed = true;
        draw(slot, thin, slot_fill);
        Path body;
        body.segments.push_back(arc(round_radius_mm, 0.0, pi));
        body.segments.push_back(geometry::line(c - Point{round_radius_mm, 0.0}, c + Point{round_radius_mm, 0.0}));
        body.closed = true;
        draw(body, thin, template_fill);
        Path edge;
        edge.segments.push_back(arc(round_radius_mm, 0.0, pi));
        draw(edge, edge_band());
        draw(edge, {.width_mm = 0.35, .dash_mm = {}, .grey = 0.0, .colour = {}});
        constexpr std::size_t first = 9;
        for (std::size_t k = 0; k < 5; ++k) {
            // The outermost ones a little above the base line, where there is slot on both sides.
            const double angle = std::clamp(quarter * 0.5 * static_cast<double>(k), 0.05, pi - 0.05);
            const Point out = geometry::unit(angle);
            measure(c + round_radius_mm * out, c + inner * out);
            numbered(first + k, c + (round_radius_mm - 5.5) * out + (k == 0 || k == 4 ? Point{0.0, 3.0} : Point{}));
        }
        for (const double angle : {0.125 * pi, 0.375 * pi, 0.625 * pi})
            router(c + (round_radius_mm + sizes_.middle_mm()) * geometry::unit(angle), true);
        const double along = round_radius_mm + sizes_.middle_mm();
        goes(c + along * geometry::unit(0.85 * pi), c + along * geometry::unit(0.91 * pi));
        labelled({c + Point{0.0, 0.36 * round_radius_mm}, "round template", 3.6, 0.0, Text::Anchor::middle, true});
        pages_.put("your side", c + Point{0.0, -5.5}, 3.0, false, Text::Anchor::middle);
        pages_.down(6.0);
    }

    void labelled(const Text& text) {
        const double half = 0.5 * 0.62 * text.height_mm * static_cast<double>(text.text.size());
        page().paths.push_back(ground(rectangle(text.at + Point{-half, -1.4}, text.at + Point{half, 3.6})));
        page().texts.push_back(text);
    }

    void how() {
        plan::words::Told steps;
        steps.title = "How to go about it";
        const auto add = [&](std::string line) { steps.lines.push_back(std::move(line)); };
        add("Wind tape round one handle of the router. It says how the router is held: nothing else counts.");
        add(fmt::format("Put the {} in the collet and the {} in the base, as for real work.", cutter_.name,
                        guide_.name));
        add("Fix the straight template on a flat offcut with double-sided tape or clamps. Cut a slot along it, only as "
            "deep "
            "as you measure well: 5 mm (3/16 in) is enough. Go along twice, the guide held against the edge.");
        add("Turn the router end for end, and cut a second slot along the same template in a fresh place.");
        add("Fix the round template on another offcut and cut round it. Walk or reach round; the tape stays to the "
            "right.");
        add("Leave the templates where they are. Measure at the numbered places with callipers or feelers: across the "
            "slot, "
            "or from the edge of the template to the near edge of the slot. Each three times; write down the middle "
            "one.");
        const auto beware = [&](std::string line) { steps.cautions.push_back(std::move(line)); };
        beware(
            "Unplug the router before you touch cutter or guide. Clamp the work, keep both hands on the router, and go "
            "the "
            "way the arrows show, the template on your left: so the cutter pulls the guide against it. The other way "
            "is "
            "a climb cut, and the router runs off.");
        beware("Eyes, ears and lungs: wear glasses, hearing protection and a dust mask, and draw the dust off.");
        beware("What the makers of router and cutter say comes before this sheet.");
        pages_.part(steps);
    }

    void table() {
        pages_.down(4.0);
        pages_.say("Readings", 3.6, true);
        const double x = TextPages::margin_mm, right = x + pages_.width_mm();
        const double column = right - 38.0, expected = right - 68.0;
        pages_.down(5.0);
        pages_.put("as marked it would be", {expected, pages_.y()}, 2.6);
        pages_.put("you read", {column + 2.0, pages_.y()}, 2.6);
        pages_.down(1.5);
        const auto places = seam::places_to_measure();
        constexpr double row_mm = 6.6;
        for (std::size_t i = 0; i < places.size(); ++i) {
            pages_.need(row_mm);
            pages_.line({x, pages_.y()}, {right, pages_.y()}, thin);
            pages_.down(row_mm);
            const double base = pages_.y() + 2.0;
            pages_.put(fmt::format("{}", i + 1), {x + 5.0, base}, 3.2, true, Text::Anchor::right);
            pages_.put(plan::words::test_place_text(i), {x + 8.0, base}, 3.0);
            pages_.put(about(places[i].what == seam::CutReading::What::slot_width ? sizes_.far_mm - sizes_.near_mm
                                                                                  : sizes_.near_mm),
                       {expected, base}, 3.0);
            draw(rectangle({column, pages_.y() + 0.5}, {right, pages_.y() + row_mm - 0.5}), middling);
        }
        pages_.line({x, pages_.y()}, {right, pages_.y()}, thin);
        pages_.down(2.0);
        pages_.say(
            "Then give them to the shelf: on the page under \"Test cuts\", or with the command test-cut. Places that "
            "you "
            "could not measure stay empty.",
            3.0);
        pages_.down(7.0);
        pages_.put("Day", {x, pages_.y()}, 3.0);
        pages_.line({x + 12.0, pages_.y() - 0.8}, {x + 70.0, pages_.y() - 0.8}, thin);
        pages_.put("Callipers", {x + 80.0, pages_.y()}, 3.0);
        pages_.line({x + 98.0, pages_.y() - 0.8}, {right, pages_.y() - 0.8}, thin);
    }

    TextPages pages_;
    const shelf::Guide& guide_;
    const shelf::Cutter& cutter_;
    const job::Job& job_;
    Sizes sizes_;
};

}  // namespace

std::vector<Drawing> test_cut_sheets(const shelf::Shelf& shelf, const std::string& guide, const std::string& cutter,
                                     const job::Job& job) {
    const auto sheet = find_sheet(job.paper.size);
    if (!sheet) throw std::invalid_argument("test_cut_sheets: no such sheet");
    return TestCutSheets(on_shelf(shelf.guides, guide), on_shelf(shelf.cutters, cutter), job, *sheet).sheets();
}

}  // namespace seamwright::paper
