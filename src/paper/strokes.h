#pragma once

#include "paper/drawing.h"

namespace seamwright::paper {

// Every line of a template is told from the others by width and dashes alone, so it survives a black and white printer
// and a photocopy.

/// The template edge is a hairline to work to, on a broad grey band that is seen from across the bench.
inline Stroke edge_band() {
    return {2.2, {}, 0.80, {}};
}
inline Stroke edge_line() {
    return {0.20, {}, 0.0, {}};
}
inline Stroke seam_stroke() {
    return {0.30, {9.0, 1.6, 1.2, 1.6}, 0.0, {}};
}
inline Stroke mating_stroke() {
    return {0.30, {4.0, 2.2}, 0.0, {}};
}
inline Stroke rough_stroke() {
    return {0.45, {0.9, 2.0}, 0.0, {}};
}
inline Stroke top_stroke() {
    return {0.50, {14.0, 3.0}, 0.40, {}};
}
inline Stroke blank_stroke() {
    return {0.25, {}, 0.30, {}};
}
inline Stroke index_stroke() {
    return {0.60, {}, 0.0, {}};
}
inline Stroke mark_stroke() {
    return {0.20, {}, 0.0, {}};
}

}  // namespace seamwright::paper
