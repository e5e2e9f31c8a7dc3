#include "failure.h"

#include <fmt/format.h>
#include <sqlite3.h>

#include <cerrno>
#include <string>

#include "copies.h"

namespace seamwright::store {
namespace {

namespace fs = std::filesystem;

StoreFailure full(const fs::path& file) {
    return {fmt::format("There is no room left on the disk for the saved jobs in {}. Nothing was changed there.",
                        file.string()),
            "Free some space and try again."};
}

StoreFailure busy(const fs::path& file) {
    return {fmt::format("Another program has kept the saved jobs in {} locked for too long. Nothing was changed there.",
                        file.string()),
            "Try again; if it happens again, close the other program that uses this file."};
}

bool means_full(int system_error) {
    return system_error == ENOSPC || system_error == EDQUOT || system_error == EFBIG;
}

bool means_forbidden(int system_error) {
    return system_error == EACCES || system_error == EPERM || system_error == EROFS;
}

std::string megabytes(std::size_t bytes) {
    return fmt::format("{} MB", bytes / 1'000'000);
}

}  // namespace

StoreFailure refused(const SQLite::Exception& why, sqlite3* database, const fs::path& file) {
    const int last_of_thread = errno;
    const int code = why.getErrorCode();
    int system_error = 0;
    if (code == SQLITE_IOERR || code == SQLITE_CANTOPEN) {
        if (database != nullptr) system_error = sqlite3_system_errno(database);
        // SQLite 3.40 does not keep what the system said when it refuses in the midst of a COMMIT.
        if (system_error == 0) system_error = last_of_thread;
    }
    if (code == SQLITE_FULL || means_full(system_error)) return full(file);
    if (code == SQLITE_BUSY || code == SQLITE_LOCKED) return busy(file);
    // The tables are those that this program made; where its questions do not fit them, they are not what they were.
    if (code == SQLITE_CORRUPT || code == SQLITE_NOTADB || code == SQLITE_ERROR || code == SQLITE_CONSTRAINT) {
        return damaged(file, why.what());
    }
    if (why.getExtendedErrorCode() == SQLITE_READONLY_DBMOVED) return moved_away(file);
    if (means_forbidden(system_error)) return not_writable(file, std::generic_category().message(system_error));
    if (code == SQLITE_READONLY || code == SQLITE_PERM || code == SQLITE_CANTOPEN) {
        return not_writable(file, why.what());
    }
    const std::string from_system = system_error == 0 ? "" : ": " + std::generic_category().message(system_error);
    return {fmt::format("The saved jobs in {} cannot be read or written ({}{}). Nothing was changed there.",
                        file.string(), why.what(), from_system),
            "Check the disk and try again. A copy of the file is worth making before anything else is tried."};
}

StoreFailure damaged(const fs::path& file, std::string_view what) {
    std::string remedy = fmt::format("Stop Seamwright, move {} to another folder and keep it. ", file.string());
    const auto copies = copies_of(file);
    if (copies.empty()) {
        remedy +=
            "If you have a copy from a backup, put it in that place; without one Seamwright begins with no jobs. The "
            "command `sqlite3 FILE .recover` can often read most of a damaged file.";
    } else {
        remedy += fmt::format(
            "A copy that was made earlier is {}: put it in that place under the name {}. Without it Seamwright begins "
            "with no jobs.",
            copies.back().string(), file.filename().string());
    }
    return {fmt::format("The file of saved jobs {} is damaged ({}).", file.string(), what), remedy};
}

StoreFailure not_ours(const fs::path& file, std::string_view what) {
    return {fmt::format("{} is not a file of saved jobs: {}. It was left as it is.", file.string(), what),
            "Name another file for the saved jobs, or move this one away."};
}

StoreFailure newer(const fs::path& file) {
    return {fmt::format("The saved jobs in {} were written by a newer Seamwright than this one. They were left as they "
                        "are.",
                        file.string()),
            "Use the newer Seamwright, or move the file away and import the jobs that you exported."};
}

StoreFailure not_writable(const fs::path& file, std::string_view why) {
    return {fmt::format("The saved jobs in {} cannot be written ({}).", file.string(), why),
            fmt::format("Allow writing to the file and to its folder {}, or name another file for the saved jobs.",
                        file.parent_path().string())};
}

StoreFailure no_folder(const fs::path& folder, std::error_code why) {
    return {fmt::format("The folder {} for the saved jobs cannot be made ({}).", folder.string(), why.message()),
            "Make the folder yourself, or name another file for the saved jobs."};
}

StoreFailure moved_away(const fs::path& file) {
    return {
        fmt::format("The file of saved jobs {} was moved, replaced or deleted while Seamwright was running. Nothing "
                    "was saved.",
                    file.string()),
        "Put the file back if it was moved, then stop Seamwright and start it again."};
}

StoreFailure too_large(std::size_t bytes, std::size_t most) {
    return {
        fmt::format("This job is too large to be saved: {}, and {} are allowed.", megabytes(bytes), megabytes(most)),
        "Import a curve with fewer points."};
}

}  // namespace seamwright::store
