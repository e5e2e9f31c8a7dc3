#pragma once

#include <gtest/gtest.h>

#include "paper/drawing.h"

namespace seamwright::paper::test {

/// Nothing of a laid out page comes nearer to the edge of its sheet than a printer can reach.
inline void expect_on_its_sheet(const Drawing& page) {
    ASSERT_TRUE(page.laid_out_on);
    const Box box = page.box();
    constexpr double clear_mm = 3.0;
    EXPECT_GE(box.low.x, clear_mm);
    EXPECT_GE(box.low.y, clear_mm);
    EXPECT_LE(box.high.x, page.laid_out_on->width_mm - clear_mm);
    EXPECT_LE(box.high.y, page.laid_out_on->height_mm - clear_mm);
}

}  // namespace seamwright::paper::test
