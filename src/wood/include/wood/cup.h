#pragma once

namespace seamwright::wood {

// How a board goes hollow across its width, out of the plane of the top.

/// A board cut with its rings lying along its width, the pith outside it below the middle of its width.
struct FlatSawnBoard {
    double width_mm = 0.0;
    double thickness_mm = 0.0;
    double pith_mm = 0.0;  ///< from the pith to the nearer face; the other face is the bark side
};

struct Cup {
    double rise_mm = 0.0;           ///< of the bark side: + its middle stands below its edges (hollow), as in drying
    double curvature_per_mm = 0.0;  ///< at the middle of the bark side, same sign
    double width_change_mm = 0.0;   ///< of the bark side, between its edges
};

/// A model: rings are circles about one pith, moisture changes by the same amount throughout, nothing holds the board.
/// `radial` and `tangential` are the free strains, coefficient times change of moisture.
///
/// Every ring keeps its radial strain e_R and its tangential strain e_T. A place at radius r and angle θ from the
/// middle of the board goes to radius r (1 + e_R); its ring arc r θ becomes r θ (1 + e_T), so that θ goes to
/// θ (1 + e_T)/(1 + e_R). This needs no stress at all: in small strains u_r = e_R r, u_θ = (e_T − e_R) r θ has the
/// shear ∂u_θ/∂r − u_θ/r + ∂u_r/r∂θ = 0 and the ring strain u_r/r + ∂u_θ/r∂θ = e_T. Places of the face at height h
/// over the pith rise by e_R h − (e_T − e_R) x θ: the face, once flat, stands higher at its edges by
/// −(e_T − e_R) (w/2) θ_edge, a curvature of −2 (e_T − e_R)/h in the middle. (The transverse free strain
/// e_T − (e_T − e_R) sin²θ changes through the thickness as well, and its shear along the width; the sum is this.)
///
/// Sizes and distance above nothing, else std::invalid_argument.
Cup ring_cup(const FlatSawnBoard& board, double radial, double tangential);

/// Two layers glued over their length that want to differ by a strain (S. Timoshenko, J. Opt. Soc. Am. 11 (1925), 233):
///
///     1/r = 6 e (1 + m)² / (h [3 (1 + m)² + (1 + m n)(m² + 1/(m n))]),   m = t₁/t₂, n = E₁/E₂, h = t₁ + t₂.
///
/// `strain_difference` is free strain of layer 1 less that of layer 2; positive curvature: layer 1 outside of the bend.
/// Thicknesses and moduli above nothing, else std::invalid_argument.
double two_layer_curvature(double thickness_1_mm, double thickness_2_mm, double modulus_1_mpa, double modulus_2_mpa,
                           double strain_difference);

/// A board of which one face to a depth has changed its moisture and the rest not, by the two layers above: the rise
/// over its width, κ w²/8, + with the changed face bulging. A model: a step in moisture, elastic, free board.
/// 0 < depth < thickness, width above nothing, else std::invalid_argument.
double one_face_cup_mm(double width_mm, double thickness_mm, double depth_mm, double strain_of_face);

}  // namespace seamwright::wood
