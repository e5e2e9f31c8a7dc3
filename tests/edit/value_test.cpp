#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "edit_jobs.h"

namespace {

using namespace seamwright;
using edit::OpenJob;
using edit_jobs::edited;
using edit_jobs::refused;

OpenJob console() {
    return edit_jobs::opened(edit_jobs::example("hall-console"));
}

TEST(Set, KeepsLengthsAsTheMakerTypesThem) {
    const OpenJob inch = edit_jobs::opened(edit_jobs::example("bench-top"));
    const auto bare = edited(inch, R"([{"set": "/top/thickness", "value": " 1 5/8 "}])");
    EXPECT_EQ(bare.job.written_at("/top/thickness"), "1 5/8");
    EXPECT_NEAR(bare.job.document().job.thickness_mm, 1.625 * 25.4, 1e-12);
    EXPECT_EQ(bare.says, "Thickness of the top: 1 5/8 in");
    const auto mm = edited(inch, R"([{"set": "/top/thickness", "value": "40 mm"}])");
    EXPECT_EQ(mm.job.written_at("/top/thickness"), "40 mm");
    const auto number = edited(console(), R"([{"set": "/top/thickness", "value": "32.5"}])");
    EXPECT_NE(number.job.text().find("\"thickness\": 32.5"), std::string::npos);
    EXPECT_EQ(number.says, "Thickness of the top: 32.5 mm");
}

TEST(Set, RefusesWithTheFieldAndChangesNothing) {
    const OpenJob job = console();
    const std::string before = job.text();
    for (
        const auto& [edit, pointer] : std::vector<std::pair<std::string, std::string>>{
            {R"([{"set": "/top/thickness", "value": "thirty"}])", "/top/thickness"},
            {R"([{"set": "/top/thickness", "value": "0"}])", "/top/thickness"},
            {R"([{"set": "/top/thickness", "value": "1/2"}])", "/top/thickness"},
            {R"([{"set": "/shelf/cutters/0/max_speed", "value": "fast"}])", "/shelf/cutters/0/max_speed"},
            {R"([{"set": "/pieces/0/grain_degrees", "value": "400"}])", "/pieces/0/grain_degrees"},
            {R"([{"set": "/seams/1/name", "value": "front seam"}])", "/seams/1/name"},
            {R"([{"set": "/seams/0/name", "value": "  "}])", "/seams/0/name"},
            {R"([{"set": "/seams/0/curve/wave/terms/0/half_height", "value": "20 mm"}, {"set": "/limits/gap", "value": "nine"}])",
             "/limits/gap"},
            {R"([{"set": "/seams/9/name", "value": "x"}])", "/seams/9/name"},
            {R"([{"set": "/unit", "value": "cm"}])", "/unit"},
            {R"([{"remove": "/seams/7"}])", "/seams/7"},
            {R"([{"insert": "/pieces/9", "value": {}}])", "/pieces/9"}}) {
        const auto problems = refused(job, edit);
        EXPECT_EQ(problems.front().pointer, pointer) << edit << job::show(problems.front());
        EXPECT_FALSE(problems.front().remedy.empty());
    }
    EXPECT_EQ(job.text(), before);
    for (const char* edit :
         {"", "{}", "[1]", "[{}]", R"([{"set": 5, "value": 1}])", R"([{"set": "/top"}])",
          R"([{"set": "", "value": 1}])", R"([{"bend": "/top"}])", R"([{"set": "/name", "value": "x", "also": 1}])"})
        EXPECT_FALSE(refused(job, edit).empty()) << edit;
}

TEST(Set, AnglesNumbersAndYes) {
    const auto result = edited(console(), R"([{"set": "/pieces/0/grain_degrees", "value": "15°"},
        {"set": "/shelf/cutters/0/max_speed", "value": "18 000"}, {"set": "/show/feet", "value": "true"}])");
    EXPECT_EQ(result.job.written_at("/pieces/0/grain_degrees"), "15");
    EXPECT_EQ(result.job.written_at("/shelf/cutters/0/max_speed"), "18000");
    EXPECT_TRUE(result.job.document().job.style.feet);
    EXPECT_TRUE(result.shelf_changed);
    EXPECT_EQ(result.says, "Grain direction of front board: 15°, and 2 more changes");
}

TEST(Set, OneOfTwoTakesTheOthersPlace) {
    const OpenJob job = edit_jobs::opened(edit_jobs::one_arc(R"("rise": 45)"));
    const OpenJob stick = edit_jobs::opened(edit_jobs::one_stick(R"("rise": 45)"));
    const auto length = edited(stick, R"([{"set": "/seams/0/curve/sprung/length", "value": "1300"}])");
    EXPECT_FALSE(length.job.written_at("/seams/0/curve/sprung/rise"));
    EXPECT_EQ(length.says, "Length of the stick of middle seam: 1300.0 mm");
    const auto radius = edited(job, R"([{"set": "/seams/0/curve/arc/radius", "value": "2500"}])");
    EXPECT_FALSE(radius.job.written_at("/seams/0/curve/arc/rise"));
    EXPECT_TRUE(radius.job.written_at("/seams/0/curve/arc/radius"));
    const auto back = edited(radius.job, R"([{"set": "/seams/0/curve/arc/rise", "value": "45"}])");
    EXPECT_EQ(back.job.text(), job.text());
    const auto round = edited(job, R"([{"set": "/top/outline/round", "value": {"diameter": "900 mm"}}])");
    EXPECT_TRUE(std::holds_alternative<job::RoundOutline>(round.job.document().job.outline));
    const auto bowed = edited(console(), R"([{"set": "/top/outline/rectangle/back/bow", "value": "12"}])");
    EXPECT_FALSE(bowed.job.written_at("/top/outline/rectangle/back/pins/0/0"));
}

TEST(Set, NothingTypedLeavesAnEntryOpen) {
    const auto result = edited(console(), R"([{"set": "/shelf/guides/1/measured", "value": ""}])");
    EXPECT_FALSE(result.job.document().shelf.guides[1].outside.measured_mm);
    EXPECT_EQ(result.says, "Measured size of 24 mm guide: left open");
    const auto same = edited(console(), R"([{"set": "/shelf/guides/0/measured", "value": null}])");
    EXPECT_EQ(same.job.text(), console().text());
    EXPECT_FALSE(same.shelf_changed);
}

TEST(Set, GroupsThatAreNotThereYetAreMade) {
    const OpenJob job = edit_jobs::opened(edit_jobs::one_arc(R"("rise": 45)"));
    const auto result =
        edited(job, R"([{"set": "/limits/gap", "value": "0.2"}, {"set": "/paper/size", "value": "A3"}])");
    EXPECT_NEAR(result.job.document().job.limits.gap_mm, 0.2, 1e-12);
    EXPECT_EQ(result.job.document().job.paper.size, "A3");
}

TEST(Set, OneCornerAloneKeepsTheOthers) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("bench-top"));
    const auto result = edited(job, R"([{"set": "/top/outline/rectangle/corner_radius/back_left", "value": "2 in"}])");
    const auto& corners = std::get<job::RectangleOutline>(result.job.document().job.outline).corner_radius_mm;
    EXPECT_NEAR(corners[0], 0.375 * 25.4, 1e-12);
    EXPECT_NEAR(corners[3], 2.0 * 25.4, 1e-12);
}

TEST(Set, TheUnitChangesNoSize) {
    for (const char* name : {"hall-console", "bench-top", "round-table"}) {
        const OpenJob job = edit_jobs::opened(edit_jobs::example(name));
        const bool inch = job.document().job.style.unit == units::Unit::inch;
        const auto other =
            edited(job, inch ? R"([{"set": "/unit", "value": "mm"}])" : R"([{"set": "/unit", "value": "in"}])");
        const auto& a = job.document();
        const auto& b = other.job.document();
        EXPECT_EQ(a.job.thickness_mm, b.job.thickness_mm);
        EXPECT_EQ(a.shelf, b.shelf);
        EXPECT_EQ(a.job.pieces, b.job.pieces);
        EXPECT_EQ(a.job.sheet, b.job.sheet);
        EXPECT_EQ(a.job.limits, b.job.limits);
        EXPECT_EQ(a.job.paper, b.job.paper);
        ASSERT_EQ(job.plan().seams.size(), other.job.plan().seams.size());
        for (std::size_t i = 0; i < job.plan().seams.size(); ++i)
            EXPECT_EQ(job.plan().seams[i].in_wood, other.job.plan().seams[i].in_wood) << name;
        EXPECT_EQ(job.plan().outline, other.job.plan().outline);
        EXPECT_NE(b.job.style.unit, a.job.style.unit);
    }
}

TEST(Set, ATracedLineKeepsItsUnit) {
    std::string text = edit_jobs::one_arc(R"("rise": 45)");
    const auto from = text.find(R"({ "arc")"), to = text.find("} ],", from);
    text.replace(from, to - from, R"({ "points": { "csv": "-40,130\n600,170\n1240,140", "move": [0, "5 mm"] } })");
    const OpenJob job = edit_jobs::opened(text);
    const auto inch = edited(job, R"([{"set": "/unit", "value": "in"}])");
    EXPECT_EQ(inch.job.plan().seams.at(0).in_wood, job.plan().seams.at(0).in_wood);
}

TEST(Set, NamesThatCallAToolAreFollowed) {
    const auto bearing = edited(console(), R"([{"set": "/shelf/bearings/0/name", "value": "ball bearing 19"}])");
    EXPECT_EQ(bearing.job.document().shelf.cutters[3].bearings.front(), "ball bearing 19");
    const OpenJob job = console();
    const std::string id = job.plan().seams[0].chains[job.plan().seams[0].chosen].id;
    const auto pinned = edited(job, R"([{"set": "/seams/0/chain", "value": ")" + id + R"("}])");
    const auto renamed = edited(pinned.job, R"([{"set": "/shelf/guides/0/name", "value": "large guide"}])");
    EXPECT_NE(renamed.job.written_at("/seams/0/chain"), pinned.job.written_at("/seams/0/chain"));
    EXPECT_FALSE(job::any_error(renamed.job.problems()));
    const auto gone = edited(console(), R"([{"remove": "/shelf/bearings/0"}])");
    EXPECT_TRUE(gone.job.document().shelf.cutters[3].bearings.empty());
    EXPECT_EQ(gone.says, "19 mm bearing taken off the shelf");
}

TEST(Set, KindsOfSeamsChangeIntoEachOther) {
    OpenJob job = edit_jobs::opened(edit_jobs::one_arc(R"("rise": 45)"));
    for (const char* kind : {"inlay", "edging", "open", "edging", "inlay", "open"}) {
        job = edited(job, std::string(R"([{"set": "/seams/0/kind", "value": ")") + kind + R"("}])").job;
        for (const auto& problem : job.problems())
            EXPECT_FALSE(problem.weight == job::Problem::Weight::error && problem.pointer.starts_with("/seams"))
                << kind << job::show(problem);
    }
    EXPECT_EQ(refused(job, R"([{"set": "/seams/0/kind", "value": "closed"}])").front().pointer, "/seams/0/kind");
}

TEST(Insert, ToolsAndPins) {
    const auto tool =
        edited(console(),
               R"([{"insert": "/shelf/guides/-", "value": {"name": "20 mm guide", "outside": "20", "barrel": 9}}])");
    EXPECT_EQ(tool.job.document().shelf.guides.size(), 5u);
    EXPECT_EQ(tool.says, "20 mm guide put on the shelf");
    const auto pin = edited(console(), R"([{"insert": "/seams/1/curve/pins/points/1", "value": ["100", "250 mm"]}])");
    EXPECT_EQ(pin.job.written_at("/seams/1/curve/pins/points/1/1"), "250 mm");
    EXPECT_EQ(pin.says, "Pin 2 of back seam added");
    const auto back = edited(pin.job, R"([{"remove": "/seams/1/curve/pins/points/1"}])");
    EXPECT_EQ(back.job.text(), console().text());
    const OpenJob bare = edit_jobs::opened(edit_jobs::one_arc(R"("rise": 45)"));
    EXPECT_EQ(edited(bare, R"([{"insert": "/shelf/bearings/-", "value": {"name": "b", "outside": 19}}])")
                  .job.document()
                  .shelf.bearings.size(),
              1u);
}

TEST(Remove, KeepsThePinsThatALineNeeds) {
    OpenJob job = console();
    for (int i = 0; i < 3; ++i) job = edited(job, R"([{"remove": "/seams/1/curve/pins/points/1"}])").job;
    const auto problem = refused(job, R"([{"remove": "/seams/1/curve/pins/points/1"}])").front();
    EXPECT_EQ(problem.pointer, "/seams/1/curve/pins/points/1");
    EXPECT_EQ(problem.allowed, "at least 2 pins on an open line");
    EXPECT_EQ(edited(job, R"([{"remove": "/seams/1"}])").says, "Back seam removed");
}

// A change and its opposite are the same document, byte for byte.
RC_GTEST_PROP(SetAny, ThereAndBackIsTheSameText, ()) {
    const auto name = *rc::gen::element<std::string>("hall-console", "bench-top", "round-table");
    const OpenJob job = edit_jobs::opened(edit_jobs::example(name));
    const auto pointer = *rc::gen::element<std::string>("/top/thickness", "/name", "/shelf/cutters/0/diameter",
                                                        "/template/run_out", "/limits/gap", "/pieces/1/at/0");
    const std::string old = job.written_at(pointer).value_or("");
    RC_ASSERT(!old.empty());
    const auto number = *rc::gen::inRange(1, 4);
    const auto other =
        edited(job, R"([{"set": ")" + pointer + R"(", "value": ")" + std::to_string(number) + R"( mm"}])");
    const auto back = edited(other.job, R"([{"set": ")" + pointer + R"(", "value": ")" + old + R"("}])");
    RC_ASSERT(back.job.text() == job.text());
    RC_ASSERT(back.job.plan().inputs_sha256 == job.plan().inputs_sha256);
}

}  // namespace
