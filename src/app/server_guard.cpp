#include "app/server_guard.h"

#include <fmt/format.h>
#include <sys/random.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <system_error>

#include "app/server_head.h"
#include "server_fault.h"

namespace seamwright::app {
namespace {

bool of_pictures(Route::To to) {
    return to == Route::To::trace || to == Route::To::board_photo;
}

/// Edits carry imported curves, new jobs carry documents, and there are pictures; nothing else is long.
std::uint64_t largest_body(Route::To to) {
    using To = Route::To;
    return to == To::begin || to == To::edit || to == To::attempt || of_pictures(to) ? largest_upload_bytes
                                                                                     : largest_edit_bytes;
}

/// A type that no form can send: JSON, or for pictures just bytes.
bool wanted_type(std::string_view field, Route::To to) {
    const std::size_t end = field.find(';');
    std::string_view type = field.substr(0, end);
    while (type.ends_with(' ')) type.remove_suffix(1);
    return same_name(type, of_pictures(to) ? "application/octet-stream" : "application/json");
}

}  // namespace

std::vector<std::string> own_hosts(int port) {
    std::vector<std::string> hosts;
    for (const char* name : {"localhost", "127.0.0.1", "[::1]"}) {
        hosts.push_back(fmt::format("{}:{}", name, port));
        if (port == 80) hosts.emplace_back(name);
    }
    return hosts;
}

std::optional<Answer> refuse_stranger(const Asked& asked, const Route& route, const std::vector<std::string>& hosts) {
    const auto ours =
        std::any_of(hosts.begin(), hosts.end(), [&](const std::string& host) { return same_name(host, asked.host); });
    if (!ours) return fault(403);
    const bool post = asked.method == "POST";
    if (!asked.origin.empty() && !same_name(asked.origin, "http://" + asked.host)) return fault(403);
    if (!asked.fetch_site.empty() && asked.fetch_site != "same-origin" && asked.fetch_site != "none") {
        // A link on another page may lead to ours; it may not use what lies behind it.
        if (post || route.to != Route::To::file) return fault(403);
    }
    if (!post) return {};
    if (!wanted_type(asked.content_type, route.to)) return fault(415);
    if (asked.body_bytes > largest_body(route.to)) return fault(413);
    return {};
}

std::string make_token() {
    std::array<unsigned char, 16> bytes{};
    for (std::size_t have = 0; have < bytes.size();) {
        const ssize_t got = ::getrandom(bytes.data() + have, bytes.size() - have, 0);
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) throw std::system_error(errno, std::generic_category(), "getrandom");
        have += static_cast<std::size_t>(got);
    }
    constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    std::string text;
    unsigned pool = 0;
    int bits = 0;
    for (const unsigned char byte : bytes) {
        pool = (pool << 8) | byte;
        for (bits += 8; bits >= 6; bits -= 6) text += letters[(pool >> (bits - 6)) & 63u];
    }
    return text + letters[(pool << (6 - bits)) & 63u];
}

bool same_secret(std::string_view a, std::string_view b) {
    if (a.size() != b.size()) return false;
    volatile unsigned char difference = 0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        difference = static_cast<unsigned char>(difference | (static_cast<unsigned char>(a[i] ^ b[i])));
    }
    return difference == 0;
}

std::optional<std::string_view> cookie_value(std::string_view field, std::string_view name) {
    std::optional<std::string_view> found;
    while (!field.empty()) {
        const std::size_t end = field.find(';');
        std::string_view pair = field.substr(0, end);
        field.remove_prefix(end == std::string_view::npos ? field.size() : end + 1);
        while (pair.starts_with(' ')) pair.remove_prefix(1);
        const std::size_t equals = pair.find('=');
        if (equals == std::string_view::npos || pair.substr(0, equals) != name) continue;
        if (found) return {};
        found = pair.substr(equals + 1);
    }
    return found;
}

}  // namespace seamwright::app
