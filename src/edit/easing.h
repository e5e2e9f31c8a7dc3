#pragma once

#include "remedies.h"

namespace seamwright::edit {

/// Lets an open seam be cut along the fairest curve near it that the chosen tools can follow, or as it is drawn again.
std::string ease(Bench& bench, std::string_view pointer, bool on);

/// For a turn that the tools cannot follow: the easing that lets them.
void add_easing_cures(CureList& list, std::size_t seam);

}  // namespace seamwright::edit
