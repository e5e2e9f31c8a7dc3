// An imported path is already lines and arcs; it is checked, and described as it is.

#include <cmath>

#include "shapes.h"

namespace seamwright::curves {

std::variant<Drawn, CurveProblem> draw_imported(const Imported& imported) {
    const auto& segments = imported.path.segments;
    if (segments.empty()) {
        return CurveProblem{"The imported path is empty.", "Import a path with at least two points.", std::nullopt,
                            std::nullopt};
    }
    if (!(imported.bound_mm >= 0.0) || !std::isfinite(imported.bound_mm)) {
        return CurveProblem{"The bound of the imported path is not a usable number.", "Import the path again.",
                            std::nullopt, std::nullopt};
    }
    for (std::size_t i = 0; i < segments.size(); ++i) {
        if (!usable(segments[i].start) || !usable(segments[i].end)) {
            return CurveProblem{"Piece " + std::to_string(i + 1) + " of the imported path lies beyond a kilometre.",
                                "Check the unit of the imported numbers.", i, std::nullopt};
        }
    }
    Drawn out;
    out.path = imported.path;
    out.bound_mm = imported.bound_mm;
    describe_arcs(out);
    return out;
}

}  // namespace seamwright::curves
