#include "app/read_files.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <sstream>

#include "temporary_folder.h"

namespace seamwright::app {
namespace {

using test::put;
using test::TemporaryFolder;
using ::testing::HasSubstr;

class Fetching : public ::testing::Test {
  protected:
    void SetUp() override {
        std::filesystem::create_directories(folder / "jobs/traces");
        put(folder / "jobs/edge.csv", "0,0\n");
        put(folder / "jobs/traces/edge.csv", "1,1\n");
        put(folder / "secret.csv", "7,7\n");
        put(folder / "jobs/job.json", "{}");
    }
    std::optional<std::string> fetch(const std::string& name) {
        why.clear();
        return fetch_beside((folder / "jobs/job.json").string())(name, why);
    }
    TemporaryFolder folder;
    std::string why;

    static void create_link(const std::filesystem::path& to, const std::filesystem::path& link) {
        std::filesystem::create_symlink(to, link);
    }
};

TEST_F(Fetching, TakesFilesBesideTheJobAndBelow) {
    EXPECT_EQ(fetch("edge.csv"), "0,0\n");
    EXPECT_EQ(fetch("traces/edge.csv"), "1,1\n");
    EXPECT_EQ(fetch("./traces/../edge.csv"), "0,0\n");
}

TEST_F(Fetching, StaysInTheFolder) {
    EXPECT_FALSE(fetch("../secret.csv"));
    EXPECT_THAT(why, HasSubstr("leads out"));
    EXPECT_FALSE(fetch("traces/../../secret.csv"));
    EXPECT_THAT(why, HasSubstr("leads out"));
    EXPECT_FALSE(fetch((folder / "jobs/edge.csv").string()));
    EXPECT_THAT(why, HasSubstr("in the folder of the job"));
    create_link(folder / "secret.csv", folder / "jobs/link.csv");
    EXPECT_FALSE(fetch("link.csv"));
    EXPECT_THAT(why, HasSubstr("leads out"));
    create_link(folder.path(), folder / "jobs/up");
    EXPECT_FALSE(fetch("up/secret.csv"));
    EXPECT_THAT(why, HasSubstr("leads out"));
}

TEST_F(Fetching, FollowsLinksThatStayInside) {
    create_link(folder / "jobs/traces/edge.csv", folder / "jobs/link.csv");
    EXPECT_EQ(fetch("link.csv"), "1,1\n");
}

TEST_F(Fetching, SaysWhatIsWrong) {
    EXPECT_FALSE(fetch("none.csv"));
    EXPECT_THAT(why, HasSubstr("no such file"));
    EXPECT_FALSE(fetch(""));
    EXPECT_FALSE(fetch(std::string("edge.csv\0x", 10)));
    EXPECT_THAT(why, HasSubstr("no file name"));
    EXPECT_FALSE(fetch("traces"));
    EXPECT_THAT(why, HasSubstr("not an ordinary file"));
}

// A pipe without a writer would keep the program waiting for ever.
TEST_F(Fetching, DoesNotWaitForAPipe) {
    ASSERT_EQ(::mkfifo((folder / "jobs/pipe.csv").c_str(), 0600), 0);
    EXPECT_FALSE(fetch("pipe.csv"));
    EXPECT_THAT(why, HasSubstr("not an ordinary file"));
}

TEST(JobText, ComesFromFileOrStandardInput) {
    const TemporaryFolder folder;
    put(folder / "job.json", std::string("{\0}", 3));
    std::istringstream in("[]");
    EXPECT_EQ(std::get<std::string>(read_job_text((folder / "job.json").string(), in)), std::string("{\0}", 3));
    EXPECT_EQ(std::get<std::string>(read_job_text("-", in)), "[]");
}

TEST(JobText, RefusesWhatIsNotThereAndWhatIsAFolder) {
    const TemporaryFolder folder;
    std::istringstream in;
    const auto missing = std::get<FileRefusal>(read_job_text((folder / "none.json").string(), in));
    EXPECT_THAT(missing.reason, HasSubstr("No such file"));
    const auto directory = std::get<FileRefusal>(read_job_text(folder.path().string(), in));
    EXPECT_THAT(directory.reason, HasSubstr("is a folder"));
}

TEST(JobText, IsBounded) {
    const TemporaryFolder folder;
    put(folder / "job.json", "");
    std::filesystem::resize_file(folder / "job.json", job::largest_document_bytes);
    std::istringstream in;
    const auto most = read_job_text((folder / "job.json").string(), in);
    EXPECT_EQ(std::get<std::string>(most).size(), job::largest_document_bytes);
    std::filesystem::resize_file(folder / "job.json", 1ULL << 40U);
    const auto refused = read_job_text((folder / "job.json").string(), in);
    EXPECT_THAT(std::get<FileRefusal>(refused).reason, HasSubstr("larger than 64 MiB"));
}

}  // namespace
}  // namespace seamwright::app
