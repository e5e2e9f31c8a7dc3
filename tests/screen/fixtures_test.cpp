// Writes the screens of the examples where SEAMWRIGHT_SCREENS names a folder, for whoever works on the page without
// the server.

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "screens.h"

namespace seamwright::screen::testing {
namespace {

TEST(Fixtures, write_screens_when_asked) {
    const char* folder = std::getenv("SEAMWRIGHT_SCREENS");
    if (folder == nullptr) GTEST_SKIP() << "set SEAMWRIGHT_SCREENS to a folder";
    std::filesystem::create_directories(folder);
    for (const auto& name : example_names()) {
        const auto job = example(name);
        Around around;
        around.id = 1;
        around.version = 1;
        std::string text = write_screen(job, around);
        text.insert(1, "\"engine_us\":0,");
        std::ofstream(std::filesystem::path(folder) / (name + ".json"), std::ios::binary) << text;
        std::ofstream(std::filesystem::path(folder) / (name + "-shop.json"), std::ios::binary)
            << write_shop_view(job, 1);
        EXPECT_TRUE(std::filesystem::exists(std::filesystem::path(folder) / (name + ".json")));
    }
}

}  // namespace
}  // namespace seamwright::screen::testing
