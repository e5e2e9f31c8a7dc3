#include "plan/feed_study.h"

#include <algorithm>

#include "fibres_of_piece.h"

namespace seamwright::plan {

FeedStudy study_feed(const Plan& plan, const shelf::Shelf& shelf, const RoughCutStudy& rough,
                     const BoardsStudy* boards) {
    FeedStudy out;
    for (const RoughCut& cut : rough.cuts) {
        const FibresOfPiece fibres(plan, cut.piece, shelf, boards);
        out.from_boards = out.from_boards || fibres.from_boards();
        process::EdgeCut edge;
        edge.edge = plan.seams[cut.seam].in_wood;
        edge.wood_on_left = cut.on_left;
        edge.fibres = [fibres](Point p) { return fibres.at(p); };
        process::SideCut side;
        side.cutter_radius_mm = 0.5 * cut.cutter_mm;
        // What the saw has left standing, or a whole groove.
        side.side_cut_mm = cut.from_waste ? cut.cutter_mm : std::min(cut.reveal_mm, cut.cutter_mm);
        RoutedEdge routed{cut.seam, cut.piece, cut.on_left, edge.edge, side.side_cut_mm, {}, 0.0};
        routed.feed = process::plan_feed(edge, side);
        out.edges.push_back(std::move(routed));
    }
    for (std::size_t i = 0; i < out.edges.size(); ++i) {
        for (std::size_t k = 0; k < out.edges.size(); ++k) {
            const RoutedEdge& other = out.edges[k];
            if (other.seam != out.edges[i].seam || other.on_left == out.edges[i].on_left) continue;
            out.edges[i].both_tear_mm =
                std::max(out.edges[i].both_tear_mm,
                         process::length_in_both(out.edges[i].feed.stretches, other.feed.stretches,
                                                 geometry::length_mm(out.edges[i].edge), process::TearZone::tears));
        }
    }
    return out;
}

}  // namespace seamwright::plan
