#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "plan/boards_study.h"
#include "plan/closing_study.h"
#include "plan/feed_study.h"
#include "plan/movement_study.h"
#include "plan/rough_cut_study.h"
#include "plan/shop_study.h"

namespace seamwright::plan {

/// What the work from the boards to the delivery is told from, of one and the same plan.
struct WorkStudies {
    std::optional<BoardsStudy> boards;
    MovementStudy movement;
    RoughCutStudy rough;
    std::vector<std::optional<ClosingStudy>> closing;  ///< seam by seam
    FeedStudy feed;
    ShopStudy shop;
};

/// `effort`: what is tried to lay the pieces on boards. Tenths of a second to seconds, by the boards. Deterministic.
WorkStudies study_work(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                       std::uint64_t effort = stock::Settings{}.effort);

}  // namespace seamwright::plan
