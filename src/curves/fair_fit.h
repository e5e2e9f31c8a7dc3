#pragma once

// Within the room: one fair fit, of a trace or of a drawn edge.

#include <cstdint>
#include <optional>
#include <span>
#include <variant>
#include <vector>

#include "curves/fair.h"
#include "edge_samples.h"
#include "fair_base.h"
#include "interior_point.h"

namespace seamwright::curves {

/// Why a trace or the settings for it cannot be used at all.
std::optional<FairProblem> refused_fit(std::span<const Point> trace, std::span<const double> weights,
                                       const FairSettings& settings);

/// Largest and mean offset, from the offsets.
void measure_offsets(FairCurve& curve);

class FairFit {
  public:
    FairFit(std::span<const Point> trace, std::span<const double> weights, const FairSettings& settings);
    /// A drawn edge: the band holds all along it, and steps are short only where the curve turns.
    FairFit(const Path& edge, const FairSettings& settings);

    /// A drawn edge that is one lap begins and ends here, beside its own ends.
    void join_at(Point joint);
    /// Pins are looked for on this stretch of the curve alone.
    void keep_pins_between(double from_mm, double to_mm) {
        pins_from_mm_ = from_mm;
        pins_to_mm_ = to_mm;
    }

    std::variant<FairCurve, FairProblem> run();

    /// Where along the drawn edge the points stand whose offsets the curve tells.
    const std::vector<double>& sampled_at_mm() const { return samples_.at_mm; }

  private:
    /// Neighbouring points of the trace together, at half-span spacing.
    struct Cell {
        std::size_t span = 0;
        double along = 0.0;   // mm from the start of the span
        double off = 0.0;     // mm
        double weight = 0.0;  // mean weight of its points
        double width = 0.0;   // mm of the curve it stands for
    };
    /// A place at which the band is asked for.
    struct BandPlace {
        std::size_t span = 0;
        double along = 0.0, off = 0.0;
        bool holds_left = true, holds_right = true;  // whether the band's left, right border matters here
    };
    struct Pinned {
        std::size_t pin = 0;
        Foot foot;
    };
    /// What a round allows beside the settings.
    struct Slack {
        double curvature = 1.0;  // times the tightest curvature
        double widen_mm = 0.0;   // added to the band and the pins' tolerances
    };
    struct Push {
        std::optional<std::size_t> pin;
        double at_mm, span_mm;  // along the curve; length of its span there
        Point place;
        Point way;  // unit vector: where the curve presses to
        double size;
        int sign;
    };

    bool has_radii() const;
    bool has_limits() const;
    std::optional<FairProblem> lay_first_base();
    void set_step_of_trace();
    bool lay_base(int coarser);
    std::optional<FairBase> straight_base() const;
    void look_from_base();
    void find_feet();
    bool add_samples();
    void gather_cells();
    void gather_edge_cells();
    void weigh_robustly();
    double cell_at(std::size_t i) const { return base_.at_mm[cells_[i].span] + cells_[i].along; }

    CurvatureBounds bounds(double slack) const;
    double least_tolerance_mm() const;
    BandProblem stated(const Slack& slack) const;
    void limit_curvature(BandProblem& problem, const BandRow& row, double now, double slack) const;
    void hold_end(BandProblem& problem, const OffsetSpline& spline, const FairEnd& end, std::size_t node,
                  double off_mm) const;
    double give_mm() const;
    double miss_mm() const;
    double kept_mm() const;
    BandAnswer solved(const BandProblem& problem, bool giving, bool rough);
    bool lay_anew(const std::vector<double>& x, double part, const CurvatureBounds& within);
    double largest_move_mm(const std::vector<double>& x) const;

    enum class Outcome { found, contradiction, stuck, no_way };
    Outcome straight_on();
    double excess() const;
    bool bring_within_radii();
    Outcome narrowest();
    Outcome narrow();
    bool bring_home(double widen_mm);
    void polish(double widen_mm);

    FairCurve result();
    void remember_pushes(const BandProblem& problem, const BandAnswer& answer);
    FairProblem contradiction();

    std::span<const Point> trace_;
    std::span<const double> weights_;
    const FairSettings& settings_;
    std::optional<DrawnEdge> edge_;
    EdgeSamples samples_;
    double step_mm_ = 1.0;   // of the spans; of a drawn edge the shortest
    double whole_mm_ = 0.0;  // length of the trace, without its jitter
    FairBase base_;
    int first_coarser_ = 0;  // the finest base that could be laid
    std::vector<Foot> feet_;
    std::vector<Cell> cells_;
    std::vector<BandPlace> places_;
    std::vector<std::uint8_t> stands_out_high_, stands_out_low_;  // for how many rounds more each sample counts so
    std::vector<Pinned> pinned_;
    std::vector<Push> pushes_;
    double widen_mm_ = 0.0;  // what the band and the pins lack
    double pins_from_mm_ = 0.0, pins_to_mm_ = HUGE_VAL;
    double trimmed_mm_ = 0.0;  // by how much the ends had to be moved in this round
    int rounds_ = 0;
    std::size_t work_ = 0;  ///< places looked at
    int steps_ = 0;
};

}  // namespace seamwright::curves
