// The strokes of the router on the templates.
#include "feed_arrows.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "geometry/path_index.h"
#include "paper/disc_sheet.h"
#include "paper/on_sheet.h"
#include "paper/papers.h"
#include "plan/plan_jobs.h"

namespace seamwright::paper {
namespace {

struct Planned {
    explicit Planned(const std::string& name)
        : document(plan::testing::example(name)),
          plan(plan::make_plan(document.job, document.shelf)),
          rough(plan::study_rough_cut(plan, document.job)),
          feed(plan::study_feed(plan, document.shelf, rough, nullptr)) {}

    const plan::SeamPlan& seam(const plan::RoughCut& cut) const { return plan.seams[cut.seam]; }
    Drawing drawn(const plan::RoughCut& cut, const plan::FeedStudy* strokes) const {
        return template_drawing(plan, seam(cut), seam(cut).templates[cut.template_index], &rough, strokes);
    }

    job::Document document;
    plan::Plan plan;
    plan::RoughCutStudy rough;
    plan::FeedStudy feed;
};

bool says(const Drawing& drawing, const std::string& part) {
    return std::ranges::any_of(drawing.texts, [&](const Text& t) { return t.text.find(part) != std::string::npos; });
}

const std::vector<std::string>& names() {
    static const std::vector<std::string> all{"hall-console", "bench-top", "round-table", "stack-of-boards"};
    return all;
}

TEST(FeedArrows, LieOnTheWasteSideAndGoTheWayOfTheStudy) {
    std::size_t arrows = 0;
    for (const std::string& name : names()) {
        const Planned made(name);
        ASSERT_EQ(made.feed.edges.size(), made.rough.cuts.size());
        for (std::size_t i = 0; i < made.rough.cuts.size(); ++i) {
            const plan::RoughCut& cut = made.rough.cuts[i];
            const auto twin = std::ranges::count_if(made.rough.cuts, [&](const plan::RoughCut& other) {
                return other.seam == cut.seam && other.template_index == cut.template_index;
            });
            if (twin > 1) continue;  // both edges on one template: told apart by letters
            const plan::RoutedEdge& edge = made.feed.edges[i];
            const geometry::PathIndex index(edge.edge);
            const Drawing d = made.drawn(cut, &made.feed);
            // Set in and lifted out at an end of the edge, the cutter is clear of the finished wood.
            for (const DrawnPath& path : d.paths) {
                if (edge.edge.closed || !(path.id.starts_with("feed-set-in-") || path.id.starts_with("feed-lift-out-")))
                    continue;
                const geometry::Box box = geometry::bounding_box(path.path);
                const Point middle = geometry::midpoint(box.low, box.high);
                const auto near = index.nearest(middle);
                const Point on = geometry::point_at(edge.edge, near.at);
                for (const plan::CutEnd& end : cut.ends) {
                    if (geometry::distance(on, end.finished) > 30.0) continue;
                    const Point tangent = geometry::tangent_at(edge.edge, near.at);
                    EXPECT_GE(std::abs(geometry::dot(middle - on, tangent)), end.lead_mm - 0.6) << name << path.id;
                }
            }
            for (std::size_t run = 0; run < edge.feed.runs.size(); ++run) {
                const std::string id = "feed-arrow-" + std::to_string(run + 1);
                std::size_t of_run = 0;
                for (const DrawnPath& path : d.paths) {
                    if (path.id != id) continue;
                    ++of_run;
                    for (const Point p : {path.path.start(), path.path.end()}) {
                        const auto near = index.nearest(p);
                        const Point on = geometry::point_at(edge.edge, near.at);
                        const Point tangent = geometry::tangent_at(edge.edge, near.at);
                        EXPECT_LT(near.distance_mm, 40.0) << name << id;
                        EXPECT_GT(near.distance_mm, 1.0) << name << id;
                        // Off the wood that stays.
                        EXPECT_EQ(geometry::cross(tangent, p - on) < 0.0, edge.on_left) << name << id;
                    }
                    const Point way = path.path.end() - path.path.start();
                    const Point tangent = geometry::tangent_at(edge.edge, index.nearest(path.path.start()).at);
                    EXPECT_EQ(geometry::dot(way, tangent) > 0.0, edge.feed.runs[run].along_path) << name << id;
                    EXPECT_EQ(path.stroke.dash_mm.empty(), edge.feed.runs[run].way == process::FeedWay::conventional);
                }
                EXPECT_GE(of_run, 1U) << name << " " << made.seam(cut).name << " " << id;
                arrows += of_run;
            }
        }
    }
    EXPECT_GT(arrows, 20U);
}

TEST(FeedArrows, DoNotMakeADrawingLargerAndAreExplained) {
    for (const std::string& name : names()) {
        const Planned made(name);
        const plan::FeedStudy none;
        for (const plan::RoughCut& cut : made.rough.cuts) {
            const Drawing with = made.drawn(cut, &made.feed), without = made.drawn(cut, &none);
            const Box a = with.box(), b = without.box();
            EXPECT_NEAR(a.width_mm(), b.width_mm(), 1e-9) << name;
            EXPECT_NEAR(a.height_mm(), b.height_mm(), 1e-9) << name;
            EXPECT_TRUE(says(with, "feed, in the order of the numbers"));
            EXPECT_TRUE(says(with, "climb, skim only"));
            // What is under them is as it was.
            EXPECT_EQ(
                std::ranges::count_if(with.paths, [](const DrawnPath& p) { return p.id.starts_with("index-"); }),
                std::ranges::count_if(without.paths, [](const DrawnPath& p) { return p.id.starts_with("index-"); }));
        }
    }
}

/// The middle of a text, narrower than it surely is drawn.
bool in_text(const Text& text, Point p) {
    const Point along = geometry::unit(text.turn_rad);
    const double length_mm = 0.4 * text.height_mm * static_cast<double>(text.text.size());
    const double from = text.anchor == Text::Anchor::left     ? 0.0
                        : text.anchor == Text::Anchor::middle ? -0.5 * length_mm
                                                              : -length_mm;
    const double x = geometry::dot(p - text.at, along), y = geometry::dot(p - text.at, geometry::left_of(along));
    return x >= from && x <= from + length_mm && y >= 0.0 && y <= 0.7 * text.height_mm;
}

TEST(FeedArrows, KeepOffEveryMarkAndText) {
    for (const std::string& name : names()) {
        const Planned made(name);
        for (const plan::RoughCut& cut : made.rough.cuts) {
            const Drawing d = made.drawn(cut, &made.feed);
            for (const DrawnPath& arrow : d.paths) {
                if (!arrow.id.starts_with("feed-arrow")) continue;
                const geometry::PathIndex shaft(arrow.path);
                for (const Text& text : d.texts)
                    for (const auto& segment : arrow.path.segments)
                        EXPECT_FALSE(in_text(text, geometry::point_at(segment, 0.5))) << name << ' ' << text.text;
                for (const DrawnPath& mark : d.paths) {
                    if (!mark.id.starts_with("registration") && !mark.id.starts_with("index-") &&
                        !mark.id.starts_with("screw") && !mark.id.starts_with("tape"))
                        continue;
                    for (const auto& segment : mark.path.segments)
                        EXPECT_GT(shaft.distance_mm(geometry::point_at(segment, 0.5)), 0.5) << name << mark.id;
                }
            }
        }
    }
}

TEST(FeedArrows, PapersHaveThem) {
    const Planned made("hall-console");
    const auto names_of = paper_names(made.plan, &made.document);
    const auto svg_name = std::ranges::find_if(names_of, [](const PaperName& n) {
        return n.name.ends_with(".svg") && n.name.find("template") != std::string::npos;
    });
    std::size_t drawn = 0;
    for (const PaperName& name : names_of) {
        if (!name.name.ends_with(".svg")) continue;
        const auto file = one_paper(made.plan, name.name, &made.document);
        ASSERT_TRUE(file);
        if (file->bytes.find("feed-arrow-1") != std::string::npos) ++drawn;
        EXPECT_EQ(file->bytes, one_paper(made.plan, name.name, &made.document)->bytes);
    }
    EXPECT_GE(drawn, made.rough.cuts.size() > 0 ? 1U : 0U);
    EXPECT_NE(svg_name, names_of.end());
}

TEST(DiscSheet, IsMarkedEveryTenDegreesAtFullSize) {
    const auto document = plan::testing::small();
    const auto sheets = disc_sheets(document.job);
    ASSERT_GE(sheets.size(), 2U);
    const Drawing& d = sheets.front();
    const auto rim = std::ranges::find(d.paths, std::string("rim"), &DrawnPath::id);
    ASSERT_NE(rim, d.paths.end());
    const Box box = geometry::bounding_box(rim->path);
    EXPECT_NEAR(box.width_mm(), 150.0, 1e-9);
    const Point centre = geometry::midpoint(box.low, box.high);
    for (int i = 0; i < 36; ++i) {
        const auto mark = std::ranges::find(d.paths, "mark-" + std::to_string(10 * i), &DrawnPath::id);
        ASSERT_NE(mark, d.paths.end());
        const Point out = mark->path.end() - centre;
        EXPECT_NEAR(geometry::norm(out), 75.0, 1e-9);
        EXPECT_NEAR(geometry::wrap_pi(geometry::heading(out) - 10.0 * i * geometry::pi / 180.0), 0.0, 1e-9);
    }
    EXPECT_TRUE(std::ranges::any_of(sheets, [](const Drawing& s) { return says(s, "never rout it loose"); }));
    for (const Drawing& sheet : sheets) test::expect_on_its_sheet(sheet);
    const auto plan = plan::make_plan(document.job, document.shelf);
    EXPECT_TRUE(one_paper(plan, "disc.pdf", &document));
    EXPECT_FALSE(one_paper(plan, "disc.pdf"));
}

}  // namespace
}  // namespace seamwright::paper
