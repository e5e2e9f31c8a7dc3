#pragma once

#include <string>

#include "plan/closing_study.h"

namespace seamwright::app {

/// A title, its sentences and its cautions, wrapped for a terminal.
std::string told_text(const std::string& indent, const plan::words::Told& told);

}  // namespace seamwright::app
