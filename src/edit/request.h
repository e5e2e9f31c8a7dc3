#pragma once

#include "bench.h"

namespace seamwright::edit {

// Reading one edit, member by member. Each throws Refusal naming the edit and the member.

/// The edit is a group with these members at most, and `name` among them.
void check_members(const Json& edit, std::string_view name, std::initializer_list<std::string_view> others);

std::string text_in(const Json& group, std::string_view name);
std::optional<std::string> optional_text_in(const Json& group, std::string_view name);
/// A finite number within a kilometre.
double number_in(const Json& group, std::string_view name);
/// A whole number from 0 to 40; 0 where it is absent.
std::size_t count_in(const Json& group, std::string_view name);
bool flag_in(const Json& group, std::string_view name);
geometry::Point place_from(const Json& value);
geometry::Point place_in(const Json& group, std::string_view name);
std::vector<geometry::Point> places_in(const Json& group, std::string_view name);
Aim aim_in(const Json& group);

/// Refuses an edit that is not as web/src/protocol.ts has it.
[[noreturn]] void refuse_edit(std::string found, std::string allowed);

}  // namespace seamwright::edit
