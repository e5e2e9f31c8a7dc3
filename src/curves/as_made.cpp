// An edge as it was made: the template's edge, moved across itself by what the gauge read.

#include "curves/as_made.h"

#include <algorithm>
#include <cmath>

#include "shapes.h"

namespace seamwright::curves {

namespace {

/// Chords of the measured edge may cut its bends by this much.
constexpr double sag_mm = 5e-4;
/// And are no longer than this, so that deviations are followed too.
constexpr double longest_chord_mm = 2.0;
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

    double at(double s) {
        const std::size_t n = r_.size();
        if (s <= r_[0].at_mm) return r_[0].height_mm;
        if (s >= r_[n - 1].at_mm) return r_[n - 1].height_mm;
        while (s > r_[near_ + 1].at_mm) ++near_;
        const double h = r_[near_ + 1].at_mm - r_[near_].at_mm;
        const double t = (s - r_[near_].at_mm) / h;
        const double u = 1.0 - t;
        return u * u * (1.0 + 2.0 * t) * r_[near_].height_mm + t * t * (1.0 + 2.0 * u) * r_[near_ + 1].height_mm +
               h * t * u * (u * slope_[near_] - t * slope_[near_ + 1]);
    }

  private:
    std::span<const Reading> r_;
    std::vector<double> slope_;
    std::size_t near_ = 0;  // asked at rising places only
};

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
    auto map = high_low(readings, settings);
    if (auto* problem = std::get_if<FairProblem>(&map)) return std::move(*problem);
    auto sanding = sand_only(readings, settings);
    if (auto* problem = std::get_if<FairProblem>(&sanding)) return std::move(*problem);

    const double out = settings.wood == WoodSide::right ? 1.0 : -1.0;
    Deviation deviation(readings);
    std::vector<Point> points;
    if (whole / longest_chord_mm > most_places)
        return refused("The edge is " + plain(whole) + " mm long.", "Measure it in parts.");
    for (std::size_t i = 0; i < template_edge.segments.size(); ++i) {
        const geometry::Segment& s = template_edge.segments[i];
        const double length = running[i + 1] - running[i];
        const double chord =
            s.is_arc() ? std::fmin(longest_chord_mm, std::sqrt(8.0 * sag_mm * s.radius_mm)) : longest_chord_mm;
        const auto parts = static_cast<std::size_t>(std::fmax(1.0, std::ceil(length / chord)));
        for (std::size_t k = points.empty() ? 0 : 1; k <= parts; ++k) {
            const double u = static_cast<double>(k) / static_cast<double>(parts);
            const double off = out * deviation.at(running[i] + u * length);
            const Point at = geometry::point_at(s, u);
            if (s.is_arc() && off * (s.sweep_rad > 0.0 ? 1.0 : -1.0) >= s.radius_mm) {
                return refused("A reading of " + plain(std::abs(off)) +
                                   " mm reaches beyond the centre of a bend of radius " + plain(s.radius_mm) + " mm.",
                               "Check the readings there.", at);
            }
            points.push_back(at + off * geometry::left_of(geometry::tangent_at(s, u)));
        }
    }
    AsMade made;
    made.measured = geometry::polyline(points);
    made.map = std::get<HighLow>(std::move(map));
    made.sanding = std::get<SandOnly>(std::move(sanding));
    return made;
}

}  // namespace seamwright::curves
