#pragma once

#include <Eigen/Core>

#include "trace/picture.h"

namespace seamwright::trace {

/// One side of a mark as it is in the picture: nearly straight, bowed a little by the lens. A place on it lies
/// `along_px` from its middle, and away from the mark by bow(along_px).
struct MarkEdge {
    Point middle, along, outward;
    double half_px = 0.0;
    Eigen::Vector3d bow = Eigen::Vector3d::Zero();  ///< of 1, t, t² where t = along_px / half_px
    Eigen::Matrix3d spread = Eigen::Matrix3d::Zero();
    double blur_px = 0.0;   ///< σ of the blur across it
    double contrast = 0.0;  ///< steps of 255 from black to white
    double misfit = 0.0;    ///< steps of 255, root mean square
    bool found = false;

    double away_px(double along_px) const {
        const double t = along_px / half_px;
        return bow[0] + t * (bow[1] + t * bow[2]);
    }
    double slope(double along_px) const { return (bow[1] + 2.0 * bow[2] * along_px / half_px) / half_px; }
    /// Scatter, σ² in px², of away_px.
    double scatter2(double along_px) const {
        const double t = along_px / half_px;
        const Eigen::Vector3d powers(1.0, t, t * t);
        return powers.dot(spread * powers);
    }
};

/// Fits the light of a blurred edge to the greys beside the line from `from` to `to`. `inside` lies on the dark side;
/// `cell_px` is the width of a cell, so that nothing but the black border and the white rim is looked at.
MarkEdge fit_mark_edge(const Picture& picture, Point from, Point to, Point inside, double cell_px);

/// Where two neighbouring sides meet, begun at `near`.
Point meeting(const MarkEdge& a, const MarkEdge& b, Point near);

}  // namespace seamwright::trace
