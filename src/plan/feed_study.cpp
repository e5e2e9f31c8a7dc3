#include "plan/feed_study.h"

#include <algorithm>
#include <cmath>

#include "plan/edging_study.h"
#include "shelf/fibres.h"

namespace seamwright::plan {
namespace {

/// Direction of the fibres at a place of the top, in one piece.
class FibresOfPiece {
  public:
    FibresOfPiece(const Plan& plan, std::size_t piece, const shelf::Shelf& shelf, const BoardsStudy* boards)
        : grain_rad_(plan.pieces[piece].grain_rad), edging_(segmented(plan, piece)) {
        for (std::size_t i = 0; boards != nullptr && i < boards->parts.size(); ++i) {
            const auto& lie = boards->placing.lies[i];
            if (boards->parts[i].piece != piece || !lie) continue;
            parts_.push_back({geometry::bounding_box(boards->parts[i].shape), *lie, &shelf.boards[lie->board],
                              boards->parts[i].strip});
        }
    }
    bool from_boards() const { return !parts_.empty(); }

    double at(Point place) const {
        const std::size_t segment = edging_ == nullptr ? 0 : segment_at(*edging_, place);
        const double grain_rad = edging_ == nullptr ? grain_rad_ : edging_->ring.segments[segment].fibre_rad;
        if (parts_.empty()) return grain_rad;
        // As it lies with its fibres along x.
        const double c = std::cos(-grain_rad), s = std::sin(-grain_rad);
        const Point lying{c * place.x - s * place.y, s * place.x + c * place.y};
        const Part* nearest = &parts_.front();
        for (const Part& part : parts_) {
            if (edging_ != nullptr ? part.strip == segment + 1 : off(part.box, lying.y) < off(nearest->box, lying.y))
                nearest = &part;
        }
        // A segment that lies on no board.
        if (edging_ != nullptr && nearest->strip != segment + 1) return grain_rad;
        const double on_board = shelf::fibres_rad(*nearest->board, nearest->lie.placed(lying));
        // Back from the board: unturned, then the face turned back up.
        const double askew = on_board - nearest->lie.turn_rad;
        return grain_rad + (nearest->lie.over ? -askew : askew);
    }

  private:
    struct Part {
        geometry::Box box;
        stock::Lie lie;
        const shelf::Board* board;
        std::size_t strip;
    };
    static double off(const geometry::Box& box, double y) { return std::max({box.low.y - y, y - box.high.y, 0.0}); }

    double grain_rad_;
    const SegmentedEdging* edging_;
    std::vector<Part> parts_;
};

}  // namespace

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
