#pragma once

#include <cstdint>

namespace seamwright::geometry::testing {

/// Small deterministic generator (splitmix64, public domain, from memory), so that a failing seed prints the same edge
/// everywhere.
class Seeded {
  public:
    explicit Seeded(std::uint64_t seed) : state_(seed) {}
    double unit() {
        state_ += 0x9E3779B97F4A7C15ULL;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
        z ^= z >> 31U;
        return static_cast<double>(z >> 11U) * 0x1.0p-53;
    }
    double between(double low, double high) { return low + (high - low) * unit(); }
    /// Sum of twelve: near enough to normal for bumps.
    double normal() {
        double sum = -6.0;
        for (int i = 0; i < 12; ++i) sum += unit();
        return sum;
    }

  private:
    std::uint64_t state_;
};

}  // namespace seamwright::geometry::testing
