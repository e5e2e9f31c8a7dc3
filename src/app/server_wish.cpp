#include "server_wish.h"

#include <cmath>
#include <variant>

namespace seamwright::app {

using Json = nlohmann::ordered_json;
using geometry::Point;

std::string address_text(std::string_view text) {
    std::string out;
    const auto digit = [](char c) {
        if (c >= '0' && c <= '9') return c - '0';
        if (c >= 'A' && c <= 'F') return c - 'A' + 10;
        if (c >= 'a' && c <= 'f') return c - 'a' + 10;
        throw Unreadable{"the wish is not written as an address wants it"};
    };
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] != '%') {
            out += text[i];
            continue;
        }
        if (i + 2 >= text.size()) throw Unreadable{"the wish is not written as an address wants it"};
        out += static_cast<char>(16 * digit(text[i + 1]) + digit(text[i + 2]));
        i += 2;
    }
    return out;
}

Json wish_json(std::string_view query) {
    constexpr std::string_view start = "wish=";
    if (!query.starts_with(start)) throw Unreadable{"there is no wish"};
    Json json = Json::parse(address_text(query.substr(start.size())), nullptr, false);
    if (!json.is_object()) throw Unreadable{"the wish is no JSON object"};
    return json;
}

Point place_in(const Json& place) {
    if (!place.is_array() || place.size() != 2 || !place[0].is_number() || !place[1].is_number())
        throw Unreadable{"a place that is no pair of numbers"};
    return {place[0].get<double>(), place[1].get<double>()};
}

double length_in(const Json& text, units::Unit bare) {
    if (!text.is_string()) throw Unreadable{"a length that is no text"};
    const auto read = units::read_length(text.get<std::string>(), bare);
    if (const auto* why = std::get_if<units::LengthRefusal>(&read)) throw Unreadable{why->reason};
    return std::get<double>(read);
}

Json place_of(Point p) {
    const auto tenth = [](double v) { return std::round(v * 10.0) / 10.0; };
    return Json::array({tenth(p.x), tenth(p.y)});
}

Json problem_of(const trace::TraceProblem& problem) {
    Json json{{"says", problem.reason}, {"remedy", problem.remedy}};
    if (problem.at_px) json["at"] = place_of(*problem.at_px);
    return json;
}

}  // namespace seamwright::app
