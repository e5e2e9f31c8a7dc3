// Notes of the work: at the bench, from the phone, on the command line; and words found in all jobs.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <memory>

#include "app/server.h"
#include "run_program.h"
#include "screen/contract.h"
#include "serving.h"
#include "source_folder.h"

namespace seamwright::app {
namespace {

using test::ask;
using test::get;
using test::Json;
using test::Page;
using test::put;
using test::Reply;
using test::run_program;
using test::Serving;
using test::TemporaryFolder;
using ::testing::HasSubstr;
using ::testing::Not;

const screen::testing::Contract& contract() {
    static const screen::testing::Contract read;
    return read;
}

/// On one line, as it was before it was set for a terminal.
std::string unwrapped(const std::string& text) {
    std::string out;
    for (const char c : text)
        if (c != '\n' && c != ' ')
            out += c;
        else if (!out.empty() && out.back() != ' ')
            out += ' ';
    return out;
}

Json milled(const char* hours = "1.5") {
    return Json::array(
        {{{"insert", "/made/-"},
          {"value", {{"step", "mill"}, {"on", "2027-01-12"}, {"hours", hours}, {"note", "Wärme, far end lifted"}}}}});
}

class Notes : public ::testing::Test {
  protected:
    TemporaryFolder folder;
    Serving serving{folder / "jobs.sqlite"};
    Page page{serving.port()};

    Reply note(int id, int base, const Json& edits) {
        return page.post("/api/jobs/" + std::to_string(id) + "/note", Json{{"base", base}, {"edits", edits}});
    }
    Json made(int id) { return page.good(page.get("/api/jobs/" + std::to_string(id) + "/made")); }
    Json find(const std::string& words) { return page.good(page.get("/api/search?find=" + words)); }
};

TEST_F(Notes, AreWrittenUndoneAndTold) {
    const Json before = made(1);
    EXPECT_EQ(contract().why_not("MadeView", before), "");
    const Json after = page.good(note(1, 1, milled()));
    EXPECT_EQ(contract().why_not("MadeView", after), "");
    EXPECT_EQ(after["version"], 2);
    EXPECT_EQ(after["done"], 1);
    EXPECT_THAT(after["undo"].get<std::string>(), HasSubstr("jointing and planing"));
    page.good(page.post("/api/jobs/1/undo", Json{{"base", 2}}));
    EXPECT_EQ(made(1)["done"], 0);
    // What comes too late is not written.
    const Reply late = note(1, 1, milled());
    EXPECT_EQ(late.status, 409);
    EXPECT_NE(Json::parse(late.body)["says"], "");
    EXPECT_EQ(note(1, 3, milled("a while")).status, 422);
    EXPECT_EQ(made(1)["done"], 0);
}

TEST_F(Notes, AreAllThatIsWrittenThere) {
    for (const char* edits :
         {R"([{"set": "/name", "value": "Taken over"}])", R"([{"remove": "/seams/0"}])", R"([{"keep_record": true}])",
          R"([{"insert": "/seams/-", "value": {}}])", R"([{"set": "/made/0/hours", "value": 1, "remove": "/seams/0"}])",
          R"([{"set": "/made/0/hours", "value": 1, "keep_record": true}])", R"([{"set": "/made", "value": []}])",
          R"([{"insert": "/made/-"}])", R"([{}])", R"([1])", R"([{"set": 1, "value": 1}])",
          R"([{"insert": "/made/-", "value": {"step": "mill", "on": "2027-01-12"}}, {"set": "/name", "value": "x"}])"})
        EXPECT_EQ(note(1, 1, Json::parse(edits)).status, 403) << edits;
    EXPECT_EQ(page.screen(1)["version"], 1);
    EXPECT_EQ(page.get("/api/jobs/1/note").status, 405);
    EXPECT_EQ(page.get("/api/jobs/99/made").status, 404);
}

TEST_F(Notes, KeptOnTheShelfTheyChangeANewJob) {
    // As the steps of the example are done in twice the usual time.
    const Json plain = made(1);
    Json edits = Json::array();
    for (const Json& step : plain["steps"])
        if (step["id"] == "mill" || step["id"] == "sand" || step["id"] == "outline")
            edits.push_back(
                {{"insert", "/made/-"}, {"value", {{"step", step["id"]}, {"on", "2027-01-12"}, {"hours", 20}}}});
    page.good(note(1, 1, edits));
    page.good(page.edit(1, 2, Json::array({{{"keep_record", true}}})));
    EXPECT_EQ(made(1)["keep"], "");
    const int next = page.begin({{"blank", {{"unit", "mm"}}}});
    const Json learnt = made(next);
    ASSERT_EQ(learnt["learnt"].size(), 1U);
    EXPECT_THAT(learnt["learnt"][0]["lines"].dump(), HasSubstr("3 steps of 1 job"));
}

TEST_F(Notes, AreFoundBySearching) {
    page.good(note(1, 1, milled()));
    const Json found = find("warme%20LIFT");
    EXPECT_EQ(contract().why_not("FoundJobs", found), "");
    ASSERT_EQ(found["jobs"].size(), 1U);
    EXPECT_EQ(found["jobs"][0]["id"], 1);
    EXPECT_EQ(found["jobs"][0]["hits"][0]["place"], "note on jointing and planing, 2027-01-12");
    EXPECT_EQ(find("jointing")["jobs"].size(), 1U);
    EXPECT_EQ(find("front")["jobs"][0]["hits"][0]["place"], "seam");
    EXPECT_THAT(find("hardwax").dump(), HasSubstr("finish"));
    EXPECT_THAT(find("walnut").dump(), HasSubstr("wood of "));
    EXPECT_TRUE(find("zebra")["jobs"].empty());
    EXPECT_TRUE(find("")["jobs"].empty());
    page.good(page.post("/api/jobs/1/delete", Json::object()));
    EXPECT_TRUE(find("lifted")["jobs"].empty());
}

TEST_F(Notes, QuestionsThatAreNoneAreRefusedOrFindNothing) {
    for (const char* asked : {"/api/search", "/api/search?", "/api/search?find", "/api/search?other=x",
                              "/api/search?find=%", "/api/search?find=%4", "/api/search?find=%zz"})
        EXPECT_EQ(page.get(asked).status, 400) << asked;
    for (const char* asked :
         {"%22", "%27%3B%20DROP%20TABLE%20job%3B--", "%00", "%FF%FE", "walnut%22%20OR%20%22", "a*", "NEAR(a", "%2525"})
        EXPECT_EQ(page.get(std::string("/api/search?find=") + asked).status, 200) << asked;
    EXPECT_EQ(page.good(page.get("/api/jobs"))["jobs"].size(), 1U);
    // Each of these ends its connection: longer than any address, and a body that is not taken.
    EXPECT_EQ(page.get("/api/search?find=" + std::string(4000, 'a')).status, 414);
    EXPECT_EQ(Page(serving.port()).post("/api/search", Json::object()).status, 405);
}

/// --share --notes: the phone writes notes, and nothing else.
class PhoneNotes : public ::testing::Test {
  protected:
    void SetUp() override {
        if (network_addresses().empty()) GTEST_SKIP() << "this machine is in no network";
        host = network_addresses().front();
        const std::string out = shared.out();
        const std::string start = "  http://" + host + ":";
        const std::size_t at = out.find(start);
        ASSERT_NE(at, std::string::npos) << out;
        const std::string way_in = out.substr(at + 2, out.find('\n', at) - at - 2);
        port = std::stoi(way_in.substr(start.size() - 2));
        key = way_in.substr(way_in.find("key=") + 4);
    }
    std::string origin() const { return "http://" + host + ':' + std::to_string(port); }
    std::string cookie() const { return "Cookie: seamwright=" + key + "\r\n"; }
    Reply send(const std::string& method, const std::string& path, const std::string& fields,
               const std::string& body = {}) const {
        std::string request =
            method + ' ' + path + " HTTP/1.1\r\nHost: " + host + ':' + std::to_string(port) + "\r\n" + fields;
        if (method == "POST") request += "Content-Length: " + std::to_string(body.size()) + "\r\n";
        return ask(port, request + "\r\n" + body, host.c_str());
    }
    Reply note(const std::string& edits, const std::string& fields, int base = 1) const {
        return send("POST", "/api/jobs/1/note", fields,
                    "{\"base\":" + std::to_string(base) + ",\"edits\":" + edits + '}');
    }
    std::string good_fields() const {
        return cookie() + "Content-Type: application/json\r\nOrigin: " + origin() + "\r\n";
    }

    TemporaryFolder folder;
    Serving shared{folder / "jobs.sqlite", {"--share", "--notes", "--port", "0"}};
    std::string host, key;
    int port = 0;
};

TEST_F(PhoneNotes, AreWrittenWithTheKey) {
    EXPECT_THAT(unwrapped(shared.out()), HasSubstr("notes of what was done and measured, to write"));
    const Reply seen = send("GET", "/api/jobs/1/made", cookie());
    ASSERT_EQ(seen.status, 200);
    EXPECT_EQ(Json::parse(seen.body)["keep"], "");
    const Reply written = note(milled().dump(), good_fields());
    ASSERT_EQ(written.status, 200) << written.body;
    EXPECT_EQ(Json::parse(written.body)["done"], 1);
    EXPECT_EQ(Json::parse(written.body)["undo"], "");
    EXPECT_EQ(note(R"([{"set": "/name", "value": "Taken over"}])", good_fields(), 2).status, 403);
    EXPECT_EQ(note(R"([{"keep_record": true}])", good_fields(), 2).status, 403);
}

TEST_F(PhoneNotes, AreNotWrittenWithoutItOrFromElsewhere) {
    std::string wrong = key;
    wrong[10] = wrong[10] == 'a' ? 'b' : 'a';
    const std::string json = "Content-Type: application/json\r\n";
    for (const std::string& fields :
         {json, "Cookie: seamwright=" + wrong + "\r\n" + json, cookie(), cookie() + "Content-Type: text/plain\r\n",
          cookie() + json + "Origin: http://attacker.example\r\n", cookie() + json + "Sec-Fetch-Site: cross-site\r\n"})
        EXPECT_EQ(note(milled().dump(), fields).status, 404) << fields;
    EXPECT_EQ(send("GET", "/api/jobs/1/made", "").status, 404);
    for (const char* path :
         {"/api/jobs/1/edit", "/api/jobs/1/undo", "/api/jobs/2/note", "/api/jobs", "/api/search?find=a"})
        EXPECT_EQ(send("POST", path, good_fields(), R"({"base":1,"edits":[]})").status, 404) << path;
    EXPECT_EQ(send("GET", "/api/search?find=walnut", cookie()).status, 404);
    EXPECT_EQ(note('[' + std::string(70'000, ' ') + ']', good_fields()).status, 404) << "larger than any note";
    Page own(shared.port());
    EXPECT_EQ(own.screen(1)["version"], 1);
}

TEST(MadeCommand, TellsAndKeeps) {
    const TemporaryFolder here;
    const std::string console = source_folder() + "/examples/hall-console.json";
    const auto nothing = run_program(here.path(), {"made", console});
    ASSERT_EQ(nothing.exit, 0) << nothing.err;
    EXPECT_THAT(unwrapped(nothing.out), HasSubstr("Nothing is noted yet"));
    EXPECT_EQ(run_program(here.path(), {"made", console, "--keep", "new.json"}).exit, 2);
    EXPECT_FALSE(std::filesystem::exists(here.path() / "new.json"));

    Json job = Json::parse(get(console));
    job["made"] = Json::parse(R"([{"step": "mill", "on": "2027-01-12", "hours": 9, "note": "belt torn"},
                                  {"step": "rout-1", "on": "2027-01-13", "offset": 10.4}])");
    put(here.path() / "job.json", job.dump());
    const auto told = run_program(here.path(), {"made", "job.json"});
    ASSERT_EQ(told.exit, 0) << told.err;
    EXPECT_THAT(unwrapped(told.out), HasSubstr("2 of "));
    EXPECT_THAT(unwrapped(told.out), HasSubstr("belt torn"));
    EXPECT_THAT(unwrapped(told.out), HasSubstr("Make a test cut"));
    EXPECT_THAT(unwrapped(told.out), Not(HasSubstr("kept")));
    const auto kept = run_program(here.path(), {"made", "job.json", "--keep", "new.json"});
    ASSERT_EQ(kept.exit, 0) << kept.err;
    EXPECT_THAT(unwrapped(kept.out), HasSubstr("2 records of Hall console kept on the shelf for other jobs"));
    const Json after = Json::parse(get(here.path() / "new.json"));
    ASSERT_EQ(after["shelf"]["work_done"].size(), 2U);
    EXPECT_EQ(after["shelf"]["work_done"][0]["hours"], 9);
    // Another job with that shelf is told by it.
    Json other = after;
    other["name"] = "Another";
    other.erase("made");
    put(here.path() / "other.json", other.dump());
    EXPECT_THAT(unwrapped(run_program(here.path(), {"book", "other.json"}).out), HasSubstr("1 step of 1 job"));
    EXPECT_THAT(unwrapped(run_program(here.path(), {"made", "other.json"}).out),
                HasSubstr("What your shop has learnt"));
}

}  // namespace
}  // namespace seamwright::app
