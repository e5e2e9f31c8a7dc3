#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/server_listener.h"
#include "app/server_route.h"

namespace seamwright::app {

inline constexpr std::uint64_t largest_edit_bytes = 1u << 20;
/// Job files, and curves to import. A file travels inside a JSON text, which makes it somewhat longer.
inline constexpr std::uint64_t largest_upload_bytes = 64u << 20;

/// Whether a request for a route comes from our own page, in a form we read, and is not too large; otherwise the answer
/// that refuses it. `host`: what the Host field must say, see own_hosts().
///
/// Another page in the same browser can reach a server on loopback. It is kept out by the Host field, which names its
/// own site when it has bent its own name to our address (DNS rebinding); by Origin and Sec-Fetch-Site (Fetch Metadata
/// Request Headers, W3C), which the browser sets and scripts cannot; and by a content type that no form can send.
std::optional<Answer> refuse_stranger(const Asked& asked, const Route& route, const std::vector<std::string>& hosts);

/// Names under which a loopback server on this port is asked: "localhost:7431", "127.0.0.1:7431", "[::1]:7431".
std::vector<std::string> own_hosts(int port);

/// 128 random bits from the system, in base64url (RFC 4648, 5).
std::string make_token();
/// Takes the same time whatever differs.
bool same_secret(std::string_view a, std::string_view b);
/// The value of a cookie (RFC 6265), if there is exactly one of that name.
std::optional<std::string_view> cookie_value(std::string_view field, std::string_view name);

}  // namespace seamwright::app
