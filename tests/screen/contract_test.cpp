#include "contract.h"

#include <gtest/gtest.h>

#include "screen/wood_view.h"
#include "screen/work_view.h"
#include "screens.h"

namespace seamwright::screen::testing {
namespace {

const Contract& contract() {
    static const Contract read;
    return read;
}

/// As the server sends it.
Json sent(Json screen) {
    screen["engine_us"] = 900;
    return screen;
}

TEST(Contract, of_the_page_is_kept_by_every_example) {
    ASSERT_GT(contract().size(), 20u);
    for (const auto& name : example_names()) {
        const auto job = example(name);
        for (const bool live : {false, true})
            EXPECT_EQ(contract().why_not("Screen", sent(screen_of(job, live))), "") << name;
        EXPECT_EQ(contract().why_not("ShopView", Json::parse(write_shop_view(job, 3))), "") << name;
    }
}

TEST(Contract, of_the_wood_is_kept_with_boards_and_without) {
    for (const std::string name : {"stack-of-boards", "hall-console"}) {
        const Json view = Json::parse(write_wood(example(name), 5, [](const std::string&) { return false; }));
        EXPECT_EQ(contract().why_not("WoodView", view), "") << name;
        EXPECT_EQ(view["boards"].empty(), name == "hall-console");
        EXPECT_FALSE(view["year"].empty());
        // The one leaves 40 mm at the ends of its pieces, the other its margin alone.
        ASSERT_EQ(view["rough"].size(), 3U);
        for (const Json& piece : view["rough"]) {
            EXPECT_EQ(piece["screws"].empty(), name == "hall-console");
            EXPECT_EQ(piece["told"]["cautions"].empty(), name != "hall-console");
        }
    }
}

TEST(Contract, of_the_work_is_kept_dated_undated_and_where_nothing_can_be_told) {
    const auto view = [](const std::string& text) { return Json::parse(write_work(opened(text), 5)); };
    const Json dated = view(example_text("bench-top"));
    EXPECT_EQ(contract().why_not("WorkView", dated), "");
    EXPECT_FALSE(dated["calendar"].is_null() || dated["cost"].is_null() || dated["feed"].empty());
    const Json undated = view(changed("hall-console", "/calendar", Json::parse(R"({"people": 2})")));
    EXPECT_EQ(contract().why_not("WorkView", undated), "");
    EXPECT_TRUE(undated["calendar"]["months"].empty());
    const Json closed = view(changed("round-table", "/seams/0/width", 449.9));
    EXPECT_EQ(contract().why_not("WorkView", closed), "");
    EXPECT_NE(closed["lacks"], "");
    EXPECT_TRUE(closed["files"].empty());
}

TEST(Contract, is_kept_by_jobs_with_errors_and_by_a_plain_top) {
    const std::vector<std::string> jobs{
        // Two seams that cross.
        changed("hall-console", "/seams/1/curve",
                Json::parse(R"({"straight": {"from": [-40, 100], "to": [1550, 300]}})")),
        // A seam outside the wood.
        changed("hall-console", "/seams/0/curve",
                Json::parse(R"({"straight": {"from": [-40, 900], "to": [1550, 900]}})")),
        // An edging that leaves nothing inside it.
        changed("round-table", "/seams/0/width", 449.9),
        // A barrel far longer than the template is thick.
        changed("bench-top", "/shelf/guides",
                Json::array({Json::parse(R"({"name": "g", "outside": 1.5, "barrel": 2})")})),
        changed("bench-top", "/seams", Json::array()),
        changed("bench-top", "/pieces", Json::array()),
        changed("round-table", "/top/outline",
                Json::parse(R"({"drawn": {"pins": {"closed": true, "points": [[0,0],[900,0],[1000,600],[0,500]]}}})")),
    };
    for (const auto& text : jobs) {
        auto open = edit::OpenJob::open(text);
        ASSERT_TRUE(std::holds_alternative<edit::OpenJob>(open)) << text.substr(0, 200);
        const auto& job = std::get<edit::OpenJob>(open);
        EXPECT_EQ(contract().why_not("Screen", sent(screen_of(job))), "");
        EXPECT_EQ(contract().why_not("ShopView", Json::parse(write_shop_view(job, 3))), "");
    }
}

TEST(Contract, tells_what_is_missing_or_too_much) {
    Json screen = sent(screen_of(example("bench-top"), true));
    Json less = screen;
    less["seams"][0]["strip"].erase("ticks");
    EXPECT_NE(contract().why_not("Screen", less).find("no \"ticks\""), std::string::npos);
    Json more = screen;
    more["drawing"]["colour"] = "red";
    EXPECT_NE(contract().why_not("Screen", more).find("colour"), std::string::npos);
    Json other = screen;
    other["unit"] = "cm";
    EXPECT_NE(contract().why_not("Screen", other), "");
}

TEST(Contract, live_leaves_out_what_a_drag_does_not_change) {
    const Json live = screen_of(example("hall-console"), true);
    EXPECT_TRUE(live["cards"].empty());
    EXPECT_TRUE(live["shelf"]["guides"].empty() && live["shelf"]["bearings"].empty() &&
                live["shelf"]["cutters"].empty());
    EXPECT_TRUE(live["papers"]["files"].empty() && live["papers"]["tiles"].empty());
    const Json full = screen_of(example("hall-console"));
    for (std::size_t i = 0; i < live["seams"].size(); ++i) {
        EXPECT_TRUE(live["seams"][i]["chains"].empty());
        EXPECT_EQ(live["seams"][i]["strip"], full["seams"][i]["strip"]);
        EXPECT_EQ(live["seams"][i]["templates"], full["seams"][i]["templates"]);
    }
    EXPECT_EQ(live["drawing"], full["drawing"]);
    EXPECT_EQ(live["problems"], full["problems"]);
}

TEST(Contract, live_tells_only_the_strip_that_is_looked_at) {
    const auto job = example("hall-console");
    Json looking = screen_of(job, true, 1);
    EXPECT_EQ(contract().why_not("Screen", sent(looking)), "");
    const Json all = screen_of(job, true);
    EXPECT_TRUE(looking["seams"][0]["strip"].is_null());
    looking["seams"][0]["strip"] = all["seams"][0]["strip"];
    EXPECT_EQ(looking, all) << "nothing else differs";
    EXPECT_FALSE(screen_of(job, false, 1)["seams"][0]["strip"].is_null()) << "a saved screen is whole";
}

TEST(Contract, the_same_job_gives_the_same_bytes) {
    for (const auto& name : example_names()) {
        Around around;
        EXPECT_EQ(write_screen(example(name), around), write_screen(example(name), around));
        EXPECT_EQ(write_shop_view(example(name), 1), write_shop_view(example(name), 1));
    }
    const std::string text = write_screen(example("bench-top"), {});
    EXPECT_EQ(text.find('\n'), text.size() - 1) << "one line";
}

}  // namespace
}  // namespace seamwright::screen::testing
