#include "paper/tiles.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <vector>

#include "geometry/path.h"
#include "pdf_lines.h"
#include "sample.h"

namespace seamwright::paper {
namespace {

bool inside(const Box& b, Point p, double grow = 0.0) {
    return p.x >= b.low.x - grow && p.x <= b.high.x + grow && p.y >= b.low.y - grow && p.y <= b.high.y + grow;
}

Tiling on(const std::string& sheet) {
    Tiling t;
    t.sheet = find_sheet(sheet).value();
    return t;
}

rc::Gen<double> between(double low, double high) {
    return rc::gen::map(rc::gen::inRange(0, 1000001), [=](int i) { return low + (high - low) * i / 1e6; });
}

Path any_path() {
    const auto size = *rc::gen::inRange(1, 12);
    Path p;
    Point at{*between(-1e4, 1e4), *between(-1e4, 1e4)};
    for (int i = 0; i < size; ++i) {
        if (*rc::gen::arbitrary<bool>()) {
            p.segments.push_back(geometry::line(at, at + Point{*between(-700.0, 700.0), *between(-700.0, 700.0)}));
        } else {
            const Point centre = at + Point{*between(-500.0, 500.0), *between(1.0, 500.0)};
            p.segments.push_back(geometry::arc_about(centre, at, *between(-6.2, 6.2)));
        }
        at = p.end();
    }
    return p;
}

RC_GTEST_PROP(Tiles, every_drawn_point_is_on_a_printed_sheet, ()) {
    Drawing d;
    d.title = "Any";
    d.paths.push_back(test::stroked(any_path()));
    Tiling t = on(*rc::gen::element<std::string>("A4", "A3", "Letter", "Tabloid"));
    t.overlap_mm = *between(0.0, 30.0);
    t.margin_mm = *between(3.0, 20.0);
    t.correction = {*between(0.97, 1.03), *between(0.97, 1.03)};
    const TileGrid g = tile_grid(d, t);
    RC_ASSERT(g.used() > 0U);
    // What a window shows falls inside the margins of the paper.
    RC_ASSERT(g.window_on_sheet.low.x >= t.margin_mm && g.window_on_sheet.low.y >= t.margin_mm);
    RC_ASSERT(g.window_on_sheet.high.x <= g.sheet_width_mm - t.margin_mm + 1e-9);
    RC_ASSERT(g.window_on_sheet.high.y <= g.sheet_height_mm - t.margin_mm + 1e-9);
    for (const Point p : geometry::chords(d.paths[0].path, 0.5)) {
        const auto holds = [&](const Tile& tile) {
            return tile.used && inside(tile.cell, p, 1e-6) && inside(tile.window, p, 1e-6);
        };
        RC_ASSERT(std::ranges::any_of(g.tiles, holds));
    }
}

RC_GTEST_PROP(Tiles, cells_cover_the_drawing_once_and_neighbours_share_the_overlap, ()) {
    Drawing d;
    d.title = "Any";
    d.paths.push_back(test::stroked(any_path()));
    const TileGrid g = tile_grid(d, on("A4"));
    double area = 0.0;
    Box all;
    for (const auto& t : g.tiles) {
        area += t.cell.width_mm() * t.cell.height_mm();
        all.add(t.cell);
        if (t.column + 1 < g.columns) {
            const Tile& next = g.at(t.row, t.column + 1);
            RC_ASSERT(std::abs(t.cell.high.x - next.cell.low.x) < 1e-6);
            RC_ASSERT(std::abs(t.window.high.x - next.window.low.x - 10.0) < 1e-6);
        }
        if (t.row + 1 < g.rows) {
            const Tile& below = g.at(t.row + 1, t.column);
            RC_ASSERT(std::abs(t.cell.low.y - below.cell.high.y) < 1e-6);
        }
    }
    RC_ASSERT(std::abs(area / (all.width_mm() * all.height_mm()) - 1.0) < 1e-9);
}

TEST(Tiles, are_named_by_row_letter_and_column_number) {
    EXPECT_EQ(row_name(0), "A");
    EXPECT_EQ(row_name(25), "Z");
    EXPECT_EQ(row_name(26), "AA");
    EXPECT_EQ(row_name(27), "AB");
    EXPECT_EQ(row_name(701), "ZZ");
    EXPECT_EQ(row_name(702), "AAA");
    Drawing d;
    d.title = "Square";
    d.paths.push_back(test::stroked(geometry::rectangle({0.0, 0.0}, {700.0, 700.0})));
    const TileGrid g = tile_grid(d, on("A4"));
    ASSERT_GE(g.rows, 2U);
    ASSERT_GE(g.columns, 3U);
    EXPECT_EQ(g.at(0, 0).name, "A1");
    EXPECT_GT(g.at(0, 0).cell.low.y, g.at(1, 0).cell.low.y);
    EXPECT_EQ(g.at(1, 2).name, "B3");
}

TEST(Tiles, leave_out_sheets_with_nothing_on_them_but_keep_their_names) {
    Drawing d;
    d.title = "Frame";
    d.paths.push_back(test::stroked(geometry::rectangle({0.0, 0.0}, {1500.0, 1500.0})));
    Tiling t = on("A4");
    t.landscape = false;
    const TileGrid g = tile_grid(d, t);
    ASSERT_GT(g.rows, 2U);
    ASSERT_GT(g.columns, 2U);
    EXPECT_EQ(g.used(), 2 * (g.rows + g.columns) - 4);
    EXPECT_FALSE(g.at(1, 1).used);
    EXPECT_EQ(g.at(1, g.columns - 1).name, "B" + std::to_string(g.columns));
}

TEST(Tiles, lie_whichever_way_needs_fewer_sheets) {
    Drawing d;
    d.title = "A long lath";
    d.paths.push_back(test::stroked(geometry::rectangle({0.0, 0.0}, {1000.0, 60.0})));
    EXPECT_TRUE(tile_grid(d, on("A4")).landscape);
    for (auto& p : d.paths) p.path = geometry::rectangle({0.0, 0.0}, {60.0, 1000.0});
    EXPECT_FALSE(tile_grid(d, on("A4")).landscape);
}

TEST(Tiles, show_every_line_exactly_where_the_grid_says) {
    Drawing d;
    d.title = "One line";
    const Point a{12.345, 6.789}, b{777.7, 555.5};
    d.paths.push_back(test::stroked(test::straight_path(a, b)));
    Tiling t = on("A4");
    t.correction = {1.004, 0.997};
    const TileGrid g = tile_grid(d, t);
    const auto pages = test::read_pages(tiled_pdf({d}, t));
    ASSERT_EQ(pages.size(), g.used() + 1);
    std::size_t page = 1;
    for (const auto& tile : g.tiles) {
        if (!tile.used) continue;
        const auto& lines = pages[page++].lines;
        const auto it = std::ranges::find_if(lines, [](const test::PdfLine& l) { return l.in_drawing; });
        ASSERT_NE(it, lines.end());
        const auto expected = [&](Point p) {
            return Point{g.window_on_sheet.low.x + (p.x - tile.window.low.x) * g.across.x,
                         g.window_on_sheet.low.y + (p.y - tile.window.low.y) * g.across.y};
        };
        EXPECT_NEAR(it->a.x, expected(a).x, 0.0005);
        EXPECT_NEAR(it->a.y, expected(a).y, 0.0005);
        EXPECT_NEAR(it->b.x, expected(b).x, 0.0005);
        EXPECT_NEAR(it->b.y, expected(b).y, 0.0005);
        // Nothing of the work is shown outside the window.
        const auto& clips = pages[page - 1].clips;
        ASSERT_FALSE(clips.empty());
        EXPECT_NEAR(clips[0][0].x, g.window_on_sheet.low.x, 0.0005);
        EXPECT_NEAR(clips[0][1].y, g.window_on_sheet.high.y, 0.0005);
    }
}

TEST(Tiles, joining_marks_stand_at_the_same_place_of_the_drawing_on_both_sheets) {
    Drawing d;
    d.title = "Hatched all over";
    d.paths.push_back(test::stroked(geometry::rectangle({0.0, 0.0}, {400.0, 500.0})));
    d.paths.back().fill.hatch_spacing_mm = 40.0;
    Tiling t = on("A4");
    t.landscape = false;
    t.correction = {1.003, 0.998};
    const TileGrid g = tile_grid(d, t);
    ASSERT_EQ(g.used(), g.tiles.size());
    const auto pages = test::read_pages(tiled_pdf({d}, t));
    std::vector<Point> marks;
    std::size_t page = 1;
    for (const auto& tile : g.tiles) {
        for (const auto& l : pages[page].lines) {
            // The level bar of the cross in a mark: 4.4 mm.
            if (l.in_drawing || !l.level() || std::abs(l.length() - 4.4 * g.across.x) > 0.01) continue;
            const auto m = l.middle();
            marks.push_back({tile.window.low.x + (m.x - g.window_on_sheet.low.x) / g.across.x,
                             tile.window.low.y + (m.y - g.window_on_sheet.low.y) / g.across.y});
        }
        ++page;
    }
    const std::size_t joints = g.rows * (g.columns - 1) + g.columns * (g.rows - 1);
    EXPECT_EQ(marks.size(), 4 * joints);
    for (const Point m : marks) {
        EXPECT_EQ(std::ranges::count_if(marks, [&](Point o) { return geometry::distance(o, m) < 0.001; }), 2);
        const bool on_joint = std::ranges::any_of(g.tiles, [&](const Tile& tile) {
            return std::abs(m.x - tile.cell.low.x) < 0.001 || std::abs(m.y - tile.cell.low.y) < 0.001;
        });
        EXPECT_TRUE(on_joint);
    }
}

TEST(Tiles, settings_that_cannot_work_are_refused) {
    const Drawing d = test::sample();
    Tiling t = on("A4");
    t.margin_mm = 60.0;
    EXPECT_THROW(tile_grid(d, t), std::invalid_argument);
    t = on("A4");
    t.overlap_mm = -1.0;
    EXPECT_THROW(tile_grid(d, t), std::invalid_argument);
    t = on("A4");
    t.overlap_mm = std::nan("");
    EXPECT_THROW(tile_grid(d, t), std::invalid_argument);
    t = on("A4");
    t.sheet.width_mm = 100.0;
    EXPECT_THROW(tile_grid(d, t), std::invalid_argument);
    EXPECT_THROW(tile_grid(Drawing{}, on("A4")), std::invalid_argument);
    Drawing huge;
    huge.title = "In the wrong unit";
    huge.paths.push_back(test::stroked(geometry::rectangle({0.0, 0.0}, {60000.0, 60000.0})));
    EXPECT_THROW(tile_grid(huge, on("A4")), std::invalid_argument);
    Drawing broken;
    broken.paths.push_back(test::stroked(test::straight_path({0.0, 0.0}, {std::nan(""), 1.0})));
    EXPECT_THROW(tile_grid(broken, on("A4")), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::paper
