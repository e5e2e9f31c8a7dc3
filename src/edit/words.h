#pragma once

#include "plan/words.h"
#include "ruler.h"

namespace seamwright::edit {

using plan::words::capitalised;

/// What a place of the document is called: "front seam", "30 mm guide", "the top".
std::string owner_words(const Json& tree, const Steps& steps);
/// With the value itself: "rise of front seam", "pin 3 of front seam", "thickness of the top".
std::string place_words(const Json& tree, const Steps& steps);
/// A value as the maker reads it.
std::string value_words(const Json& tree, const Steps& steps, const Json& value);

/// The name of the seam that a place belongs to.
std::string seam_name(const Json& tree, const Steps& steps);

}  // namespace seamwright::edit
