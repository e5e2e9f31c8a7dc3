// Laws of a cross-section, read from what the page gets:
//   S1 no two shapes overlap
//   S2 the guide (or bearing) touches the edge of the template it rides on
//   S3 the cutter touches the edge that stays, and that edge lies where the chain says
//   S4 sizes are the real ones: diameters as measured, thicknesses of wood and sheet

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <sstream>

#include "screens.h"

namespace seamwright::screen::testing {
namespace {

using geometry::Box;
using seam::Step;

constexpr double written_mm = 0.0011;  // both ends of a size are rounded to 0.001

/// "M0 1H2V3H0Z", several behind each other.
std::vector<Box> rectangles(const std::string& d) {
    std::vector<Box> found;
    std::istringstream in(d);
    char letter = 0;
    while (in >> letter) {
        Box b;
        double again = 0.0;
        in >> b.low.x >> b.low.y >> letter >> b.high.x >> letter >> b.high.y >> letter >> again >> letter;
        EXPECT_EQ(again, b.low.x) << d;
        EXPECT_EQ(letter, 'Z') << d;
        EXPECT_LT(b.low.x, b.high.x) << d;
        EXPECT_LT(b.low.y, b.high.y) << d;
        found.push_back(b);
    }
    return found;
}

std::vector<Box> parts(const Json& picture, const std::string& what) {
    std::vector<Box> found;
    for (const Json& shape : picture["shapes"]) {
        if (shape["what"] != what) continue;
        for (const Box& b : rectangles(shape["d"])) found.push_back(b);
    }
    return found;
}

Box whole(const std::vector<Box>& boxes) {
    Box all;
    for (const Box& b : boxes) all.add(b);
    return all;
}

void expect_no_overlap(const Json& picture) {
    std::vector<std::pair<std::string, Box>> all;
    for (const Json& shape : picture["shapes"])
        for (const Box& b : rectangles(shape["d"])) all.emplace_back(shape["what"], b);
    for (std::size_t i = 0; i < all.size(); ++i) {
        for (std::size_t j = i + 1; j < all.size(); ++j) {
            const auto& [what, a] = all[i];
            const auto& [other, b] = all[j];
            const double wide = std::min(a.high.x, b.high.x) - std::max(a.low.x, b.low.x);
            const double high = std::min(a.high.y, b.high.y) - std::max(a.low.y, b.low.y);
            EXPECT_FALSE(wide > written_mm && high > written_mm) << what << " overlaps " << other << '\n' << picture;
        }
    }
}

bool any_side_at(const std::vector<Box>& boxes, double x) {
    return std::any_of(boxes.begin(), boxes.end(), [&](const Box& b) {
        return std::abs(b.low.x - x) < written_mm || std::abs(b.high.x - x) < written_mm;
    });
}

void expect_routed(const Json& picture, const Step& step, const edit::OpenJob& job) {
    const auto& plan = job.plan();
    const bool guided = step.pair->rides == seam::Pair::Rides::guide;
    const bool wood = step.kind == Step::Kind::cut_left || step.kind == Step::Kind::cut_right;
    const Box cutter = whole(parts(picture, "cutter"));
    const Box rider = whole(parts(picture, guided ? "guide" : "bearing"));
    const auto stays = parts(picture, wood ? "wood" : "made");
    const Box under = whole(parts(picture, "template"));
    EXPECT_NEAR(cutter.width_mm(), step.pair->b_mm, written_mm);
    EXPECT_NEAR(rider.width_mm(), step.pair->B_mm, written_mm);
    EXPECT_NEAR(0.5 * (cutter.low.x + cutter.high.x), 0.5 * (rider.low.x + rider.high.x), written_mm);
    // S2
    const double ridden = step.template_on_left ? under.high.x : under.low.x;
    EXPECT_NEAR(ridden, step.rides_at_mm, written_mm);
    EXPECT_NEAR(step.template_on_left ? rider.low.x : rider.high.x, ridden, written_mm);
    EXPECT_LT(std::max(under.low.y, rider.low.y), std::min(under.high.y, rider.high.y)) << "they meet at some height";
    // S3
    EXPECT_TRUE(any_side_at(stays, step.edge_at_mm)) << picture;
    EXPECT_TRUE(any_side_at({cutter}, step.edge_at_mm)) << picture;
    // S4
    const double work_mm = wood ? plan.milled_mm : plan.sheet.thickness_mm;
    EXPECT_NEAR(whole(stays).high.y, work_mm, written_mm);
    EXPECT_NEAR(under.low.y, work_mm, written_mm);
    EXPECT_NEAR(under.height_mm(), plan.sheet.thickness_mm, written_mm);
    const auto& tool = job.document().shelf.cutters.at(step.pair->cutter);
    EXPECT_NEAR(cutter.height_mm(), tool.cutting_length_mm, written_mm);
    EXPECT_FALSE(parts(picture, "router").empty());
    EXPECT_FALSE(parts(picture, "bench").empty());
    if (guided) {
        EXPECT_EQ(parts(picture, "guide").size(), 2u) << "hollow";
    }
}

void expect_sound(const edit::OpenJob& job) {
    const Json screen = screen_of(job);
    std::size_t seen = 0;
    for (std::size_t i = 0; i < job.plan().seams.size(); ++i) {
        const auto& seam = job.plan().seams[i];
        ASSERT_EQ(screen["seams"][i]["chains"].size(), seam.chains.size());
        for (std::size_t c = 0; c < seam.chains.size(); ++c) {
            for (std::size_t k = 0; k < seam.chains[c].steps.size(); ++k) {
                const Step& step = seam.chains[c].steps[k];
                const Json& picture = screen["seams"][i]["chains"][c]["steps"][k]["picture"];
                SCOPED_TRACE(seam.chains[c].id + " step " + std::to_string(k + 1));
                expect_no_overlap(picture);
                EXPECT_EQ(picture["seam_at"], 0);
                if (step.pair) {
                    expect_routed(picture, step, job);
                } else {
                    EXPECT_TRUE(any_side_at(parts(picture, "made"), step.edge_at_mm));
                    EXPECT_FALSE(parts(picture, "paper").empty());
                    EXPECT_TRUE(parts(picture, "cutter").empty());
                }
                ++seen;
                if (::testing::Test::HasFailure()) return;
            }
        }
    }
    EXPECT_GT(seen, 3u);
}

TEST(Section, laws_hold_for_every_chain_of_the_examples) {
    for (const auto& name : example_names()) {
        SCOPED_TRACE(name);
        expect_sound(example(name));
    }
}

std::string bearing_job(double cutting_length_mm) {
    return job::testing::small_job(
        R"("shelf": {"guides": [{"name": "G", "outside": 30, "barrel": 9}],
           "cutters": [{"name": "C", "diameter": 10, "cutting_length": 45, "shank": 8}]})",
        R"("shelf": {"guides": [], "bearings": [{"name": "B", "outside": 30}],
           "cutters": [{"name": "C", "diameter": 10, "cutting_length": )" +
            std::to_string(cutting_length_mm) + R"(, "shank": 8, "bearings": ["B"]}]})");
}

TEST(Section, a_bearing_lies_against_the_template_however_long_the_cutter_is) {
    for (const double length_mm : {12.0, 25.0, 31.0, 36.0, 50.0, 80.0}) {
        SCOPED_TRACE(length_mm);
        expect_sound(opened(bearing_job(length_mm)));
    }
}

TEST(Section, a_tool_that_does_not_get_through_is_drawn_so) {
    // A shank thicker than the cutter stops at the top of the wood, 30 mm and what getting the top flat takes off: 20
    // mm are cut.
    const auto job = opened(
        job::testing::small_job("\"cutting_length\": 45, \"shank\": 8", "\"cutting_length\": 20, \"shank\": 12"));
    expect_sound(job);
    const Json screen = screen_of(job);
    bool shallow = false;
    for (const Json& step : screen["seams"][0]["chains"][0]["steps"]) {
        const Json& picture = step["picture"];
        if (parts(picture, "wood").empty()) continue;
        shallow = true;
        EXPECT_NEAR(whole(parts(picture, "cutter")).low.y, job.plan().milled_mm - 20.0, written_mm);
        EXPECT_NE(picture.dump().find("not cut through"), std::string::npos);
    }
    EXPECT_TRUE(shallow);
    // A barrel longer than the template is thick lifts the router off it.
    const auto tall = opened(job::testing::small_job("\"barrel\": 9", "\"barrel\": 18"));
    expect_sound(tall);
    const Json lifted = screen_of(tall);
    const Json& cut = lifted["seams"][0]["chains"][0]["steps"].back()["picture"];
    EXPECT_NEAR(whole(parts(cut, "router")).low.y, tall.plan().milled_mm + 18.0, written_mm);
}

TEST(Section, both_cuts_of_an_exact_chain_leave_their_edge_at_the_seam) {
    const auto job = example("round-table");
    const Json screen = screen_of(job);
    for (const Json& seam : screen["seams"]) {
        for (const Json& chain : seam["chains"]) {
            if (!chain["exact"].get<bool>()) continue;
            int cuts = 0;
            for (const Json& step : chain["steps"]) {
                if (parts(step["picture"], "wood").empty()) continue;
                ++cuts;
                EXPECT_TRUE(any_side_at(parts(step["picture"], "wood"), 0.0));
            }
            EXPECT_EQ(cuts, 2);
        }
    }
}

TEST(Section, sizes_are_told_beside_it) {
    const Json screen = screen_of(example("hall-console"));
    const Json& last = screen["seams"][0]["chains"][0]["steps"].back()["picture"];
    const std::string all = last["dimensions"].dump();
    for (const char* said : {"guide 30.0 mm", "cutter 10.0 mm", "offset 10.0 mm", "wood 35.4 mm"})
        EXPECT_NE(all.find(said), std::string::npos) << said << all;
    for (const Json& d : last["dimensions"]) {
        const double length = std::hypot(d["to"][0].get<double>() - d["from"][0].get<double>(),
                                         d["to"][1].get<double>() - d["from"][1].get<double>());
        const std::string says = d["says"];
        EXPECT_NEAR(length, std::stod(says.substr(says.find(' '))), 0.051) << says;
    }
    const std::string inches = screen_of(example("bench-top"))["seams"][0]["chains"].dump();
    EXPECT_EQ(inches.find(" mm\""), std::string::npos);
    EXPECT_NE(inches.find("guide 1 1/2 in"), std::string::npos);
}

}  // namespace
}  // namespace seamwright::screen::testing
