#pragma once

#include <optional>
#include <string>
#include <vector>

#include "plan/boards_study.h"
#include "plan/closing_study.h"
#include "plan/plan.h"

namespace seamwright::plan {

/// What one piece does over the year.
struct PieceMovement {
    std::size_t piece = 0;
    bool known = false;  ///< whether the tables have its wood
    bool from_memory = false;
    shelf::Sawn sawn = shelf::Sawn::flat;
    double width_mm = 0.0;                   ///< across its fibres, as made
    double made_percent = 0.0;               ///< its moisture when the top is made
    bool measured = false;                   ///< that is a meter's reading
    double dry_part = 0.0, damp_part = 0.0;  ///< change of width, as a part of it; − shrinks
    double density_kg_m3 = 0.0;              ///< at made_percent; 0 where unknown
};

/// The width of the top at one place along it.
struct WidthAt {
    double at_mm = 0.0;                                  ///< from the left end of the top
    double width_mm = 0.0, dry_mm = 0.0, damp_mm = 0.0;  ///< as made, and its changes
};

/// A screw through a slot, by how far it is from the line that is held fast.
struct Slot {
    double off_mm = 0.0;     ///< from the line, across the top
    double length_mm = 0.0;  ///< of the slot
};

/// How the top bends under its own weight and a load.
struct Sag {
    double span_mm = 0.0, load_n = 0.0;
    double weight_kg = 0.0;
    double own_mm = 0.0, load_mm = 0.0;               ///< in the middle of the span
    double overhang_mm = 0.0, overhang_sag_mm = 0.0;  ///< at each end, under its own weight and the load there
    bool stiffness_assumed = false;                   ///< of some piece it was recalled or taken from its group
    /// Distances of supports at which neither the middle nor an end gives more than the eye sees; none where no
    /// distance does.
    struct Spans {
        double least_mm = 0.0, most_mm = 0.0;
    };
    std::optional<Spans> good_spans;
};

/// A build-up under the ends, which lies across the fibres of the top.
struct EndBuildUp {
    double width_mm = 0.0;               ///< of the top where it lies
    double dry_mm = 0.0, damp_mm = 0.0;  ///< what the top moves over it
    std::vector<Slot> slots;             ///< from the middle, where it is held; for one that floats
};

struct MovementStudy {
    job::Air driest, dampest;
    bool air_assumed = false;
    double dry_percent = 0.0, damp_percent = 0.0;  ///< moisture at rest in them
    std::optional<double> shop_percent;
    std::vector<PieceMovement> pieces;
    std::vector<WidthAt> widths;
    std::vector<Slot> slots;
    double fixed_at_mm = 0.0;  ///< of the held line, from the lowest edge of the top
    double weight_kg = 0.0;    ///< of all pieces whose wood is known
    std::optional<Sag> sag;
    std::optional<EndBuildUp> end_build_up;
};

/// Free movement: each piece by itself, as if the seams did not hold it (wood::deform tells what the seams do).
/// `boards`: where the pieces come from, for how their rings lie and their moisture; nullptr where that is not known.
MovementStudy study_movement(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                             const BoardsStudy* boards);

namespace words {
std::vector<Told> movement_text(const MovementStudy& study, const Plan& plan, const job::Job& job);
}  // namespace words

}  // namespace seamwright::plan
