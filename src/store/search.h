#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "documents.h"
#include "store/store.h"

namespace seamwright::store {

/// Whether the SQLite this program runs with has FTS5.
bool has_full_text();

/// The words of all jobs that are not deleted. What can be searched is kept in the tables `spoken` and `spoken_of`; the
/// index over it lives in memory, so that the file can be read by an SQLite without FTS5.
class SearchIndex {
  public:
    explicit SearchIndex(bool full_text) : full_text_(full_text) {}

    /// Takes the words out of the documents that changed. The caller holds a transaction that may write.
    static void renew(const Documents& documents, const Extract& extract);
    /// Whether some document has changed since its words were taken out.
    static bool out_of_date(SQLite::Database& database, const Extract& extract);
    /// The caller holds a transaction.
    Found find(SQLite::Database& database, const std::vector<std::string>& words);
    /// After a call that failed: what was put into the index may have been taken back.
    void forget() { filled_with_.reset(); }

  private:
    void fill(SQLite::Database& database);
    std::vector<std::int64_t> rows_with(SQLite::Database& database, const std::string& word) const;

    bool full_text_ = true;
    /// The last step and the last words there were when it was filled.
    std::optional<std::pair<std::int64_t, std::int64_t>> filled_with_;
};

/// A piece of a text around the first of the words in it, with the words marked.
std::vector<Found::Part> snippet(std::string_view text, const std::vector<std::string>& words);

}  // namespace seamwright::store
