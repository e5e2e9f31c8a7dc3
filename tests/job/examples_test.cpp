#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "geometry/path.h"
#include "job_files.h"

namespace seamwright::job::testing {
namespace {

Document example(const std::string& name) {
    const Reading reading = read(slurp(source("examples/" + name + ".json")));
    EXPECT_TRUE(reading.problems.empty()) << show_all(reading.problems);
    EXPECT_TRUE(reading.document);
    return reading.document.value_or(Document{});
}

double best_pair_room_mm(const shelf::Shelf& shelf) {
    // The largest guide on the template, half of it and its largest offset.
    double widest = 0.0;
    for (const auto& guide : shelf.guides) widest = std::max(widest, guide.outside.real_mm());
    return widest;
}

TEST(Examples, SayThatTheyAreInvented) {
    for (const std::string name : {"hall-console", "bench-top", "round-table", "measured-template"}) {
        EXPECT_EQ(example(name).job.note.rfind("Invented example.", 0), 0u) << name;
    }
}

TEST(Examples, IncludeAWorkedOneInTheManual) {
    const std::string manual = slurp(source("docs/job-file.md"));
    const std::string fence = "```json\n";
    const std::size_t begin = manual.find(fence);
    ASSERT_NE(begin, std::string::npos);
    const std::size_t end = manual.find("```", begin + fence.size());
    const Reading reading = read(manual.substr(begin + fence.size(), end - begin - fence.size()));
    EXPECT_TRUE(reading.document);
    EXPECT_TRUE(reading.problems.empty()) << show_all(reading.problems);
}

TEST(Examples, LeaveNoKeyOutOfTheManual) {
    const std::string manual = slurp(source("docs/job-file.md"));
    const std::string everything = slurp(source("schema/job.schema.json"));
    // Words of the schema itself, names of its definitions, and the inside of what nobody writes by hand.
    const std::set<std::string> not_keys{"$defs",
                                         "properties",
                                         "items",
                                         "if",
                                         "then",
                                         "else",
                                         "not",
                                         "start",
                                         "bound",
                                         "segments",
                                         "open_curve",
                                         "closed_curve",
                                         "sweep_radians",
                                         "dependentRequired",
                                         "patternProperties",
                                         "^([1-9]|1[0-4])$",
                                         "length_above_0",
                                         "length_not_negative"};
    std::set<std::string> keys;
    for (std::size_t at = everything.find("\": {"); at != std::string::npos; at = everything.find("\": {", at + 1)) {
        const std::size_t open = everything.rfind('"', at - 1);
        const std::string key = everything.substr(open + 1, at - open - 1);
        if (not_keys.count(key) == 0 && key.rfind("curve_", 0) != 0) keys.insert(key);
    }
    EXPECT_GE(keys.size(), 80u);
    for (const std::string& key : keys) EXPECT_NE(manual.find(key), std::string::npos) << key;
}

TEST(Examples, HaveSeamsThatTheShelfCanFollow) {
    for (const std::string name : {"hall-console", "bench-top", "round-table", "measured-template"}) {
        const Document document = example(name);
        for (const Seam& seam : document.job.seams) {
            if (seam.kind == SeamKind::edging) continue;
            const auto drawn = curves::draw(seam.curve);
            ASSERT_TRUE(std::holds_alternative<curves::Drawn>(drawn)) << name << " " << seam.name;
            const auto& line = std::get<curves::Drawn>(drawn);
            for (const auto& tightest : {line.tightest_left, line.tightest_right}) {
                if (tightest) {
                    EXPECT_GT(tightest->radius_mm, best_pair_room_mm(document.shelf)) << name << " " << seam.name;
                }
            }
        }
    }
}

TEST(Examples, HaveOpenSeamsThatReachPastTheTop) {
    for (const std::string name : {"hall-console", "bench-top"}) {
        const Document document = example(name);
        const double length = std::get<RectangleOutline>(document.job.outline).length_mm;
        for (const Seam& seam : document.job.seams) {
            const auto path = std::get<curves::Drawn>(curves::draw(seam.curve)).path;
            EXPECT_LE(path.start().x, -20.0) << name;
            EXPECT_GE(path.end().x, length + 20.0) << name;
        }
    }
}

TEST(Examples, HaveAConsoleInsertThatWidensAllTheWay) {
    const Document document = example("hall-console");
    const double length = std::get<RectangleOutline>(document.job.outline).length_mm;
    std::vector<std::vector<Point>> seams;
    for (const Seam& seam : document.job.seams) {
        seams.push_back(geometry::chords(std::get<curves::Drawn>(curves::draw(seam.curve)).path, 0.01));
    }
    const auto y_at = [](const std::vector<Point>& line, double x) {
        for (std::size_t i = 1; i < line.size(); ++i) {
            if (line[i].x >= x) {
                const double u = (x - line[i - 1].x) / (line[i].x - line[i - 1].x);
                return line[i - 1].y + u * (line[i].y - line[i - 1].y);
            }
        }
        return line.back().y;
    };
    double before = 0.0;
    for (double x = 0.0; x <= length; x += 10.0) {
        const double width = y_at(seams.at(1), x) - y_at(seams.at(0), x);
        EXPECT_GT(width, before) << "at " << x;
        before = width;
    }
    EXPECT_GT(before, 130.0);
}

// Common practice: with one pair for everything two edges close when the guide is three times the cutter, B = 3b
// (design.md section 3).
TEST(Examples, HaveAPairThatIsThreeToOne) {
    for (const std::string name : {"hall-console", "bench-top", "round-table", "measured-template"}) {
        const Document document = example(name);
        bool found = false;
        for (const auto& guide : document.shelf.guides) {
            for (const auto& cutter : document.shelf.cutters) {
                found = found || std::abs(guide.outside.real_mm() - 3.0 * cutter.cutting.real_mm()) < 1e-9;
            }
        }
        EXPECT_TRUE(found) << name;
    }
}

}  // namespace
}  // namespace seamwright::job::testing
