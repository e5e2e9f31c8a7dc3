#pragma once

#include <string>
#include <string_view>

namespace seamwright::screen {

/// The family of woods a species looks like, as `Wood` of web/src/protocol.ts; "unknown" for a species that is not in
/// the tables or not told (data/wood_look.csv: common practice, from memory).
std::string_view wood_look(const std::string& species);

}  // namespace seamwright::screen
