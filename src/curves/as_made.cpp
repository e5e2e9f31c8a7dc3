// An edge as it was made: the template's edge, moved across itself by what the gauge read.

#include "curves/as_made.h"

#include <algorithm>
#include <cmath>
#include <future>
#include <optional>

#include "geometry/biarc.h"
#include "shapes.h"

namespace seamwright::curves {

namespace {

/// The measured edge is followed by biarcs that miss it by about this much,
constexpr double miss_mm = 5e-4;
/// none longer than this, nor turning by more than this.
constexpr double longest_mm = 8.0;
constexpr double most_turn_rad = 0.3;
constexpr double most_places = 1e6;

FairProblem refused(std::string reason, std::string remedy, std::optional<Point> at = {}) {
    return {std::move(reason), std::move(remedy), at, 0.0, {}, std::nullopt};
}

std::string named(const Reading& reading, std::size_t index) {
    return reading.line > 0 ? "The reading on line " + std::to_string(reading.line)
                            : "Reading " + std::to_string(index + 1);
}

class Deviation {
  public:
    explicit Deviation(std::span<const Reading> readings) : r_(readings), slope_(readings.size(), 0.0) {
        const std::size_t n = r_.size();
        for (std::size_t i = 1; i + 1 < n; ++i) {
            const double h0 = r_[i].at_mm - r_[i - 1].at_mm;
            const double h1 = r_[i + 1].at_mm - r_[i].at_mm;
            const double d0 = (r_[i].height_mm - r_[i - 1].height_mm) / h0;
            const double d1 = (r_[i + 1].height_mm - r_[i].height_mm) / h1;
            // The weighted harmonic mean keeps within what Fritsch and Carlson allow (F. Fritsch, J. Butland, SIAM J.
            // Sci. Stat. Comput. 5 (1984) 300).
            if (d0 * d1 > 0.0) {
                const double w0 = 2.0 * h1 + h0;
                const double w1 = h1 + 2.0 * h0;
                slope_[i] = (w0 + w1) / (w0 / d0 + w1 / d1);
            }
        }
    }

    struct Value {
        double height_mm = 0.0;
        double slope = 0.0;
    };
    /// Asked at rising places only.
    Value at(double s) {
        const std::size_t n = r_.size();
        if (s <= r_[0].at_mm) return {r_[0].height_mm, 0.0};
        if (s >= r_[n - 1].at_mm) return {r_[n - 1].height_mm, 0.0};
        while (s > r_[near_ + 1].at_mm) ++near_;
        const double h = r_[near_ + 1].at_mm - r_[near_].at_mm;
        const double t = (s - r_[near_].at_mm) / h;
        const double u = 1.0 - t;
        const double rise = r_[near_ + 1].height_mm - r_[near_].height_mm;
        const double height = u * u * (1.0 + 2.0 * t) * r_[near_].height_mm +
                              t * t * (1.0 + 2.0 * u) * r_[near_ + 1].height_mm +
                              h * t * u * (u * slope_[near_] - t * slope_[near_ + 1]);
        const double slope =
            6.0 * t * u * rise / h + u * (1.0 - 3.0 * t) * slope_[near_] - t * (2.0 - 3.0 * t) * slope_[near_ + 1];
        return {height, slope};
    }

  private:
    std::span<const Reading> r_;
    std::vector<double> slope_;
    std::size_t near_ = 0;
};

/// A biarc on a curve whose curvature changes by κ' a mm misses it by about |κ'| L³ / 324 (docs/method.md); a cubic
/// that rises by `rise` over h has κ' up to 12 rise / h³.
double longest_over(double h_mm, double rise_mm) {
    const double rise = std::abs(rise_mm);
    return rise > 0.0 ? std::fmin(longest_mm, h_mm * std::cbrt(27.0 * miss_mm / rise)) : longest_mm;
}

/// Places along the edge where the deviation or the edge itself begins anew, with the longest biarc up to the next.
struct Stretch {
    double from_mm = 0.0;
    double longest_mm = 0.0;
};
std::vector<Stretch> stretches(std::span<const Reading> readings) {
    std::vector<Stretch> out{{-HUGE_VAL, longest_mm}};
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const bool last = i + 1 == readings.size();
        out.push_back({readings[i].at_mm, last ? longest_mm
                                               : longest_over(readings[i + 1].at_mm - readings[i].at_mm,
                                                              readings[i + 1].height_mm - readings[i].height_mm)});
    }
    return out;
}

}  // namespace

std::variant<AsMade, FairProblem> as_made(const Path& template_edge, std::span<const Reading> readings,
                                          const MapSettings& settings) {
    if (template_edge.empty()) return refused("There is no template edge.", "Draw one first.");
    if (template_edge.closed) return refused("The template edge is closed.", "Measure it in parts with two ends.");
    const std::vector<double> running = geometry::running_length_mm(template_edge);
    const double whole = running.back();
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const Reading& r = readings[i];
        // A tape laid along a bend reads a little long: a thousandth of the edge, or half a millimetre.
        const double grace = std::fmax(0.5, 1e-3 * whole);
        if (!(r.at_mm >= -grace && r.at_mm <= whole + grace)) {
            return refused(named(r, i) + " is at " + plain(r.at_mm) + " mm; the edge is " + plain(whole) + " mm long.",
                           "Measure along the edge from its start, and check the unit.");
        }
        if (!(std::abs(r.height_mm) <= most_deviation_mm)) {
            return refused(
                named(r, i) + " is " + plain(r.height_mm) + " mm off, more than " + plain(most_deviation_mm) + " mm.",
                "Check the number and its unit.");
        }
    }
    // The two fits do not depend on each other.
    auto sanding_later =
        std::async(std::launch::async | std::launch::deferred, [&] { return sand_only(readings, settings); });
    auto map = high_low(readings, settings);
    auto sanding = sanding_later.get();
    if (auto* problem = std::get_if<FairProblem>(&map)) return std::move(*problem);
    if (auto* problem = std::get_if<FairProblem>(&sanding)) return std::move(*problem);

    const double out = settings.wood == WoodSide::right ? 1.0 : -1.0;
    Deviation deviation(readings);
    const std::vector<Stretch> reading_at = stretches(readings);
    std::vector<geometry::Pose> poses;
    if (whole / longest_mm > most_places)
        return refused("The edge is " + plain(whole) + " mm long.", "Measure it in parts.");
    std::size_t now = 0;
    for (std::size_t i = 0; i < template_edge.segments.size(); ++i) {
        const geometry::Segment& s = template_edge.segments[i];
        const double k = geometry::curvature(s);
        const double length = running[i + 1] - running[i];
        std::optional<double> beyond_mm;
        const auto add = [&](double along) {
            const double u = length > 0.0 ? along / length : 0.0;
            const auto value = deviation.at(running[i] + along);
            // + to the left of the edge.
            const double off = out * value.height_mm;
            const double shrink = 1.0 - off * k;
            if (!(shrink > 0.0) && !beyond_mm) beyond_mm = std::abs(off);
            const Point tangent = geometry::tangent_at(s, u);
            poses.push_back({geometry::point_at(s, u) + off * geometry::left_of(tangent),
                             geometry::heading(tangent) + std::atan2(out * value.slope, shrink)});
        };
        const double bend = s.is_arc() ? most_turn_rad * s.radius_mm : longest_mm;
        double from = 0.0;
        add(from);
        while (from < length && !beyond_mm) {
            while (now + 1 < reading_at.size() && reading_at[now + 1].from_mm <= running[i] + from) ++now;
            const double next = now + 1 < reading_at.size() ? reading_at[now + 1].from_mm - running[i] : HUGE_VAL;
            const double to = std::fmin(length, next);
            const double most = std::fmin(bend, reading_at[now].longest_mm);
            const double parts = std::fmax(1.0, std::ceil((to - from) / most));
            for (double n = 1.0; n < parts; n += 1.0) add(from + (to - from) * n / parts);
            // No step so short that it is lost in the sum.
            from = to > from ? to : length;
            add(from);
        }
        if (beyond_mm) {
            return refused("A reading of " + plain(*beyond_mm) + " mm reaches beyond the centre of a bend of radius " +
                               plain(s.radius_mm) + " mm.",
                           "Check the readings there.", poses.back().at);
        }
    }
    AsMade made;
    made.measured = geometry::biarcs_through(poses);
    made.map = std::get<HighLow>(std::move(map));
    made.sanding = std::get<SandOnly>(std::move(sanding));
    return made;
}

}  // namespace seamwright::curves
