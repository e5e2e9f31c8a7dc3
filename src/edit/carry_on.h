#pragma once

#include "course.h"

namespace seamwright::edit {

/// A seam carried on straight (an arc along its circle, a wave along its middle line, a
/// sprung stick as a longer one through the same crest) until its ends lie past the edge.
struct CarriedOn {
    double start_mm = 0.0, end_mm = 0.0;  ///< how much longer it is at each end
    bool to_document = false;             ///< an import that becomes lines and arcs
    curves::Curve curve;
};
/// nullopt where nothing has to be carried on, or no run in that direction comes clear of the wood.
std::optional<CarriedOn> carried_on(const curves::Curve& curve, const geometry::Path& field);

/// After the edge of the top was changed: open seams that reached past it before and no longer do are carried on. A top
/// made longer must not leave its seams behind. Seams that cannot be carried on are left to the plan to tell.
void carry_seams_on(Bench& bench);

/// Writes a curve that was carried on in place of the one at `steps`, keeping the way it is drawn.
void put_curve(Bench& bench, const Steps& steps, const curves::Curve& curve);

}  // namespace seamwright::edit
