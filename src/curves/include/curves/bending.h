#pragma once

namespace seamwright::curves {

// Bending a stick of even thickness to a radius: its skin is stretched, or squeezed, by t/2R (plane sections stay
// plane; Wood Handbook, FPL-GTR-282, chapter 9, flexure; any text on strength of materials). R is to the middle of the
// thickness. What strain a species bears: shelf/bending.h.

/// Strain of the skin, t/2R. thickness > 0, radius > 0 (infinite for straight), else std::invalid_argument.
double skin_strain(double thickness_mm, double radius_mm);

/// The smallest radius that a stick of this thickness survives, R = t/(2 strain). Both > 0, else std::invalid_argument.
double smallest_radius_mm(double thickness_mm, double allowed_strain);

/// The thickest stick that survives this radius, t = 2 R strain. Both > 0, else std::invalid_argument.
double greatest_thickness_mm(double radius_mm, double allowed_strain);

}  // namespace seamwright::curves
