#include "paper/papers.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>

#include "geometry/path.h"
#include "geometry/path_index.h"
#include "pdf_lines.h"
#include "sample_plan.h"

namespace seamwright::paper {
namespace {

const DrawnPath* find(const Drawing& d, const std::string& id) {
    const auto it = std::ranges::find(d.paths, id, &DrawnPath::id);
    return it == d.paths.end() ? nullptr : &*it;
}

bool says(const Drawing& d, const std::string& part) {
    return std::ranges::any_of(d.texts, [&](const Text& t) { return t.text.find(part) != std::string::npos; });
}

Drawing first_template(const plan::Plan& p) {
    return template_drawing(p, p.seams[0], p.seams[0].templates[0]);
}

TEST(TemplateDrawing, draws_every_line_of_the_plan_unchanged) {
    const plan::Plan p = test::console();
    const auto& t = p.seams[0].templates[0];
    const Drawing d = first_template(p);
    ASSERT_NE(find(d, "template-edge"), nullptr);
    EXPECT_EQ(find(d, "template-edge")->path, t.edge);
    EXPECT_EQ(find(d, "seam")->path, t.seam_line);
    EXPECT_EQ(find(d, "mating-template-edge")->path, *t.mating_edge);
    EXPECT_EQ(find(d, "rough-cut")->path, t.rough_cut);
    EXPECT_EQ(find(d, "template-blank")->path, t.body);
    for (std::size_t i = 0; i < t.registration.size(); ++i)
        EXPECT_NE(find(d, "registration-" + std::to_string(i + 1)), nullptr);
    for (std::size_t i = 0; i < t.fastening.size(); ++i) {
        const auto* mark = find(d, "fastening-" + std::to_string(i + 1));
        ASSERT_NE(mark, nullptr);
        EXPECT_LT(geometry::distance(mark->path.segments[0].centre, t.fastening[i]), 1e-9);
    }
}

TEST(TemplateDrawing, says_what_the_maker_must_know) {
    const Drawing d = first_template(test::console());
    for (const std::string part :
         {"Hall console", "Front seam", "left template", "Hand: left", "THIS SIDE UP", "30 mm guide, 10 mm cutter",
          "Template edge to cut edge: 10.0 mm", "template this side", "run-in", "run-out", "rough cut", "fasten here"})
        EXPECT_TRUE(says(d, part)) << part;
    // 10 mm is no sixteenth: the true value stands beside the fraction.
    const Drawing inches = first_template(test::round_top());
    EXPECT_TRUE(says(inches, "3/8 in (10.00 mm)"));
}

TEST(TemplateDrawing, lines_differ_without_colour) {
    const Drawing d = first_template(test::console());
    std::set<std::pair<double, std::vector<double>>> styles;
    const std::string ids[] = {"template-edge",   "seam",          "mating-template-edge", "rough-cut",
                               "edge-of-the-top", "template-blank"};
    for (const auto& id : ids) {
        ASSERT_NE(find(d, id), nullptr) << id;
        const auto& s = find(d, id)->stroke;
        EXPECT_FALSE(s.colour) << id;
        styles.emplace(s.width_mm, s.dash_mm);
    }
    EXPECT_EQ(styles.size(), std::size(ids));
}

TEST(TemplateDrawing, the_edge_of_the_top_is_shown_where_it_is_and_only_near) {
    const plan::Plan p = test::console();
    const Drawing d = first_template(p);
    const geometry::PathIndex outline(p.outline);
    double length = 0.0;
    for (const auto& path : d.paths) {
        if (path.id != "edge-of-the-top") continue;
        length += geometry::length_mm(path.path);
        for (const Point q : geometry::chords(path.path, 0.1)) EXPECT_LT(outline.distance_mm(q), 1e-6);
    }
    EXPECT_GT(length, 100.0);
    EXPECT_LT(length, geometry::length_mm(p.outline));
    // A closed outline that lies wholly within reach comes back whole, arcs and all.
    const plan::Plan round = test::round_top();
    plan::TemplatePlan wide = round.seams[0].templates[0];
    wide.body = geometry::rectangle({-50.0, -50.0}, {850.0, 850.0});
    const Drawing whole = template_drawing(round, round.seams[0], wide);
    EXPECT_EQ(find(whole, "edge-of-the-top")->path, round.outline);
}

/// Points in the letters' body, from the baseline to the height of small letters.
std::vector<Point> letters(const Text& t) {
    // 0.45 of the height is shorter than any of our words sets a letter, so the points stay on the text.
    const double length = 0.45 * t.height_mm * static_cast<double>(t.text.size());
    const double from = t.anchor == Text::Anchor::left     ? 0.0
                        : t.anchor == Text::Anchor::middle ? -0.5 * length
                                                           : -length;
    const Point along = geometry::unit(t.turn_rad), up = geometry::left_of(along);
    std::vector<Point> out;
    for (double x = 0.0; x <= length; x += 0.25) {
        for (const double y : {0.0, 0.35, 0.7}) out.push_back(t.at + (from + x) * along + y * t.height_mm * up);
    }
    return out;
}

TEST(TemplateDrawing, no_text_lies_on_a_line_or_on_another_text) {
    for (const auto& p : {test::console(), test::round_top()}) {
        for (const auto& s : p.seams) {
            for (const auto& t : s.templates) {
                const Drawing d = template_drawing(p, s, t);
                SCOPED_TRACE(d.title);
                std::vector<geometry::PathIndex> lines;
                for (const auto& path : d.paths) lines.emplace_back(path.path);
                std::size_t tested = 0;
                for (std::size_t i = 0; i < d.texts.size(); ++i) {
                    for (const Point q : letters(d.texts[i])) {
                        ++tested;
                        for (std::size_t k = 0; k < lines.size(); ++k)
                            EXPECT_FALSE(lines[k].any_nearer_than(q, 0.15))
                                << d.texts[i].text << " on " << d.paths[k].id;
                    }
                    for (std::size_t j = i + 1; j < d.texts.size(); ++j) {
                        const auto b = letters(d.texts[j]);
                        for (const Point q : letters(d.texts[i])) {
                            EXPECT_TRUE(
                                std::ranges::none_of(b, [&](Point r) { return geometry::distance(q, r) < 0.3; }))
                                << d.texts[i].text << " on " << d.texts[j].text;
                        }
                    }
                }
                EXPECT_GT(tested, 1000U);
            }
        }
    }
}

TEST(Overview, fits_its_sheet_and_is_to_the_scale_it_says) {
    for (const auto& p : {test::console(), test::round_top()}) {
        SCOPED_TRACE(p.name);
        const SheetSize sheet = find_sheet(p.paper.size).value();
        const Drawing d = overview_drawing(p, sheet);
        ASSERT_TRUE(d.laid_out_on);
        const Box box = d.box();
        EXPECT_GT(box.low.x, 5.0);
        EXPECT_GT(box.low.y, 5.0);
        EXPECT_LT(box.high.x, d.laid_out_on->width_mm - 5.0);
        EXPECT_LT(box.high.y, d.laid_out_on->height_mm - 5.0);
        const auto line =
            std::ranges::find_if(d.texts, [](const Text& t) { return t.text.find("Scale 1 : ") != std::string::npos; });
        ASSERT_NE(line, d.texts.end());
        const double scale = std::stod(line->text.substr(line->text.find(": ") + 2));
        const Box top = geometry::bounding_box(find(d, "edge-of-the-top")->path);
        EXPECT_NEAR(top.width_mm() * scale, p.box.width_mm(), 1e-6);
        EXPECT_NEAR(top.height_mm() * scale, p.box.height_mm(), 1e-6);
        for (const auto& piece : p.pieces) EXPECT_TRUE(says(d, piece.name));
        for (const auto& s : p.seams) EXPECT_TRUE(says(d, s.name));
        EXPECT_TRUE(says(d, units::show(p.box.width_mm(), p.style)));
        // Neighbouring pieces are hatched differently.
        EXPECT_NE(d.paths[0].fill.hatch_angle_rad, d.paths[1].fill.hatch_angle_rad);
        const auto pages = test::read_pages(sheet_pdf({d}));
        ASSERT_EQ(pages.size(), 1U);
        EXPECT_NEAR(pages[0].width_mm, d.laid_out_on->width_mm, 0.001);
    }
}

TEST(Overview, a_plan_of_thirty_narrow_pieces_still_fits) {
    plan::Plan p = test::console();
    p.pieces.clear();
    p.seams.clear();
    for (int i = 0; i < 30; ++i) {
        const double x = 50.0 * i;
        p.pieces.push_back(test::piece_of("Strip number " + std::to_string(i + 1), "European oak", 1.57,
                                          geometry::rectangle({x, 0.0}, {x + 50.0, 380.0}), {x + 25.0, 190.0}));
    }
    const Drawing d = overview_drawing(p, find_sheet("A4").value());
    const Box box = d.box();
    EXPECT_GT(box.low.y, 5.0);
    EXPECT_LT(box.high.y, d.laid_out_on->height_mm);
    EXPECT_TRUE(says(d, "Strip number 30"));
}

TEST(Papers, are_all_there_with_safe_names_and_the_same_bytes_each_time) {
    plan::Plan p = test::console();
    p.seams[0].templates[0].title = "Mitte/Öffnung: \"links\" ..\\";
    p.seams[0].templates[1].title = p.seams[0].templates[0].title;
    const auto files = all_papers(p);
    EXPECT_EQ(files.size(), 2U + 3U * 4U);
    std::set<std::string> names;
    for (const auto& f : files) {
        EXPECT_TRUE(names.insert(f.name).second) << f.name;
        EXPECT_EQ(f.name.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-."), std::string::npos) << f.name;
        EXPECT_NE(f.name.front(), '.');
        EXPECT_FALSE(f.says.empty());
        EXPECT_EQ(f.bytes.substr(0, 5), f.name.ends_with(".pdf") ? "%PDF-" : "<?xml");
    }
    EXPECT_TRUE(names.contains("mitte-offnung-links-sheets.pdf"));
    EXPECT_TRUE(names.contains("mitte-offnung-links-2-sheets.pdf"));
    const auto again = all_papers(p);
    for (std::size_t i = 0; i < files.size(); ++i) EXPECT_EQ(files[i].bytes, again[i].bytes) << files[i].name;
}

TEST(Papers, an_unknown_sheet_is_refused_with_the_names_that_exist) {
    plan::Plan p = test::console();
    p.paper.size = "Foolscap";
    try {
        all_papers(p);
        FAIL() << "not refused";
    } catch (const std::invalid_argument& e) {
        const std::string text = e.what();
        EXPECT_NE(text.find("/paper/size"), std::string::npos);
        EXPECT_NE(text.find("Foolscap"), std::string::npos);
        EXPECT_NE(text.find("A4, A3, Letter, Tabloid"), std::string::npos);
    }
    p = test::console();
    p.paper.correction.measured_x_mm = 0.0;
    EXPECT_THROW(all_papers(p), std::invalid_argument);
}

TEST(Papers, one_by_name_is_the_same_file_as_among_all) {
    const plan::Plan p = test::console();
    const auto all = all_papers(p);
    const auto names = paper_names(p);
    ASSERT_EQ(names.size(), all.size());
    for (std::size_t i = 0; i < all.size(); ++i) {
        EXPECT_EQ(names[i].name, all[i].name);
        EXPECT_FALSE(names[i].says.empty());
        const auto one = one_paper(p, names[i].name);
        ASSERT_TRUE(one) << names[i].name;
        EXPECT_EQ(one->bytes, all[i].bytes) << names[i].name;
        EXPECT_EQ(one->says, all[i].says);
    }
    EXPECT_FALSE(one_paper(p, "../" + all[0].name));
    EXPECT_FALSE(one_paper(p, ""));
}

}  // namespace
}  // namespace seamwright::paper
