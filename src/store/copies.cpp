#include "copies.h"

#include <SQLiteCpp/Backup.h>
#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <system_error>

namespace seamwright::store {
namespace {

namespace fs = std::filesystem;

// jobs.sqlite of version 1: jobs.version-1.sqlite; when that is taken, jobs.version-1-2.sqlite.
fs::path copy_name(const fs::path& file, int version, int turn) {
    const std::string number = turn == 1 ? fmt::format("{}", version) : fmt::format("{}-{}", version, turn);
    return file.parent_path() / fmt::format("{}.version-{}{}", file.stem().string(), number, file.extension().string());
}

}  // namespace

std::vector<fs::path> copies_of(const fs::path& file) {
    std::vector<fs::path> found;
    const std::string start = file.stem().string() + ".version-";
    std::error_code unreadable;
    for (fs::directory_iterator entry(file.parent_path(), unreadable), end; !unreadable && entry != end;
         entry.increment(unreadable)) {
        const fs::path& path = entry->path();
        if (path.filename().string().starts_with(start) && path.extension() == file.extension()) found.push_back(path);
    }
    std::sort(found.begin(), found.end(), [](const fs::path& a, const fs::path& b) {
        const std::string first = a.filename().string(), second = b.filename().string();
        return std::pair(first.size(), first) < std::pair(second.size(), second);
    });
    return found;
}

fs::path make_copy(const fs::path& file, int version) {
    int turn = 1;
    while (fs::exists(copy_name(file, version, turn))) ++turn;
    const fs::path copy = copy_name(file, version, turn);
    const fs::path unfinished = copy.string() + ".unfinished";
    fs::remove(unfinished);
    {
        SQLite::Database from(file.string(), SQLite::OPEN_READONLY);
        SQLite::Database to(unfinished.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
        SQLite::Backup backup(to, from);
        backup.executeStep();
    }
    fs::rename(unfinished, copy);
    return copy;
}

}  // namespace seamwright::store
