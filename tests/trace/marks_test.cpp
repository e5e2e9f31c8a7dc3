#include "trace/marks.h"

#include <apriltag.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <tag25h9.h>
#include <tag36h11.h>

#include "camera.h"

namespace seamwright::trace {
namespace {

using ::testing::Contains;
using ::testing::Field;
using ::testing::HasSubstr;
using ::testing::Not;

/// Four strips about a hand's breadth apart, 0.75 mm a pixel.
Bench small_bench() {
    Bench b;
    b.strips = {{0, {-290.0, 140.0}, 0.10, 0.0},
                {1, {280.0, 150.0}, -0.30, 0.0},
                {2, {-270.0, -150.0}, 1.30, 0.0},
                {3, {290.0, -140.0}, 2.90, 0.0}};
    return b;
}
Camera small_camera() {
    Camera c;
    c.width = 1500;
    c.height = 1000;
    c.focal_px = 1150.0;
    c.k1 = -0.05;
    c.k2 = 0.02;
    c.tilt_x_rad = 0.15;
    c.tilt_y_rad = -0.1;
    c.roll_rad = 0.03;
    c.away_mm = 860.0;
    return c;
}

struct Errors {
    Point bias;
    double rms_px = 0.0, worst_px = 0.0, expected_px = 0.0, inward_px = 0.0;
    int corners = 0;
};
Errors errors_of(const FoundMarks& found, const Bench& bench, const Camera& camera) {
    Errors e;
    for (const FoundMark& m : found.marks) {
        const auto laid = laid_corners(bench, m.id);
        const Point middle = camera.to_px(0.25 * (laid[0] + laid[1] + laid[2] + laid[3]));
        for (std::size_t i = 0; i < 4; ++i) {
            const Point truth = camera.to_px(laid[i]);
            const Point off = m.corners_px[i] - truth;
            e.bias = e.bias + off;
            e.rms_px += norm2(off);
            e.worst_px = std::max(e.worst_px, norm(off));
            e.expected_px += 2.0 * m.corner_px * m.corner_px;
            e.inward_px += dot(off, (middle - truth) / norm(middle - truth));
            ++e.corners;
        }
    }
    if (e.corners == 0) return e;
    const double count = e.corners;
    e.bias = e.bias / count;
    e.inward_px /= count;
    e.rms_px = std::sqrt(0.5 * e.rms_px / count);
    e.expected_px = std::sqrt(0.5 * e.expected_px / count);
    return e;
}

std::vector<int> numbers(const FoundMarks& found) {
    std::vector<int> ids;
    for (const FoundMark& m : found.marks) ids.push_back(m.id);
    return ids;
}

TEST(Marks, CornersAreKnownToHundredthsOfAPixel) {
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        Light light;
        light.seed = seed;
        light.blur_px = 0.7 + 0.15 * static_cast<double>(seed);
        Camera camera = small_camera();
        camera.roll_rad = 0.4 * static_cast<double>(seed);
        camera.away_mm = 1200.0;
        const FoundMarks found = find_marks(photograph(small_bench(), camera, light));
        ASSERT_EQ(found.marks.size(), 12U);
        for (const TraceProblem& r : found.remarks) ADD_FAILURE() << r.reason;
        const Errors e = errors_of(found, small_bench(), camera);
        EXPECT_LT(std::abs(e.bias.x), 0.01);
        EXPECT_LT(std::abs(e.bias.y), 0.01);
        EXPECT_LT(std::abs(e.inward_px), 0.02);
        EXPECT_LT(e.rms_px, 0.035);
        EXPECT_LT(e.worst_px, 0.15);
        // What is said to be expected is what happens.
        EXPECT_GT(e.expected_px, 0.7 * e.rms_px);
        EXPECT_LT(e.expected_px, 2.5 * e.rms_px);
        // σ of the blur together with the pixels' own size, 1/√12.
        for (const FoundMark& m : found.marks)
            EXPECT_NEAR(m.blur_px, std::hypot(light.blur_px, 1.0 / std::sqrt(12.0)), 0.08);
    }
}

// A camera that writes greys in equal steps of light is not what is expected; every square then looks larger all
// round, and nothing else is wrong.
TEST(Marks, AnotherCurveOfGreysOnlySwellsTheSquares) {
    Light light;
    light.as_seen = false;
    const FoundMarks found = find_marks(photograph(small_bench(), small_camera(), light));
    ASSERT_EQ(found.marks.size(), 12U);
    const Errors e = errors_of(found, small_bench(), small_camera());
    EXPECT_LT(norm(e.bias), 0.02);
    EXPECT_LT(e.inward_px, -0.1);
    EXPECT_GT(e.inward_px, -0.9);
}

// The reference library's own corners (libapriltag 3, every pixel looked at), in a picture whose greys are in equal
// steps as that library expects: no half pixel between its corners and ours.
TEST(Marks, LiesWhereTheReferenceLibraryLooks) {
    Light light;
    light.as_seen = false;
    Picture picture = photograph(small_bench(), small_camera(), light);
    const FoundMarks found = find_marks(picture);
    apriltag_family_t* family = tag36h11_create();
    apriltag_detector_t* detector = apriltag_detector_create();
    apriltag_detector_add_family_bits(detector, family, 0);
    detector->quad_decimate = 1.0F;
    image_u8_t image{picture.width, picture.height, picture.width, picture.grey.data()};
    zarray_t* theirs = apriltag_detector_detect(detector, &image);
    ASSERT_EQ(static_cast<std::size_t>(zarray_size(theirs)), found.marks.size());
    Point mean;
    int count = 0;
    for (int i = 0; i < zarray_size(theirs); ++i) {
        apriltag_detection_t* d = nullptr;
        zarray_get(theirs, i, static_cast<void*>(&d));
        const auto ours =
            std::find_if(found.marks.begin(), found.marks.end(), [&](const FoundMark& m) { return m.id == d->id; });
        ASSERT_NE(ours, found.marks.end());
        for (std::size_t k = 0; k < 4; ++k) {
            const Point off = Point{d->p[3 - k][0], d->p[3 - k][1]} - ours->corners_px[k];
            EXPECT_LT(norm(off), 1.2) << "mark " << d->id << " corner " << k;
            mean = mean + off;
            ++count;
        }
    }
    EXPECT_LT(norm(mean / count), 0.1);
    apriltag_detections_destroy(theirs);
    apriltag_detector_destroy(detector);
    tag36h11_destroy(family);
}

TEST(Marks, EveryNumberIsReadAsItself) {
    Bench bench;
    bench.reflects = bench.paper_reflects;
    Camera camera;
    camera.width = 1600;
    camera.height = 1070;
    camera.focal_px = 1400.0;
    camera.away_mm = 2000.0;
    constexpr int across = 30;
    for (int id = 0; id < mark_count; ++id) {
        PrintedSquare s;
        s.at = {(id % across - 14.5) * 76.0, (9.5 - id / across) * 76.0};
        s.across = mark_cells_across;
        for (const auto& row : mark_cells(id)) s.black.insert(s.black.end(), row.begin(), row.end());
        bench.squares.push_back(s);
    }
    const FoundMarks found = find_marks(photograph(bench, camera, {}));
    ASSERT_EQ(found.marks.size(), static_cast<std::size_t>(mark_count));
    for (int id = 0; id < mark_count; ++id) {
        const FoundMark& m = found.marks[static_cast<std::size_t>(id)];
        EXPECT_EQ(m.id, id);
        const Point top_left = camera.to_px(bench.squares[static_cast<std::size_t>(id)].at + Point{-30.0, 30.0});
        EXPECT_LT(norm(m.corners_px[0] - top_left), 0.2) << id;
    }
}

TEST(Marks, CoveredInPartIsLeftOutAndNamed) {
    // A rule over a third of mark 4, over a corner of mark 7, and over nothing but the rim and 1 mm of mark 10.
    Bench bench = small_bench();
    const auto cover = [&](int mark, std::size_t from, std::size_t to, double in_mm, double reflects) {
        const auto q = laid_corners(bench, mark);
        const Point along = q[to] - q[from];
        const Point middle = geometry::midpoint(q[from], q[to]);
        const Point inwards = 0.25 * (q[0] + q[1] + q[2] + q[3]) - middle;
        Clutter c;
        c.length_mm = 44.0;
        c.width_mm = 20.0;
        c.at = middle + (in_mm - 10.0) * (inwards / norm(inwards));
        c.heading_rad = geometry::heading(along);
        c.reflects = reflects;
        bench.clutter.push_back(c);
    };
    cover(4, 0, 1, 20.0, 0.5);
    cover(7, 3, 0, 9.0, 0.6);
    cover(10, 1, 2, 1.0, 0.02);
    const FoundMarks found = find_marks(photograph(bench, small_camera(), {}));
    for (const int id : {4, 7, 10}) {
        EXPECT_THAT(numbers(found), Not(Contains(id)));
        EXPECT_THAT(found.remarks,
                    Contains(Field(&TraceProblem::reason, HasSubstr("Mark " + std::to_string(id) + " "))));
    }
    EXPECT_EQ(found.marks.size(), 9U);
    for (const TraceProblem& r : found.remarks) {
        ASSERT_TRUE(r.at_px.has_value());
        EXPECT_FALSE(r.remedy.empty());
    }
    EXPECT_LT(errors_of(found, bench, small_camera()).worst_px, 0.2);
}

// A corner that lies outside the picture would be guessed from what is left of the sides.
TEST(Marks, CutOffByThePicturesEdgeIsLeftOut) {
    Camera camera = small_camera();
    for (const double x : {-315.0, -322.0, -328.0}) {
        Bench bench = small_bench();
        bench.strips = {{5, {240.0 - x, 0.0}, 0.0, 0.0}};
        camera.tilt_x_rad = camera.tilt_y_rad = camera.k1 = camera.k2 = 0.0;
        const FoundMarks found = find_marks(photograph(bench, camera, {}));
        EXPECT_LT(errors_of(found, bench, camera).worst_px, 0.1) << x;
        EXPECT_EQ(found.marks.size() + found.remarks.size(), 3U) << x;
    }
}

TEST(Marks, BlurredAndDarkAndSmallGiveNoBadCorners) {
    Light blurred;
    blurred.blur_px = 5.0;
    const FoundMarks soft = find_marks(photograph(small_bench(), small_camera(), blurred));
    EXPECT_TRUE(soft.marks.empty());
    Light dark;
    dark.exposure = 0.008;
    const FoundMarks night = find_marks(photograph(small_bench(), small_camera(), dark));
    EXPECT_TRUE(night.marks.empty());
    Camera far = small_camera();
    far.away_mm *= 3.6;
    const FoundMarks small = find_marks(photograph(small_bench(), far, {}));
    EXPECT_TRUE(small.marks.empty());
    EXPECT_THAT(small.remarks, Contains(Field(&TraceProblem::reason, HasSubstr("too small"))));
    // Soft, but not too soft: still as good as it says.
    Light soft_light;
    soft_light.blur_px = 2.5;
    const FoundMarks fair = find_marks(photograph(small_bench(), small_camera(), soft_light));
    ASSERT_EQ(fair.marks.size(), 12U);
    const Errors e = errors_of(fair, small_bench(), small_camera());
    EXPECT_LT(e.rms_px, 2.0 * e.expected_px);
}

TEST(Marks, OtherSquaresAreNoMarks) {
    Bench bench;
    std::uint64_t state = 5;
    apriltag_family_t* other = tag25h9_create();
    for (int i = 0; i < 24; ++i) {
        PrintedSquare s;
        s.at = {(i % 6 - 2.5) * 140.0, (i / 6 - 1.5) * 130.0};
        s.heading_rad = 0.2 * i;
        s.across = i < 12 ? 7 : 8;
        s.black.assign(static_cast<std::size_t>(s.across * s.across), true);
        for (int y = 1; y + 1 < s.across; ++y)
            for (int x = 1; x + 1 < s.across; ++x) {
                state = state * 6364136223846793005ULL + 1442695040888963407ULL;
                s.black[static_cast<std::size_t>(y * s.across + x)] = (state >> 63U) != 0;
            }
        if (i < 12) {
            for (std::uint32_t k = 0; k < other->nbits; ++k)
                s.black[other->bit_y[k] * 7 + other->bit_x[k]] =
                    ((other->codes[i] >> (other->nbits - 1 - k)) & 1U) == 0;
        }
        bench.squares.push_back(s);
    }
    tag25h9_destroy(other);
    const FoundMarks found = find_marks(photograph(bench, small_camera(), {}));
    EXPECT_TRUE(found.marks.empty());
    EXPECT_TRUE(found.remarks.empty());
    EXPECT_FALSE(found.mirrored);
}

TEST(Marks, APictureTurnedOverIsKnown) {
    const FoundMarks found = find_marks(mirrored(photograph(small_bench(), small_camera(), {})));
    EXPECT_TRUE(found.mirrored);
    EXPECT_TRUE(found.marks.empty());
    ASSERT_FALSE(found.remarks.empty());
    EXPECT_THAT(found.remarks[0].reason, HasSubstr("mirror"));
}

TEST(Marks, ANumberThatIsThereTwiceIsNotUsed) {
    Bench bench = small_bench();
    bench.strips[3].strip = 1;
    const FoundMarks found = find_marks(photograph(bench, small_camera(), {}));
    EXPECT_EQ(numbers(found), (std::vector<int>{0, 1, 2, 6, 7, 8}));
    EXPECT_THAT(found.remarks, Contains(Field(&TraceProblem::reason, HasSubstr("Mark 4 is in the picture 2 times"))));
}

TEST(Marks, PicturesOfNothing) {
    for (const auto& [width, height] : {std::pair{0, 0}, {1, 1}, {40, 3000}, {3000, 47}, {48, 48}, {640, 480}}) {
        Picture p;
        p.width = width;
        p.height = height;
        p.grey.assign(static_cast<std::size_t>(width * height), 128);
        EXPECT_TRUE(find_marks(p).marks.empty());
        std::uint64_t state = 9;
        for (auto& g : p.grey) {
            state = state * 6364136223846793005ULL + 1442695040888963407ULL;
            g = static_cast<std::uint8_t>(state >> 56U);
        }
        EXPECT_TRUE(find_marks(p).marks.empty());
    }
}

TEST(Marks, SameAgain) {
    const Picture p = photograph(small_bench(), small_camera(), {});
    const FoundMarks a = find_marks(p), b = find_marks(p);
    ASSERT_EQ(a.marks.size(), b.marks.size());
    for (std::size_t i = 0; i < a.marks.size(); ++i) {
        EXPECT_EQ(a.marks[i].corners_px, b.marks[i].corners_px);
        EXPECT_EQ(a.marks[i].corner_px, b.marks[i].corner_px);
    }
}

}  // namespace
}  // namespace seamwright::trace
