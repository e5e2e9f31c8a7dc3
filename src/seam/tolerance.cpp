// The gap that closing leaves is the answer of a linear programme whose right-hand side is linear in the errors. So, as
// a function of them, it is convex, and from a seam that closes by itself it grows in proportion: what several errors
// leave together is no more than the sum of what each of them leaves alone. That gives the worst case without trying
// all combinations, and no combination exceeds it.

#include "seam/tolerance.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <random>
#include <stdexcept>

#include "error_sources.h"

namespace seamwright::seam {
namespace {

using Kind = ToleranceSource::Kind;

/// Directions of a pair that are tried for its worst.
constexpr int directions = 16;
/// A regular polygon of so many corners, drawn about a circle, is larger than it by this factor.
const double round_off = 1.0 / std::cos(geometry::pi / directions);
/// A seam that no wear up to this opens needs no figure.
constexpr double most_wear_mm = 1.0;

void check(const ToleranceWish& wish, std::span<const SeamPlace> places, std::span<const double> planned) {
    const Accuracy& a = wish.accuracy;
    for (const double size :
         {a.measured_mm, a.marked_mm, a.cutter_wear_mm, a.guide_wear_mm, a.run_out_mm, a.guide_play_mm, a.off_centre_mm,
          a.routed_edge_mm, a.hand_edge_mm, a.paper_per_m_mm, a.moisture_points, a.movement_per_point}) {
        if (!(size >= 0.0) || !std::isfinite(size))
            throw std::invalid_argument("tolerance_of: a size that is none, or below nothing");
    }
    if (!(a.edge_wave_mm > 0.0) || !(wish.limit_mm > 0.0) || !std::isfinite(a.grain_rad))
        throw std::invalid_argument("tolerance_of: the wave and the limit must be above nothing");
    if (!planned.empty() && planned.size() != places.size())
        throw std::invalid_argument("tolerance_of: one planned gap for each place");
}

/// Numbers from 0 to 1, the same on every machine.
class Chance {
  public:
    explicit Chance(std::uint64_t seed) : random_(seed) {}
    double operator()() { return static_cast<double>(random_() >> 11) * 0x1.0p-53; }

  private:
    std::mt19937_64 random_;
};

class Study {
  public:
    Study(const Chain& chain, const shelf::Shelf& shelf, std::span<const SeamPlace> places, bool closed,
          const ToleranceWish& wish, std::span<const double> planned)
        : chain_(chain),
          wish_(wish),
          closer_({places.begin(), places.end()}),
          planned_(planned.begin(), planned.end()),
          sources_(error_sources(chain, shelf, places, closed, wish.accuracy)) {
        if (planned_.empty()) planned_.assign(places.size(), chain.mismatch_mm);
    }

    Tolerance tolerance() {
        Tolerance out;
        out.limit_mm = wish_.limit_mm;
        out.planned_mm = left(planned_);
        out.worst_mm = out.planned_mm;
        double squares = 0.0;
        std::vector<double> adds;
        for (ErrorSource& source : sources_) {
            source.told.alone_mm = alone(source);
            out.worst_mm += worst_from_nothing(source);
            adds.push_back(std::fmax(0.0, source.told.alone_mm - out.planned_mm));
            squares += adds.back() * adds.back();
        }
        for (std::size_t j = 0; j < sources_.size(); ++j) {
            sources_[j].told.share = squares > 0.0 ? adds[j] * adds[j] / squares : 0.0;
            out.sources.push_back(sources_[j].told);
        }
        std::stable_sort(out.sources.begin(), out.sources.end(),
                         [](const ToleranceSource& a, const ToleranceSource& b) { return a.share > b.share; });
        out.squares_mm = out.planned_mm + std::sqrt(squares);
        out.sampled = sampled();
        out.worn_throughout_mm = wear(gap_of_wear(chain_, false));
        out.worn_between_mm = wear(gap_of_wear(chain_, true));
        const double most = out.sampled.samples > 0 ? out.sampled.most_mm : out.squares_mm;
        const double half = out.sampled.samples > 0 ? out.sampled.half_mm : out.planned_mm;
        out.closes = out.worst_mm <= out.limit_mm ? Closes::surely
                     : most <= out.limit_mm       ? Closes::most_likely
                     : half <= out.limit_mm       ? Closes::perhaps
                                                  : Closes::hardly;
        return out;
    }

  private:
    /// What remains once pushed together; where the pieces cannot be, the overlap counts as if it gaped.
    double left(std::span<const double> gap) {
        const SmallClosing closing = closer_.close(gap);
        if (!closing.found) return HUGE_VAL;
        return std::fmax(closing.largest_gap_mm, closing.overlap_mm);
    }

    template <typename Use>
    void at_its_limits(const ErrorSource& source, const Use& use) {
        if (source.pair()) {
            for (int d = 0; d < directions; ++d) {
                const Point w = source.high * geometry::unit(geometry::two_pi * d / directions);
                use(w.x, w.y);
            }
        } else {
            use(source.low, 0.0);
            use(source.high, 0.0);
        }
    }
    void set(std::vector<double>& gap, std::span<const double> from, const ErrorSource& source, double x, double y) {
        gap.assign(from.begin(), from.end());
        add(gap, source, x, y);
    }
    static void add(std::vector<double>& gap, const ErrorSource& source, double x, double y) {
        for (std::size_t i = 0; i < gap.size(); ++i) gap[i] += x * source.rows[0][i];
        if (source.pair())
            for (std::size_t i = 0; i < gap.size(); ++i) gap[i] += y * source.rows[1][i];
    }

    /// On the seam as planned.
    double alone(const ErrorSource& source) {
        double most = 0.0;
        at_its_limits(source, [&](double x, double y) {
            set(gap_, planned_, source, x, y);
            most = std::fmax(most, left(gap_));
        });
        return most;
    }
    /// On a seam that closes by itself; of a pair, for every direction.
    double worst_from_nothing(const ErrorSource& source) {
        const std::vector<double> nothing(planned_.size(), 0.0);
        double most = 0.0;
        at_its_limits(source, [&](double x, double y) {
            set(gap_, nothing, source, x, y);
            most = std::fmax(most, left(gap_));
        });
        return source.pair() ? most * round_off : most;
    }

    /// The next sample's gap, into gap_.
    void draw(Chance& chance) {
        gap_ = planned_;
        for (const ErrorSource& source : sources_) {
            const double u = chance();
            if (source.pair()) {
                const Point w = source.high * u * geometry::unit(geometry::two_pi * chance());
                add(gap_, source, w.x, w.y);
            } else {
                add(gap_, source, source.low + u * (source.high - source.low), 0.0);
            }
        }
    }

    Sampled sampled() {
        Sampled out;
        out.samples = wish_.samples;
        out.seed = wish_.seed;
        if (wish_.samples == 0) return out;
        Chance chance(wish_.seed);
        std::vector<std::pair<double, std::size_t>> gaps;
        gaps.reserve(wish_.samples);
        std::size_t within = 0;
        for (std::size_t n = 0; n < wish_.samples; ++n) {
            draw(chance);
            const SmallClosing closing = closer_.close(gap_);
            constexpr double apart_mm = 1e-6;
            if (closing.overlap_mm > apart_mm) ++out.not_together;
            const double remains = closing.found ? std::fmax(closing.largest_gap_mm, closing.overlap_mm) : HUGE_VAL;
            if (remains <= wish_.limit_mm) ++within;
            gaps.emplace_back(remains, n);
        }
        std::sort(gaps.begin(), gaps.end());
        const auto below = [&](double part) {
            const double rank = std::ceil(part * static_cast<double>(gaps.size())) - 1.0;
            return gaps[static_cast<std::size_t>(std::fmax(0.0, rank))];
        };
        out.half_mm = below(0.5).first;
        out.most_mm = below(0.95).first;
        out.largest_mm = gaps.back().first;
        // That one sample once more, for its shape.
        Chance again(wish_.seed);
        for (std::size_t n = 0; n <= below(0.95).second; ++n) draw(again);
        const SmallClosing closing = closer_.close(gap_);
        if (closing.found) out.most_gap_mm = closer_.after(gap_, closing);
        out.within_limit = static_cast<double>(within) / static_cast<double>(gaps.size());
        return out;
    }

    /// Convex in the wear, so that what closes is all wear up to a largest one.
    std::optional<double> wear(double gap_per_mm) {
        const auto closes = [&](double worn_mm) {
            gap_ = planned_;
            for (double& g : gap_) g += worn_mm * gap_per_mm;
            return left(gap_) <= wish_.limit_mm;
        };
        if (closes(most_wear_mm)) return std::nullopt;
        double good = 0.0, bad = most_wear_mm;
        if (!closes(good)) return 0.0;
        constexpr double fine_mm = 1e-5;
        while (bad - good > fine_mm) {
            const double middle = 0.5 * (good + bad);
            (closes(middle) ? good : bad) = middle;
        }
        return good;
    }

    const Chain& chain_;
    const ToleranceWish& wish_;
    SmallCloser closer_;
    std::vector<double> planned_;
    std::vector<ErrorSource> sources_;
    std::vector<double> gap_;
};

double judged(const Tolerance& t) {
    return t.sampled.samples > 0 ? t.sampled.most_mm : t.squares_mm;
}

}  // namespace

Tolerance tolerance_of(const Chain& chain, const shelf::Shelf& shelf, std::span<const SeamPlace> places, bool closed,
                       const ToleranceWish& wish, std::span<const double> planned_gap_mm) {
    check(wish, places, planned_gap_mm);
    return Study(chain, shelf, places, closed, wish, planned_gap_mm).tolerance();
}

std::vector<ToleranceAdvice> advice_on(const Tolerance& tolerance, const Chain& chain, const shelf::Shelf& shelf,
                                       std::span<const SeamPlace> places, bool closed, const ToleranceWish& wish,
                                       std::span<const double> planned_gap_mm) {
    using What = ToleranceAdvice::What;
    std::vector<ToleranceAdvice> out;
    const double now = judged(tolerance), matters = 0.1 * tolerance.limit_mm;
    const auto with = [&](const Accuracy& accuracy, const shelf::Shelf& tools) {
        ToleranceWish other = wish;
        other.accuracy = accuracy;
        return judged(tolerance_of(chain, tools, places, closed, other, planned_gap_mm));
    };
    const auto held = [&](Held how) {
        Accuracy accuracy = wish.accuracy;
        accuracy.held = how;
        return with(accuracy, shelf);
    };
    if (wish.accuracy.held == Held::one_way) {
        const double then = held(Held::end_for_end);
        if (then >= now + matters) out.push_back({What::do_not_turn, {}, now, then});
    } else {
        const double then = held(Held::one_way);
        if (then <= now - matters) out.push_back({What::hold_one_way, {}, now, then});
    }
    for (const ToleranceSource& source : tolerance.sources) {
        if (source.measured || (source.kind != Kind::cutter_size && source.kind != Kind::guide_size)) continue;
        constexpr double least_share = 0.02;
        if (source.share < least_share) continue;
        shelf::Shelf known = shelf;
        const auto measure = [&](auto& tools, auto diameter) {
            for (auto& tool : tools)
                if (tool.name == source.tool) (tool.*diameter).measured_mm = (tool.*diameter).nominal_mm;
        };
        measure(known.cutters, &shelf::Cutter::cutting);
        measure(known.guides, &shelf::Guide::outside);
        measure(known.bearings, &shelf::Bearing::outside);
        const double then = with(wish.accuracy, known);
        if (then <= now - matters) out.push_back({What::measure, source.tool, now, then});
    }
    // Grinding takes a few tenths off: told where that would open the seam beyond the limit.
    constexpr double ground_mm = 0.3;
    if (tolerance.worn_between_mm && *tolerance.worn_between_mm < ground_mm &&
        (!tolerance.worn_throughout_mm || *tolerance.worn_throughout_mm > *tolerance.worn_between_mm + 1e-4)) {
        out.push_back({What::copy_after_grinding,
                       {},
                       *tolerance.worn_between_mm,
                       tolerance.worn_throughout_mm.value_or(most_wear_mm)});
    }
    return out;
}

}  // namespace seamwright::seam
