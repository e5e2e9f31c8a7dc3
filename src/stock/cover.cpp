// The cheapest boards for a few items, set of items by set. Of every set of items and every board it is known or not
// whether the board holds the set. Over all sets that are not ruled out the cheapest cover of the items is found
// exactly, board by board over sets of items (dynamic programming over subsets, as for set covering; from memory): no
// way of placing costs less. The sets it is made of are looked at to the end; what is impossible is ruled out together
// with all sets that contain it, what is laid is laid together with all sets within it, and the cover is found anew:
// combinatorial Benders cuts (G. Codato, M. Fischetti, Oper. Res. 54 (2006) 756; from memory). It ends when the
// cheapest cover is made of laid sets only, or when the sets left open need more effort than there is.

#include "cover.h"

#include <algorithm>
#include <bit>
#include <cmath>

#include "one_board.h"

namespace seamwright::stock {
namespace {

using Set = std::uint32_t;  ///< of items, by their place in the list

constexpr double same_part = 1e-9;

class Cover {
  public:
    Cover(const Stock& stock, Packer& packer, const std::vector<std::size_t>& items, Dealt& best,
          std::uint64_t last_effort)
        : stock_(stock),
          packer_(packer),
          one_board_(stock, Fineness::coarse, packer.effort()),
          one_board_finely_(stock, Fineness::fine, packer.effort()),
          items_(items),
          best_(best),
          last_effort_(last_effort),
          full_((Set{1} << items.size()) - 1),
          boards_(stock.boards.size()) {
        std::sort(items_.begin(), items_.end());
        std::size_t dealt = 0;
        for (std::size_t b = 0; b < best_.size(); ++b) {
            best_cost_ += best_[b].empty() ? 0.0 : stock.cost[b];
            dealt += best_[b].size();
        }
        if (dealt < items_.size()) best_cost_ = HUGE_VAL;
    }

    double run() {
        for (std::size_t b = 0; b < boards_.size(); ++b) rule_out_by_loads(b);
        for (std::size_t b = 0; b < best_.size(); ++b)
            if (!best_[b].empty()) laid(b, set_of(best_[b]), *packer_.pack(b, best_[b], Packer::Care::much));
        look_at_small_sets();
        double least = 0.0;
        for (;;) {
            look_at_hopeful();
            least = std::min(best_cost_, cheapest(Which::possible).cost);
            if (!cheaper(least) || spent()) return least;
            // What stayed open is looked at again, longer and finely.
            if (most_steps_ >= enough_steps) return least;
            most_steps_ *= finely_ ? 16 : 8;
            finely_ = most_steps_ > steps_before_finely;
            for (Board& board : boards_) {
                board.changed = true;
                for (State& state : board.states)
                    if (state == State::given_up) state = State::unknown;
            }
        }
    }

  private:
    enum class State : std::uint8_t { unknown, laid, given_up, impossible };
    struct Board {
        std::vector<State> states;  ///< of every set
        bool changed = true;
        std::vector<Set> largest_possible, largest_hopeful, largest_laid;  ///< that lie in no other
        std::vector<std::pair<Set, std::vector<Lie>>> lies;
    };

    bool spent() const { return packer_.effort() >= last_effort_; }
    bool cheaper(double cost) const { return cost < best_cost_ * (1.0 - same_part); }
    std::vector<std::size_t> items_of(Set set) const {
        std::vector<std::size_t> out;
        for (std::size_t k = 0; k < items_.size(); ++k)
            if (set >> k & 1U) out.push_back(items_[k]);
        return out;
    }
    Set set_of(const std::vector<std::size_t>& items) const {
        Set out = 0;
        for (std::size_t k = 0; k < items_.size(); ++k)
            if (std::find(items.begin(), items.end(), items_[k]) != items.end()) out |= Set{1} << k;
        return out;
    }

    void rule_out_by_loads(std::size_t b) {
        Board& board = boards_[b];
        board.states.assign(std::size_t{full_} + 1, State::impossible);
        board.states[0] = State::laid;
        std::vector<std::size_t> chosen;
        const auto add = [&](const auto& self, Set set, std::size_t from) -> void {
            for (std::size_t k = from; k < items_.size(); ++k) {
                chosen.push_back(items_[k]);
                if (may_hold(stock_, b, chosen)) {
                    const Set with = set | Set{1} << k;
                    board.states[with] = State::unknown;
                    self(self, with, k + 1);
                }
                chosen.pop_back();
            }
        };
        add(add, 0, 0);
    }

    template <typename Visit>
    void with_more(Set set, const Visit& visit) const {
        const Set others = full_ & ~set;
        for (Set more = others;; more = (more - 1) & others) {
            visit(set | more);
            if (more == 0) return;
        }
    }

    void laid(std::size_t b, Set set, std::vector<Lie> lies) {
        Board& board = boards_[b];
        board.changed = true;
        board.lies.emplace_back(set, std::move(lies));
        for (Set part = set;; part = (part - 1) & set) {
            board.states[part] = State::laid;
            if (part == 0) return;
        }
    }
    void impossible(std::size_t b, Set set) {
        Board& board = boards_[b];
        if (board.states[set] == State::impossible) return;
        board.changed = true;
        with_more(set, [&](Set s) { board.states[s] = State::impossible; });
    }
    void give_up(std::size_t b, Set set) {
        Board& board = boards_[b];
        board.changed = true;
        with_more(set, [&](Set s) {
            if (board.states[s] == State::unknown) board.states[s] = State::given_up;
        });
    }

    void look(std::size_t b, Set set) {
        if (boards_[b].states[set] != State::unknown) return;
        const std::vector<std::size_t> items = items_of(set);
        OneBoard::Answer answer = (finely_ ? one_board_finely_ : one_board_).look(b, items, most_steps_, last_effort_);
        switch (answer.end) {
            case OneBoard::End::laid:
                laid(b, set, std::move(answer.lies));
                return;
            case OneBoard::End::impossible:
                impossible(b, set);
                if (answer.by_size_alone) impossible_on_smaller(b, set, items);
                return;
            default:
                break;
        }
        if (const auto* lies = finely_ ? nullptr : packer_.pack(b, items, Packer::Care::little)) {
            laid(b, set, *lies);
        } else {
            give_up(b, set);
        }
    }
    void impossible_on_smaller(std::size_t b, Set set, const std::vector<std::size_t>& items) {
        const shelf::Board& larger = stock_.boards[b];
        for (std::size_t s = 0; s < boards_.size(); ++s) {
            const shelf::Board& smaller = stock_.boards[s];
            if (smaller.length_mm > larger.length_mm || smaller.width_mm > larger.width_mm) continue;
            const bool alike = std::all_of(items.begin(), items.end(), [&](std::size_t i) {
                return stock_.needs[i].turn_of[s] == stock_.needs[i].turn_of[b];
            });
            if (alike) impossible(s, set);
        }
    }

    /// Every pair and every three, on the largest boards first: most of what is impossible shows there.
    void look_at_small_sets() {
        std::vector<std::size_t> order(boards_.size());
        for (std::size_t b = 0; b < order.size(); ++b) order[b] = b;
        std::stable_sort(order.begin(), order.end(),
                         [&](std::size_t p, std::size_t q) { return stock_.area_mm2[p] > stock_.area_mm2[q]; });
        for (const int size : {2, 3}) {
            for (const std::size_t b : order) {
                for (Set set = 1; set <= full_; ++set) {
                    if (spent()) return;
                    if (std::popcount(set) == size) look(b, set);
                }
            }
        }
    }

    enum class Which { possible, hopeful, laid };
    static bool counts(State state, Which which) {
        switch (which) {
            case Which::possible:
                return state != State::impossible;
            case Which::hopeful:
                return state == State::unknown || state == State::laid;
            default:
                return state == State::laid;
        }
    }
    std::vector<Set> largest(const Board& board, Which which) const {
        std::vector<Set> out;
        for (Set set = 1; set <= full_; ++set) {
            if (!counts(board.states[set], which)) continue;
            bool within = false;
            for (std::size_t k = 0; k < items_.size() && !within; ++k)
                within = (set >> k & 1U) == 0 && counts(board.states[set | Set{1} << k], which);
            if (!within) out.push_back(set);
        }
        return out;
    }
    const std::vector<Set>& largest(std::size_t b, Which which) const {
        const Board& board = boards_[b];
        if (which == Which::possible) return board.largest_possible;
        return which == Which::hopeful ? board.largest_hopeful : board.largest_laid;
    }
    void find_largest() {
        for (Board& board : boards_) {
            if (!board.changed) continue;
            board.changed = false;
            board.largest_possible = largest(board, Which::possible);
            board.largest_hopeful = largest(board, Which::hopeful);
            board.largest_laid = largest(board, Which::laid);
            packer_.effort() += full_ / 10;
        }
    }

    /// least[b][s]: of covering at least s with the boards before b.
    using Table = std::vector<std::vector<double>>;
    Table table(Which which, bool from_last) {
        find_largest();
        Table out(boards_.size() + 1, std::vector<double>(std::size_t{full_} + 1, HUGE_VAL));
        out[0][0] = 0.0;
        for (std::size_t n = 0; n < boards_.size(); ++n) {
            const std::size_t b = from_last ? boards_.size() - 1 - n : n;
            const auto& before = out[n];
            auto& now = out[n + 1];
            now = before;
            for (const Set held : largest(b, which))
                for (Set set = 1; set <= full_; ++set)
                    now[set] = std::min(now[set], before[set & ~held] + stock_.cost[b]);
            packer_.effort() += largest(b, which).size() * full_ / 100;
        }
        return out;
    }
    struct Cheapest {
        double cost = HUGE_VAL;
        std::vector<Set> sets;  ///< on each board
    };
    Cheapest cheapest(const Table& table, Which which) const {
        Cheapest out{table.back()[full_], std::vector<Set>(boards_.size(), 0)};
        if (!std::isfinite(out.cost)) return out;
        Set left = full_;
        for (std::size_t b = boards_.size(); b-- > 0;) {
            if (table[b][left] == table[b + 1][left]) continue;
            for (const Set held : largest(b, which)) {
                if (table[b][left & ~held] + stock_.cost[b] != table[b + 1][left]) continue;
                out.sets[b] = left & held;
                left &= ~held;
                break;
            }
        }
        return out;
    }
    Cheapest cheapest(Which which) { return cheapest(table(which, false), which); }

    void take(const Cheapest& cover) {
        if (!cheaper(cover.cost)) return;
        best_cost_ = cover.cost;
        for (std::size_t b = 0; b < boards_.size(); ++b) {
            best_[b] = items_of(cover.sets[b]);
            if (cover.sets[b] != 0) keep(b, cover.sets[b]);
        }
    }
    void keep(std::size_t b, Set set) {
        for (const auto& [whole, lies] : boards_[b].lies) {
            if ((set & ~whole) != 0) continue;
            std::vector<Lie> part;
            std::size_t at = 0;
            for (std::size_t k = 0; k < items_.size(); ++k) {
                if ((whole >> k & 1U) == 0) continue;
                if (set >> k & 1U) part.push_back(lies[at]);
                ++at;
            }
            packer_.keep(b, items_of(set), std::move(part));
            return;
        }
    }

    /// Looks at sets that cheap covers are made of until the cheapest that is not given up is laid.
    void look_at_hopeful() {
        while (!spent()) {
            const Table before = table(Which::hopeful, false);
            const double least = before.back()[full_];
            if (!cheaper(least)) return;
            take(cheapest(Which::laid));
            if (!cheaper(least)) return;
            const Table after = table(Which::hopeful, true);
            struct Candidate {
                double cost = 0.0;
                std::size_t board = 0;
                Set set = 0;
            };
            std::vector<Candidate> candidates;
            for (std::size_t b = 0; b < boards_.size(); ++b) {
                const auto& left = before[b];
                const auto& right = after[boards_.size() - 1 - b];
                for (const Set held : largest(b, Which::hopeful)) {
                    if (boards_[b].states[held] != State::unknown) continue;
                    double cost = HUGE_VAL;
                    const Set others = full_ & ~held;
                    for (Set part = others;; part = (part - 1) & others) {
                        cost = std::min(cost, left[part] + right[others & ~part]);
                        if (part == 0) break;
                    }
                    if (cheaper(cost + stock_.cost[b])) candidates.push_back({cost + stock_.cost[b], b, held});
                }
            }
            std::stable_sort(candidates.begin(), candidates.end(),
                             [](const Candidate& p, const Candidate& q) { return p.cost < q.cost; });
            if (candidates.empty()) return;
            const double up_to = least + 0.25 * (best_cost_ - least);
            for (std::size_t n = 0; n < candidates.size() && !spent(); ++n) {
                if (n > 0 && (candidates[n].cost > up_to || n >= most_at_once)) break;
                look(candidates[n].board, candidates[n].set);
            }
        }
    }
    static constexpr std::size_t most_at_once = 100;

    const Stock& stock_;
    Packer& packer_;
    OneBoard one_board_, one_board_finely_;
    std::vector<std::size_t> items_;
    Dealt& best_;
    double best_cost_ = 0.0;
    std::uint64_t last_effort_, most_steps_ = 200;
    bool finely_ = false;
    static constexpr std::uint64_t steps_before_finely = 2000, enough_steps = 3'000'000;
    Set full_;
    std::vector<Board> boards_;
};

}  // namespace

double cover(const Stock& stock, Packer& packer, const std::vector<std::size_t>& items, Dealt& best,
             std::uint64_t last_effort) {
    return Cover(stock, packer, items, best, last_effort).run();
}

}  // namespace seamwright::stock
