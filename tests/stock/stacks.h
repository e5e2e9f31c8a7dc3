#pragma once

// Boards and pieces for the tests of placing.

#include <gtest/gtest.h>

#include <random>
#include <string>
#include <vector>

#include "stock/placing.h"

namespace seamwright::stock {

inline shelf::Board board(std::string name, double length, double width, std::string species = "Walnut, black") {
    shelf::Board b;
    b.name = std::move(name);
    b.species = std::move(species);
    b.length_mm = length;
    b.width_mm = width;
    b.thickness_mm = 30.0;
    return b;
}

inline Item item(std::string name, Path shape, double margin = 0.0) {
    Item i;
    i.name = std::move(name);
    i.species = "Walnut, black";
    i.shape = std::move(shape);
    i.margin_mm = margin;
    i.thickness_mm = 26.0;
    return i;
}

inline Path rectangle(double length, double width) {
    return geometry::rectangle({0.0, 0.0}, {length, width});
}

/// Every lie is looked at exactly, whatever the solver believes.
inline void expect_good(const Placing& placing, const std::vector<Item>& items, const std::vector<shelf::Board>& boards,
                        const Settings& settings) {
    for (std::size_t i = 0; i < items.size(); ++i) {
        for (const Fault& f : faults_of(i, items, placing.lies, boards, settings)) {
            ADD_FAILURE() << items[i].name << " fault " << static_cast<int>(f.kind) << " with " << f.other << " by "
                          << f.by_mm << " at " << f.at.x << ", " << f.at.y;
        }
    }
    EXPECT_LE(placing.least_cost, placing.cost * (1.0 + 1e-9));
}

/// Whole numbers from `low` to `high`, the same on every machine.
class Pick {
  public:
    explicit Pick(unsigned seed) : random_(seed) {}
    double operator()(int low, int high) {
        return low + static_cast<int>(whole(static_cast<unsigned>(high - low + 1)));
    }
    unsigned whole(unsigned below) { return static_cast<unsigned>(random_() % below); }
    std::mt19937& random() { return random_; }

  private:
    std::mt19937 random_;
};

}  // namespace seamwright::stock
