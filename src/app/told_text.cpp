#include "told_text.h"

#include "app/plain_text.h"

namespace seamwright::app {

std::string told_text(const std::string& indent, const plan::words::Told& told) {
    std::string text = wrapped(indent, printable(told.title));
    for (const std::string& line : told.lines) text += wrapped(indent + "  - ", printable(line));
    for (const std::string& caution : told.cautions) text += wrapped(indent + "  ! ", printable(caution));
    return text;
}

}  // namespace seamwright::app
