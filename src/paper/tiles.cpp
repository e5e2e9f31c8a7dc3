#include "paper/tiles.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "check.h"
#include "geometry/region.h"
#include "text_size.h"

namespace seamwright::paper {

namespace {

/// More sheets than anyone joins by hand; beyond it the drawing or its units are wrong.
constexpr std::size_t most_sheets = 2000;
/// A line this near a joint counts as lying on both sheets, so that no sheet is left out for a hair.
constexpr double near_joint_mm = 0.5;
/// Halvings of an arc before its box is taken for the arc itself: the box is then 1/4096 of it.
constexpr int deepest_halving = 12;

bool holds(const Box& box, Point p) {
    return p.x >= box.low.x && p.x <= box.high.x && p.y >= box.low.y && p.y <= box.high.y;
}

bool meets(const geometry::Segment& s, const Box& box, int depth) {
    if (!geometry::bounding_box(s).meets(box)) return false;
    if (holds(box, s.start) || holds(box, s.end)) return true;
    if (depth == 0) return true;
    return meets(geometry::part(s, 0.0, 0.5), box, depth - 1) || meets(geometry::part(s, 0.5, 1.0), box, depth - 1);
}

struct Span {
    std::size_t first, last;
};

/// The cells from `low` to `high` along one direction, at least one. `origin` is where the first window starts.
Span cells_between(double low, double high, double origin, double pitch, double half_overlap, std::size_t count) {
    const auto index = [&](double at) {
        const double cell = std::floor((at - origin - half_overlap) / pitch);
        return static_cast<std::size_t>(std::clamp(cell, 0.0, static_cast<double>(count - 1)));
    };
    return {index(low), index(high)};
}

std::size_t sheets_along(double length, double window, double overlap) {
    const double pitch = window - overlap;
    const double count = std::ceil((length - overlap) / pitch - 1e-9);
    return static_cast<std::size_t>(std::max(1.0, count));
}

/// What is the same for both ways a sheet can lie.
struct Measured {
    Box box;
    std::vector<Box> texts;
};
Measured measured(const Drawing& drawing) {
    Measured m;
    for (const auto& t : drawing.texts) {
        if (!t.text.empty()) m.texts.push_back(text_box(t));
    }
    m.box = drawing.box();
    return m;
}

class GridMaker {
  public:
    GridMaker(const Drawing& drawing, const Measured& measured, const Tiling& tiling, bool landscape);
    TileGrid make() {
        mark_used();
        return grid_;
    }

  private:
    const Drawing& drawing_;
    const Measured& measured_;
    TileGrid grid_;
    Point origin_;  // lower left corner of the lowest left window
    double half_overlap_;

    void mark(const Box& box, const geometry::Segment* segment);
    void mark_used();
};

GridMaker::GridMaker(const Drawing& drawing, const Measured& measured, const Tiling& tiling, bool landscape)
    : drawing_(drawing), measured_(measured), half_overlap_(0.5 * tiling.overlap_mm) {
    TileGrid& g = grid_;
    g.landscape = landscape;
    g.sheet_width_mm = landscape ? tiling.sheet.height_mm : tiling.sheet.width_mm;
    g.sheet_height_mm = landscape ? tiling.sheet.width_mm : tiling.sheet.height_mm;
    g.across = tiling.correction;
    if (landscape) std::swap(g.across.x, g.across.y);
    g.window_on_sheet = {{tiling.margin_mm + frame_strip_mm, tiling.margin_mm + frame_strip_mm},
                         {g.sheet_width_mm - tiling.margin_mm, g.sheet_height_mm - tiling.margin_mm}};
    const double width = g.window_on_sheet.width_mm() / g.across.x;
    const double height = g.window_on_sheet.height_mm() / g.across.y;
    g.pitch_x_mm = width - tiling.overlap_mm;
    g.pitch_y_mm = height - tiling.overlap_mm;

    const Box box = measured.box;
    g.columns = sheets_along(box.width_mm(), width, tiling.overlap_mm);
    g.rows = sheets_along(box.height_mm(), height, tiling.overlap_mm);
    if (g.columns > most_sheets || g.rows > most_sheets || g.columns * g.rows > most_sheets)
        throw std::invalid_argument(
            fmt::format("\"{}\" is {:.0f} × {:.0f} mm and would need more than {} sheets of {}; print it on a roll, or "
                        "check its units",
                        drawing.title, box.width_mm(), box.height_mm(), most_sheets, tiling.sheet.name));
    const double all_width = static_cast<double>(g.columns - 1) * g.pitch_x_mm + width;
    const double all_height = static_cast<double>(g.rows - 1) * g.pitch_y_mm + height;
    origin_ = geometry::midpoint(box.low, box.high) - Point{0.5 * all_width, 0.5 * all_height};

    for (std::size_t row = 0; row < g.rows; ++row) {
        for (std::size_t column = 0; column < g.columns; ++column) {
            Tile t;
            t.row = row;
            t.column = column;
            t.name = fmt::format("{}{}", row_name(row), column + 1);
            t.window.low = origin_ + Point{static_cast<double>(column) * g.pitch_x_mm,
                                           static_cast<double>(g.rows - 1 - row) * g.pitch_y_mm};
            t.window.high = t.window.low + Point{width, height};
            t.cell = t.window;
            if (column > 0) t.cell.low.x += half_overlap_;
            if (column + 1 < g.columns) t.cell.high.x -= half_overlap_;
            if (row > 0) t.cell.high.y -= half_overlap_;
            if (row + 1 < g.rows) t.cell.low.y += half_overlap_;
            g.tiles.push_back(t);
        }
    }
}

void GridMaker::mark(const Box& box, const geometry::Segment* segment) {
    const Span across = cells_between(box.low.x, box.high.x, origin_.x, grid_.pitch_x_mm, half_overlap_, grid_.columns);
    const Span up = cells_between(box.low.y, box.high.y, origin_.y, grid_.pitch_y_mm, half_overlap_, grid_.rows);
    for (std::size_t from_below = up.first; from_below <= up.last; ++from_below) {
        for (std::size_t column = across.first; column <= across.last; ++column) {
            Tile& t = grid_.tiles[(grid_.rows - 1 - from_below) * grid_.columns + column];
            if (!t.used) t.used = segment == nullptr || meets(*segment, t.cell.grown(near_joint_mm), deepest_halving);
        }
    }
}

void GridMaker::mark_used() {
    for (const auto& p : drawing_.paths) {
        const auto mark_path = [&](const Path& path) {
            for (const auto& s : path.segments)
                mark(geometry::bounding_box(s).grown(near_joint_mm + 0.5 * p.stroke.width_mm), &s);
        };
        mark_path(p.path);
        for (const auto& h : p.holes) mark_path(h);
        const bool filled = p.path.closed && (p.fill.colour || p.fill.hatch_spacing_mm > 0.0);
        if (!filled) continue;
        // A cell that no edge crosses lies wholly inside or wholly outside.
        const geometry::Region region{p.path, p.holes};
        for (auto& t : grid_.tiles) {
            if (!t.used) t.used = geometry::contains(region, geometry::midpoint(t.cell.low, t.cell.high));
        }
    }
    for (const Box& text : measured_.texts) mark(text, nullptr);
}

}  // namespace

std::string row_name(std::size_t row) {
    std::string name;
    for (std::size_t n = row + 1; n > 0; n = (n - 1) / 26)
        name.insert(name.begin(), static_cast<char>('A' + (n - 1) % 26));
    return name;
}

std::size_t TileGrid::used() const {
    return static_cast<std::size_t>(std::ranges::count_if(tiles, [](const Tile& t) { return t.used; }));
}

TileGrid tile_grid(const Drawing& drawing, const Tiling& tiling) {
    check_drawing(drawing);
    check_tiling(tiling);
    const Measured m = measured(drawing);
    if (tiling.landscape) return GridMaker(drawing, m, tiling, *tiling.landscape).make();
    TileGrid upright = GridMaker(drawing, m, tiling, false).make();
    TileGrid across = GridMaker(drawing, m, tiling, true).make();
    return across.used() < upright.used() ? across : upright;
}

}  // namespace seamwright::paper
