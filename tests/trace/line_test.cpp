#include "trace/line.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "painted.h"

namespace seamwright::trace {
namespace {

using namespace testing;
using ::testing::HasSubstr;

constexpr double noise = 2.0;

FoundLine found(const Picture& picture, const LineSettings& settings = {}) {
    auto result = find_line(picture, settings);
    if (const auto* problem = std::get_if<TraceProblem>(&result)) {
        ADD_FAILURE() << problem->reason << ' ' << problem->remedy;
        return {};
    }
    return std::get<FoundLine>(std::move(result));
}

std::string refusal(const Picture& picture, const LineSettings& settings = {}) {
    auto result = find_line(picture, settings);
    if (std::holds_alternative<FoundLine>(result)) return "was not refused";
    EXPECT_FALSE(std::get<TraceProblem>(result).remedy.empty());
    return std::get<TraceProblem>(result).reason;
}

double middle_of(std::vector<double> values) {
    if (values.empty()) return HUGE_VAL;
    std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2), values.end());
    return values[values.size() / 2];
}

double worst(const std::vector<double>& values) {
    double most = values.empty() ? HUGE_VAL : 0.0;
    for (const double v : values) most = std::max(most, std::abs(v));
    return most;
}

/// Errors in units of the scatter stated for them: about 1 where it is stated rightly.
double in_scatters(const FoundLine& line, const Course& course) {
    std::vector<double> parts = offsets(line.points_px, course);
    for (std::size_t i = 0; i < parts.size(); ++i) parts[i] /= line.scatter_px[i];
    return rms(parts);
}

/// The line is this course from `from` to `to`, wherever it begins.
void expect_course(const FoundLine& line, const Course& course, double from, double to, double within_px,
                   double ends_within_px = 4.0) {
    ASSERT_GT(line.points_px.size(), 100U);
    ASSERT_EQ(line.points_px.size(), line.scatter_px.size());
    EXPECT_FALSE(line.closed);
    EXPECT_LT(rms(offsets(line.points_px, course)), within_px);
    const double a = line.points_px.front().x, b = line.points_px.back().x;
    EXPECT_NEAR(std::min(a, b), from, ends_within_px);
    EXPECT_NEAR(std::max(a, b), to, ends_within_px);
    for (std::size_t i = 1; i < line.points_px.size(); ++i) {
        EXPECT_GT((line.points_px[i].x - line.points_px[i - 1].x) * (b - a), 0.0) << "at " << line.points_px[i].x;
    }
}

TEST(FindLine, PencilLineInAFullSizePicture) {
    const Course course = wave(1500, 250, 1900);
    Painting painting(4000, 3000);
    painting.line(course, 1.2, 0.5, 0.9, 200, 3800);
    painting.shade(0.3);
    const FoundLine line = found(painting.picture(noise, 1));
    expect_course(line, course, 200, 3800, 0.1);
    EXPECT_LT(std::abs(mean(offsets(line.points_px, course))), 0.01);
    EXPECT_LT(worst(offsets(line.points_px, course)), 0.4);
    EXPECT_NEAR(in_scatters(line, course), 1.0, 0.2);
    EXPECT_TRUE(line.gaps_px.empty());
    EXPECT_TRUE(line.remarks.empty());
    ASSERT_EQ(line.free_ends_px.size(), 2U);
    // A bar of 1.2 px under a blur of 0.9 px and the pixel: √(1.2² + 1 + 12 · 0.9²)/√12 = 1.05 px σ, 2.4 px wide.
    EXPECT_NEAR(line.width_px, 2.4, 0.2);
    // What is taken away in the middle of the bar, 210/255 · 0.5 · erf(0.6/(0.95 √2)), less the shade.
    EXPECT_NEAR(line.contrast, 0.165, 0.025);
}

TEST(FindLine, InkLineAmongSpecks) {
    const Course course = wave(750, 120, 1300);
    Painting painting(2000, 1500);
    painting.line(course, 3.0, 0.7, 0.9, 150, 1850);
    painting.specks(800, 4);
    const FoundLine line = found(painting.picture(noise, 1));
    expect_course(line, course, 150, 1850, 0.06, 5.0);
    EXPECT_LT(worst(offsets(line.points_px, course)), 1.2);
}

TEST(FindLine, WideLineOfAScan) {
    const Course course = wave(600, 100, 900);
    Painting painting(1600, 1200);
    painting.line(course, 17, 0.5, 2.5, 100, 1500);
    const FoundLine line = found(painting.picture(2 * noise, 1));
    expect_course(line, course, 100, 1500, 0.2, 16.0);
    EXPECT_NEAR(line.width_px, 17.0, 0.3);
    EXPECT_NEAR(line.blur_px, 2.5, 0.2);
    EXPECT_NEAR(in_scatters(line, course), 1.0, 0.25);
}

TEST(FindLine, EdgeOfATemplate) {
    const Course course = wave(700, 130, 1500);
    Painting painting(2000, 1500);
    painting.edge(course, 0.5, 1.0);
    painting.shade(0.3);
    LineSettings settings;
    settings.kind = LineKind::edge;
    EXPECT_THAT(refusal(painting.picture(noise, 1), settings), HasSubstr("runs out of the picture"));
    settings.may_leave = true;
    const FoundLine line = found(painting.picture(noise, 1), settings);
    expect_course(line, course, 0, 2000, 0.08, 8.0);
    EXPECT_LT(std::abs(mean(offsets(line.points_px, course))), 0.01);
    EXPECT_NEAR(in_scatters(line, course), 1.0, 0.2);
}

TEST(FindLine, LawTurnedAndMirroredPicturesGiveTheSameLine) {
    const Course course = wave(500, 90, 900);
    Painting painting(1300, 1000);
    painting.line(course, 1.5, 0.5, 0.9, 120, 1180);
    const Picture picture = painting.picture(noise, 3);
    const FoundLine straight_on = found(picture);
    expect_course(straight_on, course, 120, 1180, 0.1);
    Picture turned = picture;  // a quarter turn: (x, y) goes to (height − y, x)
    std::swap(turned.width, turned.height);
    Picture mirrored = picture;
    for (int y = 0; y < picture.height; ++y) {
        for (int x = 0; x < picture.width; ++x) {
            const auto at = [](const Picture& p, int u, int v) {
                return static_cast<std::size_t>(v) * static_cast<std::size_t>(p.width) + static_cast<std::size_t>(u);
            };
            turned.grey[at(turned, picture.height - 1 - y, x)] = picture.at(x, y);
            mirrored.grey[at(mirrored, picture.width - 1 - x, y)] = picture.at(x, y);
        }
    }
    FoundLine back = found(turned);
    for (auto& p : back.points_px) p = {p.y, picture.height - p.x};
    expect_course(back, course, 120, 1180, 0.1);
    FoundLine mirror = found(mirrored);
    for (auto& p : mirror.points_px) p.x = picture.width - p.x;
    expect_course(mirror, course, 120, 1180, 0.1);
}

TEST(FindLine, ABumpComesBackWithinAFifth) {
    // 0.3 mm high and 40 mm wide at 0.6 mm a pixel.
    const double height = 0.5, width = 67.0;
    const Course plain = wave(500, 60, 1500), course = bumped(plain, 800, width, height);
    Painting painting(1600, 1000);
    painting.line(course, 1.2, 0.5, 0.9, 100, 1500);
    const FoundLine line = found(painting.picture(noise, 7));
    expect_course(line, course, 100, 1500, 0.08);
    const auto off = offsets(line.points_px, plain);
    // By least squares over the bump's own shape and a base beside it.
    double aa = 0, a1 = 0, n = 0, ay = 0, y1 = 0;
    for (std::size_t i = 0; i < off.size(); ++i) {
        const double x = line.points_px[i].x - 800;
        if (std::abs(x) > width) continue;
        const double shape = std::abs(x) < 0.5 * width ? 0.5 * (1 + std::cos(2 * std::numbers::pi * x / width)) : 0.0;
        aa += shape * shape;
        a1 += shape;
        n += 1;
        ay += shape * off[i];
        y1 += off[i];
    }
    const double back = (ay * n - a1 * y1) / (aa * n - a1 * a1);
    EXPECT_NEAR(back, height, 0.2 * height);
}

TEST(FindLine, ARingIsClosed) {
    Painting painting(1300, 1000);
    painting.ring(650, 500, 330, 2, 0.5, 0.9);
    const FoundLine ring = found(painting.picture(noise, 2));
    EXPECT_TRUE(ring.closed);
    ASSERT_NEAR(static_cast<double>(ring.points_px.size()), 2 * std::numbers::pi * 330, 60.0);
    for (const auto& p : ring.points_px) EXPECT_NEAR(std::hypot(p.x - 650, p.y - 500), 330, 0.5);
    EXPECT_LT(distance(ring.points_px.front(), ring.points_px.back()), 4.0);
}

TEST(FindLine, GoesStraightOnAtCrossings) {
    const Course course = wave(500, 80, 1400);
    Painting painting(1600, 1000);
    painting.line(course, 2.0, 0.5, 0.9, 100, 1500);
    // Steep, at 45 degrees, and at 20; and one that is wider than the line.
    painting.line(straight(-1100, 4.0), 2.0, 0.5, 0.9, 300, 520);
    painting.line(straight(-300, 1.0), 2.0, 0.5, 0.9, 600, 1100);
    painting.line(straight(100, 0.36), 2.0, 0.5, 0.9, 850, 1490);
    painting.line(straight(1500, -4.0), 9.0, 0.6, 0.9, 150, 350);
    const FoundLine line = found(painting.picture(noise, 2));
    expect_course(line, course, 100, 1500, 0.25);
    EXPECT_GE(line.free_ends_px.size(), 8U);
}

TEST(FindLine, BridgesSmallGapsAndSaysWhere) {
    const Course course = wave(500, 80, 1400);
    Painting painting(1600, 1000);
    painting.line(course, 2.0, 0.5, 0.9, 100, 700);
    painting.line(course, 2.0, 0.5, 0.9, 712, 1500);
    const FoundLine line = found(painting.picture(noise, 2));
    expect_course(line, course, 100, 1500, 0.1);
    ASSERT_EQ(line.gaps_px.size(), 1U);
    EXPECT_NEAR(line.gaps_px[0].x, 706, 3);
    EXPECT_NEAR(line.gaps_px[0].y, course.y(706), 3);
}

TEST(FindLine, ChosenEndsMustBeJoined) {
    const Course course = wave(500, 80, 1400);
    Painting painting(1600, 1000);
    painting.line(course, 2.0, 0.5, 0.9, 100, 700);
    painting.line(course, 2.0, 0.5, 0.9, 800, 1500);
    LineSettings settings;
    settings.start_px = Point{105, course.y(105)};
    settings.end_px = Point{1490, course.y(1490)};
    const Picture picture = painting.picture(noise, 2);
    const auto result = find_line(picture, settings);
    ASSERT_TRUE(std::holds_alternative<TraceProblem>(result));
    const auto& problem = std::get<TraceProblem>(result);
    EXPECT_THAT(problem.reason, HasSubstr("not joined"));
    ASSERT_TRUE(problem.at_px);
    EXPECT_NEAR(problem.at_px->x, 700, 8);
    // Without chosen ends it is the longer part, and the other is told.
    const FoundLine line = found(picture);
    expect_course(line, course, 800, 1500, 0.1);
    EXPECT_FALSE(line.remarks.empty());
    // A place where nothing is.
    settings.end_px = Point{1490, 900};
    EXPECT_THAT(refusal(picture, settings), HasSubstr("no line at a place"));
}

TEST(FindLine, FollowsTheMakersPlaces) {
    // A fork: two lines run together for a while.
    const Course upper{[](double x) { return 500 - 0.0004 * (x > 600 ? (x - 600) * (x - 600) : 0); },
                       [](double x) { return -0.0008 * (x > 600 ? x - 600 : 0); }};
    const Course lower{[](double x) { return 500 + 0.0004 * (x > 700 ? (x - 700) * (x - 700) : 0); },
                       [](double x) { return 0.0008 * (x > 700 ? x - 700 : 0); }};
    Painting painting(1600, 1000);
    painting.line(upper, 2.0, 0.5, 0.9, 100, 1400);
    painting.line(lower, 2.0, 0.5, 0.9, 700, 1400);
    const Picture picture = painting.picture(noise, 2);
    LineSettings settings;
    settings.start_px = Point{1390, lower.y(1390) + 8};
    settings.end_px = Point{150, 493};
    const FoundLine line = found(picture, settings);
    ASSERT_GT(line.points_px.size(), 100U);
    // Where the two run into each other the line is between them.
    EXPECT_LT(rms(offsets(line.points_px, lower)), 1.0);
    EXPECT_NEAR(line.points_px.front().x, 1390, 12);
    EXPECT_NEAR(line.points_px.back().x, 150, 4);
    EXPECT_GT(line.points_px.front().x, line.points_px.back().x) << "from the chosen start to the chosen end";
    settings.start_px = Point{1390, upper.y(1390)};
    expect_course(found(picture, settings), upper, 150, 1390, 0.9, 6.0);
    // By one place in between alone.
    LineSettings through;
    through.through_px = {Point{1300, lower.y(1300)}};
    const FoundLine passing = found(picture, through);
    EXPECT_LT(worst(offsets({passing.points_px.begin(), passing.points_px.begin() + 1}, lower)), 8.0);
}

TEST(FindLine, OneChosenEndCutsThere) {
    const Course course = wave(500, 80, 1400);
    Painting painting(1600, 1000);
    painting.line(course, 2.0, 0.5, 0.9, 100, 1500);
    const Picture picture = painting.picture(noise, 2);
    LineSettings settings;
    settings.start_px = Point{400, course.y(400)};
    const FoundLine from = found(picture, settings);
    expect_course(from, course, 400, 1500, 0.1);
    EXPECT_LT(from.points_px.front().x, from.points_px.back().x);
    settings = {};
    settings.end_px = Point{400, course.y(400)};
    const FoundLine to = found(picture, settings);
    expect_course(to, course, 400, 1500, 0.1);
    EXPECT_GT(to.points_px.front().x, to.points_px.back().x);
}

TEST(FindLine, PassesOverWhatIsMasked) {
    const Course course = wave(300, 60, 1400);
    Painting painting(1600, 1000);
    painting.line(course, 1.5, 0.4, 0.9, 100, 1500);
    // Bold lines on a strip of paper, longer and darker than the drawn one.
    for (const double y : {700.0, 760.0, 820.0}) painting.line(straight(y, 0), 4, 0.9, 0.9, 20, 1580);
    LineSettings settings;
    settings.masked_px = {{{5, 660}, {1595, 660}, {1595, 860}, {5, 860}}};
    const FoundLine line = found(painting.picture(noise, 2), settings);
    expect_course(line, course, 100, 1500, 0.1);
    EXPECT_TRUE(line.remarks.empty());
    // A strip that lies on the line: the rest of it is taken, with a remark.
    settings.masked_px.push_back({{900, 100}, {1000, 100}, {1000, 500}, {900, 500}});
    const FoundLine part = found(painting.picture(noise, 2), settings);
    expect_course(part, course, 100, 900, 0.1);
    ASSERT_FALSE(part.remarks.empty());
    EXPECT_THAT(part.remarks.back().reason, HasSubstr("under a strip"));
}

TEST(FindLine, PencilOnFiguredWood) {
    const Course course = wave(500, 150, 1500);
    Painting painting(1600, 1000);
    painting.line(course, 1.5, 0.5, 0.9, 100, 1500);
    painting.figure(0.08, 5);
    const Picture picture = painting.picture(noise, 2);
    expect_course(found(picture), course, 100, 1500, 0.25);
    // Figure nearly as strong as the line: then both ends are chosen.
    Painting strong(1600, 1000);
    strong.line(course, 1.5, 0.4, 0.9, 100, 1500);
    strong.figure(0.2, 5);
    LineSettings settings;
    settings.start_px = Point{105, course.y(105)};
    settings.end_px = Point{1495, course.y(1495)};
    expect_course(found(strong.picture(noise, 2), settings), course, 100, 1500, 0.6, 8.0);
}

TEST(FindLine, NoLineInNothing) {
    Painting wood(1600, 1000);
    wood.figure(0.15, 5);
    EXPECT_THAT(refusal(wood.picture(noise, 2)), HasSubstr("stand out alike"));
    LineSettings edge;
    edge.kind = LineKind::edge;
    EXPECT_THAT(refusal(wood.picture(noise, 2), edge), HasSubstr("stand out alike"));
    Painting plain(1600, 1000);
    EXPECT_THAT(refusal(plain.picture(8.0, 2)), HasSubstr("No line was found"));
    EXPECT_THAT(refusal(plain.picture(8.0, 2), edge), HasSubstr("No edge was found"));
    EXPECT_THAT(refusal(plain.picture(0.0, 2)), HasSubstr("one even grey"));
    Painting dark(1600, 1000, 0.6);
    dark.line(wave(500, 150, 1500), 1.5, 0.5, 0.9, 100, 1500);
    EXPECT_THAT(refusal(dark.picture(noise, 2)), HasSubstr("too dark"));
    EXPECT_THAT(refusal(Painting(60, 40).picture(noise, 2)), HasSubstr("60 × 40"));
}

TEST(FindLine, FaintBlurredShort) {
    const Course course = wave(500, 80, 900);
    const auto painted = [&](double width, double part, double blur, double to, double scatter) {
        Painting painting(1600, 1000);
        painting.line(course, width, part, blur, 100, to);
        return painting.picture(scatter, 2);
    };
    EXPECT_THAT(refusal(painted(1.2, 0.04, 0.9, 1500, 3.0)), HasSubstr("too faint"));
    EXPECT_THAT(refusal(painted(2.0, 0.8, 9.0, 1500, 3.0)), HasSubstr("too blurred"));
    EXPECT_THAT(refusal(painted(2.0, 0.5, 0.9, 135, 2.0)), HasSubstr("No line was found"));
    // Faint, but still to be measured: and then it is said how well.
    const FoundLine faint = found(painted(1.2, 0.2, 0.9, 1500, 3.0));
    expect_course(faint, course, 100, 1500, 0.4);
    EXPECT_NEAR(in_scatters(faint, course), 1.0, 0.25);
    EXPECT_GT(middle_of(faint.scatter_px), 0.15);
}

TEST(FindLine, ALineThatLeavesThePicture) {
    const Course course = wave(500, 80, 900);
    Painting painting(1600, 1000);
    painting.line(course, 2.0, 0.5, 0.9, -10, 1500);
    const Picture picture = painting.picture(noise, 2);
    EXPECT_THAT(refusal(picture), HasSubstr("runs out of the picture"));
    LineSettings settings;
    settings.start_px = Point{60, course.y(60)};
    expect_course(found(picture, settings), course, 60, 1500, 0.1);
}

}  // namespace
}  // namespace seamwright::trace
