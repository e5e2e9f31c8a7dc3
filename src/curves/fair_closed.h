#pragma once

// Within the room: the fair curve under a closed trace or a closed drawn edge.

#include <optional>
#include <span>
#include <variant>
#include <vector>

#include "curves/fair.h"

namespace seamwright::curves {

/// `offsets` of the curve belong to these places along what was fitted, in order from its start.
struct FittedEdge {
    std::variant<FairCurve, FairProblem> fit;
    std::vector<double> at_mm;
};

/// The ends in the settings are passed over: there are none.
FittedEdge fit_closed(std::span<const Point> trace, const FairSettings& settings, std::span<const double> weights);
FittedEdge fit_closed(const Path& edge, const FairSettings& settings);

}  // namespace seamwright::curves
