#include "fields.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace seamwright::edit {
namespace {

template <std::size_t N>
bool among(const std::array<std::string_view, N>& names, std::string_view name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

// A name means the same kind of value wherever it stands in a job document.
constexpr std::array<std::string_view, 79> lengths{"measured_within",
                                                   "board_width",
                                                   "board_length",
                                                   "skim",
                                                   "cutter_diameter",
                                                   "side_cut",
                                                   "gap_told",
                                                   "offset_told",
                                                   "reading_within",
                                                   "x",
                                                   "y",
                                                   "thickness",
                                                   "length",
                                                   "width",
                                                   "corner_radius",
                                                   "front_left",
                                                   "front_right",
                                                   "back_right",
                                                   "back_left",
                                                   "bow",
                                                   "diameter",
                                                   "radius",
                                                   "rise",
                                                   "half_height",
                                                   "outside",
                                                   "measured",
                                                   "barrel",
                                                   "bore",
                                                   "cutting_length",
                                                   "shank",
                                                   "reach",
                                                   "run_out",
                                                   "body",
                                                   "gap",
                                                   "first_pass",
                                                   "pass",
                                                   "last_pass",
                                                   "below_wood",
                                                   "feed_per_minute",
                                                   "reveal",
                                                   "overlap",
                                                   "margin",
                                                   "measured_bar_x",
                                                   "measured_bar_y",
                                                   "unit_size",
                                                   "bound",
                                                   "least_radius",
                                                   "within",
                                                   "smooth_below",
                                                   "band",
                                                   "run_on_start",
                                                   "run_on_end",
                                                   "longest_bump",
                                                   "fair_within",
                                                   "measured_size",
                                                   "marked_size",
                                                   "cutter_wear",
                                                   "guide_wear",
                                                   "cutter_wobble",
                                                   "guide_play",
                                                   "off_centre",
                                                   "routed_edge",
                                                   "hand_edge",
                                                   "edge_wave",
                                                   "paper_per_metre",
                                                   "caul_depth",
                                                   "caul_thickness",
                                                   "opens",
                                                   "planed",
                                                   "screw",
                                                   "fixed_line",
                                                   "supports",
                                                   "kerf",
                                                   "ends",
                                                   "jointing",
                                                   "defect_from_seam",
                                                   "joint_from_seam",
                                                   "narrowest_strip",
                                                   "offset"};
constexpr std::array<std::string_view, 41> numbers{"number",
                                                   "usual_minutes",
                                                   "area_m2",
                                                   "litres_told",
                                                   "shift",
                                                   "max_speed",
                                                   "flutes",
                                                   "fractions",
                                                   "decimals",
                                                   "pixel_mm",
                                                   "marks",
                                                   "residual_pixels",
                                                   "worst_residual_pixels",
                                                   "near_mm",
                                                   "overall_mm",
                                                   "moisture_points",
                                                   "moisture_percent",
                                                   "temperature_c",
                                                   "people",
                                                   "friction",
                                                   "force_n",
                                                   "count",
                                                   "price",
                                                   "celsius",
                                                   "fahrenheit",
                                                   "humidity",
                                                   "load_n",
                                                   "strips",
                                                   "strip",
                                                   "coats",
                                                   "labour_per_hour",
                                                   "sheet_per_m2",
                                                   "adhesive_per_kg",
                                                   "finish_per_litre",
                                                   "abrasive_per_sheet",
                                                   "cutter_per_metre",
                                                   "wood_per_m3",
                                                   "waste_percent",
                                                   "overhead_percent",
                                                   "hours",
                                                   "litres"};
constexpr std::array<std::string_view, 8> angles{"from_degrees",  "to_degrees",          "turn_degrees",
                                                 "start_degrees", "end_degrees",         "grain_degrees",
                                                 "slope_degrees", "grain_within_degrees"};
constexpr std::array<std::string_view, 9> flags{"passes_by_wood", "on_table", "closed", "feet",     "y_up",
                                                "one_board",      "turned",   "over",   "turn_over"};
constexpr std::array<std::string_view, 37> texts{
    "job",    "feed",      "seen",     "guide",    "cutter", "on",   "name",   "note",    "unit",        "kind",
    "master", "chain",     "species",  "size",     "d",      "csv",  "file",   "bulge",   "seamwright",  "batten",
    "sha256", "held",      "adhesive", "exposure", "class",  "sawn", "heart",  "allowed", "heart_sides", "system",
    "apply",  "first_day", "currency", "customer", "terms",  "step", "picture"};
/// Names of points [x, y], and of lists of them.
constexpr std::array<std::string_view, 6> points{"from", "to", "centre", "at", "move", "start"};
constexpr std::array<std::string_view, 3> point_lists{"points", "pins", "outline"};

void visit(Json& value, Steps& steps, const std::function<void(const Steps&, Json&)>& act) {
    if (!value.is_structured()) {
        if (kind_of_field(steps) == FieldKind::length) act(steps, value);
        return;
    }
    std::size_t index = 0;
    for (auto it = value.begin(); it != value.end(); ++it) {
        steps.push_back(value.is_object() ? it.key() : std::to_string(index++));
        visit(*it, steps, act);
        steps.pop_back();
    }
}

}  // namespace

FieldKind kind_of_field(const Steps& steps) {
    if (steps.empty()) return FieldKind::group;
    const std::string& last = steps.back();
    if (index_of(last)) {
        const std::size_t n = steps.size();
        if (n >= 2 && steps[n - 2] == "readings") return FieldKind::length;
        if (n >= 2 && among(points, steps[n - 2])) return FieldKind::length;
        if (n >= 3 && among(point_lists, steps[n - 3]) && index_of(steps[n - 2])) return FieldKind::length;
        if (n >= 4 && steps[n - 4] == "grain_lines") return FieldKind::length;
        if (n >= 2 && steps[n - 2] == "bearings" && n >= 4 && steps[n - 4] == "cutters") return FieldKind::text;
        if (n >= 2 && (steps[n - 2] == "from_boards" || steps[n - 2] == "off")) return FieldKind::text;
        if (n >= 3 && steps[n - 3] == "hours") return FieldKind::text;
        return FieldKind::group;
    }
    // What lies under the ends of a build-up; elsewhere "ends" is a length.
    if (last == "ends" && steps.size() >= 2 && steps[steps.size() - 2] == "build_up") return FieldKind::text;
    if (among(lengths, last)) return FieldKind::length;
    if (among(numbers, last)) return FieldKind::number;
    if (among(angles, last)) return FieldKind::angle;
    if (among(flags, last)) return FieldKind::flag;
    if (among(texts, last)) return FieldKind::text;
    return FieldKind::group;
}

void visit_lengths(Json& tree, const std::function<void(const Steps&, Json&)>& act) {
    Steps steps;
    visit(tree, steps, act);
}

std::optional<double> length_mm(const Json& value, units::Unit bare) {
    if (value.is_number()) {
        const double number = value.get<double>();
        return bare == units::Unit::inch ? number * units::mm_per_inch : number;
    }
    if (!value.is_string()) return std::nullopt;
    const auto read = units::read_length(value.get_ref<const std::string&>(), bare);
    if (const double* mm = std::get_if<double>(&read)) return *mm;
    return std::nullopt;
}

units::Unit unit_of(const Json& tree) {
    const Json* unit = find(tree, {"unit"});
    return unit != nullptr && *unit == "in" ? units::Unit::inch : units::Unit::millimetre;
}

Json number_of(double value) {
    constexpr double largest_whole = 9e15;  // doubles hold whole numbers up to 2^53
    if (std::abs(value) < largest_whole && std::floor(value) == value) return Json(static_cast<std::int64_t>(value));
    return Json(value);
}

namespace {

const char* word_of(units::Unit unit) {
    return unit == units::Unit::inch ? "in" : "mm";
}

/// The unit a text says itself, if any; texts of bare numbers say none.
bool says_unit(const std::string& text) {
    const auto as_mm = units::read_length(text, units::Unit::millimetre);
    const auto as_in = units::read_length(text, units::Unit::inch);
    const double* mm = std::get_if<double>(&as_mm);
    const double* in = std::get_if<double>(&as_in);
    return mm != nullptr && in != nullptr && *mm == *in && *mm != 0.0;
}

}  // namespace

void keep_size(Json& value, units::Unit from, units::Unit to) {
    if (from == to) return;
    if (value.is_number()) {
        // Nought and what is short in the new unit stay plain numbers, so that they can be changed like any other.
        const double number = value.get<double>();
        if (number == 0.0) return;
        value = fmt::format("{} {}", number_of(number).dump(), word_of(from));
        if (!length_mm(value, to))
            value = number_of(from == units::Unit::inch ? number * units::mm_per_inch : number / units::mm_per_inch);
    } else if (value.is_string()) {
        const std::string text = value.get<std::string>();
        if (!says_unit(text) && length_mm(value, from) && *length_mm(value, from) != 0.0)
            value = fmt::format("{} {}", text, word_of(from));
    }
}

void say_units(Json& shelf, units::Unit from) {
    visit_lengths(shelf, [&](const Steps&, Json& value) {
        keep_size(value, from, from == units::Unit::inch ? units::Unit::millimetre : units::Unit::inch);
    });
}

void leave_out_units(Json& shelf, units::Unit unit) {
    visit_lengths(shelf, [&](const Steps&, Json& value) {
        if (!value.is_string()) return;
        const std::string& text = value.get_ref<const std::string&>();
        double number = 0.0;
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
        const std::string_view rest(end, static_cast<std::size_t>(text.data() + text.size() - end));
        if (error == std::errc() && rest == fmt::format(" {}", word_of(unit)) && std::isfinite(number))
            value = number_of(number);
    });
}

}  // namespace seamwright::edit
