#include "marks.h"

#include <array>
#include <string_view>

#include "geometry/path.h"
#include "strokes.h"

namespace seamwright::paper {

DrawnPath drawn(const Path& path, const Stroke& stroke, const std::string& id) {
    DrawnPath p;
    p.path = path;
    p.stroke = stroke;
    p.id = id;
    return p;
}

DrawnPath straight(Point a, Point b, const Stroke& stroke, const std::string& id) {
    Path path;
    path.segments.push_back(geometry::line(a, b));
    return drawn(path, stroke, id);
}

DrawnPath arrow_head(Point tip, double heading_rad, double length_mm, const std::string& id) {
    constexpr double half_width_per_length = 0.30;
    const Point along = geometry::unit(heading_rad);
    const Point back = tip - length_mm * along;
    const Point side = half_width_per_length * length_mm * geometry::left_of(along);
    const Point corners[] = {tip, back + side, back - side};
    DrawnPath p = drawn(geometry::polyline(corners, true), {0.0, {}, 0.0, {}}, id);
    p.fill.colour = "#000000";
    return p;
}

DrawnPath ground(const Path& outline) {
    DrawnPath p = drawn(outline, {0.0, {}, 0.0, {}});
    p.fill.colour = "#ffffff";
    return p;
}

void add_registration(Drawing& drawing, Point at, const std::string& id) {
    constexpr double radius_mm = 4.0;
    const Point x{registration_half_mm, 0.0}, y{0.0, registration_half_mm};
    drawing.paths.push_back(drawn(geometry::circle(at, radius_mm), mark_stroke(), id));
    drawing.paths.push_back(straight(at - x, at + x, mark_stroke(), id + "-across"));
    drawing.paths.push_back(straight(at - y, at + y, mark_stroke(), id + "-up"));
}

void add_fastening(Drawing& drawing, Point at, const std::string& id) {
    const double half = fastening_radius_mm * 0.7071067811865476;  // 1/√2: the cross ends on the circle
    drawing.paths.push_back(drawn(geometry::circle(at, fastening_radius_mm), mark_stroke(), id));
    drawing.paths.push_back(straight(at + Point{-half, -half}, at + Point{half, half}, mark_stroke(), id + "-a"));
    drawing.paths.push_back(straight(at + Point{-half, half}, at + Point{half, -half}, mark_stroke(), id + "-b"));
}

void add_tape(Drawing& drawing, Point at, const std::string& id) {
    const Point half{0.5 * tape_long_mm, 0.5 * tape_wide_mm};
    drawing.paths.push_back(drawn(geometry::rectangle(at - half, at + half), mark_stroke(), id));
}

std::string slug(const std::string& name) {
    // U+00C0 .. U+00FF without their accents.
    static constexpr std::array<std::string_view, 64> latin{
        "a", "a", "a", "a", "a", "a", "ae", "c", "e", "e", "e", "e", "i", "i", "i",  "i",
        "d", "n", "o", "o", "o", "o", "o",  "-", "o", "u", "u", "u", "u", "y", "th", "ss",
        "a", "a", "a", "a", "a", "a", "ae", "c", "e", "e", "e", "e", "i", "i", "i",  "i",
        "d", "n", "o", "o", "o", "o", "o",  "-", "o", "u", "u", "u", "u", "y", "th", "y"};
    constexpr std::size_t longest = 60;
    std::string out;
    const auto dash = [&] {
        if (!out.empty() && out.back() != '-') out += '-';
    };
    for (std::size_t i = 0; i < name.size() && out.size() < longest; ++i) {
        const char c = name[i];
        if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) {
            out += c;
        } else if (c >= 'A' && c <= 'Z') {
            out += static_cast<char>(c - 'A' + 'a');
        } else if (c == '\xC3' && i + 1 < name.size()) {
            const auto next = static_cast<unsigned char>(name[++i]);
            const std::string_view plain = next >= 0x80 && next <= 0xBF ? latin[next - 0x80u] : "-";
            if (plain == "-") {
                dash();
            } else {
                out += plain;
            }
        } else {
            dash();
        }
    }
    while (!out.empty() && out.back() == '-') out.pop_back();
    return out.empty() ? "drawing" : out;
}

}  // namespace seamwright::paper
