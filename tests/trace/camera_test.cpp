#include "camera.h"

#include <gtest/gtest.h>

namespace seamwright::trace {
namespace {

Camera small_camera() {
    Camera c;
    c.width = 800;
    c.height = 600;
    c.focal_px = 600.0;
    c.k1 = -0.08;
    c.k2 = 0.03;
    c.off_centre_px = {7.0, -4.0};
    c.tilt_x_rad = 0.25;
    c.tilt_y_rad = -0.15;
    c.roll_rad = 0.4;
    c.looks_at = {120.0, 60.0};
    c.away_mm = 500.0;
    return c;
}

Light plain_light() {
    Light l;
    l.blur_px = 0.8;
    l.noise = 0.0;
    l.shading = 0.0;
    l.as_seen = false;
    return l;
}

TEST(Camera, GoesBothWays) {
    const Camera c = small_camera();
    for (const double raised : {0.0, 18.0})
        for (double x = 20.0; x < 800.0; x += 97.0)
            for (double y = 15.0; y < 600.0; y += 83.0) {
                const Point back = c.to_px(c.to_mm({x, y}, raised), raised);
                EXPECT_NEAR(back.x, x, 1e-9);
                EXPECT_NEAR(back.y, y, 1e-9);
            }
}

// What is drawn lies where the camera's own formula says: the middle of the light that a small disc takes away.
TEST(Camera, DrawsThingsWhereTheyLie) {
    const Camera c = small_camera();
    for (const Point at : {Point{120.0, 60.0}, Point{10.0, 130.0}, Point{230.0, -40.0}}) {
        Bench bench;
        bench.reflects = 0.9;
        Clutter disc;
        disc.round = true;
        disc.at = at;
        disc.length_mm = 9.0;
        disc.reflects = 0.1;
        bench.clutter.push_back(disc);
        const Picture p = photograph(bench, c, plain_light());
        double mass = 0.0;
        Point moment;
        for (int y = 0; y < p.height; ++y)
            for (int x = 0; x < p.width; ++x) {
                const double dark = 0.9 * 255.0 - p.at(x, y);
                if (dark < 3.0) continue;
                mass += dark;
                moment = moment + dark * Point{x + 0.5, y + 0.5};
            }
        // The middle of a disc seen at a slant is not the middle of its picture: the mean of places spread evenly over
        // it, each with the area it has in the picture.
        Point mean;
        double areas = 0.0;
        for (double u = -4.45; u < 4.5; u += 0.1)
            for (double v = -4.45; v < 4.5; v += 0.1) {
                if (u * u + v * v >= 4.5 * 4.5) continue;
                const Point place = c.to_px({at.x + u, at.y + v});
                const double area = 1.0 / (c.mm_per_px(place) * c.mm_per_px(place));
                mean = mean + area * place;
                areas += area;
            }
        mean = mean / areas;
        EXPECT_NEAR(moment.x / mass, mean.x, 0.02);
        EXPECT_NEAR(moment.y / mass, mean.y, 0.02);
        EXPECT_NEAR(mass / (0.8 * 255.0), 0.01 * areas, 0.01 * mass / (0.8 * 255.0));
    }
}

TEST(Camera, SamePictureAgain) {
    UsualSettings settings;
    settings.width = 800;
    settings.height = 600;
    const UsualCase a = usual_case(3, settings), b = usual_case(3, settings);
    EXPECT_EQ(photograph(a.bench, a.camera, a.light).grey, photograph(b.bench, b.camera, b.light).grey);
    const UsualCase other = usual_case(4, settings);
    EXPECT_NE(photograph(a.bench, a.camera, a.light).grey, photograph(other.bench, other.camera, other.light).grey);
}

// Mark 0 of family 36h11 in the table published with the AprilTag system (2010), from memory: 0xd5d628584, row after
// row from the top left, white is 1. The library keeps its bits in another order; the square must be the same.
TEST(Camera, MarkZeroIsAsPublished) {
    std::uint64_t code = 0;
    const auto cells = mark_cells(0);
    for (std::size_t row = 1; row < 7; ++row)
        for (std::size_t column = 1; column < 7; ++column) code = 2 * code + (cells[row][column] ? 0 : 1);
    EXPECT_EQ(code, 0xd5d628584ULL);
    for (std::size_t i = 0; i < 8; ++i) EXPECT_TRUE(cells[0][i] && cells[7][i] && cells[i][0] && cells[i][7]);
    EXPECT_THROW(mark_cells(mark_count), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::trace
