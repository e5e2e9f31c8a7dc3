#include <gtest/gtest.h>

#include <set>

#include "paper/papers.h"
#include "paper/tiles.h"
#include "screens.h"
#include "shelf/shelf.h"

namespace seamwright::screen::testing {
namespace {

TEST(Screen, seams_that_cross_are_still_drawn) {
    const auto job = opened(changed("hall-console", "/seams/1/curve",
                                    Json::parse(R"({"straight": {"from": [-40, 100], "to": [1550, 300]}})")));
    const Json screen = screen_of(job);
    EXPECT_NE(screen["drawing"]["outline"], "");
    for (const Json& seam : screen["seams"]) {
        EXPECT_FALSE(seam["planned"].get<bool>());
        EXPECT_TRUE(seam["strip"].is_null());
        EXPECT_NE(seam["d"], "");
        EXPECT_NE(seam["whole"], seam["d"]) << "past the outline";
        EXPECT_NE(seam["verdict"], "");
    }
    ASSERT_FALSE(screen["problems"].empty());
    EXPECT_EQ(screen["problems"][0]["weight"], "error");
    EXPECT_TRUE(screen["problems"][0].contains("at"));
    EXPECT_EQ(screen["verdict"], "Not ready: 1 thing to put right.");
    EXPECT_TRUE(screen["papers"]["files"].empty());
    EXPECT_NE(write_shop_view(job, 1).find("Do not cut from this page"), std::string::npos);
}

TEST(Screen, says_how_the_seams_are_drawn) {
    const Json console = screen_of(example("hall-console"));
    EXPECT_EQ(console["seams"][0]["as"], "wave");
    EXPECT_EQ(console["seams"][1]["as"], "pins");
    EXPECT_EQ(screen_of(example("bench-top"))["seams"][0]["as"], "arc");
    EXPECT_EQ(screen_of(example("round-table"))["seams"][0]["as"], "edging");
    EXPECT_EQ(screen_of(example("round-table"))["seams"][1]["as"], "oval");
    const auto as = [](const char* curve) {
        const auto job =
            opened(job::testing::small_job(R"("straight": {"from": [-30, 200], "to": [1030, 200]})", curve));
        return screen_of(job)["seams"][0]["as"].get<std::string>();
    };
    EXPECT_EQ(as(R"("svg_path": {"d": "M-30 -200 L1030 -210", "unit_size": "1 mm"})"), "svg_path");
    EXPECT_EQ(as(R"("points": {"csv": "-30,200\n500,220\n1030,200\n"})"), "points");
    const auto circle = opened(changed("round-table", "/seams/1/curve",
                                       Json::parse(R"({"circle": {"centre": [450, 450], "diameter": 300}})")));
    EXPECT_EQ(screen_of(circle)["seams"][1]["as"], "circle");
}

TEST(Screen, chains_are_told_in_words) {
    const Json chains = screen_of(example("hall-console"))["seams"][0]["chains"];
    EXPECT_EQ(chains[0]["title"], "30 mm guide and 10 mm straight cutter for everything, master on the left");
    int chosen = 0;
    std::set<std::string> titles;
    for (const Json& chain : chains) {
        chosen += chain["chosen"].get<bool>() ? 1 : 0;
        EXPECT_TRUE(titles.insert(chain["title"]).second) << chain["title"];
        EXPECT_FALSE(chain["reasons"].empty());
        EXPECT_NE(chain["mismatch"], "");
        for (const Json& step : chain["steps"]) {
            EXPECT_NE(step["title"], "");
            EXPECT_FALSE(step["picture"]["shapes"].empty());
            if (chain["chosen"].get<bool>()) {
                EXPECT_FALSE(step["cautions"].empty());
            }
        }
    }
    EXPECT_EQ(chosen, 1);
    std::string job = job::testing::small_job("\"diameter\": 10", "\"diameter\": 11");
    job.replace(job.find("\"kind\": \"open\""), 14, "\"kind\": \"open\", \"chain\": \"left:far(G/C)-G/C-G/C\"");
    bool said = false;
    titles.clear();
    const Json all = screen_of(opened(job));
    for (const Json& chain : all["seams"][0]["chains"]) {
        said = said || chain["mismatch"] == "The sizes of the tools leave a gap of 1.50 mm.";
        EXPECT_TRUE(titles.insert(chain["title"]).second) << chain["title"];
    }
    EXPECT_GT(titles.size(), 5u);
    EXPECT_TRUE(said);
}

TEST(Screen, pieces_tell_their_wood_size_and_weight) {
    const Json pieces = screen_of(example("hall-console"))["drawing"]["pieces"];
    ASSERT_EQ(pieces.size(), 3u);
    EXPECT_EQ(pieces[0]["pointer"], "/pieces/0");
    EXPECT_EQ(pieces[0]["wood"], "dark");
    EXPECT_EQ(pieces[1]["wood"], "pale");
    EXPECT_NE(pieces[0]["tells"].get<std::string>().find(" kg"), std::string::npos);
    const Json inches = screen_of(example("bench-top"))["drawing"]["pieces"];
    EXPECT_NE(inches[0]["tells"].get<std::string>().find(" lb"), std::string::npos);
    EXPECT_EQ(inches[0]["tells"].get<std::string>().find("mm"), std::string::npos);
}

TEST(Screen, every_wood_of_the_tables_has_a_look) {
    std::set<std::string> looks;
    for (const auto& species : shelf::all_species()) {
        const auto job = opened(changed("bench-top", "/pieces/0/species", species.name));
        const std::string look = screen_of(job, true)["drawing"]["pieces"][0]["wood"];
        EXPECT_NE(look, "unknown") << species.name;
        looks.insert(look);
    }
    EXPECT_EQ(looks.size(), 6u);
    const auto other = opened(changed("bench-top", "/pieces/0/species", "moonwood"));
    EXPECT_EQ(screen_of(other, true)["drawing"]["pieces"][0]["wood"], "unknown");
}

TEST(Screen, papers_name_what_can_be_fetched_and_show_its_sheets) {
    for (const auto& name : example_names()) {
        const auto job = example(name);
        const Json papers = screen_of(job)["papers"];
        std::set<std::string> names;
        for (const Json& file : papers["files"]) names.insert(file["name"]);
        const auto all = paper::all_papers(job.plan(), &job.document());
        for (const auto& file : all) EXPECT_TRUE(names.contains(file.name)) << file.name;
        EXPECT_EQ(names.size(), all.size() + 1) << "and plan.json";
        std::size_t templates = 0;
        for (const auto& seam : job.plan().seams) templates += seam.templates.size();
        ASSERT_EQ(papers["tiles"].size(), templates);
        // As many as the printed file says: "… on 10 sheets of A4".
        std::size_t at = 0;
        for (const auto& file : all) {
            const auto on = file.says.find("full size on ");
            // Templates of the outline belong to no seam: their sheets are not shown over the drawing.
            if (!file.name.ends_with("-sheets.pdf") || on == std::string::npos || file.name.starts_with("outline-"))
                continue;
            EXPECT_EQ(papers["tiles"][at]["sheets"].size(), std::stoul(file.says.substr(on + 13))) << file.says;
            ++at;
        }
        EXPECT_EQ(at, templates);
    }
}

TEST(Screen, a_template_that_goes_on_no_sheet_leaves_the_rest_as_it_is) {
    // A floor more than a top: a strip of 19 m whose template is as deep as the job allows, on a small window.
    Json tree = Json::parse(example_text("bench-top"));
    tree["top"]["outline"]["rectangle"] = {{"length", "19 m"}, {"width", "19 m"}};
    tree["seams"][0]["curve"] = {{"straight", {{"from", {"-50 mm", "9 m"}}, {"to", {"19050 mm", "9 m"}}}}};
    tree["template"]["body"] = "2 m";
    tree["paper"] = {{"size", "A4"}, {"overlap", "50 mm"}, {"margin", "35 mm"}};
    tree["pieces"] = Json::array();
    const auto job = opened(tree.dump());
    const Json papers = screen_of(job)["papers"];
    ASSERT_EQ(papers["tiles"].size(), 2u);
    EXPECT_TRUE(papers["tiles"][0]["sheets"].empty());
    EXPECT_FALSE(papers["files"].empty());
}

TEST(Screen, what_would_help_can_be_pressed) {
    // No exact way with an 11 mm cutter: a tool is advised, and the remedy is one the job knows.
    const auto job = opened(job::testing::small_job("\"diameter\": 10", "\"diameter\": 11"));
    const Json screen = screen_of(job);
    ASSERT_EQ(screen["seams"][0]["advice"].size(), job.tool_advice().size());
    ASSERT_FALSE(screen["seams"][0]["advice"].empty());
    const Json edit = Json::array({{{"remedy", screen["seams"][0]["advice"][0]["remedy"]}}});
    const auto done = job.edited(edit.dump());
    ASSERT_TRUE(std::holds_alternative<edit::OpenJob::Edited>(done));
    EXPECT_TRUE(std::get<edit::OpenJob::Edited>(done).job.plan().seams[0].closes);

    // A seam that ends inside the wood.
    const auto short_job = opened(job::testing::small_job("[1030, 200]", "[900, 200]"));
    const Json broken = screen_of(short_job);
    std::size_t pressed = 0;
    for (const Json& problem : broken["problems"]) pressed += problem.contains("press") ? problem["press"].size() : 0;
    EXPECT_EQ(pressed, short_job.remedies().size());
    EXPECT_GT(pressed, 0u);
}

TEST(Screen, undo_and_note_come_through_whatever_they_hold) {
    const auto job = opened(changed("bench-top", "/name", "A \"quoted\" ½ \\ top"));
    const Json screen = screen_of(job);
    EXPECT_EQ(screen["name"], "A \"quoted\" ½ \\ top");
    EXPECT_EQ(screen["undo"], "Pin 3 of front seam moved");
    EXPECT_EQ(screen["id"], 7);
    EXPECT_EQ(screen["version"], 3);
}

}  // namespace
}  // namespace seamwright::screen::testing
