#pragma once

#include "bench.h"

namespace seamwright::edit {

// Edits of values by their pointers. Each says what it did in one sentence, and throws Refusal.

std::string set_value(Bench& bench, std::string_view pointer, const Json& value);
std::string insert_value(Bench& bench, std::string_view pointer, const Json& value);
std::string remove_value(Bench& bench, std::string_view pointer);

/// A typed value as the document holds it. Throws Refusal where a length cannot be read.
Json typed(const Json& tree, const Steps& steps, const Json& value);

/// Writes a member; groups on the way that are not there yet are made, and names that exclude it are taken out, the
/// new one in the place of the first of them.
void put(Json& tree, const Steps& steps, Json value);

/// Puts another name in the place of one.
void rename_member(Json& group, std::string_view from, std::string_view to, const Json& value);

}  // namespace seamwright::edit
