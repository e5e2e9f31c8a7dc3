// --share: what a phone in the workshop gets to see, and what nobody does.

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <qrencode.h>

#include <memory>
#include <sstream>

#include "app/plain_text.h"
#include "app/qr.h"
#include "app/server.h"
#include "serving.h"

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

class Share : public ::testing::Test {
  protected:
    void SetUp() override {
        page.begin({{"example", "bench-top"}});
        page.screen(1);
        serving.end(SIGTERM);
        shared = std::make_unique<Serving>(folder / "jobs.sqlite", std::vector<std::string>{"--share", "--port", "0"});
        const std::string out = shared->out();
        if (network_addresses().empty()) GTEST_SKIP() << "this machine is in no network";
        host = network_addresses().front();
        const std::string start = "  http://" + host + ":";
        const std::size_t at = out.find(start);
        ASSERT_NE(at, std::string::npos) << out;
        way_in = out.substr(at + 2, out.find('\n', at) - at - 2);
        port = std::stoi(way_in.substr(start.size() - 2));
        key = way_in.substr(way_in.find("key=") + 4);
        path = way_in.substr(way_in.find("/shop"));
    }
    Reply get(const std::string& asked, const std::string& fields = {}, const std::string& method = "GET") const {
        return ask(
            port,
            method + ' ' + asked + " HTTP/1.1\r\nHost: " + host + ':' + std::to_string(port) + "\r\n" + fields + "\r\n",
            host.c_str());
    }
    std::string cookie() const { return "Cookie: seamwright=" + key + "\r\n"; }

    TemporaryFolder folder;
    Serving serving{folder / "jobs.sqlite"};
    Page page{serving.port()};
    std::unique_ptr<Serving> shared;
    std::string host, way_in, key, path;
    int port = 0;
};

TEST_F(Share, SaysWhatIsOpenedAndToWhom) {
    const std::string out = shared->out();
    EXPECT_THAT(out, HasSubstr("Hall console"));
    EXPECT_THAT(out, HasSubstr("read only"));
    EXPECT_EQ(key.size(), 22u);
    EXPECT_THAT(path, ::testing::StartsWith("/shop?job=1&key="));
    // Another start, another key.
    shared = std::make_unique<Serving>(folder / "jobs.sqlite", std::vector<std::string>{"--share", "--port", "0"});
    EXPECT_THAT(shared->out(), Not(HasSubstr(key)));
}

TEST_F(Share, ThePhoneSeesTheSteps) {
    const Reply page_reply = get(path);
    ASSERT_EQ(page_reply.status, 200);
    EXPECT_EQ(page_reply.field("content-type"), "text/html; charset=utf-8");
    const std::string given = page_reply.field("set-cookie");
    EXPECT_THAT(given, ::testing::StartsWith("seamwright=" + key + ";"));
    EXPECT_THAT(given, HasSubstr("HttpOnly"));
    EXPECT_THAT(given, HasSubstr("SameSite=Strict"));
    EXPECT_EQ(page_reply.field("referrer-policy"), "no-referrer") << "the key stands in the address";
    EXPECT_EQ(page_reply.field("x-frame-options"), "DENY");

    const std::size_t at = page_reply.body.find("/assets/");
    ASSERT_NE(at, std::string::npos);
    const std::string asset = page_reply.body.substr(at, page_reply.body.find('"', at) - at);
    EXPECT_EQ(get(asset, cookie()).status, 200);
    const Reply steps = get("/api/jobs/1/shop", cookie());
    ASSERT_EQ(steps.status, 200);
    EXPECT_EQ(Json::parse(steps.body)["name"], "Hall console");
    EXPECT_EQ(get("/shop", cookie()).status, 200) << "loaded again without the key";
}

TEST_F(Share, NothingElseIsOpen) {
    for (const char* asked :
         {"/", "/index.html", "/shop.html", "/api/jobs", "/api/jobs/1", "/api/jobs/2", "/api/jobs/2/shop",
          "/api/jobs/1/version", "/api/jobs/1/history", "/api/jobs/1/export", "/api/jobs/1/papers/overview.pdf",
          "/api/jobs/1/edit", "/api/jobs/99/shop", "/none", "/assets/none.js", "/assets/../index.html"}) {
        EXPECT_EQ(get(asked, cookie()).status, 404) << asked;
    }
    for (const char* asked : {"/api/jobs", "/api/jobs/1/edit", "/api/jobs/1/delete", "/api/jobs/1/shop", "/shop"}) {
        const std::string body = R"({"base":1,"edits":[{"set":"/name","value":"Taken over"}]})";
        const Reply reply =
            get(asked,
                cookie() + "Content-Type: application/json\r\nContent-Length: " + std::to_string(body.size()) + "\r\n",
                "POST");
        EXPECT_EQ(reply.status, 404) << asked;
    }
    Page own(shared->port());
    EXPECT_EQ(own.screen(1)["version"], 1);
}

TEST_F(Share, WithoutTheKeyThereIsNothing) {
    std::string wrong = key;
    wrong[10] = wrong[10] == 'a' ? 'b' : 'a';
    for (const std::string& asked : {std::string("/shop"), std::string("/shop?job=1"), "/shop?job=1&key=" + wrong,
                                     "/shop?job=1&key=" + key.substr(0, 21), "/shop?job=1&key=" + key + "A",
                                     std::string("/shop?job=1&key="), std::string("/shop?job=2&key=") + key,
                                     std::string("/api/jobs/1/shop"), "/api/jobs/1/shop?job=1&key=" + key}) {
        for (const std::string& fields :
             {std::string(), "Cookie: seamwright=" + wrong + "\r\n", "Cookie: seamwright=\r\n" + std::string(),
              "Cookie: seamwright=" + wrong + "; seamwright=" + key + "\r\n"}) {
            const Reply reply = get(asked, fields);
            EXPECT_EQ(reply.status, 404) << asked << ' ' << fields;
            EXPECT_THAT(reply.body, Not(HasSubstr("console")));
            EXPECT_EQ(reply.field("set-cookie"), "");
        }
    }
}

TEST_F(Share, NamesAndOtherPagesAreNotLetIn) {
    for (const std::string& other : {std::string("attacker.example:") + std::to_string(port), host,
                                     "localhost:" + std::to_string(port), host + ":1"}) {
        const Reply reply = ask(port, "GET " + path + " HTTP/1.1\r\nHost: " + other + "\r\n\r\n", host.c_str());
        EXPECT_EQ(reply.status, 404) << other;
    }
    EXPECT_EQ(get("/api/jobs/1/shop", cookie() + "Sec-Fetch-Site: cross-site\r\n").status, 404);
}

TEST_F(Share, ThePageItselfStaysOnThisComputer) {
    EXPECT_FALSE(RawClient(shared->port(), host.c_str()).connected());
    EXPECT_EQ(ask(shared->port(), "GET /api/jobs HTTP/1.1\r\nHost: " + host + ':' + std::to_string(shared->port()) +
                                      "\r\nCookie: seamwright=" + key + "\r\n\r\n")
                  .status,
              403)
        << "the key opens nothing there";
}

// ------------------------------------------------------------------------------------------------------ QR code

/// Modules of a drawn code, dark ones true.
std::vector<std::vector<bool>> modules(const std::string& drawn, bool coloured) {
    std::vector<std::vector<bool>> rows;
    std::istringstream lines(drawn);
    for (std::string line; std::getline(lines, line);) {
        if (coloured) {
            EXPECT_TRUE(line.starts_with("\x1b[30;107m") && line.ends_with("\x1b[0m"));
            line = line.substr(9, line.size() - 13);
        }
        std::vector<bool> upper, lower;
        for (std::size_t at = 0; at < line.size();) {
            const std::string_view rest = std::string_view(line).substr(at);
            const bool full = rest.starts_with("█"), top = rest.starts_with("▀"), bottom = rest.starts_with("▄");
            upper.push_back((full || top) == coloured);
            lower.push_back((full || bottom) == coloured);
            at += full || top || bottom ? 3 : 1;
        }
        rows.push_back(upper);
        rows.push_back(lower);
    }
    return rows;
}

/// ISO/IEC 18004: finder patterns of 7 × 7 in three corners, a quiet zone of 4 modules, timing patterns in row and
/// column 6 (from memory).
TEST(QrCode, IsDrawnAsTheStandardHasIt) {
    for (const bool coloured : {false, true}) {
        const std::string text = "http://192.168.178.123:7432/shop?job=12&key=sMg9rnbH3OxM6OpvXzIXOQ";
        const auto drawn = modules(qr_code(text, coloured), coloured);
        const std::size_t width = drawn.front().size() - 8;
        ASSERT_GE(width, 21u);
        ASSERT_EQ((width - 17) % 4, 0u);
        ASSERT_GE(drawn.size(), width + 8);
        const auto dark = [&](std::size_t row, std::size_t column) { return drawn[row + 4][column + 4]; };
        for (std::size_t i = 0; i < drawn.front().size(); ++i) {
            for (std::size_t j = 0; j < 4; ++j) {
                EXPECT_FALSE(drawn[j][i] || drawn[i][j] || drawn[width + 4 + j][i] || drawn[i][width + 4 + j]);
            }
        }
        const char* finder[] = {"#######", "#.....#", "#.###.#", "#.###.#", "#.###.#", "#.....#", "#######"};
        for (std::size_t i = 0; i < 7; ++i) {
            for (std::size_t j = 0; j < 7; ++j) {
                const bool wanted = finder[i][j] == '#';
                EXPECT_EQ(dark(i, j), wanted);
                EXPECT_EQ(dark(i, width - 7 + j), wanted);
                EXPECT_EQ(dark(width - 7 + i, j), wanted);
            }
        }
        for (std::size_t i = 8; i + 8 < width; ++i) {
            EXPECT_EQ(dark(6, i), i % 2 == 0);
            EXPECT_EQ(dark(i, 6), i % 2 == 0);
        }
        const std::unique_ptr<QRcode, decltype(&QRcode_free)> code(
            QRcode_encodeString(text.c_str(), 0, QR_ECLEVEL_M, QR_MODE_8, 1), &QRcode_free);
        ASSERT_EQ(static_cast<std::size_t>(code->width), width);
        for (std::size_t i = 0; i < width; ++i) {
            for (std::size_t j = 0; j < width; ++j) EXPECT_EQ(dark(i, j), (code->data[i * width + j] & 1) != 0);
        }
    }
}

}  // namespace
}  // namespace seamwright::app
