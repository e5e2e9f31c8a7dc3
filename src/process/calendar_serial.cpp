// Serial placing: tasks come one after the other and each takes the first place where nothing it shares is over-used
// and what it needs is over. Which order? First by latest start (Kolisch 1996, from memory: the rule that does best for
// a single pass), then orders near the best one, by moving one task within what its neighbours allow.
//
// A window is the one rule that looks back: when a task comes too late after the one before, that one is told to start
// later and all is placed again. Its start only ever goes up, so this ends.

#include <algorithm>
#include <numeric>

#include "calendar_search.h"

namespace seamwright::process::calendar {
namespace {

// A task that has been sent back this often in one order will not find its place in it.
constexpr int most_rounds = 60;

// splitmix64 (public domain, from memory).
class Dice {
  public:
    int below(int n) {
        state_ += 0x9E3779B97F4A7C15ULL;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
        return static_cast<int>((z ^ (z >> 31U)) % static_cast<std::uint64_t>(n));
    }

  private:
    std::uint64_t state_ = 0;
};

/// How much of one thing is in use, step by step along the clock.
class Profile {
  public:
    void clear() { steps_.assign(1, {0, 0}); }
    /// When the first stretch in [from, until) with more than `most` in use ends; < 0: there is none.
    int blocked(int from, int until, int most) const {
        for (std::size_t k = step(from); k < steps_.size() && steps_[k].from < until; ++k)
            if (steps_[k].used > most) return steps_[k + 1].from;
        return -1;
    }
    void use(int from, int until, int count) {
        if (from >= until) return;
        const std::size_t first = cut(from), last = cut(until);
        for (std::size_t k = first; k < last; ++k) steps_[k].used += count;
    }

  private:
    struct Step {
        int from = 0, used = 0;
    };
    std::size_t step(int t) const {
        const auto after =
            std::upper_bound(steps_.begin(), steps_.end(), t, [](int time, const Step& s) { return time < s.from; });
        return static_cast<std::size_t>(after - steps_.begin()) - 1;
    }
    std::size_t cut(int t) {
        const std::size_t k = step(t);
        if (steps_[k].from == t) return k;
        steps_.insert(steps_.begin() + static_cast<std::ptrdiff_t>(k) + 1, {t, steps_[k].used});
        return k + 1;
    }
    std::vector<Step> steps_;
};

class Placer {
  public:
    explicit Placer(const Model& model)
        : model_(model), profiles_(model.there_is.size()), before_(model.works.size()), windows_(model.works.size()) {
        for (const Arc& arc : model.arcs) before_[at(arc.to)].push_back(arc);
        for (std::size_t w = 0; w < model.windows.size(); ++w) windows_[at(model.windows[w].to)].push_back(w);
    }

    /// Places all in this order; late_may[w]: that window may be missed. False: it does not end by `most`.
    bool place(const std::vector<int>& order, const std::vector<char>& late_may, int most, Found& found,
               std::uint64_t& effort) {
        most_ = most;
        held_until_.assign(model_.works.size(), 0);
        for (int round = 0; round < most_rounds; ++round) {
            const Outcome outcome = once(order, late_may, found, effort);
            if (outcome == Outcome::never) return false;
            if (outcome == Outcome::done) return true;
        }
        return false;
    }

  private:
    enum class Outcome { done, again, never };

    Outcome once(const std::vector<int>& order, const std::vector<char>& late_may, Found& found,
                 std::uint64_t& effort) {
        for (Profile& profile : profiles_) profile.clear();
        found.start.assign(model_.works.size(), 0);
        found.extra.assign(model_.works.size(), 0);
        end_.assign(model_.works.size(), 0);
        found.finish = 0;
        for (const int i : order) {
            ++effort;
            const Outcome outcome = one(i, late_may, found);
            if (outcome != Outcome::done) {
                found.finish = OpenHours::never;
                return outcome;
            }
            found.finish = std::max(found.finish, end_[at(i)] + model_.work(i).ready_wait);
            if (found.finish > most_) return Outcome::never;
        }
        return Outcome::done;
    }

    Outcome one(int i, const std::vector<char>& late_may, Found& found) {
        int from = held_until_[at(i)], extra = 0;
        for (const Arc& arc : before_[at(i)]) from = std::max(from, end_[at(arc.from)] + arc.lag);
        for (;;) {
            const int start = free_from(i, extra, from);
            if (start == OpenHours::never) return Outcome::never;
            bool grew = false;
            for (const std::size_t w : windows_[at(i)]) {
                const Window& window = model_.windows[w];
                const int by = end_[at(window.from)] + window.within;
                if (start <= by) continue;
                if (window.extra < 0 || !late_may[w]) {
                    const int later = model_.start_not_ending_before(window.from, found.extra[at(window.from)],
                                                                     start - window.within);
                    if (later == OpenHours::never) return Outcome::never;
                    held_until_[at(window.from)] = later;
                    return Outcome::again;
                }
                if (window.extra > extra) {
                    extra = window.extra;
                    from = std::max(from, by + 1);
                    grew = true;
                }
            }
            if (grew) continue;
            found.start[at(i)] = start;
            found.extra[at(i)] = extra;
            end_[at(i)] = model_.end_of(i, extra, start);
            for (const Use& use : model_.work(i).uses)
                profiles_[at(use.of)].use(start, end_[at(i)] + use.hold, use.count);
            return Outcome::done;
        }
    }

    int free_from(int i, int extra, int from) const {
        for (;;) {
            const int start = model_.start_from(i, extra, from);
            if (start == OpenHours::never) return start;
            const int end = model_.end_of(i, extra, start);
            if (end == OpenHours::never) return end;
            int blocked = -1;
            for (const Use& use : model_.work(i).uses)
                blocked = std::max(blocked, profiles_[at(use.of)].blocked(start, end + use.hold,
                                                                          model_.there_is[at(use.of)] - use.count));
            if (blocked < 0) return start;
            from = blocked;
        }
    }

    const Model& model_;
    std::vector<Profile> profiles_;
    std::vector<std::vector<Arc>> before_;
    std::vector<std::vector<std::size_t>> windows_;
    std::vector<int> held_until_, end_;
    int most_ = 0;
};

/// Tasks by `urgency`, lowest first, none before what it needs.
std::vector<int> in_order(const Model& model, const std::vector<int>& urgency) {
    std::vector<int> waiting_for(model.works.size(), 0), order;
    for (const Arc& arc : model.arcs) ++waiting_for[at(arc.to)];
    std::vector<int> free;
    for (int i = 0; i < model.count(); ++i)
        if (waiting_for[at(i)] == 0) free.push_back(i);
    while (!free.empty()) {
        const auto next = std::min_element(free.begin(), free.end(), [&](int a, int b) {
            return urgency[at(a)] != urgency[at(b)] ? urgency[at(a)] < urgency[at(b)] : a < b;
        });
        const int i = *next;
        free.erase(next);
        order.push_back(i);
        for (const Arc& arc : model.arcs)
            if (arc.from == i && --waiting_for[at(arc.to)] == 0) free.push_back(arc.to);
    }
    return order;
}

/// Moves one task to another place in the order, as far as what it needs and what needs it allow.
void shuffle(const Model& model, std::vector<int>& order, Dice& dice) {
    const int n = model.count(), k = dice.below(n), i = order[at(k)];
    int low = k, high = k;
    const auto tied = [&](int other, bool before) {
        return std::any_of(model.arcs.begin(), model.arcs.end(), [&](const Arc& arc) {
            return before ? arc.from == other && arc.to == i : arc.from == i && arc.to == other;
        });
    };
    while (low > 0 && !tied(order[at(low - 1)], true)) --low;
    while (high + 1 < n && !tied(order[at(high + 1)], false)) ++high;
    const int to = low + dice.below(high - low + 1);
    const auto begin = order.begin();
    if (to < k) std::rotate(begin + to, begin + k, begin + k + 1);
    if (to > k) std::rotate(begin + k, begin + k + 1, begin + to + 1);
}

}  // namespace

Found place_in_order(const Model& model, int enough, std::uint64_t until_effort, std::uint64_t& effort) {
    Placer placer(model);
    Net net(model);
    std::vector<int> latest = net.open_ends();
    std::vector<int> first = net.first_starts();
    const bool bounded = net.raise(first, latest) && net.lower(latest, first, net.finish(first));
    effort += net.effort;
    std::vector<int> order = in_order(model, bounded ? latest : first);
    std::vector<char> late_may(model.windows.size(), 0);
    Found best, tried;
    std::vector<int> best_order = order;
    std::vector<char> best_late = late_may;
    const auto attempt = [&] {
        // What is as good is taken too: it leads on from where nothing near is better.
        if (!placer.place(order, late_may, best.finish, tried, effort)) return;
        best = tried;
        best_order = order;
        best_late = late_may;
    };
    attempt();
    std::fill(late_may.begin(), late_may.end(), char{1});
    attempt();
    order = in_order(model, first);
    attempt();
    std::vector<std::size_t> choices;
    for (std::size_t w = 0; w < model.windows.size(); ++w)
        if (model.windows[w].extra >= 0) choices.push_back(w);
    Dice dice;
    while (effort < until_effort && best.finish > enough) {
        order = best_order;
        late_may = best_late;
        if (!choices.empty() && dice.below(8) == 0) {
            const std::size_t w = choices[at(dice.below(static_cast<int>(choices.size())))];
            late_may[w] = late_may[w] ? 0 : 1;
        } else {
            shuffle(model, order, dice);
            if (dice.below(3) == 0) shuffle(model, order, dice);
        }
        attempt();
    }
    return best;
}

}  // namespace seamwright::process::calendar
