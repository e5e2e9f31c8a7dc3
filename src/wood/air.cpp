#include "wood/air.h"

#include <algorithm>
#include <array>
#include <stdexcept>
#include <string>

#include "embedded/emc_coefficients_csv.h"
#include "shelf/table.h"

namespace seamwright::wood {
namespace {

/// a + b T + c T² for W, K, K₁ and K₂.
using Polynomial = std::array<double, 3>;
struct Coefficients {
    Polynomial w{}, k{}, k1{}, k2{};
};

const Coefficients& coefficients() {
    static const Coefficients all = [] {
        const shelf::Table table = shelf::built_in_table("data/emc_coefficients.csv", embedded::emc_coefficients_csv());
        const auto polynomial = [&](const std::string& parameter) {
            for (const std::size_t row : table.rows_where("form", "celsius")) {
                if (table.cell(row, "parameter") != parameter) continue;
                const auto a = table.number(row, "a"), b = table.number(row, "b"), c = table.number(row, "c");
                if (a && b && c) return Polynomial{*a, *b, *c};
            }
            throw std::logic_error("data/emc_coefficients.csv: no " + parameter);
        };
        return Coefficients{polynomial("W"), polynomial("K"), polynomial("K1"), polynomial("K2")};
    }();
    return all;
}

double at(const Polynomial& p, double t) {
    return p[0] + t * (p[1] + t * p[2]);
}

}  // namespace

double moisture_at_rest(double celsius, double humidity_percent) {
    const Coefficients& c = coefficients();
    const double t = std::clamp(celsius, coldest_c, warmest_c);
    const double kh = at(c.k, t) * std::clamp(humidity_percent, driest_percent, dampest_percent) / 100.0;
    const double once = at(c.k1, t) * kh;
    const double twice = once * at(c.k2, t) * kh;
    return 1800.0 / at(c.w, t) * (kh / (1.0 - kh) + (once + 2.0 * twice) / (1.0 + once + twice));
}

double humidity_for(double celsius, double moisture_percent) {
    // It rises with humidity throughout.
    double low = driest_percent, high = dampest_percent;
    constexpr int halvings = 60;
    for (int i = 0; i < halvings; ++i) {
        const double middle = 0.5 * (low + high);
        (moisture_at_rest(celsius, middle) < moisture_percent ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace seamwright::wood
