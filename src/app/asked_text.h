#pragma once

#include <charconv>
#include <cstdint>
#include <iosfwd>
#include <string>
#include <string_view>
#include <vector>

#include "app/cli.h"
#include "geometry/point.h"
#include "units/length.h"

// What a maker writes behind the options of a command, and files it names.
namespace seamwright::app {

/// What stops a command: said, and nothing is written.
struct Stop {
    Exit exit = Exit::bad_input;
    std::string reason, remedy;
};

/// A sentence, broken to lines, with nothing that steers a terminal.
void say(std::ostream& out, const std::string& first, const std::string& text);

/// "in" or anything else for mm, as the options allow them.
units::Unit unit_in(const std::string& text);

// Each throws Stop, with the option's name, for what cannot be read.
double length_in(const std::string& text, units::Unit bare, const char* option);
/// "X,Y" in pixels.
geometry::Point place_in(const std::string& text, const char* option);
/// At most trace::most_picture_bytes.
std::vector<std::uint8_t> picture_bytes(const std::string& name);

/// All of it or nothing, by a rename; throws Stop.
void write_whole(const std::string& name, const std::string& bytes);

template <typename Number>
bool whole_text(std::string_view text, Number& into) {
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), into);
    return error == std::errc{} && end == text.data() + text.size();
}

}  // namespace seamwright::app
