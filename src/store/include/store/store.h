#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace seamwright::store {

using JobId = std::int64_t;

struct JobLine {
    JobId id = 0;
    std::string name;
    std::string changed;  ///< RFC 3339, UTC, seconds
    std::string deleted;  ///< empty: it is not
};

/// A job as it stands.
struct Saved {
    JobId id = 0;
    std::int64_t version = 0;  ///< goes up by one with every change, undo and redo
    std::string document;
    std::string undo, redo;  ///< what would be undone or redone ("Pin 3 of front seam moved"); empty: nothing
};

/// Somebody else was quicker: what the job is now, and what was done since `base`.
struct Overtaken {
    Saved now;
    std::string says;
};
struct Missing {};  ///< no job of that id, or it is deleted

struct HistoryLine {
    std::int64_t change = 0;
    std::string says;
    std::string at;
    bool current = false;
};

/// Names a document for the lists.
struct Described {
    std::string name;
    std::string document;
    std::string says;  ///< what was changed; empty: "Changed"
};

/// Words of a job that can be searched, and where they stand: "customer", "note on gluing".
struct Spoken {
    std::string place, text;
};
/// How the words are taken out of a document. `of` is pure and throws nothing; `number` is another one when it takes
/// other words than before out of the same document.
struct Extract {
    int number = 1;
    std::function<std::vector<Spoken>(const std::string& document)> of;
};

/// What a search has found, jobs changed last first.
struct Found {
    struct Part {
        std::string text;
        bool found = false;  ///< one of the words asked for
    };
    struct Hit {
        std::string place;
        std::vector<Part> parts;
    };
    struct Job {
        JobId id = 0;
        std::string name, changed;
        std::vector<Hit> hits;
        std::size_t more = 0;  ///< other places in it
    };
    std::vector<std::string> words;  ///< that were asked for, as they are compared
    std::vector<Job> jobs;
    std::size_t more = 0;  ///< other jobs
};

/// What stands in the way of the saved jobs, in sentences for the maker. Whatever was called has changed nothing.
class StoreFailure : public std::runtime_error {
  public:
    StoreFailure(std::string reason, std::string remedy)
        : std::runtime_error(reason + ' ' + remedy), reason_(std::move(reason)), remedy_(std::move(remedy)) {}
    const std::string& reason() const { return reason_; }
    const std::string& remedy() const { return remedy_; }

  private:
    std::string reason_, remedy_;
};

/// Where the times of the history come from.
using Clock = std::function<std::chrono::system_clock::time_point()>;

/// Saved jobs and the shop's shelf, in one SQLite file (WAL, synchronous=FULL, foreign keys, STRICT tables). Every
/// change is kept: the history of a job is a tree of whole documents, undo and redo move along it, and a new change
/// after an undo starts a branch without losing the old one. Every call is one transaction. Safe to use from several
/// threads, and from several programs at once.
///
/// Throws StoreFailure with a sentence and a remedy when the file cannot be opened, is not ours, is from a newer
/// program, is damaged, or the disk is full.
class Store {
  public:
    /// Makes the file and its folders when they are missing; brings an older file up to date (after a copy of it).
    explicit Store(const std::filesystem::path& file, Clock clock = std::chrono::system_clock::now);
    ~Store();
    Store(const Store&) = delete;
    Store& operator=(const Store&) = delete;

    std::vector<JobLine> jobs() const;     ///< newest change, undo or redo first
    std::vector<JobLine> deleted() const;  ///< deleted last first
    JobId create(const Described& first);
    std::variant<Saved, Missing> find(JobId id) const;
    std::optional<std::int64_t> version(JobId id) const;

    /// Name and document as they are: no new change, the job as it is.
    std::variant<Saved, Overtaken, Missing> change(JobId id, std::int64_t base, const Described& next);
    /// The same, and the shop's shelf with it, in one transaction.
    std::variant<Saved, Overtaken, Missing> change(JobId id, std::int64_t base, const Described& next,
                                                   std::string_view shelf);
    /// Nothing to undo or redo: the job as it is.
    std::variant<Saved, Overtaken, Missing> undo(JobId id, std::int64_t base);
    std::variant<Saved, Overtaken, Missing> redo(JobId id, std::int64_t base);

    std::vector<HistoryLine> history(JobId id, std::size_t most = 1000) const;  ///< newest first
    std::optional<std::string> document_of(JobId id, std::int64_t change) const;

    /// false: there is no such job. A job that is deleted already stays so.
    bool remove(JobId id);
    bool restore(JobId id);

    /// Jobs that are not deleted in which every word of the question begins some word, in any order and in any places;
    /// capitals and accents do not matter (src/store/folding.h). No sign in the question means anything. Words are
    /// taken out of documents that changed since the last search.
    Found search(std::string_view question, const Extract& extract);

    std::optional<JobId> last_opened() const;  ///< of those that are not deleted
    void opened(JobId id);

    /// The shop's shelf, the "shelf" object of a job document; empty before the first.
    std::string shelf() const;
    void keep_shelf(std::string_view shelf);

    /// A picture of a board. The name is to be made of the bytes: one that is kept already stays as it is.
    void keep_picture(std::string_view name, std::string_view bytes);
    std::optional<std::string> picture(std::string_view name) const;
    bool has_picture(std::string_view name) const;

  private:
    struct Open;
    std::unique_ptr<Open> open_;
};

/// $XDG_DATA_HOME/seamwright/jobs.sqlite, or ~/.local/share/… (XDG Base Directory Specification 0.8). Throws
/// StoreFailure when the environment names no home folder.
std::filesystem::path default_file();

}  // namespace seamwright::store
