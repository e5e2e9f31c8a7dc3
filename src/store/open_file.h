#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <filesystem>
#include <span>

#include "layout.h"

namespace seamwright::store {

/// Opens the file of saved jobs, which is made when it is missing and brought to the last of `layouts` when it is
/// older. A file that is refused is left as it is. Throws StoreFailure. `file` is absolute.
SQLite::Database open_file(const std::filesystem::path& file, std::span<const char* const> layouts);

}  // namespace seamwright::store
