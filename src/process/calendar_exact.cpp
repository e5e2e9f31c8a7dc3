// Every order that matters. All tasks are put at their earliest as if nothing were shared. Where something is then used
// more than there is of it, some task of those there must come after another: try each such order and go on. Whatever
// way there is keeps one of them, since of stretches that never all overlap at once two do not overlap at all (Helly,
// in one dimension). A branch ends where its earliest times pass the latest times that would still beat the best way
// known, or where what is shared would have to do more between two moments than it can. For windows that may be missed:
// try both.
//
// After De Reyck and Herroelen 1998 (see calendar.h). Orders that both leave no time for are found at once, and so are
// those of which only one leaves time (Carlier and Pinson 1989, Management Science 35, from memory).

#include <algorithm>

#include "calendar_search.h"

namespace seamwright::process::calendar {
namespace {

/// Between two moments more is asked of something than it can give. People are counted in open minutes, clamps by the
/// clock.
bool overloaded(const Net& net, const std::vector<int>& start, const std::vector<int>& latest) {
    struct Load {
        int from = 0, until = 0;
        std::int64_t minutes = 0;
    };
    const Model& model = net.model();
    std::vector<Load> loads;
    std::vector<int> froms;
    for (int thing = 0; thing < static_cast<int>(model.there_is.size()); ++thing) {
        loads.clear();
        froms.clear();
        for (int i = 0; i < model.count(); ++i)
            for (const Use& use : model.work(i).uses) {
                if (use.of != thing) continue;
                const int minutes = model.work(i).minutes + net.extra(i) + use.hold;
                int from = start[at(i)], until = net.last_end(i, latest[at(i)]) + use.hold;
                if (thing == 0) {
                    from = model.hours.worked(from);
                    until = model.hours.worked(until);
                }
                loads.push_back({from, until, static_cast<std::int64_t>(minutes) * use.count});
                froms.push_back(from);
            }
        std::sort(loads.begin(), loads.end(), [](const Load& a, const Load& b) { return a.until < b.until; });
        std::sort(froms.begin(), froms.end());
        froms.erase(std::unique(froms.begin(), froms.end()), froms.end());
        for (const int from : froms) {
            std::int64_t sum = 0;
            for (const Load& load : loads) {
                if (load.from < from) continue;
                sum += load.minutes;
                if (sum > static_cast<std::int64_t>(model.there_is[at(thing)]) * (load.until - from)) return true;
            }
        }
    }
    return false;
}

class Orders {
  public:
    Orders(const Model& model, std::uint64_t until_effort)
        : model_(model),
          net_(model),
          until_effort_(until_effort),
          lag_(model.works.size() * model.works.size(), -1),
          mode_(model.windows.size(), Mode::kept) {
        for (const Arc& arc : model.arcs) lag_of(arc.from, arc.to) = std::max(lag_of(arc.from, arc.to), arc.lag);
        for (std::size_t w = 0; w < model.windows.size(); ++w)
            if (model.windows[w].extra >= 0) mode_[w] = Mode::open;
        for (int a = 0; a < model.count(); ++a)
            for (int b = a + 1; b < model.count(); ++b)
                for (const Use& one : model.work(a).uses)
                    for (const Use& other : model.work(b).uses)
                        if (one.of == other.of && one.count + other.count > model.there_is[at(one.of)])
                            apart_.push_back({a, b, one.hold, other.hold});
    }

    std::uint64_t effort() const { return net_.effort; }
    bool all() const { return !cut_; }

    bool impossible(int finish) {
        std::vector<int> start = net_.first_starts(), latest = net_.open_ends();
        const std::size_t mark = undo_.size();
        const bool possible = squeeze(start, latest, finish);
        take_back(mark);
        return !possible;
    }

    void search(Found& best, int low) {
        best_ = &best;
        low_ = low;
        go(net_.first_starts(), net_.open_ends());
    }

  private:
    struct Apart {
        int a = 0, b = 0, hold_a = 0, hold_b = 0;
    };
    enum class Mode : char { open, kept, late };
    struct Undo {
        enum class Of { arc, keep, mode } of = Of::arc;
        int i = 0, was = 0;
    };

    int& lag_of(int from, int to) { return lag_[at(from) * model_.works.size() + at(to)]; }

    void order(int from, int to, int lag) {
        int& known = lag_of(from, to);
        undo_.push_back({Undo::Of::arc, from * model_.count() + to, known});
        known = std::max(known, lag);
        net_.add_arc({from, to, lag});
    }
    void keep(const Window& window) {
        undo_.push_back({Undo::Of::keep, 0, 0});
        net_.keep(window);
    }
    void decide(std::size_t w, Mode mode) {
        const Window& window = model_.windows[w];
        undo_.push_back({Undo::Of::mode, static_cast<int>(w), 0});
        set_mode(w, mode);
        if (mode == Mode::kept)
            keep(window);
        else
            order(window.from, window.to, window.within + 1);
    }
    void set_mode(std::size_t w, Mode mode) {
        mode_[w] = mode;
        const int to = model_.windows[w].to;
        int least = 0, most = 0;
        for (std::size_t k = 0; k < mode_.size(); ++k) {
            const Window& window = model_.windows[k];
            if (window.to != to || mode_[k] == Mode::kept) continue;
            most = std::max(most, window.extra);
            if (mode_[k] == Mode::late) least = std::max(least, window.extra);
        }
        net_.set_extra(to, least, most);
    }
    void take_back(std::size_t mark) {
        for (; undo_.size() > mark; undo_.pop_back()) {
            const Undo& undo = undo_.back();
            switch (undo.of) {
                case Undo::Of::arc:
                    net_.take_arc_back();
                    lag_[at(undo.i)] = undo.was;
                    break;
                case Undo::Of::keep:
                    net_.take_keep_back();
                    break;
                case Undo::Of::mode:
                    set_mode(at(undo.i), Mode::open);
                    break;
            }
        }
    }

    // A latest start is a start the task can have or later than one, so nothing needs looking up; that it is enough to
    // be done by then may say "yes" too often, which costs a branch and no answer.
    bool leaves_time(const std::vector<int>& latest, int end, int to, int lag) const {
        return end + lag <= latest[at(to)];
    }

    bool squeeze(std::vector<int>& start, std::vector<int>& latest, int finish) {
        for (bool more = true; more;) {
            more = false;
            if (!net_.raise(start, latest) || !net_.lower(latest, start, finish)) return false;
            for (std::size_t w = 0; w < mode_.size(); ++w) {
                const Window& window = model_.windows[w];
                if (mode_[w] != Mode::open ||
                    start[at(window.to)] <= net_.last_end(window.from, latest[at(window.from)]) + window.within)
                    continue;
                decide(w, Mode::late);
                more = true;
            }
            if (more) continue;
            ends_.clear();
            for (int i = 0; i < model_.count(); ++i) ends_.push_back(net_.end_of(i, start[at(i)]));
            for (const Apart& pair : apart_) {
                if (lag_of(pair.a, pair.b) >= pair.hold_a || lag_of(pair.b, pair.a) >= pair.hold_b) continue;
                const bool a_first = leaves_time(latest, ends_[at(pair.a)], pair.b, pair.hold_a);
                const bool b_first = leaves_time(latest, ends_[at(pair.b)], pair.a, pair.hold_b);
                if (a_first && b_first) continue;
                if (!a_first && !b_first) return false;
                if (a_first)
                    order(pair.a, pair.b, pair.hold_a);
                else
                    order(pair.b, pair.a, pair.hold_b);
                more = true;
            }
        }
        net_.effort += model_.works.size();
        return !overloaded(net_, start, latest);
    }

    /// As few tasks as possible that share something at one time of which there is not enough for them, and how long
    /// each holds it; the earliest such time.
    std::vector<std::pair<int, int>> too_many(const std::vector<int>& start) const {
        std::vector<std::pair<int, int>> worst;
        int worst_at = OpenHours::never;
        struct User {
            int i = 0, from = 0, until = 0, count = 0, hold = 0;
        };
        std::vector<User> users, there;
        for (int thing = 0; thing < static_cast<int>(model_.there_is.size()); ++thing) {
            users.clear();
            for (int i = 0; i < model_.count(); ++i)
                for (const Use& use : model_.work(i).uses)
                    if (use.of == thing)
                        users.push_back(
                            {i, start[at(i)], net_.end_of(i, start[at(i)]) + use.hold, use.count, use.hold});
            for (const User& at_start : users) {
                if (at_start.from >= worst_at) continue;
                there.clear();
                int sum = 0;
                for (const User& user : users)
                    if (user.from <= at_start.from && at_start.from < user.until) {
                        there.push_back(user);
                        sum += user.count;
                    }
                if (sum <= model_.there_is[at(thing)]) continue;
                std::stable_sort(there.begin(), there.end(),
                                 [](const User& a, const User& b) { return a.count > b.count; });
                worst.clear();
                worst_at = at_start.from;
                sum = 0;
                for (std::size_t k = 0; sum <= model_.there_is[at(thing)]; ++k) {
                    worst.emplace_back(there[k].i, there[k].hold);
                    sum += there[k].count;
                }
            }
        }
        return worst;
    }

    void go(std::vector<int> start, std::vector<int> latest) {
        if (net_.effort >= until_effort_) {
            cut_ = true;
            return;
        }
        const int finish = best_->any() ? best_->finish - 1 : model_.hours.end() - 1;
        if (finish < low_) return;
        const std::size_t mark = undo_.size();
        if (squeeze(start, latest, finish)) branch(start, latest);
        take_back(mark);
    }

    void branch(const std::vector<int>& start, const std::vector<int>& latest) {
        for (std::size_t w = 0; w < mode_.size(); ++w) {
            const Window& window = model_.windows[w];
            if (mode_[w] != Mode::open) continue;
            // What comes after may be in time only because this takes longer when it is late.
            if (start[at(window.to)] <= net_.end_of(window.from, start[at(window.from)]) + window.within &&
                net_.keeps(window.to, start))
                continue;
            const std::size_t mark = undo_.size();
            for (const Mode mode : {Mode::kept, Mode::late}) {
                decide(w, mode);
                go(start, latest);
                take_back(mark);
            }
            return;
        }
        const auto users = too_many(start);
        if (users.empty()) {
            best_->start = start;
            best_->extra.clear();
            for (int i = 0; i < model_.count(); ++i) best_->extra.push_back(net_.extra(i));
            best_->finish = net_.finish(start);
            return;
        }
        struct Choice {
            int from = 0, to = 0, lag = 0, left = 0;
        };
        std::vector<Choice> choices;
        for (const auto& [from, hold] : users)
            for (const auto& [to, unused] : users) {
                if (from == to) continue;
                const int then = model_.start_from(to, net_.extra(to), net_.end_of(from, start[at(from)]) + hold);
                if (then <= latest[at(to)]) choices.push_back({from, to, hold, latest[at(to)] - then});
            }
        std::stable_sort(choices.begin(), choices.end(),
                         [](const Choice& a, const Choice& b) { return a.left > b.left; });
        const std::size_t mark = undo_.size();
        for (const Choice& choice : choices) {
            const std::size_t inner = undo_.size();
            order(choice.from, choice.to, choice.lag);
            go(start, latest);
            take_back(inner);
            if (cut_) break;
            // What was tried need not be tried again under the next choice.
            if (users.size() > 2) keep({choice.from, choice.to, choice.lag - 1, -1});
        }
        take_back(mark);
    }

    const Model& model_;
    Net net_;
    std::uint64_t until_effort_;
    Found* best_ = nullptr;
    int low_ = 0;
    bool cut_ = false;
    std::vector<Apart> apart_;
    std::vector<int> lag_;
    std::vector<int> ends_;
    std::vector<Mode> mode_;
    std::vector<Undo> undo_;
};

}  // namespace

int load_bound(const Model& model, int low, int high, std::uint64_t& effort) {
    Orders orders(model, ~std::uint64_t{0});
    while (low < high) {
        const int between = low + (high - low) / 2;
        if (orders.impossible(between))
            low = between + 1;
        else
            high = between;
    }
    effort += orders.effort();
    return low;
}

bool try_every_order(const Model& model, Found& best, int low, std::uint64_t until_effort, std::uint64_t& effort) {
    if (effort >= until_effort) return false;
    Orders orders(model, until_effort - effort);
    orders.search(best, low);
    effort += orders.effort();
    return orders.all();
}

}  // namespace seamwright::process::calendar
