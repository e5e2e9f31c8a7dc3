#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "plan/movement_study.h"
#include "plan/plan.h"

namespace seamwright::plan {

// Edging sawn in segments (process/edging.h). The plan divides it; here is what the rest needs of it.

/// The segmented edging that is this piece; nullptr where the piece is none, or could not be divided.
const SegmentedEdging* segmented(const Plan& plan, std::size_t piece);
/// Closed, counter-clockwise, as it lies in the top.
Path segment_outline(const process::EdgingSegment& segment);
/// The segment that a place on or beside the ring belongs to.
std::size_t segment_at(const SegmentedEdging& edging, Point place);
/// Largest angle between fibres and outer edge.
double run_out_rad(const process::EdgingPlan& ring);
/// Direction of the fibres of a piece at a place of the top: those of its segment there, or the piece's.
double fibres_at(const Plan& plan, std::size_t piece, Point place);
/// Glued between the segments of a ring, all joints together.
double joints_mm2(const SegmentedEdging& edging, double thickness_mm);

/// What the wood within a ring wants to move against it. The ring, whose fibres go round, keeps its size.
struct RingMovement {
    /// Of the strength across the grain of the weakest wood within, where the ring holds all of it: beyond the first,
    /// wood that has let go over the months still bears it (half of the stress, our judgement); beyond the second it
    /// splits at once (both a model).
    static constexpr double doubtful_part = 0.5, splits_part = 1.0;

    std::size_t seam = 0;
    bool known = false;                  ///< whether the tables have every wood within
    double across_mm = 0.0;              ///< of what lies within the ring, the way it moves most
    double turn_rad = 0.0;               ///< that way
    double dry_mm = 0.0, damp_mm = 0.0;  ///< what it moves; − shrinks
    double quarter_part = 1.0;           ///< of it, were all wood within quarter-sawn; 1 where it is already
    double part_of_strength = 0.0;       ///< in the worse season
    bool splits_dry = false;             ///< that is the dry one: pulled apart; else the ring is pushed open
    /// How far a joint of the ring wants to open in that season, outside or inside, by its own wood (mitres do).
    double joint_mm = 0.0;
    Point from, to;  ///< ends of the line along which it moves most
};
RingMovement ring_movement(const SegmentedEdging& edging, const Plan& plan, const MovementStudy& movement);

namespace words {
/// Of a problem of the plan: what was found, and what helps.
std::string ring_movement_found(const RingMovement& moves, const Plan& plan, const job::Job& job);
std::string ring_movement_remedy(const RingMovement& moves, const job::Job& job);
/// Number, boards, sawing and gluing, then each segment, then how the field moves against the ring. Empty where the
/// edging could not be divided.
std::vector<Told> edging_text(const SegmentedEdging& edging, const Plan& plan, const job::Job& job,
                              const MovementStudy& movement);
/// How the field moves against the ring alone; empty where the edging could not be divided.
Told ring_movement_text(const SegmentedEdging& edging, const Plan& plan, const MovementStudy& movement,
                        const job::Job& job);
/// How the segments become a ring, in the order of the work.
Told ring_work_text(const SegmentedEdging& edging, const Plan& plan, const job::Job& job);
}  // namespace words

}  // namespace seamwright::plan
