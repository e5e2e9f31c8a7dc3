#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "plan/feed_study.h"
#include "plan/shop_study.h"

namespace seamwright::plan {

/// All that is known of a job, for what is said at the bench. Of one and the same plan.
struct BenchInputs {
    const Plan& plan;
    const job::Job& job;
    const shelf::Shelf& shelf;
    const ShopStudy& shop;
    const RoughCutStudy& rough;
    const MovementStudy& movement;
    const FeedStudy& feed;
    const std::vector<std::optional<ClosingStudy>>& closing;
    const BoardsStudy* boards = nullptr;  ///< nullptr: not known
};

/// What a maker asks about a step beside what it is: in whole sentences, with the job's own figures where there are
/// some. What stands without one is common practice.
struct BenchNotes {
    std::vector<std::string> first;  ///< what has to be so before it is begun
    std::vector<std::string> with;   ///< tools and what is used up
    std::vector<std::string> how;
    std::vector<std::string> check;  ///< how to see that it is well, and what to do where it is not
    std::string next;                ///< when it is done and what then
};
/// Of ShopStudy::steps[step]. A step that is not known here has only what comes next.
BenchNotes bench_notes(const BenchInputs& inputs, std::size_t step);

/// Something to try before the good wood.
struct Trial {
    /// What there is to write and draw on beside the blanks.
    enum class Room {
        none,
        discs  ///< two rims to mark, one for each way of feeding
    };
    std::string title;
    std::string why, on, how;
    std::vector<std::string> write_down;
    std::string then;  ///< what to do with the result
    Room room = Room::none;
    std::string caution = {};  ///< empty: none
};
/// Only those that belong to this job, in the order of the work.
std::vector<Trial> trials(const BenchInputs& inputs);

}  // namespace seamwright::plan
