#pragma once

#include <string>
#include <string_view>

namespace seamwright::app {

/// A QR code (ISO/IEC 18004), level M, for a terminal: two rows of modules to a line, drawn with half blocks, with the
/// four modules of quiet zone the standard asks for. `coloured`: black on white by escape sequences (ECMA-48), right on
/// any terminal; otherwise plain signs, dark modules as blanks, for terminals that write light on dark.
/// Empty when the text does not fit (about 2 kB).
std::string qr_code(std::string_view text, bool coloured);

}  // namespace seamwright::app
