#include <gtest/gtest.h>

#include <algorithm>

#include "curves/drawn.h"
#include "edit_jobs.h"
#include "geometry/path_index.h"

namespace {

using namespace seamwright;
using edit::OpenJob;
using edit_jobs::edited;

std::vector<std::string> ids(const OpenJob& job) {
    std::vector<std::string> result;
    for (const auto& remedy : job.remedies()) result.push_back(remedy.id);
    return result;
}

bool has(const OpenJob& job, const std::string& id) {
    const auto all = ids(job);
    return std::find(all.begin(), all.end(), id) != all.end();
}

edit::Remedy remedy(const OpenJob& job, const std::string& id) {
    for (const auto& one : job.remedies())
        if (one.id == id) return one;
    throw std::runtime_error("no remedy " + id + " in " + job.text() +
                             (job.problems().empty() ? "" : job::show(job.problems().front())));
}

/// The remedy is offered, belongs to a problem, and takes that problem away.
OpenJob cured(const OpenJob& job, const std::string& id) {
    const auto offered = remedy(job, id);
    EXPECT_LT(offered.problem, job.problems().size());
    EXPECT_FALSE(offered.says.empty());
    const job::Problem before = job.problems().at(offered.problem);
    const auto result = edited(job, R"([{"remedy": ")" + id + R"("}])");
    for (const auto& problem : result.job.problems())
        EXPECT_FALSE(problem.pointer == before.pointer && problem.found == before.found) << id << "\n"
                                                                                         << job::show(problem);
    return result.job;
}

OpenJob with_curve(const std::string& curve) {
    std::string text = edit_jobs::one_arc(R"("rise": 45)");
    const auto from = text.find(R"({ "arc")"), to = text.find("} ],", from);
    text.replace(from, to - from, curve);
    return edit_jobs::opened(text);
}

TEST(Remedy, AThinnerStick) {
    std::string text = edit_jobs::one_stick(R"("rise": 100)");
    edit_jobs::replace(text, R"("pieces")", R"("stick": { "species": "cherry", "thickness": 40 }, "pieces")");
    const OpenJob job = edit_jobs::opened(text);
    const auto remedies = job.remedies();
    const auto thinner = std::find_if(remedies.begin(), remedies.end(),
                                      [](const auto& r) { return r.id == "thinner:/stick/thickness"; });
    ASSERT_NE(thinner, remedies.end());
    EXPECT_EQ(job.problems()[thinner->problem].pointer, "/stick/thickness");
    const auto done = edited(job, R"([{"remedy": "thinner:/stick/thickness"}])");
    const double mm = done.job.document().job.stick->thickness_mm;
    EXPECT_LE(mm, job.plan().seams[0].stick->greatest_thickness_mm);
    EXPECT_GT(mm, job.plan().seams[0].stick->greatest_thickness_mm - 0.5);
    EXPECT_TRUE(done.job.plan().seams[0].stick->holds);
    EXPECT_TRUE(done.job.remedies().empty());
    EXPECT_EQ(done.says, "Thickness of the stick of the job: 14.0 mm");
}

TEST(Remedy, EveryKindOfOpenCurveIsCarriedOnPastTheEdge) {
    for (
        const char* curve : {
            R"({ "straight": { "from": [100, 130], "to": [1100, 160] } })",
            R"({ "straight": { "from": [10, 130], "to": [1240, 160] } })",
            R"({ "arc": { "from": [100, 130], "to": [1100, 160], "rise": 45, "bulge": "left" } })",
            R"({ "arc": { "from": [100, 130], "to": [1100, 160], "radius": 2000, "bulge": "right" } })",
            R"({ "sprung": { "from": [100, 130], "to": [1100, 160], "rise": 45, "bulge": "left" } })",
            R"({ "sprung": { "from": [100, 150], "to": [1150, 130], "length": 1060, "bulge": "right" } })",
            R"({ "wave": { "from": [100, 130], "to": [1100, 160], "terms": [{ "half_height": 18, "length": 700 }, { "half_height": 5, "length": 300, "shift": 0.3 }] } })",
            R"({ "pins": { "points": [[200, 130], [600, 180], [1000, 140]] } })",
            R"({ "pins": { "points": [[20, 130], [600, 180], [1190, 140]] } })",
            R"({ "svg_path": { "d": "M 100 130 C 400 200 800 100 1100 160", "unit_size": "1 mm", "y_up": true } })",
            R"({ "points": { "csv": "100,130\n600,170\n1100,160", "unit": "mm" } })",
            R"({ "lines_and_arcs": { "start": [100, 130], "segments": [{ "to": [1100, 160] }] } })",
        }) {
        const OpenJob job = with_curve(curve);
        ASSERT_TRUE(job::any_error(job.problems())) << curve;
        const OpenJob after = cured(job, "extend:/seams/0");
        EXPECT_FALSE(job::any_error(after.problems())) << curve << "\n" << job::show(after.problems().front());
        // The course within the wood is what it was (pins and a longer stick give way a little near the ends).
        const auto before = std::get<curves::Drawn>(curves::draw(job.document().job.seams[0].curve));
        const auto line = std::get<curves::Drawn>(curves::draw(after.document().job.seams[0].curve));
        const geometry::PathIndex index(line.path);
        const bool pins = std::string(curve).find("pins") != std::string::npos ||
                          std::string(curve).find("sprung") != std::string::npos;
        for (const auto p : geometry::chords(before.path, 0.01))
            EXPECT_LT(index.distance_mm(p), pins ? 12.0 : 0.01) << curve << " at " << p.x << ", " << p.y;
    }
}

TEST(Remedy, SaysHowFarInTheMakersUnits) {
    const OpenJob job = with_curve(R"({ "straight": { "from": [10, 130], "to": [1240, 130] } })");
    EXPECT_EQ(remedy(job, "extend:/seams/0").says, "Carry the left end on by 50.0 mm, past the edge");
}

TEST(Remedy, ASeamBesideTheTopIsMovedOntoIt) {
    const OpenJob job = with_curve(R"({ "straight": { "from": [-40, 930], "to": [1240, 960] } })");
    const OpenJob after = cured(job, "onto:/seams/0");
    EXPECT_FALSE(job::any_error(after.problems()));
}

TEST(Remedy, AnInlayIsMovedInwardOrMadeSmaller) {
    std::string text = edit_jobs::example("round-table");
    edit_jobs::replace(text, R"("centre": [450, 450])", R"("centre": [720, 450])");
    const OpenJob moved = cured(edit_jobs::opened(text), "inward:/seams/1");
    // The names stay where they were; the seam itself is right.
    EXPECT_TRUE(std::none_of(moved.problems().begin(), moved.problems().end(),
                             [](const job::Problem& p) { return p.pointer.starts_with("/seams"); }));
    text = edit_jobs::example("round-table");
    edit_jobs::replace(text, R"("length": 340)", R"("length": 1000)");
    const OpenJob smaller = cured(edit_jobs::opened(text), "smaller:/seams/1");
    EXPECT_TRUE(std::none_of(smaller.problems().begin(), smaller.problems().end(),
                             [](const job::Problem& p) { return p.pointer == "/seams/1"; }));
}

TEST(Remedy, EdgingsThatLeaveNothingBecomeNarrower) {
    std::string text = edit_jobs::example("hall-console");
    const OpenJob job = edited(edit_jobs::opened(text), R"([{"remove": "/seams/1"}, {"remove": "/pieces/2"},
        {"set": "/top/outline/rectangle/front", "value": {"bow": -150}},
        {"set": "/seams/0/kind", "value": "edging"}, {"set": "/seams/0/width", "value": 150}])")
                            .job;
    ASSERT_TRUE(job::any_error(job.problems()));
    const OpenJob after = cured(job, "narrower:/seams/0");
    EXPECT_FALSE(after.plan().seams.empty());
}

TEST(Remedy, PinsThatDoubleBackAreTakenOut) {
    const OpenJob job =
        with_curve(R"({ "pins": { "points": [[-40, 130], [600, 150], [590, 150], [610, 150], [1240, 130]] } })");
    ASSERT_TRUE(job::any_error(job.problems()));
    const auto all = ids(job);
    ASSERT_EQ(all.size(), 1u);
    EXPECT_EQ(all.front().substr(0, 30), "drop_pin:/seams/0/curve/pins/p");
    cured(job, all.front());
}

TEST(Remedy, SpeciesAreTakenByNameAndOnePressForEachMeaning) {
    std::string text = edit_jobs::one_arc(R"("rise": 45)");
    edit_jobs::replace(text, "Walnut, black", "soft maple");
    edit_jobs::replace(text, "Ash, white", "chery");
    const OpenJob job = edit_jobs::opened(text);
    EXPECT_TRUE(has(job, "species:/pieces/0:Maple, red"));
    EXPECT_TRUE(has(job, "species:/pieces/0:Maple, silver"));
    EXPECT_EQ(cured(job, "species:/pieces/1:Cherry, black").document().job.pieces[1].species, "Cherry, black");
}

TEST(Remedy, APieceWithoutANameIsGivenOne) {
    std::string text = edit_jobs::one_arc(R"("rise": 45)");
    const OpenJob whole = edit_jobs::opened(text);
    const auto bare = std::get<OpenJob::Edited>(whole.edited(R"([{"remove": "/pieces/1"}])", {})).job;
    ASSERT_EQ(bare.document().job.pieces.size(), 1u);
    ASSERT_TRUE(has(bare, "name_piece:Piece A"));
    const OpenJob named = cured(bare, "name_piece:Piece A");
    ASSERT_EQ(named.document().job.pieces.size(), 2u);
    EXPECT_EQ(named.document().job.pieces[1].name, "Piece A");
    EXPECT_FALSE(has(named, "name_piece:Piece A"));
}

TEST(Remedy, EntriesOfPiecesAreMovedOrLeftOut) {
    std::string text = edit_jobs::one_arc(R"("rise": 45)");
    edit_jobs::replace(text, "[600, 290]", "[600, 30]");
    const OpenJob twice = edit_jobs::opened(text);
    const OpenJob placed = cured(twice, "place_piece:/pieces/1");
    EXPECT_FALSE(job::any_error(placed.problems()));
    EXPECT_EQ(placed.document().job.pieces.size(), 2u);
    EXPECT_EQ(cured(twice, "drop_piece:/pieces/1").document().job.pieces.size(), 1u);
    edit_jobs::replace(text, "[600, 30]", "[600, 3000]");
    EXPECT_FALSE(job::any_error(cured(edit_jobs::opened(text), "place_piece:/pieces/1").problems()));
}

TEST(Remedy, ToolsThatWouldMatchAreAdvisedAndPutOnTheShelf) {
    std::string text = edit_jobs::one_arc(R"("rise": 45)");
    edit_jobs::replace(text, R"("outside": 30)", R"("outside": 28)");
    edit_jobs::replace(text, R"("bore": 27)", R"("bore": 25)");
    const OpenJob job = edit_jobs::opened(text);
    ASSERT_FALSE(job.plan().seams.at(0).any_exact);
    const auto advice = job.tool_advice();
    ASSERT_FALSE(advice.empty());
    for (const auto& one : advice) {
        const auto result = edited(job, R"([{"remedy": ")" + one.remedy + R"("}])");
        EXPECT_TRUE(result.shelf_changed);
        EXPECT_TRUE(result.job.plan().seams.at(0).any_exact) << one.says << "\n" << result.job.text();
        EXPECT_NE(result.says.find("put on the shelf"), std::string::npos);
    }
    const auto guide =
        std::find_if(advice.begin(), advice.end(), [](const auto& a) { return a.remedy == "tool:guide:30"; });
    ASSERT_NE(guide, advice.end());  // B = 3b: a 30 mm guide with the 10 mm cutter
    EXPECT_NE(guide->says.find("30.0 mm"), std::string::npos);
}

TEST(Remedy, ToolsInInchJobsAreWrittenInInches) {
    std::string text = edit_jobs::example("bench-top");
    edit_jobs::replace(text, R"("outside": "1 1/2 in")", R"("outside": "1 7/16 in")");
    const OpenJob job = edit_jobs::opened(text);
    for (const auto& one : job.tool_advice()) {
        const auto result = edited(job, R"([{"remedy": ")" + one.remedy + R"("}])");
        EXPECT_TRUE(result.job.plan().seams.at(0).any_exact) << one.says << result.job.text();
    }
}

TEST(Remedy, AWayOfCopyingThatIsGoneIsLeftToThePlan) {
    std::string text = edit_jobs::one_arc(R"("rise": 45)");
    edit_jobs::replace(text, "\"kind\": \"open\",",
                       "\"kind\": \"open\", \"chain\": \"left:far(old guide/old cutter)\",");
    const OpenJob job = edit_jobs::opened(text);
    EXPECT_TRUE(cured(job, "unpin:/seams/0").plan().seams[0].closes);
}

TEST(Remedy, APinnedWayThatMissesIsLetGo) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const std::string pair = "17 mm guide/8 mm straight cutter";
    const std::string poor = "left:far(" + pair + ")-" + pair + "-" + pair;
    const auto pinned = edited(job, R"([{"set": "/seams/0/chain", "value": ")" + poor + R"("}])");
    EXPECT_EQ(pinned.says, "Way of copying of front seam: changed");
    const OpenJob after = cured(pinned.job, "unpin:/seams/0");
    EXPECT_TRUE(after.plan().seams[0].closes);
}

TEST(Remedy, TemplatesBecomeThickerThanTheBarrel) {
    std::string text = edit_jobs::one_arc(R"("rise": 45)");
    edit_jobs::replace(text, R"("barrel": 9)", R"("barrel": 14)");
    const OpenJob job = edit_jobs::opened(text);
    const OpenJob after = cured(job, "thicker_template");
    EXPECT_EQ(after.written_at("/template/thickness"), "15");
    EXPECT_FALSE(job::any_error(after.problems()));
}

TEST(Remedy, ALongerCutterIsPutOnTheShelf) {
    std::string text = edit_jobs::one_arc(R"("rise": 45)");
    edit_jobs::replace(text, R"("cutting_length": 45)", R"("cutting_length": 12)");
    const OpenJob job = edit_jobs::opened(text);
    const OpenJob after = cured(job, "longer_cutter:10");
    EXPECT_TRUE(after.plan().seams[0].closes) << after.plan().seams[0].verdict;
}

TEST(Remedy, AMeasuredSizeFarOffIsTakenAway) {
    std::string text = edit_jobs::one_arc(R"("rise": 45)");
    edit_jobs::replace(text, R"("outside": 30)", R"("outside": 30, "measured": 27.5)");
    const OpenJob after = cured(edit_jobs::opened(text), "unmeasure:/shelf/guides/0");
    EXPECT_FALSE(after.document().shelf.guides[0].outside.measured_mm.has_value());
}

TEST(Remedy, CornersThatDoNotFitAreRoundedLess) {
    const OpenJob job = edited(edit_jobs::opened(edit_jobs::one_arc(R"("rise": 45)")), R"([
        {"set": "/top/outline/rectangle/corner_radius", "value": {"front_right": 290}},
        {"set": "/top/outline/rectangle/front", "value": {"bow": -250}}])")
                            .job;
    ASSERT_TRUE(job.plan().outline.empty());
    EXPECT_FALSE(cured(job, "smaller_corners").plan().outline.empty());
}

TEST(Remedy, TheFirstSeamIsOnePress) {
    const OpenJob job =
        edit_jobs::opened(edit::blank_document(units::Unit::inch, edit::shelf_of(edit_jobs::example("bench-top"))));
    EXPECT_EQ(cured(job, "first_seam").plan().seams.size(), 1u);
}

TEST(Remedy, UnknownOnesAreRefused) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    EXPECT_FALSE(edit_jobs::refused(job, R"([{"remedy": "extend:/seams/0"}])").empty());
    for (const auto& one : job.remedies()) ADD_FAILURE() << one.id;
}

}  // namespace
