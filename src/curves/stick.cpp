// The stick through pins: Newton's method on the directions at the pins, going downhill in bending.
//
// Between two pins the stick is known once its directions there are (free_elastica.cpp). With U = ½ ∫ κ² ds over all
// spans, ∂U/∂θᵢ = κ(end of the span into pin i) − κ(start of the span out of it): where U is least, curvature is
// continuous, and nought at a free end. The second derivatives couple neighbours only. A point where U is least with a
// positive definite second derivative is a shape the stick rests in, for between pins it already rests.
//
// Directions are counted from half way between the two chords at a pin: then both directions of every span start
// within ±90° of its chord, where there is always a stick, and nothing ever wraps around.

#include "curves/stick.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "free_elastica.h"

namespace seamwright::curves {

namespace {

using geometry::pi;
using geometry::wrap_pi;

/// Directions settle to this; Newton's last step from here leaves less than rounding.
constexpr double settled_rad = 1e-9;
/// No step turns the stick further at a pin: beyond it the second derivative has little left to say.
constexpr double most_turn_per_step_rad = 0.6;
constexpr int most_halvings = 20;
/// A stick that could only be eased by less than this, for so many steps, by reason of a span that would lose its hold,
/// is on its way out there. (Of 7,200 random rows of 3 to 8 pins none found a rest after that, from 60 starts each.)
constexpr double crawl_rad = 0.02;
constexpr int most_crawls = 3;
/// The part of the promised fall in bending that a step must keep (Armijo's rule; the usual value).
constexpr double least_fall = 1e-4;
/// Rounding of U, as part of it.
constexpr double rounding = 1e-13;
/// A given direction up to here is asked for at once, a wilder one is reached in steps.
constexpr double gentle_heading_rad = 1.4;
constexpr double heading_step_rad = 0.1;
/// Starting directions stay this far inside ±90° of both chords.
constexpr double start_reach_rad = 0.49 * pi;

/// A symmetric matrix with one diagonal beside the main one, and one corner (closed sticks): n entries each, and the
/// factors L D Lᵀ of it.
struct Band {
    std::vector<double> middle;
    std::vector<double> beside;  ///< (i, i + 1)
    double corner = 0.0;         ///< (0, n − 1)
};

/// Solves band · x = right in place; false when the matrix is not positive definite (pivots above `least`).
bool solve(Band m, const std::vector<double>& least, std::vector<double>& x) {
    const std::size_t n = m.middle.size();
    const std::size_t last = n - 1;
    std::vector<double> lower(n, 0.0);
    std::vector<double> foot(n, 0.0);  // the last row of L
    double row = m.corner;
    for (std::size_t i = 0; i < last; ++i) {
        if (!(m.middle[i] > least[i])) return false;
        if (i + 1 == last) {
            const double both = m.beside[i] + row;
            foot[i] = both / m.middle[i];
            m.middle[last] -= both * foot[i];
        } else {
            lower[i] = m.beside[i] / m.middle[i];
            foot[i] = row / m.middle[i];
            m.middle[i + 1] -= m.beside[i] * lower[i];
            m.middle[last] -= row * foot[i];
            row *= -lower[i];
        }
    }
    if (!(m.middle[last] > least[last])) return false;
    for (std::size_t i = 0; i < last; ++i) {
        if (i + 1 < last) x[i + 1] -= lower[i] * x[i];
        x[last] -= foot[i] * x[i];
    }
    for (std::size_t i = 0; i < n; ++i) x[i] /= m.middle[i];
    for (std::size_t i = last; i-- > 0;) {
        if (i + 1 < last) x[i] -= lower[i] * x[i + 1];
        x[i] -= foot[i] * x[last];
    }
    return true;
}

/// The stick at some directions.
struct Shape {
    std::vector<double> x;  ///< direction at each pin, from its base direction
    std::vector<PinnedStretch> spans;
    double energy = 0.0;  ///< U times the mean chord
};

struct Outcome {
    std::optional<Shape> rest;
    std::size_t escaping = 0;  ///< the span, when there is no rest
    int steps = 0;
};

class Bending {
  public:
    Bending(const std::vector<Point>& pins, bool closed, std::optional<double> start, std::optional<double> end)
        : pins_(pins), closed_(closed), spans_(pins.size() - (closed ? 0 : 1)) {
        const std::size_t n = pins.size();
        double sum = 0.0;
        for (std::size_t i = 0; i < spans_; ++i) {
            const Point chord = pins[(i + 1) % n] - pins[i];
            direction_.push_back(geometry::heading(chord));
            chord_mm_.push_back(geometry::norm(chord));
            if (!(chord_mm_[i] > 0.0) || !std::isfinite(chord_mm_[i]))
                throw std::invalid_argument("stick: neighbouring pins must be apart");
            sum += chord_mm_[i];
        }
        mean_mm_ = sum / static_cast<double>(spans_);
        turn_.assign(n, 0.0);
        for (std::size_t i = closed ? 0 : 1; i + (closed ? 0 : 1) < n; ++i)
            turn_[i] = wrap_pi(direction_[i] - direction_[(i + spans_ - 1) % spans_]);
        if (start) fixed_start_ = wrap_pi(*start - direction_.front());
        if (end) fixed_end_ = wrap_pi(*end - direction_.back());
    }

    std::size_t size() const { return pins_.size(); }
    std::size_t spans() const { return spans_; }
    double turn_at(std::size_t pin) const {
        if (!closed_ && pin == 0) return fixed_start_ ? -*fixed_start_ : 0.0;
        if (!closed_ && pin + 1 == size()) return fixed_end_.value_or(0.0);
        return turn_[pin];
    }

    /// Direction of the span's start, or end, from its chord.
    double out_of(std::size_t pin, double x) const { return x - 0.5 * turn_[pin]; }
    double into(std::size_t pin, double x) const { return x + 0.5 * turn_[pin]; }

    double base(std::size_t pin) const {
        if (!closed_ && pin + 1 == size()) return direction_.back();
        return direction_[pin] - 0.5 * turn_[pin];
    }

    /// Arcs through three pins at a time, or halfway between the chords.
    std::vector<double> first_guess(bool arcs) const {
        const std::size_t n = size();
        std::vector<double> x(n, 0.0);
        for (std::size_t i = 0; arcs && i < n; ++i) {
            if (!closed_ && (i == 0 || i + 1 == n)) continue;
            const Point before = pins_[(i + n - 1) % n] - pins_[(i + 1) % n];
            const Point here = pins_[i] - pins_[(i + 1) % n];
            const double seen = std::atan2(std::abs(geometry::cross(before, here)), geometry::dot(before, here));
            const double room = start_reach_rad - 0.5 * std::abs(turn_[i]);
            if (room <= 0.0) continue;
            x[i] = std::clamp(std::copysign(seen, turn_[i]) - 0.5 * turn_[i], -room, room);
        }
        if (closed_) return x;
        // A free end takes half the direction at the other end of its span, the other way (the small bend's rule).
        const bool free_start = !fixed_start_;
        const bool free_end = !fixed_end_;
        if (!free_start) x[0] = std::clamp(*fixed_start_, -gentle_heading_rad, gentle_heading_rad);
        if (!free_end) x[n - 1] = std::clamp(*fixed_end_, -gentle_heading_rad, gentle_heading_rad);
        if (free_start && !(n == 2 && free_end)) x[0] = -0.5 * into(1, x[1]);
        if (free_end && !(n == 2 && free_start)) x[n - 1] = -0.5 * out_of(n - 2, x[n - 2]);
        return x;
    }

    /// The directions of another stick through as many pins.
    std::vector<double> guess_from(const Stick& before) const {
        std::vector<double> x;
        for (std::size_t i = 0; i < spans_; ++i) x.push_back(wrap_pi(before.spans[i].heading_rad - base(i)));
        if (!closed_) {
            const StickSpan& last = before.spans.back();
            x.push_back(wrap_pi(last.heading(last.length_mm) - base(size() - 1)));
            if (fixed_start_) x.front() = *fixed_start_;
            if (fixed_end_) x.back() = *fixed_end_;
        }
        return x;
    }

    /// Lays the stick at these directions; on failure `lost` names the span that has none.
    std::optional<Shape> lay(std::vector<double> x, const std::vector<PinnedStretch>& near, std::size_t& lost) const {
        Shape shape;
        shape.spans.reserve(spans_);
        for (std::size_t i = 0; i < spans_; ++i) {
            const std::size_t next = (i + 1) % size();
            const auto found = pinned_stretch(out_of(i, x[i]), into(next, x[next]),
                                              near.empty() ? std::optional<Bend>{} : near[i].middle);
            if (!found) {
                lost = i;
                return std::nullopt;
            }
            shape.spans.push_back(*found);
            shape.energy += 0.5 * found->bending * mean_mm_ / chord_mm_[i];
        }
        shape.x = std::move(x);
        return shape;
    }

    /// From a start downhill to rest.
    Outcome settle(Shape shape) const {
        Outcome out;
        const std::size_t n = size();
        double shift = 0.0;
        std::size_t lost = 0;
        int crawls = 0;
        for (out.steps = 1; out.steps <= most_stick_steps; ++out.steps) {
            std::vector<double> fall;
            std::vector<double> scale;
            Band band = second_derivative(shape, fall, scale);
            std::vector<double> least(n);
            for (std::size_t i = 0; i < n; ++i) least[i] = least_pivot * scale[i];
            // Where U bends the wrong way, more of the diagonal makes the step a shorter one downhill.
            std::vector<double> change = fall;
            double added = shift;
            while (!solve(shifted(band, scale, added), least, change)) {
                change = fall;
                added = added == 0.0 ? least_shift : 4.0 * added;
            }
            shift = added > least_shift ? 0.25 * added : 0.0;
            double turn = 0.0;
            double promised = 0.0;
            for (std::size_t i = 0; i < n; ++i) {
                turn = std::fmax(turn, std::abs(change[i]));
                promised += change[i] * fall[i];
            }
            double factor = turn > most_turn_per_step_rad ? most_turn_per_step_rad / turn : 1.0;
            bool accepted = false;
            bool blocked = false;
            for (int halving = 0; halving <= most_halvings; ++halving, factor *= 0.5) {
                std::vector<double> x = shape.x;
                for (std::size_t i = 0; i < n; ++i) x[i] += factor * change[i];
                auto next = lay(std::move(x), shape.spans, lost);
                if (!next) {
                    blocked = true;
                    continue;
                }
                if (added == 0.0 && turn <= settled_rad) {
                    out.rest = std::move(next);
                    return out;
                }
                if (next->energy > shape.energy * (1.0 + rounding) - least_fall * factor * promised) continue;
                shape = std::move(*next);
                accepted = true;
                break;
            }
            if (blocked && factor * turn < crawl_rad) ++crawls;
            if (!accepted || crawls >= most_crawls) {
                out.escaping = blocked ? lost : slackest(shape);
                return out;
            }
            out.escaping = blocked ? lost : slackest(shape);
        }
        return out;
    }

    /// The steps in which wild given directions are reached, the last being the wanted one.
    Outcome settle_in_steps(const std::vector<double>& guess, const std::vector<PinnedStretch>& near) const {
        Outcome out;
        std::size_t lost = 0;
        auto shape = lay(guess, near, lost);
        int steps = 0;
        while (shape) {
            out = settle(std::move(*shape));
            steps += out.steps;
            out.steps = steps;
            if (!out.rest) return out;
            std::vector<double> x = out.rest->x;
            const bool start_moved = approach(fixed_start_, x.front());
            const bool end_moved = approach(fixed_end_, x.back());
            if (!start_moved && !end_moved) return out;
            shape = lay(std::move(x), out.rest->spans, lost);
        }
        out.rest.reset();
        out.escaping = lost;
        return out;
    }

    Stick placed(const Shape& shape, int steps) const {
        Stick s;
        s.closed = closed_;
        s.steps = steps;
        for (std::size_t i = 0; i < spans_; ++i) {
            const PinnedStretch& p = shape.spans[i];
            const double chord = chord_mm_[i];
            StickSpan span;
            span.start = pins_[i];
            span.heading_rad = direction_[i] + out_of(i, shape.x[i]);
            span.length_mm = p.length * chord;
            const Bend middle{p.middle.curvature / span.length_mm, p.middle.slope / (span.length_mm * span.length_mm)};
            const Bend start = bend_ahead(middle, -0.5 * span.length_mm).bend;
            span.curvature0 = start.curvature;
            span.slope0 = start.slope;
            span.curvature1 = p.end / chord;
            s.bending_per_mm += p.bending / chord;
            s.spans.push_back(span);
        }
        return s;
    }

  private:
    /// Pivots below this part of the diagonal are nought.
    static constexpr double least_pivot = 1e-9;
    static constexpr double least_shift = 1e-3;

    bool is_fixed(std::size_t pin) const {
        return !closed_ && ((pin == 0 && fixed_start_) || (pin + 1 == size() && fixed_end_));
    }

    static bool approach(const std::optional<double>& wanted, double& x) {
        if (!wanted || x == *wanted) return false;
        const double rest = *wanted - x;
        x = std::abs(rest) <= heading_step_rad ? *wanted : x + std::copysign(heading_step_rad, rest);
        return true;
    }

    /// Second derivative of U, `fall` = −∂U/∂x, and the diagonal that gentle bends would have.
    Band second_derivative(const Shape& shape, std::vector<double>& fall, std::vector<double>& scale) const {
        const std::size_t n = size();
        Band m{std::vector<double>(n, 0.0), std::vector<double>(n, 0.0), 0.0};
        fall.assign(n, 0.0);
        scale.assign(n, 0.0);
        for (std::size_t i = 0; i < spans_; ++i) {
            const std::size_t next = (i + 1) % n;
            const PinnedStretch& p = shape.spans[i];
            const double k = mean_mm_ / chord_mm_[i];
            fall[i] += k * p.start;
            fall[next] -= k * p.end;
            m.middle[i] -= k * p.start_by_a;
            m.middle[next] += k * p.end_by_b;
            scale[i] += 4.0 * k;
            scale[next] += 4.0 * k;
            if (is_fixed(i) || is_fixed(next)) continue;
            (next == 0 ? m.corner : m.beside[i]) = -k * p.cross_by;
        }
        for (std::size_t i = 0; i < n; ++i) {
            if (!is_fixed(i)) continue;
            m.middle[i] = scale[i];
            fall[i] = 0.0;
        }
        return m;
    }

    static Band shifted(Band m, const std::vector<double>& scale, double by) {
        for (std::size_t i = 0; i < m.middle.size(); ++i) m.middle[i] += by * scale[i];
        return m;
    }

    static std::size_t slackest(const Shape& shape) {
        const auto longer = [](const PinnedStretch& a, const PinnedStretch& b) { return a.length < b.length; };
        return static_cast<std::size_t>(std::max_element(shape.spans.begin(), shape.spans.end(), longer) -
                                        shape.spans.begin());
    }

    const std::vector<Point>& pins_;
    bool closed_;
    std::size_t spans_;
    std::vector<double> direction_;
    std::vector<double> chord_mm_;
    std::vector<double> turn_;  ///< from chord to chord; 0 at open ends
    double mean_mm_ = 0.0;
    std::optional<double> fixed_start_, fixed_end_;  ///< from the chord
};

/// The crest of the tightest span, found on its slope, which falls steadily there.
double crest_at(const StickSpan& span) {
    const Bend start{span.curvature0, span.slope0};
    const double rising = start.slope > 0.0 ? 1.0 : -1.0;
    double low = 0.0;
    double high = span.length_mm;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        (rising * bend_ahead(start, middle).bend.slope > 0.0 ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

void find_tightest(Stick& s) {
    double most = 0.0;
    double most_at = 0.0;
    std::size_t most_span = 0;
    for (std::size_t i = 0; i < s.spans.size(); ++i) {
        const StickSpan& span = s.spans[i];
        const auto range = span.curvature_range(0.0, span.length_mm);
        const double high = std::fmax(range.high, -range.low);
        if (!(high > most * (1.0 + rounding))) continue;
        most = high;
        most_span = i;
        most_at = std::abs(span.curvature0) >= high   ? 0.0
                  : std::abs(span.curvature1) >= high ? span.length_mm
                                                      : crest_at(span);
    }
    // A stick that turns by less than this over its whole length lies straight: the rest is rounding.
    constexpr double least_turn_rad = 1e-9;
    if (!(most * s.length_mm() > least_turn_rad)) return;
    const StickSpan& span = s.spans[most_span];
    Stick::Tightest t;
    t.radius_mm = 1.0 / most;
    for (std::size_t i = 0; i < most_span; ++i) t.at_mm += s.spans[i].length_mm;
    t.at_mm += most_at;
    t.at = span.point(most_at);
    t.turns_left = span.curvature(most_at) > 0.0;
    s.tightest = t;
}

}  // namespace

std::variant<Stick, StickEscape> stick(const std::vector<Point>& pins, bool closed,
                                       std::optional<double> start_heading_rad, std::optional<double> end_heading_rad,
                                       const Stick* before) {
    if (pins.size() < (closed ? 3U : 2U)) throw std::invalid_argument("stick: too few pins");
    if (closed && (start_heading_rad || end_heading_rad))
        throw std::invalid_argument("stick: a closed stick has no ends");
    if ((start_heading_rad && !std::isfinite(*start_heading_rad)) ||
        (end_heading_rad && !std::isfinite(*end_heading_rad)))
        throw std::invalid_argument("stick: a direction must be a number");
    const Bending bending(pins, closed, start_heading_rad, end_heading_rad);
    Outcome out;
    if (before != nullptr && before->closed == closed && before->spans.size() == bending.spans()) {
        std::vector<PinnedStretch> near(bending.spans());
        for (std::size_t i = 0; i < near.size(); ++i) {
            const StickSpan& span = before->spans[i];
            const Bend middle = bend_ahead({span.curvature0, span.slope0}, 0.5 * span.length_mm).bend;
            near[i].middle = {middle.curvature * span.length_mm, middle.slope * span.length_mm * span.length_mm};
        }
        out = bending.settle_in_steps(bending.guess_from(*before), near);
    }
    if (!out.rest) out = bending.settle_in_steps(bending.first_guess(true), {});
    if (!out.rest) out = bending.settle_in_steps(bending.first_guess(false), {});
    if (out.rest) {
        Stick s = bending.placed(*out.rest, out.steps);
        find_tightest(s);
        return s;
    }
    StickEscape escape;
    escape.span = out.escaping;
    const std::size_t next = (escape.span + 1) % pins.size();
    escape.pin = std::abs(bending.turn_at(escape.span)) >= std::abs(bending.turn_at(next)) ? escape.span : next;
    escape.turn_rad = bending.turn_at(escape.pin);
    return escape;
}

std::optional<PinMove> move_that_holds(const std::vector<Point>& pins, bool closed,
                                       std::optional<double> start_heading_rad, std::optional<double> end_heading_rad,
                                       std::size_t pin) {
    const std::size_t n = pins.size();
    if (pin >= n || n < 3 || (!closed && (pin == 0 || pin + 1 == n))) return std::nullopt;
    const Point before = pins[(pin + n - 1) % n];
    const Point after = pins[(pin + 1) % n];
    const Point chord = after - before;
    if (!(geometry::norm2(chord) > 0.0)) return std::nullopt;
    // Not onto a neighbour: the pin stays between them.
    constexpr double clear_part = 0.1;
    const double part =
        std::clamp(geometry::dot(pins[pin] - before, chord) / geometry::norm2(chord), clear_part, 1.0 - clear_part);
    const Point goal = before + part * chord;
    const auto holds = [&](double share) {
        std::vector<Point> moved = pins;
        moved[pin] = pins[pin] + share * (goal - pins[pin]);
        if (geometry::distance(moved[pin], before) == 0.0 || geometry::distance(moved[pin], after) == 0.0) return false;
        return std::holds_alternative<Stick>(stick(moved, closed, start_heading_rad, end_heading_rad));
    };
    // A pin of a closed row can be moved too far as well as too little: the first place along the way that holds.
    constexpr int places = 16;
    int first = 1;
    while (first <= places && !holds(static_cast<double>(first) / places)) ++first;
    if (first > places) return std::nullopt;
    double low = static_cast<double>(first - 1) / places;
    double high = static_cast<double>(first) / places;
    constexpr double found_to = 0.01;
    while (high - low > found_to) {
        const double middle = 0.5 * (low + high);
        (holds(middle) ? high : low) = middle;
    }
    PinMove move;
    move.to = pins[pin] + high * (goal - pins[pin]);
    move.by_mm = geometry::distance(move.to, pins[pin]);
    return move;
}

}  // namespace seamwright::curves
