#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "job/job.h"

namespace seamwright::job {

struct Member;

/// One JSON value (RFC 8259), with members in the order they were written.
struct Value {
    using List = std::vector<Value>;
    using Object = std::vector<Member>;
    std::variant<std::monostate, bool, double, std::string, List, Object> held;
    /// Count of values before this one in the text: sorts problems into the order of the document.
    std::uint32_t order = 0;

    const Object* object() const { return std::get_if<Object>(&held); }
    const List* list() const { return std::get_if<List>(&held); }
    const std::string* text() const { return std::get_if<std::string>(&held); }
    const double* number() const { return std::get_if<double>(&held); }
    const bool* flag() const { return std::get_if<bool>(&held); }
    const Value* find(std::string_view name) const;
};

struct Member {
    std::string name;
    Value value;
};

/// A problem and its place in the order of the document.
struct PlacedProblem {
    std::uint32_t order = 0;
    Problem problem;
};

/// Text to values. Refuses what is empty, too large, not UTF-8, not JSON or nested too deep, with line and column;
/// names given twice in one object are reported and the first is kept. nullopt when the text cannot be read to its end.
std::optional<Value> parse_json(std::string_view text, std::vector<PlacedProblem>& problems);

/// First byte that does not belong to well-formed UTF-8 (RFC 3629); nullopt when all do.
std::optional<std::size_t> first_not_utf8(std::string_view text);
std::size_t count_characters(std::string_view utf8);

/// The value as a person would quote it, shortened where it is long.
std::string quote(std::string_view text);
std::string describe(const Value& value);
/// The shortest decimal that reads back as the same double; 0 for −0.
std::string shortest(double number);

/// One step of an RFC 6901 pointer: "~" and "/" escaped.
std::string pointer_step(std::string_view name);

}  // namespace seamwright::job
