// How stretches are found. R depends on the place through φ alone, and S(φ) is a chain of straight lines, so the angles
// at which something happens are known beforehand: the knots of S, and where S crosses the two bounds. Along a line or
// an arc φ turns evenly while the fibres keep their direction: where it passes such an angle follows from a division.
// Fibres that turn with the place are looked at every few millimetres, φ taken to turn steadily between, and the
// place halved down. What lies between two such places is one straight line of S within one zone, so its worst is at
// one of its ends: nothing narrow is missed, and no risk is found by sampling.

#include "process/grain_feed.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

using geometry::Path;
using geometry::Point;
using geometry::Segment;

constexpr double quarter_turn = 0.5 * geometry::pi;
constexpr double nearest_mm = 1e-7;  // halving stops here
constexpr double sliver_mm = 1e-6;   // shorter pieces are rounding
constexpr double same_length_mm = 1.0;
// Far below the quarter turn at which it could not be told which way φ turned.
constexpr double most_turn_rad = 0.2;
// Shares that differ by less are one: rounding.
constexpr double same_share = 1e-12;

double turn_of(const EdgeCut& cut) {
    return clockwise_on_drawing(cut) ? 1.0 : -1.0;
}

double fibres_at(const Fibres& fibres, Point at) {
    const double* all = std::get_if<double>(&fibres);
    const double along = all != nullptr ? *all : std::get<std::function<double(Point)>>(fibres)(at);
    if (!std::isfinite(along)) throw std::invalid_argument("tear_stretches: no direction of the fibres");
    return along;
}

/// Angles within [−π/2, π/2), rising, at which S bends or R crosses a bound.
std::vector<double> turning_angles(const TearModel& model, double factor) {
    std::vector<double> angles;
    for (std::size_t i = 1; i < model.table.size(); ++i) {
        const TearModel::Knot &from = model.table[i - 1], &to = model.table[i];
        angles.push_back(from.phi_rad);
        for (const double bound : {model.care_from / factor, model.tears_from / factor}) {
            const double u = (bound - from.share) / (to.share - from.share);
            if (u > 0.0 && u < 1.0) angles.push_back(std::lerp(from.phi_rad, to.phi_rad, u));
        }
    }
    std::sort(angles.begin(), angles.end());
    angles.erase(std::unique(angles.begin(), angles.end()), angles.end());
    return angles;
}

/// A length over which S is one straight line within one zone.
struct Piece {
    double from_mm = 0.0, to_mm = 0.0;
    TearZone zone = TearZone::clean;
    double worst_share = 0.0, worst_phi_rad = 0.0, worst_at_mm = 0.0;
};

/// Whether one place is worse than another, or as bad.
bool worse(double share, double phi, double than_share, double than_phi) {
    if (std::abs(share - than_share) > same_share) return share > than_share;
    return phi <= than_phi;
}

class Walk {
  public:
    Walk(const EdgeCut& cut, const SideCut& side, const TearModel& model)
        : cut_(cut),
          model_(model),
          turn_(turn_of(cut)),
          factor_(side_cut_factor(model, side.cutter_radius_mm, side.side_cut_mm, Feed::conventional)),
          angles_(turning_angles(model, factor_)) {}

    std::vector<Piece> pieces() {
        const bool one_direction = std::holds_alternative<double>(cut_.fibres);
        for (const Segment& s : cut_.edge.segments) {
            const double length = geometry::length_mm(s);
            if (!(length > 0.0)) continue;
            const double looks = std::max(length / fibres_looked_at_mm, std::abs(s.sweep_rad) / most_turn_rad);
            const auto steps = one_direction ? 1 : static_cast<std::size_t>(std::max(1.0, std::ceil(looks)));
            heading_ = geometry::heading_at(s, 0.0);
            double phi = wrap_half_turn(phi_raw(s, 0.0));
            for (std::size_t i = 0; i < steps; ++i) {
                const double u0 = static_cast<double>(i) / static_cast<double>(steps);
                const double u1 = static_cast<double>(i + 1) / static_cast<double>(steps);
                phi = one_direction ? even_step(s, length, phi) : looked_step(s, length, u0, u1, phi);
            }
            before_mm_ += length;
        }
        return std::move(pieces_);
    }

  private:
    /// φ but for half turns.
    double phi_raw(const Segment& s, double u) const {
        return turn_ * (heading_ + u * s.sweep_rad - fibres_at(cut_.fibres, geometry::point_at(s, u)));
    }

    /// Angles between two, in the order from one to the other.
    std::vector<double> passed(double from, double to) const {
        std::vector<double> out;
        const double low = std::min(from, to), high = std::max(from, to);
        for (double base = geometry::pi * std::floor((low + quarter_turn) / geometry::pi); base - quarter_turn < high;
             base += geometry::pi)
            for (const double angle : angles_)
                if (base + angle > low && base + angle < high) out.push_back(base + angle);
        if (to < from) std::reverse(out.begin(), out.end());
        return out;
    }

    double even_step(const Segment& s, double length, double phi0) {
        const double phi1 = phi0 + turn_ * s.sweep_rad;
        double at = before_mm_, phi = phi0;
        for (const double angle : passed(phi0, phi1)) {
            const double next = before_mm_ + length * (angle - phi0) / (phi1 - phi0);
            add(at, next, phi, angle);
            at = next;
            phi = angle;
        }
        add(at, before_mm_ + length, phi, phi1);
        return phi1;
    }

    double looked_step(const Segment& s, double length, double u0, double u1, double phi0) {
        const auto phi_at_u = [&](double u) { return phi0 + wrap_half_turn(phi_raw(s, u) - phi0); };
        const double phi1 = phi_at_u(u1);
        double u = u0, phi = phi0;
        for (const double angle : passed(phi0, phi1)) {
            double low = u, high = u1;
            while ((high - low) * length > nearest_mm) {
                const double middle = 0.5 * (low + high);
                if (middle <= low || middle >= high) break;
                ((phi_at_u(middle) < angle) == (phi0 < phi1) ? low : high) = middle;
            }
            add(before_mm_ + u * length, before_mm_ + low * length, phi, angle);
            u = low;
            phi = angle;
        }
        add(before_mm_ + u * length, before_mm_ + u1 * length, phi, phi1);
        return phi1;
    }

    void add(double from_mm, double to_mm, double phi0, double phi1) {
        if (!(to_mm - from_mm > sliver_mm)) return;
        const double middle = 0.5 * (phi0 + phi1);
        const double within = wrap_half_turn(middle);
        const double shift = within - middle;
        const bool even = phi0 == phi1;
        const double share0 = even ? tear_share(model_, within) : share_near(phi0 + shift, within);
        const double share1 = even ? share0 : share_near(phi1 + shift, within);
        Piece p{from_mm, to_mm};
        p.zone = tear_zone(model_, 0.5 * (share0 + share1) * factor_);
        const double wrapped0 = wrap_half_turn(phi0), wrapped1 = wrap_half_turn(phi1);
        const bool first = worse(share0, wrapped0, share1, wrapped1);
        p.worst_share = first ? share0 : share1;
        p.worst_phi_rad = first ? wrapped0 : wrapped1;
        p.worst_at_mm = first ? from_mm : to_mm;
        pieces_.push_back(p);
    }

    /// S at an angle, on the straight line of the table that `within` lies on: on its own side of a jump.
    double share_near(double phi, double within) const {
        const auto& table = model_.table;
        std::size_t i = 1;
        while (i + 1 < table.size() && (table[i].phi_rad < within || table[i].phi_rad == table[i - 1].phi_rad)) ++i;
        const TearModel::Knot &from = table[i - 1], &to = table[i];
        const double u = (phi - from.phi_rad) / (to.phi_rad - from.phi_rad);
        return std::lerp(from.share, to.share, std::clamp(u, 0.0, 1.0));
    }

    const EdgeCut& cut_;
    const TearModel& model_;
    double turn_ = 1.0;
    double factor_ = 1.0;
    std::vector<double> angles_;
    double heading_ = 0.0;
    double before_mm_ = 0.0;
    std::vector<Piece> pieces_;
};

/// Worst of a stretch while it grows.
struct Growing {
    Piece piece;
    void take(const Piece& p) {
        piece.to_mm = p.to_mm;
        if (worse(piece.worst_share, piece.worst_phi_rad, p.worst_share, p.worst_phi_rad)) return;
        piece.worst_share = p.worst_share;
        piece.worst_phi_rad = p.worst_phi_rad;
        piece.worst_at_mm = p.worst_at_mm;
    }
};

void require_sound(const EdgeCut& cut, const SideCut& side, const TearModel& model) {
    check(model);
    const auto* by_place = std::get_if<std::function<double(Point)>>(&cut.fibres);
    if (by_place != nullptr && !*by_place) throw std::invalid_argument("tear_stretches: no direction of the fibres");
    if (!(side.side_cut_mm > 0.0)) throw std::invalid_argument("tear_stretches: side cut must be above 0");
    if (!(side.skim_mm > 0.0 && side.skim_mm <= most_skim_mm))
        throw std::invalid_argument("tear_stretches: a skim above 0 and at most 0.5 mm is needed");
}

/// The parts a stretch covers of an edge laid open at its start.
std::vector<Piece> laid_open(std::span<const TearStretch> stretches, double edge_length_mm, TearZone zone) {
    std::vector<Piece> out;
    for (const TearStretch& s : stretches) {
        if (s.zone != zone) continue;
        if (s.from_mm < s.to_mm) {
            out.push_back({s.from_mm, s.to_mm});
        } else {
            out.push_back({s.from_mm, edge_length_mm});
            out.push_back({0.0, s.to_mm});
        }
    }
    return out;
}

}  // namespace

bool clockwise_on_drawing(const EdgeCut& cut) {
    // A face turned down shows the drawing from below, and so does a router from under a table.
    return cut.face_down == cut.on_table;
}

bool teeth_along_path(const EdgeCut& cut) {
    return cut.wood_on_left == clockwise_on_drawing(cut);
}

double phi_at(const EdgeCut& cut, geometry::Station at) {
    const double along = geometry::heading(geometry::tangent_at(cut.edge, at));
    return wrap_half_turn(turn_of(cut) * (along - fibres_at(cut.fibres, geometry::point_at(cut.edge, at))));
}

std::vector<TearStretch> tear_stretches(const EdgeCut& cut, const SideCut& side, const TearModel& model) {
    require_sound(cut, side, model);
    std::vector<Growing> grown;
    for (const Piece& p : Walk(cut, side, model).pieces()) {
        if (grown.empty() || grown.back().piece.zone != p.zone)
            grown.push_back({p});
        else
            grown.back().take(p);
    }
    const double whole = geometry::length_mm(cut.edge);
    if (grown.empty()) throw std::invalid_argument("tear_stretches: the edge has no length");
    grown.front().piece.from_mm = 0.0;
    grown.back().piece.to_mm = whole;
    for (std::size_t i = 1; i < grown.size(); ++i) grown[i].piece.from_mm = grown[i - 1].piece.to_mm;
    if (cut.edge.closed && grown.size() > 1 && grown.front().piece.zone == grown.back().piece.zone) {
        grown.back().take(grown.front().piece);
        grown.erase(grown.begin());
    }

    const auto factor = [&](double side_cut, Feed feed) {
        return side_cut_factor(model, side.cutter_radius_mm, side_cut, feed);
    };
    const double conventional = factor(side.side_cut_mm, Feed::conventional);
    const double skim = factor(side.skim_mm, Feed::conventional), climb = factor(side.skim_mm, Feed::climb);
    std::vector<TearStretch> out;
    for (const Growing& g : grown) {
        const Piece& p = g.piece;
        TearStretch s;
        s.zone = p.zone;
        s.from_mm = p.from_mm;
        s.to_mm = p.to_mm;
        s.length_mm = p.to_mm - p.from_mm + (p.to_mm > p.from_mm ? 0.0 : whole);
        s.worst_phi_rad = p.worst_phi_rad;
        s.worst_at_mm = p.worst_at_mm;
        s.risk = std::min(1.0, p.worst_share * conventional);
        s.risk_skim = std::min(1.0, p.worst_share * skim);
        s.risk_climb_skim = std::min(1.0, p.worst_share * climb);
        out.push_back(s);
    }
    return out;
}

double length_in(std::span<const TearStretch> stretches, TearZone zone) {
    double length = 0.0;
    for (const TearStretch& s : stretches)
        if (s.zone == zone) length += s.length_mm;
    return length;
}

double length_in_both(std::span<const TearStretch> a, std::span<const TearStretch> b, double edge_length_mm,
                      TearZone zone) {
    double length = 0.0;
    const auto parts_b = laid_open(b, edge_length_mm, zone);
    for (const Piece& p : laid_open(a, edge_length_mm, zone))
        for (const Piece& q : parts_b)
            length += std::max(0.0, std::min(p.to_mm, q.to_mm) - std::max(p.from_mm, q.from_mm));
    return length;
}

FaceChoice choose_face(std::span<const TearStretch> up, std::span<const TearStretch> down) {
    FaceChoice out;
    out.tears_up_mm = length_in(up, TearZone::tears);
    out.tears_down_mm = length_in(down, TearZone::tears);
    out.care_up_mm = length_in(up, TearZone::care);
    out.care_down_mm = length_in(down, TearZone::care);
    double up_is_worse = out.tears_up_mm - out.tears_down_mm;
    if (std::abs(up_is_worse) < same_length_mm) up_is_worse = out.care_up_mm - out.care_down_mm;
    if (std::abs(up_is_worse) >= same_length_mm)
        out.better = up_is_worse > 0.0 ? FaceChoice::Better::down : FaceChoice::Better::up;
    return out;
}

FaceChoice choose_face(const EdgeCut& cut, const SideCut& side, const TearModel& model) {
    EdgeCut up = cut, down = cut;
    up.face_down = false;
    down.face_down = true;
    return choose_face(tear_stretches(up, side, model), tear_stretches(down, side, model));
}

SeamFaces choose_faces(const EdgeCut& left, const EdgeCut& right, const SideCut& side, const TearModel& model) {
    SeamFaces out;
    out.left = choose_face(left, side, model);
    out.right = choose_face(right, side, model);
    out.both_tear_mm = length_in_both(tear_stretches(left, side, model), tear_stretches(right, side, model),
                                      geometry::length_mm(left.edge), TearZone::tears);
    return out;
}

}  // namespace seamwright::process
