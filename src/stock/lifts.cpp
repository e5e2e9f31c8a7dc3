#include "lifts.h"

#include <algorithm>

namespace seamwright::stock {
namespace {

constexpr Micrometres none = 2 * far_um;

/// The most by which `top` stands over `bottom`, entry by entry.
Micrometres most_over(const Micrometres* top, const Micrometres* bottom, std::int32_t count) {
    Micrometres most = -none;
    for (std::int32_t i = 0; i < count; ++i) most = std::max(most, top[i] - bottom[i]);
    return most;
}

Micrometres most_of(const std::vector<Micrometres>& one, const std::vector<Micrometres>& other, Micrometres sign = 1) {
    Micrometres most = -far_um;
    for (const auto* all : {&one, &other})
        for (const Micrometres value : *all) most = std::max(most, sign * value);
    return most;
}

Lifts::Range both(const Lifts::Range& a, const Lifts::Range& b) {
    return {std::min(a.least, b.least), std::max(a.most, b.most)};
}

}  // namespace

// For a shift in cell k, from k·cell to (k + 1)·cell, the lower body is looked at where one of its cells ends, m·cell
// from its left end: there the upper one is at most as low as anywhere over its cell m - k - 1, whatever the shift. The
// same the other way about. Where the bodies overlap by less than that, their end cells alone are compared: these
// overlap if anything does.
Lifts::Lifts(const Body& below, const Body& above) : fineness_(below.fineness) {
    const std::int32_t full_below = cell_of(below.length), full_above = cell_of(above.length);
    first_ = cell_of(-above.length - 1);
    const std::int32_t last = std::max(first_, cell_of(below.length));
    count_ = static_cast<std::size_t>(last - first_) + 1;
    tree_.resize(2 * count_);
    const auto ends_below = static_cast<std::int32_t>(below.top.size());
    const auto ends_above = static_cast<std::int32_t>(above.bottom.size());
    const Micrometres highest = most_of(below.top, below.cell_top) + most_of(above.bottom, above.cell_bottom, -1);
    for (std::int32_t k = first_; k <= last; ++k) {
        Micrometres lift = -none;
        const auto take_over = [&](const std::vector<Micrometres>& top, std::int32_t t,
                                   const std::vector<Micrometres>& bottom, std::int32_t b, std::int32_t to) {
            if (to <= t || lift == highest) return;
            // Straight bodies are at their most nearly everywhere.
            const std::int32_t half = (to - t) / 2;
            lift = std::max(lift, most_over(top.data() + t + half, bottom.data() + b + half, 1));
            if (lift == highest) return;
            lift = std::max(lift, most_over(top.data() + t, bottom.data() + b, to - t));
            compared_ += static_cast<std::uint64_t>(to - t);
        };
        const std::int32_t m = std::max(0, k + 1);
        take_over(below.top, m, above.cell_bottom, m - k - 1, std::min(ends_below, full_above + k + 1));
        const std::int32_t c = std::max(0, k);
        take_over(below.cell_top, c, above.bottom, c - k, std::min(full_below, ends_above + k));
        const auto take_ends = [&](std::int32_t of_below, std::int32_t of_above) {
            const auto b = static_cast<std::size_t>(of_below), a = static_cast<std::size_t>(of_above);
            if (b < below.cell_top.size() && a < above.cell_bottom.size())
                lift = std::max(lift, below.cell_top[b] - above.cell_bottom[a]);
        };
        if (k >= 0) {
            take_ends(k, 0);
        } else {
            take_ends(0, -k - 1);
        }
        tree_[count_ + static_cast<std::size_t>(k - first_)] = {lift, lift};
    }
    compared_ += count_;
    grow_tree();
}

Lifts::Lifts(std::span<const Lifts* const> several) : fineness_(several.front()->fineness_) {
    first_ = several.front()->first_;
    std::int32_t end = first_;
    for (const Lifts* one : several) {
        first_ = std::min(first_, one->first_);
        end = std::max(end, one->first_ + static_cast<std::int32_t>(one->count_));
    }
    count_ = static_cast<std::size_t>(end - first_);
    tree_.assign(2 * count_, {none, -none});
    for (const Lifts* one : several) {
        const auto by = static_cast<std::size_t>(one->first_ - first_);
        for (std::size_t k = 0; k < one->count_; ++k) {
            Range& into = tree_[count_ + by + k];
            into = both(into, one->tree_[one->count_ + k]);
        }
    }
    grow_tree();
}

void Lifts::grow_tree() {
    for (std::size_t i = count_; i-- > 1;) tree_[i] = both(tree_[2 * i], tree_[2 * i + 1]);
}

Lifts::Range Lifts::over(Micrometres from, Micrometres to) const {
    const std::int32_t low = std::max(cell_of(from) - first_, 0);
    // A cell holds both its ends.
    const std::int32_t high = std::min(cell_of(std::max(from, to - 1)) - first_, static_cast<std::int32_t>(count_) - 1);
    Range out{none, -none};
    if (low > high) return out;
    for (std::size_t l = count_ + static_cast<std::size_t>(low), h = count_ + static_cast<std::size_t>(high) + 1; l < h;
         l /= 2, h /= 2) {
        if (l % 2 == 1) out = both(out, tree_[l++]);
        if (h % 2 == 1) out = both(out, tree_[--h]);
    }
    return out;
}

Micrometres Lifts::end_of_cell(Micrometres shift) const {
    return (cell_of(shift) + 1) * cell();
}

}  // namespace seamwright::stock
