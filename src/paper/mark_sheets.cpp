#include "paper/mark_sheets.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "bind.h"
#include "canvas.h"
#include "check.h"
#include "frame.h"
#include "geometry/path.h"
#include "paper/tiles.h"
#include "trace/view.h"

namespace seamwright::paper {
namespace {

/// Paper of a strip beyond its outer marks, and beside them: the white rim must be a cell (7.5 mm) wide at least.
constexpr double strip_end_mm = 12.0, strip_rim_mm = 15.0;
constexpr double strip_length_mm = 2.0 * trace::mark_apart_mm + trace::mark_mm + 2.0 * strip_end_mm;
constexpr double strip_width_mm = trace::mark_mm + 2.0 * strip_rim_mm;
constexpr double right_margin_mm = 7.0, top_margin_mm = 6.0;
/// For the bar and the words at the foot.
constexpr double foot_mm = 25.0;
/// A printer leaves this free.
constexpr double edge_mm = 6.0;

const Stroke none{.width_mm = 0.0, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke cut{.width_mm = 0.2, .dash_mm = {3.0, 2.0}, .grey = 0.5, .colour = {}};
const Stroke fine_line{.width_mm = 0.2, .dash_mm = {}, .grey = 0.4, .colour = {}};
const Fill black{.colour = "#000000", .hatch_spacing_mm = 0.0, .hatch_angle_rad = 0.0};
const Fill white{.colour = "#ffffff", .hatch_spacing_mm = 0.0, .hatch_angle_rad = 0.0};

void fill(Drawing& drawing, Point low, Point high, const Fill& with) {
    drawing.paths.push_back({geometry::rectangle(low, high), none, with, {}, {}});
}
void line(Drawing& drawing, Point a, Point b, const Stroke& stroke) {
    drawing.paths.push_back({geometry::polyline(std::vector{a, b}), stroke, {}, {}, {}});
}
void say(Drawing& drawing, Point at, std::string words, double height_mm, Text::Anchor anchor = Text::Anchor::left,
         bool bold = false) {
    drawing.texts.push_back({at, std::move(words), height_mm, 0.0, anchor, bold});
}

void draw_mark(Drawing& drawing, Point middle, int id) {
    const double half = 0.5 * trace::mark_mm, cell = trace::mark_mm / trace::mark_cells_across;
    const auto cells = trace::mark_cells(id);
    fill(drawing, middle - Point{half, half}, middle + Point{half, half}, black);
    // White cells reach into white neighbours, so that no hair of black shows between them.
    constexpr double hair = 0.2;
    const auto is_white = [&](std::size_t row, std::size_t column) {
        return row < cells.size() && column < cells.size() && !cells[row][column];
    };
    for (std::size_t row = 0; row < cells.size(); ++row) {
        for (std::size_t column = 0; column < cells.size(); ++column) {
            if (!is_white(row, column)) continue;
            const Point low{middle.x - half + cell * static_cast<double>(column),
                            middle.y + half - cell * static_cast<double>(row + 1)};
            const Point high = low + Point{cell, cell};
            fill(drawing, low, high, white);
            if (is_white(row, column + 1)) fill(drawing, {high.x - hair, low.y}, {high.x + hair, high.y}, white);
            if (is_white(row + 1, column)) fill(drawing, {low.x, low.y - hair}, {high.x, low.y + hair}, white);
            // Where four white cells meet, the corner between them.
            if (is_white(row + 1, column) && is_white(row, column + 1) && is_white(row + 1, column + 1))
                fill(drawing, {high.x - hair, low.y - hair}, {high.x + hair, low.y + hair}, white);
        }
    }
    // The tape is laid from middle to middle.
    constexpr double from = 9.5, to = 12.5;
    for (const double side : {-1.0, 1.0})
        line(drawing, middle + Point{0.0, side * (half + from)}, middle + Point{0.0, side * (half + to)}, fine_line);
    say(drawing, middle + Point{2.0, -half - to}, fmt::format("{}", id), 3.6);
}

Point strip_low(const SheetSize& lying, int strip) {
    const double x = lying.width_mm - right_margin_mm - strip_length_mm;
    const double y = lying.height_mm - top_margin_mm - strip_width_mm * static_cast<double>(1 + strip % 2);
    return {x, y};
}

SheetSize lying(const SheetSize& sheet) {
    return {sheet.name, std::max(sheet.width_mm, sheet.height_mm), std::min(sheet.width_mm, sheet.height_mm)};
}

Point mark_middle(const SheetSize& on, int strip, int k) {
    return strip_low(on, strip) +
           Point{strip_end_mm + 0.5 * trace::mark_mm + trace::mark_apart_mm * k, strip_rim_mm + 0.5 * trace::mark_mm};
}

void draw_strip(Drawing& drawing, const SheetSize& on, int strip) {
    const Point low = strip_low(on, strip), high = low + Point{strip_length_mm, strip_width_mm};
    drawing.paths.push_back({geometry::rectangle(low, high), cut, {}, {}, {}});
    for (int k = 0; k < trace::marks_a_strip; ++k)
        draw_mark(drawing, mark_middle(on, strip, k), trace::marks_a_strip * strip + k);
    say(drawing, low + Point{4.0, strip_width_mm - 6.0}, fmt::format("strip {}", strip), 3.2);
}

BoundPage bound(Canvas& canvas, const SheetSize& on, const Correction& correction, const std::string& title) {
    BoundPage p;
    // The sheet lies on its side: its y runs along the page. It keeps its size; what is drawn on it is corrected.
    const Correction across{correction.y, correction.x};
    p.page = canvas.page(on.width_mm / across.x, on.height_mm / across.y);
    p.width_mm = on.width_mm;
    p.height_mm = on.height_mm;
    p.scale = across;
    p.label = title;
    p.bookmarks = {title};
    return p;
}

BoundPage sheet_page(Canvas& canvas, const SheetSize& on, const Correction& correction, int first, int last) {
    const std::string title =
        first == last ? fmt::format("Marks, strip {}", first) : fmt::format("Marks, strips {} and {}", first, last);
    const BoundPage p = bound(canvas, on, correction, title);
    Drawing drawing;
    drawing.title = title;
    for (int strip = first; strip <= last; ++strip) draw_strip(drawing, on, strip);
    for (const auto& path : drawing.paths) canvas.draw(path);
    for (const auto& text : drawing.texts) canvas.draw(text);
    const double left = strip_low(on, first).x;
    draw_check_bars(canvas, {left, edge_mm + bars_half_width_mm}, false, 1.0, "y");
    draw_check_bars(canvas, {edge_mm + bars_half_width_mm, edge_mm + 14.0}, true, 1.0, "x");
    const double words = left + inch_bar_mm + 8.0;
    const std::string note = correction_note(correction);
    canvas.paragraph({words, foot_mm - 3.0}, on.width_mm - right_margin_mm - words, 2.9,
                     title +
                         ". Print at actual size (100 %) on stiff white paper and measure both bars. Cut along the "
                         "dashed lines; keep the white rim. Lay the strips flat beside the line." +
                         (note.empty() ? std::string() : " " + note + "."));
    return p;
}

/// A bench from above: the line, strips on both sides, the tape from mark to mark.
void draw_bench(Canvas& canvas, Point low, double width, double height) {
    Drawing d;
    d.title = "bench";
    d.paths.push_back({geometry::rectangle(low, low + Point{width, height}), fine_line, {}, {}, {}});
    std::vector<Point> curve;
    for (int i = 0; i <= 60; ++i) {
        const double t = i / 60.0;
        curve.push_back(low + Point{width * (0.1 + 0.8 * t), height * (0.5 + 0.11 * std::sin(6.3 * t))});
    }
    const Stroke thick{.width_mm = 0.7, .dash_mm = {}, .grey = 0.0, .colour = {}};
    d.paths.push_back({geometry::polyline(curve), thick, {}, {}, {}});
    const double sw = 0.13 * width, sh = sw * strip_width_mm / strip_length_mm;
    const auto strip = [&](double x, double y, double turn) {
        const Point middle = low + Point{x * width, y * height};
        const Path box = geometry::rectangle({-0.5 * sw, -0.5 * sh}, {0.5 * sw, 0.5 * sh});
        d.paths.push_back({geometry::moved(geometry::turned(box, {}, turn), middle), fine_line, {}, {}, {}});
        for (int k = -1; k <= 1; ++k) {
            const double s = 0.22 * sw;
            const Path mark =
                geometry::rectangle({k * 0.31 * sw - 0.5 * s, -0.5 * s}, {k * 0.31 * sw + 0.5 * s, 0.5 * s});
            d.paths.push_back({geometry::moved(geometry::turned(mark, {}, turn), middle), none, black, {}, {}});
        }
        return middle;
    };
    strip(0.14, 0.82, 0.05);
    strip(0.5, 0.84, -0.04);
    strip(0.87, 0.80, 0.08);
    const Point a = strip(0.13, 0.2, -0.06);
    strip(0.52, 0.11, 0.03);
    const Point b = strip(0.86, 0.2, 0.04);
    const Stroke tape{.width_mm = 0.35, .dash_mm = {2.0, 1.0}, .grey = 0.0, .colour = {}};
    line(d, a, b, tape);
    say(d, geometry::midpoint(a, b) + Point{0.0, 2.0}, "steel tape, middle to middle of two marks", 3.0,
        Text::Anchor::middle);
    say(d, low + Point{0.5 * width, 0.42 * height}, "the line", 3.0, Text::Anchor::middle);
    for (const auto& path : d.paths) canvas.draw(path);
    for (const auto& text : d.texts) canvas.draw(text);
}

BoundPage first_page(Canvas& canvas, const SheetSize& on, int strips) {
    const BoundPage p = bound(canvas, on, {}, "How to use the marks");
    const double margin = 16.0;
    double y = on.height_mm - margin;
    const auto paragraph = [&](double left, double width, double height, const std::string& words, bool bold = false) {
        y -= canvas.paragraph({left, y}, width, height, words, bold) + 2.2;
    };
    paragraph(margin, on.width_mm - 2.0 * margin, 6.0, "A curve from a photo: reference marks", true);
    const double top = y, half = 0.47 * on.width_mm;
    const double column = half - margin;
    for (const std::string& words :
         {fmt::format("1  Print the next {} sheets at actual size on stiff white paper. Measure the bars with a steel "
                      "rule: 100 mm must be 100 mm.",
                      (strips + 1) / 2),
          std::string("2  Cut the strips along the dashed lines. Keep the white rim all round the black squares."),
          std::string("3  Lay them flat beside the line, a hand's breadth off it, some on either side, one near each "
                      "end, and tape them down. They may lie any way, but in the plane of the line: for the edge of a "
                      "template on its top face."),
          std::string("4  Measure with a steel tape from the middle of one mark to the middle of another far from it. "
                      "Write down both numbers and the distance: ____ to ____ : ____________"),
          std::string("5  Clear away other lines. Draw the line dark, or lay the template on a ground that is clearly "
                      "lighter or darker."),
          std::string("6  Stand above the middle, hold the camera level and still, with much light and no flash. "
                      "Everything in the picture, a little to spare. Take it at the camera's full size."),
          std::string("7  Use the file as the camera made it: not cropped, not sent through a messenger.")}) {
        paragraph(margin, column, 3.6, words);
    }
    draw_bench(canvas, {half + 6.0, top - 0.62 * (on.width_mm - half - margin)}, on.width_mm - half - margin - 6.0,
               0.62 * (on.width_mm - half - margin) - 4.0);
    canvas.paragraph(
        {half + 6.0, top - 0.62 * (on.width_mm - half - margin) - 6.0}, on.width_mm - half - margin - 6.0, 3.2,
        "Two metres of line take six to eight strips. The numbers of the strips do not matter, but each may "
        "be used only once in a picture. A photo is good for taking over a drawn line; it does not show "
        "high spots of a few hundredths of a millimetre.");
    return p;
}

}  // namespace

Point mark_on_sheet(const SheetSize& sheet, int strip, int mark_of_strip) {
    return mark_middle(lying(sheet), strip, mark_of_strip);
}

std::string marks_pdf(const MarkSheets& sheets) {
    if (sheets.strips < 2 || sheets.strips > trace::most_strips)
        throw std::invalid_argument(fmt::format("{} strips; there are 2 to {}", sheets.strips, trace::most_strips));
    check_correction(sheets.correction);
    const SheetSize on = lying(sheets.sheet);
    const double free_left = on.width_mm - right_margin_mm - strip_length_mm;
    if (free_left < edge_mm + 2.0 * bars_half_width_mm - 1.0 ||
        on.height_mm < top_margin_mm + 2.0 * strip_width_mm + foot_mm - 2.0) {
        throw std::invalid_argument(fmt::format("{} is too small for two strips of marks; use A4, Letter or larger",
                                                sheets.sheet.name.empty() ? "the sheet" : sheets.sheet.name));
    }
    Canvas canvas;
    std::vector<BoundPage> pages{first_page(canvas, on, sheets.strips)};
    for (int first = 0; first < sheets.strips; first += 2)
        pages.push_back(sheet_page(canvas, on, sheets.correction, first, std::min(first + 1, sheets.strips - 1)));
    return bind(canvas.finish(), pages, "Reference marks");
}

}  // namespace seamwright::paper
