#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "plan/plan.h"

/// What a plan says, in sentences for a maker and in the units of the job. Terminal and page use the same ones.
namespace seamwright::plan::words {

std::string area_text(double mm2, units::Unit unit);  ///< "0.634 m²", "9.92 sq ft"
/// A size that tools are told apart by, as exact as the maker's callipers: fractions where they hold it, else
/// hundredths of a millimetre or thousandths of an inch.
std::string exact_size(double mm, const units::LengthStyle& style);
std::string weight_text(double kg, units::Unit unit);                                  ///< "7.2 kg", "15.9 lb"
std::string size_text(const geometry::Box& box, const units::LengthStyle& style);      ///< "1510.0 mm × 170.0 mm"
std::string times(std::size_t count, std::string_view one, std::string_view several);  ///< "1 pass", "3 passes"
std::string place_text(geometry::Point at, const units::LengthStyle& style);  ///< "… from the left, … from the front"

/// A gap or an error: "0.12 mm", "0.004 in"; where nobody could measure it, "less than 0.001 mm".
std::string thin_text(double mm, units::Unit unit);

std::string kind_text(job::SeamKind kind);  ///< "from edge to edge"
/// Length and tightest radii.
std::string shape_text(const SeamPlan& seam, const units::LengthStyle& style);
/// How evenly it bends: where it turns the other way, and where it bends most or least among its neighbours. Places are
/// told along the curve as drawn.
std::string fairness_text(const SeamPlan& seam, const units::LengthStyle& style);
/// Whether a piece comes out of its board, and how high its seams may be; with a board only.
std::string board_text(const PiecePlan& piece, const units::LengthStyle& style);
/// "1302.4 mm long between its ends, rises by 45.0 mm and leaves them at 8.1°"
std::string sprung_text(const curves::SprungStick& stick, const units::LengthStyle& style);
/// What the stick is, what its tightest bend does to it, and whether it holds, in sentences.
std::string stick_text(const StickPlan& stick, const units::LengthStyle& style);
/// "its skin is stretched by 0.37 %, 41 % of what breaks it (on the average, from memory)"; with how many break, where
/// that is worth telling. With a limit only.
std::string strain_text(const StickPlan& stick);
/// The greatest thickness that holds, rounded down to what is told; 0 when that is nothing.
double thickest_told_mm(const StickPlan& stick, const units::LengthStyle& style);
/// Largest gap, how surely it is known, and the maker's limit.
std::string proof_text(const SeamPlan& seam, const Plan& plan);
/// How much room the tightest turn leaves the tools; empty when nothing is carried out.
std::string reach_text(const SeamPlan& seam, const units::LengthStyle& style);
/// "a guide with an outside of 30.0 mm, used with …"
std::string advice_text(const seam::Advice& advice, const units::LengthStyle& style);

/// How deep each pass is and how far the cutter stands out for it; empty for none.
std::string depths_text(const process::PassPlan& plan, const units::LengthStyle& style);
/// The same with how long they take.
std::string passes_text(const process::PassPlan& plan, const units::LengthStyle& style);
/// The passes of a step, a sentence for each of its stages; none for work by hand.
std::vector<std::string> passes_lines(const StepPlan& step, const units::LengthStyle& style);
/// "Speed at most 22000 rpm, 14 m/s at the rim (marked on the cutter)."
std::string speed_text(const process::Speed& speed);

/// "70 °F", "21 °C".
std::string temperature_text(double celsius, units::Unit unit);
/// "2.1 oz", "60 g".
std::string mass_text(double grams, units::Unit unit);

/// The first letter as a capital.
std::string capitalised(std::string text);

/// "Copy the right mating template"; without the names of the pieces.
std::string step_title(const seam::Step& step, bool prints_mating);

}  // namespace seamwright::plan::words
