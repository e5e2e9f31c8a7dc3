#pragma once

#include <string>
#include <string_view>

namespace seamwright::plan {

/// SHA-256 (FIPS 180-4) in lower-case hexadecimal digits.
std::string sha256_hex(std::string_view bytes);

}  // namespace seamwright::plan
