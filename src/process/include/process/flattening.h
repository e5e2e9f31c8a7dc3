#pragma once

#include <optional>
#include <string>
#include <vector>

namespace seamwright::process {

// Getting the faces of a glued-up top flat, and the top to its thickness.
//
// Parts of one thickness that were glued a step apart stand proud on one face where they lie low on the other, and a
// panel that is hollow on one face is round on the other. So flattening both faces takes the step and the hollow once
// off the thickness, wherever one measures it, and up to as much off either face.

enum class FlatteningWay {
    scrape,      ///< scraper and sander do it
    hand_plane,  ///< across the fibres, then along
    bridge       ///< a router on a bridge over the top, to and fro
};

struct FlatteningWish {
    double length_mm = 0.0, width_mm = 0.0;  ///< of the panel, > 0
    bool cauls = false;                      ///< pressed flat across its seams while the glue sets
    bool fibres_cross = false;  ///< fibres of neighbouring parts run more than 15° apart: a plane tears one of them
    std::optional<double> hollow_mm;  ///< as measured, >= 0; absent: by the length (data/finishing.csv, "flattening")
    double widest_cutter_mm = 0.0;    ///< straight cutter on the shelf; 0: none
    double cutter_max_rpm = 0.0;      ///< marked on it; 0: nothing
};

/// To and fro over the length, as many strokes side by side as cover the width.
struct BridgeCut {
    double cutter_mm = 0.0, step_over_mm = 0.0;
    int strokes = 0;       ///< in one pass
    int passes = 0;        ///< of one face
    double pass_mm = 0.0;  ///< depth of each
    double rpm = 0.0;      ///< not to be exceeded
    double minutes = 0.0;  ///< both faces, setting up counted
};

struct FlatteningPlan {
    FlatteningWay way = FlatteningWay::scrape;
    double step_mm = 0.0, hollow_mm = 0.0;
    double off_face_mm = 0.0;  ///< up to so much off either face, by plane or bridge
    double sanded_mm = 0.0;    ///< off each face after it
    /// Boards are planed to the finished thickness and so much more: step, hollow, and what is sanded off both faces.
    double spare_mm = 0.0;
    double minutes = 0.0;              ///< both faces; 0 for scraping, which sanding counts
    std::optional<BridgeCut> bridge;   ///< where a cutter is wide enough, whatever the way
    double narrowest_cutter_mm = 0.0;  ///< that is worth putting on a bridge
    std::vector<std::string> cautions;
};

/// All figures are common practice, from memory (data/finishing.csv, topic "flattening"). Throws std::invalid_argument
/// for measures that are none.
FlatteningPlan plan_flattening(const FlatteningWish& wish);

}  // namespace seamwright::process
