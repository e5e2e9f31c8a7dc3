#include "plan/sha256.h"

#include <openssl/evp.h>

#include <array>
#include <stdexcept>

namespace seamwright::plan {

std::string sha256_hex(std::string_view bytes) {
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned int size = 0;
    if (EVP_Digest(bytes.data(), bytes.size(), digest.data(), &size, EVP_sha256(), nullptr) != 1)
        throw std::runtime_error("sha256_hex: libcrypto refused to hash");
    constexpr std::string_view digits = "0123456789abcdef";
    std::string hex;
    hex.reserve(2 * std::size_t{size});
    for (std::size_t i = 0; i < size; ++i) {
        hex += digits[digest[i] >> 4U];
        hex += digits[digest[i] & 0xFU];
    }
    return hex;
}

}  // namespace seamwright::plan
