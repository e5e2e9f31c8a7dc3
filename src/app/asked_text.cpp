#include "asked_text.h"

#include <fmt/format.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <ostream>
#include <variant>

#include "app/plain_text.h"
#include "app/write_files.h"
#include "trace/picture.h"

namespace seamwright::app {

namespace fs = std::filesystem;
using geometry::Point;

void say(std::ostream& out, const std::string& first, const std::string& text) {
    out << wrapped(first, printable(text));
}

units::Unit unit_in(const std::string& text) {
    return text == "in" ? units::Unit::inch : units::Unit::millimetre;
}

double length_in(const std::string& text, units::Unit bare, const char* option) {
    const auto read = units::read_length(text, bare);
    if (const auto* why = std::get_if<units::LengthRefusal>(&read)) {
        throw Stop{Exit::bad_input, fmt::format("{} {}: {}", option, text, why->reason),
                   "Write a length, such as 12.5 mm or 1/2 in."};
    }
    return std::get<double>(read);
}

Point place_in(const std::string& text, const char* option) {
    const auto comma = text.find(',');
    Point p;
    if (comma == std::string::npos || !whole_text(std::string_view(text).substr(0, comma), p.x) ||
        !whole_text(std::string_view(text).substr(comma + 1), p.y) || !(std::abs(p.x) < 1e6) ||
        !(std::abs(p.y) < 1e6)) {
        throw Stop{Exit::bad_input, fmt::format("{} {}: this is no place in a picture.", option, text),
                   "Write pixels from the left and from the top, such as 812,1430."};
    }
    return p;
}

std::vector<std::uint8_t> picture_bytes(const std::string& name) {
    std::error_code failed;
    const auto size = fs::file_size(name, failed);
    if (failed || !fs::is_regular_file(name, failed)) {
        throw Stop{Exit::bad_input, fmt::format("The picture {} cannot be read.", name),
                   "Check the name, and that you may read the file."};
    }
    if (size > trace::most_picture_bytes) {
        throw Stop{
            Exit::bad_input,
            fmt::format("The picture {} is larger than {} million bytes.", name, trace::most_picture_bytes / 1'000'000),
            "Save it as a JPEG file of good quality, as the camera made it."};
    }
    std::ifstream file(name, std::ios::binary);
    std::vector<std::uint8_t> bytes(size);
    file.read(reinterpret_cast<char*>(bytes.data()), static_cast<std::streamsize>(size));
    if (!file) {
        throw Stop{Exit::bad_input, fmt::format("The picture {} cannot be read.", name),
                   "Check that you may read the file."};
    }
    return bytes;
}

void write_whole(const std::string& name, const std::string& bytes) {
    if (const auto why = write_file(name, bytes)) throw Stop{Exit::cannot_write, why->reason, why->remedy};
}

}  // namespace seamwright::app
