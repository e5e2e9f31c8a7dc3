#include "calendar_model.h"

#include <algorithm>

namespace seamwright::process::calendar {
int Model::start_from(int i, int extra, int t) const {
    const Work& w = work(i);
    const int minutes = w.minutes + extra;
    t = std::max(t, w.earliest);
    if (t >= hours.end()) return OpenHours::never;
    if (minutes == 0) return t;
    if (w.one_go) return hours.next_fit(t, minutes);
    return hours.next_open(t);
}

int Model::end_of(int i, int extra, int start) const {
    const Work& w = work(i);
    const int minutes = w.minutes + extra;
    if (start == OpenHours::never) return OpenHours::never;
    return w.one_go || minutes == 0 ? start + minutes : hours.after_work(start, minutes);
}

int Model::latest_start(int i, int extra, int end) const {
    const Work& w = work(i);
    const int minutes = w.minutes + extra;
    if (end < 0 || minutes == 0) return end;
    end = std::min(end, hours.end());
    return w.one_go ? hours.last_fit(end, minutes) : hours.last_work(end, minutes);
}

int Model::start_until(int i, int extra, int t) const {
    const Work& w = work(i);
    const int minutes = w.minutes + extra;
    if (t < 0 || minutes == 0) return t;
    t = std::min(t, hours.end() - 1);
    return w.one_go ? hours.last_fit(t + minutes, minutes) : hours.last_work(t + 1, 1);
}

int Model::start_not_ending_before(int i, int extra, int end) const {
    const Work& w = work(i);
    const int minutes = w.minutes + extra;
    if (minutes == 0) return end;
    if (end >= hours.end()) return OpenHours::never;
    return w.one_go ? hours.next_fit(end - minutes, minutes) : hours.first_work(end, minutes);
}

Net::Net(const Model& model)
    : model_(&model),
      after_(model.works.size()),
      before_(model.works.size()),
      kept_after_(model.works.size()),
      kept_before_(model.works.size()),
      extra_(model.works.size(), 0),
      most_extra_(model.works.size(), 0),
      queued_(model.works.size(), 0) {
    for (const Arc& arc : model.arcs) add_arc(arc);
    for (const Window& window : model.windows) {
        if (window.extra < 0)
            keep(window);
        else
            most_extra_[at(window.to)] = std::max(most_extra_[at(window.to)], window.extra);
    }
}

void Net::add_arc(const Arc& arc) {
    after_[at(arc.from)].push_back({arc.to, arc.lag});
    before_[at(arc.to)].push_back({arc.from, arc.lag});
    arc_stack_from_.push_back(arc.from);
    arc_stack_to_.push_back(arc.to);
}

void Net::take_arc_back() {
    after_[at(arc_stack_from_.back())].pop_back();
    before_[at(arc_stack_to_.back())].pop_back();
    arc_stack_from_.pop_back();
    arc_stack_to_.pop_back();
}

void Net::keep(const Window& window) {
    kept_after_[at(window.from)].push_back({window.to, window.within});
    kept_before_[at(window.to)].push_back({window.from, window.within});
    kept_stack_from_.push_back(window.from);
    kept_stack_to_.push_back(window.to);
}

void Net::take_keep_back() {
    kept_after_[at(kept_stack_from_.back())].pop_back();
    kept_before_[at(kept_stack_to_.back())].pop_back();
    kept_stack_from_.pop_back();
    kept_stack_to_.pop_back();
}

bool Net::keeps(int i, const std::vector<int>& start) const {
    const int end = end_of(i, start[at(i)]);
    return std::all_of(kept_after_[at(i)].begin(), kept_after_[at(i)].end(),
                       [&](const Rule& rule) { return start[at(rule.other)] <= end + rule.minutes; });
}

int Net::finish(const std::vector<int>& start) const {
    int last = 0;
    for (int i = 0; i < model_->count(); ++i)
        last = std::max(last, end_of(i, start[at(i)]) + model_->work(i).ready_wait);
    return last;
}

std::vector<int> Net::first_starts() const {
    std::vector<int> start;
    for (int i = 0; i < model_->count(); ++i) start.push_back(model_->start_from(i, extra(i), 0));
    return start;
}

std::vector<int> Net::open_ends() const {
    return std::vector<int>(model_->works.size(), model_->hours.end() - 1);
}

// Each task that moved is looked at again, first come, first served; the answer does not depend on the order.
template <class Relax>
bool Net::settle(Relax relax) {
    queue_.clear();
    for (int i = 0; i < model_->count(); ++i) {
        queue_.push_back(i);
        queued_[at(i)] = 1;
    }
    const auto moved = [&](int i) {
        if (queued_[at(i)]) return;
        queued_[at(i)] = 1;
        queue_.push_back(i);
    };
    for (std::size_t next = 0; next < queue_.size(); ++next) {
        const int i = queue_[next];
        queued_[at(i)] = 0;
        ++effort;
        if (!relax(i, moved)) {
            std::fill(queued_.begin(), queued_.end(), char{0});
            return false;
        }
    }
    return true;
}

bool Net::raise(std::vector<int>& start, const std::vector<int>& latest) {
    return settle([&](int i, const auto& moved) {
        int& mine = start[at(i)];
        // Its own time may have grown since it was placed.
        mine = model_->start_from(i, extra(i), mine);
        if (mine > latest[at(i)]) return false;
        const int end = end_of(i, mine);
        if (end == OpenHours::never) return false;
        for (const Rule& rule : after_[at(i)]) {
            int& theirs = start[at(rule.other)];
            if (end + rule.minutes <= theirs) continue;
            theirs = model_->start_from(rule.other, extra(rule.other), end + rule.minutes);
            if (theirs > latest[at(rule.other)]) return false;
            moved(rule.other);
        }
        for (const Rule& rule : kept_before_[at(i)]) {
            int& theirs = start[at(rule.other)];
            // The longer it takes, the earlier it may start and still not end too early.
            if (last_end(rule.other, theirs) >= mine - rule.minutes) continue;
            theirs = model_->start_not_ending_before(rule.other, most_extra_[at(rule.other)], mine - rule.minutes);
            if (theirs > latest[at(rule.other)]) return false;
            moved(rule.other);
        }
        return true;
    });
}

bool Net::lower(std::vector<int>& latest, const std::vector<int>& start, int finish) {
    for (int i = 0; i < model_->count(); ++i)
        latest[at(i)] = std::min(latest[at(i)], model_->latest_start(i, extra(i), finish - model_->work(i).ready_wait));
    return settle([&](int i, const auto& moved) {
        int& mine = latest[at(i)];
        if (mine < start[at(i)]) return false;
        const int end = last_end(i, mine);
        for (const Rule& rule : before_[at(i)]) {
            int& theirs = latest[at(rule.other)];
            const int by = model_->latest_start(rule.other, extra(rule.other), mine - rule.minutes);
            if (by >= theirs) continue;
            theirs = by;
            if (theirs < start[at(rule.other)]) return false;
            moved(rule.other);
        }
        for (const Rule& rule : kept_after_[at(i)]) {
            int& theirs = latest[at(rule.other)];
            if (end + rule.minutes >= theirs) continue;
            theirs = model_->start_until(rule.other, extra(rule.other), end + rule.minutes);
            if (theirs < start[at(rule.other)]) return false;
            moved(rule.other);
        }
        return true;
    });
}

}  // namespace seamwright::process::calendar
