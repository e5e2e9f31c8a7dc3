#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/path.h"
#include "geometry/region.h"

namespace seamwright::paper {

using geometry::Box;
using geometry::Path;
using geometry::Point;

/// A line style drawn to be told apart in black and white.
struct Stroke {
    double width_mm = 0.25;
    std::vector<double> dash_mm;        ///< empty: solid
    double grey = 0.0;                  ///< 0 black .. 1 white
    std::optional<std::string> colour;  ///< "#rrggbb", never the only carrier of meaning
};
struct Fill {
    std::optional<std::string> colour;
    double hatch_spacing_mm = 0.0;  ///< 0: none
    double hatch_angle_rad = 0.0;
};

struct DrawnPath {
    Path path;
    Stroke stroke;
    Fill fill;  ///< closed paths only
    std::vector<Path> holes;
    std::string id;  ///< SVG id
};

struct Text {
    enum class Anchor { left, middle, right };
    Point at;  ///< baseline
    std::string text;
    double height_mm = 3.0;  ///< cap height is about 0.7 of it
    double turn_rad = 0.0;
    Anchor anchor = Anchor::left;
    bool bold = false;
};

/// A drawing at full size: everything in mm, y up.
struct Drawing {
    std::string title;
    std::vector<DrawnPath> paths;
    std::vector<Text> texts;
    Box box() const;
};

/// Measured printer: a bar drawn 100 mm long came out as measured; drawn lengths are multiplied by 100/measured.
struct Correction {
    double x = 1.0, y = 1.0;
};

struct SheetSize {
    std::string name;
    double width_mm = 0.0, height_mm = 0.0;
};
/// A4, A3, Letter, Tabloid (sizes: data/paper.csv, ISO 216 and ANSI Y14.1). Upright. nullopt when unknown.
std::optional<SheetSize> find_sheet(const std::string& name);

struct Tiling {
    SheetSize sheet;
    double overlap_mm = 10.0;
    double margin_mm = 10.0;
    bool landscape = false;
    Correction correction;
};

/// PDF bytes. Deterministic: no dates, no random ids.
std::string tiled_pdf(const std::vector<Drawing>& drawings, const Tiling& tiling);
/// One large page per drawing, for a roll. Pages over 14,400 pt use UserUnit.
std::string roll_pdf(const std::vector<Drawing>& drawings, const Correction& correction);
/// SVG with width and height in mm, viewBox in mm, arcs as arcs.
std::string svg(const Drawing& drawing);

}  // namespace seamwright::paper
