#include "values.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "course.h"
#include "learn.h"
#include "renamed.h"
#include "seam_kind.h"
#include "shop_hours.h"
#include "words.h"

namespace seamwright::edit {
namespace {

std::string_view trimmed(std::string_view text) {
    const auto begin = text.find_first_not_of(" \t\r\n");
    if (begin == std::string_view::npos) return {};
    return text.substr(begin, text.find_last_not_of(" \t\r\n") - begin + 1);
}

/// Digits with at most a sign and a point: what a person means by a number.
std::optional<double> plain_number(std::string_view text) {
    if (text.find_first_not_of("+-.0123456789") != std::string_view::npos) return std::nullopt;
    double number = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(number)) return std::nullopt;
    return number;
}

Json typed_length(const Json& tree, const Steps& steps, std::string_view text) {
    // "-0" stays what it means.
    if (const auto number = plain_number(text)) return number_of(*number + 0.0);
    const auto read = units::read_length(text, unit_of(tree));
    if (const auto* refusal = std::get_if<units::LengthRefusal>(&read)) {
        refuse(pointer_of(steps), fmt::format("\"{}\"", text.substr(0, 40)),
               unit_of(tree) == units::Unit::inch ? "a length such as 2 3/8, \"2 3/8 in\" or \"60 mm\""
                                                  : "a length such as 34, \"34 mm\" or \"1 3/8 in\"",
               refusal->reason);
    }
    return Json(std::string(text));
}

Json typed_number(const Steps& steps, std::string text) {
    for (const std::string_view word : {"°", "degrees", "degree"}) {
        const auto at = text.find(word);
        if (at != std::string::npos && trimmed(std::string_view(text).substr(at + word.size())).empty())
            text.resize(at);
    }
    // "22 000" turns per minute.
    std::string digits;
    std::copy_if(text.begin(), text.end(), std::back_inserter(digits), [](char c) { return c != ' '; });
    const auto number = plain_number(digits);
    if (!number) {
        refuse(pointer_of(steps), fmt::format("\"{}\"", std::string_view(text).substr(0, 40)),
               "a number such as 12 or 12.5", "write digits, with a point for decimals");
    }
    return number_of(*number + 0.0);
}

/// Names that stand in each other's place.
struct Rivals {
    std::string_view parent;  ///< the name of the group, "*": the kinds of a curve or of an outline
    std::vector<std::string_view> names;
};
const std::vector<Rivals>& rivals() {
    static const std::vector<std::string_view> curves{"straight", "arc",  "sprung",   "wave",   "oval",
                                                      "circle",   "pins", "svg_path", "points", "lines_and_arcs"};
    static const std::vector<std::string_view> edges{"bow", "pins"};
    static const std::vector<Rivals> all{
        {"arc", {"radius", "rise"}},
        {"sprung", {"length", "rise"}},
        {"points", {"csv", "file"}},
        {"outline", {"rectangle", "round", "oval", "drawn"}},
        {"curve", curves},
        {"drawn", curves},
        {"front", edges},
        {"right", edges},
        {"back", edges},
        {"left", edges},
    };
    return all;
}

/// One corner alone cannot be said while one radius stands for all four.
void part_corners(Json& tree, const Steps& corner) {
    Json* radius = find(tree, first_steps(corner, corner.size() - 1));
    if (radius == nullptr || radius->is_structured()) return;
    Json each = Json::object();
    for (const char* name : {"front_left", "front_right", "back_right", "back_left"}) each[name] = *radius;
    *radius = std::move(each);
}

void change_unit(Bench& bench, const Json& value) {
    const units::Unit from = unit_of(bench.tree());
    const bool known = value == "mm" || value == "in";
    if (!known) refuse("/unit", value.dump(), "mm or in", "choose one of the two");
    const units::Unit to = value == "in" ? units::Unit::inch : units::Unit::millimetre;
    Json& tree = bench.change();
    visit_lengths(tree, [&](const Steps&, Json& length) { keep_size(length, from, to); });
    // A traced line without a unit of its own is in the job's.
    const auto keep_points = [&](Json* curve) {
        Json* points = curve != nullptr ? find(*curve, {"points"}) : nullptr;
        if (points == nullptr || !points->is_object() || points->contains("unit") || from == to) return;
        (*points)["unit"] = from == units::Unit::inch ? "in" : "mm";
    };
    keep_points(find(tree, {"top", "outline", "drawn"}));
    if (Json* seams = find(tree, {"seams"}); seams != nullptr && seams->is_array())
        for (Json& seam : *seams) keep_points(find(seam, {"curve"}));
    tree["unit"] = value;
}

/// A text that may be left out, and is when it is emptied.
bool open_text(const Steps& steps) {
    constexpr std::array<std::string_view, 5> names{"first_day", "apply", "currency", "customer", "terms"};
    return steps.size() == 2 && std::find(names.begin(), names.end(), steps.back()) != names.end();
}

std::size_t pins_needed_in(const Json& tree, const Steps& list) {
    const Json* closed = find(tree, first_steps(list, list.size() - 1) / "closed");
    return pins_needed(closed != nullptr && *closed == true);
}

}  // namespace

Json typed(const Json& tree, const Steps& steps, const Json& value) {
    if (value.is_structured()) {
        Json result = value;
        std::size_t index = 0;
        for (auto it = result.begin(); it != result.end(); ++it)
            *it = typed(tree, value.is_object() ? steps / it.key() : steps / index++, *it);
        return result;
    }
    if (!value.is_string()) return value;
    const std::string_view text = trimmed(value.get_ref<const std::string&>());
    if (is_weekday(steps)) return typed_hours(text);
    switch (kind_of_field(steps)) {
        case FieldKind::length:
            return typed_length(tree, steps, text);
        case FieldKind::number:
        case FieldKind::angle:
            return typed_number(steps, std::string(text));
        case FieldKind::flag:
            if (text == "true") return true;
            if (text == "false") return false;
            return value;
        case FieldKind::text:
            return steps.back() == "name" ? Json(std::string(text)) : value;
        case FieldKind::group:
            return value;
    }
    return value;
}

void rename_member(Json& group, std::string_view from, std::string_view to, const Json& value) {
    Json renamed = Json::object();
    for (auto it = group.begin(); it != group.end(); ++it) {
        if (it.key() == from) {
            renamed[std::string(to)] = value;
        } else {
            renamed[it.key()] = std::move(*it);
        }
    }
    group = std::move(renamed);
}

void put(Json& tree, const Steps& steps, Json value) {
    Json* at = &tree;
    for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
        if (at->is_object() && !at->contains(steps[i])) (*at)[steps[i]] = Json::object();
        Json* next = find(*at, {steps[i]});
        if (next == nullptr || !next->is_structured()) {
            refuse(pointer_of(steps), fmt::format("no \"{}\" in the job", pointer_of(first_steps(steps, i + 1))),
                   "a place that the job has", "load the page anew; the job may have been changed elsewhere");
        }
        at = next;
    }
    const std::string& last = steps.back();
    if (at->is_array()) {
        Json* item = find(*at, {last});
        if (item == nullptr) {
            refuse(pointer_of(steps), "no such entry in the list", "an entry that the list has",
                   "load the page anew; the job may have been changed elsewhere");
        }
        *item = std::move(value);
        return;
    }
    if (!at->contains(last) && steps.size() > 1) {
        for (const Rivals& group : rivals()) {
            if (steps[steps.size() - 2] != group.parent) continue;
            if (std::find(group.names.begin(), group.names.end(), last) == group.names.end()) continue;
            std::vector<std::string> others;
            for (const std::string_view name : group.names)
                if (at->contains(std::string(name))) others.emplace_back(name);
            if (others.empty()) continue;
            rename_member(*at, others.front(), last, value);
            for (std::size_t i = 1; i < others.size(); ++i) at->erase(others[i]);
            return;
        }
    }
    (*at)[last] = std::move(value);
}

std::string set_value(Bench& bench, std::string_view pointer, const Json& value) {
    const auto steps = steps_of(pointer);
    if (!steps || steps->empty()) {
        refuse(std::string(pointer), "no place in the job", "a JSON pointer to a value", "name the value to change");
    }
    if (pointer == "/unit") {
        change_unit(bench, value);
        return value == "in" ? "Numbers are in inches from here on" : "Numbers are in millimetres from here on";
    }
    const FieldKind kind = kind_of_field(*steps);
    const bool may_be_open = (kind != FieldKind::text && kind != FieldKind::group) || open_text(*steps);
    const bool nothing_typed = value.is_string() && may_be_open && trimmed(value.get_ref<const std::string&>()).empty();
    if (value.is_null() || nothing_typed) {
        const Json* parent = find(bench.tree(), first_steps(*steps, steps->size() - 1));
        if (parent != nullptr && parent->is_array()) {
            // A list is not shortened by a field that was emptied.
            if (nothing_typed) refuse(std::string(pointer), "nothing", "a length such as 34", "type a length");
            return remove_value(bench, pointer);
        }
        std::string says = capitalised(place_words(bench.tree(), *steps)) + ": left open";
        if (parent != nullptr && parent->contains(steps->back()))
            find(bench.change(), first_steps(*steps, steps->size() - 1))->erase(steps->back());
        forget_how_well(bench, *steps);
        return says;
    }
    const std::string before = owner_words(bench.tree(), *steps);
    Json wanted = typed(bench.tree(), *steps, value);
    Json old = Json(nullptr);
    if (const Json* there = find(bench.tree(), *steps)) old = *there;
    if (steps->size() == 3 && steps->front() == "seams" && steps->back() == "kind") {
        change_kind(bench, first_steps(*steps, 2), wanted);
        return fmt::format("{} is now {}", capitalised(before),
                           wanted == "open"    ? "a seam from edge to edge"
                           : wanted == "inlay" ? "an inlay"
                                               : "an edging");
    }
    Json& tree = bench.change();
    if (is_weekday(*steps)) begin_week(tree);
    if (steps->size() > 1 && (*steps)[steps->size() - 2] == "corner_radius") part_corners(tree, *steps);
    std::string shown = value_words(tree, *steps, wanted);
    put(tree, *steps, std::move(wanted));
    forget_how_well(bench, *steps);
    if (steps->back() == "name") {
        follow_name(bench, *steps, old);
        return steps->size() == 1 ? fmt::format("The job is called {}", shown)
                                  : fmt::format("{} is called {}", capitalised(before), shown);
    }
    return fmt::format("{}: {}", capitalised(place_words(tree, *steps)), shown);
}

std::string insert_value(Bench& bench, std::string_view pointer, const Json& value) {
    const auto steps = steps_of(pointer);
    if (!steps || steps->empty()) {
        refuse(std::string(pointer), "no list in the job", "a JSON pointer to a place in a list", "name the place");
    }
    const Steps list_steps = first_steps(*steps, steps->size() - 1);
    Json& tree = bench.change();
    if (find(tree, list_steps) == nullptr && !list_steps.empty()) put(tree, list_steps, Json::array());
    Json* list = find(tree, list_steps);
    const auto index =
        steps->back() == "-" ? std::optional<std::size_t>(list != nullptr ? list->size() : 0) : index_of(steps->back());
    if (list == nullptr || !list->is_array() || !index || *index > list->size()) {
        refuse(std::string(pointer), "no such place in a list", "a place from the first to behind the last",
               "load the page anew; the job may have been changed elsewhere");
    }
    const Steps place = list_steps / *index;
    Json item = typed(tree, place, value);
    list->insert(list->begin() + static_cast<std::ptrdiff_t>(*index), std::move(item));
    if (list_steps.front() == "shelf") return fmt::format("{} put on the shelf", capitalised(owner_words(tree, place)));
    return fmt::format("{} added", capitalised(place_words(tree, place)));
}

std::string remove_value(Bench& bench, std::string_view pointer) {
    const auto steps = steps_of(pointer);
    const Json* there = steps && !steps->empty() ? find(bench.tree(), *steps) : nullptr;
    if (there == nullptr) {
        refuse(std::string(pointer), "nothing to take away there", "a place that the job has",
               "load the page anew; the job may have been changed elsewhere");
    }
    const Steps list_steps = first_steps(*steps, steps->size() - 1);
    const Json& list = *find(bench.tree(), list_steps);
    const std::string what = capitalised(place_words(bench.tree(), *steps));
    const bool on_shelf = steps->front() == "shelf";
    const bool of_curve = list.is_array() && steps->size() > 3 && list_steps.back() == "points";
    const bool of_edge = list.is_array() && steps->size() > 3 && list_steps.back() == "pins";
    if (const std::size_t least = pins_needed_in(bench.tree(), list_steps); of_curve && list.size() <= least) {
        refuse(std::string(pointer), fmt::format("one of the last {} pins", list.size()),
               fmt::format("at least {} pins on {} line", least, least == 3 ? "a closed" : "an open"),
               "move the pin instead, or take the whole seam away");
    }
    const Json gone = *there;
    Json& tree = bench.change();
    if (of_edge && list.size() == 1) {
        // The last pin of an edge leaves it straight.
        find(tree, first_steps(*steps, steps->size() - 3))->erase((*steps)[steps->size() - 3]);
    } else if (Json& parent = *find(tree, list_steps); parent.is_array()) {
        parent.erase(parent.begin() + static_cast<std::ptrdiff_t>(*index_of(steps->back())));
    } else {
        parent.erase(steps->back());
    }
    if (on_shelf) {
        forget_bearing(tree, *steps, gone);
        return fmt::format("{} taken off the shelf", what);
    }
    return fmt::format("{} removed", what);
}

}  // namespace seamwright::edit
