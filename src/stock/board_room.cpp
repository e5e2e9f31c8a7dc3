#include "board_room.h"

#include <algorithm>
#include <cmath>

#include "stock/placing.h"

namespace seamwright::stock {
namespace {

/// Shapes that touch are apart.
constexpr double touch_mm = 1e-6;
/// Between places flush with something.
constexpr double most_step_mm = 25.0;
/// Slabs passed in the time that one unit of effort stands for.
constexpr std::size_t slabs_a_look = 8;

Profile moved(const Profile& item, Point by) {
    Profile out = item;
    for (Slab& s : out.slabs) {
        s.from += by.x;
        s.to += by.x;
        for (Reach* r : {&s.grown, &s.finished}) {
            if (r->empty()) continue;
            r->low += by.y;
            r->high += by.y;
        }
    }
    return out;
}

/// Calls `visit` for every slab of the obstacle over an open stretch.
template <typename Visit>
void over(const Profile& obstacle, double from, double to, std::size_t& start, const Visit& visit) {
    const auto& slabs = obstacle.slabs;
    while (start < slabs.size() && slabs[start].to <= from + touch_mm) ++start;
    for (std::size_t i = start; i < slabs.size() && slabs[i].from < to - touch_mm; ++i) visit(slabs[i]);
}

}  // namespace

BoardRoom::BoardRoom(const shelf::Board& board, double between_mm) : widths_(widths_of(board, between_mm)) {
    for (const shelf::Defect& defect : board.defects) {
        if (defect.allowed == shelf::Defect::Allowed::anywhere) continue;
        const Path outline = outline_of(defect);
        defects_.push_back(
            {profile_of(outline, outline, 0.0), defect.allowed == shelf::Defect::Allowed::away_from_seams});
    }
}

std::vector<Shifts> BoardRoom::shifts_at(const Profile& item, double x, double clear_of_edge_mm,
                                         std::uint64_t& effort) const {
    double low = -HUGE_VAL, high = HUGE_VAL;
    const auto& slabs = item.slabs;
    effort += 1 + slabs.size() / slabs_a_look;
    if (slabs.front().from + x < widths_.front().from - touch_mm) return {};
    if (slabs.back().to + x > widths_.back().to + touch_mm) return {};
    std::size_t w = 0;
    for (const Slab& s : slabs) {
        const double from = s.from + x, to = s.to + x;
        while (w + 1 < widths_.size() && widths_[w].to <= from + touch_mm) ++w;
        for (std::size_t i = w; i < widths_.size() && (i == w || widths_[i].from < to - touch_mm); ++i) {
            low = std::max(low, widths_[i].low - s.grown.low);
            high = std::min(high, widths_[i].high - s.grown.high);
        }
        if (low > high + touch_mm) return {};
    }
    if (low > high) low = high = 0.5 * (low + high);
    std::vector<Shifts> forbidden;
    const auto forbid = [&](double from, double to) {
        if (to - from <= 2.0 * touch_mm || to <= low || from >= high) return;
        // Slabs side by side forbid much the same.
        if (!forbidden.empty() && from + touch_mm < forbidden.back().high && to > forbidden.back().low + touch_mm) {
            forbidden.back().low = std::min(forbidden.back().low, from);
            forbidden.back().high = std::max(forbidden.back().high, to);
        } else {
            forbidden.push_back({from, to});
        }
    };
    for (const Profile& other : laid_) {
        if (other.slabs.back().to <= slabs.front().from + x || other.slabs.front().from >= slabs.back().to + x)
            continue;
        std::size_t start = 0;
        for (const Slab& s : slabs) {
            over(other, s.from + x, s.to + x, start,
                 [&](const Slab& o) { forbid(o.grown.low - s.grown.high, o.grown.high - s.grown.low); });
        }
        effort += other.slabs.size() / slabs_a_look;
    }
    for (const Obstacle& defect : defects_) {
        const double off = defect.only_near_edges ? clear_of_edge_mm : 0.0;
        const auto& spot = defect.profile.slabs;
        if (spot.empty() || spot.back().to + off <= slabs.front().from + x ||
            spot.front().from - off >= slabs.back().to + x)
            continue;
        for (const Slab& s : slabs) {
            if (s.finished.empty()) continue;
            std::size_t start = 0;
            over(defect.profile, s.from + x - off, s.to + x + off, start, [&](const Slab& o) {
                if (defect.only_near_edges) {
                    // Well inside the wood it does no harm, so only its nearness to the two edges counts; near an end
                    // both hold.
                    forbid(o.finished.low - off - s.finished.low, o.finished.high + off - s.finished.low);
                    forbid(o.finished.low - off - s.finished.high, o.finished.high + off - s.finished.high);
                } else {
                    forbid(o.finished.low - s.finished.high, o.finished.high - s.finished.low);
                }
            });
        }
        if (defect.only_near_edges) {
            // Over the ends of the item the spot must be aside altogether.
            const double ends[2][2] = {{item.finished_from() + x - off, item.finished_from() + x + off},
                                       {item.finished_to() + x - off, item.finished_to() + x + off}};
            for (const auto& end : ends) {
                std::size_t start = 0;
                over(defect.profile, end[0], end[1], start, [&](const Slab& o) {
                    for (const Slab& s : slabs) {
                        if (s.finished.empty() || s.to + x < end[0] || s.from + x > end[1]) continue;
                        forbid(o.finished.low - off - s.finished.high, o.finished.high + off - s.finished.low);
                    }
                });
            }
        }
        effort += (slabs.size() + spot.size()) / slabs_a_look;
    }
    std::sort(forbidden.begin(), forbidden.end(), [](const Shifts& a, const Shifts& b) { return a.low < b.low; });
    effort += forbidden.size();
    std::vector<Shifts> good;
    double at = low;
    for (const Shifts& f : forbidden) {
        if (f.low > high) break;
        if (f.low >= at - touch_mm) good.push_back({at, std::max(at, f.low)});
        at = std::max(at, f.high);
    }
    if (at <= high + touch_mm) good.push_back({std::min(at, high), high});
    return good;
}

std::vector<double> BoardRoom::places_along(const Profile& item, bool and_between) const {
    const double from = item.slabs.front().from, to = item.slabs.back().to;
    const double first = widths_.front().from - from, last = widths_.back().to - to;
    std::vector<double> out;
    if (first > last + touch_mm) return out;
    out.push_back(std::min(first, last));
    out.push_back(last);
    const auto offer = [&](double x) {
        if (x > first && x < last) out.push_back(x);
    };
    for (const Profile& other : laid_) {
        offer(other.slabs.back().to - from);
        offer(other.slabs.front().from - to);
        offer(other.slabs.front().from - from);
        offer(other.slabs.back().to - to);
    }
    for (const Obstacle& defect : defects_) {
        if (defect.profile.slabs.empty()) continue;
        offer(defect.profile.slabs.back().to - item.finished_from());
        offer(defect.profile.slabs.front().from - item.finished_to());
    }
    if (and_between) {
        const double steps = std::ceil((last - first) / most_step_mm);
        for (double k = 1.0; k < steps; k += 1.0) out.push_back(first + (last - first) * k / steps);
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end(), [](double a, double b) { return b - a < touch_mm; }), out.end());
    return out;
}

void BoardRoom::lay(const Profile& item, Point shift) {
    laid_.push_back(moved(item, shift));
}

void BoardRoom::take_up() {
    laid_.pop_back();
}

}  // namespace seamwright::stock
