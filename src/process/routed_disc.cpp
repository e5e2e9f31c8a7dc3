// A mark says between which bounds the index R = S(φ)·f lies for the angles it covers, so S lies between those bounds
// over f, the factor of its side cut and feed. The table is cut at its own knots and at the ends of all marks; between
// two neighbouring cuts S is a straight line and the bounds do not change, so that S held within them is a chain of at
// most three straight lines: exact, no sampling.

#include "process/routed_disc.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <stdexcept>

namespace seamwright::process {
namespace {

constexpr double quarter_turn = 0.5 * geometry::pi;
// Well inside the zone, so that rounding does not bring R into the next one.
constexpr double inside = 1e-9;
// Cuts nearer than this are one: rounding of the angles.
constexpr double same_angle_rad = 1e-12;

struct Bounds {
    double low = 0.0;
    double high = std::numeric_limits<double>::infinity();
};

/// Bounds on S for angles from..to within [−π/2, π/2].
struct Bounded {
    double from_rad = 0.0, to_rad = 0.0;
    Bounds bounds;
};

Bounds bounds_of(const TearModel& model, RimSeen seen, double factor) {
    const double care = model.care_from / factor, tears = model.tears_from / factor;
    if (seen == RimSeen::torn) return {tears * (1.0 + inside)};
    if (seen == RimSeen::clean) return {0.0, care * (1.0 - inside)};
    return {care * (1.0 + inside), tears * (1.0 - inside)};
}

/// The angles a mark covers, cut where the axis of the fibres comes round again.
void add_bounded(std::vector<Bounded>& all, const RimMark& mark, const RoutedDisc& disc, const Bounds& bounds) {
    const double wider = mark.seen == RimSeen::clean ? -disc.marks_within_rad : disc.marks_within_rad;
    double from = mark.from_rad - wider, to = mark.to_rad + wider;
    const bool all_round = mark.to_rad - mark.from_rad >= geometry::two_pi - same_angle_rad;
    if (all_round || to - from >= geometry::pi) {
        all.push_back({-quarter_turn, quarter_turn, bounds});
        return;
    }
    if (to <= from) return;
    const double wide = to - from;
    // On a table the angle falls as one goes round the rim.
    const double low = rim_phi_rad(disc.on_table ? to : from, disc.on_table);
    const double start = low >= quarter_turn ? -quarter_turn : low;
    const double end = start + wide;
    all.push_back({start, std::min(end, quarter_turn), bounds});
    if (end > quarter_turn) all.push_back({-quarter_turn, end - geometry::pi, bounds});
}

void add_knot(std::vector<TearModel::Knot>& table, double phi_rad, double share) {
    const TearModel::Knot knot{phi_rad, share};
    if (table.empty() || table.back() != knot) table.push_back(knot);
}

/// A straight line from..to held within bounds.
void add_held(std::vector<TearModel::Knot>& table, TearModel::Knot from, TearModel::Knot to, const Bounds& bounds) {
    const auto held = [&](double share) { return std::clamp(share, bounds.low, bounds.high); };
    add_knot(table, from.phi_rad, held(from.share));
    std::vector<double> meets;
    for (const double bound : {bounds.low, bounds.high}) {
        const double u = (bound - from.share) / (to.share - from.share);
        if (u > 0.0 && u < 1.0) meets.push_back(u);
    }
    std::sort(meets.begin(), meets.end());
    for (const double u : meets)
        add_knot(table, std::lerp(from.phi_rad, to.phi_rad, u), held(std::lerp(from.share, to.share, u)));
    add_knot(table, to.phi_rad, held(to.share));
}

void require_sound(const RoutedDisc& disc) {
    if (!(disc.side_cut_mm > 0.0)) throw std::invalid_argument("adjusted_by_disc: side cut must be above 0");
    if (!(disc.marks_within_rad >= 0.0 && disc.marks_within_rad < 0.5 * quarter_turn))
        throw std::invalid_argument("adjusted_by_disc: marks within 0 to 45 degrees are needed");
    for (const RimMark& mark : disc.marks)
        if (!(mark.to_rad > mark.from_rad && mark.to_rad - mark.from_rad <= geometry::two_pi + same_angle_rad))
            throw std::invalid_argument("adjusted_by_disc: a mark must run counter-clockwise, by at most a full turn");
}

}  // namespace

double rim_phi_rad(double at_rad, bool on_table) {
    // The rim's tangent lies a quarter turn on from the place.
    const double along = at_rad + quarter_turn;
    return wrap_half_turn(on_table ? -along : along);
}

AdjustedModel adjusted_by_disc(const TearModel& model, const RoutedDisc& disc) {
    check(model);
    require_sound(disc);
    std::vector<Bounded> marked;
    for (const RimMark& mark : disc.marks) {
        const double factor = side_cut_factor(model, disc.cutter_radius_mm, disc.side_cut_mm, mark.feed);
        add_bounded(marked, mark, disc, bounds_of(model, mark.seen, factor));
    }

    AdjustedModel out{model, {}};
    out.model.table.clear();
    const auto& table = model.table;
    for (std::size_t i = 1; i < table.size(); ++i) {
        const TearModel::Knot &from = table[i - 1], &to = table[i];
        const double wide = to.phi_rad - from.phi_rad;
        if (!(wide > 0.0)) continue;
        std::vector<double> cuts{from.phi_rad, to.phi_rad};
        for (const Bounded& b : marked)
            for (const double end : {b.from_rad, b.to_rad})
                if (end > from.phi_rad + same_angle_rad && end < to.phi_rad - same_angle_rad) cuts.push_back(end);
        std::sort(cuts.begin(), cuts.end());
        const auto on_line = [&](double phi) -> TearModel::Knot {
            if (phi == to.phi_rad) return to;
            return {phi, std::lerp(from.share, to.share, (phi - from.phi_rad) / wide)};
        };
        for (std::size_t k = 1; k < cuts.size(); ++k) {
            if (!(cuts[k] - cuts[k - 1] > same_angle_rad)) continue;
            const double middle = std::midpoint(cuts[k - 1], cuts[k]);
            Bounds bounds;
            for (const Bounded& b : marked) {
                if (middle < b.from_rad || middle > b.to_rad) continue;
                bounds.low = std::max(bounds.low, b.bounds.low);
                bounds.high = std::min(bounds.high, b.bounds.high);
            }
            if (bounds.low > bounds.high) {
                bounds.high = bounds.low;
                auto& apart = out.disagree;
                if (!apart.empty() && cuts[k - 1] - apart.back().to_rad <= same_angle_rad)
                    apart.back().to_rad = cuts[k];
                else
                    apart.push_back({cuts[k - 1], cuts[k]});
            }
            add_held(out.model.table, on_line(cuts[k - 1]), on_line(cuts[k]), bounds);
        }
    }
    check(out.model);
    return out;
}

}  // namespace seamwright::process
