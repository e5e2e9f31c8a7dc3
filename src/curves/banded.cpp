#include "banded.h"

#include <algorithm>
#include <cmath>

namespace seamwright::curves {

std::vector<double> BandMatrix::times(const std::vector<double>& x) const {
    std::vector<double> y(x.size(), 0.0);
    for (std::size_t i = 0; i < x.size(); ++i) {
        y[i] += below_[i][0] * x[i];
        for (std::size_t k = 1; k <= std::min<std::size_t>(3, i); ++k) {
            y[i] += below_[i][k] * x[i - k];
            y[i - k] += below_[i][k] * x[i];
        }
    }
    return y;
}

BandFactor::BandFactor(const BandMatrix& matrix) : below_(matrix.below_) {
    // A pivot below this part of its diagonal entry is rounding. It is put back to that part: the direction it belongs
    // to is then hardly moved, which is what an interior point step can live with.
    constexpr double least_pivot = 1e-15;
    for (std::size_t i = 0; i < below_.size(); ++i) {
        const double whole = below_[i][0];
        const std::size_t reach = std::min<std::size_t>(3, i);
        // v[k] = L(i, i−k) · D(i−k), from the farthest column to the nearest.
        std::array<double, 4> v{};
        double pivot = whole;
        for (std::size_t k = reach; k >= 1; --k) {
            const std::size_t j = i - k;
            double sum = below_[i][k];
            for (std::size_t m = k + 1; m <= reach && m - k <= 3; ++m) sum -= v[m] * below_[j][m - k];
            v[k] = sum;
            const double l = sum * below_[j][0];
            pivot -= l * sum;
            below_[i][k] = l;
        }
        if (!(pivot > least_pivot * whole)) {
            definite_ = definite_ && std::isfinite(pivot) && whole > 0.0;
            pivot = whole > 0.0 ? least_pivot * whole : 1.0;
        }
        below_[i][0] = 1.0 / pivot;
    }
}

void BandFactor::solve(std::vector<double>& x) const {
    const std::size_t n = below_.size();
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t k = 1; k <= std::min<std::size_t>(3, i); ++k) x[i] -= below_[i][k] * x[i - k];
    }
    for (std::size_t i = 0; i < n; ++i) x[i] *= below_[i][0];
    for (std::size_t i = n; i-- > 0;) {
        for (std::size_t k = 1; k <= 3 && i + k < n; ++k) x[i] -= below_[i + k][k] * x[i + k];
    }
}

}  // namespace seamwright::curves
