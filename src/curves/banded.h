#pragma once

// Within the room: symmetric matrices with three diagonals beside the main one, as every smoothing by third
// differences and every cubic spline gives them.

#include <array>
#include <cstddef>
#include <vector>

namespace seamwright::curves {

/// A row with at most four neighbouring entries: first, first + 1, first + 2, first + 3.
struct BandRow {
    std::size_t first = 0;
    std::array<double, 4> at{};

    double times(const std::vector<double>& x) const {
        return at[0] * x[first] + at[1] * x[first + 1] + at[2] * x[first + 2] + at[3] * x[first + 3];
    }
    /// y += factor · this
    void add_to(std::vector<double>& y, double factor) const {
        for (std::size_t k = 0; k < 4; ++k) y[first + k] += factor * at[k];
    }
};

class BandMatrix {
  public:
    explicit BandMatrix(std::size_t size = 0) : below_(size) {}

    std::size_t size() const { return below_.size(); }
    /// Adds factor · row rowᵀ.
    void add(const BandRow& row, double factor) {
        for (std::size_t i = 0; i < 4; ++i) {
            const double scaled = factor * row.at[i];
            for (std::size_t k = 0; k <= i; ++k) below_[row.first + i][k] += scaled * row.at[i - k];
        }
    }
    void add_diagonal(double value) {
        for (auto& row : below_) row[0] += value;
    }
    void scale(double factor) {
        for (auto& row : below_) {
            for (double& v : row) v *= factor;
        }
    }
    std::vector<double> times(const std::vector<double>& x) const;

  private:
    friend class BandFactor;
    std::vector<std::array<double, 4>> below_;  // below_[i][k] = M(i, i − k)
};

/// M = L D Lᵀ of a positive definite band matrix (G. Golub, C. Van Loan, Matrix Computations, 4.3: no fill outside the
/// band, no pivoting needed).
class BandFactor {
  public:
    explicit BandFactor(const BandMatrix& matrix);

    /// False where a pivot was lost to rounding: the matrix is not safely positive definite.
    bool is_definite() const { return definite_; }
    void solve(std::vector<double>& x) const;

  private:
    std::vector<std::array<double, 4>> below_;  // [0]: 1 / D, [k]: L(i, i − k)
    bool definite_ = true;
};

}  // namespace seamwright::curves
