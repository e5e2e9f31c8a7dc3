#include "picture_scale.h"

#include <algorithm>
#include <cmath>

namespace seamwright::trace {

namespace {

constexpr double mm_per_inch = 25.4;
const double full_frame_diagonal_mm = std::hypot(36.0, 24.0);

// A camera may crop a few pixels: the shape of the picture is the same within this part.
constexpr double same_shape = 0.01;
// The two ways to the focal length agree within this part, or the sensor's resolution is not believed. 35 mm lengths
// are whole numbers, and some are counted along the long side instead of the diagonal.
constexpr double same_focal = 0.1;
// Lenses from a fish eye to a long telephoto, in picture diagonals.
constexpr double shortest_focal = 0.2;
constexpr double longest_focal = 20.0;

/// What happened to the picture after the camera stored it.
struct Change {
    bool known = false;    ///< it can be told
    bool resized = false;  ///< larger or smaller, the whole of it
    double scale = 1.0;    ///< pixels now for a pixel then
    double diagonal_then_px = 0.0;
};

Change change_of(const CameraNotes& notes, int width, int height) {
    const double diagonal = std::hypot(width, height);
    if (!notes.width_px || !notes.height_px) return {true, false, 1.0, diagonal};
    // Programs that turn a picture often leave the camera's sizes as they were, so long side goes with long side.
    const double long_now = std::max(width, height);
    const double short_now = std::min(width, height);
    const double long_then = std::max(*notes.width_px, *notes.height_px);
    const double short_then = std::min(*notes.width_px, *notes.height_px);
    const double diagonal_then = std::hypot(long_then, short_then);
    const double along = long_now / long_then;
    const double across = short_now / short_then;
    if (std::abs(along - across) <= same_shape * across)
        return {true, std::abs(along - 1.0) > same_shape, along, diagonal_then};
    if (long_now <= long_then && short_now <= short_then) return {true, false, 1.0, diagonal_then};
    return {};
}

bool measured(double per_mm) {
    const double per_inch = per_mm * mm_per_inch;
    if (per_inch < 20.0 || per_inch > 20'000.0) return false;
    // PNG counts pixels a metre in whole numbers, hence the allowance.
    return std::abs(per_inch - 72.0) > 0.02 && std::abs(per_inch - 96.0) > 0.02;
}

std::optional<Density> measured(std::optional<Density> noted) {
    if (noted && !(measured(noted->x) && measured(noted->y))) return std::nullopt;
    return noted;
}

bool alike(double a, double b) {
    return std::abs(a - b) <= 0.005 * b;
}

}  // namespace

std::optional<double> focal_px(const CameraNotes& notes, int width, int height) {
    const Change change = change_of(notes, width, height);
    if (!change.known) return std::nullopt;
    std::optional<double> by_35, by_sensor;
    if (notes.focal_35_mm) by_35 = *notes.focal_35_mm / full_frame_diagonal_mm * change.diagonal_then_px * change.scale;
    if (notes.focal_mm && notes.sensor_per_mm) by_sensor = *notes.focal_mm * *notes.sensor_per_mm * change.scale;
    std::optional<double> focal = by_35;
    if (by_sensor && (!by_35 || std::abs(*by_sensor - *by_35) <= same_focal * *by_35)) focal = by_sensor;
    if (!focal) return std::nullopt;
    const double in_diagonals = *focal / (change.diagonal_then_px * change.scale);
    if (in_diagonals < shortest_focal || in_diagonals > longest_focal) return std::nullopt;
    return focal;
}

std::optional<Density> density(const std::optional<Density>& of_file, const CameraNotes& notes, int width, int height) {
    const Change change = change_of(notes, width, height);
    if (!change.known || change.resized) return std::nullopt;
    std::optional<Density> of_camera;
    if (notes.per_mm_x && notes.per_mm_y) of_camera = Density{*notes.per_mm_x, *notes.per_mm_y};
    const auto file = measured(of_file);
    const auto camera = measured(of_camera);
    if (file && camera && !(alike(file->x, camera->x) && alike(file->y, camera->y))) return std::nullopt;
    return file ? file : camera;
}

}  // namespace seamwright::trace
