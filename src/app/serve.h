#pragma once

#include <iosfwd>
#include <optional>
#include <string>

#include "app/cli.h"

namespace seamwright::app {

struct ServeWish {
    std::optional<int> port;
    bool share = false;
    bool notes = false;  ///< with `share`: the phone may write down what was done
    std::string data;    ///< empty: the usual place
    std::string open;    ///< job file; empty: none, "-": standard input
};

/// Serves the page until the program is interrupted or told to end (SIGINT, SIGTERM, SIGHUP).
Exit serve(const ServeWish& wish, std::istream& in, std::ostream& out, std::ostream& err);

}  // namespace seamwright::app
