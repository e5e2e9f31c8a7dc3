#pragma once

#include <string>

#include "plan/words.h"
#include "units/length.h"

namespace seamwright::screen {

using plan::words::exact_size;

/// A default of the program as a text that reads back as a length: "12 mm", "0.472 in".
std::string default_size(double mm, units::Unit unit);

/// The shortest number that reads back as the same double: "0.25", "22000".
std::string plain_number(double value);

/// With a capital at its start and a full stop at its end.
std::string sentence(std::string text);

}  // namespace seamwright::screen
