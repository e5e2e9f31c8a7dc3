#include "app/server_route.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>

namespace seamwright::app {
namespace {

/// Fits std::int64_t whatever the digits are.
constexpr std::size_t most_id_digits = 18;
constexpr std::size_t longest_file_name = 120;
constexpr std::size_t most_seam_digits = 4;

struct Word {
    std::string_view word;  ///< after /api/jobs/ID/
    bool post = false;
    Route::To to = Route::To::screen;
};
constexpr std::array<Word, 16> words = {{
    {"version", false, Route::To::version},
    {"try", true, Route::To::attempt},
    {"edit", true, Route::To::edit},
    {"undo", true, Route::To::undo},
    {"redo", true, Route::To::redo},
    {"duplicate", true, Route::To::duplicate},
    {"delete", true, Route::To::remove},
    {"restore", true, Route::To::restore},
    {"history", false, Route::To::history},
    {"return", true, Route::To::go_back},
    {"export", false, Route::To::document},
    {"shop", false, Route::To::shop},
    {"wood", false, Route::To::wood},
    {"work", false, Route::To::work},
    {"made", false, Route::To::made},
    {"note", true, Route::To::note},
}};

std::optional<std::int64_t> read_id(std::string_view text) {
    if (text.empty() || text.size() > most_id_digits || text.front() == '0') return {};
    std::int64_t id = 0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), id);
    // from_chars also takes a minus sign.
    if (read.ec != std::errc() || read.ptr != text.data() + text.size() || id <= 0) return {};
    return id;
}

bool file_name(std::string_view text) {
    const auto good = [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_' ||
               c == '.';
    };
    return !text.empty() && text.size() <= longest_file_name && text.front() != '.' &&
           std::all_of(text.begin(), text.end(), good);
}

bool cut_start(std::string_view& text, std::string_view start) {
    if (!text.starts_with(start)) return false;
    text.remove_prefix(start.size());
    return true;
}

std::variant<Route, NoRoute> only(bool post, std::string_view method, Route route) {
    if (post) return method == "POST" ? std::variant<Route, NoRoute>(std::move(route)) : NoRoute{405, "POST"};
    return method == "GET" || method == "HEAD" ? std::variant<Route, NoRoute>(std::move(route))
                                               : NoRoute{405, "GET, HEAD"};
}

}  // namespace

std::variant<Route, NoRoute> find_route(std::string_view method, std::string_view path) {
    using To = Route::To;
    std::string_view rest = path;
    if (!cut_start(rest, "/api/")) return only(false, method, {To::file, 0, std::string(path)});
    if (rest == "jobs") {
        if (method == "POST") return Route{To::begin, 0, {}};
        if (method == "GET" || method == "HEAD") return Route{To::jobs, 0, {}};
        return NoRoute{405, "GET, HEAD, POST"};
    }
    if (rest == "search") return only(false, method, {To::search, 0, {}});
    if (rest == "trace") return only(true, method, {To::trace, 0, {}});
    if (rest == "board-photo") return only(true, method, {To::board_photo, 0, {}});
    if (cut_start(rest, "pictures/")) {
        if (!file_name(rest)) return NoRoute{404, {}};
        return only(false, method, {To::picture, 0, std::string(rest)});
    }
    if (!cut_start(rest, "jobs/")) return NoRoute{404, {}};
    const std::size_t slash = rest.find('/');
    const auto id = read_id(rest.substr(0, slash));
    if (!id) return NoRoute{404, {}};
    if (slash == std::string_view::npos) return only(false, method, {To::screen, *id, {}});
    rest.remove_prefix(slash + 1);
    if (cut_start(rest, "papers/")) {
        if (!file_name(rest)) return NoRoute{404, {}};
        return only(false, method, {To::paper, *id, std::string(rest)});
    }
    const bool feed = cut_start(rest, "feed/");
    if (feed || cut_start(rest, "closing/")) {
        const bool number = !rest.empty() && rest.size() <= most_seam_digits &&
                            std::all_of(rest.begin(), rest.end(), [](char c) { return c >= '0' && c <= '9'; });
        if (!number) return NoRoute{404, {}};
        return only(false, method, {feed ? To::feed : To::closing, *id, std::string(rest)});
    }
    for (const auto& word : words) {
        if (word.word == rest) return only(word.post, method, {word.to, *id, {}});
    }
    return NoRoute{404, {}};
}

}  // namespace seamwright::app
