#include "documents.h"

#include <sqlite3.h>

#include <string_view>

#include "difference.h"
#include "failure.h"

namespace seamwright::store {
namespace {

// SQLITE_MAX_LENGTH of a row is 1e9 bytes, names and texts included.
constexpr std::size_t largest_document = 900'000'000;

// A smaller document fits into one page of the file and is kept whole.
constexpr std::size_t large_document = 4096;
// A difference is kept when it is at most this part of the document, so that a base is worth keeping.
constexpr std::size_t least_gain = 4;

std::string_view bytes_of(const SQLite::Column& column) {
    const auto* start = static_cast<const char*>(column.getBlob());
    return start == nullptr ? std::string_view() : std::string_view(start, static_cast<std::size_t>(column.getBytes()));
}

void bind_bytes(SQLite::Statement& statement, int place, std::string_view bytes) {
    // A null pointer would be NULL, not empty.
    statement.bindNoCopy(place, bytes.empty() ? "" : bytes.data(), static_cast<int>(bytes.size()));
}

}  // namespace

std::string Documents::of(std::int64_t change) const {
    SQLite::Statement query(database,
                            "SELECT change.document, change.base, change.head, change.tail, whole.document FROM change "
                            "LEFT JOIN change AS whole ON whole.id = change.base WHERE change.id = ?");
    query.bind(1, change);
    if (!query.executeStep()) throw damaged(file, "a saved state of a job is missing");
    const SQLite::Column kept = query.getColumn(0);
    if (query.getColumn(1).isNull()) return std::string(bytes_of(kept));
    const SQLite::Column whole = query.getColumn(4);
    auto text = joined(bytes_of(whole), {static_cast<std::size_t>(query.getColumn(2).getInt64()),
                                         static_cast<std::size_t>(query.getColumn(3).getInt64()), bytes_of(kept)});
    if (!text) throw damaged(file, "a saved state of a job does not fit the one before it");
    return std::move(*text);
}

std::int64_t Documents::add(JobId job, std::optional<std::int64_t> parent, const Described& next,
                            const std::string& at) const {
    if (next.document.size() > largest_document) throw too_large(next.document.size(), largest_document);

    std::optional<std::int64_t> base;
    Difference kept{0, 0, next.document};
    if (parent && next.document.size() >= large_document) {
        SQLite::Statement whole(database,
                                "SELECT id, document FROM change WHERE id = (SELECT coalesce(base, id) FROM change "
                                "WHERE id = ?)");
        whole.bind(1, *parent);
        if (!whole.executeStep()) throw damaged(file, "a saved state of a job is missing");
        const SQLite::Column document = whole.getColumn(1);
        const Difference found = difference(bytes_of(document), next.document);
        if (found.middle.size() <= next.document.size() / least_gain) {
            base = whole.getColumn(0).getInt64();
            kept = found;
        }
    }

    SQLite::Statement insert(database,
                             "INSERT INTO change (job, parent, name, says, at, base, head, tail, document) "
                             "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)");
    const std::string says = next.says.empty() ? "Changed" : next.says;
    insert.bind(1, job);
    if (parent) insert.bind(2, *parent);
    insert.bindNoCopy(3, next.name);
    insert.bindNoCopy(4, says);
    insert.bindNoCopy(5, at);
    if (base) insert.bind(6, *base);
    insert.bind(7, static_cast<std::int64_t>(kept.head));
    insert.bind(8, static_cast<std::int64_t>(kept.tail));
    bind_bytes(insert, 9, kept.middle);
    insert.exec();
    return database.getLastInsertRowid();
}

}  // namespace seamwright::store
