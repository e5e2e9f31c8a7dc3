// The figure of a board is where its face meets the growth rings. The stem: circles about a heart that wanders, each
// ring narrower toward the top of the tree. A face at the height h above the heart shows the ring of radius r at
//   y = heart ± √(r² − h²),
// so where r falls below h the two sides of a ring meet in the arc of a flat-sawn board, and far beside the heart
// (quarter- sawn) they run straight. Numbers of the stem are ours, to look like a stem that boards are sawn from.

#include "wood_figure.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace seamwright::plan {
namespace {

using geometry::Box;
using geometry::Point;

constexpr double ring_mm = 3.6;   ///< drawn rings; those of a tree are often narrower, and run together on a picture
constexpr double step_mm = 25.0;  ///< between places along a line
constexpr double spare_mm = 2.0;  ///< drawn beyond what is seen
constexpr double least_width_mm = 0.3, width_range_mm = 0.7;

/// Numbers from 0 to 1 that look like chance and are always the same (FNV-1a, then the finish of splitmix64).
class Chance {
  public:
    explicit Chance(std::string_view name) {
        for (const char c : name) {
            seed_ ^= static_cast<unsigned char>(c);
            seed_ *= 0x100000001B3ULL;
        }
    }
    double at(std::uint64_t which) const {
        std::uint64_t z = seed_ + 0x9E3779B97F4A7C15ULL * (which + 1);
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
        z ^= z >> 31U;
        return static_cast<double>(z >> 11U) * 0x1.0p-53;
    }
    double between(std::uint64_t which, double low, double high) const { return low + (high - low) * at(which); }

  private:
    std::uint64_t seed_ = 0xCBF29CE484222325ULL;
};

/// A line that wanders about 0: three easy waves.
class Wander {
  public:
    Wander(const Chance& chance, std::uint64_t first, double height_mm) {
        constexpr std::array<double, 3> lengths{1900.0, 730.0, 260.0}, shares{1.0, 0.45, 0.12};
        for (std::size_t i = 0; i < waves_.size(); ++i) {
            waves_[i] = {height_mm * shares[i],
                         geometry::two_pi / (lengths[i] * chance.between(first + 2 * i, 0.8, 1.25)),
                         geometry::two_pi * chance.at(first + 2 * i + 1)};
        }
    }
    double operator()(double x) const {
        double sum = 0.0;
        for (const auto& w : waves_) sum += w.height * std::sin(w.turn * x + w.start);
        return sum;
    }

  private:
    struct Wave {
        double height = 0.0, turn = 0.0, start = 0.0;
    };
    std::array<Wave, 3> waves_{};
};

/// Where the heart lies under the face: beside the middle of the board, and below.
struct Heart {
    double beside_mm = 0.0, below_mm = 0.0;
};
Heart heart_of(const Chance& chance, const shelf::Board& board) {
    const double side = chance.at(0) < 0.5 ? -1.0 : 1.0;
    const double half = 0.5 * board.width_mm;
    switch (board.sawn) {
        case shelf::Sawn::quarter:
            return {side * (half + chance.between(1, 70.0, 120.0)), chance.between(2, 5.0, 20.0)};
        case shelf::Sawn::rift: {
            const double below = chance.between(2, 80.0, 120.0);
            return {side * (half + below - 0.5 * half), below};
        }
        default:
            return {side * chance.between(1, 0.05, 0.3) * half, chance.between(2, 70.0, 120.0)};
    }
}

class Figure {
  public:
    Figure(std::string_view name, const shelf::Board& board, const Box& seen)
        : chance_(name),
          board_(board),
          seen_(seen.grown(spare_mm)),
          heart_(heart_of(chance_, board)),
          taper_(chance_.between(3, 0.018, 0.032) * (chance_.at(4) < 0.5 ? -1.0 : 1.0)),
          beside_(chance_, 10, 6.0),
          below_(chance_, 20, 4.0) {}

    std::vector<FigureLine> lines() {
        double nearest = HUGE_VAL, farthest = 0.0;
        for (double x = seen_.low.x; x <= seen_.high.x + step_mm; x += step_mm) {
            const double middle = heart_y(x), below = depth(x), less = taper_ * x;
            const double low = seen_.low.y - middle, high = seen_.high.y - middle;
            const double near = low <= 0.0 && high >= 0.0 ? 0.0 : std::min(std::abs(low), std::abs(high));
            nearest = std::min(nearest, std::hypot(near, below) + less);
            farthest = std::max(farthest, std::hypot(std::max(std::abs(low), std::abs(high)), below) + less);
        }
        std::vector<FigureLine> out;
        const auto first = static_cast<std::int64_t>(std::floor(nearest / ring_mm)) - 1;
        const auto last = static_cast<std::int64_t>(std::ceil(farthest / ring_mm)) + 1;
        for (std::int64_t ring = first; ring <= last; ++ring) add_ring(ring, out);
        return out;
    }

  private:
    double heart_y(double x) const {
        return 0.5 * board_.width_mm + heart_.beside_mm + std::tan(board_.slope_rad) * (x - 0.5 * board_.length_mm) +
               beside_(x);
    }
    double depth(double x) const { return heart_.below_mm + below_(x); }

    /// r² − h², of which the root is how far a ring lies from above the heart.
    double reach2(double radius, double x) const {
        const double r = radius - taper_ * x, h = depth(x);
        return r > 0.0 ? r * r - h * h : -1.0;
    }

    void add_ring(std::int64_t ring, std::vector<FigureLine>& out) const {
        // Rings are not all of one width, and some are darker.
        const auto which = static_cast<std::uint64_t>(ring + (std::int64_t{1} << 32));
        const double radius = ring_mm * (static_cast<double>(ring) + 0.7 * chance_.at(2 * which));
        const double shade = chance_.at(2 * which + 1);
        const double width = least_width_mm + width_range_mm * shade * shade;
        const double from = seen_.low.x, to = seen_.high.x;
        std::vector<double> along;
        Tips tips;
        const auto end_stretch = [&] {
            if (along.size() > 1) add_stretch(radius, along, tips, width, out);
            along.clear();
            tips = {};
        };
        double before = reach2(radius, from);
        if (before > 0.0) along.push_back(from);
        const int steps = std::max(1, static_cast<int>(std::ceil((to - from) / step_mm)));
        for (int i = 1; i <= steps; ++i) {
            const double x0 = from + (to - from) * (i - 1) / steps, x1 = from + (to - from) * i / steps;
            const double now = reach2(radius, x1);
            if (before > 0.0 && now > 0.0) {
                along.push_back(x1);
            } else if (before > 0.0 || now > 0.0) {
                const double at = crossing(radius, x0, x1, before > 0.0);
                if (now > 0.0) {
                    tips.first = true;
                    tips.first_x = at;
                    for (const double near : near_tip(at, x1)) along.push_back(near);
                } else {
                    auto near = near_tip(at, x0);
                    along.insert(along.end(), near.rbegin(), near.rend());
                    tips.last = true;
                    tips.last_x = at;
                    end_stretch();
                }
            }
            before = now;
        }
        end_stretch();
    }

    /// Where the two sides of a ring meet.
    struct Tips {
        bool first = false, last = false;
        double first_x = 0.0, last_x = 0.0;
    };

    double crossing(double radius, double low, double high, bool there_at_low) const {
        constexpr int halvings = 30;
        for (int i = 0; i < halvings; ++i) {
            const double middle = 0.5 * (low + high);
            ((reach2(radius, middle) > 0.0) == there_at_low ? low : high) = middle;
        }
        return 0.5 * (low + high);
    }

    /// The root rises steeply at a tip: places that lie evenly along it, from the tip to the next place.
    static std::vector<double> near_tip(double tip, double next) {
        constexpr int parts = 6;
        std::vector<double> out;
        for (int k = 1; k <= parts; ++k) out.push_back(tip + (next - tip) * k * k / (parts * parts));
        return out;
    }

    void add_stretch(double radius, const std::vector<double>& along, const Tips& tips, double width,
                     std::vector<FigureLine>& out) const {
        std::vector<Point> far, near;
        for (const double x : along) {
            const double reach = std::sqrt(std::max(0.0, reach2(radius, x)));
            far.push_back({x, heart_y(x) + reach});
            near.push_back({x, heart_y(x) - reach});
        }
        std::vector<Point> line;
        if (tips.first) line.insert(line.end(), near.rbegin(), near.rend());
        if (tips.first) line.push_back({tips.first_x, heart_y(tips.first_x)});
        line.insert(line.end(), far.begin(), far.end());
        if (tips.last) line.push_back({tips.last_x, heart_y(tips.last_x)});
        if (tips.last && !tips.first) line.insert(line.end(), near.rbegin(), near.rend());
        add_seen(line, width, out);
        if (!tips.first && !tips.last) add_seen(near, width, out);
    }

    /// Only what is seen, with one place more at either end.
    void add_seen(const std::vector<Point>& line, double width, std::vector<FigureLine>& out) const {
        const auto seen = [&](std::size_t i) {
            if (i + 1 >= line.size()) return false;
            Box box;
            box.add(line[i]);
            box.add(line[i + 1]);
            return box.meets(seen_);
        };
        FigureLine run{{}, width};
        for (std::size_t i = 0; i < line.size(); ++i) {
            if (seen(i)) {
                if (run.points.empty()) run.points.push_back(line[i]);
                run.points.push_back(line[i + 1]);
            } else if (!run.points.empty()) {
                out.push_back(std::move(run));
                run = {{}, width};
            }
        }
    }

    Chance chance_;
    const shelf::Board& board_;
    Box seen_;
    Heart heart_;
    double taper_ = 0.0;
    Wander beside_, below_;
};

}  // namespace

std::vector<FigureLine> wood_figure(std::string_view name, const shelf::Board& board, const Box& seen) {
    return Figure(name, board, seen).lines();
}

}  // namespace seamwright::plan
