// Bringing an older file up to date, tried with a layout that is invented here, and with those there are.
#include "layout.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <thread>

#include "app/temporary_folder.h"
#include "copies.h"
#include "open_file.h"
#include "store/store.h"

namespace seamwright::store {
namespace {

using test::TemporaryFolder;
namespace fs = std::filesystem;

const std::vector<const char*> next_layouts = {layouts()[0], layouts()[1], layouts()[2],
                                               "ALTER TABLE shelf ADD COLUMN note TEXT"};

int version_of(const fs::path& file) {
    return SQLite::Database(file.string(), SQLite::OPEN_READONLY).execAndGet("PRAGMA user_version").getInt();
}

TEST(Layout, IsWhatTheHeaderPromises) {
    const TemporaryFolder folder;
    const auto file = folder / "jobs.sqlite";
    auto database = open_file(file, layouts());
    EXPECT_EQ(database.execAndGet("PRAGMA journal_mode").getString(), "wal");
    EXPECT_EQ(database.execAndGet("PRAGMA synchronous").getInt(), 2);
    EXPECT_EQ(database.execAndGet("PRAGMA foreign_keys").getInt(), 1);
    EXPECT_EQ(database.execAndGet("PRAGMA application_id").getInt(), application_id);
    EXPECT_EQ(database.execAndGet("SELECT count(*) FROM pragma_table_list WHERE name NOT LIKE 'sqlite%' AND NOT strict")
                  .getInt(),
              0);
    EXPECT_EQ(database.execAndGet("SELECT count(*) FROM pragma_table_list WHERE name NOT LIKE 'sqlite%'").getInt(), 8);
}

TEST(Layout, AFileFromBeforeThereWerePicturesTakesThem) {
    const TemporaryFolder folder;
    const auto file = folder / "jobs.sqlite";
    open_file(file, layouts().first(1));
    EXPECT_EQ(version_of(file), 1);
    Store store(file);
    EXPECT_EQ(version_of(file), 3);
    const std::string bytes("\xff\xd8\0\xff", 4);
    EXPECT_FALSE(store.has_picture("a.jpg"));
    EXPECT_FALSE(store.picture("a.jpg"));
    store.keep_picture("a.jpg", bytes);
    store.keep_picture("a.jpg", "others");
    EXPECT_TRUE(store.has_picture("a.jpg"));
    EXPECT_EQ(store.picture("a.jpg"), bytes);
    EXPECT_EQ(Store(file).picture("a.jpg"), bytes);
}

TEST(Layout, AnOlderFileIsCopiedAndBroughtUpToDate) {
    const TemporaryFolder folder;
    const auto file = folder / "jobs.sqlite";
    JobId id = 0;
    {
        Store store(file);
        id = store.create({"Top", "0", "Made"});
        // Another program has it open: what is still in its log is in the copy.
        open_file(file, next_layouts);
    }
    EXPECT_EQ(version_of(file), 4);
    const auto copies = copies_of(file);
    ASSERT_EQ(copies.size(), 1U);
    EXPECT_EQ(copies[0], folder / "jobs.version-3.sqlite");
    EXPECT_EQ(version_of(copies[0]), 3);
    const Store copy(copies[0]);
    EXPECT_EQ(std::get<Saved>(copy.find(id)).document, "0");
    // It is copied once, and an older program says that it is too old.
    open_file(file, next_layouts);
    EXPECT_EQ(copies_of(file).size(), 1U);
    EXPECT_THROW(Store{file}, StoreFailure);
}

TEST(Layout, AFailureOnTheWayLeavesTheOlderFile) {
    const TemporaryFolder folder;
    const auto file = folder / "jobs.sqlite";
    Store(file).create({"Top", "0", "Made"});
    auto broken = next_layouts;
    broken.push_back("CREATE TABLE job (id)");
    for (std::size_t time = 1; time <= 2; ++time) {
        EXPECT_THROW(open_file(file, broken), StoreFailure);
        EXPECT_EQ(version_of(file), 3);
        EXPECT_EQ(copies_of(file).size(), time);
    }
    EXPECT_EQ(Store(file).jobs().size(), 1U);
}

TEST(Layout, SeveralProgramsBringItUpToDateOnce) {
    const TemporaryFolder folder;
    const auto file = folder / "jobs.sqlite";
    Store(file).create({"Top", "0", "Made"});
    std::vector<std::thread> programs;
    for (int program = 0; program < 5; ++program) programs.emplace_back([&] { open_file(file, next_layouts); });
    for (auto& program : programs) program.join();
    EXPECT_EQ(version_of(file), 4);
    EXPECT_EQ(copies_of(file).size(), 1U);
}

}  // namespace
}  // namespace seamwright::store
