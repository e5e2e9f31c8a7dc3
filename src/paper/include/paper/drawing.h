#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "geometry/path.h"
#include "geometry/region.h"
#include "plan/figure.h"

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

/// A picture that goes on paper, as a JPEG of the ordinary kind (trace::write_jpeg).
struct PictureFile {
    int width_px = 0, height_px = 0;
    std::string jpeg;
};

/// Wood: a ground, with a picture of a board or lines of a figure on it, inside an outline.
struct WoodPatch {
    std::vector<Path> clip;                      ///< closed, the even-odd rule between them
    std::optional<Path> within;                  ///< closed
    std::string ground, line;                    ///< "#rrggbb"; no ground when empty
    plan::BoardOnTop lies;                       ///< from the board, mm, to the drawing
    double length_mm = 0.0, width_mm = 0.0;      ///< of the board, which the picture covers
    std::shared_ptr<const PictureFile> picture;  ///< null: none. The same one is held once in a file
    std::vector<plan::FigureLine> figure;        ///< on the board; their widths are the drawing's
};

struct SheetSize {
    std::string name;
    double width_mm = 0.0, height_mm = 0.0;
    friend bool operator==(const SheetSize&, const SheetSize&) = default;
};
/// A4, A3, Letter, Tabloid, upright (ISO 216; ANSI/ASME Y14.1 sizes A and B). Capitals do not matter. nullopt when
/// unknown.
std::optional<SheetSize> find_sheet(const std::string& name);
/// The names find_sheet knows, for messages.
std::string known_sheets();

/// A drawing at full size: everything in mm, y up.
struct Drawing {
    std::string title;
    std::vector<WoodPatch> patches;  ///< beneath everything else. PDF only
    std::vector<DrawnPath> paths;
    std::vector<Text> texts;
    /// Set for a drawing to scale that is laid out on one sheet, whose lower left corner is (0, 0). Width and height
    /// are those of the sheet as it lies. Absent: full size.
    std::optional<SheetSize> laid_out_on;
    /// Of a page of a booklet. What begins on it, for the outline; where none are given, its title stands for it.
    std::vector<std::string> begins = {};
    std::vector<std::string> places = {};  ///< names by which other pages find what is drawn here
    std::string label = {};                ///< what readers show instead of the page number; empty: the title

    /// Everything drawn: lines with half their width, and texts as the PDF sets them.
    Box box() const;
};

/// A printer measured: a bar drawn 100 mm long came out `measured`, so drawn lengths are multiplied by 100 / measured.
/// On a sheet, x is along the short side of the sheet and y along the long side, whichever way the drawing lies on it;
/// the check bars say which is which. On a roll, x is across the page and y up it.
struct Correction {
    double x = 1.0, y = 1.0;  ///< 0.9 .. 1.1; more is not a printer's error but a wrong print setting

    bool on() const { return x != 1.0 || y != 1.0; }
    static Correction measured(double measured_x_mm, double measured_y_mm) {
        return {100.0 / measured_x_mm, 100.0 / measured_y_mm};
    }
};

struct Tiling {
    SheetSize sheet;
    double overlap_mm = 10.0;  ///< 0 .. 50, shared by neighbouring sheets
    double margin_mm = 10.0;   ///< 3 .. 40, kept free at the sheet's edge
    /// Absent: for each drawing, whichever way needs fewer sheets.
    std::optional<bool> landscape;
    Correction correction;
};

// All of these throw std::invalid_argument, with what was found and what is allowed, for a drawing with nothing in it,
// one too large for paper, a correction out of range, or a sheet too small for its margins and check bars.
// The bytes are the same on every run: no dates, no random ids.

/// For each drawing a key map and its sheets at full size. Every sheet carries check bars of 100 mm and 4 in both ways.
std::string tiled_pdf(const std::vector<Drawing>& drawings, const Tiling& tiling);
/// One large page per drawing, for a roll. A page over 14,400 pt (5080 mm) uses UserUnit and says so.
std::string roll_pdf(const std::vector<Drawing>& drawings, const Correction& correction);
/// One page per drawing, of the sheet it is laid out on.
std::string sheet_pdf(const std::vector<Drawing>& drawings);
/// SVG with width and height in mm, viewBox in mm, arcs as arcs (split at a quarter turn), y down.
/// Coordinates are written to 1e-6 mm. Throws for a drawing with patches, too.
std::string svg(const Drawing& drawing);

}  // namespace seamwright::paper
