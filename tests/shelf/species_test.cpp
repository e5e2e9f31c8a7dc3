#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string>

#include "shelf/data_table.h"
#include "shelf/shelf.h"

namespace seamwright::shelf {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

std::string found(const std::string& name) {
    const Species* species = find_species(name);
    return species == nullptr ? "" : species->name;
}

// data/lumber.csv holds densities computed apart from this program from the Wood Handbook (chapter 5, and Eq 4-14:
// 1000 × SG12 × 1.12), rounded to whole kg/m³.
TEST(Species, DensitiesOfTheHandbook) {
    const Table lumber = data_table("lumber.csv");
    const auto rows = lumber.rows_where("topic", "density");
    EXPECT_EQ(rows.size(), 62u);
    EXPECT_EQ(rows.size(), all_species().size());
    for (const std::size_t row : rows) {
        const std::string& name = lumber.cell(row, "item");
        SCOPED_TRACE(name);
        const Species* species = find_species(name);
        ASSERT_NE(species, nullptr);
        EXPECT_EQ(species->name, name);
        EXPECT_LE(std::abs(species->density_kg_m3 - lumber.number(row, "value_low").value()), 0.5 + 1e-9);
        // "SG 0.55, memory": the table says of each whether its specific gravity was read.
        const bool from_memory = lumber.cell(row, "source").find("memory") != std::string::npos;
        EXPECT_EQ(species->from_memory, from_memory);
    }
}

TEST(Species, SourcesSayWhatIsFromMemory) {
    std::size_t from_memory = 0;
    for (const Species& species : all_species()) {
        SCOPED_TRACE(species.name);
        EXPECT_THAT(species.source, HasSubstr("Wood Handbook"));
        EXPECT_EQ(species.source.find("from memory") != std::string::npos, species.from_memory);
        if (species.from_memory) ++from_memory;
    }
    EXPECT_EQ(from_memory, 16u);
    // Walnut's row is partly read, but not its specific gravity.
    EXPECT_TRUE(find_species("Walnut, black")->from_memory);
    EXPECT_FALSE(find_species("Cherry, black")->from_memory);
}

TEST(Species, HardAndSoft) {
    EXPECT_TRUE(find_species("Yellow-poplar")->hardwood);
    EXPECT_FALSE(find_species("Redcedar, eastern")->hardwood);
    EXPECT_EQ(std::count_if(all_species().begin(), all_species().end(), [](const Species& s) { return s.hardwood; }),
              44);
}

TEST(Species, WithoutASpecificGravityIsLeftOut) {
    EXPECT_EQ(find_species("Honeylocust"), nullptr);
    EXPECT_THAT(species_meant_by("Honeylocust"), IsEmpty());
}

TEST(Species, NamesInAnyOrderAndCase) {
    for (const char* name : {"Walnut, black", "black walnut", "WALNUT BLACK", " Black  Walnut ", "black-walnut",
                             "walnut", "American walnut", "American black walnut"}) {
        EXPECT_EQ(found(name), "Walnut, black") << name;
    }
    EXPECT_EQ(found("yellow poplar"), "Yellow-poplar");
    EXPECT_EQ(found("poplar"), "Yellow-poplar");
    EXPECT_EQ(found("black oak"), "Oak, black (red group)");
    EXPECT_EQ(found("oak, black (red group)"), "Oak, black (red group)");
    EXPECT_EQ(found("eastern red cedar"), "Redcedar, eastern");
    EXPECT_EQ(found("eastern redcedar"), "Redcedar, eastern");
    EXPECT_EQ(found("douglas fir"), "Douglas-fir, coast");
}

TEST(Species, TradeNames) {
    EXPECT_EQ(found("cherry"), "Cherry, black");
    EXPECT_EQ(found("hard maple"), "Maple, sugar");
    EXPECT_EQ(found("white oak"), "Oak, white");
    EXPECT_EQ(found("red oak"), "Oak, northern red");
    EXPECT_EQ(found("ash"), "Ash, white");
    EXPECT_EQ(found("beech"), "Beech, American");
}

TEST(Species, NamesThatMeanSeveralAreNotGuessedAt) {
    EXPECT_EQ(find_species("oak"), nullptr);
    EXPECT_THAT(species_meant_by("Oak"),
                ElementsAre("Oak, black (red group)", "Oak, northern red", "Oak, southern red",
                            "Oak, bur (white group)", "Oak, chestnut (white group)", "Oak, white"));
    EXPECT_EQ(find_species("soft maple"), nullptr);
    EXPECT_THAT(species_meant_by("soft maple"), ElementsAre("Maple, red", "Maple, silver"));
    EXPECT_EQ(species_meant_by("maple").size(), 5u);
    EXPECT_THAT(species_meant_by("cherry"), ElementsAre("Cherry, black"));
    EXPECT_THAT(species_meant_by("driftwood"), IsEmpty());
}

// A word for several species must stand for all of them: every "Maple, …" of the table is meant by "maple".
TEST(Species, GroupsAreComplete) {
    for (const std::string group : {"Maple", "Oak", "Pine", "Spruce", "Magnolia"}) {
        std::vector<std::string> members;
        for (const Species& species : all_species()) {
            if (species.name.rfind(group + ",", 0) == 0) members.push_back(species.name);
        }
        EXPECT_THAT(members, Not(IsEmpty()));
        EXPECT_EQ(species_meant_by(group), members) << group;
    }
}

TEST(Species, EveryNameIsItsOwn) {
    std::set<std::string> names;
    for (const Species& species : all_species()) {
        EXPECT_TRUE(names.insert(species.name).second) << species.name;
        EXPECT_EQ(found(species.name), species.name);
        EXPECT_EQ(nearest_species(species.name), species.name);
    }
}

TEST(NearestSpecies, SlipsOfThePen) {
    EXPECT_EQ(nearest_species("wallnut"), "Walnut, black");
    EXPECT_EQ(nearest_species("Walnut, blakc"), "Walnut, black");
    EXPECT_EQ(nearest_species("chery"), "Cherry, black");
    EXPECT_EQ(nearest_species("hard mapel"), "Maple, sugar");
    EXPECT_EQ(nearest_species("sitka sprus"), "Spruce, Sitka");
    EXPECT_EQ(nearest_species("Duglas-fir"), "Douglas-fir, coast");
    EXPECT_EQ(nearest_species("oak"), "Oak, black (red group)");
}

TEST(NearestSpecies, AnswersToAnything) {
    for (const std::string& name :
         {std::string(), std::string("(("), std::string("\xFF\xFE"), std::string(1'000'000, 'w')}) {
        EXPECT_NE(find_species(nearest_species(name)), nullptr);
        EXPECT_EQ(find_species(name), nullptr);
    }
}

TEST(Guide, BoreWhenNotMeasured) {
    // Inside 2 × 1.5 mm under the outside (common practice).
    EXPECT_EQ((Guide{.name = "", .outside = {30.0, {}}, .bore_mm = {}}.bore_or_default_mm()), 27.0);
    EXPECT_EQ((Guide{.name = "", .outside = {30.0, 29.9}, .bore_mm = {}}.bore_or_default_mm()), 26.9);
    EXPECT_EQ((Guide{.name = "", .outside = {30.0, 29.9}, .bore_mm = 26.0}.bore_or_default_mm()), 26.0);
}

}  // namespace
}  // namespace seamwright::shelf
