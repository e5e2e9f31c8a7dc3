#pragma once

#include <vector>

#include "geometry/point.h"

namespace seamwright::trace {

using geometry::Point;

/// A measured place of a line.
struct Sample {
    double along_mm = 0.0;  ///< length along the line up to here
    Point at;               ///< mm
    double scatter_mm = 0.0;
};

/// Means over even steps along the line.
struct Nodes {
    std::vector<Point> points;
    std::vector<double> scatter_mm;  ///< across the line, one σ
    double step_mm = 0.0;
};

/// `samples` in order of `along_mm`, from 0 to `length_mm`; `wanted_step_mm` is brought to a whole part of the length.
/// Neighbouring samples share pixels, and paper and pencil have a grain: so the scatter of a node is that of its
/// samples or what the nodes themselves scatter about their neighbours, whichever is larger.
Nodes nodes_of(const std::vector<Sample>& samples, double length_mm, bool closed, double wanted_step_mm);

/// Step for a line of this length: about 3 mm, less on short ones.
double usual_step_mm(double length_mm);

/// The wave length to make a trace fair with, by the scatter of its nodes and its length.
double usual_wave_mm(const Nodes& nodes, double length_mm);

/// Root of the mean square.
double mean_scatter_mm(const Nodes& nodes);

}  // namespace seamwright::trace
