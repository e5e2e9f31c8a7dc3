// The program serves, a client asks as the page does (web/src/protocol.ts): jobs, edits, undo, history, papers.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "serving.h"
#include "source_folder.h"

namespace seamwright::app {
namespace {

using test::Json;
using test::Page;
using test::Reply;
using test::Serving;
using test::TemporaryFolder;
using ::testing::HasSubstr;
using ::testing::MatchesRegex;
using ::testing::Not;

const std::string source = source_folder();

Json set(const std::string& pointer, const Json& value) {
    Json edit = Json::object();
    edit["set"] = pointer;
    edit["value"] = value;
    return Json::array({edit});
}

void expect_fault(const Reply& reply, int status) {
    EXPECT_EQ(reply.status, status) << reply.body.substr(0, 300);
    const Json body = Json::parse(reply.body, nullptr, false);
    ASSERT_TRUE(body.is_object()) << reply.body.substr(0, 300);
    EXPECT_FALSE(body.value("says", "").empty()) << reply.body;
    EXPECT_FALSE(body.value("remedy", "").empty()) << reply.body;
}

class Jobs : public ::testing::Test {
  protected:
    TemporaryFolder folder;
    Serving serving{folder / "jobs.sqlite"};
    Page page{serving.port()};
};

TEST_F(Jobs, TheFirstStartOpensTheExampleLaterOnesTheLastJob) {
    Json list = page.good(page.get("/api/jobs"));
    ASSERT_EQ(list["jobs"].size(), 1u);
    EXPECT_EQ(list["jobs"][0]["name"], "Hall console");
    EXPECT_EQ(list["jobs"][0]["seams"], 2);
    EXPECT_EQ(list["last"], list["jobs"][0]["id"]);
    const int bench = page.begin({{"example", "bench-top"}});
    EXPECT_EQ(page.screen(bench)["unit"], "in");
    EXPECT_EQ(serving.end(SIGTERM), 0);
    EXPECT_THAT(serving.out(), HasSubstr("Ended."));

    const Serving again(folder / "jobs.sqlite");
    Page later(again.port());
    list = later.good(later.get("/api/jobs"));
    EXPECT_EQ(list["jobs"].size(), 2u) << "no second example";
    EXPECT_EQ(list["last"], bench);
}

TEST_F(Jobs, ScreensSayWhatTheEngineNeeded) {
    const Json screen = page.screen(1);
    EXPECT_EQ(screen["version"], 1);
    EXPECT_EQ(screen["live"], false);
    EXPECT_GT(screen["engine_us"].get<double>(), 0.0);
    EXPECT_EQ(screen["seams"].size(), 2u);
}

TEST_F(Jobs, AnAttemptIsNotSaved) {
    const Reply reply = page.post("/api/jobs/1/try", Json{{"base", 1}, {"edits", set("/top/thickness", "40 mm")}});
    const Json live = page.good(reply);
    EXPECT_EQ(live["live"], true);
    EXPECT_EQ(live["version"], 1);
    EXPECT_EQ(page.good(page.get("/api/jobs/1/version"))["version"], 1);
    EXPECT_EQ(page.good(page.get("/api/jobs/1/history")).size(), 1u);
}

TEST_F(Jobs, AnAttemptTellsTheStripThatIsLookedAt) {
    const auto attempt = [&](Json looks_at) {
        return page.post(
            "/api/jobs/1/try",
            Json{{"base", 1}, {"edits", set("/top/thickness", "40 mm")}, {"looks_at", std::move(looks_at)}});
    };
    const Json live = page.good(attempt(1));
    EXPECT_TRUE(live["seams"][0]["strip"].is_null());
    EXPECT_FALSE(live["seams"][1]["strip"].is_null());
    const Json none = page.good(attempt(7));
    EXPECT_TRUE(none["seams"][0]["strip"].is_null() && none["seams"][1]["strip"].is_null()) << "there is no such seam";
    for (const Json& wrong : {Json(-1), Json("1"), Json(0.5), Json(nullptr)}) expect_fault(attempt(wrong), 400);
    // What is saved is shown whole.
    const Json edit{{"base", 1}, {"edits", set("/name", "Side table")}, {"looks_at", 1}};
    expect_fault(page.post("/api/jobs/1/edit", edit), 400);
}

TEST_F(Jobs, EditsAreSavedUndoneAndRedone) {
    Json screen = page.good(page.edit(1, 1, set("/name", "Side table")));
    EXPECT_EQ(screen["name"], "Side table");
    EXPECT_EQ(screen["version"], 2);
    EXPECT_NE(screen["undo"], "");
    screen = page.good(page.post("/api/jobs/1/undo", Json{{"base", 2}}));
    EXPECT_EQ(screen["name"], "Hall console");
    EXPECT_EQ(screen["version"], 3);
    EXPECT_NE(screen["redo"], "");
    screen = page.good(page.post("/api/jobs/1/redo", Json{{"base", 3}}));
    EXPECT_EQ(screen["name"], "Side table");
    EXPECT_EQ(page.good(page.get("/api/jobs"))["jobs"][0]["name"], "Side table");

    // Undo over the end of the program.
    serving.end(SIGKILL);
    const Serving again(folder / "jobs.sqlite");
    Page later(again.port());
    EXPECT_EQ(later.good(later.post("/api/jobs/1/undo", Json{{"base", 4}}))["name"], "Hall console");
}

TEST_F(Jobs, EarlierStatesComeBackAsANewChange) {
    page.good(page.edit(1, 1, set("/name", "Two")));
    page.good(page.edit(1, 2, set("/name", "Three")));
    Json history = page.good(page.get("/api/jobs/1/history"));
    ASSERT_EQ(history.size(), 3u);
    EXPECT_EQ(history[0]["current"], true);
    const Json back = page.good(page.post("/api/jobs/1/return", Json{{"base", 3}, {"change", history[1]["change"]}}));
    EXPECT_EQ(back["name"], "Two");
    EXPECT_EQ(back["version"], 4);
    history = page.good(page.get("/api/jobs/1/history"));
    EXPECT_EQ(history.size(), 4u) << "nothing was lost";
    EXPECT_THAT(history[0]["says"].get<std::string>(), HasSubstr(history[2]["says"].get<std::string>()));
    expect_fault(page.post("/api/jobs/1/return", Json{{"base", 4}, {"change", 999}}), 404);
}

TEST_F(Jobs, WhatIsRefusedChangesNothing) {
    const Reply reply = page.edit(1, 1, set("/top/thickness", "a hand's breadth"));
    expect_fault(reply, 422);
    const Json problems = Json::parse(reply.body)["problems"];
    ASSERT_FALSE(problems.empty());
    EXPECT_EQ(problems[0]["pointer"], "/top/thickness");
    EXPECT_NE(problems[0]["remedy"], "");
    EXPECT_EQ(page.screen(1)["version"], 1);
}

TEST_F(Jobs, TheSlowerOfTwoWindowsIsTold) {
    Page other(serving.port());
    page.good(page.edit(1, 1, set("/name", "First")));
    const std::vector<Reply> late = {
        other.edit(1, 1, set("/name", "Second")),
        other.post("/api/jobs/1/try", Json{{"base", 1}, {"edits", set("/name", "Second")}}),
        other.post("/api/jobs/1/undo", Json{{"base", 1}}), other.post("/api/jobs/1/redo", Json{{"base", 1}}),
        other.post("/api/jobs/1/return", Json{{"base", 1}, {"change", 1}})};
    for (const Reply& reply : late) {
        ASSERT_EQ(reply.status, 409) << reply.body.substr(0, 300);
        const Json told = Json::parse(reply.body);
        EXPECT_NE(told["says"], "");
        EXPECT_EQ(told["screen"]["name"], "First");
        EXPECT_EQ(told["screen"]["version"], 2);
    }
    EXPECT_EQ(page.good(page.get("/api/jobs/1/version"))["version"], 2);
    // From a time that has not come yet.
    EXPECT_EQ(page.edit(1, 99, set("/name", "Third")).status, 409);
    EXPECT_EQ(page.screen(1)["name"], "First");
}

TEST_F(Jobs, AreCopiedDeletedAndBroughtBack) {
    const int copy = page.good(page.post("/api/jobs/1/duplicate", Json::object()))["id"].get<int>();
    EXPECT_THAT(page.screen(copy)["name"].get<std::string>(), HasSubstr("Hall console"));
    EXPECT_NE(page.screen(copy)["name"], page.screen(1)["name"]);
    Json list = page.good(page.post("/api/jobs/1/delete", Json::object()));
    ASSERT_EQ(list["jobs"].size(), 1u);
    ASSERT_EQ(list["deleted"].size(), 1u);
    EXPECT_EQ(list["deleted"][0]["id"], 1);
    for (const char* path : {"/api/jobs/1", "/api/jobs/1/version", "/api/jobs/1/history", "/api/jobs/1/export",
                             "/api/jobs/1/shop", "/api/jobs/1/papers/overview.pdf", "/api/jobs/999"}) {
        expect_fault(page.get(path), 404);
    }
    expect_fault(page.edit(1, 1, set("/name", "x")), 404);
    list = page.good(page.post("/api/jobs/1/restore", Json::object()));
    EXPECT_EQ(list["jobs"].size(), 2u);
    EXPECT_EQ(page.screen(1)["name"], "Hall console");
}

TEST_F(Jobs, ComeFromPlainTopsExamplesAndFiles) {
    const Json blank = page.screen(page.begin({{"blank", {{"unit", "in"}}}}));
    EXPECT_EQ(blank["unit"], "in");
    EXPECT_EQ(blank["seams"].size(), 0u);
    EXPECT_EQ(page.screen(page.begin({{"example", "round-table"}}))["seams"].size(), 2u);
    const std::string text = test::get(source + "/examples/bench-top.json");
    const int id = page.begin({{"document", text}});
    const Reply exported = page.get("/api/jobs/" + std::to_string(id) + "/export");
    EXPECT_EQ(Json::parse(exported.body), Json::parse(text)) << "what went in comes out";

    const Reply refused = page.post("/api/jobs", Json{{"document", "{\"seamwright\": 1}"}});
    expect_fault(refused, 422);
    EXPECT_FALSE(Json::parse(refused.body)["problems"].empty());
    EXPECT_EQ(page.good(page.get("/api/jobs"))["jobs"].size(), 4u) << "the refused one is not there";
}

TEST_F(Jobs, TheShelfBelongsToTheShop) {
    const int other = page.begin({{"example", "hall-console"}});
    Json screen = page.good(page.edit(1, 1, set("/shelf/guides/0/measured", "29.9 mm")));
    EXPECT_EQ(screen["shelf_differs"], false) << "the shop's shelf went along";
    screen = page.screen(other);
    EXPECT_EQ(screen["shelf_differs"], true);
    screen = page.good(page.edit(other, 1, Json::array({{{"take_shop_shelf", true}}})));
    EXPECT_EQ(screen["shelf_differs"], false);
    const int blank = page.begin({{"blank", {{"unit", "mm"}}}});
    EXPECT_EQ(page.screen(blank)["shelf_differs"], false);
    EXPECT_THAT(page.get("/api/jobs/" + std::to_string(blank) + "/export").body, HasSubstr("29.9"));
    // An undo is of this job alone.
    screen = page.good(page.post("/api/jobs/1/undo", Json{{"base", 2}}));
    EXPECT_EQ(screen["shelf_differs"], true);
}

TEST_F(Jobs, EveryPaperOfTheListCanBeFetched) {
    const Json screen = page.screen(1);
    const Json files = screen["papers"]["files"];
    ASSERT_GE(files.size(), 5u);
    std::set<std::string> endings;
    for (const auto& file : files) {
        const auto name = file["name"].get<std::string>();
        SCOPED_TRACE(name);
        const Reply reply = page.get("/api/jobs/1/papers/" + name);
        ASSERT_EQ(reply.status, 200);
        const std::string ending = name.substr(name.rfind('.'));
        endings.insert(ending);
        if (ending == ".pdf") {
            EXPECT_EQ(reply.field("content-type"), "application/pdf");
            EXPECT_EQ(reply.body.substr(0, 5), "%PDF-");
        } else if (ending == ".svg") {
            EXPECT_EQ(reply.field("content-type"), "image/svg+xml");
        }
        EXPECT_THAT(reply.field("content-disposition"),
                    HasSubstr("attachment; filename=\"Hall console " + name + "\""));
    }
    EXPECT_TRUE(endings.contains(".pdf") && endings.contains(".svg"));
    const Reply plan = page.get("/api/jobs/1/papers/plan.json");
    ASSERT_EQ(plan.status, 200);
    EXPECT_EQ(Json::parse(plan.body)["seams"].size(), 2u);
    expect_fault(page.get("/api/jobs/1/papers/nothing.pdf"), 404);
}

TEST_F(Jobs, NamesOfFilesAreSafeAndAsTheyAre) {
    page.good(page.edit(1, 1, set("/name", "../../T\xC3\xBCr: \"\xC3\x96l\"\\x;\xE2\x80\xAE")));
    const Reply reply = page.get("/api/jobs/1/export");
    const std::string field = reply.field("content-disposition");
    EXPECT_THAT(field, MatchesRegex("attachment; filename=\"[A-Za-z0-9 ._(),+-]+\\.json\"; filename\\*=UTF-8''"
                                    "[A-Za-z0-9._%-]+\\.json"));
    EXPECT_THAT(field, HasSubstr("T%C3%BCr"));
    EXPECT_THAT(field, HasSubstr("T_r"));
    EXPECT_THAT(field, Not(HasSubstr("..%2F")));
    EXPECT_THAT(field, Not(HasSubstr("%E2%80%AE"))) << "no mark that turns the direction of writing";
}

TEST_F(Jobs, PapersWaitUntilTheJobIsInOrder) {
    // A gap smaller than any way of copying reaches is no error; a seam that leaves the wood nowhere is.
    const Json screen = page.good(page.edit(1, 1, set("/seams/0/curve/wave/to", Json::array({700, 140}))));
    bool error = false;
    for (const auto& problem : screen["problems"]) error = error || problem["weight"] == "error";
    ASSERT_TRUE(error);
    expect_fault(page.get("/api/jobs/1/papers/overview.pdf"), 422);
}

TEST_F(Jobs, TheShopSeesTheSteps) {
    const Json shop = page.good(page.get("/api/jobs/1/shop"));
    EXPECT_EQ(shop["name"], "Hall console");
    EXPECT_EQ(shop["version"], 1);
    EXPECT_FALSE(shop["parts"].empty());
}

// ------------------------------------------------------------------------------------------------------ bad bodies

TEST_F(Jobs, BodiesThatAreNotAsTheyShouldBeAreRefused) {
    const std::vector<std::pair<std::string, std::vector<std::string>>> bad = {
        {"/api/jobs/1/edit",
         {"", "null", "[]", "{", "{}", "{\"base\":1}", "{\"edits\":[]}", "{\"base\":\"1\",\"edits\":[]}",
          "{\"base\":1.5,\"edits\":[]}", "{\"base\":0,\"edits\":[]}", "{\"base\":-1,\"edits\":[]}",
          "{\"base\":1,\"edits\":{}}", "{\"base\":1,\"edits\":[],\"more\":1}", "{\"base\":1e400,\"edits\":[]}",
          "{\"base\":99999999999999999999,\"edits\":[]}", "{\"base\":1,\"edits\":[]}x", "\xFF\xFE{}"}},
        {"/api/jobs/1/undo", {"", "{}", "{\"base\":1,\"edits\":[]}", "{\"base\":true}"}},
        {"/api/jobs/1/return", {"{\"base\":1}", "{\"base\":1,\"change\":0}", "{\"base\":1,\"change\":\"1\"}"}},
        {"/api/jobs/1/delete", {"", "{\"x\":1}", "[]"}},
        {"/api/jobs",
         {"{}", "{\"blank\":{}}", "{\"blank\":{\"unit\":\"cubit\"}}", "{\"blank\":1}",
          "{\"example\":\"../../etc/passwd\"}", "{\"example\":1}", "{\"document\":1}",
          "{\"document\":\"a\",\"example\":\"bench-top\"}", "{\"other\":1}"}}};
    for (const auto& [path, bodies] : bad) {
        for (const auto& body : bodies) {
            SCOPED_TRACE(path + ' ' + body);
            expect_fault(page.post(path, body), 400);
        }
    }
    EXPECT_EQ(page.good(page.get("/api/jobs/1/version"))["version"], 1);
    EXPECT_EQ(page.good(page.get("/api/jobs"))["jobs"].size(), 1u);
}

TEST_F(Jobs, EditsThatMakeNoSenseAreRefusedWithWords) {
    for (const char* edits :
         {"[{\"set\":\"/name\"}]", "[{}]", "[1]", "[{\"set\":5,\"value\":1}]", "[{\"unknown\":1}]",
          "[{\"move\":\"/seams/0\",\"to\":[1e308,1e308],\"mm_per_px\":1}]", "[{\"remove\":\"\"}]",
          "[{\"set\":\"\",\"value\":null}]", "[{\"set\":\"/seams/99999999999999999999\",\"value\":1}]",
          "[{\"set\":\"/name\",\"value\":{\"a\":[[[[[[1]]]]]]}}]", "[{\"remedy\":\"none\"}]"}) {
        SCOPED_TRACE(edits);
        const Reply reply = page.post("/api/jobs/1/edit", std::string("{\"base\":1,\"edits\":") + edits + "}");
        EXPECT_TRUE(reply.status == 422 || reply.status == 400) << reply.status << reply.body.substr(0, 200);
    }
    EXPECT_EQ(page.good(page.get("/api/jobs/1/version"))["version"], 1);
}

TEST_F(Jobs, DeepBodiesAreRefused) {
    for (const std::size_t depth : {50u, 1000u, 500'000u}) {
        const std::string deep = "{\"base\":1,\"edits\":[{\"set\":\"/name\",\"value\":" + std::string(depth, '[') +
                                 std::string(depth, ']') + "}]}";
        expect_fault(page.post("/api/jobs/1/edit", deep), 400);
        expect_fault(page.post("/api/jobs/1/try", deep), 400);
    }
    // Brackets within a text are no depth.
    page.good(page.edit(1, 1, set("/note", std::string(200, '['))));
}

TEST_F(Jobs, LargeBodiesAreOnlyForImports) {
    const std::string large(2u << 20, 'x');
    expect_fault(page.edit(1, 1, set("/note", large)), 413);
    std::string csv = "x,y\n";
    for (int i = 0; csv.size() < (2u << 20); ++i) {
        csv += std::to_string(-60 + i * 0.01) + ',' + std::to_string(200 + 0.0001 * (i % 7)) + '\n';
    }
    Json import;
    import["import"] = "";
    import["csv"] = csv;
    import["unit"] = "mm";
    import["name"] = "points";
    EXPECT_NE(page.edit(1, 1, Json::array({import})).status, 413);
    {
        // Announced only: the program does not wait for what it will not take.
        test::RawClient client(serving.port());
        client.send("POST /api/jobs HTTP/1.1\r\n" + page.fields() +
                    "Content-Type: application/json\r\nContent-Length: 67108865\r\n\r\n");
        EXPECT_EQ(client.receive().status, 413);
    }
}

}  // namespace
}  // namespace seamwright::app
