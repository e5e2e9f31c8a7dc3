#include "curves/board_fit.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "curves/height.h"

namespace seamwright::curves {
namespace {

using geometry::pi;

Drawn wave(double half_height, double length, double shift, double span = 1800.0, Point from = {}) {
    return std::get<Drawn>(draw(Wave{from, from + Point{span, 0.0}, {{half_height, length, shift}}}));
}

BoardFit fitted(const Drawn& near, const Drawn& far, const BoardRoom& room) {
    const auto result = fit_to_board(near, far, room);
    if (const auto* problem = std::get_if<BoardProblem>(&result)) {
        ADD_FAILURE() << problem->reason;
        return {};
    }
    return std::get<BoardFit>(result);
}

// A 120 mm board with 5 mm margins gives an insert of 60 mm a half height of (120 − 10 − 60)/2 = 25 mm.
TEST(BoardFit, SameWaveOnBothEdges) {
    BoardRoom room{120.0, 5.0, 5.0, 60.0, 0.0, {}, {}};
    EXPECT_NEAR(*largest_half_height_mm(room, 900.0), 25.0, 1e-12);
    const Drawn w = wave(10.0, 900.0, 0.0);
    const BoardFit fit = fitted(w, w, room);
    EXPECT_EQ(fit.limit, BoardLimit::board);
    EXPECT_NEAR(fit.factor, 2.5, 1e-4);
    EXPECT_NEAR(fit.height_mm, 50.0, 1e-9);
    EXPECT_NEAR(fit.used_mm, 110.0, 1e-9);
    EXPECT_NEAR(fit.narrowest_mm, 60.0, 1e-9);
    // Turned and moved edges give the same.
    Drawn turned = w;
    turned.path = geometry::moved(geometry::turned(w.path, {}, 0.7), {300, -200});
    EXPECT_NEAR(fitted(turned, turned, room).factor, fit.factor, 1e-9);
}

// A sine's crest has the radius L²/(4π² A).
TEST(BoardFit, TheCrestLimits) {
    BoardRoom room{300.0, 5.0, 5.0, 60.0, 0.0, 400.0, 400.0};
    const double half = 600.0 * 600.0 / (4.0 * pi * pi * 400.0);
    EXPECT_NEAR(*largest_half_height_mm(room, 600.0), half, 1e-9);
    const Drawn w = wave(10.0, 600.0, 0.0);
    const BoardFit fit = fitted(w, w, room);
    EXPECT_TRUE(fit.limit == BoardLimit::radius_left || fit.limit == BoardLimit::radius_right);
    EXPECT_NEAR(fit.factor * 10.0, half, 1e-4 * half);
    room.least_radius_left_mm.reset();
    EXPECT_EQ(fitted(w, w, room).limit, BoardLimit::radius_right);
}

// Two different seams: against brute force on a fine grid of factors and places.
TEST(BoardFit, TwoDifferentEdgesAgreeWithBruteForce) {
    const Drawn near = wave(15.0, 900.0, 0.1);
    const Drawn far = wave(22.0, 600.0, 0.35);
    BoardRoom room{160.0, 4.0, 7.0, 70.0, 40.0, {}, {}};
    const BoardFit fit = fitted(near, far, room);
    // A wave that does not start at nothing is measured from its own chord, which lies level here.
    const auto f = [](double x) { return 15.0 * (std::sin(2 * pi * (x / 900.0 + 0.1)) - std::sin(2 * pi * 0.1)); };
    const auto g = [](double x) { return 22.0 * (std::sin(2 * pi * (x / 600.0 + 0.35)) - std::sin(2 * pi * 0.35)); };
    double best = 0.0;
    for (double k = 0.0; k < 4.0; k += 1e-3) {
        double high = -1e9;
        double low = 1e9;
        double least = 1e9;
        for (double x = 0.0; x <= 1800.0; x += 1.0) {
            high = std::fmax(high, std::fmax(k * f(x), 70.0 + k * g(x)));
            low = std::fmin(low, std::fmin(k * f(x), 70.0 + k * g(x)));
            least = std::fmin(least, 70.0 + k * (g(x) - f(x)));
        }
        if (high - low <= 149.0 && least >= 40.0) best = k;
    }
    EXPECT_GT(best, 0.1);
    EXPECT_NEAR(fit.factor, best, 2e-3);
    EXPECT_EQ(fit.limit, BoardLimit::narrowest);
    EXPECT_NEAR(fit.narrowest_mm, 40.0, 1e-6);
    room.least_width_mm = 0.0;
    EXPECT_GT(fitted(near, far, room).factor, fit.factor);
}

TEST(BoardFit, StraightEdgesAreNeverTooHigh) {
    const Drawn line = std::get<Drawn>(draw(Straight{{0, 0}, {1000, 0}}));
    const BoardFit fit = fitted(line, line, {100.0, 5.0, 5.0, 60.0, 0.0, 200.0, 200.0});
    EXPECT_EQ(fit.limit, BoardLimit::none);
    EXPECT_TRUE(std::isinf(fit.factor));
}

TEST(BoardFit, RefusesWithAReason) {
    const Drawn w = wave(10.0, 900.0, 0.0);
    for (const BoardRoom& room : {BoardRoom{}, BoardRoom{100, 30, 30, 60, 0, {}, {}},
                                  BoardRoom{100, -1, 0, 60, 0, {}, {}}, BoardRoom{100, 0, 0, 60, 70, {}, {}},
                                  BoardRoom{100, 0, 0, 60, 0, 0.0, {}}, BoardRoom{NAN, 0, 0, 60, 0, {}, {}}}) {
        const auto result = fit_to_board(w, w, room);
        ASSERT_TRUE(std::holds_alternative<BoardProblem>(result));
        EXPECT_FALSE(std::get<BoardProblem>(result).remedy.empty());
        EXPECT_FALSE(largest_half_height_mm(room, 900.0));
    }
    const Drawn oval = std::get<Drawn>(draw(Oval{{0, 0}, 800.0, 400.0, 0.0}));
    EXPECT_TRUE(std::holds_alternative<BoardProblem>(fit_to_board(oval, oval, {1000, 0, 0, 60, 0, {}, {}})));
}

// At the factor found all holds; one percent more and something fails.
RC_GTEST_PROP(BoardFit, TheFactorIsTheLargest, ()) {
    const double half = *rc::gen::inRange(5, 40);
    const double length = *rc::gen::inRange(300, 1200);
    // Whole waves: the chord lies level.
    const Drawn w = wave(half, length, *rc::gen::inRange(0, 100) / 100.0, 3.0 * length);
    BoardRoom room{1.0 * *rc::gen::inRange(100, 200), 3.0, 3.0, 1.0 * *rc::gen::inRange(40, 90), 0.0, {}, {}};
    room.least_radius_left_mm = room.least_radius_right_mm = *rc::gen::inRange(50, 800);
    const BoardFit fit = std::get<BoardFit>(fit_to_board(w, w, room));
    const auto holds = [&](double k) {
        const double range = geometry::farthest(w.path, {0, 1}).point.y - geometry::farthest(w.path, {0, -1}).point.y;
        if (k * range + room.insert_mm > room.board_mm - 6.0 + 1e-6) return false;
        const Drawn scaled = wave(k * half, length, 0.0, 3.0 * length);
        return scaled.tightest_left->radius_mm >= *room.least_radius_left_mm * (1.0 - 1e-4);
    };
    RC_ASSERT(fit.factor > 0.0);
    RC_ASSERT(holds(fit.factor));
    RC_ASSERT(!holds(1.01 * fit.factor));
}

// --- edges that lie any way ------------------------------------------------------------------------------------------

LaidEdge laid(const Curve& curve) {
    const BaseLine base = *base_line(curve);
    return {std::get<Drawn>(draw(curve)).path, base.from, base.to};
}

// A 120 mm board with 5 mm margins gives an insert of 60 mm a half height of (120 − 10 − 60)/2 = 25 mm, whichever way
// the board lies on the top.
TEST(LaidFit, SameWaveOnBothEdges) {
    for (const double turn : {0.0, 0.7, -2.0}) {
        const Point u = geometry::unit(turn);
        const Point v = geometry::left_of(u);
        const Point at{300.0, -200.0};
        const LaidEdge near = laid(Wave{at, at + 1800.0 * u, {{10.0, 900.0, 0.0}}});
        const LaidEdge far = laid(Wave{at + 60.0 * v, at + 1800.0 * u + 60.0 * v, {{10.0, 900.0, 0.0}}});
        const LaidFit fit = fit_to_board({near, far}, {}, turn, 110.0);
        EXPECT_TRUE(fit.fits);
        EXPECT_NEAR(fit.factor, 2.5, 1e-3);
        EXPECT_NEAR(fit.used_mm, 110.0, 1e-6);
        // A corner of the outline that stands out of the insert by 30 mm leaves the wave its 10 mm and no more.
        const LaidFit held = fit_to_board({near, far}, {at + 900.0 * u + 100.0 * v}, turn, 110.0);
        EXPECT_NEAR(held.factor, 1.0, 1e-3);
        EXPECT_FALSE(fit_to_board({near, far}, {}, turn, 59.0).fits);
        EXPECT_NEAR(fit_to_board({near, far}, {}, turn, 59.0).used_mm, 60.0, 1e-6);
    }
}

// The width is convex in the factor; against brute force over factors, on edges that lie askew and run on past the
// stretch that counts.
RC_GTEST_PROP(LaidFit, AgreesWithBruteForce, ()) {
    const auto number = [](double low, double high) {
        return low + (high - low) * static_cast<double>(*rc::gen::inRange(0, 100000)) / 1e5;
    };
    const Wave near{{-40.0, number(-20.0, 20.0)},
                    {1540.0, number(-20.0, 20.0)},
                    {{number(2.0, 25.0), number(300.0, 1500.0), number(0.0, 1.0)}}};
    const Wave far{{-40.0, number(80.0, 120.0)},
                   {1540.0, number(80.0, 120.0)},
                   {{number(2.0, 25.0), number(300.0, 1500.0), number(0.0, 1.0)}}};
    const double along = number(-0.05, 0.05);
    const double room = number(60.0, 260.0);
    std::vector<LaidEdge> edges{laid(near), laid(far)};
    for (LaidEdge& edge : edges) {
        const double length = geometry::length_mm(edge.stretch);
        edge.stretch = geometry::part(edge.stretch, number(0.0, 60.0), length - number(0.0, 60.0));
    }
    const LaidFit fit = fit_to_board(edges, {}, along, room);
    const Point across = geometry::left_of(geometry::unit(along));
    const auto width = [&](double factor) {
        double low = HUGE_VAL;
        double high = -HUGE_VAL;
        for (const LaidEdge& edge : edges) {
            const Point left =
                geometry::left_of(edge.base_to - edge.base_from) / geometry::distance(edge.base_from, edge.base_to);
            for (const Point p : geometry::chords(edge.stretch, 0.01)) {
                const Point q = p + (factor - 1.0) * dot(p - edge.base_from, left) * left;
                low = std::fmin(low, dot(q, across));
                high = std::fmax(high, dot(q, across));
            }
        }
        return high - low;
    };
    // The chords' sag grows with the factor.
    const auto near_enough = [](double factor) { return 0.02 * std::fmax(1.0, factor); };
    for (int i = 0; i <= 400; ++i) {
        const double factor = 0.01 * i;
        if (width(factor) > room - near_enough(factor)) continue;
        RC_ASSERT(fit.fits);
        RC_ASSERT(fit.factor >= factor - 1e-4);
    }
    if (!fit.fits) {
        RC_ASSERT(fit.used_mm > room);
        return;
    }
    RC_ASSERT(std::abs(width(fit.factor) - room) <= near_enough(fit.factor));
    RC_ASSERT(width(1.01 * fit.factor + 1e-3) > room - near_enough(fit.factor));
}

// Where the board does not limit the height at all.
TEST(LaidFit, StraightEdges) {
    const LaidFit fit = fit_to_board({laid(Straight{{0.0, 0.0}, {900.0, 0.0}})}, {{500.0, 80.0}}, 0.0, 100.0);
    EXPECT_TRUE(fit.fits);
    EXPECT_TRUE(std::isinf(fit.factor));
    EXPECT_NEAR(fit.used_mm, 80.0, 1e-12);
    EXPECT_THROW(fit_to_board({}, {}, 0.0, 100.0), std::invalid_argument);
    EXPECT_THROW(fit_to_board({}, {{0.0, 0.0}}, HUGE_VAL, 100.0), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::curves
