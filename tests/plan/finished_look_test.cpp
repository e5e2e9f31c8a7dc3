#include "plan/finished_look.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plan/wood_look.h"
#include "plan_jobs.h"
#include "wood_figure.h"

namespace seamwright::plan::testing {
namespace {

using ::testing::HasSubstr;

constexpr double hair_mm = 1e-6;

shelf::Board board(const std::string& name, double length, double width) {
    shelf::Board b;
    b.name = name;
    b.species = "Walnut, black";
    b.length_mm = length;
    b.width_mm = width;
    b.thickness_mm = 40.0;
    return b;
}
const auto every = [](const std::string&) { return true; };
const auto none = [](const std::string&) { return false; };

/// The way from the top to the board, by the lie itself.
void expect_lies_as_laid(const FinishedLook& look, const BoardsStudy& study, const Plan& plan) {
    ASSERT_EQ(look.patches.size(), study.parts.size());
    for (std::size_t i = 0; i < look.patches.size(); ++i) {
        const LookPatch& patch = look.patches[i];
        const auto& lie = study.placing.lies[i];
        ASSERT_TRUE(lie) << patch.name;
        const double grain = plan.pieces[patch.piece].grain_rad;
        for (const Point on_top : geometry::chords(patch.clip.front(), 10.0)) {
            const Point along = geometry::unit(-grain);
            const Point lying = on_top.x * along + on_top.y * geometry::left_of(along);
            const Point on_board = lie->placed(lying);
            EXPECT_NEAR(distance(patch.lies.at(on_board), on_top), 0.0, hair_mm) << patch.name;
            if (patch.within) continue;
            // What is shown is on the board.
            EXPECT_GE(on_board.x, -hair_mm);
            EXPECT_LE(on_board.x, patch.length_mm + hair_mm);
            EXPECT_GE(on_board.y, -hair_mm);
            EXPECT_LE(on_board.y, patch.width_mm + hair_mm);
        }
    }
}

TEST(FinishedLook, ShowsOfEachBoardThePartThatThePieceIsSawnFrom) {
    for (const double grain_rad : {0.0, 0.04}) {
        Document document = two_pieces(grain_rad);
        document.shelf.boards = {board("one", 1300.0, 290.0), board("two", 1200.0, 280.0)};
        document.job.pieces[1].laid = job::Laid{"two", {590.0, 140.0}, true, true};
        const Plan plan = plan_of(document);
        const auto study = study_boards(plan, document.job, document.shelf);
        ASSERT_TRUE(study);
        const FinishedLook look = finished_look(plan, document.shelf, &*study, none);
        expect_lies_as_laid(look, *study, plan);
        EXPECT_TRUE(look.patches[1].other_face);
        // Turned over it is mirrored.
        EXPECT_NEAR(geometry::cross(look.patches[1].lies.along, look.patches[1].lies.across), -1.0, 1e-12);
        EXPECT_EQ(look.seams.size(), 1u);
    }
}

TEST(FinishedLook, APictureTakesThePlaceOfTheFigureWhereItCanBeShown) {
    Document document = two_pieces(0.0);
    document.shelf.boards = {board("one", 1300.0, 290.0), board("two", 1200.0, 280.0)};
    document.shelf.boards[0].picture = "one.jpg";
    document.shelf.boards[1].picture = "two.jpg";
    document.job.pieces[0].laid = job::Laid{"one", {590.0, 140.0}, false, false};
    document.job.pieces[1].laid = job::Laid{"two", {590.0, 140.0}, false, true};
    const Plan plan = plan_of(document);
    const auto study = study_boards(plan, document.job, document.shelf);
    const FinishedLook both = finished_look(plan, document.shelf, &*study, every);
    EXPECT_EQ(both.patches[0].picture, "one.jpg");
    EXPECT_TRUE(both.patches[0].figure.empty());
    const auto said = words::finished_look_text(both);
    ASSERT_EQ(said.size(), 1u);
    EXPECT_THAT(said[0], HasSubstr("Face down on the board: far."));
    const FinishedLook one =
        finished_look(plan, document.shelf, &*study, [](const std::string& name) { return name == "two.jpg"; });
    EXPECT_EQ(one.patches[0].picture, "");
    EXPECT_FALSE(one.patches[0].figure.empty());
    EXPECT_THAT(words::finished_look_text(one)[0], HasSubstr("no picture that can be shown: near."));
}

TEST(FinishedLook, StripsShareTheirPieceAndJointsEndAtItsEdge) {
    Document document = two_pieces(0.0);
    for (int i = 0; i < 8; ++i) document.shelf.boards.push_back(board("b" + std::to_string(i), 1200.0, 130.0));
    const Plan plan = plan_of(document);
    const auto study = study_boards(plan, document.job, document.shelf);
    const FinishedLook look = finished_look(plan, document.shelf, &*study, none);
    expect_lies_as_laid(look, *study, plan);
    ASSERT_GE(look.patches.size(), 4u);
    // Every place of the top is shown by one strip; at a joint by two.
    for (double x = 3.0; x < 1000.0; x += 61.0) {
        for (double y = 3.0; y < 400.0; y += 7.3) {
            int shown = 0;
            for (const LookPatch& patch : look.patches) {
                if (!geometry::contains(plan.pieces[patch.piece].region, {x, y})) continue;
                if (!patch.within || geometry::contains({*patch.within, {}}, {x, y})) ++shown;
            }
            EXPECT_EQ(shown, 1) << x << ", " << y;
        }
    }
    std::size_t joints = 0;
    for (const LookPatch& patch : look.patches) {
        for (const Path& joint : patch.joints) {
            ++joints;
            EXPECT_NEAR(geometry::length_mm(joint), 1000.0, 1.0);
        }
    }
    EXPECT_EQ(joints, look.patches.size() - 2);
}

TEST(FinishedLook, WithoutBoardsAFigureIsDrawnForEachPiece) {
    const Document document = two_pieces(0.3);
    const Plan plan = plan_of(document);
    const FinishedLook look = finished_look(plan, document.shelf, nullptr, none);
    ASSERT_EQ(look.patches.size(), 2u);
    EXPECT_FALSE(look.patches[0].board);
    EXPECT_FALSE(look.patches[0].figure.empty());
    EXPECT_THAT(words::finished_look_text(look)[0], HasSubstr("drawn, not photographed"));
    // Along the fibres of the piece.
    EXPECT_NEAR(geometry::heading(look.patches[0].lies.along), 0.3, 1e-12);
}

/// Mean of |dy/dx| over a figure, by length along.
double steepness(const std::vector<FigureLine>& figure) {
    double rise = 0.0, run = 0.0;
    for (const FigureLine& line : figure) {
        for (std::size_t i = 1; i < line.points.size(); ++i) {
            rise += std::abs(line.points[i].y - line.points[i - 1].y);
            run += std::abs(line.points[i].x - line.points[i - 1].x);
        }
    }
    return rise / run;
}
/// Lines that turn back: the arcs of flat-sawn wood.
int arcs(const std::vector<FigureLine>& figure) {
    int count = 0;
    for (const FigureLine& line : figure) {
        for (std::size_t i = 2; i < line.points.size(); ++i) {
            if ((line.points[i].x - line.points[i - 1].x) * (line.points[i - 1].x - line.points[i - 2].x) < 0.0) {
                ++count;
                break;
            }
        }
    }
    return count;
}

TEST(WoodFigure, FlatSawnShowsArcsQuarterSawnStraightLines) {
    int flat_arcs = 0;
    for (int i = 0; i < 10; ++i) {
        shelf::Board b = board("board " + std::to_string(i), 2400.0, 200.0);
        const geometry::Box whole{{0.0, 0.0}, {b.length_mm, b.width_mm}};
        const auto flat = wood_figure(b.name, b, whole);
        b.sawn = shelf::Sawn::quarter;
        const auto quarter = wood_figure(b.name, b, whole);
        flat_arcs += arcs(flat);
        EXPECT_EQ(arcs(quarter), 0) << b.name;
        EXPECT_LT(steepness(quarter), 0.1) << b.name;
        EXPECT_GT(quarter.size(), 20u);
        // The face of a quarter-sawn board shows the rings at nearly their own distance.
        EXPECT_NEAR(static_cast<double>(quarter.size()), b.width_mm / 3.6, 25.0) << b.name;
    }
    EXPECT_GT(flat_arcs, 30);
}

TEST(WoodFigure, FollowsTheSlopeOfTheFibresAndIsTheSameWhateverIsSeen) {
    shelf::Board b = board("sloping", 2000.0, 200.0);
    b.sawn = shelf::Sawn::quarter;
    const geometry::Box all{{0.0, 0.0}, {2000.0, 200.0}};
    const auto climbs = [](const std::vector<FigureLine>& figure) {
        double along = 0.0, up = 0.0;
        for (const FigureLine& line : figure) {
            along += line.points.back().x - line.points.front().x;
            up += line.points.back().y - line.points.front().y;
        }
        return up / along;
    };
    // Straight fibres climb by the stem's own taper.
    const double straight = climbs(wood_figure(b.name, b, all));
    b.slope_rad = 0.05;
    const auto whole = wood_figure(b.name, b, all);
    EXPECT_NEAR(climbs(whole) - straight, std::tan(b.slope_rad), 0.01);
    // A part of it lies on the whole: within what the steps leave open.
    for (const FigureLine& part : wood_figure(b.name, b, {{610.0, 40.0}, {930.0, 150.0}})) {
        const Point p = part.points[part.points.size() / 2];
        double nearest = 1e9;
        for (const FigureLine& line : whole)
            for (std::size_t i = 1; i < line.points.size(); ++i) {
                const Point a = line.points[i - 1], c = line.points[i];
                if (p.x < a.x || p.x > c.x) continue;
                nearest = std::min(nearest, std::abs(a.y + (c.y - a.y) * (p.x - a.x) / (c.x - a.x) - p.y));
            }
        EXPECT_LT(nearest, 0.2);
    }
    EXPECT_NE(wood_figure("another", b, all).front().points, whole.front().points);
}

TEST(WoodLook, LightAndDarkWoodsAreToldApartWithoutColours) {
    const auto grey = [](std::string_view colour) {
        const auto part = [&](std::size_t at) { return std::stoi(std::string(colour.substr(at, 2)), nullptr, 16); };
        return 0.299 * part(1) + 0.587 * part(3) + 0.114 * part(5);  // ITU-R BT.601
    };
    double before = 256.0;
    for (const char* family : {"pale", "blond", "tan", "red", "brown", "dark"}) {
        const WoodTone tone = tone_of(family);
        EXPECT_LT(grey(tone.ground), before - 8.0) << family;
        EXPECT_LT(grey(tone.line), grey(tone.ground) - 20.0) << family;
        before = grey(tone.ground);
    }
    EXPECT_EQ(wood_look("Walnut, black"), "dark");
    EXPECT_EQ(wood_look("Maple, sugar"), "pale");
    EXPECT_EQ(tone_of(wood_look("moon wood")).ground, tone_of("unknown").ground);
}

}  // namespace
}  // namespace seamwright::plan::testing
