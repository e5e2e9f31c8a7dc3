#pragma once

#include <optional>

#include "curves/drawn.h"

namespace seamwright::curves {

/// The same curve `factor` times as high over the line between its ends, given in the same way. Of a wave every half
/// height is taken times the factor, of an arc and a sprung stick the rise, of an open batten how far its pins stand
/// off that line, with the directions held at its ends. A straight line stays as it is. nullopt for what has no ends of
/// its own (ovals, closed battens) or no height that could be changed (imported and traced lines), and where the arc or
/// stick of that height cannot be drawn. factor > 0 and finite, else std::invalid_argument.
///
/// `mark_mm` > 0: sizes are brought to such marks, so that the curve is not higher for it (a radius not smaller); those
/// below one mark stay as they are. Pins are brought to the nearest mark.
std::optional<Curve> with_height(const Curve& curve, double factor, double mark_mm = 0.0);

/// The line over which a curve of that kind is high: between its two ends, of a wave its middle line.
struct BaseLine {
    Point from, to;
};
/// nullopt for curves that with_height() cannot change.
std::optional<BaseLine> base_line(const Curve& curve);

/// Whether with_height() changes anything about curves of this kind.
bool has_height(const Curve& curve);

}  // namespace seamwright::curves
