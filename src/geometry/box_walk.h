#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <vector>

#include "arc_sector.h"
#include "geometry/segment.h"

// Boxes over a sequence that is already ordered in space, and the walks over them. See path_index.cpp for why no
// sorting is needed.

namespace seamwright::geometry {

/// Items under one lowest box, and boxes under one box above. Four makes the walk deeper, sixteen tests more boxes than
/// it saves (measured within 10 % of each other on traced edges).
inline constexpr std::size_t box_fan = 8;

/// levels[0]: one box per run of items; each next: one box per run of boxes; the last holds one box.
using BoxLevels = std::vector<std::vector<Box>>;

/// A box that holds the segment, without trigonometry: flat arcs by their rise, others by their extreme points.
inline Box holding_box(const Segment& s) {
    constexpr double flat_sweep = 0.5;
    if (s.is_arc() && std::abs(s.sweep_rad) > flat_sweep) return bounding_box(s);
    Box box;
    box.add(s.start);
    box.add(s.end);
    // Rise = radius (1 − cos(sweep / 2)) <= radius sweep² / 8.
    return s.is_line() ? box : box.grown(0.125 * s.radius_mm * s.sweep_rad * s.sweep_rad);
}

template <class BoxOf>
BoxLevels build_boxes(std::size_t count, BoxOf box_of) {
    BoxLevels levels;
    std::vector<Box> lowest;
    lowest.reserve(count / box_fan + 1);
    for (std::size_t i = 0; i < count; i += box_fan) {
        Box box;
        const std::size_t stop = std::min(i + box_fan, count);
        for (std::size_t k = i; k < stop; ++k) box.add(box_of(k));
        lowest.push_back(box);
    }
    levels.push_back(std::move(lowest));
    while (levels.back().size() > 1) {
        const std::vector<Box>& below = levels.back();
        std::vector<Box> above;
        above.reserve(below.size() / box_fan + 1);
        for (std::size_t i = 0; i < below.size(); i += box_fan) {
            Box box;
            const std::size_t stop = std::min(i + box_fan, below.size());
            for (std::size_t k = i; k < stop; ++k) box.add(below[k]);
            above.push_back(box);
        }
        levels.push_back(std::move(above));
    }
    return levels;
}

/// Room for any walk: at most box_fan nodes wait on each level, and 24 levels of eight hold more items than memory.
inline constexpr std::size_t walk_room = box_fan * 24;

struct BoxNode {
    std::size_t level;
    std::size_t index;
};

/// Calls item(i) for every item i >= first whose run's box meets `box`, in order.
template <class Item>
void walk_boxes(const BoxLevels& levels, std::size_t count, const Box& box, std::size_t first, Item item) {
    if (count == 0) return;
    std::array<BoxNode, walk_room> stack;
    std::array<std::size_t, 24> items_under{};
    items_under[0] = box_fan;
    for (std::size_t l = 1; l < levels.size(); ++l) items_under[l] = items_under[l - 1] * box_fan;
    std::size_t size = 0;
    stack[size++] = {levels.size() - 1, 0};
    while (size > 0) {
        const BoxNode node = stack[--size];
        if ((node.index + 1) * items_under[node.level] <= first) continue;
        if (!levels[node.level][node.index].meets(box)) continue;
        if (node.level == 0) {
            const std::size_t stop = std::min((node.index + 1) * box_fan, count);
            for (std::size_t i = std::max(node.index * box_fan, first); i < stop; ++i) item(i);
            continue;
        }
        const std::size_t stop = std::min((node.index + 1) * box_fan, levels[node.level - 1].size());
        // Pushed last first, so that items come in order.
        for (std::size_t k = stop; k > node.index * box_fan; --k) stack[size++] = {node.level - 1, k - 1};
    }
}

/// Calls pair(i, j) for every two items i < j whose runs' boxes meet. Each pair of runs is looked at once from above,
/// so that neighbours, which always meet, do not each walk down from the top.
template <class Pair>
void walk_box_pairs(const BoxLevels& levels, std::size_t count, Pair pair) {
    if (count == 0) return;
    struct Two {
        std::size_t level, a, b;
    };
    std::vector<Two> stack{{levels.size() - 1, 0, 0}};
    while (!stack.empty()) {
        const Two two = stack.back();
        stack.pop_back();
        const std::size_t below = two.level == 0 ? count : levels[two.level - 1].size();
        const std::size_t a_stop = std::min((two.a + 1) * box_fan, below);
        const std::size_t b_stop = std::min((two.b + 1) * box_fan, below);
        for (std::size_t i = two.a * box_fan; i < a_stop; ++i) {
            const std::size_t from = two.a == two.b ? i : two.b * box_fan;
            if (two.level == 0) {
                for (std::size_t j = std::max(from, i + 1); j < b_stop; ++j) pair(i, j);
                continue;
            }
            const std::vector<Box>& boxes = levels[two.level - 1];
            for (std::size_t j = from; j < b_stop; ++j) {
                if (i == j || boxes[i].meets(boxes[j])) stack.push_back({two.level - 1, i, j});
            }
        }
    }
}

}  // namespace seamwright::geometry
