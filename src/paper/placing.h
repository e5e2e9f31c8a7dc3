#pragma once

#include <functional>
#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "paper/drawing.h"

namespace seamwright::paper {

/// A rectangle that may be turned.
struct Patch {
    Point centre;
    double width_mm = 0.0, height_mm = 0.0;
    double turn_rad = 0.0;

    /// A place given from the middle of the patch, along and up it.
    Point at(double along_mm, double up_mm) const;
    Path outline(double grown_mm = 0.0) const;
};

/// A text standing in the middle of a patch of its own size.
Patch patch_for(const Text& text);
Text centred(Text text, const Patch& patch);

/// The direction of a text that runs along `heading`, turned so that it reads from below or from the right.
double reading_turn(double heading_rad);

/// Knows what is drawn already, so that texts can be put where nothing is.
class Placer {
  public:
    void add(const Path& path);
    void add(const Patch& patch);
    /// True when nothing lies within `clear_mm` of the patch.
    bool free(const Patch& patch, double clear_mm) const;

  private:
    std::map<std::pair<long, long>, std::vector<Point>> points_;
    void add(Point p);
};

/// Nothing lies within `clear_mm` of the patch, and its corners, sides and middle satisfy `inside`.
bool fits(const Placer& placer, const Patch& patch, double clear_mm, const std::function<bool(Point)>& inside);

/// The first patch of the list that fits.
std::optional<Patch> first_free(const Placer& placer, const std::vector<Patch>& patches, double clear_mm,
                                const std::function<bool(Point)>& inside);

}  // namespace seamwright::paper
