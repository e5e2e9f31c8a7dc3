#pragma once

#include <optional>
#include <vector>

#include "field.h"

namespace seamwright::screen {

// What the job file can say, told in sentences with blanks.

Card top_card(const Blanks& blanks);
Card seam_card(const Blanks& blanks, std::size_t seam);
/// The pieces the job names, and those that it does not.
std::vector<Card> piece_cards(const Blanks& blanks);
/// Templates, limits, paper, and how lengths are told.
std::vector<Card> settings_cards(const Blanks& blanks);
/// Edge, build-up, finish, calendar and prices; each can be begun and taken away.
std::vector<Card> shop_cards(const Blanks& blanks);

/// The course of a curve at a pointer ("/seams/0/curve", "/top/outline/drawn"), in sentences. `of` names it in labels.
void say_curve(Card& card, const Blanks& blanks, const std::string& pointer, const curves::Curve& curve,
               const std::string& of);

/// A choice among the woods of the tables; `of` names in the label what is made of it.
Field wood_choice(const Blanks& blanks, const std::string& pointer, const std::string& now, const std::string& of);

/// Which stick a curve is drawn with, and whether it holds; `seam` absent: the stick of the whole job.
void say_stick(Card& card, const Blanks& blanks, std::optional<std::size_t> seam);

/// `Card[]` of web/src/protocol.ts; an empty list when `live`.
void write_cards(job::JsonWriter& json, const Blanks& blanks, bool live);

}  // namespace seamwright::screen
