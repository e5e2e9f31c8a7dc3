#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <filesystem>
#include <vector>

namespace seamwright::store {

/// The copies that make_copy() left beside the file, oldest version first.
std::vector<std::filesystem::path> copies_of(const std::filesystem::path& file);

/// Copies the file, which is of layout `version`, to a new file beside it, and sees it whole to the disk before it gets
/// its name. Throws SQLite::Exception or std::filesystem::filesystem_error.
std::filesystem::path make_copy(const std::filesystem::path& file, int version);

}  // namespace seamwright::store
