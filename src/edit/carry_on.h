#pragma once

#include "course.h"

namespace seamwright::edit {

/// A seam carried on straight (an arc along its circle, a wave along its middle line) until its ends lie past the edge.
struct CarriedOn {
    double start_mm = 0.0, end_mm = 0.0;  ///< how much longer it is at each end
    bool to_document = false;             ///< an import that becomes lines and arcs
    curves::Curve curve;
};
/// nullopt where nothing has to be carried on, or no run in that direction comes clear of the wood.
std::optional<CarriedOn> carried_on(const curves::Curve& curve, const geometry::Path& field);

/// Writes a curve that was carried on in place of the one at `steps`, keeping the way it is drawn.
void put_curve(Bench& bench, const Steps& steps, const curves::Curve& curve);

}  // namespace seamwright::edit
