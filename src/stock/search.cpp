// Which item comes from which board. A first answer lays the items one by one, the largest first. Then the sets of
// boards are gone through from the cheapest up: a set that cannot hold the items by area and width is out for good, and
// of the others the first that is packed is the best there is, but for those before it that were given up.

#include "search.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>
#include <queue>

#include "cover.h"

namespace seamwright::stock {
namespace {

/// Sums of costs that differ by rounding are equal.
constexpr double same_part = 1e-9;

/// Sets of boards looked at, and steps spent on ruling one out.
constexpr std::size_t most_sets = 300'000;
constexpr std::uint64_t most_steps_each = 20'000, most_steps = 3'000'000;
constexpr std::uint64_t effort_before_cover = 100'000;

bool alike(const shelf::Board& a, const shelf::Board& b) {
    shelf::Board named = a;
    named.name = b.name;
    return named == b;
}

/// Items to boards of a set, one by one in the order given, as long as `holds` says of each board that it can hold what
/// it was given.
class Dealer {
  public:
    using Holds = std::function<bool(std::size_t board, const std::vector<std::size_t>& items)>;

    Dealer(const Stock& stock, std::vector<std::size_t> items, std::vector<std::size_t> boards, Holds holds)
        : stock_(stock),
          items_(std::move(items)),
          boards_(std::move(boards)),
          holds_(std::move(holds)),
          on_(stock.boards.size()) {
        for (const std::size_t i : items_) still_mm2_ += stock.needs[i].area_mm2;
        for (const std::size_t b : boards_) free_mm2_ += stock.area_mm2[b];
    }

    enum class End { dealt, impossible, gave_up };
    /// `go_on` is asked before every step.
    End deal(const std::function<bool()>& go_on) {
        if (!deal_from(0, go_on)) return gave_up_ ? End::gave_up : End::impossible;
        return End::dealt;
    }
    const std::vector<std::vector<std::size_t>>& on() const { return on_; }

  private:
    bool deal_from(std::size_t at, const std::function<bool()>& go_on) {
        if (at == items_.size()) return true;
        if (still_mm2_ > free_mm2_ * (1.0 + same_part)) return false;
        const std::size_t item = items_[at];
        const double area = stock_.needs[item].area_mm2;
        for (std::size_t k = 0; k < boards_.size(); ++k) {
            const std::size_t board = boards_[k];
            if (!stock_.needs[item].fits(board)) continue;
            // Of boards alike and still empty only the first.
            if (on_[board].empty() && empty_one_alike(k)) continue;
            if (!go_on()) {
                gave_up_ = true;
                return false;
            }
            auto& here = on_[board];
            here.insert(std::lower_bound(here.begin(), here.end(), item), item);
            still_mm2_ -= area;
            free_mm2_ -= area;
            if (holds_(board, here) && deal_from(at + 1, go_on)) return true;
            still_mm2_ += area;
            free_mm2_ += area;
            here.erase(std::find(here.begin(), here.end(), item));
            if (gave_up_) return false;
        }
        return false;
    }

    bool empty_one_alike(std::size_t k) const {
        for (std::size_t j = 0; j < k; ++j)
            if (on_[boards_[j]].empty() && alike(stock_.boards[boards_[j]], stock_.boards[boards_[k]])) return true;
        return false;
    }

    const Stock& stock_;
    std::vector<std::size_t> items_, boards_;
    Holds holds_;
    std::vector<std::vector<std::size_t>> on_;
    double still_mm2_ = 0.0, free_mm2_ = 0.0;
    bool gave_up_ = false;
};

/// Sets of boards by rising cost, each once.
class Sets {
  public:
    explicit Sets(const Stock& stock) : stock_(stock), order_(stock.boards.size()) {
        std::iota(order_.begin(), order_.end(), std::size_t{0});
        std::stable_sort(order_.begin(), order_.end(),
                         [&](std::size_t a, std::size_t b) { return stock.cost[a] < stock.cost[b]; });
        if (!order_.empty()) heap_.push({stock.cost[order_[0]], {0}});
    }
    struct Set {
        double cost = 0.0;
        std::vector<std::size_t> places;  ///< in order_, rising
        bool operator<(const Set& other) const {
            if (cost != other.cost) return cost > other.cost;  // the cheapest on top
            return places > other.places;
        }
    };
    bool empty() const { return heap_.empty(); }
    Set next() {
        Set top = heap_.top();
        heap_.pop();
        const std::size_t last = top.places.back();
        if (last + 1 < order_.size()) {
            Set more = top, other = top;
            more.places.push_back(last + 1);
            more.cost += stock_.cost[order_[last + 1]];
            other.places.back() = last + 1;
            other.cost += stock_.cost[order_[last + 1]] - stock_.cost[order_[last]];
            heap_.push(std::move(more));
            heap_.push(std::move(other));
        }
        return top;
    }
    std::vector<std::size_t> boards_of(const Set& set) const {
        std::vector<std::size_t> out;
        for (const std::size_t p : set.places) out.push_back(order_[p]);
        return out;
    }

  private:
    const Stock& stock_;
    std::vector<std::size_t> order_;
    std::priority_queue<Set> heap_;
};

/// Whether a set cannot hold the items even were each on the board that suits it best: by every measure, boards
/// counting alike and counting by their area.
bool overloaded(const Stock& stock, const std::vector<std::size_t>& items, const std::vector<std::size_t>& boards) {
    for (const bool by_area : {false, true}) {
        double whole = 0.0;
        for (const std::size_t b : boards) whole += by_area ? stock.area_mm2[b] : 1.0;
        Loads sum{};
        for (const std::size_t i : items) {
            for (std::size_t f = 0; f < count_of_loads; ++f) {
                double least = HUGE_VAL;
                for (const std::size_t b : boards) {
                    if (!stock.needs[i].fits(b)) continue;
                    least = std::min(least, stock.needs[i].loads[b][f] * (by_area ? stock.area_mm2[b] : 1.0));
                }
                sum[f] += least;
            }
        }
        for (const double load : sum)
            if (load > whole * (1.0 + same_part)) return true;
    }
    return false;
}

class Assigner {
  public:
    Assigner(const Stock& stock, Packer& packer, std::uint64_t most_effort)
        : stock_(stock),
          packer_(packer),
          most_effort_(most_effort),
          last_effort_(packer.effort() + most_effort),
          best_(stock.boards.size()) {
        for (std::size_t i = 0; i < stock.items.size(); ++i) {
            const auto& ways = stock.needs[i].ways;
            if (std::any_of(ways.begin(), ways.end(), [](const auto& w) { return !w.empty(); })) items_.push_back(i);
        }
        std::stable_sort(items_.begin(), items_.end(), [&](std::size_t a, std::size_t b) {
            if (stock.items[a].fixed.has_value() != stock.items[b].fixed.has_value())
                return stock.items[a].fixed.has_value();
            return stock.needs[a].area_mm2 > stock.needs[b].area_mm2;
        });
        for (const std::size_t i : items_) area_mm2_ += stock.needs[i].area_mm2;
    }

    Assignment assign() {
        Assignment out;
        out.board.resize(stock_.items.size());
        if (items_.empty()) return out;
        lay_one_by_one();
        const std::uint64_t last_effort = last_effort_;
        const bool few = items_.size() <= most_covered;
        // Easy ones are done sooner set by set.
        if (few) last_effort_ = std::min(last_effort_, packer_.effort() + effort_before_cover);
        if (all_laid()) search_sets();
        last_effort_ = last_effort;
        if (few && (!all_laid() || cheaper(least_)))
            least_ = std::max(least_, cover(stock_, packer_, items_, best_, last_effort_));
        for (std::size_t b = 0; b < best_.size(); ++b)
            for (const std::size_t i : best_[b]) out.board[i] = b;
        out.cost = cost_of(best_);
        // Where something is left out nothing is said of what the rest might cost.
        out.least_cost = all_laid() ? std::min(least_, out.cost) : 0.0;
        return out;
    }

  private:
    double cost_of(const Dealt& on) const {
        double cost = 0.0;
        for (std::size_t b = 0; b < on.size(); ++b) cost += on[b].empty() ? 0.0 : stock_.cost[b];
        return cost;
    }
    static std::size_t count(const Dealt& on) {
        std::size_t sum = 0;
        for (const auto& items : on) sum += items.size();
        return sum;
    }
    bool all_laid() const { return count(best_) == items_.size(); }
    double best_cost() const { return cost_of(best_); }
    bool cheaper(double cost) const { return cost < best_cost() * (1.0 - same_part); }

    /// The items one by one, the largest first, each to a started board or else to a new one: the cheapest, the one
    /// with the cheapest wood, or the largest.
    void lay_one_by_one() {
        const auto by_cost = [&](std::size_t b) { return stock_.cost[b]; };
        const auto by_wood = [&](std::size_t b) { return stock_.cost[b] / stock_.area_mm2[b]; };
        const auto by_size = [&](std::size_t b) { return -stock_.area_mm2[b]; };
        for (const auto care : {Packer::Care::little, Packer::Care::much}) {
            offer(one_by_one(by_cost, care));
            offer(one_by_one(by_wood, care));
            offer(one_by_one(by_size, care));
            if (all_laid()) return;
        }
    }
    void offer(Dealt on) {
        if (count(on) < count(best_) || (count(on) == count(best_) && !cheaper(cost_of(on)))) return;
        best_ = std::move(on);
    }
    template <typename Key>
    Dealt one_by_one(const Key& key, Packer::Care care) {
        Dealt on(stock_.boards.size());
        for (const std::size_t item : items_) {
            std::vector<std::size_t> boards;
            for (std::size_t b = 0; b < on.size(); ++b)
                if (stock_.needs[item].fits(b)) boards.push_back(b);
            std::stable_sort(boards.begin(), boards.end(), [&](std::size_t a, std::size_t b) {
                if (on[a].empty() != on[b].empty()) return on[b].empty();
                return key(a) < key(b);
            });
            for (const std::size_t b : boards) {
                auto with = on[b];
                with.insert(std::lower_bound(with.begin(), with.end(), item), item);
                if (packer_.pack(b, with, care) == nullptr) continue;
                on[b] = std::move(with);
                break;
            }
        }
        return on;
    }

    bool has_wood_enough(const std::vector<std::size_t>& boards) const {
        double has = 0.0;
        for (const std::size_t b : boards) has += stock_.area_mm2[b];
        if (has * (1.0 + same_part) < area_mm2_) return false;
        const bool serves = std::all_of(items_.begin(), items_.end(), [&](std::size_t i) {
            return std::any_of(boards.begin(), boards.end(), [&](std::size_t b) { return stock_.needs[i].fits(b); });
        });
        return serves && !overloaded(stock_, items_, boards);
    }

    /// True when no way of dealing the items to these boards is possible.
    bool ruled_out(const std::vector<std::size_t>& boards) {
        Dealer dealer(stock_, items_, boards,
                      [&](std::size_t b, const auto& items) { return may_hold(stock_, b, items); });
        const std::uint64_t stop = std::min(most_steps, steps_ + most_steps_each);
        const auto go_on = [&] {
            ++packer_.effort();
            ++steps_;
            return steps_ < stop && packer_.effort() < last_effort_;
        };
        return dealer.deal(go_on) == Dealer::End::impossible;
    }

    /// Takes the set where the items are packed on it.
    bool pack_on(const std::vector<std::size_t>& boards, Packer::Care care, std::uint64_t effort) {
        const std::uint64_t enough = std::min(last_effort_, packer_.effort() + effort);
        Dealer dealer(stock_, items_, boards, [&](std::size_t b, const auto& items) {
            return may_hold(stock_, b, items) && packer_.pack(b, items, care) != nullptr;
        });
        if (dealer.deal([&] { return ++packer_.effort() < enough; }) != Dealer::End::dealt) return false;
        offer(dealer.on());
        return true;
    }

    /// From the cheapest set up. Finds the bound, and tries each set that is not ruled out.
    void search_sets() {
        bool bounded = false, first = true;
        Sets sets(stock_);
        for (std::size_t n = 0; !sets.empty(); ++n) {
            const Sets::Set set = sets.next();
            packer_.effort() += items_.size();
            const bool at_end = !cheaper(set.cost) || n >= most_sets || packer_.effort() >= last_effort_;
            if (at_end && !bounded) least_ = std::min(set.cost, best_cost());
            if (at_end) return;
            const auto boards = sets.boards_of(set);
            if (!has_wood_enough(boards) || ruled_out(boards)) continue;
            if (!bounded) least_ = set.cost;
            bounded = true;
            // The first that may do is worth the most: were it packed, it would be the best there is.
            if (pack_on(boards, Packer::Care::little, most_effort_ / 20)) return;
            if (first && pack_on(boards, Packer::Care::much, most_effort_ / 4)) return;
            if (first) improve();
            first = false;
        }
        if (!bounded) least_ = best_cost();
    }

    /// Sets near the best so far: without one board or two, with another in their place; those with most wood to spare
    /// first. As long as one is found.
    void improve() {
        for (bool found = true; found && packer_.effort() < last_effort_;) {
            found = false;
            for (const auto& boards : sets_near()) {
                if (packer_.effort() >= last_effort_) return;
                if (!has_wood_enough(boards) || ruled_out(boards)) continue;
                if (!pack_on(boards, Packer::Care::little, most_effort_ / 100)) continue;
                found = true;
                break;
            }
        }
    }
    std::vector<std::vector<std::size_t>> sets_near() const {
        std::vector<std::size_t> now, others;
        for (std::size_t b = 0; b < best_.size(); ++b) (best_[b].empty() ? others : now).push_back(b);
        struct Near {
            double spare = 0.0;
            std::vector<std::size_t> boards;
        };
        std::vector<Near> near;
        const auto add = [&](std::vector<std::size_t> boards) {
            double cost = 0.0, has = 0.0;
            for (const std::size_t b : boards) {
                cost += stock_.cost[b];
                has += stock_.area_mm2[b];
            }
            if (cheaper(cost) && has >= area_mm2_) near.push_back({has, std::move(boards)});
        };
        const auto without = [&](std::size_t i, std::size_t j) {
            std::vector<std::size_t> out;
            for (std::size_t k = 0; k < now.size(); ++k)
                if (k != i && k != j) out.push_back(now[k]);
            return out;
        };
        for (std::size_t i = 0; i < now.size(); ++i) {
            for (std::size_t j = i; j < now.size(); ++j) {
                const auto rest = without(i, j);
                add(rest);
                for (std::size_t x = 0; x < others.size(); ++x) {
                    auto one = rest;
                    one.push_back(others[x]);
                    add(one);
                    for (std::size_t y = x + 1; y < others.size() && j > i; ++y) {
                        auto two = one;
                        two.push_back(others[y]);
                        add(std::move(two));
                    }
                }
            }
        }
        std::stable_sort(near.begin(), near.end(), [](const Near& a, const Near& b) { return a.spare > b.spare; });
        std::vector<std::vector<std::size_t>> out;
        for (Near& n : near) out.push_back(std::move(n.boards));
        return out;
    }

    const Stock& stock_;
    Packer& packer_;
    std::uint64_t most_effort_, last_effort_, steps_ = 0;
    std::vector<std::size_t> items_;  ///< that go anywhere at all, the largest first
    double area_mm2_ = 0.0, least_ = 0.0;
    Dealt best_;
};

}  // namespace

Assignment assign(const Stock& stock, Packer& packer, std::uint64_t most_effort) {
    return Assigner(stock, packer, most_effort).assign();
}

}  // namespace seamwright::stock
