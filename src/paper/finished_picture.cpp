#include "paper/finished_picture.h"

namespace seamwright::paper {
namespace {

const Stroke outline_line{.width_mm = 0.45, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke seam_line{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke joint_line{.width_mm = 0.12, .dash_mm = {}, .grey = 0.25, .colour = {}};
/// A figure drawn to a small scale keeps lines that a printer shows.
constexpr double least_line_mm = 0.06;

}  // namespace

void draw_finished_top(Drawing& drawing, const plan::FinishedLook& look, const BoardPictures& pictures, Point origin,
                       double scale) {
    const auto placed = [&](const Path& path) { return geometry::moved(geometry::scaled(path, scale), origin); };
    const auto line = [&](const Path& path, const Stroke& stroke) {
        drawing.paths.push_back({placed(path), stroke, {}, {}, {}});
    };
    for (const plan::LookPatch& patch : look.patches) {
        WoodPatch wood;
        for (const Path& edge : patch.clip) wood.clip.push_back(placed(edge));
        if (patch.within) wood.within = placed(*patch.within);
        wood.ground = patch.ground;
        wood.line = patch.line;
        wood.lies = {origin + scale * patch.lies.origin, scale * patch.lies.along, scale * patch.lies.across};
        wood.length_mm = patch.length_mm;
        wood.width_mm = patch.width_mm;
        if (const auto picture = pictures.find(patch.picture); picture != pictures.end())
            wood.picture = picture->second;
        wood.figure = patch.figure;
        for (plan::FigureLine& each : wood.figure) each.width_mm = std::max(least_line_mm, scale * each.width_mm);
        drawing.patches.push_back(std::move(wood));
        for (const Path& joint : patch.joints) line(joint, joint_line);
    }
    for (const Path& seam : look.seams) line(seam, seam_line);
    line(look.outline, outline_line);
}

}  // namespace seamwright::paper
