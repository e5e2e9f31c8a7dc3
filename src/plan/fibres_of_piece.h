#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "plan/boards_study.h"
#include "plan/edging_study.h"
#include "shelf/fibres.h"

namespace seamwright::plan {

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

}  // namespace seamwright::plan
