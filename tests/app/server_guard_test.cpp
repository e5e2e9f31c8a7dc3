// Who is let in, and which addresses there are. Sources: RFC 6454 (Origin), RFC 6265 (cookies), W3C Fetch Metadata
// Request Headers; DNS rebinding as in Jackson et al., "Protecting Browsers from DNS Rebinding Attacks", CCS 2007.

#include "app/server_guard.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <set>

#include "app/server_route.h"

namespace seamwright::app {
namespace {

constexpr int port = 7431;

Asked page_post() {
    Asked asked;
    asked.method = "POST";
    asked.path = "/api/jobs/1/edit";
    asked.host = "127.0.0.1:7431";
    asked.origin = "http://127.0.0.1:7431";
    asked.fetch_site = "same-origin";
    asked.content_type = "application/json";
    asked.body_bytes = 100;
    return asked;
}

int refused(const Asked& asked) {
    const auto route = find_route(asked.method, asked.path);
    const auto answer = refuse_stranger(asked, std::get<Route>(route), own_hosts(port));
    return answer ? answer->status : 200;
}

TEST(Guard, LetsThePageIn) {
    for (const char* host : {"127.0.0.1:7431", "localhost:7431", "LocalHost:7431", "[::1]:7431"}) {
        Asked asked = page_post();
        asked.host = host;
        asked.origin = std::string("http://") + host;
        EXPECT_EQ(refused(asked), 200) << host;
        asked.origin.clear();
        asked.fetch_site.clear();
        asked.content_type = "Application/JSON; charset=utf-8";
        EXPECT_EQ(refused(asked), 200) << "a program of the maker's own, " << host;
    }
}

TEST(Guard, KeepsOutNamesThatWereBentToThisAddress) {
    for (const char* host :
         {"attacker.example:7431", "127.0.0.1", "127.0.0.1:80", "localhost", "localhost:7432", "localhost.:7431",
          "127.0.0.1:7431.attacker.example", "attacker.example", "127.0.0.2:7431", "[::1]", "::1:7431", "0.0.0.0:7431",
          "127.1:7431", "localhost:07431", "localhost:7431,attacker.example", ""}) {
        for (const char* path : {"/", "/api/jobs", "/api/jobs/1", "/shop"}) {
            Asked asked;
            asked.method = "GET";
            asked.path = path;
            asked.host = host;
            EXPECT_EQ(refused(asked), 403) << host;
        }
        Asked asked = page_post();
        asked.host = host;
        asked.origin = std::string("http://") + host;
        EXPECT_EQ(refused(asked), 403) << host;
    }
}

TEST(Guard, KeepsOutOtherOrigins) {
    for (const char* origin :
         {"null", "http://attacker.example", "https://127.0.0.1:7431", "http://127.0.0.1", "http://127.0.0.1:7432",
          "http://localhost:7431", "http://127.0.0.1:7431/", "http://127.0.0.1:7431.attacker.example", "file://"}) {
        Asked asked = page_post();
        asked.origin = origin;
        EXPECT_EQ(refused(asked), 403) << origin;
        asked.fetch_site.clear();
        EXPECT_EQ(refused(asked), 403) << origin;
    }
}

TEST(Guard, KeepsOutWhatOtherSitesStart) {
    for (const char* site : {"cross-site", "same-site", "SAME-ORIGIN", "else"}) {
        Asked asked = page_post();
        asked.fetch_site = site;
        asked.origin.clear();
        EXPECT_EQ(refused(asked), 403) << site;
        asked.method = "GET";
        for (const char* path : {"/api/jobs", "/api/jobs/1", "/api/jobs/1/export", "/api/jobs/1/papers/a.pdf"}) {
            asked.path = path;
            EXPECT_EQ(refused(asked), 403) << site << path;
        }
        asked.path = "/";
        EXPECT_EQ(refused(asked), 200) << "a link may lead to the page";
    }
}

TEST(Guard, TakesOnlyJson) {
    for (const char* type : {"", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=a",
                             "text/plain; application/json", "application/jsonp", "application/json, text/plain"}) {
        Asked asked = page_post();
        asked.content_type = type;
        EXPECT_EQ(refused(asked), 415) << type;
    }
}

TEST(Guard, LimitsBodies) {
    Asked asked = page_post();
    asked.body_bytes = largest_upload_bytes;
    EXPECT_EQ(refused(asked), 200) << "an import may be that large";
    asked.body_bytes = largest_upload_bytes + 1;
    EXPECT_EQ(refused(asked), 413);
    for (const char* path : {"/api/jobs/1/undo", "/api/jobs/1/delete", "/api/jobs/1/return", "/api/jobs/1/duplicate"}) {
        asked.path = path;
        asked.body_bytes = largest_edit_bytes;
        EXPECT_EQ(refused(asked), 200);
        asked.body_bytes = largest_edit_bytes + 1;
        EXPECT_EQ(refused(asked), 413);
    }
}

TEST(Guard, TokensAreLongAndDiffer) {
    std::set<std::string> tokens;
    for (int i = 0; i < 1000; ++i) {
        const std::string token = make_token();
        EXPECT_EQ(token.size(), 22u) << "128 bits, six to a letter";
        EXPECT_EQ(token.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"),
                  token.npos);
        tokens.insert(token);
    }
    EXPECT_EQ(tokens.size(), 1000u);
}

TEST(Guard, ComparesWholeSecrets) {
    EXPECT_TRUE(same_secret("abc", "abc"));
    for (const char* other : {"abd", "bbc", "ab", "abcd", "", "ABC"}) EXPECT_FALSE(same_secret("abc", other)) << other;
    EXPECT_FALSE(same_secret(std::string_view("abc\0", 4), std::string_view("abc\1", 4)));
}

TEST(Guard, ReadsCookies) {
    EXPECT_EQ(cookie_value("a=1; seamwright=xyz; b=2", "seamwright"), "xyz");
    EXPECT_EQ(cookie_value("seamwright=x=y", "seamwright"), "x=y");
    EXPECT_EQ(cookie_value("seamwright=1; seamwright=2", "seamwright"), std::nullopt) << "one of them was planted";
    for (const char* field : {"", "seamwright", "xseamwright=1", "seamwrightx=1", "a=seamwright=1", ";;;"}) {
        EXPECT_EQ(cookie_value(field, "seamwright"), std::nullopt) << field;
    }
}

// ------------------------------------------------------------------------------------------------------ addresses

int status(std::string_view method, std::string_view path) {
    const auto route = find_route(method, path);
    const auto* none = std::get_if<NoRoute>(&route);
    return none == nullptr ? 200 : none->status;
}

TEST(Routes, AreThoseOfTheContract) {
    for (const char* path :
         {"/api/jobs", "/api/jobs/7", "/api/jobs/7/version", "/api/jobs/7/history", "/api/jobs/7/papers/overview.pdf",
          "/api/jobs/7/export", "/api/jobs/7/shop", "/api/jobs/7/made", "/api/search"}) {
        EXPECT_EQ(status("GET", path), 200) << path;
        EXPECT_EQ(status("HEAD", path), 200) << path;
        if (std::string_view(path) != "/api/jobs") {
            EXPECT_EQ(status("POST", path), 405) << path;
        }
    }
    for (const char* path : {"/api/jobs", "/api/jobs/7/try", "/api/jobs/7/edit", "/api/jobs/7/undo", "/api/jobs/7/redo",
                             "/api/jobs/7/duplicate", "/api/jobs/7/delete", "/api/jobs/7/restore", "/api/jobs/7/return",
                             "/api/jobs/7/note"}) {
        EXPECT_EQ(status("POST", path), 200) << path;
        if (std::string_view(path) != "/api/jobs") {
            EXPECT_EQ(status("GET", path), 405) << path;
        }
    }
    EXPECT_EQ(status("POST", "/"), 405);
    EXPECT_EQ(std::get<NoRoute>(find_route("GET", "/api/jobs/7/edit")).allow, "POST");
}

TEST(Routes, IdsAreReadStrictly) {
    EXPECT_EQ(std::get<Route>(find_route("GET", "/api/jobs/999999999999999999")).job, 999999999999999999);
    for (const char* id : {"0", "00", "01", "-1", "+1", "1.0", "1e3", " 1", "1 ", "0x1", "", "a", "9999999999999999999",
                           "18446744073709551617", "%31", "1%00", "1;DROP", "\xD9\xA1"}) {
        EXPECT_EQ(status("GET", std::string("/api/jobs/") + id), 404) << id;
        EXPECT_EQ(status("POST", std::string("/api/jobs/") + id + "/edit"), 404) << id;
    }
}

TEST(Routes, NothingBesideThem) {
    for (const char* path :
         {"/api/", "/api/jobs/", "/api/jobs/7/", "/api/jobs/7/papers", "/api/jobs/7/papers/", "/api/jobs/7/papers/.",
          "/api/jobs/7/papers/..", "/api/jobs/7/papers/.hidden", "/api/jobs/7/papers/a/b",
          "/api/jobs/7/papers/..%2f..%2fetc%2fpasswd", "/api/jobs/7/papers/a\\b", "/api/jobs/7/Edit",
          "/api/jobs/7/edit/", "/api//jobs", "/api/jobs/7/../8", "/api/shelf"}) {
        EXPECT_EQ(status("GET", path), 404) << path;
    }
}

RC_GTEST_PROP(Routes, NoPathLeadsOutOfTheTable, ()) {
    const auto parts = *rc::gen::resize(
        4, rc::gen::container<std::vector<std::string>>(rc::gen::element<std::string>(
               "/", "1", "12", "..", "%2e", "papers/", "/export", "/shop", "a.pdf", "\\", "\n", "?", "-1")));
    std::string path = *rc::gen::element<std::string>("/api/", "/api/jobs/", "/api/jobs/3/", "/api/jobs/3/papers/");
    for (const auto& part : parts) path += part;
    const auto route = find_route("GET", path);
    if (const auto* found = std::get_if<Route>(&route)) {
        RC_TAG("found");
        RC_ASSERT(found->to != Route::To::file);
        RC_ASSERT(found->job > 0);
        RC_ASSERT(found->name.find('/') == std::string::npos);
        RC_ASSERT(found->name.find("..") != 0);
    }
}

}  // namespace
}  // namespace seamwright::app
