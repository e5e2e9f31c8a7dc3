#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "grips.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

using geometry::dot;

// The job file allows 10 mm to 20 m; half an inch is the first mark above in both units.
constexpr double least_side_mm = 12.7, most_side_mm = 20000.0;

class OutlineGrips {
  public:
    explicit OutlineGrips(const View& view) : view_(view), ruler_(view.ruler) {}

    std::vector<Grip> make() {
        const job::Outline& outline = view_.document.job.outline;
        if (const auto* rectangle = std::get_if<job::RectangleOutline>(&outline)) add(*rectangle);
        if (const auto* round = std::get_if<job::RoundOutline>(&outline)) add(*round);
        if (const auto* oval = std::get_if<job::OvalOutline>(&outline)) add(*oval);
        if (const auto* free = std::get_if<job::FreeOutline>(&outline))
            add_curve_grips(grips_, view_, {"top", "outline", "drawn"}, free->curve, {});
        return std::move(grips_);
    }

  private:
    void add(std::string id, Handle::Kind kind, Point at, std::optional<Point> from, std::string name, double value_mm,
             Sizing size) {
        size.value = value_mm;
        grips_.push_back(
            {{std::move(id), kind, at, from, std::move(name), ruler_.show(value_mm), false}, std::move(size)});
    }

    void side(const Steps& steps, const char* member, const char* name, Handle::Kind kind, Point at, Point from,
              Point way, double value_mm, double needed_mm = 0.0) {
        Sizing size;
        // Edgings need less than half the top on each side (and a field between them).
        constexpr double with_field = 2.05;
        size.least = std::max({least_side_mm, needed_mm, with_field * edging_mm(view_.document.job)});
        size.most = most_side_mm;
        size.grows = way;
        size.at = [way](Point p) { return dot(p, way); };
        size.write = length_at(steps / member);
        add(fmt::format("{}#{}", pointer_of(steps), member), kind, at, from, name, value_mm, size);
    }

    void add(const job::RoundOutline& round) {
        const double d = round.diameter_mm;
        side({"top", "outline", "round"}, "diameter", "Diameter", Handle::Kind::size, {d, 0.5 * d}, {0.0, 0.5 * d},
             {1.0, 0.0}, d);
    }

    void add(const job::OvalOutline& oval) {
        const Steps steps{"top", "outline", "oval"};
        const double l = oval.length_mm, w = oval.width_mm;
        side(steps, "length", "Length", Handle::Kind::length, {l, 0.5 * w}, {0.0, 0.5 * w}, {1.0, 0.0}, l);
        side(steps, "width", "Width", Handle::Kind::width, {0.5 * l, w}, {0.5 * l, 0.0}, {0.0, 1.0}, w);
    }

    void add(const job::RectangleOutline& top) {
        const Steps steps{"top", "outline", "rectangle"};
        const double l = top.length_mm, w = top.width_mm;
        const auto plain = [](const job::Edge& edge) { return std::holds_alternative<job::StraightEdge>(edge); };
        // On an edge that is not straight the middle belongs to the edge's own handle.
        constexpr double middle = 0.5, aside = 0.8;
        const double y = w * (plain(top.right) ? middle : aside), x = l * (plain(top.back) ? middle : aside);
        side(steps, "length", "Length", Handle::Kind::length, {l, y}, {0.0, y}, {1.0, 0.0}, l,
             needed_mm(top, top.front, top.back, 0, 2, &Point::x));
        side(steps, "width", "Width", Handle::Kind::width, {x, w}, {x, 0.0}, {0.0, 1.0}, w,
             needed_mm(top, top.right, top.left, 1, 3, &Point::y));

        const std::array<Point, 4> corners{Point{0.0, 0.0}, Point{l, 0.0}, Point{l, w}, Point{0.0, w}};
        const std::array<const job::Edge*, 4> edges{&top.front, &top.right, &top.back, &top.left};
        constexpr std::array<const char*, 4> names{"front", "right", "back", "left"};
        for (std::size_t i = 0; i < 4; ++i) {
            const Point from = corners[i], to = corners[(i + 1) % 4];
            const Steps edge = steps / names[i];
            if (const auto* bowed = std::get_if<job::BowedEdge>(edges[i]))
                bow(edge, names[i], from, to, bowed->rise_mm);
            if (std::holds_alternative<job::DrawnEdge>(*edges[i])) pins(edge, names[i], from, to);
        }
        for (std::size_t i = 0; i < 4; ++i) corner(steps, top, i, corners);
    }

    /// The least length of two opposite edges with their corners, bows and pins; `first`, `second`: the corners they
    /// start at.
    static double needed_mm(const job::RectangleOutline& top, const job::Edge& one, const job::Edge& other,
                            std::size_t first, std::size_t second, double Point::* along) {
        const auto& r = top.corner_radius_mm;
        double needed = std::max(r[first] + r[first + 1], r[second] + r[(second + 1) % 4]);
        for (const job::Edge* edge : {&one, &other}) {
            if (const auto* bowed = std::get_if<job::BowedEdge>(edge))
                needed = std::max(needed, 2.0 * std::abs(bowed->rise_mm));
            if (const auto* drawn = std::get_if<job::DrawnEdge>(edge)) {
                constexpr double clear_mm = 1.0;
                for (const Point pin : drawn->pins) needed = std::max(needed, pin.*along + clear_mm);
            }
        }
        // A hair more, so that rounding to a written number does not fall short.
        constexpr double hair_mm = 0.01;
        return needed > 0.0 ? needed + hair_mm : 0.0;
    }

    void bow(const Steps& edge, const char* name, Point from, Point to, double rise_mm) {
        const Point middle = geometry::midpoint(from, to);
        const Point out = geometry::right_of(to - from) / geometry::distance(from, to);
        Sizing size;
        // A half circle is the most the job allows; it leaves no room for corners.
        size.most = 0.5 * geometry::distance(from, to);
        size.least = -size.most;
        size.smallest = ruler_.finest_mm();
        size.grows = out;
        size.at = [middle, out](Point p) { return dot(p - middle, out); };
        size.write = length_at(edge / "bow");
        add(pointer_of(edge) + "#bow", Handle::Kind::rise, middle + rise_mm * out, middle,
            fmt::format("Bow of the {} edge", name), rise_mm, size);
    }

    /// From the document, where they may run the other way round than in the outline.
    void pins(const Steps& edge, const char* name, Point from, Point to) {
        const Json* list = find(view_.tree, edge / "pins");
        if (list == nullptr || !list->is_array()) return;
        const double length_mm = geometry::distance(from, to);
        const Point way = (to - from) / length_mm;
        const auto along = [from, way](Point p) { return dot(p - from, way); };
        std::vector<Point> all;
        for (const Json& item : *list) all.push_back(ruler_.point(&item).value_or(Point{}));
        std::vector<double> places{0.0, length_mm};
        for (const Point p : all) places.push_back(along(p));
        std::sort(places.begin(), places.end());
        geometry::Box room = room_around(view_);
        for (std::size_t i = 0; i < all.size(); ++i) {
            const auto it = std::lower_bound(places.begin() + 1, places.end() - 1, along(all[i]));
            const double before = *(it - 1), after = it + 1 < places.end() ? *(it + 1) : length_mm;
            constexpr double apart_mm = 1.0;
            const auto allowed = [=](Point p) { return along(p) >= before + apart_mm && along(p) <= after - apart_mm; };
            const Steps place = edge / "pins" / i;
            grips_.push_back({{pointer_of(place),
                               Handle::Kind::pin,
                               all[i],
                               {},
                               fmt::format("Pin {} of {} of the {} edge", i + 1, all.size(), name),
                               ruler_.show(all[i]),
                               true},
                              Placing{place, {}, room, allowed}});
        }
    }

    void corner(const Steps& steps, const job::RectangleOutline& top, std::size_t i,
                const std::array<Point, 4>& corners) {
        constexpr std::array<const char*, 4> names{"front_left", "front_right", "back_right", "back_left"};
        constexpr std::array<const char*, 4> words{"front left", "front right", "back right", "back left"};
        const Point corner = corners[i];
        const Point inward{i == 0 || i == 3 ? 1.0 : -1.0, i < 2 ? 1.0 : -1.0};
        const double radius_mm = top.corner_radius_mm[i];
        const Steps whole = steps / "corner_radius";
        const Json* written = find(view_.tree, whole);
        const bool all_alike = written != nullptr && !written->is_structured();
        // The middle of the arc lies r(1 − 1/√2) from both edges.
        const double inset = 1.0 - std::sqrt(0.5);
        Sizing size;
        size.most = 0.5 * std::min(top.length_mm, top.width_mm);
        if (!all_alike) {
            const double beside_mm = top.length_mm - top.corner_radius_mm[i % 2 == 0 ? i + 1 : i - 1];
            const double across_mm = top.width_mm - top.corner_radius_mm[3 - i];
            size.most = std::min(beside_mm, across_mm);
        }
        size.gain = 1.0 / inset;
        size.grows = inward;
        size.at = [corner, inward, inset](Point p) { return 0.5 * dot(p - corner, inward) / inset; };
        size.write = [steps = all_alike ? whole : whole / names[i], whole](Json& tree, const Ruler& ruler, double mm) {
            put(tree, steps, ruler.written(mm));
        };
        add(fmt::format("{}#{}", pointer_of(whole), names[i]), Handle::Kind::radius,
            corner + radius_mm * inset * inward, corner,
            capitalised(fmt::format("{} corner", all_alike ? "every" : words[i])), radius_mm, size);
    }

    const View& view_;
    const Ruler& ruler_;
    std::vector<Grip> grips_;
};

void add_edging_grip(std::vector<Grip>& grips, const View& view, std::size_t i) {
    if (view.outline.empty()) return;
    const geometry::PathIndex edge(view.outline);
    const geometry::Box box = edge.box();
    const double narrow_mm = std::min(box.width_mm(), box.height_mm());
    const EdgePlace front = nearest_place(edge, {0.5 * (box.low.x + box.high.x), box.low.y - box.height_mm()});
    const double width_mm = view.document.job.seams[i].edging_width_mm;
    const Steps steps{"seams", std::to_string(i)};
    Sizing size;
    size.value = width_mm;
    size.least = 3.0;  // as the job file allows
    // Somewhat less than half the top, so that a field is left.
    size.most = std::max(size.least, 0.49 * narrow_mm);
    size.grows = -front.outward;
    size.at = [front](Point p) { return -dot(p - front.at, front.outward); };
    size.write = length_at(steps / "width");
    grips.push_back({{pointer_of(steps) + "#width", Handle::Kind::width, front.at - width_mm * front.outward, front.at,
                      "Width of the edging", view.ruler.show(width_mm), false},
                     size});
}

}  // namespace

std::vector<Grip> outline_grips(const View& view) {
    return OutlineGrips(view).make();
}

std::vector<Grip> seam_grips(const View& view, std::size_t i) {
    std::vector<Grip> grips;
    if (i >= view.document.job.seams.size()) return grips;
    const job::Seam& seam = view.document.job.seams[i];
    if (seam.kind == job::SeamKind::edging) {
        add_edging_grip(grips, view, i);
    } else {
        const bool open = seam.kind == job::SeamKind::open;
        add_curve_grips(grips, view, Steps{"seams"} / i / "curve", seam.curve, open ? std::optional(i) : std::nullopt);
    }
    return grips;
}

}  // namespace seamwright::edit
