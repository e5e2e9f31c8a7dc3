#pragma once

#include <string>
#include <vector>

#include "job/json_writer.h"
#include "unrolled.h"

namespace seamwright::screen {

/// One track of the strip, ready to be written: `Track` of web/src/protocol.ts.
struct Track {
    struct Mark {
        double at = 0.0;
        std::string says;
        bool zero = false;  ///< limits only
    };
    struct Worst {
        double at_mm = 0.0, value = 0.0;
        std::string says;
    };
    /// A stretch of the seam that wants something: marked at the foot of the track, told at its stations.
    struct Span {
        double from_mm = 0.0, to_mm = 0.0;
        std::string_view row;  ///< what kind it is, beside the row in which all of that kind stand
        std::string says;
    };
    /// A stroke of the router: an arrow at the head of the track.
    struct FeedStroke {
        std::string_view kind;  ///< "conventional", "skim", "climb"
        std::size_t number = 0;
        std::vector<geometry::Point> parts;  ///< lengths of the seam, from and to, in the order of the stroke
        std::string says;
    };
    std::string_view id, title;
    double low = 0.0, high = 1.0;
    std::vector<Mark> marks, limits;
    std::string line_says;
    std::vector<geometry::Point> line;  ///< [length, value]
    std::vector<std::string> tells;     ///< for every station; empty texts for an empty track
    std::optional<Worst> worst;
    std::vector<Span> spans;
    std::vector<FeedStroke> strokes = {};
    std::string empty;  ///< why there is nothing to show
};

/// Curvature, so that a straight seam runs in the middle and a tight turn stands far from it, to either hand.
Track radius_track(const Unrolled& seam, const units::LengthStyle& style);
/// Room of the templates whose body lies on that hand.
Track reach_track(const Unrolled& seam, const units::LengthStyle& style, bool left);
/// The gap between the edges as cut.
Track gap_track(const Unrolled& seam, const plan::Plan& plan);

/// Where the template made by hand stands proud or lies low, as measured; the seam has readings.
Track made_track(const Unrolled& seam, const plan::Plan& plan);

void write_track(job::JsonWriter& json, const Track& track);
/// All of them as "tracks", and as "tells" what each says at the stations of the seam's strip.
void write_tracks(job::JsonWriter& json, const std::vector<Track>& tracks);

/// The value at which a curvature is drawn on the radius track, without unit: nought for straight, nearly even for
/// wide bows, by their ratio for tighter turns (asinh of curvature times ten metres).
double turn_value(double curvature);

}  // namespace seamwright::screen
