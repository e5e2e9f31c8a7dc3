#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "plan/movement_study.h"
#include "wood/panel_body.h"

namespace seamwright::plan {

/// What the seams do to the movement of one season.
struct SeasonBody {
    std::string name;  ///< "driest", "dampest"
    wood::BodyAnswer answer;
    /// Largest on each seam, means over 10 mm more than `end_mm` from its ends; and within it.
    struct Seam {
        double opening_mpa = 0.0, opening_at_mm = 0.0, shear_mpa = 0.0, end_opening_mpa = 0.0;
    };
    std::vector<Seam> seams;
    /// The outlines of the pieces as they lie then, moved `times` as far as they do.
    std::vector<Path> outlines;
    double times = 1.0;
    geometry::Box box;  ///< around them and the top as made
};

struct BodyStudy {
    static constexpr double end_mm = 50.0;
    std::vector<std::size_t> seams;  ///< of the plan, those that are followed
    std::vector<SeasonBody> seasons;
    /// How far a piece of one board goes hollow across its width, by its rings; 0 where it is not flat-sawn.
    struct Cups {
        std::size_t piece = 0;
        double width_mm = 0.0, dry_mm = 0.0, damp_mm = 0.0;  ///< rise of the side away from the heart, + hollow
    };
    std::vector<Cups> cups;
    bool assumed = false;  ///< some stiffness was recalled or taken from its group
};

/// Heart this far below the nearer face where nobody knows (common practice, from memory).
inline constexpr double pith_below_mm = 100.0;
/// Swelling along the fibres, per point of moisture, for straight clear wood (from memory: 0 to 0.0001).
inline constexpr double along_per_point = 0.00005;

/// The glued top as one body. Takes half a second; for the background. The reason where it cannot be worked out.
std::variant<BodyStudy, std::string> study_body(const Plan& plan, const MovementStudy& movement,
                                                const BoardsStudy* boards);

namespace words {
/// What its picture shows.
std::string season_text(const SeasonBody& season);
std::vector<Told> body_text(const BodyStudy& study, const Plan& plan, const job::Job& job);
}  // namespace words

}  // namespace seamwright::plan
