#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "shelf/board.h"
#include "shelf/records.h"

namespace seamwright::shelf {

/// A diameter as marked, and as the maker measured it (callipers, or a test groove). The plan works with the measured
/// one wherever there is one.
struct Diameter {
    double nominal_mm = 0.0;
    std::optional<double> measured_mm;
    /// 95 in 100 such measurements are this near the truth; absent: as near as the maker's measuring is said to be.
    std::optional<double> measured_within_mm = std::nullopt;

    double real_mm() const { return measured_mm.value_or(nominal_mm); }
    friend bool operator==(const Diameter&, const Diameter&) = default;
};

/// The way from the middle of the guide to that of the cutter, in the frame of the router: x to the right, y away from
/// the maker, the router held as on the test cut that told it.
struct OffCentre {
    double x_mm = 0.0, y_mm = 0.0;
    double within_mm = 0.0;  ///< 95 in 100, each of the two
    friend bool operator==(const OffCentre&, const OffCentre&) = default;
};

/// A guide bushing: a sleeve around the cutter that rides on the template.
struct Guide {
    std::string name;
    Diameter outside;
    double barrel_length_mm = 0.0;  ///< how far the sleeve stands out below the router base
    std::optional<double> bore_mm;  ///< inside diameter; absent: outside less 2 × 1.5 mm (common practice)
    std::optional<OffCentre> off_centre = std::nullopt;

    double bore_or_default_mm() const { return bore_mm.value_or(outside.real_mm() - 3.0); }
    friend bool operator==(const Guide&, const Guide&) = default;
};

/// A ball bearing on the cutter that rides on the template (or on the edge cut before).
struct Bearing {
    std::string name;
    Diameter outside;
    friend bool operator==(const Bearing&, const Bearing&) = default;
};

struct Cutter {
    std::string name;
    Diameter cutting;
    double cutting_length_mm = 0.0;
    double shank_mm = 0.0;
    std::optional<double> reach_mm;       ///< longest stick-out from the collet; absent: cutting length + 20 mm
    std::optional<double> max_speed_rpm;  ///< as marked on the cutter
    int flutes = 2;
    /// Names of shelf bearings that fit this cutter.
    std::vector<std::string> bearings;

    double reach_or_default_mm() const { return reach_mm.value_or(cutting_length_mm + 20.0); }
    friend bool operator==(const Cutter&, const Cutter&) = default;
};

/// Clamps of one kind.
struct Clamps {
    std::string name;
    int count = 1;
    double opens_mm = 0.0;  ///< widest
    double force_n = 0.0;   ///< that one gives, tightened by hand
    friend bool operator==(const Clamps&, const Clamps&) = default;
};

/// How many places a test cut is measured at; they are numbered on its sheet, from 1 (seam/test_cut.h).
inline constexpr std::size_t test_cut_places = 14;

/// What was read off a test cut of one guide and one cutter.
struct TestCut {
    std::string guide, cutter;        ///< by their names on this shelf
    std::string on;                   ///< the day, as the maker wrote it
    double reading_within_mm = 0.03;  ///< how far one reading may be off, one standard deviation
    std::array<std::optional<double>, test_cut_places> readings_mm;
    friend bool operator==(const TestCut&, const TestCut&) = default;
};

struct Shelf {
    std::vector<Guide> guides;
    std::vector<Bearing> bearings;
    std::vector<Cutter> cutters;
    std::vector<Clamps> clamps;
    std::vector<TestCut> test_cuts;  ///< oldest first
    std::vector<Board> boards;
    std::vector<Disc> discs = {};          ///< oldest first
    std::vector<WorkDone> work_done = {};  ///< oldest first
    friend bool operator==(const Shelf&, const Shelf&) = default;
};

/// Radial room for chips between cutter and bore of the guide (common practice, from memory).
inline constexpr double chip_room_mm = 0.5;

/// A species as the reference tables know it. A species whose specific gravity the tables do not give is left out.
struct Species {
    std::string name;  ///< as in data/mechanical.csv: "Walnut, black"
    bool hardwood = true;
    double density_kg_m3 = 0.0;  ///< at 12 % moisture, 1000 × SG12 × 1.12 (Wood Handbook Eq 4-14)
    std::string source;          ///< where the table took the row from, in words
    bool from_memory = false;    ///< the specific gravity was recalled, not seen in a stored copy of the handbook
};

/// The species of that name, or nullptr when it is unknown or means several.
///
/// Capitals, commas, dashes and the order of the words do not matter: "black walnut", "Walnut, black" and "walnut
/// black" are one. A trade name is taken where it means one species: "walnut" is Walnut, black; "hard maple" Maple,
/// sugar; "red oak" Oak, northern red (common practice). A name for woods of clearly different weight ("oak", "maple",
/// "pine", "cedar") is not guessed at: species_meant_by() lists them.
const Species* find_species(const std::string& name);

/// The names a word can stand for: one for a known species, several for "oak" or "soft maple", none for an unknown
/// word. In the order of the table.
std::vector<std::string> species_meant_by(const std::string& name);

/// The nearest known name by spelling, for a remedy; for a word that means several, the first of them. Never empty.
std::string nearest_species(const std::string& name);

/// Every species, in the order of data/mechanical.csv.
const std::vector<Species>& all_species();

}  // namespace seamwright::shelf
