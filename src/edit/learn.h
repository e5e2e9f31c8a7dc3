#pragma once

#include <string>
#include <string_view>

#include "bench.h"

namespace seamwright::edit {

/// Takes over what a test cut tells ("/shelf/test_cuts/2"): measured sizes, and where the cutter stands in the guide.
std::string learn(Bench& bench, std::string_view pointer);

/// A size measured anew is no longer known as well as a test cut told.
void forget_how_well(Bench& bench, const Steps& changed);

}  // namespace seamwright::edit
