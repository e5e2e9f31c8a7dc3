#include "wood/movement.h"

#include <gtest/gtest.h>

#include "shelf/shelf.h"

namespace seamwright::wood {
namespace {

// Wood Handbook, table 13-5, worked examples as reprinted (reference/movement_examples.md): white oak 5 in wide from 6
// to 9 % swells by 0.055 in (read); red alder 8 in by 6 points, 0.1248 in with the rounded 0.0026 (read).
TEST(Movement, TheHandbooksExamples) {
    EXPECT_NEAR(5.0 * movement_of("white oak")->tangential * 3.0, 0.055, 0.0005);
    EXPECT_NEAR(8.0 * movement_of("red alder")->tangential * 6.0, 0.1248, 0.002);
}

TEST(Movement, AcrossTheRingsLessThanAlongThem) {
    for (const shelf::Species& species : shelf::all_species()) {
        const auto movement = movement_of(species.name);
        if (!movement) continue;
        EXPECT_GT(movement->tangential, movement->radial) << species.name;
        EXPECT_GT(movement->radial, 0.0005) << species.name;
        EXPECT_LT(movement->tangential, 0.006) << species.name;
    }
}

TEST(Movement, UnknownWoodHasNone) {
    EXPECT_FALSE(movement_of("marble"));
    // The table's black oak is another tree.
    EXPECT_FALSE(movement_of("Oak, black (red group)"));
}

}  // namespace
}  // namespace seamwright::wood
