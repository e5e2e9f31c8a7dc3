#include "profile.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "stock/placing.h"

namespace seamwright::stock {
namespace {

constexpr double off_chord_mm = 0.05;
constexpr double least_slab_mm = 1.0, least_slabs = 16.0;
/// Of the usual length.
constexpr double most_slabs = 400.0;
constexpr std::size_t most_rings = 6;

/// A straight line or no more than a quarter of a circle: along it y rises only, or falls only.
struct Bit {
    Point a, b;  ///< a.x <= b.x
    Point centre;
    double radius_mm = 0.0;  ///< 0: straight
    double side = 0.0;       ///< +1 above the centre, -1 below

    double y_at(double x) const {
        if (x <= a.x) return a.y;
        if (x >= b.x) return b.y;
        if (radius_mm == 0.0) return a.y + (b.y - a.y) * ((x - a.x) / (b.x - a.x));
        const double along = x - centre.x;
        const double y = centre.y + side * std::sqrt(std::max(0.0, radius_mm * radius_mm - along * along));
        return std::clamp(y, std::min(a.y, b.y), std::max(a.y, b.y));
    }
};

Bit bit(Point a, Point b) {
    return a.x <= b.x ? Bit{a, b, {}} : Bit{b, a, {}};
}

void add_bits(const geometry::Segment& s, std::vector<Bit>& out) {
    if (!s.is_arc()) {
        out.push_back(bit(s.start, s.end));
        return;
    }
    constexpr double quarter = 0.5 * geometry::pi;
    const double first = geometry::heading(s.start - s.centre), last = first + s.sweep_rad;
    std::vector<Point> ends{s.start};
    const double way = s.sweep_rad > 0.0 ? 1.0 : -1.0;
    for (double k = way > 0.0 ? std::floor(first / quarter) + 1.0 : std::ceil(first / quarter) - 1.0;
         way * (last - k * quarter) > 0.0; k += way) {
        const int turn = static_cast<int>(k) & 3;
        constexpr Point directions[4] = {{1.0, 0.0}, {0.0, 1.0}, {-1.0, 0.0}, {0.0, -1.0}};
        ends.push_back(s.centre + s.radius_mm * directions[turn]);
    }
    ends.push_back(s.end);
    for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
        Bit part = bit(ends[i], ends[i + 1]);
        part.centre = s.centre;
        part.radius_mm = s.radius_mm;
        part.side = part.a.y + part.b.y >= 2.0 * s.centre.y ? 1.0 : -1.0;
        out.push_back(part);
    }
}

/// y of the bit over x in [low, high], if it meets that at all.
void take_between(const Bit& bit, double low, double high, Reach& into) {
    const double from = std::max(bit.a.x, low), to = std::min(bit.b.x, high);
    if (from > to) return;
    into.take(bit.y_at(from));
    into.take(bit.y_at(to));
    if (bit.a.x == bit.b.x) into.take(bit.b.y);
}

void widen(Reach& reach, double by) {
    if (reach.empty()) return;
    reach.low -= by;
    reach.high += by;
}

bool same(const Reach& a, const Reach& b) {
    if (a.empty() || b.empty()) return a.empty() == b.empty();
    constexpr double same_mm = 1e-9;
    return std::abs(a.low - b.low) < same_mm && std::abs(a.high - b.high) < same_mm;
}

}  // namespace

double Profile::low() const {
    double out = HUGE_VAL;
    for (const Slab& s : slabs) out = std::min(out, s.grown.low);
    return out;
}

double Profile::high() const {
    double out = -HUGE_VAL;
    for (const Slab& s : slabs) out = std::max(out, s.grown.high);
    return out;
}

double Profile::finished_from() const {
    for (const Slab& s : slabs)
        if (!s.finished.empty()) return s.from;
    return 0.0;
}

double Profile::finished_to() const {
    for (auto s = slabs.rbegin(); s != slabs.rend(); ++s)
        if (!s->finished.empty()) return s->to;
    return 0.0;
}

bool Profile::same_as(const Profile& other) const {
    if (slabs.size() != other.slabs.size() || slabs.empty()) return false;
    constexpr double same_mm = 1e-6;
    const double shift = other.slabs.front().from - slabs.front().from;
    const double lift = other.low() - low();
    const auto alike = [&](const Reach& a, const Reach& b) {
        if (a.empty() || b.empty()) return a.empty() == b.empty();
        return std::abs(a.low + lift - b.low) < same_mm && std::abs(a.high + lift - b.high) < same_mm;
    };
    for (std::size_t i = 0; i < slabs.size(); ++i) {
        if (std::abs(slabs[i].from + shift - other.slabs[i].from) > same_mm) return false;
        if (!alike(slabs[i].grown, other.slabs[i].grown) || !alike(slabs[i].finished, other.slabs[i].finished))
            return false;
    }
    return true;
}

std::vector<Point> corners_of(const Path& closed) {
    std::vector<Point> out;
    for (const geometry::Segment& s : closed.segments) {
        out.push_back(s.start);
        if (!s.is_arc()) continue;
        const double step = 2.0 * std::acos(std::max(0.0, 1.0 - off_chord_mm / s.radius_mm));
        const double parts = std::ceil(std::abs(s.sweep_rad) / std::max(step, 1e-3));
        for (double k = 1.0; k < parts; k += 1.0) out.push_back(geometry::point_at(s, k / parts));
    }
    return out;
}

Profile profile_of(const Path& shape, const Path& sawn, double grow_mm, double most_slab_mm) {
    std::vector<Bit> bits, finished;
    bool straight = true;
    for (const geometry::Segment& s : sawn.segments) {
        add_bits(s, bits);
        straight = straight && !s.is_arc();
    }
    for (const geometry::Segment& s : shape.segments) add_bits(s, finished);
    Profile out;
    if (bits.empty()) return out;
    double left = HUGE_VAL, right = -HUGE_VAL;
    for (const Bit& b : bits) {
        left = std::min(left, b.a.x);
        right = std::max(right, b.b.x);
    }
    const double slab_mm = std::clamp((right - left) / least_slabs, least_slab_mm, most_slab_mm);
    const double count =
        std::clamp(std::ceil((right - left) / slab_mm), 1.0, most_slabs * usual_slab_mm / most_slab_mm);
    const double length = (right - left) / count;
    for (double k = 0.0; k < count; k += 1.0) {
        const double from = left + length * k;
        out.slabs.push_back({from, k + 1.0 == count ? right : from + length, {}, {}});
    }
    // No finished wood lies over the ends.
    const std::size_t end = grow_mm > 0.0 ? 1 : 0;
    if (end == 1) {
        out.slabs.insert(out.slabs.begin(), {left - grow_mm, left, {}, {}});
        out.slabs.push_back({right, right + grow_mm, {}, {}});
    }
    const auto slab_at = [&](double x) {
        if (x < left) return std::size_t{0};
        if (x > right) return out.slabs.size() - 1;
        return end + static_cast<std::size_t>(std::clamp(std::floor((x - left) / length), 0.0, count - 1.0));
    };
    // Grown by a disc: what lies farther aside reaches less far up. A rectangle keeps square corners: one slab does.
    const std::size_t rings = grow_mm > 0.0 && (!straight || sawn.segments.size() != 4) ? most_rings : 1;
    std::vector<std::array<Reach, most_rings>> within(out.slabs.size());
    for (const Bit& b : bits) {
        const std::size_t first = slab_at(b.a.x - grow_mm), last = slab_at(b.b.x + grow_mm);
        for (std::size_t k = first == 0 ? 0 : first - 1; k <= last; ++k) {
            Slab& slab = out.slabs[k];
            for (std::size_t r = 0; r < rings; ++r) {
                const double aside = grow_mm * static_cast<double>(r + 1) / static_cast<double>(rings);
                take_between(b, slab.from - aside, slab.to + aside, within[k][r]);
            }
        }
    }
    for (const Bit& b : finished) {
        const std::size_t first = slab_at(b.a.x), last = slab_at(b.b.x);
        for (std::size_t k = first == 0 ? 0 : first - 1; k <= last; ++k)
            if (k >= end && k + end < out.slabs.size())
                take_between(b, out.slabs[k].from, out.slabs[k].to, out.slabs[k].finished);
    }
    for (std::size_t k = 0; k < out.slabs.size(); ++k) {
        Slab& slab = out.slabs[k];
        for (std::size_t r = 0; r < rings; ++r) {
            const double aside = grow_mm * static_cast<double>(r) / static_cast<double>(rings);
            widen(within[k][r], std::sqrt(grow_mm * grow_mm - aside * aside));
            if (within[k][r].empty()) continue;
            slab.grown.take(within[k][r].low);
            slab.grown.take(within[k][r].high);
        }
    }
    std::vector<Slab> joined;
    for (const Slab& slab : out.slabs) {
        if (!joined.empty() && same(joined.back().grown, slab.grown) && same(joined.back().finished, slab.finished)) {
            joined.back().to = slab.to;
        } else {
            joined.push_back(slab);
        }
    }
    out.slabs = std::move(joined);
    return out;
}

std::vector<BoardWidth> widths_of(const shelf::Board& board, double give_mm) {
    if (board.outline.empty()) return {{-give_mm, board.length_mm + give_mm, -give_mm, board.width_mm + give_mm}};
    const std::vector<Point> corners = corners_of(outline_of(board));
    double left = HUGE_VAL, right = -HUGE_VAL;
    for (const Point p : corners) {
        left = std::min(left, p.x);
        right = std::max(right, p.x);
    }
    constexpr double slab_mm = 2.0, most = 4000.0;
    const double count = std::clamp(std::ceil((right - left) / slab_mm), 1.0, most);
    const double length = (right - left) / count;
    std::vector<Reach> lower(static_cast<std::size_t>(count)), upper = lower;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Point a = corners[i], b = corners[(i + 1) % corners.size()];
        if (a.x == b.x) continue;
        const auto at = [&](double x) {
            return static_cast<std::size_t>(std::clamp(std::floor((x - left) / length), 0.0, count - 1.0));
        };
        for (std::size_t k = at(std::min(a.x, b.x)); k <= at(std::max(a.x, b.x)); ++k) {
            const double from = left + length * static_cast<double>(k);
            // Counter-clockwise: the wood lies above what runs to the right.
            take_between(bit(a, b), from, from + length, a.x < b.x ? lower[k] : upper[k]);
        }
    }
    std::vector<BoardWidth> out;
    for (std::size_t k = 0; k < lower.size(); ++k) {
        const double from = left + length * static_cast<double>(k);
        const bool wood = !lower[k].empty() && !upper[k].empty();
        out.push_back({from, from + length, wood ? lower[k].high - give_mm : 1.0, wood ? upper[k].low + give_mm : 0.0});
    }
    out.front().from -= give_mm;
    out.back().to += give_mm;
    return out;
}

}  // namespace seamwright::stock
