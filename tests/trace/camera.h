#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "trace/picture.h"
#include "trace/view.h"

// The tests' own camera: photographs of a bench whose every place is known. What lies on the bench is given in mm and
// is drawn straight into the picture, 32 samples a pixel where an edge passes; no bitmap is bent, so that what the
// program finds can be held against the truth to hundredths of a pixel. The same bench, camera and light give the same
// picture on every run.
namespace seamwright::trace {

/// A strip of three marks as it was laid on the bench.
struct LaidStrip {
    int strip = 0;
    Point at;  ///< middle of its middle mark, mm
    double heading_rad = 0.0;
    double print_scale = 0.0;  ///< part by which it came out too large
};

/// A mark that does not lie flat: paper that curls, or something under it.
struct LiftedMark {
    int mark = 0;
    double raised_mm = 0.0;
    double leans = 0.0;  ///< rise along its strip, mm per mm
};

/// A square of black and white cells that is not one of ours; or one of ours, laid by itself.
struct PrintedSquare {
    Point at;
    double heading_rad = 0.0;
    double side_mm = mark_mm;
    int across = 0;
    std::vector<bool> black;  ///< row after row from the top, across × across
};

struct DrawnCurve {
    std::vector<Point> points;  ///< mm; straight from one to the next
    double width_mm = 0.5;
    double reflects = 0.12;  ///< part of the light, 0 black to 1 white
    double patchy = 0.0;     ///< part of its darkness that comes and goes, in patches of 0.4 mm
    double raised_mm = 0.0;  ///< drawn on something of this thickness
};

/// A sheet that lies on the bench to the right of its edge.
struct LaidTemplate {
    std::vector<Point> edge;  ///< mm
    double depth_mm = 150.0;  ///< how far it reaches from its edge
    double thick_mm = 0.0;
    double reflects = 0.75;
    double wall_reflects = 0.35;
};

/// A thing on the bench: an oblong or a disc.
struct Clutter {
    Point at;
    double length_mm = 100.0, width_mm = 20.0, heading_rad = 0.0;
    bool round = false;  ///< a disc of `length_mm`
    double reflects = 0.05;
    bool on_top = true;  ///< covers strips and lines; else they lie on it
};

struct Bench {
    double reflects = 0.45;
    double grain = 0.0;  ///< part by which its darkness wanders, in streaks along x
    std::vector<LaidStrip> strips;
    std::vector<LiftedMark> lifted;
    std::vector<PrintedSquare> squares;
    std::vector<DrawnCurve> curves;
    std::vector<LaidTemplate> templates;
    std::vector<Clutter> clutter;
    double paper_reflects = 0.80;
    double ink_reflects = 0.04;
    double ink_spread_mm = 0.0;  ///< by which every black square is larger on each side
};

/// A pinhole camera over the bench. Without tilt and roll x of the bench runs to the right of the picture, y upwards.
struct Camera {
    int width = 4000, height = 3000;
    double focal_px = 2890.0;
    Point off_centre_px;  ///< of the axis from the middle of the picture
    double k1 = 0.0, k2 = 0.0;
    Point looks_at;            ///< mm, on the bench
    double away_mm = 2000.0;   ///< from there to the camera
    double tilt_x_rad = 0.0;   ///< about the picture's x
    double tilt_y_rad = 0.0;   ///< about the picture's y
    double roll_rad = 0.0;     ///< about the axis
    bool notes_focal = false;  ///< in the picture (as from EXIF)

    Point to_px(Point mm, double raised_mm = 0.0) const;
    Point to_mm(Point px, double raised_mm = 0.0) const;
    /// Of one pixel on the bench, there.
    double mm_per_px(Point px) const;
};

struct Light {
    double blur_px = 0.9;   ///< σ
    double noise = 2.0;     ///< σ in steps of 255
    double shading = 0.15;  ///< fall of the light from one side to the other and to the corners
    double exposure = 1.0;
    bool as_seen = true;  ///< the camera writes greys as they are seen (sRGB curve, IEC 61966-2-1), not in equal steps
    std::uint64_t seed = 1;
};

Picture photograph(const Bench& bench, const Camera& camera, const Light& light);

/// Turned over left to right.
Picture mirrored(const Picture& picture);

/// As a JPEG file of greys. `app1`: what stands in its EXIF block, from "Exif\0\0" on.
std::vector<std::uint8_t> jpeg_file(const Picture& picture, int quality, std::span<const std::uint8_t> app1 = {});
/// As a PNG file, for looking at.
std::vector<std::uint8_t> png_file(const Picture& picture);

/// Corners of a mark on the bench as it was laid: top left, top right, bottom right, bottom left as printed.
std::array<Point, 4> laid_corners(const Bench& bench, int mark);

/// A usual case by a seed: a wave of 2.4 m, strips laid along both sides of it, a phone held above it by hand with a
/// lens that is not quite straight, light from one side. `drawn` is in curves[0] or in templates[0].
struct UsualCase {
    Bench bench;
    Camera camera;
    Light light;
    std::vector<Point> curve;  ///< mm, every 2 mm
    std::vector<Taped> taped;  ///< as read off a steel tape
};
struct UsualSettings {
    double length_mm = 2400.0;
    int strips = 8;
    bool edge = false;                ///< a template's edge instead of a drawn line
    double thick_mm = 0.0;            ///< of the template
    double print_scale = 0.002;       ///< scatter of the scale of all strips together
    double own_print_scale = 0.0003;  ///< of each strip by itself
    double taped_within_mm = 0.5;     ///< scatter of the tape; 0: nothing was taped
    int width = 4000, height = 3000;
};
UsualCase usual_case(std::uint64_t seed, const UsualSettings& settings = {});

}  // namespace seamwright::trace
