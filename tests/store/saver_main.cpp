// Saves jobs without end, and tells on its standard output what it is about to do and what it has done:
//
//     start                                        before the file is opened
//     open                                         the file is open
//     try  HOW JOB SAYS CHECKSUM SHELF             before a call; "-" stands for nothing
//     did  JOB VERSION CHECKSUM UNDO REDO          after it has returned
//
// Usage: store_saver FILE SEED. The kill test ends it.
#include <unistd.h>

#include <cstdlib>
#include <exception>
#include <map>
#include <set>
#include <utility>

#include "store/store.h"
#include "store/whole_document.h"

namespace {

using namespace seamwright;
using store::JobId;
using store::Saved;

constexpr std::size_t most_jobs = 6;
// The large ones are kept as differences (from 4 KiB on).
constexpr std::size_t small_document = 3'000, large_document = 150'000;

void tell(const std::string& line) {
    // One write: a line is never torn.
    const std::string whole = line + '\n';
    if (::write(STDOUT_FILENO, whole.data(), whole.size()) < 0) std::exit(3);
}

std::string or_dash(const std::string& text) {
    return text.empty() ? "-" : text;
}

void tell_did(const Saved& saved) {
    tell(fmt::format("did {} {} {:016x} {} {}", saved.id, saved.version, test::checksum(saved.document),
                     or_dash(saved.undo), or_dash(saved.redo)));
}

class Saver {
  public:
    Saver(const char* file, std::uint64_t seed) : random_(seed), seed_(seed), store_(file) {
        for (const auto& line : store_.jobs()) jobs_.insert(line.id);
        for (const auto& line : store_.deleted()) deleted_.insert(line.id);
    }

    void step() {
        const auto dice = random_() % 16;
        if (jobs_.empty() || (dice == 0 && jobs_.size() + deleted_.size() < most_jobs)) return create();
        if (dice <= 7) return change(any(jobs_), dice == 7);
        if (dice <= 10) return move("undo", any(jobs_));
        if (dice <= 12) return move("redo", any(jobs_));
        if (dice <= 14 && !deleted_.empty()) return bring_back(any(deleted_));
        if (jobs_.size() > 1) return remove(any(jobs_));
    }

  private:
    JobId any(const std::set<JobId>& jobs) {
        auto job = jobs.begin();
        std::advance(job, random_() % jobs.size());
        return *job;
    }
    std::string name() { return fmt::format("{}-{}", seed_, ++count_); }
    Saved find(JobId job) { return std::get<Saved>(store_.find(job)); }

    void create() {
        const std::string document =
            test::with_checksum(test::random_bytes(random_, random_() % 3 == 0 ? large_document : small_document));
        const std::string says = "made-" + name();
        tell(fmt::format("try create 0 {} {:016x} -", says, test::checksum(document)));
        const JobId job = store_.create({"job", document, says});
        jobs_.insert(job);
        tell_did(find(job));
    }

    void change(JobId job, bool with_shelf) {
        const Saved now = find(job);
        const std::string says = "change-" + name();
        const std::string document = test::edited(random_, now.document);
        const std::string shelf = with_shelf ? "shelf-" + name() : "";
        tell(fmt::format("try change {} {} {:016x} {}", job, says, test::checksum(document), or_dash(shelf)));
        const store::Described next{"job", document, says};
        tell_did(std::get<Saved>(with_shelf ? store_.change(job, now.version, next, shelf)
                                            : store_.change(job, now.version, next)));
    }

    void move(const std::string& how, JobId job) {
        const auto base = store_.version(job).value();
        tell(fmt::format("try {} {} - - -", how, job));
        tell_did(std::get<Saved>(how == "undo" ? store_.undo(job, base) : store_.redo(job, base)));
    }

    void remove(JobId job) {
        const Saved now = find(job);
        tell(fmt::format("try delete {} - - -", job));
        store_.remove(job);
        deleted_.insert(job);
        jobs_.erase(job);
        tell_did(now);
    }

    void bring_back(JobId job) {
        tell(fmt::format("try restore {} - - -", job));
        store_.restore(job);
        jobs_.insert(job);
        deleted_.erase(job);
        tell_did(find(job));
    }

    std::mt19937_64 random_;
    std::uint64_t seed_, count_ = 0;
    store::Store store_;
    std::set<JobId> jobs_, deleted_;
};

}  // namespace

int main(int count, char** arguments) try {
    if (count != 3) return 2;
    tell("start");
    Saver saver(arguments[1], std::strtoull(arguments[2], nullptr, 10));
    tell("open");
    while (true) saver.step();
} catch (const std::exception& why) {
    tell(std::string("failed ") + why.what());
    return 1;
}
