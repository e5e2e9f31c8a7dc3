// A piece and its board: the board lies along the piece's grain; across it the piece takes what its farthest places
// take. How much higher its seams may be is asked of curves/board_fit.h; corners and crests of the outline stay where
// they are.

#include "boards.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "curves/board_fit.h"
#include "curves/height.h"
#include "geometry/path_index.h"
#include "plan/edging_study.h"
#include "plan/words.h"

namespace seamwright::plan {
namespace {

using geometry::Path;
using geometry::Point;

double across_mm(const Path& outer, double along_rad) {
    const geometry::Box box = geometry::bounding_box(geometry::turned(outer, {}, -along_rad));
    return box.height_mm();
}

/// Open seams that bound the piece, as they may be scaled.
std::vector<curves::LaidEdge> edges_of(const job::Job& job, const Plan& plan, const PiecePlan& piece) {
    std::vector<curves::LaidEdge> edges;
    for (std::size_t i = 0; i < plan.seams.size() && i < job.seams.size(); ++i) {
        const SeamPlan& seam = plan.seams[i];
        if (seam.kind != job::SeamKind::open || seam.in_wood.empty()) continue;
        // Seams keep clear of each other, so an open one has one piece on either side.
        if (seam.left_pieces != piece.name && seam.right_pieces != piece.name) continue;
        curves::LaidEdge edge{seam.in_wood, {}, {}};
        if (const auto base = curves::base_line(job.seams[i].curve)) {
            edge.base_from = base->from;
            edge.base_to = base->to;
        }
        edges.push_back(std::move(edge));
    }
    return edges;
}

/// Places of the piece's edge that belong to none of its open seams.
std::vector<Point> places_that_stay(const PiecePlan& piece, const std::vector<curves::LaidEdge>& edges) {
    std::vector<geometry::PathIndex> seams;
    for (const curves::LaidEdge& edge : edges) seams.emplace_back(edge.stretch);
    std::vector<Point> stays;
    constexpr double off_mm = 0.01;
    for (const auto& segment : piece.region.outer.segments) {
        const int parts = segment.is_arc() ? 16 : 1;
        for (int k = 0; k < parts; ++k) {
            const Point p = geometry::point_at(segment, static_cast<double>(k) / parts);
            const bool on_seam = std::any_of(seams.begin(), seams.end(), [&](const geometry::PathIndex& s) {
                return s.nearest(p).distance_mm <= off_mm;
            });
            if (!on_seam) stays.push_back(p);
        }
    }
    return stays;
}

}  // namespace

void fit_boards(const job::Job& job, Plan& plan) {
    for (PiecePlan& piece : plan.pieces) {
        const auto asked = std::find_if(job.pieces.begin(), job.pieces.end(),
                                        [&](const job::Piece& p) { return p.name == piece.name; });
        if (!piece.named || asked == job.pieces.end() || !(asked->board_mm > 0.0)) continue;
        PiecePlan::Board board;
        board.width_mm = asked->board_mm;
        board.margin_mm = asked->board_margin_mm;
        const auto* edging = segmented(plan, static_cast<std::size_t>(&piece - plan.pieces.data()));
        board.takes_mm = edging != nullptr ? edging->ring.widest_mm - 2.0 * edging->wish.margin_mm
                                           : across_mm(piece.region.outer, piece.grain_rad);
        const double free_mm = board.width_mm - 2.0 * board.margin_mm;
        constexpr double rounding_mm = 1e-9;
        board.fits = board.takes_mm <= free_mm + rounding_mm;
        const auto edges = edges_of(job, plan, piece);
        const bool any_height = std::any_of(edges.begin(), edges.end(),
                                            [](const curves::LaidEdge& e) { return !(e.base_from == e.base_to); });
        if (any_height && free_mm > 0.0) {
            const auto fit = curves::fit_to_board(edges, places_that_stay(piece, edges), piece.grain_rad, free_mm);
            if (fit.fits) board.times_as_high = fit.factor;
        }
        piece.board = board;
        if (board.fits) continue;
        const auto index = static_cast<std::size_t>(asked - job.pieces.begin());
        plan.problems.push_back({job::Problem::Weight::warning, fmt::format("/pieces/{}/board", index),
                                 words::board_text(piece, job.style),
                                 "a piece that comes out of the board it is meant for",
                                 fmt::format("take a board {} wide, make its seams lower, or lay its grain another way",
                                             units::show(board.takes_mm + 2.0 * board.margin_mm, job.style)),
                                 piece.label_at});
    }
}

}  // namespace seamwright::plan
