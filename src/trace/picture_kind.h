#pragma once

#include <cstdint>
#include <span>
#include <string>

namespace seamwright::trace {

enum class PictureKind { jpeg, png, other };

/// What the first bytes of a file say.
struct LooksLike {
    PictureKind kind = PictureKind::other;
    std::string name;    ///< of another kind, with its article: "a PDF file". Empty: not known
    std::string remedy;  ///< how to make a picture of it that can be read
};

LooksLike looks_like(std::span<const std::uint8_t> bytes);

}  // namespace seamwright::trace
