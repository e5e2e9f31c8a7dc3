// Attacks on the connections themselves, before anything of the page or the jobs is asked for.

#include "app/server_listener.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <condition_variable>
#include <memory>
#include <mutex>
#include <thread>
#include <vector>

#include "raw_client.h"

namespace seamwright::app {
namespace {

using namespace std::chrono_literals;
using test::ask;
using test::RawClient;
using test::Reply;
using ::testing::HasSubstr;
using ::testing::Not;

class Running {
  public:
    explicit Running(std::unique_ptr<Listener> listener) : listener_(std::move(listener)) {
        thread_ = std::thread([this] { listener_->run(); });
    }
    ~Running() { stop(); }
    Running(const Running&) = delete;
    Running& operator=(const Running&) = delete;
    int port() const { return listener_->port(); }
    void stop() {
        if (!thread_.joinable()) return;
        listener_->stop();
        thread_.join();
    }

  private:
    std::unique_ptr<Listener> listener_;
    std::thread thread_;
};

Answer plain(std::string text) {
    Answer answer;
    answer.type = "text/plain";
    answer.body = std::move(text);
    return answer;
}

/// Gives back what it was sent; refuses what goes to /refuse.
Listener::Work echo() {
    return {[](const Asked& asked) -> std::optional<Answer> {
                if (asked.path != "/refuse") return {};
                Answer answer = plain("refused");
                answer.status = 413;
                return answer;
            },
            [](const Asked& asked) { return plain(asked.method + ' ' + asked.path + ' ' + asked.body); }};
}

std::unique_ptr<Running> run(Listener::Work work, Patience patience = {}, std::size_t threads = 8) {
    Listener::Rules rules;
    rules.threads = threads;
    rules.patience = patience;
    auto listener = Listener::open(rules, std::move(work));
    if (!listener) throw std::runtime_error("no port");
    return std::make_unique<Running>(std::move(listener));
}

std::string post(const std::string& path, const std::string& body) {
    return "POST " + path + " HTTP/1.1\r\nHost: a\r\nContent-Length: " + std::to_string(body.size()) + "\r\n\r\n" +
           body;
}
const std::string get = "GET /a HTTP/1.1\r\nHost: a\r\n\r\n";

void expect_safety(const Reply& reply) {
    ASSERT_NE(reply.status, 0);
    for (const auto& [name, value] : safety_fields()) {
        std::string small = name;
        for (char& c : small) c = static_cast<char>(std::tolower(c));
        EXPECT_EQ(reply.fields.count(small), 1u) << name << " in an answer of " << reply.status;
        EXPECT_EQ(reply.field(small), value);
    }
    for (const auto& [name, value] : reply.fields) {
        EXPECT_THAT(name, Not(HasSubstr("access-control"))) << "nothing is opened to other pages";
    }
}

TEST(Listener, AnswersOneAfterTheOtherOnOneConnection) {
    const auto server = run(echo());
    RawClient client(server->port());
    for (int i = 0; i < 200; ++i) {
        const std::string body = std::string(static_cast<std::size_t>(i * 37), 'x');
        ASSERT_TRUE(client.send(post("/p", body)));
        ASSERT_EQ(client.receive().body, "POST /p " + body);
    }
}

TEST(Listener, ClosesWhenItIsAskedTo) {
    const auto server = run(echo());
    for (const char* last :
         {"GET /a HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n", "GET /a HTTP/1.0\r\nHost: a\r\n\r\n"}) {
        RawClient client(server->port());
        client.send(last);
        const Reply reply = client.receive();
        EXPECT_EQ(reply.body, "GET /a ");
        EXPECT_EQ(reply.field("connection"), "close");
        EXPECT_TRUE(client.closed_within(5s));
    }
}

TEST(Listener, TellsRequestsApartThatComeInOnePiece) {
    const auto server = run(echo());
    RawClient client(server->port());
    client.send(post("/1", "one") + get + post("/2", "two"));
    EXPECT_EQ(client.receive().body, "POST /1 one");
    EXPECT_EQ(client.receive().body, "GET /a ");
    EXPECT_EQ(client.receive().body, "POST /2 two");
}

TEST(Listener, PutsRequestsTogetherThatComeInCrumbs) {
    const auto server = run(echo());
    RawClient client(server->port());
    for (const char c : post("/1", "one") + get) client.send({&c, 1});
    EXPECT_EQ(client.receive().body, "POST /1 one");
    EXPECT_EQ(client.receive().body, "GET /a ");
}

TEST(Listener, EveryAnswerCarriesTheSafetyFields) {
    auto work = echo();
    work.answer = [](const Asked& asked) -> Answer {
        if (asked.path == "/throw") throw std::runtime_error("secret /home/someone");
        Answer answer = plain("x");
        if (asked.path == "/same") {
            answer.status = 304;
            answer.body.clear();
        }
        return answer;
    };
    const auto server = run(work);
    for (const std::string& request :
         {get, post("/refuse", "x"), std::string("GET /same HTTP/1.1\r\nHost: a\r\n\r\n"),
          std::string("HEAD /a HTTP/1.1\r\nHost: a\r\n\r\n"), std::string("PUT / HTTP/1.1\r\nHost: a\r\n\r\n"),
          std::string("nonsense\r\n\r\n"), std::string("GET /throw HTTP/1.1\r\nHost: a\r\n\r\n")}) {
        SCOPED_TRACE(request);
        expect_safety(ask(server->port(), request));
    }
}

TEST(Listener, TellsNothingOfWhatWasThrown) {
    auto work = echo();
    work.answer = [](const Asked&) -> Answer { throw std::runtime_error("secret /home/someone"); };
    const auto server = run(work);
    const Reply reply = ask(server->port(), get);
    EXPECT_EQ(reply.status, 500);
    EXPECT_THAT(reply.body, HasSubstr("\"remedy\""));
    EXPECT_THAT(reply.body, Not(HasSubstr("secret")));
    for (const auto& [name, value] : reply.fields) EXPECT_THAT(value, Not(HasSubstr("secret"))) << name;
    EXPECT_EQ(ask(server->port(), get).status, 500) << "and lives on";
}

TEST(Listener, NeitherCompressesNorCutsIntoRanges) {
    const std::string large(100'000, 'a');
    auto work = echo();
    work.answer = [&](const Asked&) { return plain(large); };
    const auto server = run(work);
    const Reply reply = ask(server->port(),
                            "GET /a HTTP/1.1\r\nHost: a\r\nAccept-Encoding: br, gzip, deflate\r\n"
                            "Range: bytes=0-1,1-2,2-3\r\n\r\n");
    EXPECT_EQ(reply.status, 200);
    EXPECT_EQ(reply.body, large);
    EXPECT_EQ(reply.field("content-encoding"), "");
}

TEST(Listener, ABodyThatWasRefusedIsNotTakenForARequest) {
    std::atomic<int> answered = 0;
    auto work = echo();
    work.answer = [&](const Asked&) {
        ++answered;
        return plain("x");
    };
    const auto server = run(work);
    RawClient client(server->port());
    client.send(post("/refuse", get + get));
    const Reply refused = client.receive();
    EXPECT_EQ(refused.status, 413);
    EXPECT_EQ(refused.field("connection"), "close");
    EXPECT_EQ(client.receive().status, 0);
    EXPECT_EQ(answered, 0);
}

/// The answer arrives although the client is still sending: 40 MB, far more than the system's buffers hold.
TEST(Listener, ARefusalReachesAClientThatGoesOnSending) {
    const auto server = run(echo());
    RawClient client(server->port());
    client.send("POST /refuse HTTP/1.1\r\nHost: a\r\nContent-Length: 41943040\r\n\r\n");
    client.send(std::string(40u << 20, 'x'));
    EXPECT_EQ(client.receive().status, 413);
}

TEST(Listener, BodiesBeyondTheLimitAreNotGathered) {
    const auto server = run(echo());
    RawClient client(server->port());
    client.send("POST /p HTTP/1.1\r\nHost: a\r\nContent-Length: 9000000000000\r\n\r\n");
    const Reply reply = client.receive();
    EXPECT_EQ(reply.status, 413);
    expect_safety(reply);
}

TEST(Listener, HeadsWithoutEndAreRefused) {
    const auto server = run(echo());
    for (const std::string& crumb : {std::string("GET /"), std::string("GET / HTTP/1.1\r\nHost: a\r\nX: ")}) {
        RawClient client(server->port());
        client.send(crumb + std::string(1u << 20, 'a'));
        EXPECT_EQ(client.receive().status, 431);
    }
}

// ------------------------------------------------------------------------------------------------------ slow clients

/// Clients that send a byte now and then, all from one thread.
class Drippers {
  public:
    Drippers(int port, int how_many, std::string text) : text_(std::move(text)) {
        for (int i = 0; i < how_many; ++i) clients_.push_back(std::make_unique<RawClient>(port));
        thread_ = std::thread([this] {
            for (std::size_t at = 0; !over_; ++at) {
                for (auto& client : clients_) client->send({&text_[at % text_.size()], 1});
                std::this_thread::sleep_for(10ms);
            }
        });
    }
    ~Drippers() {
        over_ = true;
        thread_.join();
    }
    Drippers(const Drippers&) = delete;
    Drippers& operator=(const Drippers&) = delete;
    /// Those that are still connected at the end of the time.
    int left_after(std::chrono::milliseconds time) {
        over_ = true;
        const auto deadline = RawClient::Clock::now() + time;
        int left = 0;
        for (auto& client : clients_) {
            const auto rest = std::chrono::ceil<std::chrono::milliseconds>(deadline - RawClient::Clock::now());
            left += client->closed_within(std::max<std::chrono::milliseconds>(rest, 1ms)) ? 0 : 1;
        }
        return left;
    }

  private:
    std::string text_;
    std::vector<std::unique_ptr<RawClient>> clients_;
    std::atomic<bool> over_ = false;
    std::thread thread_;
};

struct Drip {
    const char* what;
    std::string text;
};

class SlowClients : public ::testing::TestWithParam<Drip> {};

TEST_P(SlowClients, AHundredOfThemDoNotStopAnHonestOne) {
    const auto server = run(echo());  // eight threads, ten seconds each
    Drippers drippers(server->port(), 100, GetParam().text);
    std::this_thread::sleep_for(100ms);
    const auto from = RawClient::Clock::now();
    for (int i = 0; i < 50; ++i) {
        const Reply reply = ask(server->port(), post("/p", "honest"));
        ASSERT_EQ(reply.body, "POST /p honest") << i;
    }
    // Each one would have waited seconds for a thread.
    EXPECT_LT(RawClient::Clock::now() - from, 5s);
}

TEST_P(SlowClients, AreCutWhenTheirTimeIsOver) {
    Patience patience;
    patience.request = 300ms;
    patience.farewell = 100ms;
    const auto server = run(echo(), patience, 64);
    Drippers drippers(server->port(), 20, GetParam().text);
    // They go on dripping for twice the time they have: a timeout between two bytes would never end them.
    std::this_thread::sleep_for(600ms);
    EXPECT_EQ(drippers.left_after(2s), 0);
}

INSTANTIATE_TEST_SUITE_P(
    All, SlowClients,
    ::testing::Values(Drip{"line", std::string("GET /") + std::string(900, 'a')},
                      Drip{"fields", "GET / HTTP/1.1\r\nHost: a\r\nX-A: " + std::string(8000, 'b')},
                      Drip{"body",
                           "POST /p HTTP/1.1\r\nHost: a\r\nContent-Length: 1000000\r\n\r\n" + std::string(8000, 'b')}),
    [](const auto& each) { return each.param.what; });

TEST(Listener, ASilentClientIsCut) {
    Patience patience;
    patience.request = 200ms;
    const auto server = run(echo(), patience);
    RawClient client(server->port());
    EXPECT_TRUE(client.closed_within(3s));
}

TEST(Listener, AClientThatDoesNotTakeItsAnswerIsCut) {
    Patience patience;
    patience.answer = 300ms;
    auto work = echo();
    std::atomic<int> answered = 0;
    work.answer = [&](const Asked&) {
        ++answered;
        return plain(std::string(64u << 20, 'x'));
    };
    const auto server = run(work, patience, 1);
    RawClient greedy(server->port());
    greedy.send(get);
    while (answered == 0) std::this_thread::sleep_for(1ms);
    // There is one thread; whoever comes next gets it.
    RawClient next(server->port());
    next.send("HEAD /a HTTP/1.1\r\nHost: a\r\n\r\n");
    EXPECT_EQ(next.receive(true).status, 200);
}

TEST(Listener, StoppingLetsTheWorkInHandBeFinished) {
    std::mutex mutex;
    std::condition_variable changed;
    bool working = false, go_on = false;
    auto work = echo();
    work.answer = [&](const Asked&) {
        std::unique_lock lock(mutex);
        working = true;
        changed.notify_all();
        changed.wait(lock, [&] { return go_on; });
        return plain("finished");
    };
    const auto server = run(work);
    RawClient idle(server->port()), client(server->port());
    client.send(get);
    {
        std::unique_lock lock(mutex);
        changed.wait(lock, [&] { return working; });
    }
    std::thread stopping([&] { server->stop(); });
    EXPECT_TRUE(idle.closed_within(5s)) << "one that only waits does not hold up the end";
    {
        const std::lock_guard lock(mutex);
        go_on = true;
    }
    changed.notify_all();
    EXPECT_EQ(client.receive().body, "finished");
    stopping.join();
}

TEST(Listener, APortIsNeverShared) {
    const auto server = run(echo());
    Listener::Rules rules;
    rules.port = server->port();
    EXPECT_EQ(Listener::open(rules, echo()), nullptr);
}

}  // namespace
}  // namespace seamwright::app
