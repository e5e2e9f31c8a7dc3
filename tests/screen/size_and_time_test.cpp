// What a drag costs. Times are printed and only bounded loosely here, because tests run on any machine in any build;
// bench/ measures.

#include <gtest/gtest.h>

#include <chrono>
#include <cstdio>

#include "screens.h"

namespace seamwright::screen::testing {
namespace {

double fastest_ms(const edit::OpenJob& job, const Around& around) {
    double best = 1e9;
    for (int i = 0; i < 40; ++i) {
        const auto begin = std::chrono::steady_clock::now();
        const std::string text = write_screen(job, around);
        best =
            std::min(best, std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - begin).count());
    }
    return best;
}

TEST(Size, a_live_screen_is_small_enough_to_send_at_every_move) {
    for (const auto& name : example_names()) {
        const auto job = example(name);
        Around around;
        const double full_ms = fastest_ms(job, around);
        const std::size_t full = write_screen(job, around).size();
        around.live = true;
        const double live_ms = fastest_ms(job, around);
        const std::size_t live = write_screen(job, around).size();
        std::printf("%s: live %.2f ms, %zu bytes; full %.2f ms, %zu bytes\n", name.c_str(), live_ms, live, full_ms,
                    full);
        // The round table is the yardstick; the hall console has a seam more with pins.
        EXPECT_LT(live, name == "round-table" ? 120'000u : 130'000u) << name;
        EXPECT_LT(full, 1'000'000u) << name;
    }
}

}  // namespace
}  // namespace seamwright::screen::testing
