// Nothing that was acknowledged is ever lost: the program is killed in the midst of saves, and several clients change
// one job at a time.

#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <mutex>
#include <random>
#include <set>
#include <sstream>
#include <thread>

#include "serving.h"

namespace seamwright::app {
namespace {

using test::Json;
using test::Page;
using test::Reply;
using test::Serving;
using test::TemporaryFolder;

Json rename(const std::string& name) {
    return Json::array({{{"set", "/name"}, {"value", name}}});
}

/// Small, so that saving and not planning is what the program is busy with when it is killed.
constexpr const char* small_job = R"({"blank":{"unit":"mm"}})";

TEST(Saving, KilledSixtyTimesNothingAcknowledgedIsLost) {
    constexpr int kills = 60;
    const TemporaryFolder here;
    std::mt19937 random(7431);
    std::vector<std::string> acknowledged;  // names, in the order in which they were saved
    int job = 0, in_flight_saved = 0;
    std::string in_flight;
    int latest_us = 0;
    {
        Serving serving(here / "jobs.sqlite");
        Page page(serving.port());
        job = page.begin(Json::parse(small_job));
        const auto begun = std::chrono::steady_clock::now();
        page.good(page.edit(job, 1, rename("name 0")));
        acknowledged.push_back("name 0");
        const auto took = std::chrono::steady_clock::now() - begun;
        // Some kills before the first save, most after a few, however busy the machine is.
        latest_us =
            std::max(4'000, 6 * static_cast<int>(std::chrono::duration_cast<std::chrono::microseconds>(took).count()));
    }
    for (int round = 0, number = 1; round < kills; ++round) {
        Serving serving(here / "jobs.sqlite");
        Page page(serving.port());
        const Json screen = page.screen(job);
        const auto name = screen["name"].get<std::string>();
        // What was in flight may have been saved or not; what was acknowledged is there.
        if (name != acknowledged.back()) {
            ASSERT_EQ(name, in_flight) << "after kill " << round;
            acknowledged.push_back(name);
            ++in_flight_saved;
        }
        // A quick machine saves more than the thousand lines that the history tells.
        ASSERT_EQ(page.good(page.get("/api/jobs/" + std::to_string(job) + "/history")).size(),
                  std::min<std::size_t>(acknowledged.size() + 1, 1000));

        const auto time = std::chrono::microseconds(std::uniform_int_distribution<int>(500, latest_us)(random));
        std::thread killer([&serving, time] {
            std::this_thread::sleep_for(time);
            serving.kill(SIGKILL);
        });
        std::int64_t base = screen["version"].get<std::int64_t>();
        for (;; ++number) {
            in_flight = "name " + std::to_string(number);
            const Reply reply = page.edit(job, base, rename(in_flight));
            if (reply.status == 0) break;
            ASSERT_EQ(reply.status, 200);
            acknowledged.push_back(in_flight);
            base = Json::parse(reply.body)["version"].get<std::int64_t>();
        }
        killer.join();
        ++number;
    }
    Serving serving(here / "jobs.sqlite");
    Page page(serving.port());
    const Json history = page.good(page.get("/api/jobs/" + std::to_string(job) + "/history"));
    // Undone all the way, every acknowledged state comes by.
    std::vector<std::string> seen;
    Json screen = page.screen(job);
    seen.push_back(screen["name"].get<std::string>());
    while (screen["undo"] != "") {
        screen = page.good(page.post("/api/jobs/" + std::to_string(job) + "/undo", Json{{"base", screen["version"]}}));
        seen.push_back(screen["name"].get<std::string>());
    }
    if (seen.front() == in_flight && acknowledged.back() != in_flight) seen.erase(seen.begin());
    std::reverse(seen.begin(), seen.end());
    seen.erase(seen.begin());  // the plain top
    EXPECT_EQ(seen, acknowledged);
    EXPECT_GT(acknowledged.size(), static_cast<std::size_t>(kills)) << "the kills came between saves";
    std::printf("%d kills, %zu acknowledged changes all there, %d in flight saved, %zu lines of history\n", kills,
                acknowledged.size(), in_flight_saved, history.size());
}

TEST(Saving, SeveralClientsOnOneJobLoseNothing) {
    constexpr int clients = 4, changes_each = 25;
    const TemporaryFolder here;
    const Serving serving(here / "jobs.sqlite");
    int job = 0;
    {
        Page page(serving.port());
        job = page.begin(Json::parse(small_job));
    }
    // Each adds its mark to the note it was last given; one who saved over another would wipe out the other's mark.
    std::mutex mutex;
    std::set<std::string> acknowledged;
    std::atomic<int> conflicts = 0, untold = 0;
    std::vector<std::thread> threads;
    for (int client = 0; client < clients; ++client) {
        threads.emplace_back([&, client] {
            Page page(serving.port());
            Json screen = page.screen(job);
            for (int i = 0; i < changes_each;) {
                std::string mark = std::to_string(i);
                mark += static_cast<char>('a' + client);
                auto note = screen["note"].get<std::string>();
                note.append(mark).append(" ");
                const auto base = screen["version"].get<std::int64_t>();
                const Reply reply = page.edit(job, base, Json::array({{{"set", "/note"}, {"value", note}}}));
                const Json body = Json::parse(reply.body, nullptr, false);
                if (reply.status == 200) {
                    screen = body;
                    const std::lock_guard lock(mutex);
                    acknowledged.insert(mark);
                    ++i;
                } else if (reply.status == 409) {
                    ++conflicts;
                    // The answer is enough to go on from.
                    if (body.value("says", "").empty() || body["screen"]["version"] <= base) ++untold;
                    screen = body["screen"];
                } else {
                    ++untold;
                    return;
                }
            }
        });
    }
    for (auto& thread : threads) thread.join();
    EXPECT_EQ(untold, 0);
    EXPECT_GT(conflicts, 0) << "they never met: this tests nothing";

    Page page(serving.port());
    Json screen = page.screen(job);
    EXPECT_EQ(screen["version"], 1 + clients * changes_each) << "one version for each acknowledged change";
    std::set<std::string> seen;
    std::istringstream note(screen["note"].get<std::string>());
    for (std::string mark; note >> mark;) seen.insert(mark);
    EXPECT_EQ(seen, acknowledged);
    std::size_t undone = 0;
    for (; screen["undo"] != ""; ++undone) {
        screen = page.good(page.post("/api/jobs/" + std::to_string(job) + "/undo", Json{{"base", screen["version"]}}));
    }
    EXPECT_EQ(undone, acknowledged.size());
    std::printf("%d clients, %zu changes acknowledged and found, %d conflicts told\n", clients, acknowledged.size(),
                conflicts.load());
}

/// Prints what a drag costs; asserts only that every attempt was answered, since the machine may be busy.
TEST(Saving, AttemptsOfADrag) {
    constexpr int attempts = 300;
    const TemporaryFolder here;
    const Serving serving(here / "jobs.sqlite");
    Page page(serving.port());
    struct Drag {
        const char* example;
        const char* handle;
        double x, y;
    };
    for (const Drag& drag :
         {Drag{"hall-console", "/seams/1/curve/pins/points/2", 755, 250}, Drag{"round-table", "", 0, 0}}) {
        const int job = page.begin({{"example", drag.example}});
        const Json screen = page.screen(job);
        std::string handle = drag.handle;
        double x = drag.x, y = drag.y;
        if (handle.empty()) {
            for (const auto& seam : screen["seams"]) {
                if (seam["handles"].empty()) continue;
                handle = seam["handles"][0]["id"].get<std::string>();
                x = seam["handles"][0]["at"][0].get<double>();
                y = seam["handles"][0]["at"][1].get<double>();
                break;
            }
        }
        ASSERT_FALSE(handle.empty()) << drag.example;
        std::vector<double> whole_ms, engine_ms;
        std::size_t bytes = 0;
        for (int i = 0; i < attempts; ++i) {
            Json move;
            move["move"] = handle;
            move["to"] = {x + 0.05 * i, y + 0.02 * i};
            move["mm_per_px"] = 1.0;
            move["free"] = true;
            const auto from = std::chrono::steady_clock::now();
            const Reply reply = page.post("/api/jobs/" + std::to_string(job) + "/try",
                                          Json{{"base", 1}, {"edits", Json::array({move})}});
            whole_ms.push_back(
                std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - from).count());
            ASSERT_EQ(reply.status, 200) << reply.body.substr(0, 300);
            bytes = std::max(bytes, reply.body.size());
            engine_ms.push_back(Json::parse(reply.body)["engine_us"].get<double>() / 1000.0);
        }
        const auto at = [](std::vector<double> times, double part) {
            std::sort(times.begin(), times.end());
            return times[static_cast<std::size_t>(part * static_cast<double>(times.size() - 1))];
        };
        std::printf(
            "%s, %s: request to answer p50 %.2f ms, p95 %.2f ms, p99 %.2f ms; engine p50 %.2f ms, p99 %.2f ms; "
            "%zu bytes\n",
            drag.example, handle.c_str(), at(whole_ms, 0.5), at(whole_ms, 0.95), at(whole_ms, 0.99), at(engine_ms, 0.5),
            at(engine_ms, 0.99), bytes);
    }
}

}  // namespace
}  // namespace seamwright::app
