// SVG path data: SVG 1.1 and SVG 2, chapter "Paths" (grammar in 8.3.9 and 9.3.9), arcs by the implementation notes
// F.6 (1.1) / B.2 (2): out-of-range flags, radii of nothing, radii too small, end points to centre.
//
// Straight lines and circular arcs come through exactly. Quadratic Beziers are cubics; cubics and elliptical arcs
// become arcs within the bound. Where a browser would draw up to the first mistake and stop, we refuse with the place:
// half a template is worse than none.

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "bezier.h"
#include "curves/import.h"
#include "import_text.h"
#include "shapes.h"

namespace seamwright::curves {

namespace {

using geometry::Segment;

constexpr const char* a_number = "a number";
constexpr const char* a_command = "one of the commands M L H V C S Q T A Z, in capitals or small letters";
constexpr const char* copy_again = "Copy the whole d attribute of the path again, or mend it at this place.";

bool is_space(char c) {
    return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f';
}

/// Raised within the reader only; leaves it as an ImportProblem.
struct Refused {
    ImportProblem problem;
};

class SvgReader {
  public:
    SvgReader(std::string_view d, double mm_per_unit, bool y_up, double within_mm)
        : text_(d), scale_(mm_per_unit), turned_over_(!y_up), within_mm_(within_mm) {}

    Imported read() {
        skip_spaces();
        if (at_ >= text_.size()) refuse(at_, "an empty path", "path data that starts with M", copy_again);
        if (text_[at_] != 'M' && text_[at_] != 'm')
            refuse(at_, shown(text_, at_), "M, for a path starts with a move to its first point", copy_again);
        bool closed = false;
        while (skip_spaces(), at_ < text_.size()) {
            const std::size_t place = at_;
            const char command = text_[at_];
            if (closed || (moved_ && (command == 'M' || command == 'm'))) {
                refuse(place, shown(text_, place) + ", which starts a second path", "one path",
                       "Import each path on its own.");
            }
            ++at_;
            switch (command) {
                case 'M':
                case 'm':
                    move(command == 'm');
                    break;
                case 'L':
                case 'l':
                    repeat([&] { line_to(point(command == 'l')); });
                    break;
                case 'H':
                case 'h':
                    repeat([&] { line_to({(command == 'h' ? pen_.x : 0.0) + number(), pen_.y}); });
                    break;
                case 'V':
                case 'v':
                    repeat([&] { line_to({pen_.x, (command == 'v' ? pen_.y : 0.0) + number()}); });
                    break;
                case 'C':
                case 'c':
                    repeat([&] { cubic(command == 'c', false); });
                    break;
                case 'S':
                case 's':
                    repeat([&] { cubic(command == 's', true); });
                    break;
                case 'Q':
                case 'q':
                    repeat([&] { quadratic(command == 'q', false); });
                    break;
                case 'T':
                case 't':
                    repeat([&] { quadratic(command == 't', true); });
                    break;
                case 'A':
                case 'a':
                    repeat([&] { arc(command == 'a'); });
                    break;
                case 'Z':
                case 'z':
                    closed = true;
                    break;
                default:
                    refuse(place, shown(text_, place), a_command, copy_again);
            }
        }
        return finish(closed);
    }

  private:
    [[noreturn]] void refuse(std::size_t at, std::string found, std::string allowed, std::string remedy) const {
        throw Refused{problem_at(text_, at, std::move(found), std::move(allowed), std::move(remedy))};
    }

    // --- text -------------------------------------------------------------------------------------------------------

    void skip_spaces() {
        while (at_ < text_.size() && is_space(text_[at_])) ++at_;
    }
    /// comma_wsp: spaces, at most one comma, spaces. True when there was a comma.
    bool skip_comma() {
        skip_spaces();
        if (at_ >= text_.size() || text_[at_] != ',') return false;
        ++at_;
        skip_spaces();
        return true;
    }
    bool number_ahead() const {
        if (at_ >= text_.size()) return false;
        const char c = text_[at_];
        return (c >= '0' && c <= '9') || c == '.' || c == '-' || c == '+';
    }

    double number() {
        first_argument_ ? skip_spaces() : static_cast<void>(skip_comma());
        first_argument_ = false;
        const std::size_t length = number_length(text_, at_);
        if (length == 0) refuse(at_, shown(text_, at_), a_number, copy_again);
        const double value = number_value(text_.substr(at_, length));
        if (!usable(value) || !usable(value * scale_)) {
            constexpr std::size_t most_shown = 40;
            refuse(at_, std::string(text_.substr(at_, std::min(length, most_shown))),
                   "numbers that come to no more than a kilometre", "Check the number and the size of a unit.");
        }
        at_ += length;
        return value;
    }
    /// A flag is the single character 0 or 1; what follows may touch it.
    bool flag() {
        skip_comma();
        if (at_ >= text_.size() || (text_[at_] != '0' && text_[at_] != '1'))
            refuse(at_, shown(text_, at_), "a flag, 0 or 1", copy_again);
        return text_[at_++] == '1';
    }
    Point point(bool relative) {
        const Point base = relative ? pen_ : Point{};
        const double x = number();
        const double y = number();
        return checked(base + Point{x, y});
    }
    /// Relative steps may walk off the drawing though each is small.
    Point checked(Point p) const {
        if (!usable(p) || !usable(scale_ * p))
            refuse(at_, "a point beyond a kilometre", "points within a kilometre",
                   "Check the numbers before this place.");
        return p;
    }

    /// Arguments once, and again for as long as numbers follow.
    template <typename Arguments>
    void repeat(Arguments&& arguments) {
        first_argument_ = true;
        arguments();
        for (;;) {
            skip_spaces();
            const std::size_t comma_at = at_;
            const bool comma = skip_comma();
            if (!number_ahead()) {
                if (comma) refuse(comma_at, "a comma with no number after it", a_number, copy_again);
                return;
            }
            first_argument_ = true;
            arguments();
        }
    }

    // --- drawing ----------------------------------------------------------------------------------------------------

    Point placed(Point p) const { return {scale_ * p.x, turned_over_ ? -scale_ * p.y : scale_ * p.y}; }

    void move(bool relative) {
        bool first = true;
        // Pairs after the first are lines.
        repeat([&] {
            const Point p = point(relative);
            if (first) {
                pen_ = p;
                cubic_control_ = quadratic_control_ = p;
                moved_ = true;
                first = false;
            } else {
                line_to(p);
            }
        });
    }

    void add(const Segment& segment) {
        if (out_.path.segments.size() >= most_import_points) {
            refuse(at_, "more than " + std::to_string(most_import_points) + " pieces",
                   "at most " + std::to_string(most_import_points) + " pieces",
                   "Simplify the path, or cut it in parts.");
        }
        out_.path.segments.push_back(segment);
        box_.add(segment.start);
        box_.add(segment.end);
    }

    void line_to(Point to) {
        checked(to);
        if (placed(to) != placed(pen_)) add(geometry::line(placed(pen_), placed(to)));
        arrive(to, to, to);
    }
    void arrive(Point to, Point cubic_control, Point quadratic_control) {
        pen_ = to;
        cubic_control_ = cubic_control;
        quadratic_control_ = quadratic_control;
    }

    void cubic(bool relative, bool smooth) {
        const Point c1 = smooth ? pen_ + (pen_ - cubic_control_) : point(relative);
        const Point c2 = point(relative);
        const Point to = point(relative);
        bezier({placed(pen_), placed(c1), placed(c2), placed(to)});
        arrive(to, c2, to);
    }
    void quadratic(bool relative, bool smooth) {
        const Point c = smooth ? pen_ + (pen_ - quadratic_control_) : point(relative);
        const Point to = point(relative);
        // The same parabola as a cubic: its inner points lie two thirds of the way to the control point.
        const Point p0 = placed(pen_);
        const Point q = placed(c);
        const Point p1 = placed(to);
        bezier({p0, p0 + (2.0 / 3.0) * (q - p0), p1 + (2.0 / 3.0) * (q - p1), p1});
        // T after T mirrors a control point that was itself mirrored: it can walk off.
        arrive(to, to, checked(c));
    }
    void bezier(const CubicPoints& points) {
        try {
            const CubicFit fit = fit_cubic(points, within_mm_);
            for (const Segment& s : fit.segments) add(s);
            out_.bound_mm = std::fmax(out_.bound_mm, fit.bound_mm);
        } catch (const std::runtime_error&) {
            refuse_fit();
        }
    }
    [[noreturn]] void refuse_fit() const {
        refuse(at_, "a curve that turns too sharply to be drawn within " + plain(within_mm_) + " mm",
               "curves that can be followed", "Redraw the curve that ends at this place.");
    }

    void arc(bool relative) {
        double rx = std::abs(number()) * scale_;
        double ry = std::abs(number()) * scale_;
        // Whole turns are dropped while the angle is still in degrees and exact.
        double turn = std::fmod(number(), 360.0) * geometry::pi / 180.0;
        const bool large = flag();
        bool positive = flag();
        const Point to_drawn = point(relative);
        const Point from = placed(pen_);
        const Point to = placed(to_drawn);
        arrive(to_drawn, to_drawn, to_drawn);
        if (from == to) return;
        if (rx == 0.0 || ry == 0.0) {
            add(geometry::line(from, to));
            return;
        }
        // Turned over, every angle runs the other way.
        if (turned_over_) {
            turn = -turn;
            positive = !positive;
        }
        // F.6.5: the middle of the chord is the origin, the ellipse's axes are the axes.
        const double c = std::cos(turn);
        const double s = std::sin(turn);
        const Point half = 0.5 * (from - to);
        const Point p{c * half.x + s * half.y, -s * half.x + c * half.y};
        // F.6.6: radii too small to span the chord grow until they just do.
        const double stretch = std::hypot(p.x / rx, p.y / ry);
        if (stretch > 1.0) {
            rx *= stretch;
            ry *= stretch;
        }
        // In units of the radii the ellipse is the unit circle, and the chord's half has length h <= 1.
        const Point u{p.x / rx, p.y / ry};
        const double h = std::fmin(1.0, std::hypot(u.x, u.y));
        const double away = std::sqrt((1.0 - h) * (1.0 + h)) / h;
        const double side = large == positive ? -1.0 : 1.0;
        const Point centre_u{side * away * u.y, -side * away * u.x};
        const double t0 = geometry::heading(u - centre_u);
        const double half_sweep = std::atan2(h, std::sqrt((1.0 - h) * (1.0 + h)));
        const double size = 2.0 * (large ? geometry::pi - half_sweep : half_sweep);
        const Point centre_axes{rx * centre_u.x, ry * centre_u.y};
        const Point centre = geometry::midpoint(from, to) +
                             Point{c * centre_axes.x - s * centre_axes.y, s * centre_axes.x + c * centre_axes.y};
        if (rx == ry) {
            Segment segment = geometry::arc_about(centre, from, positive ? size : -size);
            segment.radius_mm = rx;
            segment.end = to;
            add(segment);
            return;
        }
        const double begin = positive ? t0 : -t0;
        try {
            geometry::ArcFit fit =
                geometry::fit_arcs(ellipse(centre, rx, ry, turn, !positive, begin, begin + size), within_mm_);
            // The end points written down are the ones that count; those computed differ by rounding.
            fit.path.segments.front().start = from;
            fit.path.segments.back().end = to;
            for (const Segment& piece : fit.path.segments) add(piece);
            out_.bound_mm = std::fmax(out_.bound_mm, fit.bound_mm);
        } catch (const std::runtime_error&) {
            refuse_fit();
        }
    }

    Imported finish(bool closed) {
        auto& segments = out_.path.segments;
        if (segments.empty())
            refuse(at_, "a path of no length", "at least one line or curve after the first point", copy_again);
        const Point start = segments.front().start;
        const double gap = geometry::distance(segments.back().end, start);
        const double same = same_point_part * std::fmax(box_.width_mm(), box_.height_mm());
        if (gap <= same) {
            closed = true;
            segments.back().end = start;
        } else if (closed) {
            add(geometry::line(segments.back().end, start));
        }
        // There and back encloses nothing; with an arc two pieces do.
        const bool straight =
            std::all_of(segments.begin(), segments.end(), [](const Segment& s) { return s.is_line(); });
        if (closed && segments.size() < (straight ? 3U : 2U))
            refuse(at_, "a closed path of one line", "a closed path that encloses something", copy_again);
        out_.path.closed = closed;
        return std::move(out_);
    }

    std::string_view text_;
    double scale_;
    bool turned_over_;
    double within_mm_;
    std::size_t at_ = 0;
    bool first_argument_ = true;
    bool moved_ = false;
    Point pen_;
    Point cubic_control_;      // the point that S mirrors
    Point quadratic_control_;  // the point that T mirrors
    Imported out_;
    geometry::Box box_;
};

}  // namespace

std::variant<Imported, ImportProblem> read_svg_path(std::string_view d, double mm_per_unit, bool y_up,
                                                    double within_mm) {
    if (!(within_mm > 0.0) || !std::isfinite(within_mm))
        throw std::invalid_argument("read_svg_path: within_mm must be a positive length");
    if (!usable(mm_per_unit) || !(mm_per_unit > 0.0)) {
        return problem_at(d, 0, "a scale of " + plain(mm_per_unit) + " mm per unit", "a scale above nothing",
                          "Give the size of one unit in mm, such as 25.4 for inches.");
    }
    try {
        return SvgReader(d, mm_per_unit, y_up, within_mm).read();
    } catch (Refused& refused) {
        return std::move(refused.problem);
    }
}

}  // namespace seamwright::curves
