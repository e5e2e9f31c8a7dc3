// The fair curve under a trace.
//
// Unknown is the offset η(s) of the wanted curve from a base curve near it, along the base's left normal, as a cubic
// B-spline over the base's nodes. To first order, and exactly so in the limit of the rounds below,
//
//     κ = κ₀ + η'' + κ₀² η      (first variation of the curvature under a normal offset),
//
// which at the nodes is linear in the unknowns, and straight between the nodes because η'' is. So the bound on the
// curvature is a bound at the nodes, ∫κ'² is a sum of squared third differences, and every row has four neighbouring
// entries: a convex problem with a band matrix, solved by interior_point.cpp. Then the curve is laid out anew from its
// node curvatures (exact clothoids, chained) and becomes the base of the next round. A round's error is of second order
// in the offset it made, so three or four rounds end in rounding.
//
// Where that finds nothing, the narrowest band is looked for: the least amount t by which the band must be widened from
// nothing, on a curve that keeps the radii. First the base is brought within the radii, which are tightened round by
// round. Then every step must make t smaller, or it is shortened; so the search ends at a curve whose t no small change
// improves. It asks the same questions in the same order whatever band was asked for, so a band that is as wide as its
// answer is sure to succeed. If t is less than the band, the curve found is made fair step by step within the band;
// if not, what lacks and what pushes there are told.
//
// A drawn edge gets spans that turn by no more than `most_turn_of_edge`, long where it is gentle. Only the places that
// stand out most to either side of each half span become limits: when the rounds have settled, they are the limits.
//
// Error budget at λ = 150 mm. Nodes λ/40 apart: the spline misses a ripple of length λ by (π/20)⁴/720 ≈ 1e-6 of its
// height. Band and pins are met at each averaged point to `held_part` of the step; between points the curve strays no
// more than its curvature over their spacing allows. Curvature bounds are met to 1e-9 and then cut to the bound itself.
//
// Conditioning. The matrix of third differences over nodes h apart has the condition (λ/πh)⁶. With h = λ/40, and all
// lengths counted in h, that is 4e6: nothing is lost. (h = λ/150 would be 1e10, and the interior point stalls.)

#include "fair_fit.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>

#include "shapes.h"

namespace seamwright::curves {

namespace {

using geometry::two_pi;
/// Steps of the fair curve in its shortest wave.
constexpr double steps_per_wave = 40.0;
/// No span may turn by more than this (radians) on the tightest radius allowed.
constexpr double most_turn_per_span = 0.15;
/// The same for a drawn edge, whose spans follow the curve.
constexpr double most_turn_of_edge = 1.0 / 12.0;
/// Steps over a whole curve that is shorter than a wave.
constexpr double least_steps = 60.0;
/// More nodes than this are not needed for any edge, and bound time and memory.
constexpr double most_steps = 20000.0;
/// Pins of the first base stand this many steps apart: well below the wave, well above the jitter.
constexpr double steps_per_group = 6.0;
/// The first base may need coarser pins where the trace is wild.
constexpr int most_coarser = 6;
/// A round that moves the curve by less than this part of its length is the last. What it leaves is of second order.
constexpr double settled_part = 1e-8;
/// Of a drawn edge, mm: what a round of half a micrometre leaves is far below the micrometres of its arcs.
constexpr double settled_of_edge_mm = 5e-4;
/// Reweighting goes on for ever in the last digits; a tenth of a micrometre per metre is enough.
constexpr double settled_robust_part = 1e-7;
constexpr int most_rounds = 12;
/// Reweighting converges by a constant factor each round, not by squares.
constexpr int most_robust_rounds = 30;
/// "Held" means within this part of a step.
constexpr double held_part = 1e-6;
/// Tukey's constant: 95 % efficient where the scatter is normal (P. Huber, Robust Statistics, 1981).
constexpr double tukey = 4.685;
/// Median of the absolute deviation of a normal scatter, turned into its σ.
constexpr double sigma_per_mad = 1.4826;
/// The band counts as kept when it is missed by no more than this part of a step, or of itself.
constexpr double kept_part = 1e-5;
/// Radii are tightened by this factor a round.
constexpr double tightened = 0.6;
constexpr int most_tightenings = 16;
/// The narrowest band is found when a step promises less than this part of it.
constexpr double narrowest_part = 2e-4;
constexpr int most_narrowings = 40;
/// Once so many places were looked at (about a second), what was found so far is told as what has to give.
constexpr std::size_t most_work = 2'000'000;
/// By this part the narrowest band is widened where that is needed to settle.
constexpr double room_part = 1e-3;
/// A way that ends with more than this part of the band still promised is stuck.
constexpr double most_lost_gain_part = 0.02;
/// Bases that turn tighter than this many times what is allowed are no good to start from.
constexpr double most_excess = 1.6;
/// Of a promised gain a step must keep this part.
constexpr double least_gain_part = 0.05;
/// Steps are shortened by this factor, down to this part.
constexpr double shortened = 0.4;
constexpr double least_step_part = 0.01;
/// What the narrowest band is widened by where a fair curve near it is to be shown.
constexpr double shown_room = 0.02;
/// Samples of a drawn edge to a span of the curve.
constexpr double samples_per_span = 6.0;
/// A place that stood out most stays a limit for so many rounds: two places that take turns would never settle.
constexpr std::uint8_t remembered_rounds = 3;
/// Ends and band of a drawn edge are kept to this, mm.
constexpr double kept_of_edge_mm = 1e-4;
/// Bounds memory: a drawn edge needs no more places than this.
constexpr std::size_t most_samples = 4'000'000;

FairProblem no_curve(std::string reason, std::string remedy, std::optional<Point> at = {}) {
    return {std::move(reason), std::move(remedy), at, 0.0, {}, std::nullopt};
}

double tightest_allowed_mm(const FairSettings& settings) {
    double out = HUGE_VAL;
    for (const auto& radius : {settings.least_radius_left_mm, settings.least_radius_right_mm})
        if (radius) out = std::fmin(out, *radius);
    return out;
}

}  // namespace

FairFit::FairFit(std::span<const Point> trace, std::span<const double> weights, const FairSettings& settings)
    : trace_(trace), weights_(weights), settings_(settings) {}

FairFit::FairFit(const Path& edge, const FairSettings& settings) : settings_(settings) {
    whole_mm_ = geometry::length_mm(edge);
    // Without radii only the corners matter; the wave says how much of them is left.
    const double finest = has_radii() ? most_turn_of_edge * tightest_allowed_mm(settings) : settings.wave_mm / 400.0;
    step_mm_ = std::fmin(finest, whole_mm_ / least_steps);
    step_mm_ = std::fmax(step_mm_, whole_mm_ / most_steps);
    edge_.emplace(edge, step_mm_);
    samples_ = edge_->first_samples();
    trace_ = samples_.points;
}

void FairFit::join_at(Point joint) {
    samples_.points.front() = samples_.points.back() = joint;
    trace_ = samples_.points;
}

bool FairFit::has_radii() const {
    return settings_.least_radius_left_mm || settings_.least_radius_right_mm;
}

bool FairFit::has_limits() const {
    return has_radii() || std::isfinite(least_tolerance_mm()) || settings_.start.held || settings_.end.held ||
           settings_.start.heading_rad || settings_.end.heading_rad || settings_.start.curvature ||
           settings_.end.curvature;
}

std::variant<FairCurve, FairProblem> FairFit::run() {
    if (auto problem = refused_fit(trace_, weights_, settings_)) return *problem;
    if (auto problem = lay_first_base()) return *problem;
    Outcome outcome = straight_on();
    // Without limits there is nothing to give way.
    if (outcome != Outcome::found && std::isfinite(least_tolerance_mm())) outcome = narrowest();
    switch (outcome) {
        case Outcome::found:
            return result();
        case Outcome::contradiction:
            return contradiction();
        default:
            break;
    }
    if (has_limits())
        return no_curve("No fair curve was found near this trace.", "Use a longer wave, or set fewer limits.");
    return no_curve("The trace turns too sharply for a fair curve.", "Trace in smaller pieces, or use a shorter wave.",
                    trace_.front());
}

std::optional<FairProblem> FairFit::lay_first_base() {
    if (!edge_) set_step_of_trace();
    for (int coarser = 0; coarser < most_coarser; ++coarser) {
        if (!lay_base(coarser)) continue;
        first_coarser_ = coarser;
        return std::nullopt;
    }
    return no_curve("The trace doubles back on itself.",
                    "Give the points in order along the edge, and leave out crossings and spurs.", trace_.front());
}

void FairFit::set_step_of_trace() {
    // Length by points at least a wave's step apart, which jitter does not lengthen much.
    const double coarse = settings_.wave_mm / steps_per_wave;
    Point last = trace_.front();
    for (const Point p : trace_) {
        const double d = geometry::distance(last, p);
        if (d >= coarse || p == trace_.back()) {
            whole_mm_ += d;
            last = p;
        }
    }
    step_mm_ = std::fmin(settings_.wave_mm / steps_per_wave, whole_mm_ / least_steps);
    step_mm_ = std::fmin(step_mm_, most_turn_per_span * tightest_allowed_mm(settings_));
    if (settings_.step_mm) step_mm_ = *settings_.step_mm;
    step_mm_ = std::fmax(step_mm_, whole_mm_ / most_steps);
}

/// A base whose pins stand twice as far apart for each `coarser`; at last the straight line between the ends.
bool FairFit::lay_base(int coarser) {
    const double factor = std::ldexp(1.0, coarser);
    std::optional<FairBase> base;
    if (coarser == most_coarser) {
        base = straight_base();
    } else if (edge_) {
        base = edge_->first_base(factor * std::fmin(tightest_allowed_mm(settings_), whole_mm_ / 12.0));
    } else {
        // A radius that is short beside the wave asks for short steps, but not for pins that follow the jitter.
        const double group =
            std::fmax(steps_per_group * step_mm_, std::fmin(settings_.wave_mm / 12.0, whole_mm_ / 12.0));
        base = seamwright::curves::first_base(trace_, factor * group, step_mm_);
    }
    // A base much longer than the trace has loops in it.
    if (!base || base->length_mm() > 3.0 * whole_mm_) return false;
    base_ = std::move(*base);
    if (edge_) refine(base_, most_turn_of_edge, step_mm_);
    return true;
}

std::optional<FairBase> FairFit::straight_base() const {
    const Point chord = trace_.back() - trace_.front();
    const double length = geometry::norm(chord);
    if (!(length > 0.1 * whole_mm_)) return std::nullopt;
    const double step = edge_ ? length / least_steps : step_mm_;
    const auto spans = static_cast<std::size_t>(std::fmax(least_steps, std::ceil(length / step)));
    return laid_out(trace_.front(), geometry::heading(chord), std::vector<double>(spans + 1, 0.0),
                    std::vector<double>(spans, length / static_cast<double>(spans)));
}

/// Feet of the points; the base's ends brought to those of the first and last point; cells; pins.
void FairFit::look_from_base() {
    work_ += feet_.size() + base_.place.size();
    trimmed_mm_ = trim_ends(base_, trace_.front(), trace_.back());
    find_feet();
    if (edge_) {
        // One more look is enough: the second adds a few at most, which the next round sees.
        if (add_samples()) find_feet();
    }
    pinned_.clear();
    for (std::size_t i = 0; i < settings_.pins.size(); ++i) {
        // A pin may stand anywhere along the edge: start from the nearest node.
        std::size_t nearest = 0;
        double best = HUGE_VAL;
        for (std::size_t j = 0; j < base_.place.size(); ++j) {
            if (base_.at_mm[j] < pins_from_mm_ || base_.at_mm[j] > pins_to_mm_) continue;
            const double d = geometry::norm2(base_.place[j] - settings_.pins[i].at);
            if (d < best) {
                best = d;
                nearest = j;
            }
        }
        Foot foot = foot_on(base_, settings_.pins[i].at, nearest);
        foot.along_mm = std::clamp(foot.along_mm, 0.0, base_.span_mm(foot.span));
        pinned_.push_back({i, foot});
    }
    if (edge_) {
        gather_edge_cells();
    } else {
        gather_cells();
    }
}

void FairFit::find_feet() {
    feet_.clear();
    feet_.reserve(trace_.size());
    std::size_t near = 0;
    for (const Point p : trace_) {
        Foot foot = foot_on(base_, p, near);
        near = foot.span;
        foot.along_mm = std::clamp(foot.along_mm, 0.0, base_.span_mm(foot.span));
        feet_.push_back(foot);
    }
}

/// Places between samples whose feet stand too far apart for the spans there.
bool FairFit::add_samples() {
    const double passed_over = 0.01 * step_mm_;
    EdgeSamples more;
    more.at_mm.reserve(samples_.at_mm.size());
    more.points.reserve(samples_.at_mm.size());
    for (std::size_t i = 0; i < feet_.size(); ++i) {
        if (i > 0 && samples_.points.size() + more.points.size() < most_samples) {
            const Foot& a = feet_[i - 1];
            const Foot& b = feet_[i];
            const double gap = std::abs(base_.at_mm[b.span] + b.along_mm - base_.at_mm[a.span] - a.along_mm);
            const double bent = std::fmax(std::abs(base_.curvature[a.span]), std::abs(base_.curvature[b.span + 1]));
            const double wanted =
                std::fmin(std::fmin(base_.span_mm(a.span), base_.span_mm(b.span)) / samples_per_span, spacing_at(bent));
            const double way = samples_.at_mm[i] - samples_.at_mm[i - 1];
            // Half as far again is left alone, or each round would cut the same gaps once more.
            constexpr double slack = 1.5;
            if (gap > slack * wanted && way > 2.0 * passed_over) {
                const auto parts = static_cast<std::size_t>(std::fmin(std::ceil(gap / wanted), way / passed_over));
                for (std::size_t k = 1; k < parts; ++k) {
                    const double u = static_cast<double>(k) / static_cast<double>(parts);
                    more.at_mm.push_back(samples_.at_mm[i - 1] + u * way);
                    more.points.push_back(edge_->point(more.at_mm.back()));
                }
            }
        }
        more.at_mm.push_back(samples_.at_mm[i]);
        more.points.push_back(samples_.points[i]);
    }
    if (more.points.size() == samples_.points.size()) return false;
    samples_ = std::move(more);
    trace_ = samples_.points;
    stands_out_high_.clear();
    stands_out_low_.clear();
    return true;
}

/// Of each half span the mean offset, and the places that stand out most to either side.
void FairFit::gather_edge_cells() {
    struct Half {
        double along = 0.0, off = 0.0, weight = 0.0;
        std::size_t highest = 0, lowest = 0;
        double high = -HUGE_VAL, low = HUGE_VAL;
    };
    std::vector<Half> halves(2 * base_.spans());
    for (std::size_t i = 0; i < feet_.size(); ++i) {
        const Foot& foot = feet_[i];
        Half& half = halves[2 * foot.span + (foot.along_mm > 0.5 * base_.span_mm(foot.span) ? 1 : 0)];
        const double before = i > 0 ? samples_.at_mm[i] - samples_.at_mm[i - 1] : 0.0;
        const double after = i + 1 < feet_.size() ? samples_.at_mm[i + 1] - samples_.at_mm[i] : 0.0;
        const double w = 0.5 * (before + after);
        half.along += w * foot.along_mm;
        half.off += w * foot.off_mm;
        half.weight += w;
        if (foot.off_mm > half.high) {
            half.high = foot.off_mm;
            half.highest = i;
        }
        if (foot.off_mm < half.low) {
            half.low = foot.off_mm;
            half.lowest = i;
        }
    }
    cells_.clear();
    std::vector<std::uint8_t>& high_for = stands_out_high_;
    std::vector<std::uint8_t>& low_for = stands_out_low_;
    high_for.resize(feet_.size(), 0);
    low_for.resize(feet_.size(), 0);
    for (std::size_t h = 0; h < halves.size(); ++h) {
        const Half& half = halves[h];
        if (!(half.weight > 0.0)) continue;
        cells_.push_back({h / 2, half.along / half.weight, half.off / half.weight, 1.0, 0.0});
        high_for[half.highest] = remembered_rounds;
        low_for[half.lowest] = remembered_rounds;
    }
    places_.clear();
    for (std::size_t i = 0; i < feet_.size(); ++i) {
        if (high_for[i] == 0 && low_for[i] == 0) continue;
        // A place far to the left of the curve asks the band's right border, and the other way round.
        places_.push_back({feet_[i].span, feet_[i].along_mm, feet_[i].off_mm, low_for[i] != 0, high_for[i] != 0});
        if (high_for[i] != 0) --high_for[i];
        if (low_for[i] != 0) --low_for[i];
    }
    for (std::size_t i = 0; i < cells_.size(); ++i) {
        const double here = cell_at(i);
        const double before = i > 0 ? 0.5 * (here + cell_at(i - 1)) : 0.0;
        const double after = i + 1 < cells_.size() ? 0.5 * (here + cell_at(i + 1)) : base_.length_mm();
        cells_[i].width = after - before;
    }
}

void FairFit::gather_cells() {
    // The robust weights come from how far each cell stands off the present curve.
    cells_.clear();
    Cell sum;
    double total = 0.0;
    std::size_t key = 0;
    std::size_t count = 0;
    const auto close = [&] {
        if (count == 0) return;
        if (total > 0.0) {
            sum.along /= total;
            sum.off /= total;
            sum.weight = total / static_cast<double>(count);
            cells_.push_back(sum);
        }
        count = 0;
    };
    std::vector<std::size_t> order(feet_.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    const auto at = [this](std::size_t i) { return base_.at_mm[feet_[i].span] + feet_[i].along_mm; };
    const auto before_on_base = [&](std::size_t a, std::size_t b) { return at(a) < at(b); };
    if (!std::is_sorted(order.begin(), order.end(), before_on_base))
        std::stable_sort(order.begin(), order.end(), before_on_base);
    for (const std::size_t i : order) {
        const Foot& foot = feet_[i];
        const bool second_half = foot.along_mm > 0.5 * base_.span_mm(foot.span);
        const std::size_t here = 2 * foot.span + (second_half ? 1 : 0);
        if (count > 0 && (here != key || !settings_.averaged)) close();
        if (count == 0) {
            sum = Cell{foot.span, 0.0, 0.0, 0.0, 0.0};
            total = 0.0;
            key = here;
        }
        const double w = weights_.empty() ? 1.0 : weights_[i];
        sum.along += w * foot.along_mm;
        sum.off += w * foot.off_mm;
        total += w;
        ++count;
    }
    close();
    // Each cell stands for half the way to its neighbours.
    for (std::size_t i = 0; i < cells_.size(); ++i) {
        const double here = cell_at(i);
        const double before = i > 0 ? 0.5 * (here + cell_at(i - 1)) : 0.0;
        const double after = i + 1 < cells_.size() ? 0.5 * (here + cell_at(i + 1)) : base_.length_mm();
        cells_[i].width = after - before;
    }
    places_.clear();
    for (const Cell& cell : cells_) places_.push_back({cell.span, cell.along, cell.off, true, true});
    if (settings_.robust && rounds_ > 1) weigh_robustly();
}

void FairFit::weigh_robustly() {
    std::vector<double> size;
    size.reserve(cells_.size());
    for (const Cell& cell : cells_) size.push_back(std::abs(cell.off));
    std::vector<double> sorted = size;
    const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
    std::nth_element(sorted.begin(), middle, sorted.end());
    // What the wave smooths off a trace without scatter is no slip: weighed less, it would only grow.
    constexpr double least_scatter_mm = 0.01;
    const double sigma = std::fmax(sigma_per_mad * *middle, least_scatter_mm);
    for (std::size_t i = 0; i < cells_.size(); ++i) {
        const double u = size[i] / (tukey * sigma);
        // Never quite nothing: a long hollow must still be bridged by something.
        constexpr double least = 1e-3;
        const double w = u < 1.0 ? (1.0 - u * u) * (1.0 - u * u) : 0.0;
        cells_[i].weight *= std::fmax(w, least);
    }
}

CurvatureBounds FairFit::bounds(double slack) const {
    CurvatureBounds out;
    if (settings_.least_radius_left_mm) out.high = slack / *settings_.least_radius_left_mm;
    if (settings_.least_radius_right_mm) out.low = -slack / *settings_.least_radius_right_mm;
    return out;
}

/// The least of the band and the pins' tolerances: by so much all of them may be narrowed. Infinite: nothing to widen.
double FairFit::least_tolerance_mm() const {
    double out = std::fmin(settings_.band_left_mm, settings_.band_right_mm);
    for (const FairPin& pin : settings_.pins) out = std::fmin(out, pin.tolerance_mm);
    return out;
}

namespace {

void widen(Limit& limit) {
    if (limit.high - limit.low < 2.0 * held_part) {
        const double middle = 0.5 * (limit.high + limit.low);
        limit.low = middle - held_part;
        limit.high = middle + held_part;
    }
}

}  // namespace

BandProblem FairFit::stated(const Slack& slack) const {
    // Scaled: lengths in steps. η, m and tolerances / h, curvature · h.
    const double h = step_mm_;
    const OffsetSpline spline(base_);
    BandProblem problem;
    problem.H = BandMatrix(spline.size());
    problem.g.assign(spline.size(), 0.0);
    const auto bend_row = [&](std::size_t node) {
        // h κ = h κ₀ + h² (bend of η / h): with η counted in h, its bend gains h².
        BandRow row = spline.bend(node);
        for (double& v : row.at) v *= h * h;
        return row;
    };
    const std::size_t spans = base_.spans();
    for (std::size_t j = 0; j <= spans; ++j)
        limit_curvature(problem, bend_row(j), h * base_.curvature[j], slack.curvature);
    for (std::size_t j = 0; j < spans; ++j) {
        // Bends of both ends, on the four functions that live over the span.
        BandRow rise;
        rise.first = j;
        for (const std::size_t end : {j, j + 1}) {
            const BandRow row = bend_row(end);
            for (std::size_t k = 0; k < 4; ++k) {
                const std::size_t i = row.first + k - j;
                if (i < 4) rise.at[i] += end == j ? -row.at[k] : row.at[k];
            }
        }
        const double weight = h / base_.span_mm(j);
        problem.H.add(rise, weight);
        rise.add_to(problem.g, weight * h * (base_.curvature[j + 1] - base_.curvature[j]));
    }
    const double ratio = two_pi * h / settings_.wave_mm;
    const double mu = ratio * ratio * ratio * ratio * ratio * ratio;
    for (const Cell& cell : cells_) {
        const BandRow row = spline.value(cell.span, cell.along);
        const double weight = mu * cell.weight * cell.width / h;
        problem.H.add(row, weight);
        row.add_to(problem.g, -weight * cell.off / h);
    }
    const double left = settings_.band_left_mm + slack.widen_mm;
    const double right = settings_.band_right_mm + slack.widen_mm;
    if (std::isfinite(left) || std::isfinite(right)) {
        for (const BandPlace& place : places_) {
            Limit limit{spline.value(place.span, place.along), -HUGE_VAL, HUGE_VAL, true};
            if (place.holds_right) limit.low = (place.off - right) / h;
            if (place.holds_left) limit.high = (place.off + left) / h;
            widen(limit);
            problem.limits.push_back(limit);
        }
    }
    for (const Pinned& pinned : pinned_) {
        const double tolerance = (settings_.pins[pinned.pin].tolerance_mm + slack.widen_mm) / h;
        Limit limit{spline.value(pinned.foot.span, pinned.foot.along_mm), pinned.foot.off_mm / h - tolerance,
                    pinned.foot.off_mm / h + tolerance, true};
        widen(limit);
        problem.limits.push_back(limit);
    }
    hold_end(problem, spline, settings_.start, 0, feet_.front().off_mm);
    hold_end(problem, spline, settings_.end, spans, feet_.back().off_mm);
    // What neither trace nor limit touches must not float: a ten-millionth of the trace's own pull.
    problem.H.add_diagonal(1e-7 * mu);
    return problem;
}

void FairFit::limit_curvature(BandProblem& problem, const BandRow& row, double now, double slack) const {
    if (!has_radii()) return;
    const CurvatureBounds allowed = bounds(slack);
    problem.limits.push_back({row, step_mm_ * allowed.low - now, step_mm_ * allowed.high - now, false});
}

namespace {

/// Of a direction only the part that a normal offset can turn in one round.
double turn_towards(double heading_rad, double direction_rad) {
    constexpr double most_turn = 0.5;
    return std::clamp(geometry::wrap_pi(heading_rad - direction_rad), -most_turn, most_turn);
}

}  // namespace

void FairFit::hold_end(BandProblem& problem, const OffsetSpline& spline, const FairEnd& end, std::size_t node,
                       double off_mm) const {
    if (end.held) {
        const BandRow row = node == 0 ? spline.value(0, 0.0) : spline.value(node - 1, base_.span_mm(node - 1));
        Limit limit{row, off_mm / step_mm_, off_mm / step_mm_, false};
        widen(limit);
        problem.limits.push_back(limit);
    }
    if (end.heading_rad) {
        BandRow row = spline.turn(node);
        for (double& v : row.at) v *= step_mm_;
        const double turn = turn_towards(*end.heading_rad, base_.direction[node]);
        Limit limit{row, turn, turn, false};
        widen(limit);
        problem.limits.push_back(limit);
    }
    if (end.curvature) {
        BandRow row = spline.bend(node);
        for (double& v : row.at) v *= step_mm_ * step_mm_;
        const double bend = step_mm_ * (*end.curvature - base_.curvature[node]);
        Limit limit{row, bend, bend, false};
        widen(limit);
        problem.limits.push_back(limit);
    }
}

/// By how much the present curve lies outside the band and the pins' tolerances; negative: by so much within them.
double FairFit::give_mm() const {
    double out = -HUGE_VAL;
    for (const BandPlace& place : places_) {
        if (place.holds_right) out = std::fmax(out, place.off - settings_.band_right_mm);
        if (place.holds_left) out = std::fmax(out, -place.off - settings_.band_left_mm);
    }
    for (const Pinned& pinned : pinned_)
        out = std::fmax(out, std::abs(pinned.foot.off_mm) - settings_.pins[pinned.pin].tolerance_mm);
    return out;
}

/// What misses the band or a held place by no more than this keeps it.
double FairFit::kept_mm() const {
    return edge_ ? std::fmax(kept_part * step_mm_, kept_of_edge_mm) : kept_part * step_mm_;
}

/// By how much the present curve misses what is held at its ends, directions and curvatures counted over
/// one step.
double FairFit::miss_mm() const {
    const auto missed = [this](const FairEnd& end, double off_mm, double direction, double curvature) {
        double out = end.held ? std::abs(off_mm) : 0.0;
        if (end.heading_rad) out += step_mm_ * std::abs(geometry::wrap_pi(*end.heading_rad - direction));
        if (end.curvature) out += step_mm_ * step_mm_ * std::abs(*end.curvature - curvature);
        return out;
    };
    return missed(settings_.start, feet_.front().off_mm, base_.direction.front(), base_.curvature.front()) +
           missed(settings_.end, feet_.back().off_mm, base_.direction.back(), base_.curvature.back());
}

BandAnswer FairFit::solved(const BandProblem& problem, bool giving, bool rough) {
    BandAnswer answer = giving ? solve_giving(problem) : solve(problem, rough);
    steps_ += answer.steps;
    return answer;
}

double FairFit::largest_move_mm(const std::vector<double>& x) const {
    const OffsetSpline spline(base_);
    double most = 0.0;
    for (std::size_t j = 0; j < base_.spans(); ++j) {
        most = std::fmax(most, std::abs(spline.value(j, 0.0).times(x)));
        most = std::fmax(most, std::abs(spline.value(j, base_.span_mm(j)).times(x)));
    }
    return most * step_mm_;
}

/// Moves the base by this part of the answer. False where the base cannot be moved so far.
bool FairFit::lay_anew(const std::vector<double>& x, double part, const CurvatureBounds& within) {
    std::vector<double> offset = x;
    for (double& v : offset) v *= part * step_mm_;
    auto next = moved(base_, offset, within);
    if (!next) return false;
    base_ = std::move(*next);
    if (edge_) refine(base_, most_turn_of_edge, step_mm_);
    return true;
}

/// Rounds with all limits as asked, each taking its full step.
FairFit::Outcome FairFit::straight_on() {
    const int most = settings_.robust ? most_robust_rounds : most_rounds;
    const double settled_mm = edge_              ? settled_of_edge_mm
                              : settings_.robust ? settled_robust_part * base_.length_mm()
                                                 : settled_part * base_.length_mm();
    const CurvatureBounds within = bounds(1.0);
    for (rounds_ = 1;; ++rounds_) {
        look_from_base();
        const BandAnswer answer = solved(stated({}), false, rounds_ == 1);
        if (!answer.settled) return Outcome::contradiction;
        const double move_mm = largest_move_mm(answer.x);
        const std::size_t spans = base_.spans();
        if (!lay_anew(answer.x, 1.0, within)) {
            // A trace without limits has nothing else to fall back on than shorter steps.
            bool laid = false;
            for (double part = shortened; part > least_step_part && !laid; part *= shortened)
                laid = lay_anew(answer.x, part, within);
            if (!laid) return Outcome::no_way;
            continue;
        }
        const bool same_spans = spans == base_.spans();
        if ((same_spans && std::fmax(move_mm, trimmed_mm_) <= settled_mm) || rounds_ >= most) break;
    }
    if (!has_limits()) return Outcome::found;
    look_from_base();
    const double tolerance = std::isfinite(least_tolerance_mm()) ? least_tolerance_mm() : 0.0;
    return std::fmax(give_mm(), miss_mm()) <= std::fmax(kept_mm(), kept_part * tolerance) ? Outcome::found
                                                                                          : Outcome::contradiction;
}

/// By how much the base turns tighter than allowed; 1: nowhere.
double FairFit::excess() const {
    const CurvatureBounds allowed = bounds(1.0);
    double out = 1.0;
    for (const double k : base_.curvature) out = std::fmax(out, std::fmax(k / allowed.high, k / allowed.low));
    return out;
}

/// Tightens the radii round by round until the base keeps them.
bool FairFit::bring_within_radii() {
    double slack = excess();
    for (int n = 0; n < most_tightenings && slack > 1.0; ++n, ++rounds_) {
        slack = std::fmax(1.0, tightened * slack);
        look_from_base();
        const BandAnswer answer = solved(stated({slack, -least_tolerance_mm()}), true, false);
        double part = 1.0;
        while (part > least_step_part && !lay_anew(answer.x, part, bounds(slack))) part *= shortened;
        if (!(part > least_step_part)) return false;
    }
    return !(slack > 1.0);
}

/// Looks for the narrowest band, from finer and coarser bases until one of the ways ends well.
FairFit::Outcome FairFit::narrowest() {
    struct Kept {
        FairBase base;
        std::vector<Push> pushes;
        double give = HUGE_VAL;
    };
    Kept best;
    for (int coarser = first_coarser_; coarser <= most_coarser; ++coarser) {
        if (work_ > most_work && std::isfinite(best.give)) break;
        if (!lay_base(coarser)) continue;
        if (excess() > most_excess && coarser < most_coarser) continue;
        if (!bring_within_radii()) continue;
        const Outcome outcome = narrow();
        if (outcome == Outcome::found) return outcome;
        if (outcome == Outcome::no_way) continue;
        if (give_mm() < best.give) best = {base_, pushes_, give_mm()};
        if (outcome == Outcome::contradiction) break;
    }
    if (!std::isfinite(best.give)) return Outcome::no_way;
    base_ = std::move(best.base);
    pushes_ = std::move(best.pushes);
    look_from_base();
    widen_mm_ = give_mm();
    return Outcome::contradiction;
}

/// Looks for the narrowest band near the present base; stops as soon as the one that was asked for is reached.
FairFit::Outcome FairFit::narrow() {
    const double tolerance = least_tolerance_mm();
    const CurvatureBounds within = bounds(1.0);
    look_from_base();
    const double kept_mm = this->kept_mm();
    struct Merit {
        double give = 0.0, miss = 0.0;
        double sum() const { return give + miss; }
    };
    const auto merit = [&] { return Merit{give_mm(), miss_mm()}; };
    Merit best = merit();
    bool stuck = false;
    for (int n = 0; n < most_narrowings && work_ <= most_work; ++n, ++rounds_) {
        if (best.give <= kept_mm && best.miss <= kept_mm) break;
        const BandProblem problem = stated({1.0, -tolerance});
        const BandAnswer answer = solved(problem, true, false);
        remember_pushes(problem, answer);
        const double gain = best.sum() - (answer.give * step_mm_ - tolerance);
        const double least_gain = std::fmax(narrowest_part * (best.give + tolerance), kept_mm);
        if (gain <= least_gain) break;
        const auto better = [&](const Merit& now, double part) {
            return now.sum() <= best.sum() - least_gain_part * part * gain;
        };
        const FairBase before = base_;
        bool done = false;
        for (double part = 1.0; part > least_step_part && !done; part *= shortened) {
            if (!lay_anew(answer.x, part, within)) continue;
            look_from_base();
            Merit now = merit();
            done = better(now, part);
            if (!done && part == 1.0) {
                // A full step's error of second order can hide its gain: one more step from there corrects it.
                const BandAnswer again = solved(stated({1.0, -tolerance}), true, false);
                if (lay_anew(again.x, 1.0, within)) {
                    look_from_base();
                    now = merit();
                    done = better(now, part);
                }
            }
            if (done) {
                best = now;
            } else {
                base_ = before;
            }
        }
        if (!done) {
            look_from_base();
            stuck = gain > most_lost_gain_part * (best.give + tolerance);
            break;
        }
    }
    if (best.miss > kept_mm) {
        // What is left at the ends is brought home within a band a trifle wider, where the fairest curve is the only
        // one.
        const FairBase before = base_;
        if (!bring_home(best.give + room_part * (best.give + tolerance))) {
            base_ = before;
            look_from_base();
            return Outcome::no_way;
        }
        best = merit();
    }
    if (best.give <= kept_mm) {
        polish(0.0);
        return Outcome::found;
    }
    return stuck ? Outcome::stuck : Outcome::contradiction;
}

/// Rounds with full steps within the band so widened, until what is held is held.
bool FairFit::bring_home(double widen_mm) {
    const double kept_mm = this->kept_mm();
    for (int n = 0; n < most_rounds; ++n, ++rounds_) {
        const BandAnswer answer = solved(stated({1.0, widen_mm}), false, false);
        if (!answer.settled || !lay_anew(answer.x, 1.0, bounds(1.0))) return false;
        look_from_base();
        if (miss_mm() <= kept_mm && give_mm() <= widen_mm + kept_mm) return true;
    }
    return false;
}

/// Makes the present curve, which lies within the band so widened, as fair as it can be there.
void FairFit::polish(double widen_mm) {
    const CurvatureBounds within = bounds(1.0);
    const double settled_mm = edge_ ? settled_of_edge_mm : settled_part * base_.length_mm();
    const double kept_mm = this->kept_mm();
    for (int n = 0; n < most_rounds; ++n, ++rounds_) {
        const BandAnswer answer = solved(stated({1.0, widen_mm}), false, false);
        if (!answer.settled) return;
        const double move_mm = largest_move_mm(answer.x);
        const FairBase before = base_;
        bool kept = false;
        for (double part = 1.0; part > least_step_part && !kept; part *= shortened) {
            if (!lay_anew(answer.x, part, within)) continue;
            look_from_base();
            kept = give_mm() <= widen_mm + kept_mm && miss_mm() <= kept_mm;
            if (!kept) base_ = before;
        }
        if (!kept) {
            look_from_base();
            return;
        }
        if (move_mm <= settled_mm && base_.spans() == before.spans()) return;
    }
}

void measure_offsets(FairCurve& curve) {
    curve.largest_off_mm = 0.0;
    double sum = 0.0;
    double whole = 0.0;
    for (std::size_t i = 0; i < curve.offsets.size(); ++i) {
        const double off = curve.offsets[i].off_mm;
        curve.largest_off_mm = std::fmax(curve.largest_off_mm, std::abs(off));
        if (i == 0) continue;
        const TraceOffset& before = curve.offsets[i - 1];
        const double w = std::abs(curve.offsets[i].at_mm - before.at_mm);
        sum += 0.5 * w * (off * off + before.off_mm * before.off_mm);
        whole += w;
    }
    curve.rms_off_mm = whole > 0.0 ? std::sqrt(sum / whole) : 0.0;
}

FairCurve FairFit::result() {
    trim_ends(base_, trace_.front(), trace_.back());
    FairCurve out;
    for (std::size_t j = 0; j < base_.spans(); ++j) {
        out.spans.push_back(base_.span(j));
        out.steepest =
            std::fmax(out.steepest, std::abs(base_.curvature[j + 1] - base_.curvature[j]) / base_.span_mm(j));
    }
    out.length_mm = base_.length_mm();
    out.offsets = offsets_from(out, trace_);
    measure_offsets(out);
    out.rounds = rounds_;
    out.steps = steps_;
    return out;
}

void FairFit::remember_pushes(const BandProblem& problem, const BandAnswer& answer) {
    pushes_.clear();
    // Places of the band and pins are the limits that may give, in this order.
    std::size_t next_place = 0;
    std::size_t next_pin = 0;
    const bool banded = std::isfinite(settings_.band_left_mm) || std::isfinite(settings_.band_right_mm);
    for (std::size_t i = 0; i < problem.limits.size(); ++i) {
        if (!problem.limits[i].may_give) continue;
        const double up = answer.push_low[i];
        const double down = answer.push_high[i];
        Push push{std::nullopt, 0.0, 0.0, {}, {}, std::abs(up - down), up > down ? 1 : -1};
        Foot foot;
        if (banded && next_place < places_.size()) {
            const BandPlace& place = places_[next_place++];
            foot = {place.span, place.along, place.off};
        } else {
            const Pinned& pinned = pinned_[next_pin++];
            push.pin = pinned.pin;
            foot = pinned.foot;
        }
        const Clothoid here = base_.span(foot.span);
        const Point left = geometry::left_of(geometry::unit(here.heading(foot.along_mm)));
        push.at_mm = base_.at_mm[foot.span] + foot.along_mm;
        push.span_mm = base_.span_mm(foot.span);
        push.place = here.point(foot.along_mm) + foot.off_mm * left;
        // A push up from `low` means the curve wants to lie farther right than the limit lets it.
        push.way = static_cast<double>(-push.sign) * left;
        pushes_.push_back(push);
    }
}

FairProblem FairFit::contradiction() {
    FairProblem out;
    out.widen_mm = widen_mm_;
    double whole = 0.0;
    for (const Push& push : pushes_) whole += push.size;
    // Below this share of the whole a place does not count as blocking.
    constexpr double least_share = 0.01;
    std::vector<Push> kept;
    double largest = 0.0;
    for (const Push& push : pushes_) largest = std::fmax(largest, push.size);
    for (const Push& push : pushes_) {
        if (push.size > 1e-3 * largest) kept.push_back(push);
    }
    std::stable_sort(kept.begin(), kept.end(), [](const Push& a, const Push& b) { return a.at_mm < b.at_mm; });
    // Neighbouring places that push the same way are one stretch.
    constexpr double near_spans = 4.0;
    double peak = 0.0;
    int sign = 0;
    for (const Push& push : kept) {
        const Point move = widen_mm_ * push.way;
        const bool joins = !out.blocks.empty() && !push.pin && !out.blocks.back().pin && sign == push.sign &&
                           push.at_mm - out.blocks.back().to_mm <= near_spans * push.span_mm;
        if (!joins) {
            out.blocks.push_back({push.pin, push.at_mm, push.at_mm, push.place, move, 0.0});
            peak = push.size;
            sign = push.sign;
        }
        FairBlock& block = out.blocks.back();
        block.to_mm = push.at_mm;
        block.share += push.size / whole;
        if (push.size > peak) {
            peak = push.size;
            block.at = push.place;
            block.move = move;
        }
    }
    std::erase_if(out.blocks, [](const FairBlock& block) { return block.share < least_share; });
    std::stable_sort(out.blocks.begin(), out.blocks.end(),
                     [](const FairBlock& a, const FairBlock& b) { return a.share > b.share; });
    if (!out.blocks.empty()) out.at = out.blocks.front().at;
    out.reason = "The band and the pins leave no room for a curve of this radius: " + plain(widen_mm_) +
                 " mm more is needed on each side.";
    out.remedy = "Widen the band by " + plain(widen_mm_) + " mm, move the places named, or allow a tighter radius.";
    polish((1.0 + shown_room) * widen_mm_);
    out.nearest = result();
    return out;
}

}  // namespace seamwright::curves
