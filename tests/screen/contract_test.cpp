#include "contract.h"

#include <gtest/gtest.h>

#include "screen/made_view.h"
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

edit::OpenJob with_notes() {
    auto edited = example("hall-console").edited(R"([
        {"insert": "/made/-", "value": {"step": "mill", "on": "2027-01-12", "hours": 1.5, "gap": "0.3 mm"}},
        {"insert": "/made/-", "value": {"step": "rout-1", "on": "2027-01-13", "hours": 2, "offset": "10.4 mm"}},
        {"insert": "/made/-", "value": {"step": "fit-1", "on": "2027-01-13", "gap": "0.9 mm", "note": "wide"}},
        {"insert": "/made/-", "value": {"step": "lunch", "on": "2027-01-13", "litres": 1}}])");
    return std::get<edit::OpenJob::Edited>(std::move(edited)).job;
}

TEST(Contract, of_the_notes_is_kept_before_and_after_they_are_kept) {
    for (const auto& name : example_names()) {
        const Json view = Json::parse(write_made(example(name), {}));
        EXPECT_EQ(contract().why_not("MadeView", view), "") << name;
        EXPECT_EQ(view["done"], 0);
        EXPECT_EQ(view["keep"], "");
        EXPECT_TRUE(view["steps"][0]["next"]);
    }
    const edit::OpenJob job = with_notes();
    const Json view = Json::parse(write_made(job, {7, "Note added", false}));
    EXPECT_EQ(contract().why_not("MadeView", view), "");
    EXPECT_EQ(view["done"], 3);
    EXPECT_EQ(view["undo"], "Note added");
    ASSERT_EQ(view["strangers"].size(), 1U);
    EXPECT_EQ(view["keep"], "Keep 3 records on the shelf for other jobs");
    for (const Json& step : view["steps"]) {
        std::vector<std::string> keys;
        for (const Json& want : step["wants"]) keys.push_back(want["key"]);
        if (step["id"] == "mill") {
            EXPECT_EQ(keys, std::vector<std::string>{"hours"});
            // Measured where it was not asked for, it is shown all the same.
            EXPECT_EQ(step["notes"][0]["fields"].size(), 2U);
        }
        if (step["id"] == "rout-1") {
            EXPECT_EQ(keys, (std::vector<std::string>{"hours", "offset"}));
            EXPECT_NE(step["notes"][0]["cautions"].dump().find("test cut"), std::string::npos);
        }
        if (step["id"] == "fit-1") {
            EXPECT_EQ(keys, (std::vector<std::string>{"hours", "gap"}));
            EXPECT_FALSE(step["notes"][0]["cautions"].empty());
        }
    }
    auto kept = job.edited(R"([{"keep_record": true}])");
    const auto& after = std::get<edit::OpenJob::Edited>(kept).job;
    const Json then = Json::parse(write_made(after, {8, "", false}));
    EXPECT_EQ(contract().why_not("MadeView", then), "");
    EXPECT_EQ(then["keep"], "");
    EXPECT_NE(then["kept_says"], "");
    EXPECT_EQ(then["kept"].size(), 3U);
    EXPECT_TRUE(then["learnt"].empty()) << "of its own work this job learns nothing";
    // The phone writes notes and nothing else.
    const Json phone = Json::parse(write_made(job, {7, "Note added", true}));
    EXPECT_EQ(contract().why_not("MadeView", phone), "");
    EXPECT_EQ(phone["keep"], "");
    EXPECT_EQ(phone["undo"], "");
    EXPECT_EQ(write_made(job, {}), write_made(job, {}));
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
        EXPECT_EQ(contract().why_not("MadeView", Json::parse(write_made(job, {}))), "");
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
