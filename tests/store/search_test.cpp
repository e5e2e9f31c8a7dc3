// Words found again in all saved jobs. Here a document is its own text: "place=text" on each line.
#include "search.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <sstream>

#include "app/temporary_folder.h"
#include "folding.h"
#include "open_file.h"

namespace seamwright::store {
namespace {

using test::TemporaryFolder;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

std::vector<Spoken> lines_of(const std::string& document) {
    std::vector<Spoken> out;
    std::istringstream lines(document);
    for (std::string line; std::getline(lines, line);) {
        const auto at = line.find('=');
        if (at != std::string::npos) out.push_back({line.substr(0, at), line.substr(at + 1)});
    }
    return out;
}
const Extract extract{1, lines_of};

std::vector<JobId> ids(const Found& found) {
    std::vector<JobId> out;
    for (const auto& job : found.jobs) out.push_back(job.id);
    return out;
}
std::string text_of(const Found::Hit& hit) {
    std::string text;
    for (const auto& part : hit.parts) text += part.found ? '[' + part.text + ']' : part.text;
    return text;
}

class Search : public ::testing::Test {
  protected:
    TemporaryFolder folder;
    Store store{folder / "jobs.sqlite"};
    JobId table = store.create({"Table", "name=Table\ncustomer=Familie Müller\nnote=Straße 5, far end tight", "Made"});
    JobId shelf = store.create({"Shelf", "name=Shelf\nwood of left=Walnut, black\nnote=glue ran out", "Made"});
    std::vector<JobId> find(std::string_view words) { return ids(store.search(words, extract)); }
};

TEST_F(Search, FindsWordsInAnyOrderAndPlaceByTheirBeginnings) {
    EXPECT_THAT(find("walnut"), ElementsAre(shelf));
    EXPECT_THAT(find("wal"), ElementsAre(shelf));
    EXPECT_THAT(find("black glue shelf"), ElementsAre(shelf));
    EXPECT_THAT(find("alnut"), IsEmpty()) << "not in the middle of a word";
    EXPECT_THAT(find("walnut table"), IsEmpty()) << "of two jobs";
    EXPECT_THAT(find("e"), ElementsAre(table)) << "end";
    EXPECT_THAT(find(""), IsEmpty());
    EXPECT_THAT(find(" \t -- \"\" "), IsEmpty());
}

TEST_F(Search, CapitalsAndAccentsDoNotMatter) {
    for (const char* words : {"MULLER", "müller", "Mu\xCC\x88ller", "Muller familie", "strasse", "STRASSE 5", "straße"})
        EXPECT_THAT(find(words), ElementsAre(table)) << words;
    EXPECT_EQ(folded("Łódź, Ærø & Œuvre; ŠĐ").text, "lodz aero oeuvre sd");
    EXPECT_EQ(folded("ΑΒΓ Жук").text, "αβγ жук");
    EXPECT_EQ(folded("½ in – 3 × 4").text, "in 3 4");
}

TEST_F(Search, TellsThePlaceAndMarksTheWords) {
    const Found found = store.search("tight mull", extract);
    ASSERT_EQ(found.jobs.size(), 1U);
    EXPECT_EQ(found.jobs[0].name, "Table");
    ASSERT_EQ(found.jobs[0].hits.size(), 2U);
    EXPECT_EQ(found.jobs[0].hits[0].place, "customer");
    EXPECT_EQ(text_of(found.jobs[0].hits[0]), "Familie [Müll]er");
    EXPECT_EQ(text_of(found.jobs[0].hits[1]), "Straße 5, far end [tight]");
    std::string longer(500, 'x');
    for (std::size_t i = 5; i < longer.size(); i += 6) longer[i] = ' ';
    Found::Hit hit{"", snippet(longer + "the gap was wide " + longer, {"gap"})};
    EXPECT_THAT(text_of(hit), ::testing::HasSubstr("the [gap] was wide"));
    EXPECT_THAT(text_of(hit), ::testing::StartsWith("… "));
    EXPECT_LT(text_of(hit).size(), 150U);
}

TEST_F(Search, FollowsChangesUndoDeletionAndRestoring) {
    EXPECT_THAT(find("oak"), IsEmpty());
    const auto changed = std::get<Saved>(store.change(table, 1, {"Table", "name=Table\nwood=Oak, white", "Oak"}));
    EXPECT_THAT(find("oak"), ElementsAre(table));
    EXPECT_THAT(find("muller"), IsEmpty());
    store.undo(table, changed.version);
    EXPECT_THAT(find("oak"), IsEmpty());
    EXPECT_THAT(find("muller"), ElementsAre(table));
    store.remove(table);
    EXPECT_THAT(find("muller"), IsEmpty()) << "a deleted job is not found";
    store.restore(table);
    EXPECT_THAT(find("muller"), ElementsAre(table));
    // The job changed last comes first.
    EXPECT_THAT(find("e"), ElementsAre(table));
    store.change(shelf, 1, {"Shelf", "note=end", "Words"});
    EXPECT_THAT(find("e"), ElementsAre(shelf, table));
    // Another window of another program sees it too.
    EXPECT_THAT(ids(Store(folder / "jobs.sqlite").search("muller", extract)), ElementsAre(table));
}

TEST_F(Search, OtherWordsAreTakenWhenTheWayOfTakingThemIsAnother) {
    EXPECT_THAT(find("walnut"), ElementsAre(shelf));
    EXPECT_THAT(
        ids(store.search("walnut", {2, [](const std::string&) { return std::vector<Spoken>{{"all", "plum"}}; }})),
        IsEmpty());
    EXPECT_EQ(ids(store.search("plum", {2, lines_of})).size(), 2U) << "taken already";
}

TEST_F(Search, ManyAreCutOffAndCounted) {
    for (int i = 0; i < 60; ++i) store.create({"Many", "note=plum\na=plum\nb=plum\nc=plum\nd=plum\ne=plum", "Made"});
    const Found found = store.search("plum", extract);
    EXPECT_EQ(found.jobs.size(), 50U);
    EXPECT_EQ(found.more, 10U);
    EXPECT_EQ(found.jobs[0].hits.size(), 4U);
    EXPECT_EQ(found.jobs[0].more, 2U);
}

// A file of the program before there was a search: its jobs are found, and it is copied first.
TEST(SearchLayout, AFileFromBeforeIsSearched) {
    const TemporaryFolder folder;
    const auto file = folder / "jobs.sqlite";
    {
        auto old = open_file(file, layouts().first(2));
        old.exec(
            "BEGIN; INSERT INTO job (change, version, moved) VALUES (1, 1, 1);"
            "INSERT INTO change (job, name, says, at, document) VALUES (1, 'Old', 'Made', '2026-01-01T00:00:00Z', "
            "CAST('note=plum' AS BLOB));"
            "INSERT INTO step (job, version, change, how, at) VALUES (1, 1, 1, 'made', '2026-01-01T00:00:00Z');"
            "COMMIT");
        EXPECT_EQ(old.execAndGet("PRAGMA user_version").getInt(), 2);
    }
    Store store(file);
    EXPECT_THAT(ids(store.search("plum", extract)), ElementsAre(1));
    EXPECT_TRUE(std::filesystem::exists(folder / "jobs.version-2.sqlite"));
    EXPECT_EQ(store.jobs().size(), 1U);
}

// No sign of the question is an operator, and none of it reaches SQL.
TEST_F(Search, QuotesAndOperatorsAreOrdinarySigns) {
    const std::vector<std::string> questions{"walnut\"",
                                             "\"walnut\" OR table",
                                             "walnut*",
                                             "-walnut",
                                             "walnut NOT black",
                                             "NEAR(walnut black)",
                                             "folded:walnut",
                                             "{folded job}: walnut",
                                             "walnut) OR (table",
                                             "'; DROP TABLE job; --",
                                             "%' OR '1'='1",
                                             "wal_ut%",
                                             "^walnut",
                                             "walnut + black",
                                             std::string("walnut\0black", 12),
                                             "\xff\xfe walnut",
                                             "\xC3",
                                             std::string(5000, '"'),
                                             std::string(5000, 'w')};
    for (const std::string& question : questions) {
        EXPECT_NO_THROW(find(question)) << question.substr(0, 30);
    }
    EXPECT_THAT(find("walnut\""), ElementsAre(shelf));
    EXPECT_THAT(find("-walnut*"), ElementsAre(shelf));
    EXPECT_THAT(find("\"walnut\" OR table"), IsEmpty()) << "\"or\" is a word like any other";
    EXPECT_THAT(find(std::string("walnut\0black", 12)), ElementsAre(shelf));
    EXPECT_THAT(find("\xff\xfe walnut"), ElementsAre(shelf));
    EXPECT_THAT(find("wal_ut%"), IsEmpty());
    EXPECT_EQ(store.jobs().size(), 2U);
}

RC_GTEST_PROP(AnySearch, AnyBytesAreAQuestion, (const std::string& question, const std::string& text)) {
    const TemporaryFolder folder;
    Store store(folder / "jobs.sqlite");
    const Extract whole{1, [](const std::string& document) { return std::vector<Spoken>{{"all", document}}; }};
    const JobId id = store.create({"Job", text, "Made"});
    for (const auto& job : store.search(question, whole).jobs) {
        RC_ASSERT(job.id == id);
        RC_ASSERT(!job.hits.empty());
    }
    // What a text says is found in it.
    const auto words = words_of(text);
    RC_ASSERT(store.search(text, whole).jobs.size() == (words.empty() ? 0U : 1U));
}

// With FTS5 and without it the same is found.
RC_GTEST_PROP(AnySearch, IsTheSameWithoutFullText, ()) {
    const auto word = [] {
        return rc::gen::element<std::string>("a", "ab", "abc", "Ábç", "b", "ba", "é", "Éa", "ss", "ß", "1", "12", "½",
                                             "жук", "Ж", "木", "木材", "-", "ø", "…", "\xff");
    };
    const auto text = [&](int most) {
        std::string out;
        for (int i = *rc::gen::inRange(0, most); i > 0; --i)
            out += *word() + *rc::gen::element<std::string>(" ", ", ", "", "-", "\n");
        return out;
    };
    const TemporaryFolder folder;
    Store store(folder / "jobs.sqlite");
    const Extract whole{1, [](const std::string& document) { return std::vector<Spoken>{{"all", document}}; }};
    for (int i = 0; i < 4; ++i) store.create({"Job", text(6), "Made"});
    const std::string question = text(4);
    const Found found = store.search(question, whole);
    SQLite::Database database((folder / "jobs.sqlite").string(), SQLite::OPEN_READWRITE);
    SearchIndex plain(false), full(has_full_text());
    RC_ASSERT(ids(plain.find(database, words_of(question))) == ids(found));
    RC_ASSERT(ids(full.find(database, words_of(question))) == ids(found));
}

TEST(SearchIndexHere, HasFullText) {
    EXPECT_TRUE(has_full_text()) << "Debian's SQLite has FTS5; without it the slower way is taken";
}

}  // namespace
}  // namespace seamwright::store
