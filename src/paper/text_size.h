#pragma once

#include "paper/drawing.h"

namespace seamwright::paper {

// DejaVu Sans, as parts of the text height (the em): no capital or accent reaches higher, no tail lower.
inline constexpr double ascent_per_height = 0.78;
inline constexpr double descent_per_height = 0.24;

/// As the PDF sets it.
double text_length_mm(const Text& t);
Box text_box(const Text& t);

}  // namespace seamwright::paper
