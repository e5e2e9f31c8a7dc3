#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

#include "store/store.h"

namespace seamwright::store {

/// The documents of the changes, in the table `change`. The caller holds the transaction.
struct Documents {
    SQLite::Database& database;
    const std::filesystem::path& file;

    /// Throws StoreFailure when there is no such change: then the file is damaged.
    std::string of(std::int64_t change) const;
    /// Adds a change of the job below `parent`; gives its id.
    std::int64_t add(JobId job, std::optional<std::int64_t> parent, const Described& next, const std::string& at) const;
};

}  // namespace seamwright::store
