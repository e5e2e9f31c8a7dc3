// People and clamps are handed to tasks one by one, each from who or what came free last: the same hands carry on where
// they can. Who had them before then counts as needed before, so that the earliest and latest times of all tasks (a
// forward and a backward pass, Kelley and Walker 1959, from memory) tell slack with people and clamps in it.
//
// Where the shop closes, slack alone does not show the chain: what ends ten minutes before closing has ten minutes of
// slack and yet decides when the next morning's work begins. So the chain is followed back from the end instead: each
// task's start was decided by the last of the moments it waited for, and what lies between is closed time.

#include "calendar_chain.h"

#include <algorithm>
#include <numeric>
#include <stdexcept>

namespace seamwright::process::calendar {
namespace {

struct Lot {
    int free = 0, last = -1, hold = 0, count = 0, id = 0;
};

class Layout {
  public:
    Layout(const Model& model, const Found& found, int from, std::chrono::local_days first_day, Schedule& schedule)
        : model_(model), net_(model), from_(from), first_day_(first_day), schedule_(schedule), arcs_(model.arcs) {
        start_ = found.start;
        for (int i = 0; i < model.count(); ++i) net_.set_extra(i, found.extra[at(i)], found.extra[at(i)]);
    }

    void run() {
        schedule_.tasks.resize(model_.works.size());
        windows();
        hand_out();
        for (std::size_t k = model_.arcs.size(); k < arcs_.size(); ++k) net_.add_arc(arcs_[k]);
        std::vector<int> first;
        for (int i = 0; i < model_.count(); ++i) first.push_back(model_.start_from(i, net_.extra(i), 0));
        // The way found keeps all these rules, so their earliest times exist and are not later.
        if (!net_.raise(first, start_)) throw std::logic_error("plan_calendar: a way that breaks its own rules");
        start_ = first;
        finish_ = net_.finish(start_);
        latest_ = net_.open_ends();
        net_.lower(latest_, start_, finish_);
        tell_tasks();
        tell_chain();
        tell_together();
        schedule_.finish = moment(finish_);
    }

  private:
    Moment moment(int t) const { return first_day_ + std::chrono::minutes(t); }
    Planned& planned(int i) { return schedule_.tasks[at(i)]; }
    int end(int i) const { return net_.end_of(i, start_[at(i)]); }
    int clamps_off(int i) const { return end(i) + model_.work(i).clamp_wait; }

    void windows() {
        for (const Window& window : model_.windows) {
            if (window.extra < 0) continue;
            if (start_[at(window.to)] > end(window.from) + window.within) {
                arcs_.push_back({window.from, window.to, window.within + 1});
                planned(window.to).late_after.push_back(at(window.from));
            } else {
                net_.keep(window);
            }
        }
    }

    void hand_out() {
        std::vector<int> order(model_.works.size());
        std::iota(order.begin(), order.end(), 0);
        std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return start_[at(a)] < start_[at(b)]; });
        std::vector<std::vector<Lot>> lots(model_.there_is.size());
        for (std::size_t thing = 0; thing < lots.size(); ++thing) {
            // Each person is one of a kind; clamps of one kind are not.
            if (thing > 0)
                lots[thing].push_back({0, -1, 0, model_.there_is[thing], 0});
            else
                for (int id = 0; id < model_.there_is[0]; ++id) lots[0].push_back({0, -1, 0, 1, id});
        }
        for (const int i : order)
            for (const Use& use : model_.work(i).uses) {
                auto& all = lots[at(use.of)];
                std::stable_sort(all.begin(), all.end(), [](const Lot& a, const Lot& b) { return a.free > b.free; });
                int left = use.count;
                for (std::size_t k = 0, n = all.size(); k < n && left > 0; ++k) {
                    if (all[k].free > start_[at(i)]) continue;
                    const int taken = std::min(left, all[k].count);
                    if (all[k].last >= 0) arcs_.push_back({all[k].last, i, all[k].hold});
                    if (use.of == 0) planned(i).people.push_back(all[k].id);
                    left -= taken;
                    if (taken < all[k].count) {
                        Lot rest = all[k];
                        rest.count -= taken;
                        all.push_back(rest);
                    }
                    all[k] = {end(i) + use.hold, i, use.hold, taken, all[k].id};
                }
                std::sort(planned(i).people.begin(), planned(i).people.end());
            }
    }

    void tell_tasks() {
        for (int i = 0; i < model_.count(); ++i) {
            Planned& p = planned(i);
            p.start = moment(start_[at(i)]);
            p.end = moment(end(i));
            p.hands_on_min = model_.work(i).minutes + net_.extra(i);
            if (p.hands_on_min > 0)
                model_.hours.each_open(start_[at(i)], end(i),
                                       [&](int a, int b) { p.work.push_back({moment(a), moment(b)}); });
            p.clamps_off = moment(clamps_off(i));
            p.ready = moment(end(i) + model_.work(i).ready_wait);
            p.latest_start = moment(latest_[at(i)]);
            p.slack_min = model_.hours.worked(latest_[at(i)]) - model_.hours.worked(start_[at(i)]);
        }
    }

    using Kind = ChainStep::Kind;

    // Steps are told from the last to the first and turned round at the end.
    void step(Kind kind, int task, int from, int until) {
        if (from >= until) return;
        auto& chain = schedule_.chain;
        const Stretch when{moment(from), moment(until)};
        if (!chain.empty() && chain.back().kind == kind && chain.back().task == at(task) &&
            chain.back().when.from == when.until)
            chain.back().when.from = when.from;
        else
            chain.push_back({kind, at(task), when});
    }

    /// Open stretches in [from, until) as `open`, the rest as closed.
    void pieces(Kind open, int task, int from, int until) {
        std::vector<std::pair<int, int>> stretches;
        model_.hours.each_open(from, until, [&](int a, int b) { stretches.emplace_back(a, b); });
        for (auto it = stretches.rbegin(); it != stretches.rend(); ++it) {
            step(Kind::closed, task, it->second, until);
            step(open, task, it->first, it->second);
            until = it->first;
        }
        step(Kind::closed, task, from, until);
    }

    void waits(int task, int until) {
        const auto& uses = model_.work(task).uses;
        const bool clamped = std::any_of(uses.begin(), uses.end(), [](const Use& use) { return use.of > 0; });
        const int off = clamped ? std::min(until, clamps_off(task)) : end(task);
        step(Kind::wait, task, off, until);
        step(Kind::clamped, task, end(task), off);
    }

    void tell_chain() {
        int task = 0;
        for (int i = 1; i < model_.count(); ++i)
            if (end(i) + model_.work(i).ready_wait > end(task) + model_.work(task).ready_wait) task = i;
        int until = finish_;
        for (bool more = true; more;) {
            planned(task).on_chain = true;
            waits(task, until);
            if (end(task) > start_[at(task)]) pieces(Kind::work, task, start_[at(task)], end(task));
            const Arc* last = nullptr;
            int since = std::max(from_, model_.work(task).earliest);
            for (const Arc& arc : arcs_) {
                if (arc.to != task || end(arc.from) + arc.lag < since + (last == nullptr ? 0 : 1)) continue;
                last = &arc;
                since = end(arc.from) + arc.lag;
            }
            const int could = model_.start_from(task, net_.extra(task), since);
            step(Kind::held_back, task, could, start_[at(task)]);
            pieces(Kind::too_short, task, since, std::min(could, start_[at(task)]));
            more = last != nullptr;
            if (!more) {
                step(Kind::not_before, task, from_, since);
                break;
            }
            task = last->from;
            until = since;
        }
        std::reverse(schedule_.chain.begin(), schedule_.chain.end());
    }

    void tell_together() {
        std::vector<int> times;
        for (int i = 0; i < model_.count(); ++i) {
            const int done = end(i), ready = done + model_.work(i).ready_wait;
            times.insert(times.end(), {done, ready});
            model_.hours.each_open(start_[at(i)], done, [&](int a, int b) { times.insert(times.end(), {a, b}); });
        }
        std::sort(times.begin(), times.end());
        times.erase(std::unique(times.begin(), times.end()), times.end());
        for (std::size_t k = 0; k + 1 < times.size(); ++k) {
            SideBySide side{{moment(times[k]), moment(times[k + 1])}, {}, {}};
            if (!model_.hours.is_open(times[k])) continue;
            for (int i = 0; i < model_.count(); ++i) {
                if (start_[at(i)] <= times[k] && times[k] < end(i)) side.at_work.push_back(at(i));
                if (end(i) <= times[k] && times[k] < end(i) + model_.work(i).ready_wait) side.waiting.push_back(at(i));
            }
            if (side.at_work.empty() || side.at_work.size() + side.waiting.size() < 2) continue;
            auto& all = schedule_.together;
            if (!all.empty() && all.back().when.until == side.when.from && all.back().at_work == side.at_work &&
                all.back().waiting == side.waiting)
                all.back().when.until = side.when.until;
            else
                all.push_back(std::move(side));
        }
    }

    const Model& model_;
    Net net_;
    int from_ = 0, finish_ = 0;
    std::chrono::local_days first_day_;
    Schedule& schedule_;
    std::vector<Arc> arcs_;
    std::vector<int> start_, latest_;
};

}  // namespace

void lay_out(const Model& model, const Found& found, int from, std::chrono::local_days first_day, Schedule& schedule) {
    Layout(model, found, from, first_day, schedule).run();
}

}  // namespace seamwright::process::calendar
