#pragma once

#include "paper/drawing.h"
#include "plan/feed_study.h"

namespace seamwright::paper {

/// A piece with one routed edge: where it is expected to tear, and the strokes with their numbers and arrows beside it.
/// `scale` times as large, the drawing's (0, 0) at `origin`.
void draw_feed_map(Drawing& drawing, const plan::RoutedEdge& edge, const plan::Plan& plan, Point origin, double scale);
/// Only the line of the edge, by where it is expected to tear.
void draw_tear_stretches(Drawing& drawing, const plan::RoutedEdge& edge, Point origin, double scale);
/// The box that it takes at full size.
Box feed_map_box(const plan::RoutedEdge& edge, const plan::Plan& plan);

}  // namespace seamwright::paper
