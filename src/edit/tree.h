#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace seamwright::edit {

/// The document as the maker wrote it: order of names, own texts and all.
using Json = nlohmann::ordered_json;

/// The steps of an RFC 6901 pointer, unescaped; nullopt when it is none. "" is the whole document: no steps.
using Steps = std::vector<std::string>;
std::optional<Steps> steps_of(std::string_view pointer);
std::string pointer_of(const Steps& steps);
/// The first `count` steps.
Steps first_steps(const Steps& steps, std::size_t count);
Steps operator/(Steps steps, std::string_view more);
Steps operator/(Steps steps, std::size_t index);

/// A list index as RFC 6901 writes it: no sign, no leading noughts.
std::optional<std::size_t> index_of(std::string_view step);

const Json* find(const Json& root, const Steps& steps);
Json* find(Json& root, const Steps& steps);

/// Text of a document: two spaces a level, short lists and groups on one line, a line end at the end.
std::string text_of(const Json& root);

/// JSON text to a tree; nullopt when it is no JSON or nested deeper than a job can be.
std::optional<Json> parsed(std::string_view text);

}  // namespace seamwright::edit
