#pragma once

#include <vector>

#include "plan/boards_study.h"
#include "plan/closing_study.h"
#include "plan/rough_cut_study.h"
#include "process/feed_plan.h"

namespace seamwright::plan {

/// One routed edge of one piece, and how to feed along it.
struct RoutedEdge {
    std::size_t seam = 0, piece = 0;
    bool on_left = false;  ///< the piece lies left of the seam
    Path edge;             ///< along the seam, from where it enters the wood
    double side_cut_mm = 0.0;
    process::FeedPlan feed;
    /// How much of it would tear on both pieces at once, were each cut as it lies.
    double both_tear_mm = 0.0;
};

struct FeedStudy {
    std::vector<RoutedEdge> edges;  ///< as the rough cuts
    bool from_boards = false;       ///< fibres as on the boards the pieces come from; else as the job says
};

/// Angle between teeth and fibres along every routed edge, place by place. Fibres are those of the board under each
/// place where boards are given and the piece lies on one, else the piece's grain. A model, see process/tear_risk.h.
/// Pieces lie with their face as in the top, the router stands on it; a cut from the waste side is one on the other
/// hand of the same edge. Not part of the plan: a few milliseconds. Deterministic.
FeedStudy study_feed(const Plan& plan, const shelf::Shelf& shelf, const RoughCutStudy& rough,
                     const BoardsStudy* boards);

namespace words {
/// Stroke by stroke, with what helps where the wood would tear.
Told feed_text(const RoutedEdge& edge, const Plan& plan, const job::Job& job);
/// What holds for all of them: the model, and the cautions.
Told feed_cautions_text(const FeedStudy& study);
}  // namespace words

}  // namespace seamwright::plan
