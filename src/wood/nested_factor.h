#pragma once

#include <Eigen/Core>
#include <array>
#include <functional>
#include <vector>

#include "wood/panel_body.h"

namespace seamwright::wood {

/// Of one triangle: forces at its nodes (x, y of each in turn) from their moves. Symmetric.
using TriangleStiffness = Eigen::Matrix<double, 12, 12>;

/// The equations of a body, solved part by part: the triangles are halved again and again across their longer extent;
/// of each part the nodes that lie wholly within it are worked out of its equations, and what is left, its stiffness as
/// seen from its edge, is joined to that of its neighbour (A. George, SIAM J. Numer. Anal. 10 (1973), 345: nested
/// dissection). Factors are dense and small enough that sums run in the same order on every machine.
class NestedFactor {
  public:
    /// Unknowns: x and y of node n are 2n and 2n + 1; those in `held` stay 0. False when the body is not stiff.
    bool factor(const BodyMesh& mesh, const std::array<int, 3>& held,
                const std::function<void(std::size_t triangle, TriangleStiffness& stiffness)>& stiffness_of);
    /// From loads to moves.
    Eigen::VectorXd solve(Eigen::VectorXd load) const;

  private:
    /// What was worked out in one step: L of the unknowns worked out, and their rows in those at the edge of the part.
    struct Step {
        std::vector<int> unknowns;  // worked out, then at the edge
        Eigen::MatrixXd lower;      // as wide as those worked out
    };
    std::vector<Step> steps_;  // parts before the wholes they belong to
};

}  // namespace seamwright::wood
