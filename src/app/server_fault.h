#pragma once

#include <string>
#include <string_view>

#include "app/server_listener.h"

namespace seamwright::app {

/// { says, remedy } with what the status means, in plain words.
Answer fault(int status);
Answer fault(int status, std::string_view says, std::string_view remedy);

/// The whole answer as bytes, for a connection that is closed after it.
std::string written_out(const Answer& answer);

}  // namespace seamwright::app
