// What a maker loses when the program is killed: at most the change that was in flight. A program that saves without
// end is killed at a random moment, again and again; after every kill the file is opened and compared with what that
// program was told had been saved. SIGKILL leaves what the kernel already took; a power cut, which synchronous=FULL is
// for, cannot be shown this way.
#include <SQLiteCpp/SQLiteCpp.h>
#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <iostream>
#include <map>
#include <sstream>
#include <thread>

#include "app/temporary_folder.h"
#include "store/store.h"
#include "store/whole_document.h"

namespace seamwright::store {
namespace {

using test::TemporaryFolder;
namespace fs = std::filesystem;
using Micros = std::chrono::microseconds;

struct JobState {
    std::int64_t version = 0;
    std::uint64_t document = 0;
    std::string undo, redo;
    bool deleted = false;
    std::size_t changes = 0;
    friend bool operator==(const JobState&, const JobState&) = default;
};
struct State {
    std::map<JobId, JobState> jobs;
    std::string shelf;
    friend bool operator==(const State&, const State&) = default;
};

std::ostream& operator<<(std::ostream& out, const State& state) {
    out << "shelf " << state.shelf << '\n';
    for (const auto& [id, job] : state.jobs) {
        out << id << ": version " << job.version << " document " << job.document << " undo " << job.undo << " redo "
            << job.redo << " deleted " << job.deleted << " changes " << job.changes << '\n';
    }
    return out;
}

struct Attempt {
    std::string how, says, shelf;
    JobId job = 0;
    std::uint64_t document = 0;
};

std::string from_dash(const std::string& text) {
    return text == "-" ? "" : text;
}

/// The program that saves, and what it told.
class Saver {
  public:
    Saver(const fs::path& file, unsigned seed) {
        int ends[2];
        if (::pipe2(ends, O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
        const std::string path = file.string(), number = std::to_string(seed);
        child_ = ::fork();
        if (child_ < 0) throw std::runtime_error("cannot fork");
        if (child_ == 0) {
            ::dup2(ends[1], STDOUT_FILENO);
            ::execl(SEAMWRIGHT_SAVER, SEAMWRIGHT_SAVER, path.c_str(), number.c_str(), nullptr);
            ::_exit(127);
        }
        ::close(ends[1]);
        pipe_ = ends[0];
    }
    Saver(const Saver&) = delete;
    Saver& operator=(const Saver&) = delete;
    ~Saver() {
        end();
        ::close(pipe_);
    }
    void wait_for(const std::string& line) {
        while (told_.find(line + '\n') == std::string::npos) {
            if (!read_some()) throw std::runtime_error("the saving program ended: " + told_);
        }
    }
    /// Until it has told of so many calls that they are done.
    void wait_for_done(int calls) {
        const auto done = [this] {
            int count = 0;
            for (auto at = told_.find("\ndid "); at != std::string::npos; at = told_.find("\ndid ", at + 1)) ++count;
            return count;
        };
        while (done() < calls) {
            if (!read_some()) throw std::runtime_error("the saving program ended: " + told_);
        }
    }
    /// Everything it told until it died.
    std::istringstream kill() {
        end();
        while (read_some()) {
        }
        return std::istringstream(told_);
    }

  private:
    void end() {
        if (child_ <= 0) return;
        ::kill(child_, SIGKILL);
        ::waitpid(child_, nullptr, 0);
        child_ = 0;
    }
    bool read_some() {
        char bytes[4096];
        const ssize_t got = ::read(pipe_, bytes, sizeof bytes);
        if (got > 0) told_.append(bytes, static_cast<std::size_t>(got));
        return got > 0;
    }
    pid_t child_ = 0;
    int pipe_ = -1;
    std::string told_;
};

/// All that is in the file; every document that was ever saved in it is looked at.
State read_all(const Store& store, SQLite::Database& file) {
    State state{{}, store.shelf()};
    for (const auto& line : store.jobs()) {
        const auto saved = std::get<Saved>(store.find(line.id));
        EXPECT_TRUE(test::is_whole(saved.document));
        std::size_t changes = 0;
        for (const auto& change : store.history(line.id)) {
            ++changes;
            EXPECT_TRUE(test::is_whole(store.document_of(line.id, change.change).value()));
        }
        state.jobs[line.id] = {saved.version, test::checksum(saved.document), saved.undo, saved.redo, false, changes};
    }
    // A deleted job can be looked into only by restoring it: here its rows are read.
    for (const auto& line : store.deleted()) {
        SQLite::Statement row(file,
                              "SELECT version, (SELECT count(*) FROM change WHERE change.job = job.id) FROM job "
                              "WHERE id = ?");
        row.bind(1, line.id);
        EXPECT_TRUE(row.executeStep());
        auto& job = state.jobs[line.id];
        job.deleted = true;
        job.version = row.getColumn(0).getInt64();
        job.changes = static_cast<std::size_t>(row.getColumn(1).getInt64());
    }
    return state;
}

void expect_sound(SQLite::Database& file) {
    EXPECT_EQ(file.execAndGet("PRAGMA integrity_check").getString(), "ok");
    SQLite::Statement broken(file, "PRAGMA foreign_key_check");
    EXPECT_FALSE(broken.executeStep());
    // Every version of every job is the outcome of one step.
    EXPECT_EQ(file.execAndGet("SELECT count(*) FROM job WHERE version <> (SELECT count(*) FROM step WHERE "
                              "step.job = job.id AND how IN ('made', 'undone', 'redone'))")
                  .getInt(),
              0);
    EXPECT_EQ(file.execAndGet("SELECT count(*) FROM change WHERE 1 <> (SELECT count(*) FROM step WHERE "
                              "step.change = change.id AND how = 'made')")
                  .getInt(),
              0);
}

/// How the calls that were in flight ended.
struct Counts {
    int kills = 0, between = 0, opening = 0;
    long acknowledged = 0;
    std::map<std::string, std::pair<int, int>> in_flight;  ///< by what was called: lost, saved
};

/// Takes what is known of a deleted job only from the state that was read.
void forget_unread(JobState& job) {
    job.document = 0;
    job.undo.clear();
    job.redo.clear();
}

/// The state that the program was told, and the call that had not returned.
struct Told {
    State state;
    std::optional<Attempt> in_flight;
    bool opened = false;
};

Told follow(std::istringstream lines, State state, Counts& counts) {
    Told told{std::move(state), {}, false};
    std::string word;
    for (std::string line; std::getline(lines, line);) {
        std::istringstream words(line);
        words >> word;
        if (word == "open") {
            told.opened = true;
        } else if (word == "try") {
            Attempt attempt;
            std::string document;
            words >> attempt.how >> attempt.job >> attempt.says >> document >> attempt.shelf;
            attempt.document = document == "-" ? 0 : std::stoull(document, nullptr, 16);
            attempt.shelf = from_dash(attempt.shelf);
            told.in_flight = attempt;
        } else if (word == "did") {
            JobId id = 0;
            JobState job;
            std::string document, undo, redo;
            words >> id >> job.version >> document >> undo >> redo;
            job.document = std::stoull(document, nullptr, 16);
            job.undo = from_dash(undo);
            job.redo = from_dash(redo);
            const Attempt& attempt = told.in_flight.value();
            job.changes = told.state.jobs[id].changes + (attempt.how == "create" || attempt.how == "change" ? 1 : 0);
            job.deleted = attempt.how == "delete";
            if (job.deleted) forget_unread(job);
            told.state.jobs[id] = job;
            if (!attempt.shelf.empty()) told.state.shelf = attempt.shelf;
            told.in_flight.reset();
            ++counts.acknowledged;
        } else {
            EXPECT_EQ(line, "start");
        }
    }
    return told;
}

/// Whether `after` is `before` with the whole of what was attempted, and nothing else.
bool carried_out(const Attempt& attempt, State before, const State& after) {
    JobId id = attempt.job;
    if (attempt.how == "create") {
        if (after.jobs.empty()) return false;
        id = after.jobs.rbegin()->first;
        if (before.jobs.count(id) != 0) return false;
    }
    if (after.jobs.count(id) == 0) return false;
    JobState job = before.jobs[id];
    const JobState& now = after.jobs.at(id);
    if (attempt.how == "create" || attempt.how == "change") {
        job = {job.version + 1, attempt.document, attempt.how == "create" ? "" : attempt.says, "",
               false,           job.changes + 1};
        if (!attempt.shelf.empty()) before.shelf = attempt.shelf;
    } else if (attempt.how == "undo") {
        if (now.redo != job.undo) return false;
        job = {job.version + 1, now.document, now.undo, now.redo, false, job.changes};
    } else if (attempt.how == "redo") {
        if (now.undo != job.redo) return false;
        job = {job.version + 1, now.document, now.undo, now.redo, false, job.changes};
    } else if (attempt.how == "delete") {
        job.deleted = true;
        forget_unread(job);
    } else {
        job.deleted = false;
        job = {job.version, now.document, now.undo, now.redo, false, job.changes};
    }
    before.jobs[id] = job;
    return before == after;
}

/// Compares what is in the file with what was told; gives what is in it.
State look(const fs::path& path, const Store& store, const Told& told, Counts& counts) {
    SQLite::Database file(path.string(), SQLite::OPEN_READONLY, 1000);
    expect_sound(file);
    State found = read_all(store, file);
    ++counts.kills;
    if (!told.opened) {
        ++counts.opening;
        EXPECT_EQ(found, told.state);
    } else if (!told.in_flight) {
        ++counts.between;
        EXPECT_EQ(found, told.state);
    } else {
        auto& [lost, saved] = counts.in_flight[told.in_flight->how];
        const bool is_lost = found == told.state;
        ++(is_lost ? lost : saved);
        if (!is_lost) {
            EXPECT_TRUE(carried_out(*told.in_flight, told.state, found))
                << "in flight: " << told.in_flight->how << ' ' << told.in_flight->job << "\nbefore " << told.state
                << "after " << found;
        }
    }
    return found;
}

void print(const char* title, const Counts& counts) {
    int lost_calls = 0, saved_calls = 0;
    std::cout << title << ": " << counts.kills << " kills; " << counts.acknowledged
              << " acknowledged saves, all there; " << counts.opening << " kills while opening, " << counts.between
              << " between calls";
    for (const auto& [how, ends] : counts.in_flight) {
        std::cout << "; in " << how << ": " << ends.first << " lost, " << ends.second << " saved";
        lost_calls += ends.first;
        saved_calls += ends.second;
    }
    std::cout << "; in flight altogether: " << lost_calls << " lost, " << saved_calls << " saved\n";
}

constexpr int kills_each = 150, kills_of_one_file = 30;

/// How long the saving program takes, as busy as the machine is now, from `from` to its eighth call in a new file.
std::int64_t longest_run_us(const std::string& from) {
    const TemporaryFolder folder;
    Saver saver(folder / "jobs.sqlite", 7);
    saver.wait_for(from);
    const auto begun = std::chrono::steady_clock::now();
    saver.wait_for_done(8);
    return std::max<std::int64_t>(1'000,
                                  std::chrono::duration_cast<Micros>(std::chrono::steady_clock::now() - begun).count());
}

/// The file is used by this program as well while the other one saves, so that nobody takes up the log after the kill.
TEST(Kill, LosesAtMostTheCallInFlightBesideAnotherProgram) {
    std::mt19937_64 random(1);
    Counts counts;
    for (int kill = 0; kill < kills_each;) {
        const TemporaryFolder folder;
        const fs::path path = folder / "jobs.sqlite";
        const Store store(path);
        State state;
        const auto longest_us = static_cast<std::uint64_t>(longest_run_us("open"));
        for (int of_file = 0; of_file < kills_of_one_file; ++of_file, ++kill) {
            Saver saver(path, static_cast<unsigned>(kill));
            saver.wait_for("open");
            std::this_thread::sleep_for(Micros(random() % longest_us));
            state = look(path, store, follow(saver.kill(), state, counts), counts);
            ASSERT_FALSE(::testing::Test::HasFailure()) << "kill " << kill;
        }
    }
    print("beside another program", counts);
    EXPECT_GT(counts.acknowledged, kills_each);
}

/// The file is opened anew after every kill, by this program and then by the next one that saves.
TEST(Kill, LosesAtMostTheCallInFlight) {
    std::mt19937_64 random(2);
    Counts counts;
    for (int kill = 0; kill < kills_each;) {
        const TemporaryFolder folder;
        const fs::path path = folder / "jobs.sqlite";
        State state;
        const auto longest_us = static_cast<std::uint64_t>(longest_run_us("start"));
        for (int of_file = 0; of_file < kills_of_one_file; ++of_file, ++kill) {
            Saver saver(path, static_cast<unsigned>(kill));
            saver.wait_for("start");
            std::this_thread::sleep_for(Micros(random() % longest_us));
            Told told = follow(saver.kill(), state, counts);
            const Store store(path);
            state = look(path, store, told, counts);
            ASSERT_FALSE(::testing::Test::HasFailure()) << "kill " << kill;
        }
    }
    print("alone", counts);
    EXPECT_GT(counts.acknowledged, kills_each);
}

/// Killed while the file and its first jobs are made.
TEST(Kill, LeavesAFileThatOpensWhileItIsFirstMade) {
    std::mt19937_64 random(3);
    Counts counts;
    int no_file = 0, empty = 0, unfinished = 0;
    const auto making_us = static_cast<std::uint64_t>(std::max<std::int64_t>(1'000, longest_run_us("start") / 3));
    for (int kill = 0; kill < kills_each; ++kill) {
        const TemporaryFolder folder;
        const fs::path path = folder.path() / "of" / "seamwright" / "jobs.sqlite";
        Saver saver(path, static_cast<unsigned>(kill));
        saver.wait_for("start");
        // About as long as it takes to make a file.
        std::this_thread::sleep_for(Micros(random() % making_us));
        const Told told = follow(saver.kill(), {}, counts);
        std::error_code missing;
        no_file += fs::exists(path) ? 0 : 1;
        empty += fs::exists(path) && fs::file_size(path, missing) == 0 ? 1 : 0;
        unfinished += fs::exists(path.string() + "-journal") ? 1 : 0;
        const Store store(path);
        look(path, store, told, counts);
        ASSERT_FALSE(::testing::Test::HasFailure()) << "kill " << kill;
    }
    print("first made", counts);
    std::cout << "no file yet " << no_file << ", empty file " << empty << ", unfinished first save " << unfinished
              << '\n';
    EXPECT_GT(counts.opening, 0);
}

}  // namespace
}  // namespace seamwright::store
