#pragma once

#include <iosfwd>
#include <string>
#include <vector>

namespace seamwright::app {

/// What the program returns to the shell.
enum class Exit : int {
    good = 0,
    fault = 1,         ///< a fault of the program itself, or no memory left
    bad_input = 2,     ///< the command line, or a job with errors: nothing was written
    cannot_write = 3,  ///< the papers, or the text for the terminal, could not be written
    cannot_serve = 4,  ///< the saved jobs could not be opened, or no port was free
};

/// The program: `arguments` without the program's own name. Findings go to `out`, complaints to `err`; a job named "-"
/// is read from `in`. Throws nothing but what the system throws when memory runs out.
Exit run(const std::vector<std::string>& arguments, std::istream& in, std::ostream& out, std::ostream& err);

}  // namespace seamwright::app
