#pragma once

#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "plan/closing_study.h"
#include "plan/plan.h"
#include "process/fastening.h"

namespace seamwright::plan {

// Sawing a piece roughly and holding its template while the router runs: what stands out past the finished edge, where
// the cutter enters and leaves, where screws may go, and the pencil marks by which the two edges find each other again.

/// One end of the routed edge of an open seam.
struct CutEnd {
    Point finished;           ///< where the seam leaves the finished wood
    Point enters;             ///< the cutter's middle there is the nearest that is clear of the finished wood
    double lead_mm = 0.0;     ///< from there to the finished end, along the cutter's way
    double run_out_mm = 0.0;  ///< least the template has to reach beyond the wood, for guide and base
    bool held = true;         ///< it does
    /// It reaches so far that the cutter can be started and stopped beyond the rough wood too.
    bool from_outside = false;
    struct Screw {
        Point at;
        double past_end_mm = 0.0;    ///< beyond the finished wood, the shortest way
        double off_seam_mm = 0.0;    ///< from the edge that is cut
        double off_cutter_mm = 0.0;  ///< from its middle to that of the nearest cutter on its way
        double room_mm = 0.0;        ///< see process::room_mm
    };
    std::vector<Screw> screws;  ///< one near the cut and one behind it; where there is no room for both, one or none
    /// Without any: how much wood left at the ends (cutting.ends) makes room for one; absent where no length does.
    std::optional<double> ends_mm;
};

/// One routed edge of one piece.
struct RoughCut {
    std::size_t seam = 0, piece = 0, template_index = 0;
    bool on_left = false;     ///< the piece lies left of the seam
    bool from_waste = false;  ///< its template lies on the waste
    double guide_mm = 0.0, cutter_mm = 0.0;
    double offset_mm = 0.0;  ///< from the template's edge to the cut edge
    Path way;                ///< of the cutter's middle, from end to end of the template
    Path saw_line;           ///< empty for a cut from the waste
    double reveal_mm = 0.0;  ///< from the finished edge to the saw line
    double margin_mm = 0.0;  ///< less than that where the wood around the piece is less
    process::Reveal reveal = process::Reveal::one_groove;
    std::vector<CutEnd> ends;  ///< start and end of an open seam; none for a closed one
    /// Places over the finished wood of the piece: for tape or clamps, never for screws.
    std::vector<Point> tape;

    std::size_t screws() const {
        std::size_t count = 0;
        for (const CutEnd& end : ends) count += end.screws.size();
        return count;
    }
};

/// How far such a mark runs into a template from its edge.
inline constexpr double mark_on_template_mm = 15.0;

/// A pencil line square across a seam, drawn on both templates and carried on to the kept wood of both pieces. The
/// marks of a seam are spaced so that a piece turned round cannot meet them.
struct IndexMark {
    std::size_t seam = 0;
    double at_mm = 0.0;  ///< along the seam, from where it enters the wood
    Point on_seam;
    Point to_left;                         ///< unit, square to the seam
    double left_mm = 0.0, right_mm = 0.0;  ///< how far it can be seen on the wood beside the template; 0: on the edge

    /// The line on the kept wood of one side, no shorter than `least_mm`.
    geometry::Segment on_wood(bool left, double least_mm = 0.0) const {
        const double bare = left ? left_mm : -right_mm;
        return geometry::line(on_seam,
                              on_seam + (std::abs(bare) < least_mm ? (left ? least_mm : -least_mm) : bare) * to_left);
    }
};

/// A piece as it is sawn.
struct RoughPiece {
    std::size_t piece = 0;
    Path wood;                               ///< longer at its ends, as it lies in the top
    Path sawn;                               ///< with the margin around it
    double margin_mm = 0.0;                  ///< left around that
    double ends_mm = 0.0;                    ///< beyond the finished ends
    double length_mm = 0.0, width_mm = 0.0;  ///< over all, along and across its fibres
    std::vector<std::size_t> cuts;
};

struct RoughCutStudy {
    process::FasteningRules rules;
    std::vector<RoughPiece> pieces;
    std::vector<RoughCut> cuts;    ///< seam by seam, the left piece first
    std::vector<IndexMark> marks;  ///< seam by seam, in order along it
};

/// Not part of the plan: a few milliseconds. Deterministic. Seams that could not be carried out have no cuts.
RoughCutStudy study_rough_cut(const Plan& plan, const job::Job& job);

namespace words {
/// What holds the template of a cut: "4 screws in the waste", "tape or clamps".
std::string holding_text(const RoughCut& cut);
/// "left end", "right end", "front", "back" of the top, for a place on its edge.
std::string end_name(Point at, const Plan& plan);
/// How far past the finished wood the cutter is started and stopped at least, rounded up to what a tape shows.
std::string lead_text(const CutEnd& end, const units::LengthStyle& style);
/// Why a screw stands where it does, for the template: "in the waste, 21 mm past the end".
std::string screw_text(const CutEnd::Screw& screw, const units::LengthStyle& style);
/// Of one piece: how it is sawn, and each routed edge. Of all: the pencil marks and the cautions.
Told rough_piece_text(const RoughCutStudy& study, std::size_t piece, const Plan& plan, const job::Job& job);
Told fastening_text(const RoughCutStudy& study, const Plan& plan, const job::Job& job);
}  // namespace words

}  // namespace seamwright::plan
