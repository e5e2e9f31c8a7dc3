#pragma once

#include <string>
#include <vector>

#include "placing.h"
#include "plan/feed_study.h"

namespace seamwright::paper {

/// How a stroke is drawn, told apart by form: solid and one filled head, broken and one filled head, broken and two
/// open heads.
void draw_feed_arrow(Drawing& drawing, const Path& shaft, process::FeedWay way, const std::string& id);
/// Its head alone.
void draw_feed_head(Drawing& drawing, Point tip, double heading_rad, process::FeedWay way, double length_mm);
/// Where the router is set in (a ring) and lifted out (a bar across the way).
void draw_set_in(Drawing& drawing, Point at, const std::string& id);
void draw_lift_out(Drawing& drawing, Point at, double heading_rad, const std::string& id);
/// A block that backs up end grain, standing along `turn_rad`.
inline constexpr double backing_long_mm = 11.0, backing_wide_mm = 7.0;
void draw_backing(Drawing& drawing, Point middle, double turn_rad, const std::string& id, double scale = 1.0);

/// No arrow lies farther from the edge, on the side of the waste.
inline constexpr double feed_band_mm = 40.0;

/// The strokes along one edge, on its waste side, wherever nothing else is drawn and within `box`: arrows with the
/// number of the stroke, where it is set in and lifted out, and backings. Ids are "feed-arrow-1", "feed-set-in-1",
/// "feed-lift-out-1" by stroke, "feed-backing-1" by corner. `named` stands before the numbers: "L". At the ends of the
/// edge the router is set in and lifted out `past_end_mm` beyond them, or farther out.
void draw_feed_arrows(Drawing& drawing, Placer& placer, const plan::RoutedEdge& edge, const Box& box,
                      const std::string& named, double past_end_mm);

}  // namespace seamwright::paper
