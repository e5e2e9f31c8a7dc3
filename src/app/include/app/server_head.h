#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <variant>

namespace seamwright::app {

/// Largest head of a request, request line and fields together. Ours stay below 2 KiB.
inline constexpr std::size_t largest_head_bytes = 16u << 10;
inline constexpr std::size_t most_head_fields = 64;
/// Longest target (path and query) that is looked at; the longest of ours, a paper's name, is far shorter.
inline constexpr std::size_t longest_target = 1024;

/// The head of an HTTP/1.1 request, checked and cut down to what the program uses.
struct Head {
    /// Request line and fields, ending with the empty line. Fields that are not used are left out, so that nothing
    /// further on can be talked into ranges, compression or transfer codings.
    std::string text;
    std::uint64_t body_bytes = 0;
    bool stays_open = true;  ///< the client wants to ask again on this connection
};
struct HeadFault {
    int status = 400;  ///< RFC 9110
};

/// Reads a head, strictly by RFC 9112: lines end with CR LF, one space between the parts of the request line, no folded
/// fields, no control characters, one Host, at most one Content-Length of digits. `text` ends with the empty line.
/// Faults: 400 malformed; 405 a method other than GET, HEAD, POST; 411 a body of unknown length; 414 target too long;
/// 415 a body that is compressed; 417 an expectation other than 100-continue; 431 too many fields; 505 not HTTP/1.
std::variant<Head, HeadFault> read_head(std::string_view text);

/// Equal by RFC 9110's rule for names: letters of either case alike, ASCII only.
bool same_name(std::string_view a, std::string_view b);

}  // namespace seamwright::app
