// RFC 9112 is the published source: what a head may look like, and which heads two readers could understand
// differently.

#include "app/server_head.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace seamwright::app {
namespace {

int status(const std::string& head) {
    const auto read = read_head(head);
    const auto* fault = std::get_if<HeadFault>(&read);
    return fault == nullptr ? 200 : fault->status;
}

Head good(const std::string& head) {
    const auto read = read_head(head);
    if (const auto* fault = std::get_if<HeadFault>(&read))
        throw std::runtime_error("fault " + std::to_string(fault->status));
    return std::get<Head>(read);
}

std::string get_with(const std::string& fields) {
    return "GET / HTTP/1.1\r\nHost: a\r\n" + fields + "\r\n";
}
std::string post_with(const std::string& fields) {
    return "POST /api/jobs HTTP/1.1\r\nHost: a\r\n" + fields + "\r\n";
}

TEST(RequestHead, KeepsWhatIsUsedAndDropsTheRest) {
    const Head head = good(
        "GET /a?b=c HTTP/1.1\r\nHOST:  localhost:7431 \r\nAccept-Encoding: br, gzip\r\nRange: bytes=0-1,0-1,0-1\r\n"
        "X-Forwarded-Host: elsewhere\r\nCookie: k=v\r\n\r\n");
    EXPECT_EQ(head.text, "GET /a?b=c HTTP/1.1\r\nhost: localhost:7431\r\ncookie: k=v\r\n\r\n");
    EXPECT_TRUE(head.stays_open);
    EXPECT_EQ(head.body_bytes, 0u);
}

TEST(RequestHead, KnowsWhetherTheConnectionStays) {
    EXPECT_FALSE(good(get_with("Connection: close\r\n")).stays_open);
    EXPECT_FALSE(good("GET / HTTP/1.0\r\nHost: a\r\n\r\n").stays_open);
    EXPECT_TRUE(good("GET / HTTP/1.0\r\nHost: a\r\nConnection: Keep-Alive\r\n\r\n").stays_open);
}

TEST(RequestHead, RefusesBodiesOfDoubtfulLength) {
    EXPECT_EQ(good(post_with("Content-Length: 12\r\n")).body_bytes, 12u);
    EXPECT_EQ(status(post_with("")), 411);
    EXPECT_EQ(status(post_with("Transfer-Encoding: chunked\r\n")), 411);
    EXPECT_EQ(status(post_with("Content-Length: 5\r\nTransfer-Encoding: chunked\r\n")), 411);
    for (const char* length : {"+5", "-5", "5, 5", "0x5", "5 5", "", "99999999999999999999", "5.0"}) {
        EXPECT_EQ(status(post_with(std::string("Content-Length: ") + length + "\r\n")), 400) << length;
    }
    EXPECT_EQ(status(post_with("Content-Length: 5\r\nContent-Length: 5\r\n")), 400);
    EXPECT_EQ(status(get_with("Content-Length: 5\r\n")), 400) << "a GET with a body";
}

TEST(RequestHead, RefusesCompressedBodies) {
    for (const char* coding : {"gzip", "br", "deflate", "identity, gzip"}) {
        EXPECT_EQ(status(post_with(std::string("Content-Length: 5\r\nContent-Encoding: ") + coding + "\r\n")), 415);
    }
}

TEST(RequestHead, RefusesMalformedLines) {
    for (const char* line :
         {"GET /", "GET  / HTTP/1.1", " GET / HTTP/1.1", "GET /a b HTTP/1.1", "", "GET / http/1.1", "G\tT / HTTP/1.1",
          "GET http://elsewhere/ HTTP/1.1", "GET a HTTP/1.1", "GET /\x01 HTTP/1.1", "GET /\xC3\xA4 HTTP/1.1"}) {
        EXPECT_EQ(status(std::string(line) + "\r\nHost: a\r\n\r\n"), 400) << line;
    }
    EXPECT_EQ(status("GET / HTTP/2.0\r\nHost: a\r\n\r\n"), 505);
    EXPECT_EQ(status("GET /" + std::string(longest_target, 'a') + " HTTP/1.1\r\nHost: a\r\n\r\n"), 414);
    for (const char* method : {"PUT", "DELETE", "OPTIONS", "TRACE", "CONNECT", "PATCH", "get", "PRI"}) {
        EXPECT_EQ(status(std::string(method) + " / HTTP/1.1\r\nHost: a\r\n\r\n"), 405) << method;
    }
    for (const char* field : {" folded: a", "Name : a", ": a", "Name", "N\xC3\xA4me: a", "Name: a\x01",
                              "Name: a\nHost: b", "Name: a\rHost: b"}) {
        EXPECT_EQ(status(get_with(std::string(field) + "\r\n")), 400) << field;
    }
    EXPECT_EQ(status(get_with(std::string("Name: a\0b\r\n", 11))), 400);
}

TEST(RequestHead, WantsExactlyOneHost) {
    EXPECT_EQ(status("GET / HTTP/1.1\r\n\r\n"), 400);
    EXPECT_EQ(status(get_with("Host: b\r\n")), 400);
    EXPECT_EQ(status(get_with("Origin: a\r\nOrigin: b\r\n")), 400);
}

TEST(RequestHead, CountsFields) {
    std::string fields;
    for (std::size_t i = 1; i < most_head_fields; ++i) fields += "A: b\r\n";
    EXPECT_EQ(status(get_with(fields)), 200);
    EXPECT_EQ(status(get_with(fields + "A: b\r\n")), 431);
}

TEST(RequestHead, RefusesOtherExpectations) {
    EXPECT_EQ(status(post_with("Content-Length: 1\r\nExpect: 100-continue\r\n")), 200);
    EXPECT_EQ(status(post_with("Content-Length: 1\r\nExpect: wonders\r\n")), 417);
}

/// Law: what comes out is read again as the same, so nothing can hide in it from the next reader.
RC_GTEST_PROP(RequestHead, ReadsItsOwnResult, ()) {
    const auto pieces = *rc::gen::resize(
        6, rc::gen::container<std::vector<std::string>>(rc::gen::element<std::string>(
               "Host: a\r\n", "Cookie: x=y; z\r\n", "Content-Length: 7\r\n", "Connection: close\r\n",
               "If-None-Match: \"a\"\r\n", "Range: bytes=1-\r\n", "\t", "\r\n", "\n", ":", "\xFF",
               "Transfer-Encoding: x\r\n", "Origin: http://a\r\n", "A: \r\n", "Host: b\r\n", "Content-Length: 0\r\n")));
    std::string head =
        *rc::gen::element<std::string>("GET / HTTP/1.1\r\n", "POST /x HTTP/1.1\r\n", "GET /?a HTTP/1.0\r\n");
    for (const auto& piece : pieces) head += piece;
    const auto read = read_head(head + "\r\n");
    if (const auto* first = std::get_if<Head>(&read)) {
        RC_TAG("read");
        const Head second = good(first->text);
        RC_ASSERT(second.text == first->text);
        RC_ASSERT(second.body_bytes == first->body_bytes);
    }
}

}  // namespace
}  // namespace seamwright::app
