#pragma once

#include <cstddef>
#include <vector>

#include "geometry/path.h"

namespace seamwright::geometry {

/// Which side of the direction of travel.
enum class Side { left, right };
inline Side other(Side s) {
    return s == Side::left ? Side::right : Side::left;
}

/// A piece of a parallel that remembers where it came from.
struct TracedSegment {
    enum class From {
        segment,  ///< concentric with, or parallel to, a stretch of one source segment
        corner,   ///< an arc about a corner of the source (between segment `source` and the next)
        crossing  ///< an arc of the disc at rest in a place where it touches the source twice
    };
    Segment segment;
    From from = From::segment;
    std::size_t source = 0;  ///< index of the source segment; for a corner, of the segment that ends there
    double u0 = 0.0;         ///< stretch of the source segment, in its own fractions
    double u1 = 1.0;
};

struct TracedPath {
    std::vector<TracedSegment> segments;
    bool closed = false;

    Path path() const;
};

/// What is known about a result, measured on the result itself.
struct Certificate {
    /// Largest | distance to the source − wanted distance | found on the result.
    double worst_deviation_mm = 0.0;
    /// The bound asked for; the result is refused (std::runtime_error) if it cannot be met.
    double bound_mm = 0.0;
    /// Places on the result at which the distance was measured.
    std::size_t places = 0;
};

/// A stretch of the source that the disc never touches, because a hollow is too tight for it.
struct Unreached {
    Station from;
    Station to;
    double depth_mm = 0.0;  ///< how far the source lies behind the disc there
    Point deepest;
};

/// The path of a disc's centre that rolls along one side of a source path.
struct Parallel {
    std::vector<TracedPath> paths;  ///< open source: in order along the source; closed source: closed loops
    double distance_mm = 0.0;
    Side side = Side::left;
    Certificate certificate;
};

/// All points at `distance_mm` from the source on `side` that are nowhere nearer to it: the trimmed parallel, with
/// round joins at outward corners. An open source has no caps: only places abreast of it count.
/// distance_mm >= 0; 0 gives the source itself.
///
/// Law P1: every point of the result is `distance_mm` from the source, to the certificate.
/// Law P2: no point of the source is nearer to the result than `distance_mm`, to the certificate.
/// Law P3: reversed, mirrored, moved, scaled or start-rotated input gives the reversed, mirrored, ... result.
Parallel parallel(const Path& source, Side side, double distance_mm);

/// The edge left behind by rolling: where the source is touched by the disc, the source itself shifted by
/// `distance_mm`; where the disc rests on two places, an arc about its centre.
///
///   distance = 0                edge filled to what the disc can feel (morphological closing of the source)
///   distance = o = R − r        edge that a cutter of radius r leaves when a guide of radius R rolls on the source
///
/// 0 <= distance_mm <= rolled.distance_mm. Built from the parallel by mapping every piece back to its touch point;
/// nothing is offset twice, so nothing drifts.
///
/// Law C1: closing contains its input. C2: the closing of a closing is itself. C3: the disc, anywhere on its way, is
/// empty of the edge.
std::vector<TracedPath> edge_behind(const Parallel& rolled, double distance_mm);

/// The stretches of the source that no surviving piece of the parallel touches.
std::vector<Unreached> unreached(const Path& source, const Parallel& rolled);

/// The one path that the work goes on with: of an open source the longest, which joins its start to its end; of a
/// closed one the loop that encloses most. Throws std::runtime_error when there is none.
Path main_path(const std::vector<TracedPath>& paths);

}  // namespace seamwright::geometry
