#pragma once

#include "fit.h"

namespace seamwright::edit {

// Edits that draw. Each says what it did; throws Refusal.

/// Adds a pin where the curve is nearest. `pointer`: a seam, its curve, an edge of the top or the outline.
std::string add_pin(Bench& bench, std::string_view pointer, Point at);
std::string redraw(Bench& bench, std::string_view pointer, std::string_view as);
/// `as`: a kind of curve or "edging".
std::string draw_seam(Bench& bench, std::string_view as, const std::vector<Point>& through, const Aim& aim);

struct Import {
    std::string pointer;  ///< of a seam; "": a new one
    std::optional<std::string> svg_path, csv;
    std::string unit, name;
};
std::string import_curve(Bench& bench, const Import& import);
/// A trace as the program made it of a picture (the group that stands at "traced" in a document), as the curve of the
/// seam at `pointer` or of a new one (""). It is laid in the middle of the top and carried on past its edge.
std::string bring_trace(Bench& bench, const std::string& pointer, const Json& traced, const std::string& name);

// Parts of the top that leave a piece of use on every side; they are there to be changed.
inline constexpr double inlay_part = 0.3;     ///< of each side of the top
inline constexpr double edging_part = 0.125;  ///< of the narrow side

[[noreturn]] void refuse_edit_kind(std::string_view pointer);

/// "seam 3", the first such name that is free.
std::string free_seam_name(const Json& tree);
/// The steps of the seam that a pointer leads into; refuses others.
Steps seam_of(const Bench& bench, std::string_view pointer);

}  // namespace seamwright::edit
