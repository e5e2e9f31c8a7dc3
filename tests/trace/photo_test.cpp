// Photographs by the tests' own camera, whole: what comes out against the truth, and what is refused. Two hundred of
// them are for `photo_seeds`; here a few.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "against_truth.h"
#include "camera.h"
#include "trace/trace.h"

namespace seamwright::trace {
namespace {

using ::testing::HasSubstr;

UsualSettings small() {
    UsualSettings usual;
    usual.length_mm = 1000.0;
    usual.strips = 6;
    usual.width = 2000;
    usual.height = 1500;
    return usual;
}
std::variant<Trace, TraceProblem> traced(const UsualCase& c, PhotoSettings settings = {}) {
    settings.view.taped = c.taped;
    return trace_photo(jpeg_file(photograph(c.bench, c.camera, c.light), 92), settings);
}
std::string refusal(const std::variant<Trace, TraceProblem>& answer) {
    if (const auto* why = std::get_if<TraceProblem>(&answer)) {
        EXPECT_FALSE(why->remedy.empty());
        return why->reason;
    }
    return "it was traced";
}
/// A line may come out, but never another one than was drawn, nor one that is worse than it says.
void expect_no_wrong_good(const std::variant<Trace, TraceProblem>& answer, const UsualCase& c) {
    const auto* trace = std::get_if<Trace>(&answer);
    if (trace == nullptr) return;
    const auto errors = testing::errors_of(trace->points, c);
    EXPECT_LE(errors.overall_mm, 1.5 * trace->overall_mm);
}

TEST(Photo, ALineOfFullSizeComesBackWithinWhatIsStated) {
    for (const std::uint64_t seed : {4U, 30U}) {
        const UsualCase c = usual_case(seed);
        const auto answer = traced(c);
        ASSERT_TRUE(std::holds_alternative<Trace>(answer)) << refusal(answer);
        const auto& trace = std::get<Trace>(answer);
        const auto errors = testing::errors_of(trace.points, c);
        EXPECT_LE(errors.near_mm, trace.near_mm);
        EXPECT_LE(errors.near_worst_mm, 0.3);
        EXPECT_LE(errors.overall_mm, std::min(1.0, trace.overall_mm));
        EXPECT_NEAR(trace.residual_px, 0.03, 0.04);
        EXPECT_EQ(trace.pictures.at(0).width_px, 4000);
    }
}

TEST(Photo, ATemplatesEdgeEndsAtItsCorners) {
    for (const std::uint64_t seed : {5U, 135U}) {
        UsualSettings usual;
        usual.edge = true;
        const UsualCase c = usual_case(seed, usual);
        PhotoSettings settings;
        settings.line.kind = LineKind::edge;
        settings.line.through_px = {c.camera.to_px(c.curve[c.curve.size() / 3])};
        const auto answer = traced(c, settings);
        ASSERT_TRUE(std::holds_alternative<Trace>(answer)) << refusal(answer);
        const auto& trace = std::get<Trace>(answer);
        const auto errors = testing::errors_of(trace.points, c);
        EXPECT_LE(errors.overall_mm, std::min(1.0, trace.overall_mm)) << seed;
        double length = 0.0;
        for (std::size_t i = 1; i < c.curve.size(); ++i) length += distance(c.curve[i - 1], c.curve[i]);
        EXPECT_NEAR(trace.length_mm, length, 0.01 * length);
    }
}

TEST(Photo, TheMakersEndsAreKept) {
    const UsualCase c = usual_case(4, small());
    PhotoSettings settings;
    settings.line.start_px = c.camera.to_px(c.curve[c.curve.size() / 4]) + Point{3.0, -4.0};
    settings.line.end_px = c.camera.to_px(c.curve[3 * c.curve.size() / 4]);
    const auto answer = traced(c, settings);
    ASSERT_TRUE(std::holds_alternative<Trace>(answer)) << refusal(answer);
    EXPECT_NEAR(std::get<Trace>(answer).length_mm, 0.5 * 1000.0, 25.0);
}

TEST(Photo, ATapeThatContradictsTheMarksIsTold) {
    UsualCase c = usual_case(4, small());
    c.taped[0].apart_mm *= 1.1;
    const std::string why = refusal(traced(c));
    EXPECT_THAT(why, HasSubstr("measured"));
    EXPECT_THAT(why, HasSubstr("by the picture"));
    // A mark that is not in the picture says nothing, and does no harm.
    c.taped = {{0, 500, 700.0, 0.5}};
    EXPECT_TRUE(std::holds_alternative<Trace>(traced(c)));
}

TEST(Photo, BlurredDarkAndEmptyPicturesAreRefused) {
    UsualCase c = usual_case(4, small());
    UsualCase blurred = c;
    blurred.light.blur_px = 7.0;
    EXPECT_NE(refusal(traced(blurred)), "it was traced");
    UsualCase dark = c;
    dark.light.exposure = 0.004;
    EXPECT_NE(refusal(traced(dark)), "it was traced");
    UsualCase nothing = c;
    nothing.bench.strips.clear();
    nothing.bench.curves.clear();
    nothing.bench.clutter.clear();
    nothing.taped.clear();
    EXPECT_THAT(refusal(traced(nothing)), HasSubstr("mark"));
    UsualCase no_line = c;
    no_line.bench.curves.clear();
    no_line.bench.clutter.clear();
    for (const double width : {9.0, 14.0, 22.0}) {
        Clutter rule;
        rule.at = {0.0, 200.0};
        rule.length_mm = 400.0;
        rule.width_mm = width;
        rule.heading_rad = 0.1;
        no_line.bench.clutter = {rule};
        EXPECT_NE(refusal(traced(no_line)), "it was traced") << "a dark rule is no drawn line";
    }
}

TEST(Photo, MarksHalfCoveredWrongOrOutOfPlaneNeverMakeAWrongGood) {
    const UsualCase c = usual_case(4, small());
    UsualCase covered = c;
    for (std::size_t i = 0; i < covered.bench.strips.size(); ++i) {
        Clutter hand;
        hand.at = covered.bench.strips[i].at + Point{20.0, 20.0};
        hand.length_mm = 120.0;
        hand.width_mm = 60.0;
        hand.reflects = 0.3;
        covered.bench.clutter.push_back(hand);
    }
    const auto half = traced(covered);
    expect_no_wrong_good(half, covered);

    UsualCase wrong = c;
    for (LaidStrip& strip : wrong.bench.strips) {
        PrintedSquare square;
        square.at = strip.at;
        square.across = 10;
        square.black.assign(100, false);
        for (std::size_t k = 0; k < 100; ++k)
            square.black[k] = k % 10 == 0 || k % 10 == 9 || k < 10 || k >= 90 || k % 3 == 0;
        wrong.bench.squares.push_back(square);
    }
    wrong.bench.strips.clear();
    wrong.taped.clear();
    EXPECT_THAT(refusal(traced(wrong)), HasSubstr("mark"));

    // Two of eighteen stand up: they are left out, and said to be.
    UsualCase curled = c;
    curled.bench.lifted = {{4, 25.0, 0.2}, {10, 18.0, -0.2}};
    curled.taped.clear();
    const auto some = traced(curled);
    ASSERT_TRUE(std::holds_alternative<Trace>(some)) << refusal(some);
    expect_no_wrong_good(some, curled);
    std::string remarks;
    for (const auto& r : std::get<Trace>(some).remarks) remarks += r.reason + '\n';
    EXPECT_THAT(remarks, HasSubstr("plane"));
    // All of one side stand up, each by something else.
    UsualCase crooked = c;
    for (int mark = 0; mark < 9; ++mark) crooked.bench.lifted.push_back({mark, 10.0 + 7.0 * mark, 0.1});
    crooked.taped.clear();
    expect_no_wrong_good(traced(crooked), crooked);
}

TEST(Photo, AMirroredPictureIsRefused) {
    const UsualCase c = usual_case(4, small());
    const auto file = jpeg_file(mirrored(photograph(c.bench, c.camera, c.light)), 92);
    EXPECT_THAT(refusal(trace_photo(file, {})), HasSubstr("turned over"));
}

TEST(Photo, MarksOnOneSideInARowAreNotEnough) {
    UsualCase c = usual_case(4, small());
    c.bench.strips.resize(1);
    c.taped.clear();
    EXPECT_THAT(refusal(traced(c)), HasSubstr("mark"));
}

// ---- scans: a camera very far away sees as a scanner does ----

struct Scanner {
    double per_inch = 150.0;
    Camera over(Point middle, double width_mm, double height_mm) const {
        Camera cam;
        const double per_mm = per_inch / 25.4;
        cam.width = static_cast<int>(width_mm * per_mm);
        cam.height = static_cast<int>(height_mm * per_mm);
        cam.away_mm = 1e6;
        cam.focal_px = per_mm * cam.away_mm;
        cam.looks_at = middle;
        return cam;
    }
};
Bench bench_with_wave(double length) {
    Bench bench;
    bench.reflects = 0.85;
    DrawnCurve line;
    for (double x = 0.0; x <= length; x += 1.0)
        line.points.push_back({x, 12.0 * std::sin(geometry::two_pi * x / 420.0)});
    bench.curves.push_back(line);
    return bench;
}
Light lamp() {
    Light light;
    light.blur_px = 0.8;
    light.noise = 1.0;
    light.shading = 0.02;
    return light;
}
double worst_of(const Trace& trace, const std::vector<Point>& truth, Point move) {
    return testing::errors_of(trace.points, truth, move, 0.0).overall_mm;
}

TEST(Scan, OneSheetNeedsNoMarks) {
    Bench bench = bench_with_wave(180.0);
    const Scanner scanner;
    const Camera cam = scanner.over({90.0, 0.0}, 210.0, 120.0);
    const auto file = png_file(photograph(bench, cam, lamp()));
    ScanSettings settings;
    settings.per_inch = scanner.per_inch;
    const std::vector<std::span<const std::uint8_t>> files{file};
    const auto answer = trace_scans(files, settings);
    ASSERT_TRUE(std::holds_alternative<Trace>(answer)) << refusal(answer);
    const auto& trace = std::get<Trace>(answer);
    EXPECT_NEAR(trace.mm_per_px, 25.4 / 150.0, 1e-6);
    EXPECT_LT(worst_of(trace, bench.curves[0].points, {-15.0, -60.0}), 0.03);
    // Without a resolution it is asked for; with a wrong one nothing tells.
    EXPECT_NE(refusal(trace_scans(files, {})), "it was traced");
}

TEST(Scan, StripsAreJoinedByTheMarksTheyShare) {
    Bench bench = bench_with_wave(560.0);
    for (int i = 0; i < 2; ++i) bench.strips.push_back({i, {150.0 + 275.0 * i, 70.0}, 0.02, 0.0});
    const Scanner scanner;
    std::vector<std::vector<std::uint8_t>> pictures;
    for (const double middle : {165.0, 300.0, 465.0})
        pictures.push_back(png_file(photograph(bench, scanner.over({middle, 30.0}, 390.0, 210.0), lamp())));
    const std::vector<std::span<const std::uint8_t>> files(pictures.begin(), pictures.end());
    ScanSettings settings;
    settings.per_inch = scanner.per_inch;
    const auto answer = trace_scans(files, settings);
    ASSERT_TRUE(std::holds_alternative<Trace>(answer)) << refusal(answer);
    const auto& trace = std::get<Trace>(answer);
    EXPECT_EQ(trace.pictures.size(), 3u);
    EXPECT_NEAR(trace.length_mm, 566.0, 12.0);
    EXPECT_LT(worst_of(trace, bench.curves[0].points, {-30.0, -75.0}), 0.1);
    // The wrong resolution: the marks are of another size than it tells.
    settings.per_inch = 200.0;
    EXPECT_THAT(refusal(trace_scans(files, settings)), HasSubstr("mark"));
    // Two that share no marks.
    const std::vector<std::span<const std::uint8_t>> apart{pictures[0], pictures[2]};
    settings.per_inch = scanner.per_inch;
    EXPECT_NE(refusal(trace_scans(apart, settings)), "it was traced");
}

}  // namespace
}  // namespace seamwright::trace
