#include "wood/panel_body.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <stdexcept>

#include "check_values.h"
#include "wood/cup.h"

namespace seamwright::wood {
namespace {

using geometry::pi;
using geometry::rectangle;
using geometry::Region;

const PlaneElastic usual{12000.0, 900.0, 900.0, 0.4, "", false, false};
const PlaneElastic dark{12700.0, 750.0, 1000.0, 0.40, "", false, false};
const PlaneElastic pale{13900.0, 900.0, 870.0, 0.46, "", false, false};

PlaneElastic same_all_round(double E, double nu) {
    return {E, E, E / (2.0 * (1.0 + nu)), nu, "", false, false};
}

/// Dark and pale wood, the moisture of a heated room after that of summer.
const std::vector<FreeStrain> winter{{-0.0004, -0.0104}, {-0.0004, -0.0141}};

Path wave(double length_mm, double y, double half_height, double wave_mm) {
    Path path;
    const auto slope = [&](double x) { return half_height * 2.0 * pi / wave_mm * std::cos(2.0 * pi * x / wave_mm); };
    const auto on = [&](double x) { return Point{x, y + half_height * std::sin(2.0 * pi * x / wave_mm)}; };
    const int arcs = static_cast<int>(length_mm / 40.0) + 2;
    const double step = (length_mm + 60.0) / arcs;
    for (int i = 0; i < arcs; ++i)
        path.segments.push_back(geometry::arc_from_heading(on(-30.0 + step * i), std::atan(slope(-30.0 + step * i)),
                                                           on(-30.0 + step * (i + 1))));
    return path;
}

struct Top {
    std::vector<BodyPiece> pieces;
    std::vector<BodySeam> seams;
};

/// Pieces in the order of geometry::split(); woods and grains go round.
Top split_top(const Region& region, const std::vector<Path>& curves, const std::vector<PlaneElastic>& woods,
              const std::vector<double>& grains) {
    const auto made = geometry::split(region, curves);
    if (!std::holds_alternative<geometry::Split>(made)) throw std::runtime_error("the test does not split its top");
    const auto& split = std::get<geometry::Split>(made);
    Top top;
    for (std::size_t i = 0; i < split.pieces.size(); ++i)
        top.pieces.push_back({split.pieces[i].region, woods[i % woods.size()], grains[i % grains.size()]});
    for (std::size_t i = 0; i < split.trimmed.size(); ++i)
        top.seams.push_back({split.trimmed[i], "seam " + std::to_string(i + 1)});
    return top;
}

PanelBody body_of(const Top& top, double element_mm = 20.0) {
    BodySettings settings;
    settings.element_mm = element_mm;
    auto made = PanelBody::make(top.pieces, top.seams, settings);
    if (auto* problem = std::get_if<BodyProblem>(&made)) throw std::runtime_error(problem->reason);
    return std::move(std::get<PanelBody>(made));
}

/// The piece in which a point lies.
std::size_t piece_at(const Top& top, Point p) {
    for (std::size_t i = 0; i < top.pieces.size(); ++i)
        if (geometry::contains(top.pieces[i].region, p)) return i;
    throw std::runtime_error("no piece there");
}

double area_of(const PanelBody& body) {
    double sum = 0.0;
    for (const BodyTriangle& t : body.mesh().triangles) {
        // Corners, and four thirds of the triangle between each side's chord and its middle: exact for six nodes.
        const auto n = [&](std::size_t i) { return body.mesh().nodes[t.node[i]]; };
        sum += 0.5 * cross(n(1) - n(0), n(2) - n(0));
        for (std::size_t k = 0; k < 3; ++k) {
            const Point a = n(k), b = n((k + 1) % 3);
            sum -= 2.0 / 3.0 * cross(b - a, n(3 + k) - a);
        }
    }
    return sum;
}

// methods.md, section 5: free expansion at 30°, α_T ΔM = 0.01476: 0.00369, 0.01107, γ = −0.01278253.
TEST(PanelBody, OneWoodInTwoPiecesSwellsAsIfThereWereNoSeam) {
    const Top top = split_top({rectangle({0, 0}, {1200, 500}), {}}, {wave(1200, 250, 60, 600)}, {usual},
                              {30.0 / geometry::degrees_per_radian});
    const PanelBody body = body_of(top, 25.0);
    const std::vector<FreeStrain> strains(2, FreeStrain{0.0, 0.01476});
    const BodyAnswer answer = body.change(strains);
    const Point middle{600, 250};
    double largest = 0.0;
    for (std::size_t i = 0; i < answer.moves.size(); ++i) {
        const Point r = body.mesh().nodes[i] - middle;
        const Point wanted{0.00369 * r.x - 0.5 * 0.0127825349 * r.y, 0.01107 * r.y - 0.5 * 0.0127825349 * r.x};
        largest = std::max(largest, distance(answer.moves[i], wanted));
    }
    EXPECT_LT(largest, 1e-7);  // the strain is printed to ten digits
    // To rounding: against the strain itself.
    const double gamma = -2.0 * 0.01476 * 0.5 * std::sqrt(0.75);
    largest = 0.0;
    for (std::size_t i = 0; i < answer.moves.size(); ++i) {
        const Point r = body.mesh().nodes[i] - middle;
        const Point wanted{0.01476 * 0.25 * r.x + 0.5 * gamma * r.y, 0.01476 * 0.75 * r.y + 0.5 * gamma * r.x};
        largest = std::max(largest, distance(answer.moves[i], wanted));
    }
    EXPECT_LT(largest, 1e-9);
    for (const BodyStress& s : answer.stresses) {
        EXPECT_NEAR(s.along, 0.0, 1e-7);
        EXPECT_NEAR(s.across, 0.0, 1e-7);
        EXPECT_NEAR(s.shear, 0.0, 1e-7);
    }
    for (const SeamStress& row : answer.seams[0].rows) {
        EXPECT_NEAR(row.opening_mpa, 0.0, 1e-7);
        EXPECT_NEAR(row.shear_mpa, 0.0, 1e-7);
    }
    for (const OuterEdgeAnswer& edge : answer.outer_edges) EXPECT_NEAR(edge.bow_mm, 0.0, 1e-9);
}

// methods.md, section 5: 600 mm red oak, 6 to 10 %: 8.856 mm.
TEST(PanelBody, SixHundredMillimetresOfRedOak) {
    const Top top = split_top({rectangle({0, 0}, {900, 600}), {}}, {wave(900, 300, 40, 450)}, {usual}, {0.0});
    const BodyAnswer answer = body_of(top, 40.0).change(std::vector<FreeStrain>(2, FreeStrain{0.0, 0.00369 * 4.0}));
    EXPECT_NEAR(answer.width.change_mm(), 8.856, 1e-9);
    EXPECT_NEAR(answer.length.change_mm(), 0.0, 1e-9);
    ASSERT_EQ(answer.widths.size(), 9u);
    for (const BodySize& at : answer.widths) EXPECT_NEAR(at.size.change_mm(), 8.856, 1e-9);
    EXPECT_NEAR(answer.pieces[0].along.change_mm(), 0.0, 1e-9);
    // A wave 40 mm high either way swells with the wood.
    EXPECT_NEAR(answer.seams[0].rise->change_mm(), 0.00369 * 4.0 * answer.seams[0].rise->before_mm, 1e-6);
}

// check_values.csv, "bimaterial_strip" (Timoshenko 1925).
TEST(PanelBody, StripOfTwoBowsAsTimoshenkoSays) {
    const double length = 2000.0, h = 100.0, difference = 0.001;
    int rows = 0;
    for (const auto& row : testing::check_values("bimaterial_strip", "kappa")) {
        const double given = testing::input(row, "m=t1/t2"), m = given == 0.333 ? 1.0 / 3.0 : given;
        const double n = testing::input(row, "n=E1/E2"), E = 1000.0, seam_y = h * m / (1.0 + m);
        const auto wood = [](double modulus) {
            return PlaneElastic{modulus, modulus, 10.0 * modulus, 0.3, "", false, false};
        };
        Top top =
            split_top({rectangle({0, 0}, {length, h}), {}},
                      {geometry::polyline(std::vector<Point>{{-1, seam_y}, {length + 1, seam_y}})}, {wood(E)}, {0.0});
        const std::size_t lower = piece_at(top, {length / 2, 1.0});
        top.pieces[lower].elastic = wood(n * E);
        std::vector<FreeStrain> strains(2);
        strains[lower].along = difference;
        const PanelBody body = body_of(top, 20.0);
        const BodyAnswer answer = body.change(strains);
        const double curvature = row.value * difference / h;
        for (const OuterEdgeAnswer& edge : answer.outer_edges) {
            if (edge.length.before_mm < length - 1.0) continue;
            const bool is_lower = edge.from.y < 1.0;
            // The lower one is longer: it bulges.
            EXPECT_NEAR(edge.bow_mm, (is_lower ? 1.0 : -1.0) * curvature * length * length / 8.0,
                        0.005 * curvature * length * length / 8.0)
                << row.inputs;
        }
        const SeamAnswer& seam = answer.seams[0];
        EXPECT_NEAR(seam.shape.spread_mm(), curvature * length * length / 8.0,
                    0.005 * curvature * length * length / 8.0);
        ++rows;
    }
    EXPECT_EQ(rows, 5);
}

/// The node on the edge y = 0 that lies nearest to this x.
std::size_t node_on_lower_edge(const PanelBody& body, double x) {
    std::size_t best = 0;
    double nearest = 1e9;
    for (std::size_t i = 0; i < body.mesh().nodes.size(); ++i)
        if (const Point p = body.mesh().nodes[i]; p.y == 0.0 && std::abs(p.x - x) < nearest) {
            nearest = std::abs(p.x - x);
            best = i;
        }
    return best;
}

// Layers side by side, symmetric: ε̄ = Σ E t ε* / Σ E t (methods.md, section 5). The middle one has its grain at an
// angle: far from the ends it bears only along the strip, with the modulus of check_values.csv, "offaxis_modulus".
TEST(PanelBody, ThreeLayersAndTheOffAxisModulus) {
    const double length = 2400.0, t_outer = 15.0, t_middle = 30.0;
    const Region region{rectangle({0, 0}, {length, 2 * t_outer + t_middle}), {}};
    const auto across = [&](double y) { return geometry::polyline(std::vector<Point>{{-1, y}, {length + 1, y}}); };
    int rows = 0;
    for (const auto& row : testing::check_values("offaxis_modulus", "Ex")) {
        const double angle = testing::input(row, "theta") / geometry::degrees_per_radian;
        Top top = split_top(region, {across(t_outer), across(t_outer + t_middle)}, {usual}, {0.0});
        const std::size_t middle = piece_at(top, {1200, 30});
        top.pieces[middle].grain_rad = angle;
        std::vector<FreeStrain> strains(3);
        strains[middle] = {0.001, 0.001};
        const PanelBody body = body_of(top, 15.0);
        const BodyAnswer answer = body.change(strains);
        // Two places far from the ends.
        const std::size_t a = node_on_lower_edge(body, 600.0), b = node_on_lower_edge(body, 1800.0);
        const double strain =
            (answer.moves[b].x - answer.moves[a].x) / (body.mesh().nodes[b].x - body.mesh().nodes[a].x);
        const double wanted = row.value * t_middle * 0.001 / (row.value * t_middle + 12000.0 * 2.0 * t_outer);
        EXPECT_NEAR(strain, wanted, 1e-4 * wanted) << row.inputs;
        ++rows;
    }
    EXPECT_EQ(rows, 4);
}

// A disc swollen into a ring of the same stuff (G. Lamé; Timoshenko and Goodier, Theory of Elasticity): between them
// p = ½ E e (1 − a²/b²), the same all round, and the disc under p in all directions.
TEST(PanelBody, RoundInlayPressesAsLameSays) {
    const double E = 3000.0, nu = 0.3, a = 60.0, b = 150.0, misfit = 0.002;
    Path inlay = geometry::circle({10, -5}, a);
    Top top = split_top({geometry::circle({10, -5}, b), {}}, {inlay}, {same_all_round(E, nu)}, {0.4});
    const std::size_t disc = piece_at(top, {10, -5});
    std::vector<FreeStrain> strains(2);
    strains[disc] = {misfit, misfit};
    const PanelBody body = body_of(top, 12.0);
    EXPECT_NEAR(area_of(body), pi * b * b, 1e-4 * pi * b * b);
    const BodyAnswer answer = body.change(strains);
    const double pressure = 0.5 * E * misfit * (1.0 - a * a / (b * b));
    ASSERT_FALSE(answer.seams[0].rows.empty());
    for (const SeamStress& row : answer.seams[0].rows) {
        EXPECT_NEAR(row.opening_mpa, -pressure, 0.002 * pressure);
        EXPECT_NEAR(row.shear_mpa, 0.0, 0.006 * pressure);
    }
    for (std::size_t i = 0; i < answer.stresses.size(); ++i)
        if (body.mesh().triangles[i].piece == disc) {
            EXPECT_NEAR(answer.stresses[i].along, -pressure, 0.005 * pressure);
            EXPECT_NEAR(answer.stresses[i].across, -pressure, 0.005 * pressure);
        }
    EXPECT_FALSE(answer.seams[0].rise);
    ASSERT_EQ(answer.outer_edges.size(), 1u);
    // u(b) = 2 p a² b / (E (b² − a²)), all round.
    const double grown = 2.0 * pressure * a * a * b / (E * (b * b - a * a));
    EXPECT_NEAR(answer.outer_edges[0].length.change_mm(), 2.0 * pi * grown, 0.002 * 2.0 * pi * grown);
    EXPECT_NEAR(answer.width.change_mm(), 2.0 * grown, 0.002 * 2.0 * grown);
}

TEST(PanelBody, ASeamReadTheOtherWayIsTheSameSeam) {
    Top top =
        split_top({rectangle({0, 0}, {500, 300}), {}}, {geometry::circle({200, 150}, 80)}, {dark, pale}, {0.0, 0.7});
    top.seams.push_back({geometry::reversed(top.seams[0].line), "the other way"});
    top.seams.push_back({geometry::start_rotated(top.seams[0].line, 1), "from its other end"});
    const BodyAnswer answer = body_of(top).change(winter);
    const SeamAnswer &one = answer.seams[0], &back = answer.seams[1], &from_half = answer.seams[2];
    EXPECT_EQ(one.left_piece, back.right_piece);
    EXPECT_EQ(one.left_piece, from_half.left_piece);
    EXPECT_NEAR(one.shape.spread_mm(), back.shape.spread_mm(), 1e-9);
    ASSERT_EQ(one.rows.size(), back.rows.size());
    ASSERT_EQ(one.rows.size() % 2, 0u);
    for (std::size_t i = 0; i < one.rows.size(); ++i) {
        const std::size_t k = one.rows.size() - 1 - i, half = one.rows.size() / 2;
        EXPECT_NEAR(one.rows[i].opening_mpa, back.rows[k].opening_mpa, 1e-9);
        EXPECT_NEAR(one.rows[i].shear_mpa, back.rows[k].shear_mpa, 1e-9);
        EXPECT_NEAR(one.rows[i].opening_mpa, from_half.rows[(i + half) % (2 * half)].opening_mpa, 1e-9);
    }
}

// Two equal layers: between the middle and an end the seam passes on P = E t e/8 for each mm of thickness (Timoshenko
// 1925). The lower one swells and pulls the upper, left of the seam, forwards towards the far end.
TEST(PanelBody, ShearOfASeamAddsUpToTheForceInALayer) {
    const double length = 1500.0, t = 50.0, E = 1000.0, e = 0.001;
    const PlaneElastic wood{E, E, 10.0 * E, 0.3, "", false, false};
    const Top top = split_top({rectangle({0, 0}, {length, 2 * t}), {}},
                              {geometry::polyline(std::vector<Point>{{-1, t}, {length + 1, t}})}, {wood}, {0.0});
    std::vector<FreeStrain> strains(2);
    strains[piece_at(top, {750, 10})].along = e;
    const BodyAnswer answer = body_of(top, 20.0).change(strains);
    const SeamAnswer& seam = answer.seams[0];
    EXPECT_EQ(seam.left_piece, piece_at(top, {750, 90}));
    ASSERT_EQ(seam.rows.size(), 150u);
    double first_half = 0.0, second_half = 0.0;
    for (const SeamStress& row : seam.rows)
        (row.at_mm < 750 ? first_half : second_half) += row.shear_mpa * seam.stretch_mm;
    EXPECT_NEAR(second_half, E * t * e / 8.0, 0.002 * E * t * e / 8.0);
    EXPECT_NEAR(first_half, -E * t * e / 8.0, 0.002 * E * t * e / 8.0);
}

Top wavy_top() {
    return split_top({rectangle({0, 0}, {2400, 900}), {}}, {wave(2400, 450, 80, 1200)}, {dark, pale}, {0.0, 0.05});
}

TEST(PanelBody, HalvingTheElementChangesLittle) {
    const Top top = wavy_top();
    const BodyAnswer coarse = body_of(top, 40.0).change(winter), fine = body_of(top, 20.0).change(winter);
    EXPECT_NEAR(coarse.largest_move_mm, fine.largest_move_mm, 1e-4 * fine.largest_move_mm);
    EXPECT_NEAR(coarse.width.change_mm(), fine.width.change_mm(), 1e-4 * std::abs(fine.width.change_mm()));
    for (std::size_t i = 0; i < fine.outer_edges.size(); ++i)
        EXPECT_NEAR(coarse.outer_edges[i].bow_mm, fine.outer_edges[i].bow_mm, 0.002);
    // Means over 10 mm, more than 100 mm from the seam ends.
    double largest = 0.0, off = 0.0;
    ASSERT_EQ(coarse.seams[0].rows.size(), fine.seams[0].rows.size());
    for (std::size_t i = 10; i + 10 < fine.seams[0].rows.size(); ++i) {
        const SeamStress &c = coarse.seams[0].rows[i], &f = fine.seams[0].rows[i];
        largest = std::max({largest, std::abs(f.opening_mpa), std::abs(f.shear_mpa)});
        off = std::max({off, std::abs(c.opening_mpa - f.opening_mpa), std::abs(c.shear_mpa - f.shear_mpa)});
    }
    EXPECT_LT(off, 0.06 * largest) << off << " of " << largest;
}

TEST(PanelBody, SameInputSameBytes) {
    const Top top = wavy_top();
    const PanelBody a = body_of(top, 40.0), b = body_of(top, 40.0);
    const BodyAnswer one = a.change(winter), two = b.change(winter), again = a.change(winter);
    ASSERT_EQ(one.moves.size(), two.moves.size());
    EXPECT_EQ(0, std::memcmp(one.moves.data(), two.moves.data(), one.moves.size() * sizeof(Point)));
    EXPECT_EQ(0, std::memcmp(one.moves.data(), again.moves.data(), one.moves.size() * sizeof(Point)));
    EXPECT_EQ(0, std::memcmp(one.seams[0].rows.data(), two.seams[0].rows.data(),
                             one.seams[0].rows.size() * sizeof(SeamStress)));
}

TEST(PanelBody, MirroredTopGivesTheMirroredAnswer) {
    const Top top = wavy_top();
    Top other;
    for (const BodyPiece& piece : top.pieces)
        other.pieces.push_back(
            {{geometry::reversed(geometry::mirrored(piece.region.outer)), {}}, piece.elastic, -piece.grain_rad});
    other.seams.push_back({geometry::mirrored(top.seams[0].line), "mirrored"});
    const BodyAnswer one = body_of(top, 40.0).change(winter), two = body_of(other, 40.0).change(winter);
    EXPECT_NEAR(one.largest_move_mm, two.largest_move_mm, 1e-6);
    EXPECT_NEAR(one.width.change_mm(), two.width.change_mm(), 1e-6);
    EXPECT_NEAR(one.length.change_mm(), two.length.change_mm(), 1e-6);
    EXPECT_EQ(one.seams[0].left_piece, two.seams[0].right_piece);
    for (std::size_t i = 0; i < one.seams[0].rows.size(); ++i) {
        EXPECT_NEAR(one.seams[0].rows[i].opening_mpa, two.seams[0].rows[i].opening_mpa, 1e-6);
        EXPECT_NEAR(one.seams[0].rows[i].shear_mpa, -two.seams[0].rows[i].shear_mpa, 1e-6);
    }
}

TEST(PanelBody, AnswersAddUp) {
    const PanelBody body = body_of(wavy_top(), 40.0);
    const std::vector<FreeStrain> first{{0.001, 0.0}, {0.0, 0.003}}, second{{0.0, -0.004}, {0.002, 0.0}},
        both{{0.001, -0.004}, {0.002, 0.003}};
    const BodyAnswer a = body.change(first), b = body.change(second), c = body.change(both);
    for (std::size_t i = 0; i < c.moves.size(); i += 97) EXPECT_LT(distance(a.moves[i] + b.moves[i], c.moves[i]), 1e-9);
}

// The stress of a seam bears on both pieces: across the whole of a straight seam there is no net force or moment.
TEST(PanelBody, SeamForcesBalance) {
    const Top top =
        split_top({rectangle({0, 0}, {800, 300}), {}}, {geometry::polyline(std::vector<Point>{{-5, 120}, {805, 120}})},
                  {dark, pale}, {0.0, 0.3});
    const BodyAnswer answer = body_of(top, 20.0).change(winter);
    double pull = 0.0, shear = 0.0, moment = 0.0, size = 0.0;
    for (const SeamStress& row : answer.seams[0].rows) {
        pull += row.opening_mpa;
        shear += row.shear_mpa;
        moment += row.opening_mpa * (row.at_mm - 400.0);
        size += std::abs(row.opening_mpa);
    }
    EXPECT_NEAR(pull, 0.0, 1e-6 * size);
    EXPECT_NEAR(shear, 0.0, 1e-6 * size);
    EXPECT_NEAR(moment, 0.0, 0.002 * size * 400.0);  // within a row the stress is not even
}

TEST(PanelBody, ManyShapesAreMeshedWhole) {
    const auto straight = [](Point a, Point b) { return geometry::polyline(std::vector<Point>{a, b}); };
    struct Case {
        const char* name;
        Region region;
        std::vector<Path> curves;
    };
    const Region table{rectangle({0, 0}, {2400, 300}), {}};
    Path cut_out = geometry::reversed(geometry::circle({400, 150}, 45));
    const std::vector<Case> cases{
        {"strips 20 mm wide", table, {wave(2400, 120, 30, 800), wave(2400, 140, 30, 800), wave(2400, 160, 30, 800)}},
        {"a strip 2 mm wide", table, {wave(2400, 150, 30, 800), wave(2400, 152, 30, 800)}},
        {"seam at a flat angle to the end", table, {straight({-20, -10}, {2500, 260})}},
        {"cut-out", {table.outer, {cut_out}}, {wave(2400, 230, 12, 300)}},
        {"inlay in an inlay", table, {geometry::circle({300, 150}, 100), geometry::circle({300, 150}, 98)}},
        {"inlay 1 mm from the edge", table, {geometry::circle({300, 150}, 149)}},
        {"small inlay", table, {geometry::circle({1201, 151}, 4)}},
        {"round top",
         {geometry::circle({0, 0}, 600), {}},
         {straight({-700, -100}, {700, 100}), straight({-700, 200}, {700, 250})}},
        {"small top", {rectangle({0, 0}, {300, 60}), {}}, {wave(300, 30, 20, 100)}},
    };
    for (const Case& c : cases) {
        const Top top = split_top(c.region, c.curves, {dark, pale}, {0.0, 0.2});
        const auto made = PanelBody::make(top.pieces, top.seams);
        const auto* problem = std::get_if<BodyProblem>(&made);
        ASSERT_EQ(problem, nullptr) << c.name << ": " << problem->reason;
        const PanelBody& body = std::get<PanelBody>(made);
        EXPECT_NEAR(area_of(body), geometry::area_mm2(c.region), 2e-4 * geometry::area_mm2(c.region)) << c.name;
        EXPECT_LT(body.mesh().nodes.size(), 60000u) << c.name;
        // Swelling as one wood all over stays free of stress on any mesh.
        Top one = top;
        for (BodyPiece& piece : one.pieces) piece.grain_rad = 0.7;
        const BodyAnswer answer =
            body_of(one).change(std::vector<FreeStrain>(one.pieces.size(), FreeStrain{0.001, 0.012}));
        for (const BodyStress& s : answer.stresses)
            ASSERT_LT(std::max({std::abs(s.along), std::abs(s.across), std::abs(s.shear)}), 1e-6) << c.name;
    }
}

TEST(PanelBody, SaysWhatItCannotTake) {
    Top top = wavy_top();
    BodySettings settings;
    const auto reason = [&](const Top& of) {
        const auto made = PanelBody::make(of.pieces, of.seams, settings);
        const auto* problem = std::get_if<BodyProblem>(&made);
        return problem ? problem->reason : std::string("none");
    };
    Top foreign = top;
    foreign.seams[0].line = geometry::moved(foreign.seams[0].line, {0, 5});
    EXPECT_NE(reason(foreign).find("shared edge"), std::string::npos);
    Top twice = top;
    twice.pieces.push_back(twice.pieces[0]);
    EXPECT_NE(reason(twice).find("same side"), std::string::npos);
    Top loose = top;
    loose.pieces.push_back({{rectangle({3000, 0}, {3200, 100}), {}}, usual, 0.0});
    EXPECT_NE(reason(loose).find("hold together"), std::string::npos);
    Top soft = top;
    soft.pieces[1].elastic.shear_mpa = 0.0;
    EXPECT_NE(reason(soft).find("moduli"), std::string::npos);
    settings.element_mm = 0.5;
    EXPECT_NE(reason(top).find("elements"), std::string::npos);
    settings.element_mm = 0.0;
    EXPECT_NE(reason(top), "none");
    settings.element_mm = 40.0;
    EXPECT_EQ(reason(top), "none");
    EXPECT_THROW(body_of(top, 40.0).change(std::vector<FreeStrain>(1)), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::wood
