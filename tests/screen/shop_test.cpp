#include <gtest/gtest.h>

#include <map>
#include <set>

#include "screens.h"

namespace seamwright::screen::testing {
namespace {

Json shop_of(const edit::OpenJob& job) {
    return Json::parse(write_shop_view(job, 5));
}

std::map<std::string, std::string> ids(const Json& shop) {
    std::map<std::string, std::string> found;
    for (const Json& part : shop["parts"]) {
        for (const Json& step : part["steps"]) {
            EXPECT_TRUE(found.emplace(step["id"], step["title"]).second) << "twice: " << step["id"];
        }
    }
    return found;
}

TEST(Shop, safety_comes_first_and_every_step_is_there) {
    for (const auto& name : example_names()) {
        const auto job = example(name);
        const Json shop = shop_of(job);
        EXPECT_EQ(shop["version"], 5);
        ASSERT_EQ(shop["parts"].size(), job.plan().seams.size() + 1);
        const std::string first = shop["parts"][0].dump();
        for (const char* said :
             {"makers of your router", "Unplug the router", "Feed against", "eye and ear", "dust", "scrap"})
            EXPECT_NE(first.find(said), std::string::npos) << said;
        for (std::size_t i = 0; i < job.plan().seams.size(); ++i) {
            const auto& seam = job.plan().seams[i];
            const Json& part = shop["parts"][i + 1];
            EXPECT_EQ(part["title"], seam.name);
            ASSERT_EQ(part["steps"].size(), seam.steps.size());
            for (std::size_t k = 0; k < seam.steps.size(); ++k) {
                const auto& step = seam.steps[k];
                EXPECT_EQ(part["steps"][k]["title"], step.title);
                std::size_t passes = 0;
                for (const Json& line : part["steps"][k]["lines"])
                    passes += line.get<std::string>().starts_with("Pass ") ? 1U : 0U;
                EXPECT_EQ(passes, step.passes ? step.passes->passes.size() : 0);
            }
        }
        ids(shop);
    }
}

TEST(Shop, a_check_mark_finds_its_step_again_until_the_step_changes) {
    const auto before = ids(shop_of(example("hall-console")));
    // Paper and the look of the note are nothing to the router.
    EXPECT_EQ(ids(shop_of(opened(changed("hall-console", "/note", "other words")))), before);
    const auto thicker = ids(shop_of(opened(changed("hall-console", "/top/thickness", 36))));
    std::size_t same = 0, other = 0;
    for (const auto& [id, title] : thicker) (before.contains(id) ? same : other) += 1;
    EXPECT_GT(same, 4u) << "templates are made as before";
    EXPECT_EQ(other, 4u) << "both cuts of both seams";
}

TEST(Shop, what_does_not_close_says_so_before_its_steps) {
    std::string text = job::testing::small_job("\"diameter\": 10", "\"diameter\": 11");
    text.replace(text.find("\"kind\": \"open\""), 14, "\"kind\": \"open\", \"chain\": \"left:far(G/C)-G/C-G/C\"");
    const Json shop = shop_of(opened(text));
    EXPECT_NE(shop["parts"][1]["cautions"].dump().find("does not close"), std::string::npos);
}

}  // namespace
}  // namespace seamwright::screen::testing
