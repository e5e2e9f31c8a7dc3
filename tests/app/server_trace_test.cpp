// Pictures through the served program: what comes back, and what is kept out.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sample_photo.h"
#include "serving.h"

namespace seamwright::app {
namespace {

using test::ask;
using test::Json;
using test::Reply;
using test::Serving;
using test::TemporaryFolder;
using ::testing::HasSubstr;

std::string encoded(const std::string& text) {
    std::string out;
    const char* digits = "0123456789ABCDEF";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        out += '%';
        out += digits[byte >> 4U];
        out += digits[byte & 15U];
    }
    return out;
}
std::string framed(const std::string& picture) {
    std::string out;
    for (int shift = 24; shift >= 0; shift -= 8)
        out += static_cast<char>(picture.size() >> static_cast<unsigned>(shift));
    return out + picture;
}

class Tracing : public ::testing::Test {
  protected:
    Tracing() : serving_(folder_ / "jobs.sqlite") {}

    Reply post(const std::string& wish, const std::string& body, const std::string& type = "application/octet-stream",
               const std::string& more = {}) const {
        const std::string host = "127.0.0.1:" + std::to_string(serving_.port());
        return ask(serving_.port(), "POST /api/trace?wish=" + encoded(wish) + " HTTP/1.1\r\nHost: " + host +
                                        "\r\nContent-Type: " + type + "\r\n" + more +
                                        "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body);
    }

    TemporaryFolder folder_;
    Serving serving_;
};

TEST_F(Tracing, APhotoComesBackAsALineWithItsTrust) {
    const std::string tape = sample().tape;
    const auto dash = tape.find('-'), equals = tape.find('=');
    const Json wish = {{"name", "bench.jpg"},
                       {"taped", Json::array({{{"from", std::stoi(tape.substr(0, dash))},
                                               {"to", std::stoi(tape.substr(dash + 1, equals - dash - 1))},
                                               {"apart", tape.substr(equals + 1) + " mm"}}})}};
    const Reply reply = post(wish.dump(), framed(sample().jpeg));
    ASSERT_EQ(reply.status, 200) << reply.body;
    const Json view = Json::parse(reply.body);
    EXPECT_THAT(view["line"].get<std::string>(), HasSubstr("A line of 1"));
    EXPECT_EQ(view["pictures"][0]["width"], 2000);
    EXPECT_EQ(view["pictures"][0]["marks"].size(), 18u);
    EXPECT_GT(view["pictures"][0]["line"].size(), 500u);
    EXPECT_LE(view["pictures"][0]["line"].size(), 2001u);
    EXPECT_TRUE(view["uses"][0]["good"]);
    EXPECT_EQ(view["traced"]["picture"]["file"], "bench.jpg");
    // As an edit it becomes a seam.
    const Json change = {
        {"base", 1}, {"edits", Json::array({{{"trace", ""}, {"traced", view["traced"]}, {"name", "from the photo"}}})}};
    const std::string body = change.dump(), host = "127.0.0.1:" + std::to_string(serving_.port());
    const Reply edited = ask(serving_.port(), "POST /api/jobs/1/edit HTTP/1.1\r\nHost: " + host +
                                                  "\r\nContent-Type: application/json\r\nContent-Length: " +
                                                  std::to_string(body.size()) + "\r\n\r\n" + body);
    ASSERT_EQ(edited.status, 200) << edited.body;
    EXPECT_EQ(Json::parse(edited.body)["seams"].back()["name"], "from the photo");
}

TEST_F(Tracing, WhyThereIsNoTraceIsTold) {
    const Reply none = post("{}", framed("no picture at all"));
    EXPECT_EQ(none.status, 422);
    EXPECT_FALSE(Json::parse(none.body)["remedy"].get<std::string>().empty());
    // Chosen where no line is.
    const Reply lost = post(R"({"from":[10,10],"to":[30,20]})", framed(sample().jpeg));
    EXPECT_EQ(lost.status, 422);
}

TEST_F(Tracing, WishesAndBodiesThatAreNoneAreRefused) {
    for (const char* wish :
         {"", "[]", "{\"per_inch\":1}", "{\"from\":[1]}", "{\"taped\":[{\"from\":0,\"to\":900,\"apart\":\"1\"}]}",
          "{\"taped\":[{\"from\":0,\"to\":1,\"apart\":\"far\"}]}", "{\"above\":12}"}) {
        EXPECT_EQ(post(wish, framed(sample().jpeg)).status, 400) << wish;
    }
    EXPECT_EQ(post("{}", "").status, 400);
    EXPECT_EQ(post("{}", "abc").status, 400);
    EXPECT_EQ(post("{}", std::string("\xFF\xFF\xFF\xFF", 4) + "x").status, 400);
    EXPECT_EQ(post("{}", framed("x") + framed("y")).status, 400);
}

TEST_F(Tracing, OtherPagesAndFormsAreKeptOut) {
    EXPECT_EQ(post("{}", framed("x"), "application/json").status, 415);
    EXPECT_EQ(post("{}", framed("x"), "text/plain").status, 415);
    EXPECT_EQ(post("{}", framed("x"), "multipart/form-data; boundary=x").status, 415);
    EXPECT_EQ(post("{}", framed("x"), "application/octet-stream", "Origin: http://elsewhere.example\r\n").status, 403);
    EXPECT_EQ(post("{}", framed("x"), "application/octet-stream", "Sec-Fetch-Site: cross-site\r\n").status, 403);
    const std::string host = "127.0.0.1:" + std::to_string(serving_.port());
    EXPECT_EQ(ask(serving_.port(), "GET /api/trace HTTP/1.1\r\nHost: " + host + "\r\n\r\n").status, 405);
    EXPECT_EQ(ask(serving_.port(), "POST /api/trace?wish=%7B%7D HTTP/1.1\r\nHost: " + host +
                                       "\r\nContent-Type: application/octet-stream\r\nContent-Length: 99999999\r\n\r\n")
                  .status,
              413);
}

}  // namespace
}  // namespace seamwright::app
