#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <filesystem>
#include <string_view>
#include <system_error>

#include "store/store.h"

namespace seamwright::store {

/// What the maker is told when SQLite refuses. `database`: the connection that refused, for the system's own reason;
/// null when there is none. `errno` was set to 0 before SQLite was called.
StoreFailure refused(const SQLite::Exception& why, sqlite3* database, const std::filesystem::path& file);

/// `what`: what was found, for those who can mend it.
StoreFailure damaged(const std::filesystem::path& file, std::string_view what);
StoreFailure not_ours(const std::filesystem::path& file, std::string_view what);
StoreFailure newer(const std::filesystem::path& file);
StoreFailure not_writable(const std::filesystem::path& file, std::string_view why);
StoreFailure no_folder(const std::filesystem::path& folder, std::error_code why);
StoreFailure moved_away(const std::filesystem::path& file);
StoreFailure too_large(std::size_t bytes, std::size_t most);

}  // namespace seamwright::store
