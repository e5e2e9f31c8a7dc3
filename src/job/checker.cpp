#include "checker.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace seamwright::job {

void Checker::error(const Node& node, std::string found, std::string allowed, std::string remedy,
                    std::optional<Point> at) {
    problems_.push_back(
        {node.value->order,
         {Problem::Weight::error, node.pointer, std::move(found), std::move(allowed), std::move(remedy), at}});
}

void Checker::warning(const Node& node, std::string found, std::string allowed, std::string remedy) {
    problems_.push_back(
        {node.value->order,
         {Problem::Weight::warning, node.pointer, std::move(found), std::move(allowed), std::move(remedy), {}}});
}

void Checker::add(std::vector<PlacedProblem> problems) {
    std::move(problems.begin(), problems.end(), std::back_inserter(problems_));
}

std::vector<Problem> Checker::take_problems() {
    std::stable_sort(problems_.begin(), problems_.end(),
                     [](const PlacedProblem& a, const PlacedProblem& b) { return a.order < b.order; });
    std::vector<Problem> result;
    for (PlacedProblem& placed : problems_) {
        if (result.size() == most_problems) {
            result.push_back({Problem::Weight::error,
                              "",
                              fmt::format("{} problems", problems_.size()),
                              fmt::format("the first {} are listed", most_problems),
                              "put these right first, then check again",
                              {}});
            break;
        }
        result.push_back(std::move(placed.problem));
    }
    problems_.clear();
    return result;
}

std::optional<std::string> Checker::fetch(const std::string& name, std::string& why) const {
    if (!fetch_) {
        why = "no files can be read from here";
        return std::nullopt;
    }
    return fetch_(name, why);
}

std::string Checker::say_mm(double mm) const {
    if (unit == units::Unit::millimetre) return shortest(mm) + " mm";
    // Three figures are enough to see which bound was passed.
    return fmt::format("{:.3g} in", mm / units::mm_per_inch);
}

std::string Checker::say(Range range_mm) const {
    return fmt::format("{} to {}", say_mm(range_mm.low), say_mm(range_mm.high));
}

Node child(const Node& list, std::size_t index) {
    return {&std::get<Value::List>(list.value->held)[index], fmt::format("{}/{}", list.pointer, index)};
}

Group::Group(Checker& checker, Node node, const std::vector<std::string_view>& names)
    : checker_(checker), node_(std::move(node)) {
    const auto* members = node_.value->object();
    if (members == nullptr) {
        checker_.error(node_, describe(*node_.value), fmt::format("a group {{ }} with {}", list_of(names, "and")),
                       "write it as a group: { \"name\": value, ... }");
        return;
    }
    for (const Member& member : *members) {
        if (std::find(names.begin(), names.end(), member.name) != names.end()) continue;
        const std::string near = nearest_name(member.name, names);
        checker_.error({&member.value, node_.pointer + pointer_step(member.name)},
                       fmt::format("the unknown name {}", quote(member.name)), list_of(names, "or"),
                       near.empty() ? std::string("take it out; remarks go into \"note\"")
                                    : fmt::format("write \"{}\" if that is what is meant, or take it out", near));
    }
}

std::optional<Node> Group::find(std::string_view name) const {
    const Value* value = node_.value->find(name);
    if (value == nullptr) return std::nullopt;
    return Node{value, node_.pointer + pointer_step(name)};
}

std::optional<Node> Group::need(std::string_view name, std::string_view what) const {
    auto node = find(name);
    if (!node && *this) {
        checker_.error(node_, fmt::format("no \"{}\"", name), std::string(what), fmt::format("add \"{}\"", name));
    }
    return node;
}

std::optional<std::string_view> Group::exactly_one(const std::vector<std::string_view>& names,
                                                   std::string_view what) const {
    if (!*this) return std::nullopt;
    std::vector<std::string_view> given;
    for (const std::string_view name : names) {
        if (node_.value->find(name) != nullptr) given.push_back(name);
    }
    if (given.size() == 1) return given.front();
    const std::string allowed = fmt::format("exactly one of {}", list_of(names, "or"));
    if (given.empty()) {
        checker_.error(node_, fmt::format("no {}", what), allowed, fmt::format("say {} by one of these", what));
    } else {
        checker_.error(node_, list_of(given, "and"), allowed, "keep one and take the others out");
    }
    return std::nullopt;
}

void Group::length(std::string_view name, Range range_mm, double& into) const {
    if (const auto node = find(name)) into = read_length(checker_, *node, range_mm).value_or(into);
}

void Group::length(std::string_view name, Range range_mm, std::optional<double>& into) const {
    if (const auto node = find(name)) into = read_length(checker_, *node, range_mm);
}

void Group::flag(std::string_view name, bool& into) const {
    const auto node = find(name);
    if (!node) return;
    if (const bool* flag = node->value->flag()) {
        into = *flag;
    } else {
        checker_.error(*node, describe(*node->value), "true or false", "write true or false, without quotes");
    }
}

bool Group::need_length(std::string_view name, Range range_mm, std::string_view what, double& into) const {
    const auto node = need(name, what);
    const auto length = node ? read_length(checker_, *node, range_mm) : std::nullopt;
    if (length) into = *length;
    return length.has_value();
}

bool Group::need_point(std::string_view name, std::string_view what, Point& into) const {
    const auto node = need(name, what);
    const auto point = node ? read_point(checker_, *node) : std::nullopt;
    if (point) into = *point;
    return point.has_value();
}

bool Group::need_name(std::string_view what, std::string& into) const {
    const auto node = need("name", what);
    auto name = node ? read_name(checker_, *node) : std::nullopt;
    if (name) into = std::move(*name);
    return name.has_value();
}

std::optional<double> read_length(Checker& checker, const Node& node, Range range_mm) {
    double mm = 0.0;
    std::string found;
    if (const double* number = node.value->number()) {
        mm = checker.unit == units::Unit::inch ? *number * units::mm_per_inch : *number;
        found = fmt::format("{} {}", shortest(*number), checker.unit_name());
    } else if (const std::string* text = node.value->text()) {
        found = quote(*text);
        if (text->size() > ranges::longest_length) {
            checker.error(node, found, "a length such as 34 or \"1 3/8 in\"", "write the length alone");
            return std::nullopt;
        }
        const auto read = units::read_length(*text, checker.unit);
        if (const auto* refusal = std::get_if<units::LengthRefusal>(&read)) {
            checker.error(node, found, "a length such as 34, \"34 mm\", \"1 3/8 in\" or \"4 ft 11 1/2 in\"",
                          refusal->reason);
            return std::nullopt;
        }
        mm = std::get<double>(read);
    } else {
        checker.error(node, describe(*node.value),
                      fmt::format("a length: a number in {} or a text such as \"1 3/8 in\"", checker.unit_name()),
                      "write the length as a number or a text");
        return std::nullopt;
    }
    if (!(mm >= range_mm.low && mm <= range_mm.high)) {
        const std::string_view remedy = range_mm.low > 0.0 && mm == 0.0 ? "give its true size, which is above nought"
                                        : range_mm.low >= 0.0 && mm < 0.0
                                            ? "take the minus sign away"
                                            : "check the number, the decimal point and the unit";
        checker.error(node, found, checker.say(range_mm), std::string(remedy));
        return std::nullopt;
    }
    return mm + 0.0;  // −0 becomes 0
}

std::optional<double> read_number(Checker& checker, const Node& node, Range range, std::string_view of_what) {
    const double* number = node.value->number();
    const std::string allowed =
        fmt::format("{}: a number from {} to {}", of_what, shortest(range.low), shortest(range.high));
    if (number == nullptr) {
        checker.error(node, describe(*node.value), allowed, "write a number, without quotes");
        return std::nullopt;
    }
    if (!(*number >= range.low && *number <= range.high)) {
        checker.error(node, shortest(*number), allowed, "check the number and its decimal point");
        return std::nullopt;
    }
    return *number + 0.0;
}

std::optional<int> read_whole(Checker& checker, const Node& node, int low, int high) {
    const auto number =
        read_number(checker, node, {static_cast<double>(low), static_cast<double>(high)}, "a whole number");
    if (!number) return std::nullopt;
    if (std::floor(*number) != *number) {
        checker.error(node, shortest(*number), fmt::format("a whole number from {} to {}", low, high),
                      "write it without a fraction");
        return std::nullopt;
    }
    return static_cast<int>(*number);
}

std::optional<double> read_angle(Checker& checker, const Node& node) {
    const auto degrees = read_number(checker, node, {-360.0, 360.0}, "degrees");
    if (!degrees) return std::nullopt;
    return radians_of(*degrees);
}

std::optional<Point> read_point(Checker& checker, const Node& node) {
    const auto* list = node.value->list();
    if (list == nullptr || list->size() != 2) {
        checker.error(node, describe(*node.value), "a point [x, y]: along the length, then across",
                      "write two lengths in square brackets, such as [755, 210]");
        return std::nullopt;
    }
    const auto x = read_length(checker, child(node, 0), ranges::coordinate_mm);
    const auto y = read_length(checker, child(node, 1), ranges::coordinate_mm);
    if (!x || !y) return std::nullopt;
    return Point{*x, *y};
}

std::optional<std::vector<Point>> read_points(Checker& checker, const Node& node, std::size_t least) {
    const auto* list = node.value->list();
    if (list == nullptr || list->size() < least || list->size() > ranges::most_pins) {
        checker.error(node, describe(*node.value),
                      fmt::format("a list of {} to {} points [x, y]", least, ranges::most_pins),
                      list != nullptr && list->size() > ranges::most_pins
                          ? "fewer points will do; a traced line goes into \"points\""
                          : "write the points as [[x, y], [x, y], ...]");
        return std::nullopt;
    }
    std::vector<Point> points;
    points.reserve(list->size());
    bool good = true;
    for (std::size_t i = 0; i < list->size(); ++i) {
        const Node item = child(node, i);
        const auto point = read_point(checker, item);
        if (!point) {
            good = false;
            continue;
        }
        if (good && !points.empty() && geometry::distance(points.back(), *point) < ranges::same_pin_mm) {
            checker.error(item, "the same place as the point before it", "points that lie apart",
                          "leave one of them out", point);
            good = false;
        }
        points.push_back(*point);
    }
    if (!good) return std::nullopt;
    return points;
}

namespace {

std::optional<std::string> read_text(Checker& checker, const Node& node, std::size_t least, std::size_t most,
                                     bool lines) {
    const std::string allowed =
        fmt::format("a text of {} to {} characters{}", least, most, lines ? "" : " on one line");
    const std::string* text = node.value->text();
    if (text == nullptr) {
        checker.error(node, describe(*node.value), allowed, "write it in double quotes");
        return std::nullopt;
    }
    const std::size_t characters = count_characters(*text);
    if (characters < least || characters > most) {
        checker.error(node, characters == 0 ? std::string("an empty text") : fmt::format("{} characters", characters),
                      allowed, characters == 0 ? "write a name that the papers can carry" : "shorten it");
        return std::nullopt;
    }
    const bool control = std::any_of(text->begin(), text->end(), [&](char c) {
        return (static_cast<unsigned char>(c) < 0x20 && !(lines && (c == '\n' || c == '\t'))) || c == 0x7F;
    });
    if (control) {
        checker.error(node, quote(*text), allowed, "take out the control characters (tabs, line breaks)");
        return std::nullopt;
    }
    return *text;
}

}  // namespace

std::optional<std::string> read_name(Checker& checker, const Node& node) {
    auto name = read_text(checker, node, 1, ranges::longest_name, false);
    if (name && std::all_of(name->begin(), name->end(), [](char c) { return c == ' '; })) {
        checker.error(node, "a name of spaces", "a name that can be read", "write a name that the papers can carry");
        return std::nullopt;
    }
    return name;
}

std::optional<std::string> read_note(Checker& checker, const Node& node) {
    return read_text(checker, node, 0, ranges::longest_note, true);
}

std::optional<std::string> read_choice(Checker& checker, const Node& node, const std::vector<std::string_view>& names) {
    const std::string* text = node.value->text();
    if (text != nullptr && std::find(names.begin(), names.end(), *text) != names.end()) return *text;
    std::string near = text != nullptr ? nearest_name(*text, names) : std::string();
    checker.error(node, describe(*node.value), list_of(names, "or"),
                  near.empty() ? std::string("write one of these, in double quotes")
                               : fmt::format("write \"{}\" if that is what is meant", near));
    return std::nullopt;
}

std::vector<Node> read_list(Checker& checker, const Node& node, std::size_t most) {
    const auto* list = node.value->list();
    if (list == nullptr || list->size() > most) {
        checker.error(node, describe(*node.value), fmt::format("a list [ ] of at most {}", most),
                      list == nullptr ? "put it in square brackets, even when there is only one" : "shorten the list");
        return {};
    }
    std::vector<Node> items;
    items.reserve(list->size());
    for (std::size_t i = 0; i < list->size(); ++i) items.push_back(child(node, i));
    return items;
}

double radians_of(double degrees) {
    return degrees * (geometry::pi / 180.0) + 0.0;
}

double degrees_of(double radians) {
    // The shortest decimal that gives the angle back: 30, not 29.999999999999996.
    constexpr int most_digits = 17;  // any double is told apart by 17 digits
    const double near = radians * (180.0 / geometry::pi);
    for (int digits = 1; digits <= most_digits; ++digits) {
        char text[40];
        const auto written = std::to_chars(text, text + sizeof text, near, std::chars_format::scientific, digits - 1);
        double candidate = 0.0;
        std::from_chars(text, written.ptr, candidate);
        if (radians_of(candidate) == radians) return candidate;
    }
    // Rounding of the two factors may leave the true one a few steps aside.
    constexpr int most_steps = 4;
    double up = near, down = near;
    for (int step = 0; step < most_steps; ++step) {
        up = std::nextafter(up, 1e9);
        down = std::nextafter(down, -1e9);
        if (radians_of(up) == radians) return up;
        if (radians_of(down) == radians) return down;
    }
    return near;
}

std::string shortest(double number) {
    return fmt::format("{}", number + 0.0);
}

}  // namespace seamwright::job
