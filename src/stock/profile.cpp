#include "profile.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "stock/placing.h"

namespace seamwright::stock {
namespace {

constexpr double off_chord_mm = 0.05;
/// Length of a slab: fine enough for a seam that turns, coarse enough for hundreds of tries.
constexpr double least_slab_mm = 4.0;
constexpr double most_slabs = 400.0;
constexpr std::size_t most_rings = 6;

/// y of the straight way from a to b over x in [low, high], which it must meet.
void take_between(Point a, Point b, double low, double high, Reach& into) {
    if (a.x > b.x) std::swap(a, b);
    const double from = std::max(a.x, low), to = std::min(b.x, high);
    if (from > to) return;
    const auto y_at = [&](double x) {
        return b.x > a.x ? a.y + (b.y - a.y) * std::clamp((x - a.x) / (b.x - a.x), 0.0, 1.0) : a.y;
    };
    into.take(y_at(from));
    into.take(y_at(to));
    if (b.x == a.x) into.take(b.y);
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

Profile profile_of(const Path& shape, double grow_mm) {
    const std::vector<Point> corners = corners_of(shape);
    Profile out;
    if (corners.size() < 2) return out;
    bool straight = true;
    for (const geometry::Segment& s : shape.segments) straight = straight && !s.is_arc();
    const double safe = straight ? 0.0 : off_chord_mm;
    double left = HUGE_VAL, right = -HUGE_VAL;
    for (const Point p : corners) {
        left = std::min(left, p.x);
        right = std::max(right, p.x);
    }
    left -= grow_mm + safe;
    right += grow_mm + safe;
    const double count = std::clamp(std::ceil((right - left) / least_slab_mm), 1.0, most_slabs);
    const double length = (right - left) / count;
    out.slabs.resize(static_cast<std::size_t>(count));
    for (std::size_t k = 0; k < out.slabs.size(); ++k) {
        out.slabs[k].from = left + length * static_cast<double>(k);
        out.slabs[k].to = k + 1 == out.slabs.size() ? right : left + length * static_cast<double>(k + 1);
    }
    const double around = grow_mm + safe;
    const auto slab_at = [&](double x) {
        return static_cast<std::size_t>(std::clamp(std::floor((x - left) / length), 0.0, count - 1.0));
    };
    // Grown by a disc: what lies farther aside reaches less far up. A rectangle keeps square corners: one slab does.
    const std::size_t rings = around > 0.0 && (!straight || shape.segments.size() != 4) ? most_rings : 1;
    std::vector<std::array<Reach, most_rings>> within(out.slabs.size());
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Point a = corners[i], b = corners[(i + 1) % corners.size()];
        const std::size_t first = slab_at(std::min(a.x, b.x) - around), last = slab_at(std::max(a.x, b.x) + around);
        for (std::size_t k = first; k <= last; ++k) {
            Slab& slab = out.slabs[k];
            for (std::size_t r = 0; r < rings; ++r) {
                const double aside = around * static_cast<double>(r + 1) / static_cast<double>(rings);
                take_between(a, b, slab.from - aside, slab.to + aside, within[k][r]);
            }
            take_between(a, b, slab.from - safe, slab.to + safe, slab.finished);
        }
    }
    for (std::size_t k = 0; k < out.slabs.size(); ++k) {
        Slab& slab = out.slabs[k];
        for (std::size_t r = 0; r < rings; ++r) {
            const double aside = around * static_cast<double>(r) / static_cast<double>(rings);
            widen(within[k][r], std::sqrt(around * around - aside * aside));
            if (within[k][r].empty()) continue;
            slab.grown.take(within[k][r].low);
            slab.grown.take(within[k][r].high);
        }
        widen(slab.finished, safe);
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
            take_between(a, b, from, from + length, a.x < b.x ? lower[k] : upper[k]);
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
