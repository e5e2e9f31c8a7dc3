#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <vector>

#include "bind.h"
#include "canvas.h"
#include "check.h"
#include "frame.h"
#include "paper/tiles.h"
#include "work_page.h"

// Pages that hold a whole drawing: for a roll, or laid out on a sheet.

namespace seamwright::paper {

namespace {

constexpr double work_margin_mm = 5.0;
constexpr double roll_margin_mm = 12.0;
/// Room for the bars at the left and at the bottom of a roll page.
constexpr double roll_strip_mm = frame_strip_mm + 4.0;
/// A page must hold the 4 in bar both ways, and the note beside it.
constexpr double least_roll_width_mm = 240.0, least_roll_height_mm = 160.0;

BoundPage roll_page(Canvas& canvas, const Drawing& drawing, const Correction& correction) {
    check_drawing(drawing);
    const Box box = drawing.box();
    const double width = std::max(least_roll_width_mm, box.width_mm() + 2.0 * roll_margin_mm + roll_strip_mm);
    const double height = std::max(least_roll_height_mm, box.height_mm() + 2.0 * roll_margin_mm + roll_strip_mm);
    BoundPage p;
    p.page = canvas.page(width, height);
    p.width_mm = width * correction.x;
    p.height_mm = height * correction.y;
    p.scale = correction;
    p.label = drawing.title;
    p.bookmarks = {drawing.title};

    const double m = roll_margin_mm;
    draw_check_bars(canvas, {m + frame_strip_mm, m + bars_half_width_mm}, false, 1.0, "x");
    draw_check_bars(canvas, {m + bars_half_width_mm, m + frame_strip_mm}, true, 1.0, "y");
    const int unit = user_unit(p.width_mm, p.height_mm);
    std::vector<std::string> lines{drawing.title,
                                   "Full size. Print at 100 %. Measure both bars with a steel rule before you cut."};
    if (correction.on()) lines.push_back(correction_note(correction) + ". The bars are corrected too.");
    if (unit > 1)
        lines.push_back(
            fmt::format("This page is longer than 14,400 pt: it uses UserUnit {}. If it comes out at 1/{} of its "
                        "size, the program that prints it is too old: use the tiled sheets.",
                        unit, unit));
    const double left = m + frame_strip_mm + inch_bar_mm + 6.0;
    double y = m + 0.9 + 3.6 * static_cast<double>(lines.size() - 1);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        Text t;
        t.text = lines[i];
        t.bold = i == 0;
        t.height_mm = 2.7;
        t.at = {left, y};
        canvas.draw_within(t, width - m - left, i == 0 ? 0.0 : quiet_grey);
        y -= 3.6;
    }
    canvas.move_by(Point{m + roll_strip_mm, m + roll_strip_mm} - box.low);
    draw_all(canvas, drawing);
    return p;
}

}  // namespace

void draw_all(Canvas& canvas, const Drawing& drawing) {
    for (const auto& p : drawing.patches) canvas.draw(p);
    for (const auto& p : drawing.paths) canvas.draw(p);
    for (const auto& t : drawing.texts) canvas.draw(t);
}

WorkPage draw_work_page(Canvas& canvas, const Drawing& drawing) {
    const Box box = drawing.box().grown(work_margin_mm);
    WorkPage w;
    w.page = canvas.page(box.width_mm(), box.height_mm());
    w.origin = box.low;
    w.width_mm = box.width_mm();
    w.height_mm = box.height_mm();
    canvas.move_by(-box.low);
    draw_all(canvas, drawing);
    return w;
}

std::string roll_pdf(const std::vector<Drawing>& drawings, const Correction& correction) {
    if (drawings.empty()) throw std::invalid_argument("there is no drawing to print");
    check_correction(correction);
    Canvas canvas;
    std::vector<BoundPage> bound;
    for (const auto& d : drawings) bound.push_back(roll_page(canvas, d, correction));
    return bind(canvas.finish(), bound, drawings.front().title);
}

std::string sheet_pdf(const std::vector<Drawing>& drawings) {
    if (drawings.empty()) throw std::invalid_argument("there is no drawing to print");
    Canvas canvas;
    std::vector<BoundPage> bound;
    const std::string* before = nullptr;
    for (const auto& d : drawings) {
        check_drawing(d);
        if (!d.laid_out_on) throw std::invalid_argument(fmt::format("\"{}\" is not laid out on a sheet", d.title));
        BoundPage p;
        p.page = canvas.page(d.laid_out_on->width_mm, d.laid_out_on->height_mm);
        p.width_mm = d.laid_out_on->width_mm;
        p.height_mm = d.laid_out_on->height_mm;
        p.label = d.label.empty() ? d.title : d.label;
        p.bookmarks = d.begins;
        // Pages of one title are one chapter.
        if (d.begins.empty() && d.label.empty() && (before == nullptr || *before != d.title)) p.bookmarks = {d.title};
        before = &d.title;
        draw_all(canvas, d);
        bound.push_back(p);
    }
    return bind(canvas.finish(), bound, drawings.front().title);
}

}  // namespace seamwright::paper
