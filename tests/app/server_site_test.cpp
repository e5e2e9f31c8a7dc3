// Attacks on the program as it serves: from other pages, from other machines, at the files.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <regex>
#include <set>
#include <sstream>

#include "app/server.h"
#include "run_program.h"
#include "serving.h"
#include "source_folder.h"

namespace seamwright::app {
namespace {

using test::ask;
using test::Json;
using test::Page;
using test::RawClient;
using test::Reply;
using test::Serving;
using test::TemporaryFolder;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

/// One program for all: nothing here may change anything, which is looked at after every test.
class Site : public ::testing::Test {
  protected:
    static void SetUpTestSuite() {
        folder = new TemporaryFolder;
        serving = new Serving(*folder / "jobs.sqlite");
        Page page(serving->port());
        page.screen(1);
        before = page.get("/api/jobs").body;
    }
    static void TearDownTestSuite() {
        delete serving;
        delete folder;
    }
    void TearDown() override {
        Page page(serving->port());
        EXPECT_EQ(page.get("/api/jobs").body, before);
        EXPECT_EQ(page.good(page.get("/api/jobs/1/version"))["version"], 1);
    }

    static int port() { return serving->port(); }
    static std::string own_host() { return "127.0.0.1:" + std::to_string(port()); }
    static Reply get(const std::string& path, const std::string& fields = {}) {
        return ask(port(), "GET " + path + " HTTP/1.1\r\nHost: " + own_host() + "\r\n" + fields + "\r\n");
    }

    static TemporaryFolder* folder;
    static Serving* serving;
    static std::string before;
};
TemporaryFolder* Site::folder = nullptr;
Serving* Site::serving = nullptr;
std::string Site::before;

const std::string body = R"({"base":1,"edits":[{"set":"/name","value":"Taken over"}]})";

/// Addresses on which sockets of this process listen, from the kernel's own tables.
std::set<std::string> listening(pid_t process, int port) {
    std::set<std::string> found;
    for (const char* table : {"tcp", "tcp6"}) {
        std::ifstream lines("/proc/" + std::to_string(process) + "/net/" + table);
        for (std::string line; std::getline(lines, line);) {
            std::istringstream words(line);
            std::string number, local, remote, state;
            words >> number >> local >> remote >> state;
            const std::size_t colon = local.find(':');
            if (state != "0A" || colon == std::string::npos) continue;
            if (std::stoi(local.substr(colon + 1), nullptr, 16) == port) found.insert(local.substr(0, colon));
        }
    }
    return found;
}

TEST_F(Site, ListensOnLoopbackOnly) {
    auto addresses = listening(serving->process(), port());
    EXPECT_EQ(addresses.erase("0100007F"), 1u) << "127.0.0.1";
    addresses.erase("00000000000000000000000001000000");  // ::1
    EXPECT_TRUE(addresses.empty()) << *addresses.begin();
    EXPECT_FALSE(RawClient(port(), "127.0.0.2").connected());
    for (const auto& address : network_addresses()) {
        EXPECT_FALSE(RawClient(port(), address.c_str()).connected()) << address;
    }
}

TEST_F(Site, ANameBentToThisAddressGetsNothing) {
    for (const char* path : {"/", "/shop", "/api/jobs", "/api/jobs/1", "/api/jobs/1/export", "/none"}) {
        const Reply reply =
            ask(port(), std::string("GET ") + path + " HTTP/1.1\r\nHost: attacker.example:" + std::to_string(port()) +
                            "\r\nSec-Fetch-Site: same-origin\r\n\r\n");
        EXPECT_EQ(reply.status, 403) << path;
        EXPECT_THAT(reply.body, Not(HasSubstr("console")));
    }
    const std::string host = "attacker.example:" + std::to_string(port());
    EXPECT_EQ(ask(port(), "POST /api/jobs/1/edit HTTP/1.1\r\nHost: " + host + "\r\nOrigin: http://" + host +
                              "\r\nContent-Type: application/json\r\nContent-Length: " + std::to_string(body.size()) +
                              "\r\n\r\n" + body)
                  .status,
              403);
}

TEST_F(Site, OtherPagesChangeNothing) {
    const auto post = [&](const std::string& fields) {
        return ask(port(), "POST /api/jobs/1/edit HTTP/1.1\r\nHost: " + own_host() + "\r\n" + fields +
                               "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body)
            .status;
    };
    // A form: a type that needs no leave from the server.
    EXPECT_EQ(post("Origin: http://attacker.example\r\nContent-Type: text/plain\r\n"), 403);
    EXPECT_EQ(post("Content-Type: text/plain\r\n"), 415);
    EXPECT_EQ(post(""), 415);
    EXPECT_EQ(post("Origin: null\r\nContent-Type: application/json\r\n"), 403);
    // Another program's page on this machine: the same site, another origin.
    EXPECT_EQ(post("Origin: http://127.0.0.1:8080\r\nSec-Fetch-Site: same-site\r\nContent-Type: application/json\r\n"),
              403);
    EXPECT_EQ(post("Sec-Fetch-Site: cross-site\r\nContent-Type: application/json\r\n"), 403);
}

TEST_F(Site, NobodyIsGivenLeaveToReadAcrossOrigins) {
    const Reply asked_first =
        ask(port(), "OPTIONS /api/jobs/1/edit HTTP/1.1\r\nHost: " + own_host() +
                        "\r\nOrigin: http://attacker.example\r\nAccess-Control-Request-Method: POST\r\n\r\n");
    EXPECT_EQ(asked_first.status, 405);
    for (const Reply& reply :
         {asked_first, get("/api/jobs", "Origin: http://attacker.example\r\n"), get("/api/jobs"), get("/")}) {
        for (const auto& [name, value] : reply.fields) EXPECT_THAT(name, Not(StartsWith("access-control")));
        EXPECT_EQ(reply.field("cross-origin-resource-policy"), "same-origin");
    }
    EXPECT_EQ(get("/api/jobs", "Sec-Fetch-Site: cross-site\r\n").status, 403);
}

TEST_F(Site, OtherMethodsAreToldSo) {
    for (const char* method : {"PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"}) {
        const Reply reply =
            ask(port(), std::string(method) + " /api/jobs/1 HTTP/1.1\r\nHost: " + own_host() + "\r\n\r\n");
        EXPECT_EQ(reply.status, 405) << method;
        EXPECT_NE(reply.field("allow"), "");
    }
    const Reply reply = get("/api/jobs/1/edit");
    EXPECT_EQ(reply.status, 405);
    EXPECT_EQ(reply.field("allow"), "POST");
    EXPECT_EQ(ask(port(), "HEAD /api/jobs HTTP/1.1\r\nHost: " + own_host() + "\r\n\r\n").status, 200);
}

TEST_F(Site, OnlyFilesOfThePageAreServed) {
    std::ofstream(*folder / "beside.txt") << "secret";
    for (const char* path :
         {"/../beside.txt", "/..%2fbeside.txt", "/%2e%2e/beside.txt", "/....//beside.txt", "/assets/../../beside.txt",
          "/assets/%2e%2e%2f%2e%2e%2fbeside.txt", "//etc/passwd", "/etc/passwd", "/assets/", "/assets", "/jobs.sqlite",
          "/index.html%00.js", "/index.html/", "/./index.html", "/INDEX.HTML", "/favicon.ico",
          "/assets\\..\\beside.txt", "/.git/config", "/web/package.json"}) {
        const Reply reply = get(path);
        EXPECT_EQ(reply.status, 404) << path;
        EXPECT_THAT(reply.body, Not(HasSubstr("secret")));
        EXPECT_FALSE(Json::parse(reply.body)["says"].empty());
    }
}

TEST_F(Site, ThePageKeepsWithinItsOwnPolicy) {
    std::set<std::string> files;
    for (const char* path : {"/", "/shop"}) {
        const Reply page = get(path);
        ASSERT_EQ(page.status, 200);
        EXPECT_EQ(page.field("content-type"), "text/html; charset=utf-8");
        EXPECT_EQ(page.field("cache-control"), "no-cache");
        EXPECT_EQ(page.field("content-security-policy"),
                  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src "
                  "'self'; font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'");
        const std::string& html = page.body;
        // The policy forbids what is written inline; the page would come up empty.
        EXPECT_FALSE(std::regex_search(html, std::regex("<script(?![^>]* src=)"))) << html;
        EXPECT_FALSE(std::regex_search(html, std::regex("<style|style=|\\son[a-z]+="))) << html;
        const std::regex link("(?:src|href)=\"([^\"]*)\"");
        for (std::sregex_iterator each(html.begin(), html.end(), link), end; each != end; ++each) {
            files.insert((*each)[1]);
        }
    }
    ASSERT_GE(files.size(), 3u);
    for (const auto& file : files) {
        SCOPED_TRACE(file);
        EXPECT_THAT(file, StartsWith("/assets/")) << "nothing from elsewhere";
        const Reply reply = get(file);
        ASSERT_EQ(reply.status, 200);
        EXPECT_FALSE(reply.body.empty());
        EXPECT_THAT(reply.field("cache-control"), HasSubstr("immutable"));
        const std::string tag = reply.field("etag");
        EXPECT_EQ(get(file, "If-None-Match: " + tag + "\r\n").status, 304);
        EXPECT_EQ(get(file, "If-None-Match: \"other\"\r\n").status, 200);
    }
}

TEST_F(Site, ThePageAsksNobodyElse) {
    // Every address in the files of the page is our own, or a name that nobody fetches.
    std::set<std::string> files;
    std::vector<std::string> open = {"/", "/shop"};
    const std::regex asset("assets/[A-Za-z0-9_.-]+");
    const std::regex elsewhere("(?:https?:)?//[a-z0-9-]+\\.[a-z]{2,}[^\"'` )]*");
    while (!open.empty()) {
        const std::string path = open.back();
        open.pop_back();
        if (!files.insert(path).second) continue;
        const Reply reply = get(path);
        ASSERT_EQ(reply.status, 200) << path;
        if (path.ends_with(".woff2") || path.ends_with(".png")) continue;
        const std::string& text = reply.body;
        for (std::sregex_iterator each(text.begin(), text.end(), asset), end; each != end; ++each) {
            open.push_back('/' + each->str());
        }
        for (std::sregex_iterator each(text.begin(), text.end(), elsewhere), end; each != end; ++each) {
            EXPECT_THAT(each->str(), StartsWith("http://www.w3.org/")) << path << ": a name of an XML namespace is all";
        }
    }
    EXPECT_GE(files.size(), 4u);
}

TEST_F(Site, AnswersOfTheProgramAreNotKept) {
    for (const char* path : {"/api/jobs", "/api/jobs/1", "/api/jobs/1/history", "/api/jobs/1/export", "/api/jobs/77"}) {
        EXPECT_EQ(get(path).field("cache-control"), "no-store") << path;
    }
}

/// The program with its usual patience and all its threads.
TEST_F(Site, AHundredDrippingClientsDoNotStopThePage) {
    std::vector<std::unique_ptr<RawClient>> slow;
    for (int i = 0; i < 100; ++i) {
        slow.push_back(std::make_unique<RawClient>(port()));
        slow.back()->send("POST /api/jobs/1/edit HTTP/1.1\r\nHost: " + own_host() +
                          "\r\nContent-Type: application/json\r\nContent-Length: 100000\r\n\r\n");
    }
    const auto from = RawClient::Clock::now();
    for (int i = 0; i < 20; ++i) {
        for (auto& client : slow) client->send(" ");
        ASSERT_EQ(get("/api/jobs/1/version").status, 200);
    }
    EXPECT_LT(RawClient::Clock::now() - from, std::chrono::seconds(8)) << "the ten seconds of the slow ones";
}

// ------------------------------------------------------------------------------------------------- starting, ending

TEST(Serve, EndsOnEverySignalAndSaysSo) {
    const TemporaryFolder here;
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
        Serving serving(here / "jobs.sqlite");
        RawClient idle(serving.port());
        EXPECT_EQ(serving.end(signal), 0);
        EXPECT_THAT(serving.out(), HasSubstr("Ended. Every change is saved."));
        EXPECT_EQ(serving.err(), "");
        EXPECT_FALSE(std::filesystem::exists(here / "jobs.sqlite-wal")) << "the data file was closed";
    }
}

TEST(Serve, TwoProgramsOnOneDataFileSeeEachOthersWork) {
    const TemporaryFolder here;
    const Serving one(here / "jobs.sqlite"), two(here / "jobs.sqlite");
    EXPECT_NE(one.port(), two.port());
    Page first(one.port()), second(two.port());
    first.screen(1);
    second.screen(1);
    first.good(first.edit(1, 1, Json::array({{{"set", "/name"}, {"value", "From one"}}})));
    EXPECT_EQ(second.screen(1)["name"], "From one");
    EXPECT_EQ(second.edit(1, 1, Json::array({{{"set", "/name"}, {"value", "From two"}}})).status, 409);
}

TEST(Serve, TakesTheNextPortWhenTheUsualOneIsTaken) {
    const TemporaryFolder here;
    const Serving one(here / "one.sqlite", {}), two(here / "two.sqlite", {});
    EXPECT_GE(one.port(), Server::usual_port);
    EXPECT_GT(two.port(), one.port());
    EXPECT_LE(two.port(), Server::usual_port + Server::ports_tried);
    // A port that was asked for is not exchanged for another.
    const auto ran = test::run_program(
        here.path(), {"serve", "--data", here / "three.sqlite", "--port", std::to_string(one.port())});
    EXPECT_EQ(ran.exit, 4);
    EXPECT_THAT(ran.err, HasSubstr(std::to_string(one.port())));
    EXPECT_EQ(ran.out, "");
}

TEST(Serve, SaysWhatStandsInTheWay) {
    const TemporaryFolder here;
    const auto data = here / "jobs.sqlite";
    test::put(here / "bad.json", "{\"seamwright\": 1, \"name\": 5}");
    auto ran = test::run_program(here.path(), {"serve", "--data", data, "--open", "bad.json"});
    EXPECT_EQ(ran.exit, 2);
    EXPECT_THAT(ran.err, HasSubstr("/name"));
    EXPECT_THAT(ran.err, HasSubstr("bad.json"));
    ran = test::run_program(here.path(), {"serve", "--data", data, "--open", "none.json"});
    EXPECT_EQ(ran.exit, 2);
    EXPECT_THAT(ran.err, HasSubstr("none.json"));
    test::put(here / "else.sqlite", "this is no data file of ours, and far from it");
    ran = test::run_program(here.path(), {"serve", "--data", here / "else.sqlite"});
    EXPECT_EQ(ran.exit, 4);
    EXPECT_THAT(ran.err, HasSubstr("else.sqlite"));
    EXPECT_EQ(test::get(here / "else.sqlite"), "this is no data file of ours, and far from it");
    for (const char* port : {"-1", "65536", "http", "80 "}) {
        EXPECT_EQ(test::run_program(here.path(), {"serve", "--data", data, "--port", port}).exit, 2) << port;
    }
    EXPECT_EQ(test::run_program(here.path(), {"serve", "--help"}).exit, 0);
}

TEST(Serve, OpensAJobFileOnce) {
    const TemporaryFolder here;
    const std::string file = source_folder() + "/examples/bench-top.json";
    for (int i = 0; i < 2; ++i) {
        const Serving serving(here / "jobs.sqlite", {"--open", file, "--port", "0"});
        Page page(serving.port());
        const Json list = page.good(page.get("/api/jobs"));
        ASSERT_EQ(list["jobs"].size(), 1u) << "the second time it is there already";
        EXPECT_EQ(list["last"], list["jobs"][0]["id"]);
    }
}

}  // namespace
}  // namespace seamwright::app
