// A closed trace, fitted by fitting open ones twice.
//
// First it is unrolled: a whole lap with a few waves of the laps before and after it. What the free ends do dies away
// within those, the slowest part by a factor of five in each wave (the roots of r⁶ = −(2π/λ)⁶ nearest to the imaginary
// axis are (2π/λ)(cos 75° + i sin 75°)), so the middle lap is the closed curve to within very little. Somewhere on it,
// where neither band nor radius nor pin presses, it is cut: place, direction and curvature there are held at both ends
// of one single lap, which is fitted again. The last digits that the solver leaves open are closed by bending the lap
// by a trifle.

#include "fair_closed.h"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <functional>

#include "fair_base.h"
#include "fair_fit.h"
#include "geometry/path.h"
#include "shapes.h"

namespace seamwright::curves {
namespace {

/// So many waves of the neighbouring laps go with the first fit, at most a whole lap.
constexpr double waves_beyond = 3.0;
/// Waves beyond this part of a lap would only make an oval a circle.
constexpr double longest_wave_part = 0.25;
/// Places looked at for the cut, and how many are tried.
constexpr std::size_t most_looked_at = 240;
constexpr std::size_t most_tried = 4;
/// The single lap is fitted within radii so much wider, so that spreading its last digits breaks none.
constexpr double radius_spare = 1e-6;
/// What a band is widened by where a curve within the narrowest one is to be shown.
constexpr double shown_room = 0.02;

/// What is fitted over a stretch of the laps: from `from_mm` to `to_mm` along what was drawn, 0 to `whole_mm` being the
/// first lap. With a joint the stretch is one lap and the joint is its first and its last point.
struct Stretch {
    double from_mm = 0.0, to_mm = 0.0;
    std::optional<Point> joint;
};

class Closed {
  public:
    using Fit = std::function<FittedEdge(const Stretch&, const FairSettings&)>;
    Closed(double whole_mm, const FairSettings& settings, Fit fit)
        : whole_mm_(whole_mm), settings_(settings), fit_(std::move(fit)) {
        settings_.closed = false;
        settings_.start = settings_.end = {};
        settings_.wave_mm = std::fmin(settings_.wave_mm, longest_wave_part * whole_mm_);
    }

    std::variant<FairCurve, FairProblem> run() {
        FittedEdge laps = unrolled(settings_);
        if (auto* problem = std::get_if<FairProblem>(&laps.fit)) {
            if (problem->nearest) explain(*problem);
            return std::move(*problem);
        }
        if (auto closed = closed_from(laps, settings_)) return *std::move(closed);
        return FairProblem{"No fair curve that closes on itself was found near this line.",
                           "Use a shorter wave, or set fewer limits.",
                           std::nullopt,
                           0.0,
                           {},
                           std::nullopt};
    }

  private:
    FittedEdge unrolled(const FairSettings& settings) const {
        const double beyond = std::fmin(waves_beyond * settings.wave_mm, whole_mm_);
        return fit_({-beyond, whole_mm_ + beyond, std::nullopt}, settings);
    }

    /// How far a place is from everything that presses: 1 far, 0 pressed.
    double ease_at(const FairCurve& laps, const TraceOffset& offset, const FairSettings& settings) const {
        double out = 1.0;
        const double k = laps.curvature_at(offset.at_mm);
        const auto& radius = k > 0.0 ? settings.least_radius_left_mm : settings.least_radius_right_mm;
        if (radius) out = std::fmin(out, 1.0 - std::abs(k) * *radius);
        const double band = offset.off_mm > 0.0 ? settings.band_right_mm : settings.band_left_mm;
        if (std::isfinite(band)) out = std::fmin(out, 1.0 - std::abs(offset.off_mm) / band);
        return out;
    }

    std::optional<FairCurve> closed_from(const FittedEdge& fitted, const FairSettings& settings) const {
        const auto& laps = std::get<FairCurve>(fitted.fit);
        struct Candidate {
            double ease, at_mm;
            TraceOffset offset;
        };
        std::vector<Candidate> candidates;
        std::vector<std::size_t> middle;
        for (std::size_t i = 0; i < laps.offsets.size(); ++i)
            if (fitted.at_mm[i] >= 0.0 && fitted.at_mm[i] < whole_mm_) middle.push_back(i);
        const std::size_t every = std::max<std::size_t>(1, middle.size() / most_looked_at);
        for (std::size_t m = 0; m < middle.size(); m += every) {
            const std::size_t i = middle[m];
            double ease = ease_at(laps, laps.offsets[i], settings);
            for (const FairPin& pin : settings.pins) {
                const double far = geometry::distance(place_on(laps, laps.offsets[i].at_mm).point, pin.at);
                ease = std::fmin(ease, 4.0 * far / settings.wave_mm);
            }
            candidates.push_back({ease, fitted.at_mm[i], laps.offsets[i]});
        }
        std::vector<double> tried;
        for (std::size_t n = 0; n < most_tried && !candidates.empty(); ++n) {
            const auto best = std::max_element(candidates.begin(), candidates.end(),
                                               [](const Candidate& a, const Candidate& b) { return a.ease < b.ease; });
            const Candidate cut = *best;
            // The next try is made somewhere else.
            std::erase_if(candidates, [&](const Candidate& c) {
                const double apart = std::abs(c.at_mm - cut.at_mm);
                return std::fmin(apart, whole_mm_ - apart) < whole_mm_ / (2.0 * most_tried);
            });
            if (auto closed = one_lap(laps, cut.at_mm, cut.offset.at_mm, settings)) return closed;
        }
        return std::nullopt;
    }

    struct Place {
        Point point;
        double heading_rad, curvature;
    };
    static Place place_on(const FairCurve& curve, double at_mm) {
        for (const Clothoid& span : curve.spans) {
            if (at_mm <= span.length_mm) return {span.point(at_mm), span.heading(at_mm), span.curvature(at_mm)};
            at_mm -= span.length_mm;
        }
        const Clothoid& last = curve.spans.back();
        return {last.point(last.length_mm), last.heading(last.length_mm), last.curvature1};
    }

    std::optional<FairCurve> one_lap(const FairCurve& laps, double from_mm, double on_curve_mm,
                                     const FairSettings& settings) const {
        const Place cut = place_on(laps, on_curve_mm);
        FairSettings held = settings;
        for (FairEnd* end : {&held.start, &held.end}) *end = {true, cut.heading_rad, cut.curvature};
        for (auto* radius : {&held.least_radius_left_mm, &held.least_radius_right_mm})
            if (*radius) **radius *= 1.0 + radius_spare;
        FittedEdge fitted = fit_({from_mm, from_mm + whole_mm_, cut.point}, held);
        auto* lap = std::get_if<FairCurve>(&fitted.fit);
        if (lap == nullptr) return std::nullopt;
        return closed_exactly(std::move(*lap));
    }

    /// What the ends miss each other by, in place and direction: three numbers, made nothing by a bend that is even or
    /// comes and goes once a lap, of which there are three too.
    static FairCurve closed_exactly(FairCurve lap) {
        std::vector<double> lengths;
        std::vector<double> curvature{lap.spans.front().curvature0};
        for (const Clothoid& span : lap.spans) {
            lengths.push_back(span.length_mm);
            curvature.push_back(span.curvature1);
        }
        // One curvature at the joint.
        curvature.front() = curvature.back() = 0.5 * (curvature.front() + curvature.back());
        const double whole = lap.length_mm;
        const auto bent = [&](const FairBase& base, const Eigen::Vector3d& by) {
            std::vector<double> k = base.curvature;
            for (std::size_t j = 0; j < k.size(); ++j) {
                const double round = geometry::two_pi * base.at_mm[j] / whole;
                k[j] += (by[0] + by[1] * std::cos(round) + by[2] * std::sin(round)) / whole;
            }
            k.back() = k.front();
            return laid_out(base.place.front(), base.direction.front(), std::move(k), lengths);
        };
        const auto missed = [&](const FairBase& base) {
            const Point gap = (base.place.back() - base.place.front()) / whole;
            const double turn = base.direction.back() - base.direction.front();
            return Eigen::Vector3d(gap.x, gap.y, turn - std::round(turn / geometry::two_pi) * geometry::two_pi);
        };
        FairBase base = laid_out(lap.spans.front().start, lap.spans.front().heading_rad, std::move(curvature), lengths);
        constexpr int newton_steps = 3;
        constexpr double small = 1e-5;
        for (int n = 0; n < newton_steps; ++n) {
            const Eigen::Vector3d now = missed(base);
            Eigen::Matrix3d slope;
            for (int i = 0; i < 3; ++i)
                slope.col(i) = (missed(bent(base, small * Eigen::Vector3d::Unit(i))) - now) / small;
            base = bent(base, -slope.fullPivLu().solve(now));
        }
        for (std::size_t j = 0; j < lap.spans.size(); ++j) lap.spans[j] = base.span(j);
        lap.closed = true;
        return lap;
    }

    /// Places on laps count once, from the start of the line; the nearest curve is one that closes.
    void explain(FairProblem& problem) const {
        const FairCurve laps = *std::move(problem.nearest);
        problem.nearest.reset();
        const double lap_mm =
            laps.length_mm * whole_mm_ / (whole_mm_ + 2.0 * std::fmin(waves_beyond * settings_.wave_mm, whole_mm_));
        const double before_mm = 0.5 * (laps.length_mm - lap_mm);
        std::vector<FairBlock> once;
        double whole_share = 0.0;
        for (FairBlock block : problem.blocks) {
            const double length = block.to_mm - block.from_mm;
            const double from = block.from_mm - before_mm;
            block.from_mm = from - lap_mm * std::floor(from / lap_mm);
            block.to_mm = block.from_mm + length;
            whole_share += block.share;
            const auto same = std::find_if(once.begin(), once.end(), [&](const FairBlock& other) {
                return other.pin == block.pin && geometry::distance(other.at, block.at) <= near_part * lap_mm;
            });
            if (same == once.end()) {
                once.push_back(block);
            } else {
                same->share += block.share;
            }
        }
        for (FairBlock& block : once) block.share /= std::fmax(whole_share, 1e-300);
        std::stable_sort(once.begin(), once.end(),
                         [](const FairBlock& a, const FairBlock& b) { return a.share > b.share; });
        problem.blocks = std::move(once);
        FairSettings wider = settings_;
        const double more = (1.0 + shown_room) * problem.widen_mm;
        wider.band_left_mm += more;
        wider.band_right_mm += more;
        for (FairPin& pin : wider.pins) pin.tolerance_mm += more;
        const FittedEdge again = unrolled(wider);
        if (std::holds_alternative<FairCurve>(again.fit)) problem.nearest = closed_from(again, wider);
    }

    /// Blocks of neighbouring laps nearer than this part of a lap are the same.
    static constexpr double near_part = 0.01;

    double whole_mm_;
    FairSettings settings_;
    Fit fit_;
};

/// The curve starting at the foot of a point, where the line starts that it was fitted to.
FairCurve starting_at(const FairCurve& curve, Point start) {
    FairBase base;
    base.at_mm.push_back(0.0);
    std::size_t nearest = 0;
    for (const Clothoid& span : curve.spans) {
        base.place.push_back(span.start);
        base.direction.push_back(span.heading_rad);
        base.curvature.push_back(span.curvature0);
        base.at_mm.push_back(base.at_mm.back() + span.length_mm);
        if (geometry::norm2(span.start - start) < geometry::norm2(curve.spans[nearest].start - start))
            nearest = base.place.size() - 1;
    }
    const Clothoid& last = curve.spans.back();
    base.place.push_back(last.point(last.length_mm));
    base.direction.push_back(last.heading(last.length_mm));
    base.curvature.push_back(last.curvature1);
    const Foot foot = foot_on(base, start, nearest);
    // A sliver would cost digits: the nearest joint of spans does as well.
    constexpr double sliver_part = 0.05;
    const Clothoid& cut = curve.spans[foot.span];
    const double along = std::clamp(foot.along_mm, 0.0, cut.length_mm);
    FairCurve out = curve;
    out.spans.clear();
    const bool whole_from_here = along < sliver_part * cut.length_mm;
    const bool whole_from_next = along > (1.0 - sliver_part) * cut.length_mm;
    const bool whole = whole_from_here || whole_from_next;
    const std::size_t first = whole_from_here ? foot.span : foot.span + 1;
    if (!whole) {
        out.spans.push_back(
            {cut.point(along), cut.heading(along), cut.length_mm - along, cut.curvature(along), cut.curvature1});
    }
    const double lap_turn = base.direction.back() - base.direction.front();
    for (std::size_t n = 0; n < curve.spans.size() - (whole ? 0 : 1); ++n) {
        const std::size_t j = (first + n) % curve.spans.size();
        Clothoid span = curve.spans[j];
        // Directions run on without jumps.
        if (j < first) span.heading_rad += lap_turn;
        out.spans.push_back(span);
    }
    if (!whole) {
        Clothoid rest{cut.start, cut.heading_rad, along, cut.curvature0, cut.curvature(along)};
        rest.heading_rad += lap_turn;
        out.spans.push_back(rest);
    }
    return out;
}

/// As FairCurve tells it, of the places given.
void describe(FairCurve& curve, std::span<const Point> points) {
    curve.length_mm = 0.0;
    curve.steepest = 0.0;
    for (const Clothoid& span : curve.spans) {
        curve.length_mm += span.length_mm;
        curve.steepest = std::fmax(curve.steepest, std::abs(span.curvature1 - span.curvature0) / span.length_mm);
    }
    curve.offsets = offsets_from(curve, points);
    measure_offsets(curve);
}

}  // namespace

FittedEdge fit_closed(std::span<const Point> trace, const FairSettings& settings, std::span<const double> weights) {
    FittedEdge out;
    if (auto problem = refused_fit(trace, weights, settings)) {
        out.fit = *std::move(problem);
        return out;
    }
    // A last point that is the first once more says nothing.
    std::size_t n = trace.size();
    while (n > 3 && geometry::distance(trace[n - 1], trace[0]) == 0.0) --n;
    const std::span<const Point> lap = trace.first(n);
    std::vector<double> run(n, 0.0);
    for (std::size_t i = 1; i < n; ++i) run[i] = run[i - 1] + geometry::distance(lap[i - 1], lap[i]);
    const double whole = run.back() + geometry::distance(lap.back(), lap.front());
    const auto fit = [&](const Stretch& stretch, const FairSettings& held) {
        std::vector<Point> points;
        std::vector<double> pull;
        FittedEdge fitted;
        const auto add = [&](Point p, double weight, double at) {
            points.push_back(p);
            pull.push_back(weight);
            fitted.at_mm.push_back(at);
        };
        if (stretch.joint) add(*stretch.joint, 0.0, stretch.from_mm);
        for (const double shift : {-whole, 0.0, whole}) {
            for (std::size_t i = 0; i < n; ++i) {
                const double at = run[i] + shift;
                const bool in = stretch.joint ? at > stretch.from_mm && at < stretch.to_mm
                                              : at >= stretch.from_mm && at <= stretch.to_mm;
                if (in) add(lap[i], weights.empty() ? 1.0 : weights[i], at);
            }
        }
        if (stretch.joint) add(*stretch.joint, 0.0, stretch.to_mm);
        FairFit fitting(points, pull, held);
        fitting.keep_pins_between(-stretch.from_mm, whole - stretch.from_mm);
        fitted.fit = fitting.run();
        return fitted;
    };
    out.fit = Closed(whole, settings, fit).run();
    if (auto* curve = std::get_if<FairCurve>(&out.fit)) {
        *curve = starting_at(*curve, trace.front());
        describe(*curve, trace);
    } else if (auto& problem = std::get<FairProblem>(out.fit); problem.nearest) {
        *problem.nearest = starting_at(*problem.nearest, trace.front());
        describe(*problem.nearest, trace);
    }
    out.at_mm.assign(run.begin(), run.end());
    out.at_mm.resize(trace.size(), whole);
    return out;
}

FittedEdge fit_closed(const Path& edge, const FairSettings& settings) {
    const double whole = geometry::length_mm(edge);
    Path laps;
    for (int lap = 0; lap < 3; ++lap)
        laps.segments.insert(laps.segments.end(), edge.segments.begin(), edge.segments.end());
    const auto fit = [&](const Stretch& stretch, const FairSettings& held) {
        const Path part = geometry::part(laps, whole + stretch.from_mm, whole + stretch.to_mm);
        FairFit fitting(part, held);
        if (stretch.joint) fitting.join_at(*stretch.joint);
        fitting.keep_pins_between(-stretch.from_mm, whole - stretch.from_mm);
        FittedEdge fitted;
        fitted.fit = fitting.run();
        fitted.at_mm = fitting.sampled_at_mm();
        for (double& at : fitted.at_mm) at += stretch.from_mm;
        return fitted;
    };
    FittedEdge out;
    out.fit = Closed(whole, settings, fit).run();
    const Point start = edge.segments.front().start;
    auto* curve = std::get_if<FairCurve>(&out.fit);
    if (curve == nullptr) {
        auto& nearest = std::get<FairProblem>(out.fit).nearest;
        if (nearest) curve = &*nearest;
    }
    if (curve == nullptr) return out;
    *curve = starting_at(*curve, start);
    Path open = edge;
    open.closed = false;
    const EdgeSamples samples = DrawnEdge(open, settings.wave_mm / 400.0).first_samples();
    out.at_mm = samples.at_mm;
    describe(*curve, samples.points);
    return out;
}

}  // namespace seamwright::curves
