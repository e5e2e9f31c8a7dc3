#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "curves/import.h"
#include "geometry/path_index.h"
#include "job/json_writer.h"
#include "screens.h"

namespace seamwright::screen::testing {
namespace {

using geometry::Path;

/// Coordinates are written to 0.001 mm.
constexpr double written_to_mm = 0.001;

Path read_back(const std::string& d) {
    const auto read = curves::read_svg_path(d, 1.0, true);
    const auto* path = std::get_if<curves::Imported>(&read);
    EXPECT_NE(path, nullptr) << d.substr(0, 200);
    return path == nullptr ? Path{} : path->path;
}

double apart_mm(const Path& a, const Path& b) {
    const geometry::PathIndex in_a(a), in_b(b);
    constexpr double bound_mm = 1e-5;
    return std::max(geometry::largest_distance(a, in_b, bound_mm).value_mm,
                    geometry::largest_distance(b, in_a, bound_mm).value_mm);
}

void expect_same(const Path& meant, const Json& d, const std::string& what) {
    if (meant.empty()) {
        EXPECT_EQ(d, "") << what;
        return;
    }
    const Path read = read_back(d.get<std::string>());
    ASSERT_FALSE(read.empty()) << what;
    EXPECT_EQ(read.closed, meant.closed) << what;
    EXPECT_LE(apart_mm(meant, read), written_to_mm) << what;
}

TEST(PathData, read_by_our_own_importer_gives_every_line_of_the_plan) {
    for (const auto& name : example_names()) {
        const auto job = example(name);
        const auto& plan = job.plan();
        const Json screen = screen_of(job);
        expect_same(plan.outline, screen["drawing"]["outline"], name + " outline");
        ASSERT_EQ(screen["seams"].size(), plan.seams.size());
        for (std::size_t i = 0; i < plan.seams.size(); ++i) {
            const auto& seam = plan.seams[i];
            const Json& view = screen["seams"][i];
            expect_same(seam.in_wood, view["d"], seam.name);
            expect_same(seam.drawn.path, view["whole"], seam.name + " whole");
            expect_same(seam.simulation.left_edge, view["left_edge"], seam.name + " left");
            expect_same(seam.simulation.right_edge, view["right_edge"], seam.name + " right");
            ASSERT_EQ(view["templates"].size(), seam.templates.size());
            for (std::size_t k = 0; k < seam.templates.size(); ++k) {
                const auto& t = seam.templates[k];
                expect_same(t.edge, view["templates"][k]["edge"], t.title);
                expect_same(t.body, view["templates"][k]["body"], t.title + " body");
                expect_same(t.rough_cut, view["templates"][k]["rough_cut"], t.title + " rough cut");
            }
        }
    }
}

TEST(PathData, a_piece_with_a_hole_has_two_rings) {
    const Json screen = screen_of(example("round-table"));
    const std::string d = screen["drawing"]["pieces"][0]["d"];
    EXPECT_EQ(std::count(d.begin(), d.end(), 'M'), 2);
    EXPECT_EQ(std::count(d.begin(), d.end(), 'Z'), 2);
}

RC_GTEST_PROP(PathData, a_number_is_the_nearest_thousandth_without_noughts, ()) {
    const int thousandths = *rc::gen::inRange(-5'000'000, 5'000'000);
    std::string text;
    job::append_thousandths(text, thousandths / 1000.0);
    RC_ASSERT(std::llround(std::stod(text) * 1000.0) == thousandths);
    RC_ASSERT(text.find('.') == std::string::npos || text.back() != '0');
    RC_ASSERT(text != "-0");
    RC_ASSERT(text.find('e') == std::string::npos);
}

TEST(PathData, numbers_that_are_none_or_very_large) {
    std::string text;
    job::append_thousandths(text, std::nan(""));
    job::append_thousandths(text, -0.0001);
    job::append_thousandths(text, 1e17);
    EXPECT_EQ(text, "null01e+17");
}

}  // namespace
}  // namespace seamwright::screen::testing
