#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "curves/elastica.h"
#include "grips.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

using Measure = Sizing::Measure;
using geometry::dot;

class CurveGrips {
  public:
    CurveGrips(std::vector<Grip>& grips, const View& view, const Steps& steps, const curves::Curve& curve,
               std::optional<std::size_t> seam)
        : grips_(grips), view_(view), ruler_(view.ruler), steps_(steps), curve_(curve), seam_(seam) {}

    void add() {
        if (const auto* pins = std::get_if<curves::Pins>(&curve_)) add_pins(*pins);
        if (const auto* oval = std::get_if<curves::Oval>(&curve_)) add_oval(*oval);
        if (const auto* arc = std::get_if<curves::Arc>(&curve_)) add_arc(*arc);
        if (const auto* sprung = std::get_if<curves::Sprung>(&curve_)) add_sprung(*sprung);
        if (const auto* wave = std::get_if<curves::Wave>(&curve_)) {
            // A maker adds two or three waves; handles for sixteen would only hide each other.
            constexpr std::size_t most = 4;
            for (std::size_t i = 0; i < wave->terms.size() && i < most; ++i) add_term(*wave, i);
        }
        if (const auto* imported = std::get_if<curves::Imported>(&curve_)) add_imported(*imported);
        if (const auto* traced = std::get_if<curves::Traced>(&curve_)) add_traced(*traced);
        add_ends();
    }

  private:
    void add(std::string id, Handle::Kind kind, Point at, std::optional<Point> from, std::string name,
             std::string value, std::variant<Placing, Ending, Sizing> how, bool removable = false) {
        grips_.push_back(
            {{std::move(id), kind, at, from, std::move(name), std::move(value), removable}, std::move(how)});
    }
    std::string id(const Steps& steps, std::string_view what) const {
        return fmt::format("{}#{}", pointer_of(steps), what);
    }

    void add_ends() {
        const auto ends = ends_of(curve_);
        if (!ends || !seam_) return;
        Point from = ends->from, to = ends->to;
        if (view_.plan != nullptr && view_.plan->seams.size() > *seam_) {
            const geometry::Path& in_wood = view_.plan->seams[*seam_].in_wood;
            if (!in_wood.empty() && !in_wood.closed) {
                from = in_wood.start();
                to = in_wood.end();
            }
        }
        for (const bool start : {true, false}) {
            const Point at = start ? from : to;
            add(pointer_of(end_steps(view_.tree, steps_, start)), Handle::Kind::end, at, {},
                capitalised(fmt::format("{} end", end_word(from, to, start))), ruler_.show(at),
                Ending{steps_, *seam_, start});
        }
    }

    void add_pins(const curves::Pins& pins) {
        const std::size_t n = pins.points.size();
        const bool removable = n > pins_needed(pins.closed);
        const geometry::Box room = room_around(view_);
        for (std::size_t i = 0; i < n; ++i) {
            const bool end = !pins.closed && (i == 0 || i + 1 == n);
            if (end && seam_) continue;  // add_ends
            const auto allowed = [pins, i, n](Point p) {
                const bool closed = pins.closed;
                if (closed || i > 0) {
                    if (geometry::distance(pins.points[(i + n - 1) % n], p) < pins_apart_mm) return false;
                }
                if (closed || i + 1 < n) {
                    if (geometry::distance(pins.points[(i + 1) % n], p) < pins_apart_mm) return false;
                }
                if (!closed && i > 0 && i + 1 < n && passes(pins.points[i - 1], pins.points[i + 1], pins.points[i], p))
                    return false;
                curves::Pins moved = pins;
                moved.points[i] = p;
                return drawn(moved).has_value();
            };
            const Point at = pins.points[i];
            add(pointer_of(steps_ / "pins" / "points" / i), Handle::Kind::pin, at, {},
                fmt::format("Pin {} of {}", i + 1, n), ruler_.show(at),
                Placing{steps_ / "pins" / "points" / i, {}, room, allowed}, removable);
        }
    }

    /// A pin between its neighbours would come to lie before the one or behind the other.
    static bool passes(Point before, Point after, Point was, Point is) {
        const Point way = after - before;
        const double length_mm = geometry::norm(way);
        if (length_mm < 2.0 * pins_apart_mm) return false;
        const auto between = [&](Point p) {
            const double along_mm = dot(p - before, way) / length_mm;
            return along_mm >= pins_apart_mm && along_mm <= length_mm - pins_apart_mm;
        };
        return between(was) && !between(is);
    }

    void add_oval(const curves::Oval& oval) {
        const bool circle = find(view_.tree, steps_ / "circle") != nullptr;
        const Steps steps = steps_ / (circle ? "circle" : "oval");
        const Point u = geometry::unit(oval.turn_rad), v = geometry::left_of(u), centre = oval.centre;
        // The job file allows 1 mm to 20 m; an eighth of an inch is a mark above in both units.
        constexpr double least_mm = 3.175, most_mm = 20000.0;
        add(pointer_of(steps / "centre"), Handle::Kind::centre, centre, {}, "Middle", ruler_.show(centre),
            Placing{steps / "centre", {}, room_around(view_), {}});
        const auto across = [&](const char* member, const char* name, Handle::Kind kind, Point way, double size_mm) {
            Sizing size;
            size.value = size_mm;
            size.least = least_mm;
            size.most = most_mm;
            size.gain = 2.0;
            size.grows = way;
            size.at = [centre, way](Point p) { return 2.0 * dot(p - centre, way); };
            size.write = length_at(steps / member);
            add(id(steps, member), kind, centre + 0.5 * size_mm * way, centre, name, ruler_.show(size_mm), size);
        };
        if (circle) {
            across("diameter", "Diameter", Handle::Kind::size, u, oval.length_mm);
            return;
        }
        across("length", "Length", Handle::Kind::length, u, oval.length_mm);
        across("width", "Width", Handle::Kind::width, v, oval.width_mm);
        add_turn(steps, centre, -0.5 * oval.length_mm);
    }

    /// Turns about `centre`, by a handle that stands `arm_mm` from it along the direction that is turned.
    void add_turn(const Steps& steps, Point centre, double arm_mm) {
        Sizing turn;
        turn.measure = Measure::angle;
        turn.value = job_degrees(steps / "turn_degrees");
        turn.least = -360.0;
        turn.most = 360.0;
        turn.gain = geometry::degrees_per_radian / std::abs(arm_mm);
        turn.at = [centre, arm_mm](Point p) {
            return geometry::heading(std::copysign(1.0, arm_mm) * (p - centre)) * geometry::degrees_per_radian;
        };
        turn.write = [steps](Json& tree, const Ruler&, double degrees) {
            put(tree, steps / "turn_degrees", number_of(degrees));
        };
        const Point u = geometry::unit(turn.value / geometry::degrees_per_radian);
        add(id(steps, "turn"), Handle::Kind::turn, centre + arm_mm * u, centre, "Turn",
            fmt::format("{}°", number_of(turn.value).dump()), turn);
    }

    /// A trace keeps its shape: it is laid and turned as a whole.
    void add_traced(const curves::Traced& traced) {
        const Steps steps = steps_ / "traced";
        geometry::Box own;
        for (const Point p : traced.points) own.add(p);
        const Point centre = traced.at;
        add(pointer_of(steps / "at"), Handle::Kind::centre, centre, {}, "Place", ruler_.show(centre),
            Placing{steps / "at", {}, room_around(view_), {}});
        constexpr double part_out = 0.4, least_arm_mm = 10.0;
        add_turn(steps, centre, std::max(part_out * own.width_mm(), least_arm_mm));
    }

    double job_degrees(const Steps& steps) const {
        const Json* value = find(view_.tree, steps);
        return value != nullptr && value->is_number() ? value->get<double>() : 0.0;
    }

    void add_arc(const curves::Arc& arc) {
        const Steps steps = steps_ / "arc";
        const Point middle = geometry::midpoint(arc.from, arc.to);
        const double half_mm = 0.5 * geometry::distance(arc.from, arc.to);
        const Point left = geometry::left_of(arc.to - arc.from) / (2.0 * half_mm);
        const bool by_radius = arc.radius_mm.has_value();
        const double given = by_radius ? *arc.radius_mm : *arc.rise_mm;
        const double radius_mm = std::abs(given);
        const double rise_mm =
            by_radius ? std::copysign(
                            half_mm * half_mm /
                                (radius_mm + std::sqrt(std::max(0.0, (radius_mm - half_mm) * (radius_mm + half_mm)))),
                            given)
                      : given;
        Sizing size;
        size.value = given;
        size.grows = left;
        const char* member = by_radius ? "radius" : "rise";
        size.write = [steps, member](Json& tree, const Ruler& ruler, double mm) {
            put(tree, steps / member, ruler.written(std::abs(mm)));
            put(tree, steps / "bulge", mm < 0.0 ? "right" : "left");
        };
        if (by_radius) {
            constexpr double largest_mm = 1e6;
            size.smallest = half_mm;
            size.most = largest_mm;
            const double flat = half_mm / std::max(std::abs(rise_mm), 1e-3);
            size.gain = std::max(0.5 * (flat * flat - 1.0), 1.0);
            size.grows = -left;  // a larger radius is flatter
            size.at = [middle, left, half_mm](Point p) {
                const double rise = dot(p - middle, left);
                const double flattest_mm = half_mm * half_mm / (2.0 * largest_mm);
                const double height = std::clamp(std::abs(rise), flattest_mm, half_mm);
                return std::copysign(0.5 * (half_mm * half_mm / height + height), rise);
            };
        } else {
            size.smallest = ruler_.finest_mm();
            // Three quarters of a full turn; beyond that the ends of the arc meet.
            size.most = half_mm * (1.0 + std::sqrt(2.0));
            size.at = [middle, left](Point p) { return dot(p - middle, left); };
        }
        size.least = -size.most;
        add(id(steps, member), by_radius ? Handle::Kind::radius : Handle::Kind::rise, middle + rise_mm * left, middle,
            by_radius ? "Radius" : "Rise", ruler_.show(std::abs(given)), size);
    }

    /// The crest is dragged: the rise itself, or the length of the stick that rises so far.
    void add_sprung(const curves::Sprung& sprung) {
        const auto stick = curves::stick_of(sprung);
        const auto* s = std::get_if<curves::SprungStick>(&stick);
        if (s == nullptr) return;
        const Steps steps = steps_ / "sprung";
        const Point middle = geometry::midpoint(sprung.from, sprung.to);
        const double chord_mm = s->chord_mm;
        const Point left = geometry::left_of(sprung.to - sprung.from) / chord_mm;
        const bool by_length = sprung.length_mm.has_value();
        const double given = by_length ? *sprung.length_mm : *sprung.rise_mm;
        const double most_rise_mm = curves::most_sprung_rise * chord_mm;
        Sizing size;
        size.value = given;
        size.grows = given < 0.0 ? -left : left;
        const char* member = by_length ? "length" : "rise";
        size.write = [steps, member](Json& tree, const Ruler& ruler, double mm) {
            put(tree, steps / member, ruler.written(std::abs(mm)));
            put(tree, steps / "bulge", mm < 0.0 ? "right" : "left");
        };
        const auto rise_at = [middle, left](Point p) { return dot(p - middle, left); };
        if (by_length) {
            const auto length_of = [chord_mm](double rise_mm) {
                const auto other = curves::sprung_stick({chord_mm, std::nullopt, rise_mm});
                const auto* o = std::get_if<curves::SprungStick>(&other);
                return o != nullptr ? o->length_mm : chord_mm;
            };
            // The next mark of the rule above the distance of the ends.
            const double mark_mm = ruler_.finest_mm();
            size.smallest = (std::floor(chord_mm / mark_mm) + 1.0) * mark_mm;
            size.most = length_of(most_rise_mm);
            // dL/dh over the last bit of the way to the crest.
            const double part_mm = 1e-3 * s->rise_mm;
            size.gain = std::max((s->length_mm - length_of(s->rise_mm - part_mm)) / part_mm, 1e-3);
            size.at = [rise_at, length_of, most_rise_mm](Point p) {
                const double rise = rise_at(p);
                return std::copysign(length_of(std::min(std::abs(rise), most_rise_mm)), rise);
            };
        } else {
            size.smallest = ruler_.finest_mm();
            size.most = most_rise_mm;
            size.grows = left;
            size.at = rise_at;
        }
        size.least = -size.most;
        add(id(steps, member), by_length ? Handle::Kind::length : Handle::Kind::rise,
            middle + std::copysign(s->rise_mm, given) * left, middle, by_length ? "Length of the stick" : "Rise",
            ruler_.show(std::abs(given)), size);
    }

    struct Sum {
        curves::Wave wave;
        std::size_t without;
        double operator()(double x) const {
            double y = 0.0;
            for (std::size_t i = 0; i < wave.terms.size(); ++i) {
                const auto& term = wave.terms[i];
                if (i != without)
                    y += term.half_height_mm * std::sin(2.0 * geometry::pi * (x / term.length_mm + term.shift));
            }
            return y;
        }
    };

    /// Of the places (phase − shift + k) · length the one nearest to the middle of the seam.
    static double middle_place(double phase, const curves::Wave::Term& term, double span_mm) {
        const double first = (phase - term.shift) * term.length_mm;
        return first + std::round((0.5 * span_mm - first) / term.length_mm) * term.length_mm;
    }

    void add_term(const curves::Wave& wave, std::size_t i) {
        const Steps steps = steps_ / "wave" / "terms" / i;
        const curves::Wave::Term term = wave.terms[i];
        const double span_mm = geometry::distance(wave.from, wave.to);
        const Point start = wave.from, u = (wave.to - wave.from) / span_mm, n = geometry::left_of(u);
        const Sum others{wave, i};
        const auto place = [=](double x, double y) { return start + x * u + y * n; };
        const std::string of = wave.terms.size() > 1 ? fmt::format(" of wave {}", i + 1) : std::string();

        const double crest = middle_place(0.25, term, span_mm);
        Sizing height;
        height.value = term.half_height_mm;
        height.least = ruler_.finest_mm();
        height.most = 10000.0;
        height.grows = n;
        const double base = others(crest);
        height.at = [=](Point p) { return dot(p - start, n) - base; };
        height.write = length_at(steps / "half_height");
        add(id(steps, "height"), Handle::Kind::height, place(crest, base + term.half_height_mm), place(crest, base),
            "Half height" + of, ruler_.show(term.half_height_mm), height);

        // Waves and half waves from the start of the wave; not so near to it that a hair's breadth changes everything.
        constexpr double least_part = 0.3, past_end = 1.1;
        double waves = 0.0;
        for (const double end : {1.0, 0.5, 1.5, 2.0}) {
            const double part = end - term.shift;
            if (part < least_part) continue;
            if (part * term.length_mm <= past_end * span_mm) {
                waves = part;
                break;
            }
            if (waves == 0.0 || part < waves) waves = part;
        }
        Sizing length;
        length.value = term.length_mm;
        length.least = std::max(1.0, span_mm / 1000.0);  // shorter waves are a texture, and not told apart by a pointer
        length.most = 1e6;
        length.gain = 1.0 / waves;
        length.grows = u;
        length.at = [=](Point p) { return dot(p - start, u) / waves; };
        length.write = length_at(steps / "length");
        const double end = waves * term.length_mm, begin = end - std::min(waves, 1.0) * term.length_mm;
        add(id(steps, "length"), Handle::Kind::length, place(end, others(end)), place(begin, others(begin)),
            "Length of one wave" + of, ruler_.show(term.length_mm), length);

        const double trough = middle_place(0.75, term, span_mm);
        Sizing shift;
        shift.measure = Measure::part;
        shift.value = term.shift;
        shift.least = 0.0;
        shift.most = 1.0;
        shift.gain = 1.0 / term.length_mm;
        shift.grows = -u;
        shift.at = [=, length_mm = term.length_mm](Point p) {
            const double part = 0.75 - dot(p - start, u) / length_mm;
            return part - std::floor(part);
        };
        shift.write = [steps](Json& tree, const Ruler&, double part) { put(tree, steps / "shift", number_of(part)); };
        add(id(steps, "shift"), Handle::Kind::shift, place(trough, others(trough) - term.half_height_mm),
            place(trough, others(trough)), "Shift" + of, fmt::format("{} of a wave", number_of(term.shift).dump()),
            shift);
    }

    void add_imported(const curves::Imported& imported) {
        for (const char* kind : {"svg_path", "points"}) {
            if (find(view_.tree, steps_ / kind) == nullptr) continue;
            const Steps steps = steps_ / kind / "move";
            const Point by = ruler_.point(find(view_.tree, steps)).value_or(Point{});
            const geometry::Box box = geometry::bounding_box(imported.path);
            const Point middle = geometry::midpoint(box.low, box.high);
            add(pointer_of(steps), Handle::Kind::centre, middle, {}, "Place", "moved by " + ruler_.show(by),
                Placing{steps, middle - by, room_around(view_), {}});
        }
    }

    std::vector<Grip>& grips_;
    const View& view_;
    const Ruler& ruler_;
    const Steps& steps_;
    const curves::Curve& curve_;
    std::optional<std::size_t> seam_;
};

}  // namespace

std::function<void(Json&, const Ruler&, double)> length_at(Steps steps) {
    return
        [steps = std::move(steps)](Json& tree, const Ruler& ruler, double mm) { put(tree, steps, ruler.written(mm)); };
}

geometry::Box room_around(const View& view) {
    // Far enough for any run past the edge; places farther off are slips of the hand.
    constexpr double room_mm = 300.0, without_top_mm = 20000.0;
    if (view.outline.empty()) return geometry::Box{{0.0, 0.0}, {0.0, 0.0}}.grown(without_top_mm);
    return geometry::bounding_box(view.outline).grown(room_mm);
}

void add_curve_grips(std::vector<Grip>& grips, const View& view, const Steps& steps, const curves::Curve& curve,
                     std::optional<std::size_t> seam) {
    CurveGrips(grips, view, steps, curve, seam).add();
}

}  // namespace seamwright::edit
