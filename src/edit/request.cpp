#include "request.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace seamwright::edit {

void refuse_edit(std::string found, std::string allowed) {
    refuse("", std::move(found), std::move(allowed),
           "load the page anew; the program behind it may be another version");
}

void check_members(const Json& edit, std::string_view name, std::initializer_list<std::string_view> others) {
    for (auto it = edit.begin(); it != edit.end(); ++it) {
        if (it.key() == name || std::find(others.begin(), others.end(), it.key()) != others.end()) continue;
        refuse_edit(fmt::format("\"{}\" beside \"{}\" in an edit", std::string_view(it.key()).substr(0, 40), name),
                    "the members that this edit has");
    }
}

std::optional<std::string> optional_text_in(const Json& group, std::string_view name) {
    const auto it = group.find(std::string(name));
    if (it == group.end()) return std::nullopt;
    if (!it->is_string()) refuse_edit(fmt::format("\"{}\" of an edit that is no text", name), "a text");
    return it->get<std::string>();
}

std::string text_in(const Json& group, std::string_view name) {
    auto text = optional_text_in(group, name);
    if (!text) refuse_edit(fmt::format("an edit without \"{}\"", name), "a text there");
    return *text;
}

double number_in(const Json& group, std::string_view name) {
    const auto it = group.find(std::string(name));
    if (it == group.end() || !it->is_number() || !(std::abs(it->get<double>()) <= units::longest_length_mm))
        refuse_edit(fmt::format("an edit without a usable number at \"{}\"", name), "a number, no more than a million");
    return it->get<double>();
}

std::size_t count_in(const Json& group, std::string_view name) {
    constexpr int most = 40;
    const auto it = group.find(std::string(name));
    if (it == group.end()) return 0;
    if (!it->is_number_integer() || it->get<double>() < 0.0 || it->get<double>() > most)
        refuse_edit(fmt::format("an edit without a usable number at \"{}\"", name), "a whole number from 0 to 40");
    return it->get<std::size_t>();
}

bool flag_in(const Json& group, std::string_view name) {
    const auto it = group.find(std::string(name));
    if (it == group.end()) return false;
    if (!it->is_boolean()) refuse_edit(fmt::format("\"{}\" of an edit", name), "true or false");
    return it->get<bool>();
}

geometry::Point place_from(const Json& value) {
    if (value.is_array() && value.size() == 2 && value[0].is_number() && value[1].is_number()) {
        const geometry::Point p{value[0].get<double>(), value[1].get<double>()};
        if (std::abs(p.x) <= units::longest_length_mm && std::abs(p.y) <= units::longest_length_mm) return p;
    }
    refuse_edit("an edit whose place is no place", "a place [x, y] in mm, within a kilometre");
}

geometry::Point place_in(const Json& group, std::string_view name) {
    const auto it = group.find(std::string(name));
    if (it == group.end()) refuse_edit(fmt::format("an edit without \"{}\"", name), "a place [x, y] in mm");
    return place_from(*it);
}

std::vector<geometry::Point> places_in(const Json& group, std::string_view name) {
    const auto it = group.find(std::string(name));
    if (it == group.end() || !it->is_array())
        refuse_edit(fmt::format("an edit without \"{}\"", name), "a list of places");
    std::vector<geometry::Point> places;
    for (const Json& item : *it) places.push_back(place_from(item));
    return places;
}

Aim aim_in(const Json& group) {
    const double mm_per_px = number_in(group, "mm_per_px");
    if (!(mm_per_px > 0.0)) refuse_edit("an edit drawn at no scale", "\"mm_per_px\" above nought");
    return {mm_per_px, flag_in(group, "free")};
}

}  // namespace seamwright::edit
