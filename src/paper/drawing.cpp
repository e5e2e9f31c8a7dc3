#include "paper/drawing.h"

#include "text_size.h"

namespace seamwright::paper {

Box text_box(const Text& t) {
    const double length = text_length_mm(t);
    const double from = t.anchor == Text::Anchor::left     ? 0.0
                        : t.anchor == Text::Anchor::middle ? -0.5 * length
                                                           : -length;
    const Point along = geometry::unit(t.turn_rad);
    const Point up = geometry::left_of(along);
    Box box;
    for (const double x : {from, from + length}) {
        for (const double y : {-descent_per_height * t.height_mm, ascent_per_height * t.height_mm})
            box.add(t.at + x * along + y * up);
    }
    return box;
}

Box Drawing::box() const {
    Box box;
    for (const auto& p : patches) {
        for (const Path& edge : p.clip) box.add(geometry::bounding_box(edge));
    }
    for (const auto& p : paths) {
        if (p.path.empty()) continue;
        box.add(geometry::bounding_box(p.path).grown(0.5 * p.stroke.width_mm));
        for (const auto& h : p.holes) {
            if (!h.empty()) box.add(geometry::bounding_box(h).grown(0.5 * p.stroke.width_mm));
        }
    }
    for (const auto& t : texts) {
        if (!t.text.empty()) box.add(text_box(t));
    }
    return box;
}

}  // namespace seamwright::paper
