#include "screen/feed_view.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "contract.h"
#include "screens.h"

namespace seamwright::screen::testing {
namespace {

using ::testing::HasSubstr;

Json feed_of(const edit::OpenJob& job, std::size_t seam) {
    return Json::parse(write_feed(job, seam, 5));
}

TEST(FeedView, keeps_the_contract_and_has_a_text_for_every_station) {
    const Contract contract;
    for (const std::string name : {"hall-console", "bench-top", "round-table", "stack-of-boards"}) {
        const auto job = example(name);
        const Json screen = screen_of(job);
        for (std::size_t i = 0; i < screen["seams"].size(); ++i) {
            const Json view = feed_of(job, i);
            EXPECT_EQ(contract.why_not("FeedView", view), "") << name;
            const Json& strip = screen["seams"][i]["strip"];
            ASSERT_EQ(view["tracks"].size(), 2U) << name;
            ASSERT_EQ(view["tells"].size(), 2U);
            for (std::size_t t = 0; t < 2; ++t) {
                EXPECT_EQ(view["tells"][t]["stations"].size(), strip["stations"].size());
                if (view["tracks"][t].contains("empty")) continue;
                double covered = 0.0;
                for (const Json& stroke : view["tracks"][t]["strokes"])
                    for (const Json& part : stroke["parts"])
                        covered += std::abs(part[1].get<double>() - part[0].get<double>());
                EXPECT_NEAR(covered, strip["length"].get<double>(), 0.1) << name;
            }
        }
    }
}

// Straight seam, fibres 45° askew: on both sides one angle all along (the equivalent short form of the methods, section
// 6: heading of the edge less that of the fibres, whichever side the wood is on).
TEST(FeedView, tells_the_angle_and_where_fibres_lift) {
    nlohmann::ordered_json tree = nlohmann::ordered_json::parse(job::testing::small_job());
    tree["pieces"] = nlohmann::ordered_json::parse(
        R"([{"name": "near", "at": [500, 50], "species": "Walnut, black", "grain_degrees": 45},
            {"name": "far", "at": [500, 350], "species": "Walnut, black", "grain_degrees": 45}])");
    const auto job = opened(tree.dump());
    const Json view = feed_of(job, 0);
    for (std::size_t t = 0; t < 2; ++t) {
        for (const Json& at : view["tells"][t]["stations"])
            EXPECT_THAT(at.get<std::string>(), HasSubstr("45° against the grain; fibres lift; stroke "));
        for (const Json& point : view["tracks"][t]["lines"][0]["points"])
            EXPECT_NEAR(point[1].get<double>(), -45.0, 1e-6);
        ASSERT_EQ(view["tracks"][t]["spans"].size(), 1U);
        EXPECT_EQ(view["tracks"][t]["spans"][0]["row"], "fibres lift");
    }
}

TEST(FeedView, of_a_seam_that_is_not_there) {
    const Json view = feed_of(example("bench-top"), 99);
    EXPECT_EQ(Contract().why_not("FeedView", view), "");
    EXPECT_TRUE(view["tracks"].empty());
    EXPECT_THAT(view["verdict"].get<std::string>(), HasSubstr("no such seam"));
}

TEST(FeedView, discs_stand_on_the_shelf) {
    nlohmann::ordered_json tree = nlohmann::ordered_json::parse(example_text("hall-console"));
    const std::string wood = tree["pieces"][0]["species"];
    tree["shelf"]["discs"] = nlohmann::ordered_json::parse(
        R"([{"species": "", "on": "2026-11-02", "rim": [
             {"from_degrees": 350, "to_degrees": 20, "feed": "conventional", "seen": "torn"}]}, {"species": "", "rim": []}])");
    for (auto& disc : tree["shelf"]["discs"]) disc["species"] = wood;
    const auto job = opened(tree.dump());
    Json screen = screen_of(job);
    screen["engine_us"] = 900;
    EXPECT_EQ(Contract().why_not("Screen", screen), "");
    const Json& discs = screen["shelf"]["discs"];
    ASSERT_EQ(discs.size(), 2U);
    EXPECT_EQ(discs[0]["rim"].size(), 1U);
    EXPECT_THAT(discs[0]["told"]["lines"][0].get<std::string>(), HasSubstr("corrected by the disc of"));
    EXPECT_EQ(discs[1]["told"]["lines"][0], "Nothing is written of its rim yet.");
    EXPECT_TRUE(screen_of(job, true)["shelf"]["discs"].empty());
}

}  // namespace
}  // namespace seamwright::screen::testing
