#include "process/flattening.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "figures.h"
#include "process/passes.h"

namespace seamwright::process {
namespace {

double figure(const char* item) {
    return finishing_figures().at("flattening", item).low;
}

constexpr double mm_per_m = 1000.0;
constexpr double square_mm_per_m2 = 1e6;

BridgeCut bridge_cut(const FlatteningWish& wish, double off_face_mm) {
    BridgeCut cut;
    cut.cutter_mm = wish.widest_cutter_mm;
    cut.step_over_mm = figure("router on a bridge, step-over") * cut.cutter_mm;
    const double beside = std::max(0.0, wish.width_mm - cut.cutter_mm);
    cut.strokes = 1 + static_cast<int>(std::ceil(beside / cut.step_over_mm));
    cut.passes = std::max(1, static_cast<int>(std::ceil(off_face_mm / figure("router on a bridge, deepest pass"))));
    cut.pass_mm = off_face_mm / cut.passes;
    cut.rpm = speed_for(cut.cutter_mm, wish.cutter_max_rpm).rpm;
    const double stroke_mm = wish.length_mm + 2.0 * cut.cutter_mm;
    cut.minutes = 2.0 * (figure("router on a bridge, setting up") +
                         cut.strokes * cut.passes * stroke_mm / figure("router on a bridge, feed"));
    return cut;
}

}  // namespace

FlatteningPlan plan_flattening(const FlatteningWish& wish) {
    const double hollow = wish.hollow_mm.value_or(0.0);
    for (const double mm : {wish.length_mm, wish.width_mm})
        if (!(mm > 0.0) || !std::isfinite(mm)) throw std::invalid_argument("plan_flattening: a panel without a size");
    for (const double value : {hollow, wish.widest_cutter_mm, wish.cutter_max_rpm}) {
        if (!(value >= 0.0) || !std::isfinite(value))
            throw std::invalid_argument("plan_flattening: measures must be 0 or more");
    }
    FlatteningPlan out;
    const Figure step = finishing_figures().at("flattening", "step between parts after gluing");
    out.step_mm = wish.cauls ? step.low : step.high;
    out.hollow_mm = wish.hollow_mm ? hollow
                                   : figure("hollow and wind of a glued panel") *
                                         std::max(wish.length_mm, wish.width_mm) / mm_per_m;
    out.off_face_mm = out.step_mm + out.hollow_mm;
    out.sanded_mm = finishing_figures().at("flattening", "taken off by scraping and sanding").high;
    out.spare_mm = out.off_face_mm + 2.0 * out.sanded_mm;
    out.narrowest_cutter_mm = figure("router on a bridge, narrowest cutter");
    if (wish.widest_cutter_mm >= out.narrowest_cutter_mm) out.bridge = bridge_cut(wish, out.off_face_mm);
    if (out.off_face_mm <= figure("scraper alone takes out")) {
        out.way = FlatteningWay::scrape;
    } else if (wish.fibres_cross) {
        out.way = FlatteningWay::bridge;
    } else {
        out.way = FlatteningWay::hand_plane;
    }
    const double plane_min =
        2.0 * figure("hand plane") * out.off_face_mm * wish.length_mm * wish.width_mm / square_mm_per_m2;
    if (out.way != FlatteningWay::scrape)
        out.minutes = out.way == FlatteningWay::bridge && out.bridge ? out.bridge->minutes : plane_min;
    if (out.way == FlatteningWay::hand_plane || out.way == FlatteningWay::bridge)
        out.cautions.push_back("Hold the top so that it cannot slide, and turn it over with two.");
    if (out.bridge && out.way != FlatteningWay::scrape) {
        out.cautions.push_back(
            "A wide cutter pulls hard: light passes, both hands on the router, the bridge stiff enough not to sag, "
            "stops so that it cannot run over the rails, and not faster than its maker marks it. The makers of router "
            "and cutter come first.");
        out.cautions.push_back("It throws chips and dust far: extraction, eyes, ears and lungs protected.");
    }
    return out;
}

}  // namespace seamwright::process
