#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "geometry/point.h"
#include "trace/picture.h"
#include "units/length.h"

// What the page wishes of pictures, in an address after "wish=": a JSON object.
namespace seamwright::app {

/// Thrown for a wish that cannot be read: half a sentence.
struct Unreadable {
    std::string says;
};

/// What stands in an address, "%20" and its like undone; '+' stays.
std::string address_text(std::string_view text);
nlohmann::ordered_json wish_json(std::string_view query);
geometry::Point place_in(const nlohmann::ordered_json& place);
double length_in(const nlohmann::ordered_json& text, units::Unit bare);

/// A place in a picture, to a tenth of a pixel.
nlohmann::ordered_json place_of(geometry::Point p);
/// { says, remedy, at? }
nlohmann::ordered_json problem_of(const trace::TraceProblem& problem);

}  // namespace seamwright::app
