#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "edit_jobs.h"
#include "plan/boards_study.h"

namespace {

using namespace seamwright;
using edit::OpenJob;
using edit_jobs::edited;
using edit_jobs::refused;
using ::testing::HasSubstr;

OpenJob stack() {
    return edit_jobs::opened(edit_jobs::example("stack-of-boards"));
}

std::string place_of(const OpenJob& job, const std::string& piece) {
    for (const auto& p : job.plan().pieces)
        if (p.name == piece) return "[" + std::to_string(p.label_at.x) + ", " + std::to_string(p.label_at.y) + "]";
    throw std::runtime_error("no piece " + piece);
}

const job::Piece& piece(const OpenJob& job, const std::string& name) {
    for (const auto& p : job.document().job.pieces)
        if (p.name == name) return p;
    throw std::runtime_error("no piece " + name);
}

std::string lay(const OpenJob& job, const std::string& name, const std::string& rest) {
    return R"([{"lay": )" + place_of(job, name) + ", " + rest + "}]";
}

TEST(Boards, APieceIsLaidHeldAndLeftToThePlanAgain) {
    const OpenJob job = stack();
    const std::string board = job.document().shelf.boards[0].name;
    const std::string insert = job.plan().pieces[1].name;
    const auto laid = edited(job, lay(job, insert,
                                      R"("strip": 0, "of": 0, "board": ")" + board +
                                          R"(", "at": [1000, 100], "turned": true, "over": false)"));
    EXPECT_THAT(laid.says, HasSubstr(" laid on " + board));
    ASSERT_TRUE(piece(laid.job, insert).laid);
    EXPECT_EQ(piece(laid.job, insert).laid->at.x, 1000.0);
    EXPECT_TRUE(piece(laid.job, insert).laid->turned);
    const auto free = edited(laid.job, R"([{"unlay": )" + place_of(job, insert) + R"(, "strip": 0}])");
    EXPECT_FALSE(piece(free.job, insert).laid);
}

TEST(Boards, DroppedALittleOverTheEdgeItLiesAlongIt) {
    const OpenJob job = stack();
    const auto& board = job.document().shelf.boards[0];
    const std::string insert = job.plan().pieces[1].name;
    const auto part = plan::sawn_part(job.plan(), job.document().job, job.document().shelf, 1, 0, 0);
    ASSERT_TRUE(part);
    const geometry::Box box = part->sawn({});
    const double flush = 0.5 * box.width_mm();
    const auto at = [&](double x) {
        const auto laid = edited(job, lay(job, insert,
                                          R"("strip": 0, "of": 0, "board": ")" + board.name + R"(", "at": [)" +
                                              std::to_string(x) + R"(, 100], "turned": false, "over": false)"));
        return piece(laid.job, insert).laid->at.x;
    };
    EXPECT_NEAR(at(flush - 20.0), flush, 0.001);
    EXPECT_NEAR(at(flush + 20.0), flush + 20.0, 0.001);
    // Meant to stand over: it stays, and the boards tell what is wrong.
    EXPECT_NEAR(at(flush - 60.0), flush - 60.0, 0.001);
}

TEST(Boards, AStripIsLaidAndThePieceKeepsItsStrips) {
    const OpenJob job = stack();
    const std::string board = job.document().shelf.boards[0].name;
    const std::string name = job.plan().pieces[0].name;
    const auto rest = [&](int strip) {
        return R"("strip": )" + std::to_string(strip) + R"(, "of": 3, "board": ")" + board +
               R"(", "at": [900, 100], "turned": false, "over": true)";
    };
    const OpenJob one = edited(job, lay(job, name, rest(2))).job;
    const OpenJob two = edited(one, lay(job, name, rest(3))).job;
    const OpenJob again = edited(two, lay(job, name, rest(2))).job;
    EXPECT_EQ(piece(again, name).strips, 3U);
    ASSERT_EQ(piece(again, name).laid_strips.size(), 2U);
    EXPECT_EQ(piece(again, name).laid_strips[0].strip, 2U);
    const auto unlay = [&](int strip) {
        return R"([{"unlay": )" + place_of(job, name) + R"(, "strip": )" + std::to_string(strip) + "}]";
    };
    const OpenJob left = edited(edited(again, unlay(2)).job, unlay(3)).job;
    EXPECT_EQ(piece(left, name).strips, 0U);
    EXPECT_TRUE(piece(left, name).laid_strips.empty());
}

TEST(Boards, WhatCannotBeLaidIsRefused) {
    const OpenJob job = stack();
    const std::string name = job.plan().pieces[0].name;
    const std::string how = R"(, "at": [900, 100], "turned": false, "over": false)";
    EXPECT_EQ(refused(job, lay(job, name, R"("strip": 0, "of": 0, "board": "none such")" + how)).front().pointer,
              "/shelf/boards");
    EXPECT_EQ(refused(job, R"([{"lay": [-5000, 0], "strip": 0, "of": 0, "board": "x")" + how + "}]").front().pointer,
              "/pieces");
}

TEST(Boards, SpotsAndGrainAreDrawnOnABoard) {
    const OpenJob job = stack();
    const auto& board = job.document().shelf.boards[1];
    const std::size_t spots = board.defects.size();
    const auto spot = edited(
        job, R"([{"mark": ")" + board.name + R"(", "what": "check", "through": [[100, 20], [180, 20], [140, -30]]}])");
    EXPECT_EQ(spot.says, "A check marked on " + board.name);
    EXPECT_TRUE(spot.shelf_changed);
    const auto& with = spot.job.document().shelf.boards[1];
    ASSERT_EQ(with.defects.size(), spots + 1);
    EXPECT_EQ(with.defects.back().kind, shelf::Defect::Kind::check);
    // What was drawn past the edge ends there.
    EXPECT_EQ(with.defects.back().outline, (std::vector<geometry::Point>{{100, 20}, {180, 20}, {140, 0}}));
    const auto grain =
        edited(spot.job, R"([{"mark": ")" + board.name + R"(", "what": "grain", "through": [[0, 50], [900, 60]]}])");
    EXPECT_EQ(grain.job.document().shelf.boards[1].grain_lines.size(), 1U);
    EXPECT_FALSE(
        refused(job, R"([{"mark": ")" + board.name + R"(", "what": "knot", "through": [[1, 2], [3, 4]]}])").empty());
}

}  // namespace
