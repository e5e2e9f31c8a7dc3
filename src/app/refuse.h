#pragma once

#include <iosfwd>

#include "app/cli.h"
#include "app/read_files.h"

namespace seamwright::app {

/// Tells why, and what to do about it; gives `exit` back.
Exit refuse(const FileRefusal& why, Exit exit, std::ostream& err);

}  // namespace seamwright::app
