#include "search.h"

#include <sqlite3.h>

#include <algorithm>
#include <map>
#include <set>

#include "folding.h"

namespace seamwright::store {
namespace {

// More would not be read.
constexpr std::size_t most_jobs = 50, most_hits = 4;
constexpr std::size_t before_bytes = 40, snippet_bytes = 120;

/// Where a letter of UTF-8 begins, at or before.
std::size_t letter_start(std::string_view text, std::size_t at) {
    while (at > 0 && at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0) == 0x80) --at;
    return std::min(at, text.size());
}

struct Mark {
    std::size_t from = 0, to = 0;
};

/// Beginnings of words, in the bytes of the text; apart from each other.
std::vector<Mark> marks_in(std::string_view text, const std::vector<std::string>& words) {
    const Folded plain = folded(text);
    std::vector<Mark> marks;
    for (const std::string& word : words) {
        for (std::size_t at = plain.text.find(word); at != std::string::npos; at = plain.text.find(word, at + 1)) {
            if (at > 0 && plain.text[at - 1] != ' ') continue;
            std::size_t to = plain.from[at + word.size() - 1] + 1;
            while (to < text.size() && (static_cast<unsigned char>(text[to]) & 0xC0) == 0x80) ++to;
            marks.push_back({plain.from[at], to});
        }
    }
    std::sort(marks.begin(), marks.end(),
              [](const Mark& a, const Mark& b) { return a.from != b.from ? a.from < b.from : a.to > b.to; });
    std::vector<Mark> apart;
    for (const Mark& mark : marks)
        if (apart.empty() || mark.from >= apart.back().to) apart.push_back(mark);
    return apart;
}

/// On one line, without what steers a terminal or a page.
std::string quiet(std::string_view text) {
    std::string out;
    for (const char c : text) out += static_cast<unsigned char>(c) < 0x20 || c == 0x7F ? ' ' : c;
    return out;
}

}  // namespace

bool has_full_text() {
    return sqlite3_compileoption_used("ENABLE_FTS5") == 1;
}

std::vector<Found::Part> snippet(std::string_view text, const std::vector<std::string>& words) {
    const std::vector<Mark> marks = marks_in(text, words);
    std::size_t from = 0;
    if (!marks.empty() && marks.front().from > before_bytes && text.size() > snippet_bytes) {
        from = letter_start(text, marks.front().from - before_bytes);
        // From the next word on.
        const std::size_t space = text.find(' ', from);
        if (space < marks.front().from) from = space + 1;
    }
    std::size_t to = letter_start(text, from + snippet_bytes);
    if (to < text.size()) {
        const std::size_t space = text.rfind(' ', to);
        if (space != std::string_view::npos && space > from && (marks.empty() || space >= marks.front().to)) to = space;
    }
    std::vector<Found::Part> parts;
    const auto add = [&](std::string_view piece, bool found) {
        if (!piece.empty()) parts.push_back({quiet(piece), found});
    };
    if (from > 0) parts.push_back({"… ", false});
    std::size_t at = from;
    for (const Mark& mark : marks) {
        if (mark.from < at || mark.to > to) continue;
        add(text.substr(at, mark.from - at), false);
        add(text.substr(mark.from, mark.to - mark.from), true);
        at = mark.to;
    }
    add(text.substr(at, to - at), false);
    if (to < text.size()) parts.push_back({" …", false});
    return parts;
}

bool SearchIndex::out_of_date(SQLite::Database& database, const Extract& extract) {
    SQLite::Statement stale(database,
                            "SELECT 1 FROM job LEFT JOIN spoken_of ON spoken_of.job = job.id WHERE deleted IS NULL AND "
                            "(spoken_of.change IS NOT job.change OR taken_by IS NOT ?) LIMIT 1");
    stale.bind(1, extract.number);
    return stale.executeStep();
}

void SearchIndex::renew(const Documents& documents, const Extract& extract) {
    SQLite::Database& database = documents.database;
    struct Stale {
        JobId job = 0;
        std::int64_t change = 0;
    };
    std::vector<Stale> all;
    {
        SQLite::Statement stale(
            database,
            "SELECT job.id, job.change FROM job LEFT JOIN spoken_of ON spoken_of.job = job.id WHERE deleted IS NULL "
            "AND (spoken_of.change IS NOT job.change OR taken_by IS NOT ?)");
        stale.bind(1, extract.number);
        while (stale.executeStep()) all.push_back({stale.getColumn(0).getInt64(), stale.getColumn(1).getInt64()});
    }
    SQLite::Statement forget(database, "DELETE FROM spoken WHERE job = ?");
    SQLite::Statement put(database, "INSERT INTO spoken (job, place, text) VALUES (?, ?, ?)");
    SQLite::Statement mark(database, "INSERT OR REPLACE INTO spoken_of (job, change, taken_by) VALUES (?, ?, ?)");
    for (const Stale& one : all) {
        forget.reset();
        forget.bind(1, one.job);
        forget.exec();
        for (const Spoken& spoken : extract.of(documents.of(one.change))) {
            put.reset();
            put.bind(1, one.job);
            put.bind(2, spoken.place);
            put.bind(3, spoken.text);
            put.exec();
        }
        mark.reset();
        mark.bind(1, one.job);
        mark.bind(2, one.change);
        mark.bind(3, extract.number);
        mark.exec();
    }
}

void SearchIndex::fill(SQLite::Database& database) {
    if (!full_text_) return;
    const std::pair now(database.execAndGet("SELECT coalesce(max(id), 0) FROM step").getInt64(),
                        database.execAndGet("SELECT coalesce(max(id), 0) FROM spoken").getInt64());
    if (filled_with_ == now) return;
    filled_with_.reset();
    // The folded text holds words and single spaces alone, which this tokenizer parts in the same way as has_word().
    database.exec(
        "DROP TABLE IF EXISTS temp.spoken_index; CREATE VIRTUAL TABLE temp.spoken_index USING fts5(folded, tokenize = "
        "'ascii', detail = none, prefix = '1 2 3 4')");
    SQLite::Statement rows(database,
                           "SELECT spoken.id, text FROM spoken JOIN job ON job.id = spoken.job WHERE deleted IS NULL");
    SQLite::Statement put(database, "INSERT INTO temp.spoken_index (rowid, folded) VALUES (?, ?)");
    while (rows.executeStep()) {
        put.reset();
        put.bind(1, rows.getColumn(0).getInt64());
        put.bind(2, folded(rows.getColumn(1).getString()).text);
        put.exec();
    }
    filled_with_ = now;
}

std::vector<std::int64_t> SearchIndex::rows_with(SQLite::Database& database, const std::string& word) const {
    std::vector<std::int64_t> out;
    if (full_text_) {
        SQLite::Statement query(database, "SELECT rowid FROM temp.spoken_index WHERE spoken_index MATCH ?");
        // A word holds no quotes: it is letters and digits.
        query.bind(1, '"' + word + "\"*");
        while (query.executeStep()) out.push_back(query.getColumn(0).getInt64());
    } else {
        SQLite::Statement query(
            database, "SELECT spoken.id, text FROM spoken JOIN job ON job.id = spoken.job WHERE deleted IS NULL");
        while (query.executeStep())
            if (has_word(folded(query.getColumn(1).getString()).text, word))
                out.push_back(query.getColumn(0).getInt64());
    }
    return out;
}

Found SearchIndex::find(SQLite::Database& database, const std::vector<std::string>& words) {
    Found found;
    found.words = words;
    if (words.empty()) return found;
    fill(database);
    std::map<std::int64_t, std::size_t> rows;           // how many of the words each has
    std::map<JobId, std::set<std::size_t>> words_in;    // which of the words each job has
    std::map<JobId, std::vector<std::int64_t>> of_job;  // its rows, in order
    SQLite::Statement whose(database, "SELECT job FROM spoken WHERE id = ?");
    for (std::size_t w = 0; w < words.size(); ++w) {
        for (const std::int64_t row : rows_with(database, words[w])) {
            whose.reset();
            whose.bind(1, row);
            if (!whose.executeStep()) continue;
            const JobId job = whose.getColumn(0).getInt64();
            words_in[job].insert(w);
            if (++rows[row] == 1) of_job[job].push_back(row);
        }
    }
    SQLite::Statement jobs(database,
                           "SELECT job.id, name, step.at FROM job JOIN change ON change.id = job.change JOIN step ON "
                           "step.id = moved WHERE deleted IS NULL ORDER BY moved DESC");
    SQLite::Statement told(database, "SELECT place, text FROM spoken WHERE id = ?");
    while (jobs.executeStep()) {
        const JobId id = jobs.getColumn(0).getInt64();
        const auto has = words_in.find(id);
        if (has == words_in.end() || has->second.size() < words.size()) continue;
        if (found.jobs.size() == most_jobs) {
            ++found.more;
            continue;
        }
        Found::Job job{id, jobs.getColumn(1).getString(), jobs.getColumn(2).getString(), {}, 0};
        auto& places = of_job[id];
        std::sort(places.begin(), places.end());
        // Those with most of the words first.
        std::stable_sort(places.begin(), places.end(),
                         [&](std::int64_t a, std::int64_t b) { return rows[a] > rows[b]; });
        for (const std::int64_t row : places) {
            if (job.hits.size() == most_hits) {
                job.more = places.size() - most_hits;
                break;
            }
            told.reset();
            told.bind(1, row);
            if (!told.executeStep()) continue;
            job.hits.push_back({told.getColumn(0).getString(), snippet(told.getColumn(1).getString(), words)});
        }
        found.jobs.push_back(std::move(job));
    }
    return found;
}

}  // namespace seamwright::store
