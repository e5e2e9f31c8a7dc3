#include "store/store.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <SQLiteCpp/VariadicBind.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include <cerrno>
#include <mutex>
#include <utility>

#include "documents.h"
#include "failure.h"
#include "folding.h"
#include "layout.h"
#include "open_file.h"
#include "search.h"

namespace seamwright::store {
namespace {

namespace fs = std::filesystem;

// What the maker is told of the steps of another window: more than this would not be read.
constexpr std::size_t most_steps_told = 3;

using ChangeId = std::int64_t;
using StepId = std::int64_t;

enum class How { made, undone, redone, deleted, restored };

const char* name_of(How how) {
    switch (how) {
        case How::made:
            return "made";
        case How::undone:
            return "undone";
        case How::redone:
            return "redone";
        case How::deleted:
            return "deleted";
        case How::restored:
            return "restored";
    }
    return "";
}

// RFC 3339, 5.6, in UTC.
std::string written(std::chrono::system_clock::time_point time) {
    const auto second = std::chrono::floor<std::chrono::seconds>(time);
    const auto day = std::chrono::floor<std::chrono::days>(second);
    const std::chrono::year_month_day date(day);
    const std::chrono::hh_mm_ss clock(second - day);
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), clock.hours().count(),
                       clock.minutes().count(), clock.seconds().count());
}

std::optional<std::int64_t> number(const SQLite::Column& column) {
    if (column.isNull()) return {};
    return column.getInt64();
}

/// Where a job stands in the tree of its changes.
struct Standing {
    JobId job = 0;
    std::int64_t version = 0;
    ChangeId change = 0;
    std::optional<ChangeId> parent, redo;
    std::string name, says, redo_says;
};

/// One call: its transaction is begun before and ended after it.
class Call {
  public:
    Call(SQLite::Database& database, const fs::path& file, std::string now)
        : database_(database), documents_{database, file}, now_(std::move(now)) {}

    SQLite::Statement query(const char* sql) const { return {database_, sql}; }
    template <class... Values>
    SQLite::Statement query(const char* sql, const Values&... values) const {
        SQLite::Statement statement(database_, sql);
        SQLite::bind(statement, values...);
        return statement;
    }
    template <class... Values>
    void run(const char* sql, const Values&... values) const {
        query(sql, values...).exec();
    }

    std::optional<Standing> standing(JobId id) const;
    Saved saved(const Standing& at) const { return saved(at, documents_.of(at.change)); }
    static Saved saved(const Standing& at, std::string document);
    Overtaken overtaken(const Standing& at, std::int64_t base) const { return {saved(at), since(at, base)}; }

    JobId create(const Described& first) const;
    Saved change(const Standing& at, const Described& next) const;
    Saved move(const Standing& from, ChangeId to, How how) const;
    bool mark_deleted(JobId id, bool deleted) const;
    void keep_shelf(std::string_view shelf) const;

    const Documents& documents() const { return documents_; }

  private:
    std::string since(const Standing& at, std::int64_t base) const;
    StepId note(JobId job, std::int64_t version, ChangeId change, How how) const;
    Standing put(JobId job, std::int64_t version, ChangeId current, ChangeId moved_over, How how) const;

    SQLite::Database& database_;
    Documents documents_;
    std::string now_;
};

std::optional<Standing> Call::standing(JobId id) const {
    auto row = query(
        "SELECT version, change, now.parent, now.redo, now.name, now.says, next.says FROM job "
        "LEFT JOIN change AS now ON now.id = job.change LEFT JOIN change AS next ON next.id = now.redo "
        "WHERE job.id = ? AND deleted IS NULL",
        id);
    if (!row.executeStep()) return {};
    return Standing{id,
                    row.getColumn(0).getInt64(),
                    row.getColumn(1).getInt64(),
                    number(row.getColumn(2)),
                    number(row.getColumn(3)),
                    row.getColumn(4).getString(),
                    row.getColumn(5).getString(),
                    row.getColumn(6).getString()};
}

Saved Call::saved(const Standing& at, std::string document) {
    return {at.job, at.version, std::move(document), at.parent ? at.says : "", at.redo_says};
}

std::string Call::since(const Standing& at, std::int64_t base) const {
    auto rows = query(
        "SELECT how, says FROM step JOIN change ON change.id = step.change WHERE step.job = ? AND version > ? "
        "AND how IN ('made', 'undone', 'redone') ORDER BY version DESC LIMIT ?",
        at.job, base, static_cast<std::int64_t>(most_steps_told));
    std::string told;
    for (std::int64_t count = 0; rows.executeStep(); ++count) {
        const std::string how = rows.getColumn(0).getString();
        std::string step = how == "undone" ? "Undone: " : how == "redone" ? "Redone: " : "";
        step += rows.getColumn(1).getString();
        told = count == 0 ? step : fmt::format("{}; {}", step, told);
    }
    const std::int64_t others = at.version - base - static_cast<std::int64_t>(most_steps_told);
    if (others > 0) told = fmt::format("{} earlier step{}; {}", others, others == 1 ? "" : "s", told);
    return told.empty() ? "The saved job is older than what this window shows" : told;
}

StepId Call::note(JobId job, std::int64_t version, ChangeId change, How how) const {
    run("INSERT INTO step (job, version, change, how, at) VALUES (?, ?, ?, ?, ?)", job, version, change, name_of(how),
        now_);
    return database_.getLastInsertRowid();
}

Standing Call::put(JobId job, std::int64_t version, ChangeId current, ChangeId moved_over, How how) const {
    const StepId step = note(job, version, moved_over, how);
    run("UPDATE job SET change = ?, version = ?, moved = ? WHERE id = ?", current, version, step, job);
    return standing(job).value();
}

JobId Call::create(const Described& first) const {
    // Its first change and step are not there yet; the foreign keys are looked at when the transaction ends.
    run("INSERT INTO job (change, version, moved) VALUES (0, 1, 0)");
    const JobId job = database_.getLastInsertRowid();
    const ChangeId change = documents_.add(job, {}, first, now_);
    put(job, 1, change, change, How::made);
    return job;
}

Saved Call::change(const Standing& at, const Described& next) const {
    std::string document = documents_.of(at.change);
    if (document == next.document && at.name == next.name) return saved(at, std::move(document));
    const ChangeId change = documents_.add(at.job, at.change, next, now_);
    return saved(put(at.job, at.version + 1, change, change, How::made), next.document);
}

Saved Call::move(const Standing& from, ChangeId to, How how) const {
    if (how == How::undone) run("UPDATE change SET redo = ? WHERE id = ?", from.change, to);
    return saved(put(from.job, from.version + 1, to, how == How::undone ? from.change : to, how));
}

bool Call::mark_deleted(JobId id, bool deleted) const {
    auto row = query("SELECT version, change, deleted IS NOT NULL FROM job WHERE id = ?", id);
    if (!row.executeStep()) return false;
    if ((row.getColumn(2).getInt() == 1) == deleted) return true;
    const StepId step =
        note(id, row.getColumn(0).getInt64(), row.getColumn(1).getInt64(), deleted ? How::deleted : How::restored);
    run("UPDATE job SET deleted = CASE WHEN ? THEN ? END WHERE id = ?", deleted ? 1 : 0, step, id);
    return true;
}

void Call::keep_shelf(std::string_view shelf) const {
    run("INSERT INTO shelf (at, document) SELECT ?1, ?2 WHERE ?2 IS NOT (SELECT document FROM shelf ORDER BY id DESC "
        "LIMIT 1)",
        now_, std::string(shelf));
}

}  // namespace

struct Store::Open {
    fs::path file;
    Clock clock;
    std::mutex one_call;
    SQLite::Database database;
    SearchIndex index{has_full_text()};

    Open(const fs::path& path, Clock times)
        : file(fs::absolute(path)), clock(std::move(times)), database(open_file(file, layouts())) {}

    template <class Work>
    auto read(Work&& work) {
        return in_transaction(SQLite::TransactionBehavior::DEFERRED, std::forward<Work>(work));
    }
    template <class Work>
    auto write(Work&& work) {
        return in_transaction(SQLite::TransactionBehavior::IMMEDIATE, std::forward<Work>(work));
    }
    /// A call that moves a job from the version `base`.
    template <class Work>
    std::variant<Saved, Overtaken, Missing> step(JobId id, std::int64_t base, Work&& work) {
        return write([&](const Call& call) -> std::variant<Saved, Overtaken, Missing> {
            const auto at = call.standing(id);
            if (!at) return Missing{};
            if (at->version != base) return call.overtaken(*at, base);
            return work(call, *at);
        });
    }

  private:
    template <class Work>
    auto in_transaction(SQLite::TransactionBehavior kind, Work&& work) {
        const std::scoped_lock lock(one_call);
        errno = 0;
        try {
            refuse_moved_file();
            SQLite::Transaction transaction(database, kind);
            auto result = work(Call(database, file, written(clock())));
            transaction.commit();
            return result;
        } catch (const SQLite::Exception& why) {
            throw refused(why, database.getHandle(), file);
        }
    }

    // SQLite would go on writing to a file that no name leads to any more.
    void refuse_moved_file() const {
        int moved = 0;
        sqlite3_file_control(database.getHandle(), "main", SQLITE_FCNTL_HAS_MOVED, &moved);
        if (moved != 0) throw moved_away(file);
    }
};

Store::Store(const fs::path& file, Clock clock) : open_(std::make_unique<Open>(file, std::move(clock))) {}
Store::~Store() = default;

std::vector<JobLine> Store::jobs() const {
    return open_->read([](const Call& call) {
        std::vector<JobLine> lines;
        auto rows = call.query(
            "SELECT job.id, name, step.at FROM job JOIN change ON change.id = job.change JOIN step ON step.id = moved "
            "WHERE deleted IS NULL ORDER BY moved DESC");
        while (rows.executeStep()) {
            lines.push_back(
                {rows.getColumn(0).getInt64(), rows.getColumn(1).getString(), rows.getColumn(2).getString(), ""});
        }
        return lines;
    });
}

std::vector<JobLine> Store::deleted() const {
    return open_->read([](const Call& call) {
        std::vector<JobLine> lines;
        auto rows = call.query(
            "SELECT job.id, name, last.at, deletion.at FROM job JOIN change ON change.id = job.change "
            "JOIN step AS last ON last.id = moved JOIN step AS deletion ON deletion.id = deleted ORDER BY deleted "
            "DESC");
        while (rows.executeStep()) {
            lines.push_back({rows.getColumn(0).getInt64(), rows.getColumn(1).getString(), rows.getColumn(2).getString(),
                             rows.getColumn(3).getString()});
        }
        return lines;
    });
}

JobId Store::create(const Described& first) {
    return open_->write([&](const Call& call) { return call.create(first); });
}

std::variant<Saved, Missing> Store::find(JobId id) const {
    return open_->read([&](const Call& call) -> std::variant<Saved, Missing> {
        const auto at = call.standing(id);
        if (!at) return Missing{};
        return call.saved(*at);
    });
}

std::optional<std::int64_t> Store::version(JobId id) const {
    return open_->read([&](const Call& call) -> std::optional<std::int64_t> {
        auto row = call.query("SELECT version FROM job WHERE id = ? AND deleted IS NULL", id);
        if (!row.executeStep()) return {};
        return row.getColumn(0).getInt64();
    });
}

std::variant<Saved, Overtaken, Missing> Store::change(JobId id, std::int64_t base, const Described& next) {
    return open_->step(id, base, [&](const Call& call, const Standing& at) { return call.change(at, next); });
}

std::variant<Saved, Overtaken, Missing> Store::change(JobId id, std::int64_t base, const Described& next,
                                                      std::string_view shelf) {
    return open_->step(id, base, [&](const Call& call, const Standing& at) {
        call.keep_shelf(shelf);
        return call.change(at, next);
    });
}

std::variant<Saved, Overtaken, Missing> Store::undo(JobId id, std::int64_t base) {
    return open_->step(id, base, [](const Call& call, const Standing& at) {
        return at.parent ? call.move(at, *at.parent, How::undone) : call.saved(at);
    });
}

std::variant<Saved, Overtaken, Missing> Store::redo(JobId id, std::int64_t base) {
    return open_->step(id, base, [](const Call& call, const Standing& at) {
        return at.redo ? call.move(at, *at.redo, How::redone) : call.saved(at);
    });
}

std::vector<HistoryLine> Store::history(JobId id, std::size_t most) const {
    return open_->read([&](const Call& call) {
        std::vector<HistoryLine> lines;
        auto rows = call.query(
            "SELECT change.id, says, at, change.id = job.change FROM job JOIN change ON change.job = job.id "
            "WHERE job.id = ? AND deleted IS NULL ORDER BY change.id DESC",
            id);
        while (lines.size() < most && rows.executeStep()) {
            lines.push_back({rows.getColumn(0).getInt64(), rows.getColumn(1).getString(), rows.getColumn(2).getString(),
                             rows.getColumn(3).getInt() == 1});
        }
        return lines;
    });
}

std::optional<std::string> Store::document_of(JobId id, std::int64_t change) const {
    return open_->read([&](const Call& call) -> std::optional<std::string> {
        auto row = call.query(
            "SELECT 1 FROM change JOIN job ON job.id = change.job WHERE job = ? AND change.id = ? AND deleted IS NULL",
            id, change);
        if (!row.executeStep()) return {};
        return call.documents().of(change);
    });
}

bool Store::remove(JobId id) {
    return open_->write([&](const Call& call) { return call.mark_deleted(id, true); });
}

bool Store::restore(JobId id) {
    return open_->write([&](const Call& call) { return call.mark_deleted(id, false); });
}

Found Store::search(std::string_view question, const Extract& extract) {
    const std::vector<std::string> words = words_of(question);
    if (words.empty()) return {};
    const bool stale =
        open_->read([&](const Call& call) { return SearchIndex::out_of_date(call.documents().database, extract); });
    if (stale) {
        open_->write([&](const Call& call) {
            SearchIndex::renew(call.documents(), extract);
            return true;
        });
    }
    try {
        return open_->read([&](const Call& call) { return open_->index.find(call.documents().database, words); });
    } catch (const StoreFailure&) {
        const std::scoped_lock lock(open_->one_call);
        open_->index.forget();
        throw;
    }
}

std::optional<JobId> Store::last_opened() const {
    return open_->read([](const Call& call) -> std::optional<JobId> {
        auto row = call.query(
            "SELECT job FROM opened JOIN job ON job.id = job WHERE deleted IS NULL ORDER BY turn DESC LIMIT 1");
        if (!row.executeStep()) return {};
        return row.getColumn(0).getInt64();
    });
}

void Store::opened(JobId id) {
    open_->write([&](const Call& call) {
        call.run(
            "INSERT OR REPLACE INTO opened (job) SELECT id FROM job WHERE id = ?1 AND ?1 IS NOT "
            "(SELECT job FROM opened ORDER BY turn DESC LIMIT 1)",
            id);
        return true;
    });
}

std::string Store::shelf() const {
    return open_->read([](const Call& call) -> std::string {
        auto row = call.query("SELECT document FROM shelf ORDER BY id DESC LIMIT 1");
        if (!row.executeStep()) return {};
        return row.getColumn(0).getString();
    });
}

void Store::keep_shelf(std::string_view shelf) {
    open_->write([&](const Call& call) {
        call.keep_shelf(shelf);
        return true;
    });
}

void Store::keep_picture(std::string_view name, std::string_view bytes) {
    open_->write([&](const Call& call) {
        auto insert = call.query("INSERT INTO picture (name, bytes) VALUES (?, ?) ON CONFLICT (name) DO NOTHING");
        insert.bind(1, std::string(name));
        insert.bindNoCopy(2, bytes.data(), static_cast<int>(bytes.size()));
        insert.exec();
        return true;
    });
}

std::optional<std::string> Store::picture(std::string_view name) const {
    return open_->read([&](const Call& call) -> std::optional<std::string> {
        auto row = call.query("SELECT bytes FROM picture WHERE name = ?", std::string(name));
        if (!row.executeStep()) return {};
        return row.getColumn(0).getString();
    });
}

bool Store::has_picture(std::string_view name) const {
    return open_->read([&](const Call& call) {
        return call.query("SELECT 1 FROM picture WHERE name = ?", std::string(name)).executeStep();
    });
}

}  // namespace seamwright::store
