#pragma once

#include <cstdint>
#include <vector>

#include "process/civil_time.h"

namespace seamwright::process::calendar {

// The tasks as numbers. Times are minutes of OpenHours.

inline std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

/// `to` starts at least `lag` after `from`'s hands-on end.
struct Arc {
    int from = 0, to = 0, lag = 0;
};

/// `to` starts at most `within` after `from`'s hands-on end; or later, and then takes `extra` more. extra < 0: never
/// later.
struct Window {
    int from = 0, to = 0, within = 0, extra = -1;
};

/// So much of one thing that is shared, from the start to `hold` after the hands-on end.
struct Use {
    int of = 0, count = 0, hold = 0;
};

struct Work {
    int minutes = 0;
    bool one_go = false;
    int clamp_wait = 0, ready_wait = 0;  ///< from the hands-on end; ready_wait >= clamp_wait
    int earliest = 0;
    std::vector<Use> uses;
};

struct Model {
    OpenHours hours;
    std::vector<Work> works;
    std::vector<int> there_is;  ///< of each thing that is shared: people first, then clamps by kind
    std::vector<Arc> arcs;
    std::vector<Window> windows;

    int count() const { return static_cast<int>(works.size()); }
    const Work& work(int i) const { return works[at(i)]; }
    // `extra` minutes more than the task's own. None of these goes down when its time goes up.
    int start_from(int i, int extra, int t) const;      ///< first possible start from t on, or OpenHours::never
    int end_of(int i, int extra, int start) const;      ///< of its hands-on time
    int latest_start(int i, int extra, int end) const;  ///< that ends by then; < 0: none
    int start_until(int i, int extra, int t) const;     ///< last possible start until t; < 0: none
    int start_not_ending_before(int i, int extra, int end) const;
};

/// Model with decisions: who comes before whom, which windows are kept. All rules have the form "this starts no earlier
/// than a rising function of when that starts", so there is one earliest time for every task that keeps them all at
/// once (least fixed point), and one latest.
class Net {
  public:
    explicit Net(const Model& model);

    const Model& model() const { return *model_; }
    int extra(int i) const { return extra_[at(i)]; }
    int end_of(int i, int start) const { return model_->end_of(i, extra(i), start); }
    /// With the most extra time it may still come to.
    int last_end(int i, int latest) const { return model_->end_of(i, most_extra_[at(i)], latest); }
    int finish(const std::vector<int>& start) const;

    void add_arc(const Arc& arc);
    void take_arc_back();
    void keep(const Window& window);
    void take_keep_back();
    /// At least and at most so much; which of it is open while a window is neither kept nor missed.
    void set_extra(int i, int least, int most) {
        extra_[at(i)] = least;
        most_extra_[at(i)] = most;
    }
    /// Whether the windows kept after i hold for these starts with the least extra time.
    bool keeps(int i, const std::vector<int>& start) const;

    /// Raises the starts until all rules hold; false: some start would pass `latest`.
    bool raise(std::vector<int>& start, const std::vector<int>& latest);
    /// Lowers the latest starts until all that is done by `finish`; false: some would fall below `start`.
    bool lower(std::vector<int>& latest, const std::vector<int>& start, int finish);
    std::vector<int> first_starts() const;  ///< below which nothing starts
    std::vector<int> open_ends() const;     ///< no limit but the days laid out
    std::uint64_t effort = 0;               ///< times moved so far

  private:
    struct Rule {
        int other = 0, minutes = 0;
    };
    template <class Relax>
    bool settle(Relax relax);

    const Model* model_;
    std::vector<std::vector<Rule>> after_, before_;            // arcs, by their from; by their to
    std::vector<std::vector<Rule>> kept_after_, kept_before_;  // windows, the same
    std::vector<int> arc_stack_from_, arc_stack_to_, kept_stack_from_, kept_stack_to_;
    std::vector<int> extra_, most_extra_;
    std::vector<int> queue_;
    std::vector<char> queued_;
};

/// A way to do it all: starts, and what being late adds.
struct Found {
    std::vector<int> start, extra;
    int finish = OpenHours::never;
    bool any() const { return finish != OpenHours::never; }
};

}  // namespace seamwright::process::calendar
