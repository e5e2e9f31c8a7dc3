#pragma once

#include <fmt/format.h>

#include <cstdint>
#include <random>
#include <string>
#include <string_view>

namespace seamwright::test {

/// FNV-1a, 64 bits (RFC 9923).
inline std::uint64_t checksum(std::string_view bytes) {
    std::uint64_t sum = 0xcbf29ce484222325U;
    for (const char byte : bytes) sum = (sum ^ static_cast<unsigned char>(byte)) * 0x100000001b3U;
    return sum;
}

inline constexpr std::size_t checksum_digits = 16;

/// A document that carries the checksum of the rest of it in its middle.
inline std::string with_checksum(std::string_view rest) {
    const std::size_t middle = rest.size() / 2;
    return fmt::format("{}{:016x}{}", rest.substr(0, middle), checksum(rest), rest.substr(middle));
}
inline std::string without_checksum(std::string_view document) {
    const std::size_t middle = (document.size() - checksum_digits) / 2;
    return std::string(document.substr(0, middle)).append(document.substr(middle + checksum_digits));
}
inline bool is_whole(std::string_view document) {
    return document.size() >= checksum_digits && with_checksum(without_checksum(document)) == document;
}

inline std::string random_bytes(std::mt19937_64& random, std::size_t size) {
    std::string bytes(size, ' ');
    for (char& byte : bytes) byte = static_cast<char>(random() & 0xFFU);
    return bytes;
}

/// Another document that differs in a place near the middle, where the checksum is.
inline std::string edited(std::mt19937_64& random, std::string_view document) {
    std::string rest = without_checksum(document);
    const std::string piece = random_bytes(random, 1 + random() % 40);
    rest.replace(rest.size() / 2, std::min(rest.size() - rest.size() / 2, random() % 40), piece);
    return with_checksum(rest);
}

}  // namespace seamwright::test
