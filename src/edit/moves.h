#pragma once

#include "grips.h"

namespace seamwright::edit {

/// A handle follows the pointer as near as the shape allows. Says what moved; throws Refusal.
std::string move_handle(Bench& bench, std::string_view id, Point to, const Aim& aim);

/// A handle goes some steps: places by x and y, sizes by the arrows that make them larger and smaller.
std::string nudge_handle(Bench& bench, std::string_view id, Point steps, Stride stride);

}  // namespace seamwright::edit
