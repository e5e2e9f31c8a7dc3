#include "body.h"

#include <algorithm>
#include <cmath>

#include "stock/placing.h"

namespace seamwright::stock {
namespace {

constexpr double off_chord_mm = 0.02;

Micrometres down(double mm) {
    return static_cast<Micrometres>(std::floor(std::clamp(mm * um_per_mm, -1.0 * far_um, 1.0 * far_um)));
}
Micrometres up(double mm) {
    return -down(-mm);
}

/// The lowest and the highest of a shape over a stretch without corners, where both run straight.
struct Piece {
    double from = 0.0, to = 0.0;
    double low[2] = {}, high[2] = {};
};

std::vector<Piece> pieces_of(const std::vector<Point>& corners) {
    struct Edge {
        Point a, b;
    };
    std::vector<Edge> edges;
    std::vector<double> cuts;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        Point a = corners[i], b = corners[i + 1 == corners.size() ? 0 : i + 1];
        cuts.push_back(a.x);
        if (a.x == b.x) continue;
        if (a.x > b.x) std::swap(a, b);
        edges.push_back({a, b});
    }
    std::sort(cuts.begin(), cuts.end());
    std::stable_sort(edges.begin(), edges.end(), [](const Edge& e, const Edge& f) { return e.a.x < f.a.x; });
    std::vector<Piece> out;
    std::vector<Edge> over;
    std::size_t next = 0;
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
        if (cuts[i] == cuts[i + 1]) continue;
        Piece piece{cuts[i], cuts[i + 1], {HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
        while (next < edges.size() && edges[next].a.x <= piece.from) over.push_back(edges[next++]);
        over.erase(std::remove_if(over.begin(), over.end(), [&](const Edge& e) { return e.b.x <= piece.from; }),
                   over.end());
        for (const Edge& e : over) {
            const double slope = (e.b.y - e.a.y) / (e.b.x - e.a.x);
            const double y[2] = {e.a.y + slope * (piece.from - e.a.x), e.b.y - slope * (e.b.x - piece.to)};
            for (const int end : {0, 1}) {
                piece.low[end] = std::min(piece.low[end], y[end]);
                piece.high[end] = std::max(piece.high[end], y[end]);
            }
        }
        out.push_back(piece);
    }
    return out;
}

/// The stretch every cross section over [from, to] has; maybe none (low > high).
struct Common {
    double low = -HUGE_VAL, high = HUGE_VAL;
    void take(double l, double h) {
        low = std::max(low, l);
        high = std::min(high, h);
    }
};

class Shape {
  public:
    Shape(std::vector<Piece> pieces, double grow_mm) : pieces_(std::move(pieces)), grow_(grow_mm) {}
    double from() const { return pieces_.front().from - grow_; }
    double to() const { return pieces_.back().to + grow_; }

    /// Asked from left to right.
    Common over(double from, double to) {
        Common out;
        const Piece& first = pieces_.front();
        const Piece& last = pieces_.back();
        const auto beyond = [&](double by, double low, double high) {
            const double grown = std::sqrt(std::max(0.0, grow_ * grow_ - by * by));
            out.take(low - grown, high + grown);
        };
        if (from < first.from) beyond(first.from - from, first.low[0], first.high[0]);
        if (to > last.to) beyond(to - last.to, last.low[1], last.high[1]);
        while (at_ + 1 < pieces_.size() && pieces_[at_].to < from) ++at_;
        for (std::size_t i = at_; i < pieces_.size() && pieces_[i].from <= to; ++i) {
            const Piece& p = pieces_[i];
            for (const double x : {std::max(from, p.from), std::min(to, p.to)}) {
                if (x < p.from || x > p.to) continue;
                const double part = (x - p.from) / (p.to - p.from);
                out.take(p.low[0] + (p.low[1] - p.low[0]) * part - grow_,
                         p.high[0] + (p.high[1] - p.high[0]) * part + grow_);
            }
        }
        return out;
    }

  private:
    std::vector<Piece> pieces_;
    double grow_ = 0.0;
    std::size_t at_ = 0;
};

}  // namespace

std::vector<Point> corners_within(Path closed) {
    if (geometry::area_mm2(closed) < 0.0) closed = geometry::reversed(closed);
    std::vector<Point> out;
    for (const geometry::Segment& s : closed.segments) {
        out.push_back(s.start);
        if (!s.is_arc()) continue;
        const double step = 2.0 * std::acos(std::max(0.0, 1.0 - off_chord_mm / s.radius_mm));
        const double parts = std::ceil(std::abs(s.sweep_rad) / std::max(step, 1e-3));
        const bool outwards = s.sweep_rad > 0.0;
        if (outwards) {
            for (double k = 1.0; k < parts; k += 1.0) out.push_back(geometry::point_at(s, k / parts));
        } else {
            // Where the tangents at the ends of each part meet: outside the circle, so within the wood.
            const double away = 1.0 / std::cos(0.5 * s.sweep_rad / parts);
            for (double k = 0.5; k < parts; k += 1.0)
                out.push_back(s.centre + away * (geometry::point_at(s, k / parts) - s.centre));
        }
    }
    return out;
}

Body body_of(const std::vector<Point>& corners, double grow_mm, Fineness fineness) {
    Body out;
    out.fineness = fineness;
    const Micrometres cell = cell_um(fineness);
    const double cell_mm = cell / um_per_mm;
    std::vector<Piece> pieces = pieces_of(corners);
    if (pieces.empty()) return out;
    Shape at_ends(pieces, grow_mm), over_cells(std::move(pieces), grow_mm);
    out.left_mm = at_ends.from();
    const double length = at_ends.to() - at_ends.from();
    out.length = down(length);
    const auto full = static_cast<std::size_t>(out.length / cell);
    const std::size_t cells = full + (out.length % cell > 0 ? 1 : 0);
    std::vector<Common> ends, over;
    for (std::size_t k = 0; k <= full; ++k) {
        const double x = out.left_mm + cell_mm * static_cast<double>(k);
        ends.push_back(at_ends.over(x, x));
    }
    for (std::size_t k = 0; k < cells; ++k) {
        const double x = out.left_mm + cell_mm * static_cast<double>(k);
        over.push_back(over_cells.over(x, std::min(x + cell_mm, out.left_mm + length)));
    }
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (const auto* all : {&ends, &over}) {
        for (const Common& c : *all) {
            if (c.low > c.high) continue;
            low = std::min(low, c.low);
            high = std::max(high, c.high);
        }
    }
    if (low > high) low = high = 0.0;
    out.low_mm = low;
    out.height = down(high - low);
    for (const Common& c : ends) {
        out.top.push_back(c.low > c.high ? -far_um : down(c.high - low));
        out.bottom.push_back(c.low > c.high ? far_um : up(c.low - low));
    }
    for (const Common& c : over) {
        out.cell_top.push_back(c.low > c.high ? -far_um : down(c.high - low));
        out.cell_bottom.push_back(c.low > c.high ? far_um : up(c.low - low));
    }
    return out;
}

BoardBodies bodies_of(const shelf::Board& board, double give_mm, Fineness fineness) {
    const double cell_mm = cell_um(fineness) / um_per_mm;
    const std::vector<Point> corners = corners_of(outline_of(board));
    double left = HUGE_VAL, right = -HUGE_VAL;
    for (const Point p : corners) {
        left = std::min(left, p.x);
        right = std::max(right, p.x);
    }
    BoardBodies out;
    Body& below = out.below;
    below.fineness = fineness;
    below.left_mm = left - give_mm;
    below.length = up(right - left + 2.0 * give_mm);
    const auto cells = static_cast<std::size_t>(below.length / cell_um(fineness)) + 1;
    std::vector<double> low(cells, HUGE_VAL), high(cells, -HUGE_VAL);
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Point a = corners[i], b = corners[i + 1 == corners.size() ? 0 : i + 1];
        const double from = std::min(a.x, b.x) - give_mm, to = std::max(a.x, b.x) + give_mm;
        const auto at = [&](double x) {
            return static_cast<std::size_t>(
                std::clamp(std::floor((x - below.left_mm) / cell_mm), 0.0, static_cast<double>(cells - 1)));
        };
        for (std::size_t k = at(from); k <= at(to); ++k) {
            const double x = below.left_mm + cell_mm * static_cast<double>(k);
            const auto y_at = [&](double where) {
                if (a.x == b.x) return a.y;
                return a.y + (b.y - a.y) * std::clamp((where - a.x) / (b.x - a.x), 0.0, 1.0);
            };
            for (const double y : {y_at(x - give_mm), y_at(x + cell_mm + give_mm), a.x == b.x ? b.y : y_at(x)}) {
                low[k] = std::min(low[k], y - give_mm);
                high[k] = std::max(high[k], y + give_mm);
            }
        }
    }
    out.above = below;
    for (std::size_t k = 0; k < cells; ++k) {
        below.cell_top.push_back(low[k] > high[k] ? -far_um : down(low[k]));
        out.above.cell_bottom.push_back(low[k] > high[k] ? far_um : up(high[k]));
        const std::size_t before = k == 0 ? 0 : k - 1;
        below.top.push_back(std::min(below.cell_top[before], below.cell_top[k]));
        out.above.bottom.push_back(std::max(out.above.cell_bottom[before], out.above.cell_bottom[k]));
    }
    below.bottom.assign(cells, -far_um);
    below.cell_bottom = below.bottom;
    out.above.top.assign(cells, far_um);
    out.above.cell_top = out.above.top;
    return out;
}

}  // namespace seamwright::stock
