#pragma once

// Within the room: each kind of curve as a smooth curve, and what all kinds share.

#include <string>
#include <variant>

#include "curves/drawn.h"

namespace seamwright::curves {

/// Coordinates and lengths beyond a kilometre are slips of the pen (and would cost digits).
inline constexpr double most_coordinate_mm = 1e6;
/// The tightest radius that is still a curve and not a corner. Far below any cutter; it keeps hairpins out.
inline constexpr double least_radius_mm = 0.1;
/// Points nearer than this part of the drawing's size are the same point.
inline constexpr double coincident_part = 1e-9;

bool usable(double length_mm);
bool usable(Point p);
/// "12.5": the shortest decimal that is the number, for messages.
std::string plain(double value);

std::variant<Drawn, CurveProblem> draw_straight(const Straight& straight);
std::variant<Drawn, CurveProblem> draw_arc(const Arc& arc);
std::variant<Drawn, CurveProblem> draw_wave(const Wave& wave, double within_mm);
std::variant<Drawn, CurveProblem> draw_oval(const Oval& oval, double within_mm);
std::variant<Drawn, CurveProblem> draw_pins(const Pins& pins, double within_mm);
std::variant<Drawn, CurveProblem> draw_imported(const Imported& imported);
std::variant<Drawn, CurveProblem> draw_traced(const Traced& traced, double within_mm);

/// "pin 3" for the third.
std::string pin_name(std::size_t i);
std::size_t nearest_pin(const Pins& pins, Point p);
/// Why no curve of any kind passes through these pins.
std::optional<CurveProblem> check_pins(const Pins& pins);

/// The ellipse centre + turned(semi_x cos t, ± semi_y sin t), t from t_begin to t_end; `clockwise` takes the minus.
geometry::SmoothCurve ellipse(Point centre, double semi_x_mm, double semi_y_mm, double turn_rad, bool clockwise,
                              double t_begin, double t_end);

/// Fits arcs to the curve and finds its curvature, tightest radii and inflections. A curve tighter than
/// `least_radius_mm`, or one that cannot be fitted, comes back as a problem whose element the caller fills in.
std::variant<Drawn, CurveProblem> draw_smooth(const geometry::SmoothCurve& curve, double within_mm);

/// Curvature and tightest radii of a path whose arcs are the curve itself.
void describe_arcs(Drawn& drawn);

}  // namespace seamwright::curves
