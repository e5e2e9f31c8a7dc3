#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <charconv>
#include <cmath>
#include <string>
#include <vector>

#include "geometry/path.h"
#include "paper/drawing.h"
#include "sample.h"

namespace seamwright::paper {
namespace {

/// One drawn piece of a "d" attribute, arcs by the rule of SVG 1.1, appendix F.6.5 (end points to centre).
struct Piece {
    Point start, end, centre;
    double radius = 0.0;  // 0: a line
    bool decreasing = false;
};

class DataReader {
  public:
    explicit DataReader(std::string d) : d_(std::move(d)) {}
    std::vector<Piece> read() {
        std::vector<Piece> out;
        Point at, begin;
        while (i_ < d_.size()) {
            const char command = d_[i_++];
            if (command == 'M') {
                at = begin = point();
            } else if (command == 'L') {
                const Point to = point();
                out.push_back({at, to, {}, 0.0, false});
                at = to;
            } else if (command == 'A') {
                const double rx = number(), ry = number();
                EXPECT_EQ(rx, ry);
                EXPECT_EQ(number(), 0.0);
                EXPECT_EQ(number(), 0.0);  // never the long way round
                const bool sweep = number() == 1.0;
                const Point to = point();
                const Point half = 0.5 * (to - at);
                const double h = std::sqrt(std::max(0.0, rx * rx - geometry::norm2(half)));
                const double side = sweep ? 1.0 : -1.0;
                const Point centre =
                    geometry::midpoint(at, to) + side * h / geometry::norm(half) * geometry::left_of(half);
                out.push_back({at, to, centre, rx, !sweep});
                at = to;
            } else if (command == 'Z') {
                EXPECT_LT(geometry::distance(at, begin), 1e-5);
            } else {
                ADD_FAILURE() << "command " << command;
                return out;
            }
        }
        return out;
    }

  private:
    std::string d_;
    std::size_t i_ = 0;
    double number() {
        while (i_ < d_.size() && d_[i_] == ' ') ++i_;
        double v = 0.0;
        const auto [end, error] = std::from_chars(d_.data() + i_, d_.data() + d_.size(), v);
        EXPECT_EQ(error, std::errc{});
        i_ = static_cast<std::size_t>(end - d_.data());
        return v;
    }
    Point point() {
        const double x = number();
        return {x, number()};
    }
};

std::string between(const std::string& text, const std::string& before, const std::string& after,
                    std::size_t from = 0) {
    const std::size_t at = text.find(before, from);
    if (at == std::string::npos) return {};
    const std::size_t begin = at + before.size();
    return text.substr(begin, text.find(after, begin) - begin);
}

std::string data_of(const std::string& svg, const std::string& id) {
    const std::size_t at = svg.find("id=\"" + id + "\"");
    EXPECT_NE(at, std::string::npos);
    return between(svg, " d=\"", "\"", at);
}

double worst_distance(const Path& path, const std::string& d, Point origin_up) {
    double worst = 0.0;
    std::size_t piece = 0;
    const auto pieces = DataReader(d).read();
    for (const auto& s : path.segments) {
        const std::size_t first = piece;
        // A segment is one piece, or several arcs.
        double covered = 0.0;
        while (piece < pieces.size() && covered < geometry::length_mm(s) - 1e-4) {
            const Piece& p = pieces[piece++];
            if (p.radius == 0.0) {
                covered += geometry::distance(p.start, p.end);
            } else {
                covered +=
                    2.0 * p.radius * std::asin(std::min(1.0, 0.5 * geometry::distance(p.start, p.end) / p.radius));
            }
        }
        for (std::size_t k = first; k < piece; ++k) {
            const Piece& p = pieces[k];
            for (int i = 0; i <= 10; ++i) {
                Point q;
                if (p.radius == 0.0) {
                    q = p.start + i / 10.0 * (p.end - p.start);
                } else {
                    double from = geometry::heading(p.start - p.centre), to = geometry::heading(p.end - p.centre);
                    if (p.decreasing && to > from) to -= 2.0 * geometry::pi;
                    if (!p.decreasing && to < from) to += 2.0 * geometry::pi;
                    q = p.centre + p.radius * geometry::unit(from + (to - from) * i / 10.0);
                }
                const Point drawing{q.x + origin_up.x, origin_up.y - q.y};
                worst = std::max(worst, geometry::nearest(s, drawing).distance_mm);
            }
        }
    }
    EXPECT_EQ(piece, pieces.size());
    return worst;
}

double read_number(const std::string& text) {
    double v = 0.0;
    std::from_chars(text.data(), text.data() + text.size(), v);
    return v;
}

/// Well-formed enough to fail on a raw &, < or an unclosed element.
void expect_well_formed(const std::string& xml) {
    std::vector<std::string> open;
    std::size_t i = 0;
    while (i < xml.size()) {
        if (xml[i] == '&') {
            const std::string entity = xml.substr(i, xml.find(';', i) - i + 1);
            EXPECT_TRUE(entity == "&amp;" || entity == "&lt;" || entity == "&gt;" || entity == "&quot;") << entity;
            ++i;
        } else if (xml[i] == '<') {
            const std::size_t end = xml.find('>', i);
            ASSERT_NE(end, std::string::npos);
            const std::string tag = xml.substr(i + 1, end - i - 1);
            EXPECT_EQ(tag.find('<'), std::string::npos) << tag;
            EXPECT_EQ(std::count(tag.begin(), tag.end(), '"') % 2, 0) << tag;
            if (tag[0] == '/') {
                ASSERT_FALSE(open.empty());
                EXPECT_EQ(open.back(), tag.substr(1));
                open.pop_back();
            } else if (tag[0] != '?' && tag.back() != '/') {
                open.push_back(tag.substr(0, tag.find(' ')));
            }
            i = end + 1;
        } else {
            ++i;
        }
    }
    EXPECT_TRUE(open.empty());
}

RC_GTEST_PROP(Svg, arcs_come_back_as_they_were, ()) {
    const auto between_values = [](double low, double high) {
        return low + (high - low) * *rc::gen::inRange(0, 1000001) / 1e6;
    };
    Path path;
    Point at{between_values(-2000.0, 2000.0), between_values(-2000.0, 2000.0)};
    const int size = *rc::gen::inRange(1, 8);
    for (int i = 0; i < size; ++i) {
        const double sweep = between_values(0.05, 6.2) * (*rc::gen::arbitrary<bool>() ? 1.0 : -1.0);
        const Point centre = at + between_values(1.0, 2000.0) * geometry::unit(between_values(-3.0, 3.0));
        path.segments.push_back(geometry::arc_about(centre, at, sweep));
        at = path.end();
        path.segments.push_back(geometry::line(at, at + Point{between_values(1.0, 100.0), 3.0}));
        at = path.end();
    }
    Drawing d;
    d.title = "Any";
    d.paths.push_back(test::stroked(path));
    d.paths.back().id = "any";
    const std::string text = svg(d);
    const Box page = d.box().grown(5.0);
    RC_ASSERT(worst_distance(path, data_of(text, "any"), {page.low.x, page.high.y}) < 2e-6);
}

TEST(Svg, full_circles_keep_their_centre) {
    Drawing d;
    d.title = "Circle";
    d.paths.push_back(test::stroked(geometry::circle({0.1234567, -7.7654321}, 333.3333333)));
    d.paths.back().id = "circle";
    const Box page = d.box().grown(5.0);
    EXPECT_LT(worst_distance(d.paths[0].path, data_of(svg(d), "circle"), {page.low.x, page.high.y}), 2e-6);
}

TEST(Svg, is_in_true_millimetres) {
    const Drawing d = test::sample();
    const std::string text = svg(d);
    const std::string width = between(text, " width=\"", "mm\""), height = between(text, " height=\"", "mm\"");
    EXPECT_EQ(between(text, "viewBox=\"", "\""), "0 0 " + width + " " + height);
    EXPECT_NEAR(read_number(width), d.box().width_mm() + 10.0, 1e-6);
    EXPECT_NEAR(read_number(height), d.box().height_mm() + 10.0, 1e-6);
}

TEST(Svg, escapes_what_people_write_and_keeps_ids_apart) {
    Drawing d = test::sample("Tom & \"Ann\" <top>\x01");
    for (auto& p : d.paths) p.id = "2nd line / café";
    d.paths[1].fill = {"#ffffff", 3.0, 0.5};
    d.paths[1].stroke.dash_mm = {4.0, 2.0};
    const std::string text = svg(d);
    expect_well_formed(text);
    EXPECT_NE(text.find("Tom &amp; &quot;Ann&quot; &lt;top&gt;</title>"), std::string::npos);
    EXPECT_NE(text.find("A &amp; B &lt; C"), std::string::npos);
    EXPECT_NE(text.find("stroke-dasharray=\"4 2\""), std::string::npos);
    EXPECT_NE(text.find("id=\"line-2nd-line---caf--\""), std::string::npos);
    EXPECT_NE(text.find("id=\"line-2nd-line---caf---2\""), std::string::npos);
    EXPECT_EQ(text, svg(d));
}

TEST(Svg, a_left_bend_stays_a_left_bend) {
    Drawing d;
    d.title = "Bend";
    Path path;
    path.segments.push_back(geometry::arc_about({0.0, 0.0}, {10.0, 0.0}, 1.0));
    d.paths.push_back(test::stroked(path, 0.0));
    d.paths.back().id = "bend";
    // y down: counter-clockwise on paper is the negative sweep of SVG.
    EXPECT_EQ(data_of(svg(d), "bend").find("A10 10 0 0 0 "), 0U + data_of(svg(d), "bend").find('A'));
}

}  // namespace
}  // namespace seamwright::paper
