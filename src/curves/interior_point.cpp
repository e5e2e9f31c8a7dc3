// The interior point method for banded problems.
//
// Each finite side of a limit is one constraint σ (a·x) + e t − b = s >= 0 with a multiplier z >= 0 (e = 1 where the
// limit may give by t, else 0). With D = diag(z/s), Newton's step on the optimality conditions comes down to
//
//     [ H + AᵀDA   AᵀDe       ] [dx]
//     [ eᵀDA       eᵀDe + z/s ] [dt] = right side,
//
// whose upper left block has the band of H. The last row and column are there only when the limits may give; they cost
// one more solve with the same factors.
//
// Scaling. The objective is divided by the largest entry of its gradient at the start, so that multipliers are of order
// one; lengths come scaled by the spacing of the nodes. All stopping rules are relative to what they compare.

#include "interior_point.h"

#include <algorithm>

namespace seamwright::curves {

namespace {

/// Steps never reach the border: this part of the way to it.
constexpr double most_of_the_way = 0.995;
/// Six to twenty steps are usual.
constexpr int most_steps = 150;
/// A rough answer may be this many times worse than a settled one.
constexpr double rough_merit = 1e4;
/// So many steps without gain mean rounding, or that there is nothing to find. Widening goes through long quiet
/// stretches while the pushes sort themselves out.
constexpr int most_without_gain = 30;
/// Limits narrower than this stand for equations; they say nothing about the size of slacks.
constexpr double held_width = 1e-5;
/// Size of slacks where all limits are open to one side, or are equations.
constexpr double usual_width = 1e-2;
/// Complementarity at the end, as part of (multiplier of order one) x (width of the narrowest limit).
constexpr double settled_gap = 1e-11;
/// Where rounding stops the steps earlier, this is still an answer.
constexpr double acceptable_gap = 1e-8;
/// How far limits may be missed, as part of the narrowest limit that is no equation.
constexpr double settled_miss = 1e-10;
constexpr double acceptable_miss = 1e-7;
/// Rest of the gradient, where it started from one.
constexpr double settled_gradient = 1e-9;
constexpr double acceptable_gradient = 1e-5;
/// The price of widening the limits, where the gradient of the objective starts from one. Beyond every multiplier met
/// in practice, so that the widening comes out smallest and the objective only decides between equals.
constexpr double price_of_giving = 1e6;

class Method {
  public:
    Method(const BandProblem& problem, bool giving, bool rough)
        : p_(problem), giving_(giving), enough_(rough ? rough_merit : 1.0) {
        scale_ = 0.0;
        for (const double v : p_.g) scale_ = std::fmax(scale_, std::abs(v));
        scale_ = scale_ > 0.0 ? 1.0 / scale_ : 1.0;
        for (std::size_t i = 0; i < p_.limits.size(); ++i) {
            const Limit& limit = p_.limits[i];
            const double give = giving_ && limit.may_give ? 1.0 : 0.0;
            if (std::isfinite(limit.low)) sides_.push_back({i, 1.0, limit.low, give});
            if (std::isfinite(limit.high)) sides_.push_back({i, -1.0, -limit.high, give});
            const double width = limit.high - limit.low;
            if (std::isfinite(width) && width > held_width) narrowest_ = std::fmin(narrowest_, width);
        }
        if (!std::isfinite(narrowest_)) narrowest_ = usual_width;
    }

    BandAnswer run() {
        const std::size_t n = p_.g.size();
        const std::size_t m = sides_.size();
        x_.assign(n, 0.0);
        if (m == 0) return without_limits();
        start();
        BandAnswer best;
        double best_merit = HUGE_VAL;
        int since_best = 0;
        int step = 0;
        for (; step < most_steps; ++step) {
            residuals();
            const double merit =
                std::fmax(gap_ / (settled_gap * narrowest_ * weight_),
                          std::fmax(miss_ / (settled_miss * narrowest_), gradient_ / (settled_gradient * weight_)));
            if (!std::isfinite(merit)) break;
            if (merit < best_merit) {
                best_merit = merit;
                best = answer(step);
                best.settled = merit <= enough_ ||
                               (gap_ <= acceptable_gap * narrowest_ * weight_ &&
                                miss_ <= acceptable_miss * narrowest_ && gradient_ <= acceptable_gradient * weight_);
                since_best = 0;
            } else if (++since_best > most_without_gain) {
                break;
            }
            if (merit <= enough_) break;
            if (!advance()) break;
        }
        best.steps = step;
        return best;
    }

  private:
    struct Side {
        std::size_t limit;
        double sign;
        double bound;  // sign times the limit
        double give;
    };

    BandAnswer without_limits() {
        BandAnswer out;
        out.x = p_.g;
        for (double& v : out.x) v = -v;
        const BandFactor factor(p_.H);
        factor.solve(out.x);
        // One round of refinement: the matrix of third differences loses up to ten digits.
        std::vector<double> rest = p_.H.times(out.x);
        for (std::size_t i = 0; i < rest.size(); ++i) rest[i] = -p_.g[i] - rest[i];
        factor.solve(rest);
        for (std::size_t i = 0; i < rest.size(); ++i) out.x[i] += rest[i];
        out.push_low.assign(p_.limits.size(), 0.0);
        out.push_high.assign(p_.limits.size(), 0.0);
        out.steps = 1;
        out.settled = factor.is_definite();
        return out;
    }

    double side_value(const Side& side, const std::vector<double>& x) const {
        return side.sign * p_.limits[side.limit].row.times(x);
    }
    /// Row times x for each limit: both of its sides share it.
    void values(const std::vector<double>& x) {
        value_.resize(p_.limits.size());
        for (std::size_t i = 0; i < value_.size(); ++i) value_[i] = p_.limits[i].row.times(x);
    }
    /// y += Aᵀ (what each limit gathered in `value_`)
    void add_values_to(std::vector<double>& y) const {
        for (std::size_t i = 0; i < value_.size(); ++i) p_.limits[i].row.add_to(y, value_[i]);
    }

    void start() {
        const std::size_t m = sides_.size();
        s_.resize(m);
        z_.resize(m);
        t_ = 0.0;
        weight_ = giving_ ? price_of_giving : 1.0;
        // Slacks of at least a fifth of the narrowest limit keep the first steps from starting at the border.
        const double least = 0.2 * narrowest_;
        double gap = 0.1 * narrowest_;
        if (giving_) {
            // Wide enough that every limit that may give has as much room again as the worst of them lacks. From there
            // the pushes, all of one size at first, sort themselves out on the way in.
            double lack = 0.0;
            std::size_t count = 0;
            for (const Side& side : sides_) {
                if (!(side.give > 0.0)) continue;
                lack = std::fmax(lack, side.bound - side_value(side, x_));
                ++count;
            }
            const double spread = std::fmax(lack, std::fmax(least, usual_width));
            t_ = lack + spread;
            gap = price_of_giving * spread / static_cast<double>(std::max<std::size_t>(count, 1));
            t_push_ = gap / t_;
        }
        for (std::size_t i = 0; i < m; ++i) {
            const Side& side = sides_[i];
            s_[i] = std::fmax(side_value(side, x_) + side.give * t_ - side.bound, least);
            z_[i] = gap / s_[i];
        }
    }

    void residuals() {
        const std::size_t m = sides_.size();
        rd_ = p_.H.times(x_);
        for (std::size_t i = 0; i < rd_.size(); ++i) rd_[i] = scale_ * (rd_[i] + p_.g[i]);
        rt_ = price_of_giving - t_push_;
        rp_.resize(m);
        gap_ = 0.0;
        miss_ = 0.0;
        values(x_);
        for (std::size_t i = 0; i < m; ++i) {
            const Side& side = sides_[i];
            rt_ -= side.give * z_[i];
            rp_[i] = side.sign * value_[side.limit] + side.give * t_ - side.bound - s_[i];
            miss_ = std::fmax(miss_, std::abs(rp_[i]));
            gap_ += s_[i] * z_[i];
        }
        value_.assign(p_.limits.size(), 0.0);
        for (std::size_t i = 0; i < m; ++i) value_[sides_[i].limit] -= sides_[i].sign * z_[i];
        add_values_to(rd_);
        if (giving_) gap_ += t_ * t_push_;
        gap_ /= static_cast<double>(m + (giving_ ? 1 : 0));
        gradient_ = giving_ ? std::abs(rt_) : 0.0;
        for (const double v : rd_) gradient_ = std::fmax(gradient_, std::abs(v));
    }

    /// Solves for a direction, given s z + (change) = target: rc holds s z − target.
    void direction(const BandFactor& factor, const BandMatrix& matrix, const std::vector<double>& rc, double rct) {
        const std::size_t m = sides_.size();
        std::vector<double> right(x_.size());
        for (std::size_t i = 0; i < right.size(); ++i) right[i] = -rd_[i];
        double right_t = -rt_;
        value_.assign(p_.limits.size(), 0.0);
        for (std::size_t i = 0; i < m; ++i) {
            const Side& side = sides_[i];
            const double q = (rc[i] + z_[i] * rp_[i]) / s_[i];
            value_[side.limit] -= side.sign * q;
            right_t -= side.give * q;
        }
        add_values_to(right);
        dx_ = right;
        factor.solve(dx_);
        std::vector<double> rest = matrix.times(dx_);
        for (std::size_t i = 0; i < rest.size(); ++i) rest[i] = right[i] - rest[i];
        factor.solve(rest);
        for (std::size_t i = 0; i < rest.size(); ++i) dx_[i] += rest[i];
        dt_ = 0.0;
        if (giving_) {
            right_t -= rct / t_;
            double vx = 0.0;
            double vy = 0.0;
            for (std::size_t i = 0; i < dx_.size(); ++i) {
                vx += border_[i] * dx_[i];
                vy += border_[i] * border_solved_[i];
            }
            dt_ = (right_t - vx) / std::fmax(corner_ - vy, 1e-14 * corner_);
            for (std::size_t i = 0; i < dx_.size(); ++i) dx_[i] -= dt_ * border_solved_[i];
            dt_push_ = -(rct + t_push_ * dt_) / t_;
        }
        ds_.resize(m);
        dz_.resize(m);
        values(dx_);
        for (std::size_t i = 0; i < m; ++i) {
            ds_[i] = sides_[i].sign * value_[sides_[i].limit] + sides_[i].give * dt_ + rp_[i];
            dz_[i] = -(rc[i] + z_[i] * ds_[i]) / s_[i];
        }
    }

    struct Reach {
        double primal = 1.0, dual = 1.0;
    };
    Reach reach() const {
        Reach out;
        for (std::size_t i = 0; i < s_.size(); ++i) {
            if (ds_[i] < 0.0) out.primal = std::fmin(out.primal, -s_[i] / ds_[i]);
            if (dz_[i] < 0.0) out.dual = std::fmin(out.dual, -z_[i] / dz_[i]);
        }
        if (giving_) {
            if (dt_ < 0.0) out.primal = std::fmin(out.primal, -t_ / dt_);
            if (dt_push_ < 0.0) out.dual = std::fmin(out.dual, -t_push_ / dt_push_);
        }
        // Quadratic problems need one common length.
        out.primal = out.dual = std::fmin(out.primal, out.dual);
        return out;
    }

    bool advance() {
        const std::size_t m = sides_.size();
        BandMatrix matrix = p_.H;
        matrix.scale(scale_);
        border_.assign(giving_ ? x_.size() : 0, 0.0);
        corner_ = giving_ ? t_push_ / t_ : 0.0;
        value_.assign(p_.limits.size(), 0.0);
        for (std::size_t i = 0; i < m; ++i) {
            const Side& side = sides_[i];
            const double d = z_[i] / s_[i];
            value_[side.limit] += d;
            if (side.give > 0.0) {
                p_.limits[side.limit].row.add_to(border_, side.sign * d);
                corner_ += d;
            }
        }
        for (std::size_t i = 0; i < value_.size(); ++i) matrix.add(p_.limits[i].row, value_[i]);
        const BandFactor factor(matrix);
        if (!factor.is_definite()) return false;
        if (giving_) {
            border_solved_ = border_;
            factor.solve(border_solved_);
        }
        std::vector<double> rc(m);
        for (std::size_t i = 0; i < m; ++i) rc[i] = s_[i] * z_[i];
        direction(factor, matrix, rc, t_ * t_push_);
        const Reach far = reach();
        double ahead = 0.0;
        for (std::size_t i = 0; i < m; ++i) ahead += (s_[i] + far.primal * ds_[i]) * (z_[i] + far.dual * dz_[i]);
        if (giving_) ahead += (t_ + far.primal * dt_) * (t_push_ + far.dual * dt_push_);
        ahead /= static_cast<double>(m + (giving_ ? 1 : 0));
        const double ratio = ahead / gap_;
        const double target = ratio * ratio * ratio * gap_;
        for (std::size_t i = 0; i < m; ++i) rc[i] = s_[i] * z_[i] + ds_[i] * dz_[i] - target;
        direction(factor, matrix, rc, t_ * t_push_ + dt_ * dt_push_ - target);
        const Reach go = reach();
        const double a = std::fmin(1.0, most_of_the_way * go.primal);
        const double b = std::fmin(1.0, most_of_the_way * go.dual);
        if (!std::isfinite(a) || !std::isfinite(b)) return false;
        for (std::size_t i = 0; i < x_.size(); ++i) x_[i] += a * dx_[i];
        for (std::size_t i = 0; i < m; ++i) {
            s_[i] += a * ds_[i];
            z_[i] += b * dz_[i];
        }
        if (giving_) {
            t_ += a * dt_;
            t_push_ += b * dt_push_;
        }
        constexpr double no_progress = 1e-10;
        return std::fmax(a, b) > no_progress;
    }

    BandAnswer answer(int step) const {
        BandAnswer out;
        out.x = x_;
        out.give = giving_ ? t_ : 0.0;
        out.push_low.assign(p_.limits.size(), 0.0);
        out.push_high.assign(p_.limits.size(), 0.0);
        const double unit = giving_ ? 1.0 / price_of_giving : 1.0 / scale_;
        for (std::size_t i = 0; i < sides_.size(); ++i) {
            auto& push = sides_[i].sign > 0.0 ? out.push_low : out.push_high;
            push[sides_[i].limit] = unit * z_[i];
        }
        out.steps = step;
        return out;
    }

    const BandProblem& p_;
    bool giving_;
    double enough_;
    double scale_ = 1.0;
    double weight_ = 1.0;  // size of the multipliers
    double narrowest_ = HUGE_VAL;
    std::vector<Side> sides_;
    std::vector<double> x_, s_, z_, dx_, ds_, dz_, rd_, rp_, border_, border_solved_;
    std::vector<double> value_;  // scratch, one for each limit
    double t_ = 0.0, t_push_ = 0.0, dt_ = 0.0, dt_push_ = 0.0, rt_ = 0.0, corner_ = 0.0;
    double gap_ = 0.0, miss_ = 0.0, gradient_ = 0.0;
};

}  // namespace

BandAnswer solve(const BandProblem& problem, bool rough) {
    return Method(problem, false, rough).run();
}

BandAnswer solve_giving(const BandProblem& problem) {
    return Method(problem, true, false).run();
}

}  // namespace seamwright::curves
