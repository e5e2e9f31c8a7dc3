#include "app/exchange.h"

#include <gtest/gtest.h>

#include <system_error>

#include "temporary_folder.h"

namespace seamwright::app {
namespace {

using test::contents;
using test::get;
using test::put;
using test::TemporaryFolder;

class Exchanging : public ::testing::Test {
  protected:
    void SetUp() override {
        for (const char* name : {"papers", "new", "old"}) std::filesystem::create_directory(base / name);
        put(base / "papers/plan.json", "old plan");
        put(base / "papers/left.pdf", "old left");
        put(base / "papers/gone.pdf", "old gone");
        put(base / "new/plan.json", "new plan");
        put(base / "new/right.pdf", "new right");
    }
    void exchange_all(Exchange& exchange) {
        exchange.place(base / "new/plan.json", "plan.json");
        exchange.place(base / "new/right.pdf", "right.pdf");
        exchange.remove("gone.pdf");
    }
    TemporaryFolder base;
};

TEST_F(Exchanging, PutsNewFilesInThePlaceOfOldOnes) {
    {
        Exchange exchange(base / "papers", base / "old");
        exchange_all(exchange);
        exchange.keep();
    }
    const std::map<std::string, std::string> expected = {
        {"left.pdf", "old left"}, {"plan.json", "new plan"}, {"right.pdf", "new right"}};
    EXPECT_EQ(contents(base / "papers"), expected);
}

TEST_F(Exchanging, IsTakenBackWhenItFailsAtTheLastFile) {
    const auto before = contents(base / "papers");
    try {
        Exchange exchange(base / "papers", base / "old");
        exchange_all(exchange);
        exchange.place(base / "new/missing.pdf", "missing.pdf");
        FAIL() << "a file that is not there was placed";
    } catch (const std::system_error& failure) {
        EXPECT_EQ(failure.code(), std::errc::no_such_file_or_directory);
    }
    EXPECT_EQ(contents(base / "papers"), before);
}

TEST_F(Exchanging, IsTakenBackWhenAReplacementFails) {
    const auto before = contents(base / "papers");
    try {
        Exchange exchange(base / "papers", base / "old");
        exchange_all(exchange);
        exchange.place(base / "new/missing.pdf", "left.pdf");
        FAIL() << "a file that is not there was placed";
    } catch (const std::system_error&) {
    }
    EXPECT_EQ(contents(base / "papers"), before);
}

// The list of files is placed twice in one exchange.
TEST_F(Exchanging, IsTakenBackWhenOneNameWasPlacedTwice) {
    const auto before = contents(base / "papers");
    {
        Exchange exchange(base / "papers", base / "old");
        exchange.place(base / "new/plan.json", "plan.json");
        exchange.place(base / "new/right.pdf", "plan.json");
        EXPECT_EQ(get(base / "papers/plan.json"), "new right");
    }
    EXPECT_EQ(contents(base / "papers"), before);
}

}  // namespace
}  // namespace seamwright::app
