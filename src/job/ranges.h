#pragma once

#include <cstddef>

namespace seamwright::job {

/// What is sensible, in millimetres. The bounds are ours: wide enough for any top that one or two people can carry and
/// any tool that fits a hand-held router, narrow enough to catch a slipped decimal point or a wrong unit.
struct Range {
    double low = 0.0;
    double high = 0.0;
};

namespace ranges {

inline constexpr Range top_thickness_mm{1.0, 300.0};
inline constexpr Range top_side_mm{10.0, 20000.0};
inline constexpr Range corner_radius_mm{0.0, 10000.0};
inline constexpr Range bow_mm{-10000.0, 10000.0};
/// Places on the drawing: any top plus a generous run-out on every side.
inline constexpr Range coordinate_mm{-50000.0, 50000.0};

/// A seam radius of a kilometre rises 0.1 mm over 1 m and is straight to any eye; radii are allowed up to that.
inline constexpr Range radius_mm{1.0, 1e6};
inline constexpr Range rise_mm{0.001, 50000.0};
/// A batten: any top and its run-out, bent as far as it goes.
inline constexpr Range stick_mm{1.0, 200000.0};
/// Thinner is a shaving, thicker no longer bends by hand.
inline constexpr Range stick_thickness_mm{0.2, 60.0};
inline constexpr Range half_height_mm{0.001, 10000.0};
inline constexpr Range wave_length_mm{1.0, 1e6};
inline constexpr Range oval_side_mm{1.0, 20000.0};
inline constexpr Range edging_width_mm{3.0, 5000.0};
/// A curve that may move by more is another curve.
inline constexpr Range eased_within_mm{0.01, 500.0};
/// Below, a trace is followed into its noise; above, it is hardly followed at all.
inline constexpr Range trace_wave_mm{10.0, 5000.0};
inline constexpr Range trace_band_mm{0.01, 500.0};
inline constexpr Range trace_run_on_mm{0.0, 5000.0};
/// Below, the gauge's own tremble; above, nothing but the shape.
inline constexpr Range made_wave_mm{20.0, 2000.0};
inline constexpr Range made_fair_mm{0.001, 1.0};
/// The two ends of a curve lie at least this far apart, else it has no direction.
inline constexpr double shortest_chord_mm = 1.0;
/// Pins nearer than this are one pin entered twice: no pencil marks them apart.
inline constexpr double same_pin_mm = 0.01;

/// Guides and bearings for hand-held routers run from about 8 mm to 40 mm (data/router.csv, common practice).
inline constexpr Range rider_outside_mm{3.0, 150.0};
inline constexpr Range barrel_mm{1.0, 100.0};
inline constexpr Range bore_mm{1.0, 149.0};
/// Straight cutters run from 3 mm to about 32 mm (data/router.csv, common practice).
inline constexpr Range cutter_diameter_mm{1.0, 120.0};
inline constexpr Range cutting_length_mm{1.0, 250.0};
inline constexpr Range shank_mm{2.0, 30.0};
inline constexpr Range reach_mm{2.0, 400.0};
/// Charts go from 12 000 to 24 000 rpm (data/router.csv); small cutters are marked higher.
inline constexpr Range speed_rpm{1000.0, 60000.0};
inline constexpr int most_flutes = 8;
/// As process/edging.h takes them.
inline constexpr int most_segments = 120;
/// More is no skim.
inline constexpr Range skim_mm{0.0, 1.0};
inline constexpr Range side_cut_mm{0.1, 60.0};
inline constexpr Range whole_turn_degrees{0.0, 360.0};
inline constexpr std::size_t most_discs = 200;
inline constexpr std::size_t most_rim_stretches = 360;
inline constexpr std::size_t most_work_done = 5000;
inline constexpr Range minutes{0.0, 1e6};
inline constexpr Range area_m2{0.0, 10000.0};
/// A tool this far from its marked size was measured, marked or typed wrong: regrinding takes 0.1–0.3 mm at a time.
inline constexpr double surprising_wear_mm = 1.0;

/// A guide that sits farther from the spindle than this was never set.
inline constexpr Range off_centre_mm{-3.0, 3.0};
/// Widths of slots and distances of edges, read off a test cut; and how far such a reading may be off.
inline constexpr Range test_reading_mm{0.0, 200.0};
inline constexpr Range reading_within_mm{0.001, 1.0};
inline constexpr std::size_t most_test_cuts = 1000;

inline constexpr Range sheet_mm{1.0, 60.0};
inline constexpr Range run_out_mm{0.0, 1000.0};
inline constexpr Range body_mm{20.0, 2000.0};

inline constexpr Range gap_mm{0.001, 5.0};
inline constexpr Range pass_mm{0.1, 50.0};
inline constexpr Range below_wood_mm{0.0, 20.0};
inline constexpr Range feed_mm_per_min{100.0, 20000.0};
inline constexpr Range reveal_mm{0.5, 100.0};

inline constexpr Range tool_error_mm{0.0, 2.0};
inline constexpr Range edge_wave_mm{10.0, 5000.0};
inline constexpr Range paper_per_metre_mm{0.0, 20.0};
inline constexpr Range moisture_points{0.0, 20.0};
inline constexpr Range moisture_percent{1.0, 60.0};
inline constexpr Range board_mm{10.0, 5000.0};
inline constexpr Range board_margin_mm{0.0, 500.0};
inline constexpr Range temperature_c{-20.0, 50.0};
inline constexpr Range temperature_f{-4.0, 122.0};
/// Beyond these the table of equilibrium moisture ends (Wood Handbook, table 4-2).
inline constexpr Range humidity_percent{5.0, 95.0};
inline constexpr Range screw_mm{1.0, 20.0};
inline constexpr Range fixed_line_mm{0.0, 10000.0};
inline constexpr Range supports_mm{10.0, 10000.0};
inline constexpr Range load_n{0.0, 20000.0};
inline constexpr Range cutting_margin_mm{0.0, 100.0};
inline constexpr Range cutting_ends_mm{0.0, 500.0};
inline constexpr Range kerf_mm{0.5, 12.0};
inline constexpr Range jointing_mm{0.0, 20.0};
inline constexpr Range grain_within_degrees{0.0, 30.0};
inline constexpr Range kept_off_mm{0.0, 500.0};
inline constexpr Range strip_mm{5.0, 1000.0};
inline constexpr Range board_length_mm{50.0, 10000.0};
inline constexpr Range board_thickness_mm{2.0, 200.0};
inline constexpr Range slope_degrees{-45.0, 45.0};
inline constexpr Range price{0.0, 1e6};
inline constexpr Range defect_radius_mm{0.1, 1000.0};
inline constexpr std::size_t most_boards = 500;
inline constexpr std::size_t most_defects = 200;
inline constexpr std::size_t most_grain_lines = 100;
inline constexpr int most_strips = 40;
inline constexpr Range build_up_mm{3.0, 300.0};
inline constexpr Range edge_mm{0.2, 100.0};
inline constexpr int most_coats = 30;
inline constexpr std::size_t most_hours = 12;
inline constexpr std::size_t most_days_off = 1000;
inline constexpr Range percent_more{0.0, 1000.0};
inline constexpr std::size_t most_made = 2000;
inline constexpr Range hours{0.0, 10000.0};
inline constexpr Range gap_found_mm{0.0, 20.0};
inline constexpr Range offset_found_mm{0.0, 200.0};
inline constexpr Range litres{0.0, 1000.0};
inline constexpr Range caul_mm{5.0, 500.0};
inline constexpr Range friction{0.0, 1.0};
inline constexpr int most_clamps = 500;
inline constexpr Range clamp_opens_mm{10.0, 6000.0};
/// From a spring clamp's 100 N to a heavy screw's 30 kN (data/gluing.csv).
inline constexpr Range clamp_force_n{10.0, 50000.0};

/// As the paper room allows: a printer keeps 3 mm free or more, and wider margins leave no room for the check bar on
/// A4.
inline constexpr Range overlap_mm{0.0, 50.0};
inline constexpr Range margin_mm{3.0, 35.0};
/// A printer that is out by more than a tenth has scaled to fit the page, which must be switched off, not corrected.
inline constexpr Range measured_bar_mm{90.0, 110.0};

inline constexpr std::size_t most_seams = 200;
inline constexpr std::size_t most_pieces = 1000;
inline constexpr std::size_t most_tools = 1000;
inline constexpr std::size_t most_pins = 2000;
inline constexpr std::size_t most_terms = 16;
inline constexpr std::size_t longest_name = 200;
inline constexpr std::size_t longest_note = 20000;
/// A text longer than this is no length.
inline constexpr std::size_t longest_length = 100;

}  // namespace ranges
}  // namespace seamwright::job
