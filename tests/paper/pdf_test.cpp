#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "geometry/path.h"
#include "paper/drawing.h"
#include "pdf_lines.h"
#include "sample.h"

namespace seamwright::paper {
namespace {

struct Ran {
    int code = 0;
    std::string text;
};

Ran run(const std::string& command) {
    Ran r;
    FILE* pipe = popen((command + " 2>&1").c_str(), "r");
    std::array<char, 4096> buffer;
    while (const std::size_t n = fread(buffer.data(), 1, buffer.size(), pipe)) r.text.append(buffer.data(), n);
    r.code = pclose(pipe);
    return r;
}

class PdfFile {
  public:
    explicit PdfFile(const std::string& bytes)
        : path_(std::filesystem::temp_directory_path() /
                ("seamwright-paper-" + std::to_string(::getpid()) + "-" + std::to_string(count_++) + ".pdf")) {
        std::ofstream(path_, std::ios::binary) << bytes;
    }
    ~PdfFile() { std::filesystem::remove(path_); }
    PdfFile(const PdfFile&) = delete;
    PdfFile& operator=(const PdfFile&) = delete;
    std::string name() const { return path_.string(); }

  private:
    static inline int count_ = 0;
    std::filesystem::path path_;
};

Tiling a4() {
    Tiling t;
    t.sheet = find_sheet("A4").value();
    return t;
}

Drawing of_length(double mm) {
    Drawing d;
    d.title = "Long";
    d.paths.push_back(test::stroked(test::straight_path({0.0, 0.0}, {mm, 0.0})));
    d.paths.push_back(test::stroked(test::straight_path({0.0, 0.0}, {0.0, 300.0})));
    return d;
}

TEST(Pdf, is_the_same_on_every_run_and_carries_no_date) {
    const std::string tiled = tiled_pdf({test::sample(), test::sample("Second")}, a4());
    EXPECT_EQ(tiled, tiled_pdf({test::sample(), test::sample("Second")}, a4()));
    const std::string roll = roll_pdf({test::sample()}, {});
    EXPECT_EQ(roll, roll_pdf({test::sample()}, {}));
    EXPECT_EQ(tiled.find("Date"), std::string::npos);
    EXPECT_EQ(roll.find("Date"), std::string::npos);
    // And different for another drawing, so that the comparison above can fail.
    EXPECT_NE(roll, roll_pdf({test::sample("Other")}, {}));
}

TEST(Pdf, is_sound_by_an_outside_checker) {
    for (const auto& bytes : {tiled_pdf({test::sample(), test::sample("Zweite Fuge, ½ \"größer\"")}, a4()),
                              roll_pdf({test::sample(), of_length(6000.0)}, Correction::measured(99.5, 100.5))}) {
        const PdfFile file(bytes);
        const Ran check = run("qpdf --check " + file.name());
        EXPECT_EQ(check.code, 0) << check.text;
        EXPECT_EQ(check.text.find("WARNING"), std::string::npos) << check.text;
        const Ran info = run("pdfinfo " + file.name());
        EXPECT_EQ(info.code, 0) << info.text;
        const Ran fonts = run("pdffonts " + file.name());
        EXPECT_EQ(fonts.code, 0) << fonts.text;
        EXPECT_NE(fonts.text.find("DejaVuSans"), std::string::npos) << fonts.text;
    }
}

TEST(Pdf, has_a_bookmark_for_each_drawing_and_a_label_for_each_sheet) {
    const std::string bytes = tiled_pdf({test::sample("First"), test::sample("Second")}, a4());
    const test::PdfGuide guide = test::read_guide(bytes);
    ASSERT_EQ(guide.bookmarks.size(), 2U);
    EXPECT_EQ(guide.bookmarks[0].title, "First");
    EXPECT_EQ(guide.bookmarks[0].page, 0U);
    EXPECT_EQ(guide.bookmarks[1].title, "Second");
    EXPECT_LT(guide.bookmarks[1].page, guide.pages);
    ASSERT_EQ(guide.labels.size(), guide.pages);
    EXPECT_EQ(guide.labels[0], "Key");
}

// PDF 32000-1:2008, annex C: a page is at most 14,400 units long; table 30: UserUnit, in 1/72 in.
TEST(Roll, uses_a_user_unit_beyond_14400_points) {
    for (const double mm : {1000.0, 5000.0, 6000.0, 12000.0}) {
        SCOPED_TRACE(mm);
        const std::string bytes = roll_pdf({of_length(mm)}, {});
        const auto pages = test::read_pages(bytes);
        ASSERT_EQ(pages.size(), 1U);
        EXPECT_LE(pages[0].media_width_pt, 14400.0);
        EXPECT_EQ(pages[0].user_unit, mm < 5010.0 ? 1 : mm < 10000.0 ? 2 : 3);
        const auto longest = std::ranges::max_element(pages[0].lines, {}, &test::PdfLine::length);
        EXPECT_NEAR(longest->length(), mm, 0.001);
        const PdfFile file(bytes);
        const Ran said = run("pdftotext " + file.name() + " -");
        EXPECT_EQ(said.text.find("UserUnit") != std::string::npos, mm > 5010.0) << said.text;
    }
}

TEST(Pdf, arcs_stay_within_half_a_micrometre) {
    Drawing d;
    d.title = "Arcs";
    struct Round {
        Point centre;
        double radius;
    };
    const Round rounds[] = {{{0.0, 0.0}, 30.0}, {{100.0, 50.0}, 300.0}, {{-500.0, 200.0}, 2500.0}};
    for (const auto& r : rounds) d.paths.push_back(test::stroked(geometry::circle(r.centre, r.radius)));
    const auto pages = test::read_pages(roll_pdf({d}, {}));
    const auto& curves = pages[0].curves;
    ASSERT_GT(curves.size(), 12U);
    // The page is the drawing moved by a fixed amount: the first circle starts at (30, 0).
    const double dx = curves[0].p[0].x - 30.0, dy = curves[0].p[0].y;
    double worst = 0.0;
    for (const auto& c : curves) {
        double best = 1e300;
        for (const auto& r : rounds) {
            double off = 0.0;
            for (int i = 0; i <= 64; ++i) {
                const double t = i / 64.0, u = 1.0 - t;
                const double b[4] = {u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t};
                double x = -dx, y = -dy;
                for (std::size_t k = 0; k < 4; ++k) {
                    x += b[k] * c.p[k].x;
                    y += b[k] * c.p[k].y;
                }
                off = std::max(off, std::abs(std::hypot(x - r.centre.x, y - r.centre.y) - r.radius));
            }
            best = std::min(best, off);
        }
        worst = std::max(worst, best);
    }
    RecordProperty("worst_um", std::to_string(1000.0 * worst));
    EXPECT_LT(worst, 0.0005);
    EXPECT_GT(worst, 0.0);
}

TEST(Pdf, nothing_to_draw_is_refused) {
    EXPECT_THROW(tiled_pdf({}, a4()), std::invalid_argument);
    EXPECT_THROW(roll_pdf({}, {}), std::invalid_argument);
    EXPECT_THROW(roll_pdf({Drawing{}}, {}), std::invalid_argument);
    EXPECT_THROW(sheet_pdf({test::sample()}), std::invalid_argument);
}

TEST(Pdf, is_no_larger_for_many_sheets_than_the_drawing_itself) {
    Drawing d = test::sample();
    for (int i = 0; i < 200; ++i) d.paths.push_back(test::stroked(test::bends({i * 1.0, 0.0})));
    const std::string tiled = tiled_pdf({d}, a4());
    const std::string roll = roll_pdf({d}, {});
    ASSERT_GT(test::read_pages(tiled).size(), 15U);
    EXPECT_LT(tiled.size(), roll.size() + 200000U);
}

}  // namespace
}  // namespace seamwright::paper
