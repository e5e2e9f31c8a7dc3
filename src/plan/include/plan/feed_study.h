#pragma once

#include <vector>

#include "plan/boards_study.h"
#include "plan/closing_study.h"
#include "plan/rough_cut_study.h"
#include "process/feed_plan.h"
#include "process/routed_disc.h"

namespace seamwright::plan {

/// Where one wood tears: the model, corrected by what its routed discs showed.
struct SpeciesTear {
    std::string species;  ///< as the pieces name it
    process::TearModel model;
    /// Of the shelf, those of that wood of the newest day, oldest first; empty: nobody has measured it.
    std::vector<std::size_t> discs;
    /// Where marks of one disc say different things of one angle; the worse was believed.
    struct Disagree {
        std::size_t disc = 0;
        process::AdjustedModel::Angles angles;
    };
    std::vector<Disagree> disagree;
};

/// The disc of the shelf as the model takes it: a stretch whose end is not above its beginning runs on past the
/// direction of the fibres.
process::RoutedDisc routed_disc(const shelf::Disc& disc);

/// Of one wood. Discs of a day correct it one after another: where they overlap, the last one is believed. Woods are
/// one where the tables know them as one, else where they are written alike.
SpeciesTear tear_of(const shelf::Shelf& shelf, const std::string& species);

/// One routed edge of one piece, and how to feed along it.
struct RoutedEdge {
    std::size_t seam = 0, piece = 0;
    std::size_t tear = 0;  ///< FeedStudy::tears
    bool on_left = false;  ///< the piece lies left of the seam
    Path edge;             ///< along the seam, from where it enters the wood
    process::EdgeCut
        cut;  ///< how its piece lies, and where its fibres run; asks the shelf's boards: not longer than they
    double side_cut_mm = 0.0;
    process::FeedPlan feed;
    /// How much of it would tear on both pieces at once, were each cut as it lies.
    double both_tear_mm = 0.0;
};

struct FeedStudy {
    std::vector<RoutedEdge> edges;   ///< as the rough cuts
    std::vector<SpeciesTear> tears;  ///< of the woods that are routed, in the order of the edges
    bool from_boards = false;        ///< fibres as on the boards the pieces come from; else as the job says
};

/// Angle between teeth and fibres along every routed edge, place by place. Fibres are those of the board under each
/// place where boards are given and the piece lies on one, else the piece's grain. A model, see process/tear_risk.h.
/// Pieces lie with their face as in the top, the router stands on it; a cut from the waste side is one on the other
/// hand of the same edge. Not part of the plan: a few milliseconds. Deterministic.
FeedStudy study_feed(const Plan& plan, const shelf::Shelf& shelf, const RoughCutStudy& rough,
                     const BoardsStudy* boards);

namespace words {
/// Stroke by stroke, with what helps where the wood would tear.
/// What is done where wood tears, so that no more than a skim is taken by the last strokes.
std::string leave_skim_text(const job::Job& job);
/// Nearer to the finished edge than this nothing is sawn, mm: the router takes out the marks of the saw.
double least_reveal_mm(const job::Job& job);
Told feed_text(const RoutedEdge& edge, const Plan& plan, const job::Job& job);
/// What holds for all of them: what is known of the woods, and the cautions.
Told feed_cautions_text(const FeedStudy& study, const shelf::Shelf& shelf, const units::LengthStyle& style);
/// "the disc of ash of 2026-11-02"
std::string disc_name(const shelf::Disc& disc);
/// Whether a disc has corrected the model for a wood, and which; what disagreed on it, and what is missing.
std::vector<std::string> tear_lines(const SpeciesTear& tear, const shelf::Shelf& shelf,
                                    const units::LengthStyle& style);
/// "conventional", "skim, conventional", "climb, skim only"
std::string way_text(process::FeedWay way);
}  // namespace words

}  // namespace seamwright::plan
