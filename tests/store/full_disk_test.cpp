#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/resource.h>

#include <csignal>
#include <random>

#include "app/temporary_folder.h"
#include "store/in_child.h"
#include "store/store.h"
#include "store/whole_document.h"

namespace seamwright::store {
namespace {

using test::in_child;
using test::put;
using test::TemporaryFolder;
using ::testing::HasSubstr;
namespace fs = std::filesystem;

constexpr std::size_t document_size = 30'000;

std::string document(std::mt19937_64& random) {
    return test::with_checksum(test::random_bytes(random, document_size));
}

/// Saves until there is no room; gives how often it went well, and what was told then.
std::string save_until_full(Store& store, JobId id, std::mt19937_64& random, std::string& last) {
    for (int count = 0; count < 1000; ++count) {
        std::string next = document(random);
        try {
            const Saved now = std::get<Saved>(store.find(id));
            store.change(id, now.version, {"Top", next, "Rise set"});
            last = std::move(next);
        } catch (const StoreFailure& why) {
            return why.what();
        }
    }
    return "never full";
}

/// Fills the disk, then looks whether what was saved before is there, makes room and goes on.
std::string fill_and_go_on(const fs::path& file, const std::function<void()>& make_room) {
    std::mt19937_64 random(6);
    std::string last = document(random);
    Store store(file);
    const JobId id = store.create({"Top", last, "Made"});
    const std::string told = save_until_full(store, id, random, last);
    if (told.find("no room left on the disk") == std::string::npos) return told;
    const Saved now = std::get<Saved>(store.find(id));
    if (now.document != last) return "not what was saved last";
    if (store.history(id).size() != static_cast<std::size_t>(now.version)) return "a torn history";
    if (now.version < 5) return "full too soon";
    // A full disk stays full: told again, and nothing changes.
    if (save_until_full(store, id, random, last).find("no room left") == std::string::npos) return "told once only";
    make_room();
    if (std::get<Saved>(store.change(id, std::get<Saved>(store.find(id)).version, {"Top", "{}", "Rise set"}))
            .document != "{}") {
        return "does not go on";
    }
    const Store again(file);
    return std::get<Saved>(again.find(id)).document == "{}" ? "well" : "lost";
}

TEST(FullDisk, IsToldAndNothingIsLost) {
    const TemporaryFolder folder;
    const auto file = folder / "jobs.sqlite";
    const std::string told = in_child([&] {
        std::signal(SIGXFSZ, SIG_IGN);
        rlimit limit{};
        ::getrlimit(RLIMIT_FSIZE, &limit);
        const rlimit small{1'000'000, limit.rlim_max};
        ::setrlimit(RLIMIT_FSIZE, &small);
        return fill_and_go_on(file, [&] { ::setrlimit(RLIMIT_FSIZE, &limit); });
    });
    EXPECT_EQ(told, "well");
}

/// A disk of its own for this process; false where the system does not allow that.
bool mount_small_disk(const fs::path& folder) {
    const auto user = ::geteuid(), group = ::getegid();
    // Who may not mount becomes root of a world of his own first.
    if (::unshare(CLONE_NEWNS | (user == 0 ? 0 : CLONE_NEWUSER)) != 0) return false;
    if (user != 0) {
        try {
            put("/proc/self/setgroups", "deny");
            put("/proc/self/uid_map", fmt::format("0 {} 1", user));
            put("/proc/self/gid_map", fmt::format("0 {} 1", group));
        } catch (const std::exception&) {
            return false;
        }
    }
    return ::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) == 0 &&
           ::mount("tmpfs", folder.c_str(), "tmpfs", 0, "size=1m") == 0;
}

TEST(FullDisk, OfARealSmallDisk) {
    const TemporaryFolder folder;
    const std::string told = in_child([&]() -> std::string {
        if (!mount_small_disk(folder.path())) return "no disk";
        put(folder / "other", std::string(100'000, ' '));
        return fill_and_go_on(folder / "jobs.sqlite", [&] { fs::remove(folder / "other"); });
    });
    if (told == "no disk") GTEST_SKIP() << "this system does not let a process have a disk of its own";
    EXPECT_EQ(told, "well");
}

/// From no room at all to room enough: the file is made whole or the maker is told.
TEST(FullDisk, WhileTheFileIsMade) {
    const TemporaryFolder folder;
    const std::string told = in_child([&]() -> std::string {
        if (!mount_small_disk(folder.path())) return "no disk";
        int refused = 0, made = 0;
        // tmpfs gives room in pages of 4 KiB; the file takes about 70 of them with its log.
        for (std::size_t room = 0; room < 100; ++room) {
            put(folder / "other", "");
            for (const auto& entry : fs::directory_iterator(folder.path())) fs::remove(entry.path());
            const auto all = fs::space(folder.path()).available / 4096;
            put(folder / "other", std::string((all - room) * 4096, ' '));
            try {
                Store store(folder / "jobs.sqlite");
                store.create({"Top", "{}", "Made"});
                ++made;
            } catch (const StoreFailure& why) {
                if (why.reason().find("no room left") == std::string::npos) return why.what();
                ++refused;
            }
            fs::remove(folder / "other");
            Store store(folder / "jobs.sqlite");
            if (store.jobs().size() > 1) return "twice";
            store.create({"Top", "{}", "Made"});
        }
        return refused > 5 && made > 5 ? "well" : fmt::format("refused {}, made {}", refused, made);
    });
    if (told == "no disk") GTEST_SKIP() << "this system does not let a process have a disk of its own";
    EXPECT_EQ(told, "well");
}

}  // namespace
}  // namespace seamwright::store
