#include <gtest/gtest.h>

#include "job/job_files.h"
#include "paper/papers.h"

namespace seamwright::paper {
namespace {

plan::Plan measured() {
    const auto reading =
        job::testing::read(job::testing::slurp(job::testing::source("examples/measured-template.json")));
    return plan::make_plan(reading.document->job, reading.document->shelf);
}

TEST(SandingMap, IsFullSizeAlongTheEdgeAndSaysHowMuchLargerAcross) {
    const plan::Plan plan = measured();
    const plan::SeamPlan& seam = plan.seams[0];
    ASSERT_TRUE(seam.as_made);
    const Drawing drawing = sanding_map(plan, seam);
    const Box box = drawing.box();
    EXPECT_NEAR(box.width_mm(), seam.as_made->length_mm, 30.0);
    // The highest place of what is drawn with strokes, brought back by the factor that is told, is the highest reading.
    std::string told;
    for (const Text& text : drawing.texts)
        if (text.text.find("times too large") != std::string::npos) told = text.text;
    ASSERT_FALSE(told.empty());
    const double factor = std::stod(told.substr(told.find("drawn ") + 6));
    double highest = 0.0;
    for (const DrawnPath& path : drawing.paths)
        if (path.fill.hatch_spacing_mm > 0.0 && path.fill.hatch_angle_rad > 0.0)
            highest = std::max(highest, geometry::bounding_box(path.path).high.y);
    EXPECT_NEAR(highest / factor, seam.as_made->made.map.highest_mm, 1e-9);
    EXPECT_LE(highest, 30.0);
    // It is among the papers.
    bool listed = false;
    for (const PaperName& name : paper_names(plan)) listed = listed || name.name == "arch-sanding-map.pdf";
    EXPECT_TRUE(listed);
    EXPECT_TRUE(one_paper(plan, "arch-sanding-map.pdf"));
}

}  // namespace
}  // namespace seamwright::paper
