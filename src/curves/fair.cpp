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
// Error budget at λ = 150 mm. Nodes λ/40 apart: the spline misses a ripple of length λ by (π/20)⁴/720 ≈ 1e-6 of its
// height. Band and pins are met at each averaged point to `held_part` of the step; between points the curve strays no
// more than its curvature over their spacing allows. Curvature bounds are met to 1e-9 and then cut to the bound itself.
//
// Conditioning. The matrix of third differences over nodes h apart has the condition (λ/πh)⁶. With h = λ/40, and all
// lengths counted in h, that is 4e6: nothing is lost. (h = λ/150 would be 1e10, and the interior point stalls.)

#include "curves/fair.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "fair_base.h"
#include "interior_point.h"
#include "shapes.h"

namespace seamwright::curves {

namespace {

constexpr double two_pi = 2.0 * geometry::pi;
/// Steps of the fair curve in its shortest wave.
constexpr double steps_per_wave = 40.0;
/// No span may turn by more than this (radians) on the tightest radius allowed.
constexpr double most_turn_per_span = 0.15;
/// Steps over a whole curve that is shorter than a wave.
constexpr double least_steps = 60.0;
/// More nodes than this are not needed for any edge, and bound time and memory.
constexpr double most_steps = 20000.0;
/// Trimming leaves at least so many spans.
constexpr std::size_t least_spans = 8;
/// Pins of the first base stand this many steps apart: well below the wave, well above the jitter.
constexpr double steps_per_group = 6.0;
/// The first base may need coarser pins where the trace is wild.
constexpr int most_coarser = 4;
/// A round that moves the curve by less than this part of its length is the last. What it leaves is of second order.
constexpr double settled_part = 1e-8;
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
/// A widening below this part of a step is the solver's own tolerance, no contradiction.
constexpr double no_widening_part = 1e-5;

/// Neighbouring points of the trace together, at half-span spacing.
struct Cell {
    std::size_t span = 0;
    double along = 0.0;   // mm from the start of the span
    double off = 0.0;     // mm
    double weight = 0.0;  // mean weight of its points
    double width = 0.0;   // mm of the curve it stands for
};

struct Pinned {
    std::size_t pin = 0;
    Foot foot;
};

class Fit {
  public:
    Fit(std::span<const Point> trace, std::span<const double> weights, const FairSettings& settings)
        : trace_(trace), weights_(weights), settings_(settings) {}

    std::variant<FairCurve, FairProblem> run() {
        if (auto problem = check()) return *problem;
        if (auto problem = lay_first_base()) return *problem;
        const int most = settings_.robust ? most_robust_rounds : most_rounds;
        for (rounds_ = 1;; ++rounds_) {
            look_from_base();
            if (!solve_round())
                return FairProblem{"No fair curve was found near this trace.",
                                   "Use a longer wave, or set fewer limits.",
                                   std::nullopt,
                                   0.0,
                                   {},
                                   std::nullopt};
            const double moved = lay_anew();
            if (!std::isfinite(moved))
                return FairProblem{"The trace turns too sharply for a fair curve.",
                                   "Trace in smaller pieces, or use a shorter wave.",
                                   trace_.front(),
                                   0.0,
                                   {},
                                   std::nullopt};
            const double settled = settings_.robust ? settled_robust_part : settled_part;
            if (std::fmax(moved, trimmed_mm_) <= settled * base_.length_mm() || rounds_ >= most) break;
        }
        if (give_mm_ > 0.0) return contradiction();
        return result();
    }

  private:
    std::optional<FairProblem> check() const {
        const auto refuse = [](std::string reason, std::string remedy, std::optional<Point> at = {}) {
            return FairProblem{std::move(reason), std::move(remedy), at, 0.0, {}, std::nullopt};
        };
        if (trace_.size() < 3) {
            return refuse("The trace has " + std::to_string(trace_.size()) + " points.",
                          "Give at least three, in order along the edge.");
        }
        if (!weights_.empty() && weights_.size() != trace_.size())
            return refuse("The weights are not one for each point.", "Give one for each point, or none.");
        geometry::Box box;
        for (std::size_t i = 0; i < trace_.size(); ++i) {
            if (!usable(trace_[i])) {
                return refuse("Point " + std::to_string(i + 1) + " of the trace is not a usable number.",
                              "Give plain numbers of no more than a kilometre.");
            }
            box.add(trace_[i]);
        }
        double sum = weights_.empty() ? 1.0 : 0.0;
        for (const double w : weights_) {
            if (!(w >= 0.0) || !std::isfinite(w))
                return refuse("A weight is negative or not a number.", "Give weights of nothing or more.");
            sum += w;
        }
        if (!(sum > 0.0)) return refuse("All weights are nothing.", "Give some point a weight.");
        if (!(std::fmax(box.width_mm(), box.height_mm()) > 0.0))
            return refuse("All points of the trace are at one place.", "Trace along the edge.", trace_.front());
        if (!(settings_.wave_mm > 0.0) || !usable(settings_.wave_mm))
            return refuse("The wave is " + plain(settings_.wave_mm) + " mm.", "Give a length above nothing.");
        for (const auto& radius : {settings_.least_radius_left_mm, settings_.least_radius_right_mm}) {
            if (radius && (!(*radius >= least_radius_mm) || !std::isfinite(*radius))) {
                return refuse("The tightest radius allowed is " + plain(*radius) + " mm.",
                              "Give a radius of at least " + plain(least_radius_mm) + " mm.");
            }
        }
        if (settings_.step_mm && (!(*settings_.step_mm > 0.0) || !usable(*settings_.step_mm)))
            return refuse("The step is " + plain(*settings_.step_mm) + " mm.", "Give a length above nothing.");
        if (!(settings_.band_left_mm >= 0.0) || !(settings_.band_right_mm >= 0.0))
            return refuse("The band is less than nothing.", "Give how far the curve may lie to each side.");
        for (std::size_t i = 0; i < settings_.pins.size(); ++i) {
            const FairPin& pin = settings_.pins[i];
            if (!usable(pin.at) || !(pin.tolerance_mm >= 0.0)) {
                return refuse("The place or tolerance of pin " + std::to_string(i + 1) + " is not a usable number.",
                              "Give plain numbers; the tolerance is nothing or more.");
            }
        }
        for (const FairEnd* end : {&settings_.start, &settings_.end}) {
            if (end->heading_rad && !std::isfinite(*end->heading_rad))
                return refuse("The direction at an end is not a usable number.", "Give an angle.");
        }
        return std::nullopt;
    }

    std::optional<FairProblem> lay_first_base() {
        double whole = 0.0;
        // Length by points at least a wave's step apart, which jitter does not lengthen much.
        const double coarse = settings_.wave_mm / steps_per_wave;
        Point last = trace_.front();
        for (const Point p : trace_) {
            const double d = geometry::distance(last, p);
            if (d >= coarse || p == trace_.back()) {
                whole += d;
                last = p;
            }
        }
        step_mm_ = std::fmin(settings_.wave_mm / steps_per_wave, whole / least_steps);
        for (const auto& radius : {settings_.least_radius_left_mm, settings_.least_radius_right_mm}) {
            if (radius) step_mm_ = std::fmin(step_mm_, most_turn_per_span * *radius);
        }
        if (settings_.step_mm) step_mm_ = *settings_.step_mm;
        step_mm_ = std::fmax(step_mm_, whole / most_steps);
        double group = steps_per_group * step_mm_;
        // A radius that is short beside the wave asks for short steps, but not for pins that follow the jitter.
        group = std::fmax(group, std::fmin(settings_.wave_mm / 12.0, whole / 12.0));
        for (int tries = 0; tries < most_coarser; ++tries, group *= 2.0) {
            if (auto base = first_base(trace_, group, step_mm_)) {
                if (base->length_mm() < 3.0 * whole) {
                    base_ = std::move(*base);
                    return std::nullopt;
                }
            }
        }
        return FairProblem{"The trace doubles back on itself.",
                           "Give the points in order along the edge, and leave out crossings and spurs.",
                           trace_.front(),
                           0.0,
                           {},
                           std::nullopt};
    }

    /// Feet of the points; the base's ends brought to those of the first and last point; cells; pins.
    void look_from_base() {
        trim_ends();
        feet_.clear();
        feet_.reserve(trace_.size());
        std::size_t near = 0;
        for (const Point p : trace_) {
            Foot foot = foot_on(base_, p, near);
            near = foot.span;
            foot.along_mm = std::clamp(foot.along_mm, 0.0, base_.span_mm(foot.span));
            feet_.push_back(foot);
        }
        pinned_.clear();
        for (std::size_t i = 0; i < settings_.pins.size(); ++i) {
            // A pin may stand anywhere along the edge: start from the nearest node.
            std::size_t nearest = 0;
            double best = HUGE_VAL;
            for (std::size_t j = 0; j < base_.place.size(); ++j) {
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
        gather_cells();
    }

    /// Brings the base's ends to the feet of the trace's end points: end spans are cut, lengthened, dropped or added.
    void trim_ends() {
        trimmed_mm_ = 0.0;
        // Each pass moves an end by up to a span and a half; a round that turns the base leaves little to move.
        constexpr int most_passes = 60;
        for (int pass = 0; pass < most_passes; ++pass) {
            const std::size_t end = base_.spans() - 1;
            const Foot first = foot_on(base_, trace_.front(), 0);
            const Foot last = foot_on(base_, trace_.back(), end);
            double before = first.span == 0 ? first.along_mm : base_.span_mm(0);
            double beyond = last.span == end ? last.along_mm - base_.span_mm(end) : -base_.span_mm(end);
            trimmed_mm_ = std::fmax(trimmed_mm_, std::fmax(std::abs(before), std::abs(beyond)));
            if (before == 0.0 && beyond == 0.0) return;
            std::vector<double> lengths(base_.spans());
            for (std::size_t j = 0; j < lengths.size(); ++j) lengths[j] = base_.span_mm(j);
            std::vector<double> curvature = base_.curvature;
            bool again = false;
            // A span is neither cut below half a step nor stretched beyond one and a half.
            if (lengths[end] + beyond > 1.5 * step_mm_) {
                beyond = std::fmin(beyond, step_mm_);
                lengths.push_back(beyond);
                curvature.push_back(curvature.back());
                again = true;
            } else if (lengths[end] + beyond < 0.5 * step_mm_ && lengths.size() > least_spans) {
                lengths.pop_back();
                curvature.pop_back();
                again = true;
            } else {
                lengths[end] = std::fmax(lengths[end] + beyond, 0.25 * step_mm_);
            }
            const Clothoid opening = base_.span(0);
            const Clothoid back{opening.start, opening.heading_rad, step_mm_, opening.curvature0, opening.curvature0};
            Point start = opening.start;
            double direction = opening.heading_rad;
            if (lengths[0] - before > 1.5 * step_mm_) {
                before = std::fmax(before, -step_mm_);
                start = back.point(before);
                direction = back.heading(before);
                lengths.insert(lengths.begin(), -before);
                curvature.insert(curvature.begin(), opening.curvature0);
                again = true;
            } else if (lengths[0] - before < 0.5 * step_mm_ && lengths.size() > least_spans) {
                start = base_.place[1];
                direction = base_.direction[1];
                lengths.erase(lengths.begin());
                curvature.erase(curvature.begin());
                again = true;
            } else {
                before = std::fmin(before, lengths[0] - 0.25 * step_mm_);
                start = opening.point(before);
                direction = opening.heading(before);
                lengths[0] -= before;
            }
            base_ = laid_out(start, direction, std::move(curvature), lengths);
            if (!again) return;
        }
    }

    void gather_cells() {
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
        if (settings_.robust && rounds_ > 1) weigh_robustly();
    }

    double cell_at(std::size_t i) const { return base_.at_mm[cells_[i].span] + cells_[i].along; }

    void weigh_robustly() {
        std::vector<double> size;
        size.reserve(cells_.size());
        for (const Cell& cell : cells_) size.push_back(std::abs(cell.off));
        std::vector<double> sorted = size;
        const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
        std::nth_element(sorted.begin(), middle, sorted.end());
        // Exact traces have no scatter; then rounding is no outlier.
        constexpr double rounding_part = 1e-9;
        const double sigma = std::fmax(sigma_per_mad * *middle, rounding_part * base_.length_mm());
        for (std::size_t i = 0; i < cells_.size(); ++i) {
            const double u = size[i] / (tukey * sigma);
            // Never quite nothing: a long hollow must still be bridged by something.
            constexpr double least = 1e-3;
            const double w = u < 1.0 ? (1.0 - u * u) * (1.0 - u * u) : 0.0;
            cells_[i].weight *= std::fmax(w, least);
        }
    }

    BandProblem stated() const {
        // Scaled: lengths in steps. η, m and tolerances / h, curvature · h.
        const double h = step_mm_;
        const OffsetSpline spline(base_.at_mm);
        BandProblem problem;
        problem.H = BandMatrix(spline.size());
        problem.g.assign(spline.size(), 0.0);
        const auto bend_row = [&](const OffsetSpline::Rows& rows, double k0) {
            // h κ = h κ₀ + h (h η)'' + …: with η counted in h, η'' gains h² and κ₀² η too.
            BandRow row = rows.bend;
            for (std::size_t i = 0; i < 4; ++i) row.at[i] = h * h * (rows.bend.at[i] + k0 * k0 * rows.value.at[i]);
            return row;
        };
        for (std::size_t j = 0; j < base_.spans(); ++j) {
            const double length = base_.span_mm(j);
            const BandRow from = bend_row(spline.at(j, 0.0), base_.curvature[j]);
            const BandRow to = bend_row(spline.at(j, length), base_.curvature[j + 1]);
            BandRow rise = to;
            for (std::size_t i = 0; i < 4; ++i) rise.at[i] -= from.at[i];
            const double weight = h / length;
            problem.H.add(rise, weight);
            rise.add_to(problem.g, weight * h * (base_.curvature[j + 1] - base_.curvature[j]));
            limit_curvature(problem, from, h * base_.curvature[j]);
            if (j + 1 == base_.spans()) limit_curvature(problem, to, h * base_.curvature[j + 1]);
        }
        const double ratio = two_pi * h / settings_.wave_mm;
        const double mu = ratio * ratio * ratio * ratio * ratio * ratio;
        const bool banded = std::isfinite(settings_.band_left_mm) || std::isfinite(settings_.band_right_mm);
        for (const Cell& cell : cells_) {
            const BandRow row = spline.at(cell.span, cell.along).value;
            const double weight = mu * cell.weight * cell.width / h;
            problem.H.add(row, weight);
            row.add_to(problem.g, -weight * cell.off / h);
            if (!banded) continue;
            Limit limit{row, cell.off / h - settings_.band_right_mm / h, cell.off / h + settings_.band_left_mm / h,
                        true};
            widen(limit);
            problem.limits.push_back(limit);
        }
        for (const Pinned& pinned : pinned_) {
            const double tolerance = settings_.pins[pinned.pin].tolerance_mm / h;
            Limit limit{spline.at(pinned.foot.span, pinned.foot.along_mm).value, pinned.foot.off_mm / h - tolerance,
                        pinned.foot.off_mm / h + tolerance, true};
            widen(limit);
            problem.limits.push_back(limit);
        }
        hold_end(problem, spline, settings_.start, 0, 0.0, feet_.front().off_mm, base_.direction.front());
        const std::size_t last = base_.spans() - 1;
        hold_end(problem, spline, settings_.end, last, base_.span_mm(last), feet_.back().off_mm,
                 base_.direction.back());
        // What neither trace nor limit touches must not float: a ten-millionth of the trace's own pull.
        problem.H.add_diagonal(1e-7 * mu);
        return problem;
    }

    static void widen(Limit& limit) {
        if (limit.high - limit.low < 2.0 * held_part) {
            const double middle = 0.5 * (limit.high + limit.low);
            limit.low = middle - held_part;
            limit.high = middle + held_part;
        }
    }

    void limit_curvature(BandProblem& problem, const BandRow& row, double now) const {
        if (!settings_.least_radius_left_mm && !settings_.least_radius_right_mm) return;
        Limit limit{row, -HUGE_VAL, HUGE_VAL, false};
        if (settings_.least_radius_left_mm) limit.high = step_mm_ / *settings_.least_radius_left_mm - now;
        if (settings_.least_radius_right_mm) limit.low = -step_mm_ / *settings_.least_radius_right_mm - now;
        problem.limits.push_back(limit);
    }

    void hold_end(BandProblem& problem, const OffsetSpline& spline, const FairEnd& end, std::size_t span, double along,
                  double off_mm, double direction) const {
        const auto rows = spline.at(span, along);
        if (end.held) {
            Limit limit{rows.value, off_mm / step_mm_, off_mm / step_mm_, false};
            widen(limit);
            problem.limits.push_back(limit);
        }
        if (end.heading_rad) {
            BandRow row = rows.slope;
            for (double& v : row.at) v *= step_mm_;
            // Of the direction only the part that a normal offset can turn in one round.
            constexpr double most_turn = 0.5;
            const double turn = std::clamp(geometry::wrap_pi(*end.heading_rad - direction), -most_turn, most_turn);
            Limit limit{row, turn, turn, false};
            widen(limit);
            problem.limits.push_back(limit);
        }
    }

    bool solve_round() {
        const BandProblem problem = stated();
        BandAnswer answer;
        // Limits that contradicted each other on the last base most likely still do.
        if (give_mm_ == 0.0) {
            answer = solve(problem, rounds_ == 1);
            steps_ += answer.steps;
        }
        give_mm_ = 0.0;
        if (!answer.settled) {
            answer = solve_giving(problem);
            steps_ += answer.steps;
            if (!answer.settled) return false;
            if (answer.give > no_widening_part) give_mm_ = answer.give * step_mm_;
        }
        offset_ = answer.x;
        for (double& v : offset_) v *= step_mm_;
        if (give_mm_ > 0.0) remember_blocks(problem, answer);
        return true;
    }

    /// Largest offset made.
    double lay_anew() {
        const OffsetSpline spline(base_.at_mm);
        const std::size_t n = base_.spans();
        double moved = 0.0;
        std::vector<double> curvature(n + 1);
        std::vector<double> lengths(n);
        for (std::size_t j = 0; j <= n; ++j) {
            const auto rows = j < n ? spline.at(j, 0.0) : spline.at(n - 1, base_.span_mm(n - 1));
            const double k0 = base_.curvature[j];
            const double off = rows.value.times(offset_);
            moved = std::fmax(moved, std::abs(off));
            double k = k0 + rows.bend.times(offset_) + k0 * k0 * off;
            if (settings_.least_radius_left_mm) k = std::fmin(k, 1.0 / *settings_.least_radius_left_mm);
            if (settings_.least_radius_right_mm) k = std::fmax(k, -1.0 / *settings_.least_radius_right_mm);
            curvature[j] = k;
        }
        for (std::size_t j = 0; j < n; ++j) {
            // Simpson's rule for the length of the offset curve, √((1 − κη)² + η'²).
            const double length = base_.span_mm(j);
            const auto stretch = [&](double u) {
                const auto rows = spline.at(j, u * length);
                const double k = base_.curvature[j] + u * (base_.curvature[j + 1] - base_.curvature[j]);
                return std::hypot(1.0 - k * rows.value.times(offset_), rows.slope.times(offset_));
            };
            lengths[j] = length * (stretch(0.0) + 4.0 * stretch(0.5) + stretch(1.0)) / 6.0;
            if (!(lengths[j] > 0.05 * length && lengths[j] < 20.0 * length)) return HUGE_VAL;
        }
        const auto rows = spline.at(0, 0.0);
        const double off = rows.value.times(offset_);
        const Point along = geometry::unit(base_.direction[0]);
        const Point start = base_.place[0] + off * geometry::left_of(along);
        const double turn = std::atan2(rows.slope.times(offset_), 1.0 - base_.curvature[0] * off);
        base_ = laid_out(start, base_.direction[0] + turn, std::move(curvature), lengths);
        return moved;
    }

    FairCurve result() {
        trim_ends();
        FairCurve out;
        for (std::size_t j = 0; j < base_.spans(); ++j) {
            out.spans.push_back(base_.span(j));
            out.steepest =
                std::fmax(out.steepest, std::abs(base_.curvature[j + 1] - base_.curvature[j]) / base_.span_mm(j));
        }
        out.length_mm = base_.length_mm();
        out.offsets = offsets_from(out, trace_);
        double sum = 0.0;
        double whole = 0.0;
        for (std::size_t i = 0; i < out.offsets.size(); ++i) {
            const double off = out.offsets[i].off_mm;
            out.largest_off_mm = std::fmax(out.largest_off_mm, std::abs(off));
            if (i == 0) continue;
            const TraceOffset& before = out.offsets[i - 1];
            const double w = std::abs(out.offsets[i].at_mm - before.at_mm);
            sum += 0.5 * w * (off * off + before.off_mm * before.off_mm);
            whole += w;
        }
        out.rms_off_mm = whole > 0.0 ? std::sqrt(sum / whole) : 0.0;
        out.rounds = rounds_;
        out.steps = steps_;
        return out;
    }

    struct Push {
        std::optional<std::size_t> pin;
        double at_mm;
        Point place;
        Point way;  // unit vector: where the curve presses to
        double size;
        int sign;
    };

    void remember_blocks(const BandProblem& problem, const BandAnswer& answer) {
        pushes_.clear();
        // Cells and pins are the limits that may give, in this order.
        std::size_t next_cell = 0;
        std::size_t next_pin = 0;
        const bool banded = std::isfinite(settings_.band_left_mm) || std::isfinite(settings_.band_right_mm);
        for (std::size_t i = 0; i < problem.limits.size(); ++i) {
            if (!problem.limits[i].may_give) continue;
            const double up = answer.push_low[i];
            const double down = answer.push_high[i];
            Push push{std::nullopt, 0.0, {}, {}, std::abs(up - down), up > down ? 1 : -1};
            std::size_t span = 0;
            double along = 0.0;
            double off = 0.0;
            if (banded && next_cell < cells_.size()) {
                const Cell& cell = cells_[next_cell++];
                span = cell.span;
                along = cell.along;
                off = cell.off;
            } else {
                const Pinned& pinned = pinned_[next_pin++];
                push.pin = pinned.pin;
                span = pinned.foot.span;
                along = pinned.foot.along_mm;
                off = pinned.foot.off_mm;
            }
            const Clothoid here = base_.span(span);
            const Point left = geometry::left_of(geometry::unit(here.heading(along)));
            push.at_mm = base_.at_mm[span] + along;
            push.place = here.point(along) + off * left;
            // A push up from `low` means the curve wants to lie farther right than the limit lets it.
            push.way = static_cast<double>(-push.sign) * left;
            pushes_.push_back(push);
        }
    }

    FairProblem contradiction() {
        FairProblem out;
        out.widen_mm = give_mm_;
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
        const double near = 4.0 * step_mm_;
        double peak = 0.0;
        int sign = 0;
        for (const Push& push : kept) {
            const Point move = give_mm_ * push.way;
            const bool joins = !out.blocks.empty() && !push.pin && !out.blocks.back().pin && sign == push.sign &&
                               push.at_mm - out.blocks.back().to_mm <= near;
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
        out.reason = "The band and the pins leave no room for a curve of this radius: " + plain(give_mm_) +
                     " mm more is needed on each side.";
        out.remedy = "Widen the band by " + plain(give_mm_) + " mm, move the places named, or allow a tighter radius.";
        out.nearest = result();
        return out;
    }

    std::span<const Point> trace_;
    std::span<const double> weights_;
    const FairSettings& settings_;
    double step_mm_ = 1.0;
    FairBase base_;
    std::vector<Foot> feet_;
    std::vector<Cell> cells_;
    std::vector<Pinned> pinned_;
    std::vector<double> offset_;
    std::vector<Push> pushes_;
    double give_mm_ = 0.0;
    double trimmed_mm_ = 0.0;  // by how much the ends had to be moved in this round
    int rounds_ = 0;
    int steps_ = 0;
};

}  // namespace

std::vector<TraceOffset> offsets_from(const FairCurve& curve, std::span<const Point> trace) {
    FairBase base;
    base.at_mm.push_back(0.0);
    for (const Clothoid& span : curve.spans) {
        base.place.push_back(span.start);
        base.direction.push_back(span.heading_rad);
        base.curvature.push_back(span.curvature0);
        base.at_mm.push_back(base.at_mm.back() + span.length_mm);
    }
    const Clothoid& last = curve.spans.back();
    base.place.push_back(last.point(last.length_mm));
    base.direction.push_back(last.heading(last.length_mm));
    base.curvature.push_back(last.curvature1);
    std::vector<TraceOffset> out;
    out.reserve(trace.size());
    std::size_t near = 0;
    for (const Point p : trace) {
        const Foot foot = foot_on(base, p, near);
        near = foot.span;
        out.push_back({std::clamp(base.at_mm[foot.span] + foot.along_mm, 0.0, base.length_mm()), foot.off_mm});
    }
    return out;
}

geometry::SmoothCurve FairCurve::curve() const {
    EulerSpline chain;
    chain.spans = spans;
    return chain.curve();
}

std::variant<Drawn, CurveProblem> FairCurve::drawn(double within_mm) const {
    return draw_smooth(curve(), within_mm);
}

double FairCurve::curvature_at(double at_mm) const {
    double left = at_mm;
    for (const Clothoid& span : spans) {
        if (left <= span.length_mm) return span.curvature(std::fmax(left, 0.0));
        left -= span.length_mm;
    }
    return spans.back().curvature1;
}

std::variant<FairCurve, FairProblem> fit_fair(std::span<const Point> trace, const FairSettings& settings,
                                              std::span<const double> weights) {
    return Fit(trace, weights, settings).run();
}

std::vector<Point> trace_of(const Path& path, double step_mm) {
    const std::vector<double> running = geometry::running_length_mm(path);
    const double whole = running.back();
    const auto steps = static_cast<std::size_t>(std::fmax(1.0, std::ceil(whole / step_mm)));
    std::vector<Point> out;
    out.reserve(steps + 1);
    for (std::size_t i = 0; i <= steps; ++i) {
        const double at = whole * static_cast<double>(i) / static_cast<double>(steps);
        out.push_back(geometry::point_at(path, geometry::station_at(path, running, at)));
    }
    return out;
}

}  // namespace seamwright::curves
