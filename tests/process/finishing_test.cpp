#include "process/finishing.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <set>
#include <sstream>

#include "shelf/table.h"
#include "source_folder.h"

namespace seamwright::process {
namespace {

using testing::AllOf;
using testing::AnyOf;
using testing::Contains;
using testing::HasSubstr;
using testing::Not;

TEST(Finishes, TheTableIsWhole) {
    std::set<std::string> ids;
    for (const FinishSystem& system : finish_systems()) {
        SCOPED_TRACE(system.id);
        EXPECT_TRUE(ids.insert(system.id).second);
        EXPECT_EQ(find_finish(system.id), &system);
        for (const Figure& f :
             {system.coats, system.solids_percent, system.wet_um, system.recoat_h, system.light_use_h, system.shipped_h,
              system.cured_d, system.temperature_c, system.humidity_percent, system.last_grit}) {
            EXPECT_GT(f.low, 0.0);
            EXPECT_LE(f.low, f.high);
        }
        EXPECT_LE(system.solids_percent.high, 100.0);
        EXPECT_LE(system.light_use_h.high, system.shipped_h.high);
        EXPECT_LE(system.recoat_h.low, system.light_use_h.low);
        EXPECT_LE(system.light_use_h.high, 24.0 * system.cured_d.high);
        if (system.sand_after_h) {
            EXPECT_GE(system.sand_after_h->low, system.recoat_h.high);
        }
        if (system.most_dry_um) {
            EXPECT_TRUE(system.builds);
            EXPECT_GE(system.most_dry_um->high, system.coats.low * system.dry_low_um())
                << "the usual coats, put on thin, must be allowed";
        }
        EXPECT_FALSE(system.ways.empty());
        EXPECT_FALSE(system.repair.empty());
        EXPECT_FALSE(system.looks.empty());
    }
    EXPECT_EQ(find_finish("secret sauce"), nullptr);
}

// Each row says where its number is from; a range of which only one end was read says which.
TEST(Finishes, EveryRowHasItsProvenance) {
    std::ifstream file(source_folder() + "/data/finishing.csv");
    std::stringstream text;
    text << file.rdbuf();
    const auto table = shelf::built_in_table("data/finishing.csv", text.str());
    ASSERT_GT(table.size(), 250u);
    std::set<std::string> seen;
    for (std::size_t row = 0; row < table.size(); ++row) {
        SCOPED_TRACE(table.cell(row, "topic") + ", " + table.cell(row, "item"));
        const std::string& from = table.cell(row, "provenance");
        EXPECT_THAT(from, AnyOf("read", "computed", "mixed", "memory"));
        if (from == "mixed") {
            EXPECT_THAT(table.cell(row, "notes"), AllOf(HasSubstr("read"), HasSubstr("from memory")));
        }
        if (from == "read" || from == "mixed") {
            EXPECT_FALSE(table.cell(row, "source").empty());
        }
        EXPECT_TRUE(table.number(row, "value_low"));
        EXPECT_TRUE(seen.insert(table.cell(row, "topic") + "/" + table.cell(row, "item")).second) << "twice";
    }
}

// Reference rows read in public pages: an oil-modified polyurethane is recoated after 6 h and hard after 30 d at 21 °C
// and 50 %; a water-borne finish is recoated after 2 to 4 h.
TEST(Finishes, TimesAsRead) {
    const FinishSystem& varnish = *find_finish("oil-varnish");
    EXPECT_EQ(varnish.recoat_h.low, 6.0);
    EXPECT_EQ(varnish.recoat_h.from, Provenance::mixed);
    EXPECT_EQ(varnish.cured_d.high, 30.0);
    const FinishSystem& water = *find_finish("water-borne");
    EXPECT_EQ(water.recoat_h.low, 2.0);
    EXPECT_EQ(water.recoat_h.high, 4.0);
    EXPECT_EQ(water.recoat_h.from, Provenance::read);
    EXPECT_EQ(varnish.solids_percent.from, Provenance::memory);
    EXPECT_STREQ(says(varnish.recoat_h.from), "partly from memory");
}

// Two independent figures must meet. Read: oil varnish brushed or wiped on covers about 500 ft²/gal a coat (12.3 m²/L),
// one-part water-borne 450 to 600 ft²/gal (11 to 14.7 m²/L). Ours comes from wet films (from memory).
TEST(Finishes, SpreadAgreesWithCoverageReadElsewhere) {
    const FinishSystem& varnish = *find_finish("oil-varnish");
    EXPECT_LE(varnish.spread_low_m2_l(), 12.3);
    EXPECT_GE(varnish.spread_high_m2_l(), 12.3);
    const FinishSystem& water = *find_finish("water-borne");
    EXPECT_LE(water.spread_low_m2_l(), 11.0);
    EXPECT_GE(water.spread_high_m2_l(), 11.0);
    // Two-part oil that is wiped back: 30 to 50 m²/L (class row, from memory).
    const FinishSystem& oil = *find_finish("hardwax-oil-two-part");
    EXPECT_NEAR(oil.spread_low_m2_l(), 30.0, 0.5);
    EXPECT_NEAR(oil.spread_high_m2_l(), 50.0, 1e-9);
}

TEST(Finishes, DryFilmIsWetTimesSolids) {
    const FinishSystem& varnish = *find_finish("oil-varnish");
    EXPECT_NEAR(varnish.dry_low_um(), 75.0 * 0.35, 1e-12);
    EXPECT_NEAR(varnish.dry_high_um(), 125.0 * 0.5, 1e-12);
}

TEST(Finishes, ADrinkIsStoodByFilmsNotByShellac) {
    EXPECT_EQ(find_finish("shellac")->alcohol, Grade::poor);  // alcohol dissolves it: common practice
    EXPECT_GE(find_finish("two-part-polyurethane")->alcohol, Grade::good);
    EXPECT_STREQ(says(Grade::very_good), "very good");
}

TEST(Finishes, WaysAndTheirTransfer) {
    for (const WayName& name : ways()) {
        const Figure share = transfer(name.way);
        EXPECT_GT(share.low, 0.0) << name.id;
        EXPECT_LE(share.low, share.high);
        EXPECT_LT(share.high, 1.0);
        EXPECT_EQ(way_named(name.id), name.way);
    }
    EXPECT_FALSE(way_named("bucket"));
    EXPECT_NEAR(transfer(Way::spray).high, 0.35, 1e-12) << "read, as the input of a worked example";
    EXPECT_EQ(transfer(Way::spray).from, Provenance::mixed);
    EXPECT_GE(transfer(Way::low_pressure_spray).low, 0.65) << "air-quality rules, from memory";
}

// Fire services (read): hang oily rags singly outdoors or soak them, closed metal can.
TEST(Finishes, CautionsFitTheDanger) {
    for (const FinishSystem& system : finish_systems()) {
        SCOPED_TRACE(system.id);
        for (const Way way : system.ways) {
            const auto all = finish_cautions(system, way);
            ASSERT_FALSE(all.empty());
            EXPECT_THAT(all.back(), HasSubstr("safety data sheet"));
            EXPECT_THAT(all.back(), HasSubstr("local codes"));
            const auto rags = Contains(HasSubstr("catch fire"));
            if (system.oily_rags) {
                EXPECT_THAT(all.front(), HasSubstr("catch fire"));
                EXPECT_THAT(all.front(), HasSubstr("lay each one out flat"));
            } else {
                EXPECT_THAT(all, Not(rags));
            }
            const bool spoken = std::any_of(
                all.begin(), all.end(), [](const std::string& s) { return s.find("Spraying") != std::string::npos; });
            EXPECT_EQ(spoken, is_spray(way));
        }
    }
    EXPECT_TRUE(find_finish("drying-oil")->oily_rags);
    EXPECT_TRUE(find_finish("oil-varnish")->oily_rags);
    EXPECT_TRUE(find_finish("conversion-varnish")->formaldehyde);
    EXPECT_THAT(finish_cautions(*find_finish("two-part-polyurethane"), Way::spray), Contains(HasSubstr("isocyanate")));
}

}  // namespace
}  // namespace seamwright::process
