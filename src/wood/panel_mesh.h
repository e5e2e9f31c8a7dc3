#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <variant>
#include <vector>

#include "wood/panel_body.h"

namespace seamwright::wood {

/// A side of a triangle on a seam or on the edge of the wood: its nodes forwards along the line.
struct LineSide {
    std::array<std::uint32_t, 3> node{};  ///< start, middle, end; the middle lies on the line
    double from_mm = 0.0, to_mm = 0.0;    ///< lengths along the line
};

struct MeshedLine {
    std::vector<LineSide> sides;
    bool closed = false;
    int left = -1, right = -1;  ///< pieces; -1: no wood
};

struct PanelMesh {
    BodyMesh body;
    std::vector<MeshedLine> seams;        ///< as given
    std::vector<MeshedLine> outer_edges;  ///< from corner to corner of the whole top, wood on the left; holes left out
    std::vector<LineSide> rim;            ///< every side at which the wood ends
};

std::variant<PanelMesh, BodyProblem> mesh_panel(std::span<const BodyPiece> pieces, std::span<const BodySeam> seams,
                                                const BodySettings& settings);

}  // namespace seamwright::wood
