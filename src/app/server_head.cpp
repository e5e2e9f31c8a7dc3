#include "app/server_head.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>

namespace seamwright::app {
namespace {

constexpr std::string_view line_end = "\r\n";

char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

/// tchar of RFC 9110, 5.6.2.
bool token_char(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
           std::string_view("!#$%&'*+-.^_`|~").find(c) != std::string_view::npos;
}

/// Visible ASCII, space, tab, and bytes above ASCII (obs-text).
bool value_char(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte == '\t' || (byte >= 0x20 && byte != 0x7F);
}

bool target_char(char c) {
    return c > 0x20 && c < 0x7F;
}

std::string_view without_space_around(std::string_view text) {
    const std::size_t from = text.find_first_not_of(" \t");
    if (from == std::string_view::npos) return {};
    return text.substr(from, text.find_last_not_of(" \t") - from + 1);
}

/// The fields that are passed on; every one of them at most once.
constexpr std::array<std::string_view, 7> used = {"host",   "origin",        "sec-fetch-site", "content-type",
                                                  "cookie", "if-none-match", "content-length"};

std::optional<std::uint64_t> whole_number(std::string_view text) {
    std::uint64_t value = 0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
    if (read.ec != std::errc() || read.ptr != text.data() + text.size()) return {};
    return value;
}

struct RequestLine {
    std::string_view method, target;
    bool newer = true;  ///< HTTP/1.1: connections stay open unless told
};

std::variant<RequestLine, HeadFault> read_request_line(std::string_view line) {
    const std::size_t first = line.find(' ');
    const std::size_t second = first == std::string_view::npos ? first : line.find(' ', first + 1);
    if (second == std::string_view::npos) return HeadFault{400};
    const std::string_view method = line.substr(0, first), target = line.substr(first + 1, second - first - 1),
                           version = line.substr(second + 1);
    if (method.empty() || !std::all_of(method.begin(), method.end(), token_char)) return HeadFault{400};
    if (version != "HTTP/1.1" && version != "HTTP/1.0") {
        return HeadFault{version.starts_with("HTTP/") ? 505 : 400};
    }
    if (target.size() > longest_target) return HeadFault{414};
    if (!target.starts_with('/') || !std::all_of(target.begin(), target.end(), target_char)) return HeadFault{400};
    if (method != "GET" && method != "HEAD" && method != "POST") return HeadFault{405};
    return RequestLine{method, target, version == "HTTP/1.1"};
}

}  // namespace

bool same_name(std::string_view a, std::string_view b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](char x, char y) { return lower(x) == lower(y); });
}

std::variant<Head, HeadFault> read_head(std::string_view text) {
    std::size_t at = text.find(line_end);
    if (at == std::string_view::npos) return HeadFault{400};
    const auto line = read_request_line(text.substr(0, at));
    if (const auto* fault = std::get_if<HeadFault>(&line)) return *fault;
    const auto& request = std::get<RequestLine>(line);

    Head head;
    head.stays_open = request.newer;
    head.text = std::string(request.method) + ' ' + std::string(request.target) + " HTTP/1.1\r\n";
    std::array<bool, used.size()> seen{};
    for (std::size_t fields = 0;; ++fields) {
        const std::size_t from = at + line_end.size(), to = text.find(line_end, from);
        if (to == std::string_view::npos) return HeadFault{400};
        const std::string_view field = text.substr(from, to - from);
        at = to;
        if (field.empty()) break;
        if (fields == most_head_fields) return HeadFault{431};
        const std::size_t colon = field.find(':');
        if (colon == std::string_view::npos || colon == 0) return HeadFault{400};
        const std::string_view name = field.substr(0, colon), value = without_space_around(field.substr(colon + 1));
        if (!std::all_of(name.begin(), name.end(), token_char)) return HeadFault{400};
        if (!std::all_of(value.begin(), value.end(), value_char)) return HeadFault{400};

        // A length that two readers could understand in two ways is how requests are smuggled (RFC 9112, 6.3).
        if (same_name(name, "transfer-encoding")) return HeadFault{411};
        // What is packed small can be too large when unpacked.
        if (same_name(name, "content-encoding") && !same_name(value, "identity")) return HeadFault{415};
        if (same_name(name, "expect")) {
            if (!same_name(value, "100-continue")) return HeadFault{417};
            head.text += "Expect: 100-continue\r\n";
        }
        if (same_name(name, "connection")) {
            if (same_name(value, "close")) head.stays_open = false;
            if (same_name(value, "keep-alive")) head.stays_open = true;
        }
        const auto known =
            std::find_if(used.begin(), used.end(), [&](std::string_view own) { return same_name(own, name); });
        if (known == used.end()) continue;
        bool& before = seen[static_cast<std::size_t>(known - used.begin())];
        if (before) return HeadFault{400};
        before = true;
        if (same_name(name, "content-length")) {
            const auto bytes = whole_number(value);
            if (!bytes) return HeadFault{400};
            head.body_bytes = *bytes;
        }
        head.text.append(*known).append(": ").append(value).append(line_end);
    }
    if (!seen[0]) return HeadFault{400};
    if (request.method == "POST") {
        if (!seen.back()) return HeadFault{411};
    } else if (head.body_bytes != 0) {
        return HeadFault{400};
    }
    head.text += line_end;
    return head;
}

}  // namespace seamwright::app
