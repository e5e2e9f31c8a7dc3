#include "key_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "frame.h"
#include "geometry/path.h"

namespace seamwright::paper {

namespace {

constexpr double heading_height_mm = 6.5;
constexpr double body_height_mm = 3.0;
constexpr double gap_mm = 5.0;
constexpr double least_map_mm = 40.0;

struct Instruction {
    std::string head, text;
};

std::vector<Instruction> instructions(const Tiling& tiling, const TileGrid& grid) {
    std::vector<Instruction> all;
    all.push_back({"1  Print at 100 %", "Choose “actual size”, never “fit to page”."});
    if (tiling.correction.on()) {
        all.push_back(
            {"2  Measure before you cut",
             correction_note(tiling.correction) +
                 ". Lay a steel rule on the bars at the left and at the bottom: they are corrected too and must "
                 "now measure 100 mm and 4 in. If not, do not cut."});
    } else {
        all.push_back(
            {"2  Measure before you cut",
             "Lay a steel rule on the bars at the left and at the bottom: 100 mm and 4 in. If they differ, do not "
             "cut. Write what you measured for x and y into the job’s paper settings, and print again."});
    }
    if (grid.used() > 1) {
        all.push_back(
            {"3  Join the sheets",
             fmt::format("Neighbours share {:.4g} mm. Trim one of the two along the grey joint line, lay it on the "
                         "other until line meets line and diamond meets diamond, and tape. The letters beside a "
                         "joint say which sheets meet there.",
                         tiling.overlap_mm)});
    }
    all.push_back(
        {grid.used() > 1 ? "4  Use it the same day" : "3  Use it the same day",
         "Paper grows and shrinks with the damp of the air. Glue it down flat, work to the middle of the line, "
         "and measure a known length across the whole template before you shape the edge."});
    all.push_back(
        {"Take care",
         "Unplug the router before you change a cutter. Feed against the cutter’s turn, small steps, work and "
         "template held fast, both hands on the tool. Eyes, ears and lungs protected. What the makers of your "
         "router and cutters say goes before anything printed here."});
    return all;
}

/// Draws the instructions in two columns, or measures them. Returns the height used.
double draw_instructions(Canvas& canvas, const std::vector<Instruction>& all, Point upper_left, double width_mm) {
    constexpr double between_mm = 8.0;
    const double column = 0.5 * (width_mm - between_mm);
    double used[2] = {0.0, 0.0};
    // In reading order: down the left column, then the right one.
    const std::size_t in_left = (all.size() + 1) / 2;
    for (std::size_t i = 0; i < all.size(); ++i) {
        const std::size_t c = i < in_left ? 0 : 1;
        const double x = upper_left.x + (c == 0 ? 0.0 : column + between_mm);
        used[c] += canvas.paragraph({x, upper_left.y - used[c]}, column, body_height_mm, all[i].head, true);
        used[c] += canvas.paragraph({x, upper_left.y - used[c]}, column, body_height_mm, all[i].text, false, 0.15);
        used[c] += 2.5;
    }
    return std::max(used[0], used[1]);
}

DrawnPath small(const DrawnPath& p, double scale, Point shift) {
    const auto place = [&](const Path& path) { return geometry::moved(geometry::scaled(path, scale), shift); };
    DrawnPath out;
    out.path = place(p.path);
    for (const auto& h : p.holes) out.holes.push_back(place(h));
    // Fills and dashes would only be noise at this size; white stays, so that it still covers.
    if (p.fill.colour && *p.fill.colour == "#ffffff") out.fill.colour = p.fill.colour;
    out.stroke.width_mm = p.stroke.width_mm > 0.0 ? 0.22 : 0.0;
    out.stroke.grey = 0.25;
    return out;
}

/// Returns how far down the map reaches.
double draw_map(Canvas& canvas, const Drawing& drawing, const TileGrid& grid, const Box& room) {
    Box all;
    for (const auto& t : grid.tiles) all.add(t.cell);
    const double scale = std::min({room.width_mm() / all.width_mm(), room.height_mm() / all.height_mm(), 0.6});
    const Point middle{0.5 * (room.low.x + room.high.x), room.high.y - 0.5 * scale * all.height_mm()};
    const Point shift = middle - scale * geometry::midpoint(all.low, all.high);
    const auto place = [&](Point p) { return scale * p + shift; };

    for (const auto& t : grid.tiles) {
        if (t.used) continue;
        DrawnPath cell;
        cell.path = geometry::rectangle(place(t.cell.low), place(t.cell.high));
        cell.fill.colour = "#f0f0f0";
        cell.stroke.width_mm = 0.0;
        canvas.draw(cell);
    }
    // Names first and pale: the lines stay whole on top of them.
    for (const auto& t : grid.tiles) {
        const Box cell{place(t.cell.low), place(t.cell.high)};
        Text name;
        name.text = t.name;
        name.bold = t.used;
        name.anchor = Text::Anchor::middle;
        name.height_mm = std::clamp(0.42 * std::min(cell.width_mm(), cell.height_mm()), 1.2, 9.0);
        name.at = geometry::midpoint(cell.low, cell.high) - Point{0.0, 0.36 * name.height_mm};
        canvas.draw_within(name, 0.85 * cell.width_mm(), t.used ? 0.62 : 0.78);
    }
    for (const auto& p : drawing.paths) canvas.draw(small(p, scale, shift));
    for (const auto& t : grid.tiles) {
        DrawnPath cell;
        cell.path = geometry::rectangle(place(t.cell.low), place(t.cell.high));
        cell.stroke.width_mm = t.used ? 0.3 : 0.1;
        cell.stroke.grey = t.used ? 0.0 : 0.6;
        canvas.draw(cell);
    }
    return middle.y - 0.5 * scale * all.height_mm();
}

}  // namespace

void draw_key_map(Canvas& canvas, const Drawing& drawing, const Tiling& tiling, const TileGrid& grid) {
    const Box& room = grid.window_on_sheet;
    const Point upper_left{room.low.x + 3.0, room.high.y};
    const double width = room.width_mm() - 3.0;
    Text heading;
    heading.text = drawing.title;
    heading.height_mm = heading_height_mm;
    heading.bold = true;
    heading.at = upper_left - Point{0.0, 0.75 * heading_height_mm};
    canvas.draw_within(heading, width);

    const std::size_t used = grid.used();
    const std::size_t empty = grid.tiles.size() - used;
    std::string line = fmt::format("Key map. {} sheet{} of {}, {}. Full size, 1 : 1.", used, used == 1 ? "" : "s",
                                   tiling.sheet.name, grid.landscape ? "landscape" : "upright");
    if (empty > 0)
        line += fmt::format(" {} grey one{} {} empty and not printed.", empty, empty == 1 ? "" : "s",
                            empty == 1 ? "is" : "are");
    const double below_heading = heading.at.y - 0.45 * heading_height_mm;
    const double line_used = canvas.paragraph({upper_left.x, below_heading}, width, 3.2, line, false, 0.15);

    const auto texts = instructions(tiling, grid);
    // Measured below the paper's edge first, where nothing shows.
    const double needed = draw_instructions(canvas, texts, {upper_left.x, -1000.0}, width);
    const double map_top = below_heading - line_used - gap_mm;
    const double map_low = std::min(room.low.y + 2.0 + needed + 1.6 * gap_mm, map_top - least_map_mm);
    const double map_end = draw_map(canvas, drawing, grid, {{upper_left.x, map_low}, {room.high.x, map_top}});
    draw_instructions(canvas, texts, {upper_left.x, map_end - 1.6 * gap_mm}, width);
}

}  // namespace seamwright::paper
