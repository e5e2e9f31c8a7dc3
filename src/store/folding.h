#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace seamwright::store {

/// A text as words are compared: small letters without accents, each word apart from the next by one space, nothing
/// else. Latin letters come to plain ones ("Ø" to "o", "ß" to "ss"), Greek and Cyrillic to small ones; other scripts
/// stay as they are. Bytes that are no UTF-8 part words.
struct Folded {
    std::string text;
    std::vector<std::size_t> from;  ///< of each byte: where in the text the letter begins that it is of
};
Folded folded(std::string_view text);

/// The words of a question, folded, without doubles; no more than anyone asks for, and no longer ones.
std::vector<std::string> words_of(std::string_view question);
inline constexpr std::size_t most_words = 8;
inline constexpr std::size_t longest_word = 60;

/// Whether a word of the folded text begins with that one.
bool has_word(std::string_view folded_text, std::string_view word);

}  // namespace seamwright::store
