#include <gtest/gtest.h>

#include "screens.h"

namespace seamwright::screen::testing {
namespace {

std::string on_paper(const std::string& size, double margin_mm, double overlap_mm) {
    nlohmann::ordered_json tree = nlohmann::ordered_json::parse(example_text("hall-console"));
    tree["paper"] = {{"size", size}, {"margin", margin_mm}, {"overlap", overlap_mm}};
    return tree.dump(2);
}

TEST(Papers, every_margin_and_overlap_that_a_job_may_ask_for_gives_sheets) {
    for (const char* size : {"A4", "A3", "Letter", "Tabloid"}) {
        for (const double margin_mm : {3.0, 35.0}) {
            for (const double overlap_mm : {0.0, 50.0}) {
                SCOPED_TRACE(::testing::Message() << size << ' ' << margin_mm << ' ' << overlap_mm);
                const Json papers = screen_of(opened(on_paper(size, margin_mm, overlap_mm)))["papers"];
                ASSERT_FALSE(papers["tiles"].empty());
                for (const Json& tile : papers["tiles"]) EXPECT_FALSE(tile["sheets"].empty());
            }
        }
    }
}

TEST(Papers, what_the_paper_cannot_be_given_is_refused_at_its_field) {
    const auto refused_at = [](double margin_mm, double overlap_mm) {
        const auto open = edit::OpenJob::open(on_paper("A4", margin_mm, overlap_mm));
        const auto* refused = std::get_if<edit::Refused>(&open);
        return refused == nullptr ? std::string() : refused->problems.front().pointer;
    };
    EXPECT_EQ(refused_at(2.9, 10.0), "/paper/margin");
    EXPECT_EQ(refused_at(35.1, 10.0), "/paper/margin");
    EXPECT_EQ(refused_at(10.0, 50.1), "/paper/overlap");
}

}  // namespace
}  // namespace seamwright::screen::testing
