#pragma once

#include "units/length.h"

namespace seamwright::paper {

/// The n of 1 : n to draw at, no less than needed: scales makers know, 1 : 10 and its kin, and inch rules' 1 : 4, 1 :
/// 8, 1 : 12 (1 in to the foot).
double scale_for(double needed, units::Unit unit);

}  // namespace seamwright::paper
