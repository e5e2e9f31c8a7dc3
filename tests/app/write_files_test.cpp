#include "app/write_files.h"

#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/file.h>
#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdlib>

#include "temporary_folder.h"

namespace seamwright::app {
namespace {

using test::contents;
using test::get;
using test::put;
using test::TemporaryFolder;
using ::testing::HasSubstr;

namespace fs = std::filesystem;

const std::vector<OutputFile> first = {{"plan.json", "{}\n"}, {"front-left.pdf", "left"}, {"overview.svg", "<svg/>"}};
const std::vector<OutputFile> second = {{"plan.json", "{ }\n"}, {"front-right.pdf", "right"}};

/// The files of a folder without the list.
std::map<std::string, std::string> papers(const fs::path& folder) {
    auto found = contents(folder);
    found.erase(list_name);
    return found;
}

std::map<std::string, std::string> as_map(const std::vector<OutputFile>& files) {
    std::map<std::string, std::string> map;
    for (const auto& file : files) map[file.name] = file.bytes;
    return map;
}

TEST(WriteFiles, MakesTheFolderAndThoseAbove) {
    const TemporaryFolder base;
    EXPECT_FALSE(write_files(base / "out/console", first));
    EXPECT_EQ(papers(base / "out/console"), as_map(first));
    EXPECT_EQ(contents(base.path()).count("out/console/"), 1U);
    EXPECT_EQ(contents(base.path()).size(), 2 + first.size() + 1) << "something was left behind";
}

// The form of coreutils' sha256sum; the digest of "left" was computed with it.
TEST(WriteFiles, LeavesAListThatSha256sumReads) {
    const TemporaryFolder base;
    ASSERT_FALSE(write_files(base / "out", {{"front-left.pdf", "left"}, {"a.txt", "abc"}}));
    EXPECT_EQ(get(base / "out/seamwright.sha256"),
              // FIPS 180-4 example B.1: SHA-256 of "abc".
              "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  a.txt\n"
              "360f84035942243c6a36537ae2f8673485e6c04455a0a85a0db19690f2541480  front-left.pdf\n");
}

TEST(WriteFiles, ReplacesItsOwnAndRemovesWhatIsNoLongerMade) {
    const TemporaryFolder base;
    ASSERT_FALSE(write_files(base / "out/", first));
    ASSERT_FALSE(write_files(base / "out", second));
    EXPECT_EQ(papers(base / "out"), as_map(second));
    ASSERT_FALSE(write_files(base / "out", first));
    EXPECT_EQ(papers(base / "out"), as_map(first));
}

TEST(WriteFiles, LeavesForeignFilesAlone) {
    const TemporaryFolder base;
    fs::create_directories(base / "out/photos");
    put(base / "out/notes.txt", "walnut from the loft");
    ASSERT_FALSE(write_files(base / "out", first));
    ASSERT_FALSE(write_files(base / "out", second));
    auto expected = as_map(second);
    expected["notes.txt"] = "walnut from the loft";
    expected["photos/"] = "";
    EXPECT_EQ(papers(base / "out"), expected);
}

TEST(WriteFiles, DoesNotReplaceAForeignFileOfTheSameName) {
    const TemporaryFolder base;
    fs::create_directory(base / "out");
    put(base / "out/plan.json", "somebody else's");
    const auto before = contents(base.path());
    const auto refused = write_files(base / "out", first);
    ASSERT_TRUE(refused);
    EXPECT_THAT(refused->reason, HasSubstr("plan.json that this program did not write"));
    EXPECT_EQ(contents(base.path()), before);
}

TEST(WriteFiles, KeepsWhatTheMakerChanged) {
    const TemporaryFolder base;
    ASSERT_FALSE(write_files(base / "out", first));
    put(base / "out/overview.svg", "<svg>with notes</svg>");
    const auto before = contents(base.path());
    const auto refused = write_files(base / "out", first);
    ASSERT_TRUE(refused);
    EXPECT_THAT(refused->reason, HasSubstr("overview.svg that was changed"));
    EXPECT_EQ(contents(base.path()), before);
    // No longer made, so not in the way; but it is not thrown away either.
    ASSERT_FALSE(write_files(base / "out", second));
    EXPECT_EQ(get(base / "out/overview.svg"), "<svg>with notes</svg>");
}

TEST(WriteFiles, FollowsNoLinkOutOfTheFolder) {
    const TemporaryFolder base;
    fs::create_directory(base / "out");
    put(base / "precious", "keep");
    fs::create_symlink(base / "precious", base / "out/plan.json");
    EXPECT_TRUE(write_files(base / "out", first));
    EXPECT_EQ(get(base / "precious"), "keep");
}

TEST(WriteFiles, BelievesNoListThatLeadsOut) {
    const TemporaryFolder base;
    fs::create_directory(base / "out");
    put(base / "victim", "abc");
    put(base / "out" / list_name, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  ../victim\n");
    const auto refused = write_files(base / "out", first);
    ASSERT_TRUE(refused);
    EXPECT_THAT(refused->reason, HasSubstr("not the list"));
    EXPECT_EQ(get(base / "victim"), "abc");
}

TEST(WriteFiles, RefusesWhatIsNotAFolder) {
    const TemporaryFolder base;
    put(base / "file", "x");
    const auto before = contents(base.path());
    EXPECT_THAT(write_files(base / "file", first)->reason, HasSubstr("is not a folder"));
    EXPECT_THAT(write_files(base / "file/out", first)->reason, HasSubstr("cannot be written"));
    EXPECT_TRUE(write_files("", first));
    EXPECT_EQ(contents(base.path()), before);
}

/// Tests run as root in many places, and root may write everywhere: be nobody for a while.
class Nobody {
  public:
    Nobody() {
        if (was_root_) was_root_ = ::seteuid(65534) == 0;
    }
    Nobody(const Nobody&) = delete;
    Nobody& operator=(const Nobody&) = delete;
    ~Nobody() {
        if (was_root_ && ::seteuid(0) != 0) std::abort();
    }

  private:
    bool was_root_ = ::geteuid() == 0;
};

TEST(WriteFiles, RefusesAFolderThatMayNotBeWritten) {
    const TemporaryFolder base;
    ASSERT_FALSE(write_files(base / "out", first));
    const auto read_only =
        fs::perms::owner_read | fs::perms::owner_exec | fs::perms::others_read | fs::perms::others_exec;
    fs::permissions(base.path(), read_only);
    fs::permissions(base / "out", read_only);
    const auto before = contents(base.path());
    {
        const Nobody nobody;
        EXPECT_THAT(write_files(base / "out", second)->reason, HasSubstr("Permission denied"));
        EXPECT_THAT(write_files(base / "out/new", first)->reason, HasSubstr("Permission denied"));
        EXPECT_THAT(write_files(base / "new/folder", first)->reason, HasSubstr("Permission denied"));
    }
    fs::permissions(base.path(), fs::perms::owner_all);
    fs::permissions(base / "out", fs::perms::owner_all);
    EXPECT_EQ(contents(base.path()), before);
}

// The same for everybody, root too: the kernel lets nobody make a folder there.
TEST(WriteFiles, SaysWhyTheSystemRefuses) {
    const auto refused = write_files("/proc/seamwright/out", first);
    ASSERT_TRUE(refused);
    EXPECT_THAT(refused->reason, HasSubstr("/proc/seamwright"));
    EXPECT_THAT(refused->reason, HasSubstr("Nothing was changed"));
}

/// Stands for a full disk: no file may grow beyond this.
class SmallFiles {
  public:
    explicit SmallFiles(rlim_t most) {
        ::getrlimit(RLIMIT_FSIZE, &before_);
        rlimit small = before_;
        small.rlim_cur = most;
        ::setrlimit(RLIMIT_FSIZE, &small);
        signal_ = std::signal(SIGXFSZ, SIG_IGN);
    }
    SmallFiles(const SmallFiles&) = delete;
    SmallFiles& operator=(const SmallFiles&) = delete;
    ~SmallFiles() {
        ::setrlimit(RLIMIT_FSIZE, &before_);
        std::signal(SIGXFSZ, signal_);
    }

  private:
    rlimit before_{};
    void (*signal_)(int) = nullptr;
};

TEST(WriteFiles, LeavesNothingHalfDoneWhenTheDiskIsFull) {
    const TemporaryFolder base;
    ASSERT_FALSE(write_files(base / "old", first));
    const auto before = contents(base.path());
    const std::vector<OutputFile> large = {{"plan.json", "new"}, {"roll.pdf", std::string(200'000, 'x')}};
    {
        const SmallFiles full(100'000);
        EXPECT_THAT(write_files(base / "old", large)->reason, HasSubstr("roll.pdf"));
        EXPECT_TRUE(write_files(base / "new/folder", large));
    }
    EXPECT_EQ(contents(base.path()), before);
    EXPECT_FALSE(write_files(base / "old", large));
    EXPECT_EQ(papers(base / "old"), as_map(large));
}

TEST(WriteFiles, ClearsUpAfterARunThatWasStopped) {
    const TemporaryFolder base;
    ASSERT_FALSE(write_files(base / "out", first));
    fs::create_directories(base / "out/.seamwright-unfinished-abcdef/new");
    put(base / "out/.seamwright-unfinished-abcdef/new/plan.json", "half");
    ASSERT_FALSE(write_files(base / "out", second));
    EXPECT_EQ(papers(base / "out"), as_map(second));
}

// The machine stopped in the middle of an exchange: the list knows the old and the new form of each file.
TEST(WriteFiles, KnowsItsFilesAfterAnExchangeThatStoppedHalfWay) {
    const TemporaryFolder base;
    ASSERT_FALSE(write_files(base / "old", first));
    ASSERT_FALSE(write_files(base / "new", second));
    fs::copy(base / "old", base / "out");
    fs::copy(base / "new/plan.json", base / "out/plan.json", fs::copy_options::overwrite_existing);
    // Both forms of plan.json, in the order of names, as the list is kept.
    std::string both = get(base / "old" / list_name) + get(base / "new" / list_name);
    put(base / "out" / list_name, both);
    ASSERT_FALSE(write_files(base / "out", second));
    EXPECT_EQ(papers(base / "out"), as_map(second));
}

TEST(WriteFiles, OneRunAtATime) {
    const TemporaryFolder base;
    fs::create_directory(base / "out");
    const int descriptor = ::open((base / "out").c_str(), O_RDONLY | O_DIRECTORY);
    ASSERT_EQ(::flock(descriptor, LOCK_EX), 0);
    EXPECT_THAT(write_files(base / "out", first)->reason, HasSubstr("Another run"));
    ::close(descriptor);
    EXPECT_FALSE(write_files(base / "out", first));
}

TEST(WriteFiles, WantsPlainNames) {
    const TemporaryFolder base;
    for (const char* name : {"", "../x", "a/b", ".hidden", "two\nlines", list_name}) {
        EXPECT_THROW(write_files(base / "out", {{name, "x"}}), std::invalid_argument) << name;
    }
    EXPECT_THROW(write_files(base / "out", {{"a", "x"}, {"a", "y"}}), std::invalid_argument);
    EXPECT_TRUE(contents(base.path()).empty());
}

}  // namespace
}  // namespace seamwright::app
