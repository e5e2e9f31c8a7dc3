#include "app/qr.h"

#include <qrencode.h>

#include <memory>

namespace seamwright::app {
namespace {

constexpr int quiet_zone = 4;

}  // namespace

std::string qr_code(std::string_view text, bool coloured) {
    const std::unique_ptr<QRcode, decltype(&QRcode_free)> code(
        QRcode_encodeString(std::string(text).c_str(), 0, QR_ECLEVEL_M, QR_MODE_8, 1), &QRcode_free);
    if (!code) return {};
    const int width = code->width;
    const auto dark = [&](int column, int row) {
        if (column < 0 || row < 0 || column >= width || row >= width) return false;
        return (code->data[row * width + column] & 1) != 0;
    };
    std::string drawn;
    for (int row = -quiet_zone; row < width + quiet_zone; row += 2) {
        if (coloured) drawn += "\x1b[30;107m";
        for (int column = -quiet_zone; column < width + quiet_zone; ++column) {
            const bool upper = dark(column, row) == coloured, lower = dark(column, row + 1) == coloured;
            drawn += upper && lower ? "█" : upper ? "▀" : lower ? "▄" : " ";
        }
        if (coloured) drawn += "\x1b[0m";
        drawn += '\n';
    }
    return drawn;
}

}  // namespace seamwright::app
