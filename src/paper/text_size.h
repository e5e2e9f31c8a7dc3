#pragma once

#include "paper/drawing.h"

namespace seamwright::paper {

// DejaVu Sans, as parts of the text height (the em): ordinary English sets at 0.53 to 0.58 em a letter, bold at 0.62 to
// 0.67 (measured on our own labels); the values here are a little more, so that an estimate is rarely short.
inline constexpr double letter_per_height = 0.60;
inline constexpr double bold_letter_per_height = 0.70;
inline constexpr double ascent_per_height = 0.78;
inline constexpr double descent_per_height = 0.24;

/// Estimated, without a font at hand.
double text_length_mm(const Text& t);
Box text_box(const Text& t);

}  // namespace seamwright::paper
