#include "open_file.h"

#include <sqlite3.h>
#include <sys/stat.h>

#include <array>
#include <cerrno>
#include <chrono>
#include <fstream>
#include <string>
#include <string_view>
#include <system_error>
#include <thread>

#include "copies.h"
#include "failure.h"

namespace seamwright::store {
namespace {

namespace fs = std::filesystem;

// Another program holds the file for the length of one save; the largest imports take about a second.
constexpr std::chrono::milliseconds patience{10'000};
constexpr std::chrono::milliseconds between_tries{5};

// The log beside the file (WAL) is cut back to this after a large save.
constexpr const char* log_limit = "PRAGMA journal_size_limit = 16777216";

// "Database File Format", 1.3: how every SQLite file begins, and where the application id stands in it (big-endian).
constexpr std::string_view magic("SQLite format 3\0", 16);
constexpr std::size_t application_id_at = 68, header_size = 100;

// XDG Base Directory Specification 0.8, "Referencing this specification": folders that are made are the owner's alone.
void make_folders(const fs::path& folder) {
    if (folder.empty() || fs::is_directory(folder)) return;
    if (folder.has_parent_path() && folder.parent_path() != folder) make_folders(folder.parent_path());
    if (::mkdir(folder.c_str(), 0700) == 0) return;
    const std::error_code why(errno, std::generic_category());
    std::error_code ignored;
    if (!fs::is_directory(folder, ignored)) throw no_folder(folder, why);
}

// Looks at what is there without SQLite, which would leave its traces beside a file of another program.
void refuse_strangers(const fs::path& file) {
    std::error_code why;
    const fs::file_status status = fs::status(file, why);
    if (status.type() == fs::file_type::not_found) return;
    if (why) throw not_writable(file, why.message());
    if (!fs::is_regular_file(status)) throw not_ours(file, "it is no ordinary file");
    std::array<char, header_size> header{};
    errno = 0;
    std::ifstream bytes(file, std::ios::binary);
    if (!bytes) throw not_writable(file, std::generic_category().message(errno));
    bytes.read(header.data(), header.size());
    const auto got = static_cast<std::size_t>(bytes.gcount());
    // An unfinished first save, which SQLite takes back when it opens the file.
    if (got == 0 || fs::exists(file.string() + "-journal", why)) return;
    if (got < header.size() || !std::string_view(header.data(), got).starts_with(magic)) {
        throw not_ours(file, "it is no SQLite file, or its beginning is damaged");
    }
    std::uint32_t id = 0;
    for (std::size_t i = 0; i < 4; ++i) {
        id = (id << 8U) | static_cast<unsigned char>(header[application_id_at + i]);
    }
    if (id != 0 && id != static_cast<std::uint32_t>(application_id)) {
        throw not_ours(file, "it belongs to another program");
    }
}

/// Version of the layout; 0: nothing is in the file yet.
int checked_version(SQLite::Database& database, const fs::path& file, int newest) {
    const int id = database.execAndGet("PRAGMA application_id").getInt();
    const int version = database.execAndGet("PRAGMA user_version").getInt();
    const int things = database.execAndGet("SELECT count(*) FROM sqlite_schema").getInt();
    if (id == 0 && version == 0 && things == 0) return 0;
    if (id != application_id) throw not_ours(file, "it belongs to another program");
    if (version > newest) throw newer(file);
    if (version < 1) throw damaged(file, "it has no version");
    return version;
}

void refuse_damage(SQLite::Database& database, const fs::path& file) {
    SQLite::Statement check(database, "PRAGMA quick_check(1)");
    if (!check.executeStep()) return;
    const std::string found = check.getColumn(0).getString();
    if (found != "ok") throw damaged(file, found);
}

void write_ahead(SQLite::Database& database) {
    // SQLite does not wait for others in this change of mode when waiting could end in a deadlock.
    for (auto waited = std::chrono::milliseconds::zero();; waited += between_tries) {
        try {
            SQLite::Statement mode(database, "PRAGMA journal_mode = WAL");
            mode.executeStep();
            return;
        } catch (const SQLite::Exception& refusal) {
            if (refusal.getErrorCode() != SQLITE_BUSY || waited >= patience) throw;
        }
        std::this_thread::sleep_for(between_tries);
    }
}

void bring_up_to_date(SQLite::Database& database, const fs::path& file, std::span<const char* const> layouts) {
    const int newest = static_cast<int>(layouts.size());
    SQLite::Transaction transaction(database, SQLite::TransactionBehavior::IMMEDIATE);
    // Another program may have been quicker.
    const int version = checked_version(database, file, newest);
    if (version == newest) return;
    if (version > 0) make_copy(file, version);
    for (const char* layout : layouts.subspan(static_cast<std::size_t>(version))) database.exec(layout);
    database.exec("PRAGMA application_id = " + std::to_string(application_id));
    database.exec("PRAGMA user_version = " + std::to_string(newest));
    transaction.commit();
}

void prepare(SQLite::Database& database, const fs::path& file, std::span<const char* const> layouts) {
    if (sqlite3_db_readonly(database.getHandle(), "main") == 1) throw not_writable(file, "it is read-only");
    for (const char* setting : {"PRAGMA foreign_keys = ON", "PRAGMA synchronous = FULL", "PRAGMA trusted_schema = OFF",
                                "PRAGMA temp_store = MEMORY", log_limit}) {
        SQLite::Statement(database, setting).executeStep();
    }
    const int newest = static_cast<int>(layouts.size());
    int version = 0;
    {
        const SQLite::Transaction one_view(database);
        version = checked_version(database, file, newest);
        if (version > 0) refuse_damage(database, file);
    }
    if (version < newest) bring_up_to_date(database, file, layouts);
    write_ahead(database);
}

}  // namespace

SQLite::Database open_file(const fs::path& file, std::span<const char* const> layouts) {
    make_folders(file.parent_path());
    refuse_strangers(file);
    errno = 0;
    try {
        SQLite::Database database(file.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE | SQLite::OPEN_NOMUTEX,
                                  static_cast<int>(patience.count()));
        try {
            prepare(database, file, layouts);
        } catch (const SQLite::Exception& why) {
            throw refused(why, database.getHandle(), file);
        }
        return database;
    } catch (const SQLite::Exception& why) {
        throw refused(why, nullptr, file);
    } catch (const fs::filesystem_error& why) {
        throw not_writable(file, why.code().message());
    }
}

}  // namespace seamwright::store
