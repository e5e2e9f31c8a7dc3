#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <thread>

#include "app/temporary_folder.h"
#include "store/store.h"
#include "store/whole_document.h"

namespace seamwright::store {
namespace {

using test::TemporaryFolder;

Saved saved(const std::variant<Saved, Overtaken, Missing>& outcome) {
    return std::get<Saved>(outcome);
}

/// What a store is, in plain values: nothing is shared with the way in which the store keeps it.
struct Model {
    struct Change {
        std::optional<std::size_t> parent, redo;
        std::string name, document, says, at;
    };
    struct Job {
        std::vector<Change> changes;
        std::size_t current = 0;
        std::int64_t version = 1;
        int moved = 0, deleted = 0;  ///< counted steps; 0: it is not deleted
        std::string moved_at, deleted_at;
        std::vector<std::string> told;  ///< what every version was, from the second on

        const Change& now() const { return changes[current]; }
        std::string undo() const { return now().parent ? now().says : ""; }
        std::string redo() const { return now().redo ? changes[*now().redo].says : ""; }
    };
    std::vector<Job> jobs;
    std::vector<std::size_t> opened;
    std::string shelf;
    int steps = 0;
    std::string time;

    void move(Job& job, std::string told) {
        ++job.version;
        job.moved = ++steps;
        job.moved_at = time;
        job.told.push_back(std::move(told));
    }
    void create(const Described& first) {
        jobs.push_back({{{{}, {}, first.name, first.document, first.says, time}}, 0, 1, ++steps, 0, time, "", {}});
    }
    void change(Job& job, const Described& next) {
        if (job.now().name == next.name && job.now().document == next.document) return;
        job.changes.push_back({job.current, {}, next.name, next.document, next.says, time});
        job.current = job.changes.size() - 1;
        move(job, next.says);
    }
    void undo(Job& job) {
        if (!job.now().parent) return;
        const std::size_t left = job.current;
        job.current = *job.now().parent;
        job.changes[job.current].redo = left;
        move(job, "Undone: " + job.changes[left].says);
    }
    void redo(Job& job) {
        if (!job.now().redo) return;
        job.current = *job.now().redo;
        move(job, "Redone: " + job.now().says);
    }
    std::string since(const Job& job, std::int64_t base) const {
        std::vector<std::string> news(job.told.begin() + (base - 1), job.told.end());
        std::string text;
        if (news.size() > 3) {
            const auto others = news.size() - 3;
            text = std::to_string(others) + (others == 1 ? " earlier step; " : " earlier steps; ");
            news.erase(news.begin(), news.end() - 3);
        }
        for (std::size_t i = 0; i < news.size(); ++i) text += (i == 0 ? "" : "; ") + news[i];
        return text;
    }
};

/// A store and the model of it, with the ids that the store gave.
struct Pair {
    Model model;
    std::unique_ptr<Store> store;
    std::vector<JobId> ids;
};

std::string text_of(const std::vector<JobLine>& lines) {
    std::string text;
    for (const auto& line : lines) {
        text += fmt::format("{} {} {} {}\n", line.id, line.name, line.changed, line.deleted);
    }
    return text;
}

void compare_lists(const Pair& pair) {
    std::vector<std::size_t> order(pair.ids.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    const auto& jobs = pair.model.jobs;
    std::sort(order.begin(), order.end(), [&](auto a, auto b) { return jobs[a].moved > jobs[b].moved; });
    std::vector<JobLine> there, deleted;
    for (const auto i : order) {
        if (jobs[i].deleted == 0) there.push_back({pair.ids[i], jobs[i].now().name, jobs[i].moved_at, ""});
    }
    std::sort(order.begin(), order.end(), [&](auto a, auto b) { return jobs[a].deleted > jobs[b].deleted; });
    for (const auto i : order) {
        if (jobs[i].deleted == 0) continue;
        deleted.push_back({pair.ids[i], jobs[i].now().name, jobs[i].moved_at, jobs[i].deleted_at});
    }
    RC_ASSERT(text_of(pair.store->jobs()) == text_of(there));
    RC_ASSERT(text_of(pair.store->deleted()) == text_of(deleted));
    RC_ASSERT(pair.store->shelf() == pair.model.shelf);

    std::optional<JobId> last;
    for (const auto i : pair.model.opened) {
        if (jobs[i].deleted == 0) last = pair.ids[i];
    }
    RC_ASSERT(pair.store->last_opened() == last);
}

void compare_saved(const Saved& found, JobId id, const Model::Job& job) {
    RC_ASSERT(found.id == id);
    RC_ASSERT(found.version == job.version);
    RC_ASSERT(found.document == job.now().document);
    RC_ASSERT(found.undo == job.undo());
    RC_ASSERT(found.redo == job.redo());
}

void compare_job(const Pair& pair, std::size_t i) {
    const auto& job = pair.model.jobs[i];
    const JobId id = pair.ids[i];
    const auto found = pair.store->find(id);
    const auto history = pair.store->history(id);
    if (job.deleted != 0) {
        RC_ASSERT(std::holds_alternative<Missing>(found));
        RC_ASSERT(!pair.store->version(id));
        RC_ASSERT(history.empty());
        return;
    }
    compare_saved(std::get<Saved>(found), id, job);
    RC_ASSERT(pair.store->version(id) == job.version);
    RC_ASSERT(history.size() == job.changes.size());
    for (std::size_t n = 0; n < history.size(); ++n) {
        const auto& line = history[history.size() - 1 - n];
        RC_ASSERT(line.says == job.changes[n].says);
        RC_ASSERT(line.at == job.changes[n].at);
        RC_ASSERT(line.current == (n == job.current));
        RC_ASSERT(pair.store->document_of(id, line.change) == job.changes[n].document);
        for (const JobId other : pair.ids) {
            if (other != id) RC_ASSERT(!pair.store->document_of(other, line.change));
        }
    }
    RC_ASSERT(pair.store->history(id, 2).size() == std::min<std::size_t>(2, history.size()));
}

/// One random call, to the store and to the model.
void step(Pair& pair, std::mt19937_64& random, int count) {
    auto& model = pair.model;
    const auto dice = random() % 20;
    const std::string name = fmt::format("Job {}", random() % 4);
    const std::string says = fmt::format("Pin {} moved", count);
    if (pair.ids.empty() || dice == 0) {
        // From 4 KiB on, differences are kept; the middle is where documents differ.
        const std::size_t size = random() % 3 == 0 ? 3'000 + random() % 30'000 : random() % 50;
        const Described first{name, test::with_checksum(test::random_bytes(random, size)), says};
        pair.ids.push_back(pair.store->create(first));
        model.create(first);
        return;
    }
    const std::size_t i = random() % pair.ids.size();
    const JobId id = pair.ids[i];
    auto& job = model.jobs[i];
    if (dice == 1) {
        RC_ASSERT(pair.store->remove(id));
        if (job.deleted == 0) {
            job.deleted = ++model.steps;
            job.deleted_at = model.time;
        }
        return;
    }
    if (dice <= 3) {
        RC_ASSERT(pair.store->restore(id));
        if (job.deleted != 0) ++model.steps;
        job.deleted = 0;
        return;
    }
    if (dice == 4) {
        pair.store->opened(id);
        std::erase(model.opened, i);
        model.opened.push_back(i);
        return;
    }
    if (dice == 5) {
        model.shelf = fmt::format("{{\"cutters\": {}}}", random() % 3);
        pair.store->keep_shelf(model.shelf);
        return;
    }
    const bool stale = random() % 8 == 0 && job.version > 1;
    const std::int64_t base =
        stale ? 1 + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(job.version - 1)) : job.version;
    const bool goes = !stale && job.deleted == 0;
    std::variant<Saved, Overtaken, Missing> outcome;
    if (dice <= 12) {
        Described next{name, test::edited(random, job.now().document), says};
        if (dice == 6) next.document = job.now().document;
        if (dice == 7) next.document = test::with_checksum(test::random_bytes(random, 7'000));
        if (dice == 8) {
            const std::string shelf = says;
            outcome = pair.store->change(id, base, next, shelf);
            if (goes) model.shelf = shelf;
        } else {
            outcome = pair.store->change(id, base, next);
        }
        if (goes) model.change(job, next);
    } else if (dice <= 16) {
        outcome = pair.store->undo(id, base);
        if (goes) model.undo(job);
    } else {
        outcome = pair.store->redo(id, base);
        if (goes) model.redo(job);
    }
    if (job.deleted != 0) {
        RC_ASSERT(std::holds_alternative<Missing>(outcome));
    } else if (stale) {
        compare_saved(std::get<Overtaken>(outcome).now, id, job);
        RC_ASSERT(std::get<Overtaken>(outcome).says == model.since(job, base));
    } else {
        compare_saved(std::get<Saved>(outcome), id, job);
    }
}

/// Blind spot: the model knows one program at a time; several at once are tried below and in the kill test.
RC_GTEST_PROP(History, IsWhatAPlainTreeOfDocumentsWouldBe, (std::uint64_t seed)) {
    std::mt19937_64 random(seed);
    const TemporaryFolder folder;
    // 2026-01-01T00:00:00Z, and a second more with every step.
    std::chrono::system_clock::time_point now{std::chrono::seconds(1'767'225'600)};
    const auto open = [&] { return std::make_unique<Store>(folder / "jobs.sqlite", [&now] { return now; }); };
    Pair pair{{}, open(), {}};
    pair.model.time = "2026-01-01T00:00:00Z";
    const int steps = *rc::gen::inRange(1, 60);
    for (int count = 1; count <= steps; ++count) {
        now += std::chrono::seconds(1);
        pair.model.time = fmt::format("2026-01-01T00:00:{:02}Z", count);
        step(pair, random, count);
        if (random() % 10 == 0) pair.store = open();
        compare_lists(pair);
        compare_job(pair, random() % pair.ids.size());
    }
    for (std::size_t i = 0; i < pair.ids.size(); ++i) compare_job(pair, i);
}

TEST(History, TimesAreUtcToTheSecond) {
    const TemporaryFolder folder;
    // RFC 3339, 5.8: 1985-04-12T23:20:50.52Z is 482196050.52 s after the epoch.
    const Store unused(folder / "other.sqlite");
    Store store(folder / "jobs.sqlite",
                [] { return std::chrono::system_clock::time_point(std::chrono::milliseconds(482'196'050'520)); });
    store.create({"Top", "{}", "Made"});
    EXPECT_EQ(store.jobs().front().changed, "1985-04-12T23:20:50Z");
}

TEST(History, AChangeAfterAnUndoKeepsTheBranchThatWasLeft) {
    const TemporaryFolder folder;
    Store store(folder / "jobs.sqlite");
    const JobId id = store.create({"Top", "0", "Made"});
    saved(store.change(id, 1, {"Top", "1", "Rise set"}));
    saved(store.undo(id, 2));
    const Saved branch = saved(store.change(id, 3, {"Top", "2", "Radius set"}));
    EXPECT_EQ(branch.undo, "Radius set");
    EXPECT_EQ(branch.redo, "");
    const Saved back = saved(store.undo(id, 4));
    EXPECT_EQ(back.document, "0");
    EXPECT_EQ(back.undo, "");
    EXPECT_EQ(back.redo, "Radius set");
    const auto history = store.history(id);
    ASSERT_EQ(history.size(), 3U);
    EXPECT_EQ(store.document_of(id, history[1].change), "1");
}

TEST(History, AnotherWindowIsToldWhatWasDone) {
    const TemporaryFolder folder;
    Store one(folder / "jobs.sqlite"), other(folder / "jobs.sqlite");
    const JobId id = one.create({"Top", "0", "Made"});
    saved(one.change(id, 1, {"Top", "1", "Pin 3 of front seam moved"}, "{\"cutters\":[]}"));
    const auto outcome = other.change(id, 1, {"Top", "2", "Rise set"}, "{\"guides\":[]}");
    ASSERT_TRUE(std::holds_alternative<Overtaken>(outcome));
    EXPECT_EQ(std::get<Overtaken>(outcome).says, "Pin 3 of front seam moved");
    EXPECT_EQ(std::get<Overtaken>(outcome).now.document, "1");
    EXPECT_EQ(other.shelf(), "{\"cutters\":[]}") << "the shelf was kept without the change it belongs to";
    EXPECT_TRUE(std::holds_alternative<Overtaken>(other.undo(id, 1)));
    EXPECT_TRUE(std::holds_alternative<Overtaken>(other.redo(id, 1)));
    EXPECT_EQ(saved(other.change(id, 2, {"Top", "2", "Rise set"})).version, 3);
    EXPECT_TRUE(one.remove(id));
    EXPECT_TRUE(std::holds_alternative<Missing>(other.undo(id, 3)));
}

TEST(History, UnknownJobsAreMissing) {
    const TemporaryFolder folder;
    Store store(folder / "jobs.sqlite");
    for (const JobId id : {JobId{0}, JobId{-1}, JobId{7}, std::numeric_limits<JobId>::max()}) {
        EXPECT_TRUE(std::holds_alternative<Missing>(store.find(id)));
        EXPECT_TRUE(std::holds_alternative<Missing>(store.change(id, 1, {"Top", "0", "Made"})));
        EXPECT_FALSE(store.version(id));
        EXPECT_FALSE(store.remove(id));
        EXPECT_FALSE(store.restore(id));
        EXPECT_TRUE(store.history(id).empty());
        EXPECT_FALSE(store.document_of(id, 1));
        store.opened(id);
    }
    EXPECT_FALSE(store.last_opened());
    EXPECT_TRUE(store.jobs().empty());
}

TEST(History, AChangeWithoutWordsCanStillBeUndone) {
    const TemporaryFolder folder;
    Store store(folder / "jobs.sqlite");
    const JobId id = store.create({"", "", ""});
    EXPECT_EQ(saved(store.change(id, 1, {"", "1", ""})).undo, "Changed");
    EXPECT_EQ(saved(store.undo(id, 2)).document, "");
}

/// Every window goes on from what it is told until its changes are all there.
TEST(History, NothingIsLostBetweenThreadsAndPrograms) {
    const TemporaryFolder folder;
    Store one(folder / "jobs.sqlite"), other(folder / "jobs.sqlite");
    const JobId id = one.create({"Top", "", "Made"});
    constexpr int threads = 4, changes = 40;
    std::vector<std::thread> windows;
    for (int window = 0; window < threads; ++window) {
        windows.emplace_back([&, window] {
            Store& store = window % 2 == 0 ? one : other;
            Saved now = std::get<Saved>(store.find(id));
            for (int count = 0; count < changes;) {
                const std::string mine = fmt::format("{}:{};", window, count);
                const auto outcome = store.change(id, now.version, {"Top", now.document + mine, mine});
                if (std::holds_alternative<Saved>(outcome)) ++count;
                now = std::holds_alternative<Saved>(outcome) ? std::get<Saved>(outcome)
                                                             : std::get<Overtaken>(outcome).now;
            }
        });
    }
    for (auto& window : windows) window.join();
    const Saved end = std::get<Saved>(one.find(id));
    EXPECT_EQ(end.version, 1 + threads * changes);
    for (int window = 0; window < threads; ++window) {
        for (int count = 0; count < changes; ++count) {
            EXPECT_NE(end.document.find(fmt::format("{}:{};", window, count)), std::string::npos);
        }
    }
}

TEST(History, SeveralProgramsMayMakeTheFileAtOnce) {
    for (int round = 0; round < 20; ++round) {
        const TemporaryFolder folder;
        std::vector<std::thread> programs;
        for (int program = 0; program < 6; ++program) {
            programs.emplace_back([&] {
                Store store(folder.path() / "new" / "jobs.sqlite");
                store.create({"Top", "{}", "Made"});
            });
        }
        for (auto& program : programs) program.join();
        EXPECT_EQ(Store(folder.path() / "new" / "jobs.sqlite").jobs().size(), 6U);
    }
}

/// An import of 60 MB, and a history of it that does not take 60 MB with every step.
TEST(History, LargeImportsAreSaved) {
    constexpr std::size_t size = 60'000'000;
    const TemporaryFolder folder;
    const auto path = folder / "jobs.sqlite";
    std::mt19937_64 random(60);
    Store store(path);
    const auto start = std::chrono::steady_clock::now();
    std::string document = test::with_checksum(std::string(size, '7'));
    const JobId id = store.create({"Import", document, "Imported"});
    const auto made = std::chrono::steady_clock::now();
    constexpr int changes = 8;
    for (int count = 1; count <= changes; ++count) {
        document = test::edited(random, document);
        ASSERT_EQ(saved(store.change(id, count, {"Import", document, "Pin moved"})).version, count + 1);
    }
    const auto changed = std::chrono::steady_clock::now();
    EXPECT_EQ(std::get<Saved>(store.find(id)).document, document);
    EXPECT_TRUE(test::is_whole(saved(store.undo(id, changes + 1)).document));
    EXPECT_EQ(saved(store.redo(id, changes + 2)).document, document);
    EXPECT_LT(test::fs::file_size(path), size + size / 10);
    const auto ms = [](auto time) { return std::chrono::duration_cast<std::chrono::milliseconds>(time).count(); };
    std::cout << "60 MB: first save " << ms(made - start) << " ms, a change " << ms(changed - made) / changes
              << " ms (both with making the document), file " << test::fs::file_size(path) / 1'000'000 << " MB\n";
}

}  // namespace
}  // namespace seamwright::store
