#include <gtest/gtest.h>

#include <string>

#include "paper/drawing.h"
#include "pdf_lines.h"
#include "sample.h"

namespace seamwright::paper {
namespace {

using test::PdfLine;
using test::PdfPage;
using test::read_pages;

constexpr double true_to_mm = 0.001;

int bars(const PdfPage& page, bool level, double wanted_mm) {
    int found = 0;
    for (const PdfLine& l : page.lines) {
        if (l.in_drawing || !(level ? l.level() : l.upright())) continue;
        // Half a millimetre around the wanted length nothing but a bar is drawn in the frame.
        if (std::abs(l.length() - wanted_mm) < 0.5) {
            ++found;
            EXPECT_NEAR(l.length(), wanted_mm, true_to_mm);
        }
    }
    return found;
}

void expect_bars(const PdfPage& page, double across, double up) {
    EXPECT_EQ(bars(page, true, 100.0 * across), 1);
    EXPECT_EQ(bars(page, true, 101.6 * across), 1);
    EXPECT_EQ(bars(page, false, 100.0 * up), 1);
    EXPECT_EQ(bars(page, false, 101.6 * up), 1);
}

Tiling on(const std::string& sheet, bool landscape) {
    Tiling t;
    t.sheet = find_sheet(sheet).value();
    t.landscape = landscape;
    return t;
}

TEST(CheckBar, is_true_on_every_sheet_of_every_paper) {
    for (const std::string sheet : {"A4", "A3", "Letter", "Tabloid"}) {
        for (const bool landscape : {false, true}) {
            SCOPED_TRACE(sheet + (landscape ? " landscape" : " upright"));
            const Tiling t = on(sheet, landscape);
            const auto pages = read_pages(tiled_pdf({test::sample()}, t));
            ASSERT_GT(pages.size(), 2U);
            for (const auto& p : pages) {
                expect_bars(p, 1.0, 1.0);
                EXPECT_NEAR(p.width_mm, landscape ? t.sheet.height_mm : t.sheet.width_mm, true_to_mm);
                EXPECT_NEAR(p.height_mm, landscape ? t.sheet.width_mm : t.sheet.height_mm, true_to_mm);
            }
        }
    }
}

TEST(CheckBar, is_true_on_a_roll) {
    const auto pages = read_pages(roll_pdf({test::sample(), test::sample()}, {}));
    ASSERT_EQ(pages.size(), 2U);
    for (const auto& p : pages) expect_bars(p, 1.0, 1.0);
}

TEST(CheckBar, carries_the_printer_correction) {
    // A bar that came out 99.4 mm across and 100.2 mm up.
    const Correction c = Correction::measured(99.4, 100.2);
    Tiling t = on("A4", false);
    t.correction = c;
    for (const auto& p : read_pages(tiled_pdf({test::sample()}, t))) expect_bars(p, c.x, c.y);
    // x stays along the short side of the sheet, which now stands up.
    t.landscape = true;
    for (const auto& p : read_pages(tiled_pdf({test::sample()}, t))) expect_bars(p, c.y, c.x);
    for (const auto& p : read_pages(roll_pdf({test::sample()}, c))) expect_bars(p, c.x, c.y);
}

TEST(CheckBar, a_printer_that_shrinks_gives_true_length_after_correction) {
    // The printer multiplies by 0.994 and 1.002; what it makes of a corrected bar is 100 mm.
    const Correction c = Correction::measured(99.4, 100.2);
    EXPECT_NEAR(100.0 * c.x * 0.994, 100.0, 1e-9);
    EXPECT_NEAR(100.0 * c.y * 1.002, 100.0, 1e-9);
}

TEST(CheckBar, lies_inside_the_margins) {
    for (const std::string sheet : {"A4", "Letter"}) {
        Tiling t = on(sheet, false);
        t.correction = {1.1, 1.1};
        for (const auto& p : read_pages(tiled_pdf({test::sample()}, t))) {
            for (const auto& l : p.lines) {
                if (l.in_drawing) continue;
                for (const auto& q : {l.a, l.b}) {
                    EXPECT_GE(q.x, t.margin_mm - 0.01);
                    EXPECT_LE(q.x, p.width_mm - t.margin_mm + 0.01);
                    EXPECT_GE(q.y, t.margin_mm - 0.01);
                    EXPECT_LE(q.y, p.height_mm - t.margin_mm + 0.01);
                }
            }
        }
    }
}

TEST(Correction, that_is_no_printers_error_is_refused) {
    Tiling t = on("A4", false);
    t.correction = Correction::measured(80.0, 100.0);
    EXPECT_THROW(tiled_pdf({test::sample()}, t), std::invalid_argument);
    EXPECT_THROW(roll_pdf({test::sample()}, t.correction), std::invalid_argument);
}

// ISO 216 and ANSI/ASME Y14.1 (sizes A and B), as in data/paper.csv.
TEST(Sheet, sizes_are_those_of_the_standards) {
    EXPECT_EQ(find_sheet("A4"), (SheetSize{"A4", 210.0, 297.0}));
    EXPECT_EQ(find_sheet("a3"), (SheetSize{"A3", 297.0, 420.0}));
    EXPECT_NEAR(find_sheet("Letter")->width_mm, 215.9, 1e-9);
    EXPECT_NEAR(find_sheet("letter")->height_mm, 279.4, 1e-9);
    EXPECT_NEAR(find_sheet("Tabloid")->width_mm, 279.4, 1e-9);
    EXPECT_NEAR(find_sheet("TABLOID")->height_mm, 431.8, 1e-9);
    EXPECT_FALSE(find_sheet("A44"));
    EXPECT_FALSE(find_sheet(""));
}

}  // namespace
}  // namespace seamwright::paper
