#include "edge_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "dimension_lines.h"
#include "marks.h"
#include "plan/words.h"

namespace seamwright::paper {
namespace {

using process::EdgeProfile;
using Kind = EdgeProfile::Kind;

const Stroke outline{.width_mm = 0.35, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke edge_mark{.width_mm = 1.0, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke off_line{.width_mm = 0.25, .dash_mm = {1.6, 1.0}, .grey = 0.0, .colour = {}};
const Stroke joint_line{.width_mm = 0.5, .dash_mm = {6.0, 1.2, 0.8, 1.2}, .grey = 0.0, .colour = {}};

constexpr double above_mm = 9.5, below_mm = 3.5;  ///< for what stands over and under the wood, sizes not counted
constexpr double left_mm = 6.0, right_mm = 27.0;  ///< for the break and for the upright sizes
constexpr double least_inward_mm = 45.0, past_mm = 18.0;  ///< how far in the top is drawn, on paper
constexpr std::array<double, 5> scales{1.0, 2.0, 2.5, 4.0, 5.0};

/// On paper.
double inward_mm(const EdgeSection& section, double n) {
    const double reach = std::max(process::reach_mm(section.shape.top), process::reach_mm(section.shape.underside));
    const double built = section.build_up ? section.build_up->width_mm : 0.0;
    return std::max(least_inward_mm, std::max(reach, built) / n + past_mm);
}

/// A size beside the edge, from the foot up.
struct Upright {
    double from_mm = 0.0, to_mm = 0.0;
    std::string says;
    const char* id = "";
};
std::vector<Upright> uprights(const EdgeSection& section) {
    const auto size = [&](double mm) { return plan::words::exact_size(mm, section.style); };
    const double thick = section.shape.thickness_mm, low = process::reach_mm(section.shape.underside),
                 high = thick - process::reach_mm(section.shape.top);
    std::vector<Upright> out;
    if (high - low < thick) out.push_back({low, high, "upright " + size(high - low), "edge size upright"});
    if (section.build_up) {
        const double built = section.build_up->thickness_mm;
        out.push_back({built, thick, "top " + size(thick - built), "edge size joint"});
    }
    out.push_back({0.0, thick, "edge " + size(thick), "edge size thickness"});
    return out;
}

/// For what stands over the face: the size of the upper profile, and words of uprights that are longer than those.
double over_mm(const EdgeSection& section, double n) {
    double out = above_mm;
    for (const Upright& u : uprights(section))
        out = std::max(
            out, upright_reach_mm(u.says, (u.to_mm - u.from_mm) / n) - (section.shape.thickness_mm - u.to_mm) / n);
    return out;
}

/// For the sizes under the foot.
double sizes_below_mm(const EdgeSection& section) {
    const int rows = (process::reach_mm(section.shape.underside) > 0.0 ? 1 : 0) + (section.build_up ? 1 : 0);
    return below_mm + dimension_row_mm * rows;
}

/// The routed surface from `from` to `to`, past the corner where both rims would have met.
geometry::Segment surface(const EdgeProfile& profile, Point from, Point to, Point corner) {
    if (profile.kind == Kind::chamfer) return geometry::line(from, to);
    const Point centre = profile.kind == Kind::cove ? corner : from + (to - corner);
    const Point a = from - centre, b = to - centre;
    return geometry::arc_about(centre, from, std::atan2(geometry::cross(a, b), geometry::dot(a, b)));
}

class Picture {
  public:
    Picture(Drawing& drawing, const EdgeSection& section, double middle_x, double foot_y, double n)
        : drawing_(drawing),
          section_(section),
          n_(n),
          high_(section.shape.thickness_mm / n),
          inward_(inward_mm(section, n)),
          edge_(middle_x + 0.5 * (left_mm + inward_ + right_mm) - right_mm, foot_y + sizes_below_mm(section)) {}

    void draw() {
        const double built = section_.build_up ? section_.build_up->thickness_mm / n_ : 0.0;
        const double built_wide = section_.build_up ? section_.build_up->width_mm / n_ : 0.0;
        const EdgeProfile &top = section_.shape.top, &under = section_.shape.underside;
        off(top, at(0.0, high_), -1.0);
        off(under, at(0.0, 0.0), 1.0);

        // Counter-clockwise from the underside's break, up the edge and back along the face.
        Path wood;
        wood.closed = true;
        const double low = reach(under), upper = reach(top);
        const Point foot = built > 0.0 ? at(-built_wide, 0.0) : at(-inward_, 0.0);
        edge_surface_.push_back(geometry::line(foot, at(-low, 0.0)));
        if (low > 0.0) edge_surface_.push_back(surface(under, at(-low, 0.0), at(0.0, low), at(0.0, 0.0)));
        edge_surface_.push_back(geometry::line(at(0.0, low), at(0.0, high_ - upper)));
        if (upper > 0.0)
            edge_surface_.push_back(surface(top, at(0.0, high_ - upper), at(-upper, high_), at(0.0, high_)));
        edge_surface_.push_back(geometry::line(at(-upper, high_), at(-inward_, high_)));
        wood.segments = edge_surface_;
        add_break(wood, built);
        if (built > 0.0) {
            wood.segments.push_back(geometry::line(at(-inward_, built), at(-built_wide, built)));
            wood.segments.push_back(geometry::line(at(-built_wide, built), foot));
        }
        DrawnPath whole = drawn(wood, outline, "edge wood");
        whole.fill = {"#ffffff", 1.7, 0.25 * geometry::pi};
        drawing_.paths.push_back(std::move(whole));
        if (built > 0.0) joint(built, built_wide);
        Path surface_path;
        surface_path.segments = edge_surface_;
        drawing_.paths.push_back(drawn(surface_path, edge_mark, "edge surface"));
        sizes(built, built_wide);
    }

  private:
    Point at(double x, double y) const { return edge_ + Point{x, y}; }
    double reach(const EdgeProfile& profile) const { return process::reach_mm(profile) / n_; }
    std::string size(double mm) const { return plan::words::exact_size(mm, section_.style); }

    void off(const EdgeProfile& profile, Point corner, double inward_y) {
        const double r = reach(profile);
        if (r == 0.0) return;
        drawing_.paths.push_back(straight(corner - Point{r, 0.0}, corner, off_line, "edge off"));
        drawing_.paths.push_back(straight(corner, corner + Point{0.0, inward_y * r}, off_line, "edge off"));
    }

    /// Where the top is broken off in the picture: a line that swings out and in.
    void add_break(Path& wood, double from_y) const {
        const double x = -inward_, middle = 0.5 * (from_y + high_), swing = std::min(1.6, 0.2 * (high_ - from_y));
        const std::array<Point, 4> by{at(x - swing, 0.5 * (middle + high_)), at(x, middle),
                                      at(x + swing, 0.5 * (middle + from_y)), at(x, from_y)};
        Point last = at(x, high_);
        for (const Point next : by) {
            wood.segments.push_back(geometry::line(last, next));
            last = next;
        }
    }

    void joint(double built, double built_wide) {
        drawing_.paths.push_back(straight(at(-built_wide, built), at(0.0, built), joint_line, "edge joint"));
        grounded_text(drawing_, {at(-0.5 * built_wide, 0.5 * built - 0.9), "build-up", dimension_text_mm, 0.0,
                                 Text::Anchor::middle, false});
    }

    void sizes(double built, double built_wide) {
        const EdgeProfile &top = section_.shape.top, &under = section_.shape.underside;
        const double low = reach(under);
        // Over the face and under the foot: how far a profile reaches in, and as far down.
        const auto across = [&](const EdgeProfile& profile, double y, double feature_y, const char* id) {
            const double r = reach(profile);
            if (r == 0.0) return;
            draw_size(drawing_, AcrossSize{at(-r, 0.0).x, at(0.0, 0.0).x, y, feature_y, false},
                      fmt::format("{} {}, in and down alike", process::says(profile.kind), size(profile.size_mm)), id);
        };
        across(top, at(0.0, high_).y + 4.5, at(0.0, high_).y, "edge size top");
        double y = at(0.0, 0.0).y - 4.5;
        if (low > 0.0) {
            draw_size(drawing_, AcrossSize{at(-low, 0.0).x, at(0.0, 0.0).x, y, at(0.0, 0.0).y, false},
                      fmt::format("{} {}, in and up alike", process::says(under.kind), size(under.size_mm)),
                      "edge size underside");
            y -= dimension_row_mm;
        }
        if (built > 0.0)
            draw_size(drawing_, AcrossSize{at(-built_wide, 0.0).x, at(0.0, 0.0).x, y, at(0.0, 0.0).y, false},
                      "build-up " + size(section_.build_up->width_mm), "edge size build-up");

        // Beside the edge.
        double x = at(0.0, 0.0).x + 6.0;
        for (const Upright& u : uprights(section_)) {
            draw_size(drawing_, UprightSize{at(0.0, u.from_mm / n_).y, at(0.0, u.to_mm / n_).y, x, at(0.0, 0.0).x},
                      u.says, u.id);
            x += dimension_column_mm;
        }

        const auto name = [&](double name_y, const char* said) {
            grounded_text(drawing_,
                          {at(2.5 - inward_, name_y), said, dimension_text_mm, 0.0, Text::Anchor::left, true});
        };
        name(high_ - 3.2, "top face");
        name(built + 1.4, "underside");
    }

    Drawing& drawing_;
    const EdgeSection& section_;
    double n_, high_, inward_;
    Point edge_;  ///< where edge and underside meet
    std::vector<geometry::Segment> edge_surface_;
};

}  // namespace

double edge_section_height_mm(const EdgeSection& section, double n) {
    return sizes_below_mm(section) + section.shape.thickness_mm / n + over_mm(section, n);
}

double edge_section_n(const EdgeSection& section, double wide_mm, double highest_mm) {
    for (const double n : scales)
        if (left_mm + inward_mm(section, n) + right_mm <= wide_mm && edge_section_height_mm(section, n) <= highest_mm)
            return n;
    return scales.back();
}

void draw_edge_section(Drawing& drawing, const EdgeSection& section, double middle_x, double foot_y, double n) {
    Picture(drawing, section, middle_x, foot_y, n).draw();
}

}  // namespace seamwright::paper
