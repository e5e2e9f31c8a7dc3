#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <vector>

#include "bind.h"
#include "canvas.h"
#include "check.h"
#include "frame.h"
#include "geometry/path.h"
#include "key_map.h"
#include "marks.h"
#include "paper/tiles.h"
#include "work_page.h"

// A tiled file draws every drawing once, on a page of its own that is not kept, and shows it through a window on each
// sheet. All sheets then hold the same numbers, and a file of forty sheets is no larger than one of four.

namespace seamwright::paper {

namespace {

constexpr double mark_from_corner_mm = 14.0;
constexpr double joint_width_mm = 0.12;
constexpr double joint_text_mm = 2.4;
constexpr double joint_text_clear_mm = 1.2;

/// One sheet's frame: bars, name, joint lines. Drawn in paper millimetres.
class SheetFrame {
  public:
    SheetFrame(Canvas& canvas, const Tiling& tiling, const TileGrid& grid)
        : canvas_(canvas), tiling_(tiling), grid_(grid) {}

    void bars() const;
    void name_block(const std::string& name, const std::string& title, const std::string& line) const;
    void joints(const Tile& tile) const;

  private:
    Canvas& canvas_;
    const Tiling& tiling_;
    const TileGrid& grid_;

    Point on_sheet(const Tile& tile, Point p) const {
        return {grid_.window_on_sheet.low.x + (p.x - tile.window.low.x) * grid_.across.x,
                grid_.window_on_sheet.low.y + (p.y - tile.window.low.y) * grid_.across.y};
    }
    void joint(const Tile& tile, const Tile& neighbour, bool upright, double at) const;
};

void SheetFrame::bars() const {
    const double m = tiling_.margin_mm;
    const std::string across = grid_.landscape ? "y" : "x";
    const std::string up = grid_.landscape ? "x" : "y";
    draw_check_bars(canvas_, {m + frame_strip_mm, m + bars_half_width_mm}, false, grid_.across.x, across);
    draw_check_bars(canvas_, {m + bars_half_width_mm, m + frame_strip_mm}, true, grid_.across.y, up);
}

void SheetFrame::name_block(const std::string& name, const std::string& title, const std::string& line) const {
    const double m = tiling_.margin_mm;
    const double right = grid_.sheet_width_mm - m;
    const double left = m + frame_strip_mm + inch_bar_mm * std::max(1.0, grid_.across.x) + 5.0;
    Text big;
    big.text = name;
    big.bold = true;
    big.height_mm = 8.5;
    big.anchor = Text::Anchor::right;
    big.at = {right, m + 2.4};
    double name_width = 0.0;
    if (!name.empty()) {
        name_width = canvas_.length_mm(big) + 4.0;
        canvas_.draw(big);
    }
    const double room = right - left - name_width;
    std::vector<std::pair<std::string, bool>> lines{{title, true}, {line, false}};
    if (tiling_.correction.on()) lines.emplace_back(correction_note(tiling_.correction), false);
    double y = m + 2.4 + 3.5 * static_cast<double>(lines.size() - 1);
    for (const auto& [text, bold] : lines) {
        Text t;
        t.text = text;
        t.bold = bold;
        t.height_mm = 2.6;
        t.at = {left, y};
        canvas_.draw_within(t, room, bold ? 0.0 : quiet_grey);
        y -= 3.5;
    }
}

void SheetFrame::joint(const Tile& tile, const Tile& neighbour, bool upright, double at) const {
    if (!neighbour.used) return;
    const Box& c = tile.cell;
    const auto place = [&](double along) { return on_sheet(tile, upright ? Point{at, along} : Point{along, at}); };
    const double low = upright ? c.low.y : c.low.x;
    const double high = upright ? c.high.y : c.high.x;
    canvas_.draw(straight(place(low), place(high), {joint_width_mm, {}, 0.62, {}}));
    draw_joining_mark(canvas_, place(low + mark_from_corner_mm), grid_.across);
    draw_joining_mark(canvas_, place(high - mark_from_corner_mm), grid_.across);

    // Each sheet's name stands on its own side of the line; on the neighbour's side it falls into the shared strip.
    const bool first_is_tile = upright ? tile.column < neighbour.column : tile.row > neighbour.row;
    const Tile& low_side = first_is_tile ? tile : neighbour;
    const Tile& high_side = first_is_tile ? neighbour : tile;
    for (const double along : {low + mark_from_corner_mm + 6.0, high - mark_from_corner_mm - 6.0}) {
        Text t;
        t.height_mm = joint_text_mm;
        const Point p = place(along);
        if (upright) {
            t.text = low_side.name;
            t.anchor = Text::Anchor::right;
            t.at = p - Point{joint_text_clear_mm, 0.36 * joint_text_mm};
            canvas_.draw_within(t, 40.0, help_grey);
            t.text = high_side.name;
            t.anchor = Text::Anchor::left;
            t.at = p + Point{joint_text_clear_mm, -0.36 * joint_text_mm};
            canvas_.draw_within(t, 40.0, help_grey);
        } else {
            t.anchor = Text::Anchor::middle;
            t.text = high_side.name;
            t.at = p + Point{0.0, joint_text_clear_mm};
            canvas_.draw(t, help_grey);
            t.text = low_side.name;
            t.at = p - Point{0.0, joint_text_clear_mm + 0.73 * joint_text_mm};
            canvas_.draw(t, help_grey);
        }
    }
}

void SheetFrame::joints(const Tile& t) const {
    if (t.column > 0) joint(t, grid_.at(t.row, t.column - 1), true, t.cell.low.x);
    if (t.column + 1 < grid_.columns) joint(t, grid_.at(t.row, t.column + 1), true, t.cell.high.x);
    if (t.row > 0) joint(t, grid_.at(t.row - 1, t.column), false, t.cell.high.y);
    if (t.row + 1 < grid_.rows) joint(t, grid_.at(t.row + 1, t.column), false, t.cell.low.y);
}

void add_drawing(Canvas& canvas, std::vector<BoundPage>& bound, const Drawing& drawing, const Tiling& tiling) {
    const TileGrid grid = tile_grid(drawing, tiling);
    const WorkPage work = draw_work_page(canvas, drawing);
    const SheetFrame frame(canvas, tiling, grid);
    const std::size_t sheets = grid.used();
    const auto sheet_page = [&](const std::string& label) {
        BoundPage p;
        p.page = canvas.page(grid.sheet_width_mm, grid.sheet_height_mm);
        p.width_mm = grid.sheet_width_mm;
        p.height_mm = grid.sheet_height_mm;
        p.label = label;
        return p;
    };

    BoundPage key = sheet_page("Key");
    key.bookmarks = {drawing.title};
    draw_key_map(canvas, drawing, tiling, grid);
    frame.bars();
    frame.name_block("Key", drawing.title,
                     fmt::format("{} sheet{} follow{}", sheets, sheets == 1 ? "" : "s", sheets == 1 ? "s" : ""));
    bound.push_back(key);

    std::size_t count = 0;
    for (const auto& t : grid.tiles) {
        if (!t.used) continue;
        BoundPage p = sheet_page(t.name);
        Shown shown;
        shown.page = work.page;
        shown.scale = grid.across;
        shown.window = grid.window_on_sheet;
        const Point from = work.origin - t.window.low;
        shown.shift = grid.window_on_sheet.low + Point{from.x * grid.across.x, from.y * grid.across.y};
        p.shown = shown;
        frame.bars();
        frame.name_block(t.name, drawing.title, fmt::format("sheet {} of {}, full size", ++count, sheets));
        frame.joints(t);
        bound.push_back(p);
    }
}

}  // namespace

std::string tiled_pdf(const std::vector<Drawing>& drawings, const Tiling& tiling) {
    if (drawings.empty()) throw std::invalid_argument("there is no drawing to print");
    check_tiling(tiling);
    Canvas canvas;
    std::vector<BoundPage> bound;
    for (const auto& d : drawings) add_drawing(canvas, bound, d, tiling);
    return bind(canvas.finish(), bound, drawings.front().title);
}

}  // namespace seamwright::paper
