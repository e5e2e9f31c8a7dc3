#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>

namespace seamwright::app {

/// What can be asked for: the addresses of web/src/protocol.ts, and files of the page.
struct Route {
    enum class To {
        file,  ///< of the page, or anything else that is no /api address: only a name in a table
        jobs,
        search,
        begin,
        screen,
        version,
        attempt,
        edit,
        undo,
        redo,
        duplicate,
        remove,
        restore,
        history,
        go_back,
        paper,
        document,
        shop,
        wood,
        work,
        made,
        note,
        closing,      ///< of one seam; its number is `name`
        feed,         ///< the same
        trace,        ///< of pictures; belongs to no job
        board_photo,  ///< the same
        picture       ///< of a board; its name is `name`
    };
    To to = To::file;
    std::int64_t job = 0;
    std::string name;  ///< of a paper or picture: letters, digits, '-', '_', '.'; of a file: the path
};
struct NoRoute {
    int status = 404;   ///< 404, or 405
    std::string allow;  ///< the methods that there are
};

/// `path` as it was sent: what is escaped or spelled in another way has no route. Ids are 1 … 999999999999999999,
/// digits only, no leading nought.
std::variant<Route, NoRoute> find_route(std::string_view method, std::string_view path);

}  // namespace seamwright::app
