#pragma once

#include <optional>
#include <string>
#include <vector>

namespace seamwright::process {

// Adhesives by kind, how much of one a seam takes, how hard to press, how long it may take. The product's own sheet
// governs wherever it says otherwise.

struct Range {
    double low = 0.0, high = 0.0;
};

/// Classes of EN 204 (thermoplastic wood adhesives): D1 dry indoors, D2 now and then wet, D3 often damp, D4 outdoors
/// under a coating. Kinds that EN 204 does not cover are placed by common practice, from memory.
/// Types of ANSI/HPVA HP-1, bond classes of plywood, used loosely of glues: Type II water resistant (soaked and dried
/// again and again), Type I waterproof (boiled). Which glue belongs where is common practice, from memory.
enum class Exposure { d1 = 1, d2, d3, d4, type_2, type_1 };

struct ExposureName {
    Exposure exposure = Exposure::d1;
    const char* id = "";    ///< as documents have it: "D3", "Type II"
    const char* says = "";  ///< "often damp, or wet for a short while (D3)"
};
const std::vector<ExposureName>& exposures();
/// nullopt for a name that is none of them.
std::optional<Exposure> exposure_named(const std::string& id);

struct Adhesive {
    std::string id;                 ///< "pva", "cross-linking-pva", "polyurethane", "epoxy", "urea", "hide"
    std::string name;               ///< in the maker's words
    Exposure holds = Exposure::d1;  ///< the worst it stands, of EN 204
    int type = 3;                   ///< of ANSI/HPVA: 1, 2; 3: neither
    Range open_min;                 ///< from spreading to closing the joint, at 20–22 °C
    Range closed_min;               ///< from closing to full pressure
    Range clamp_min;
    double least_temperature_c = 0.0;  ///< of wood, glue and air
    Range spread_g_m2;                 ///< on the seam, all sides together
    Range fits_mm;                     ///< bond line: strongest up to low; not beyond high
    bool only_contact = false;         ///< needs no pressure but contact, and starves under it
    double full_strength_h = 24.0;     ///< from memory
    std::string note;                  ///< one sentence
    bool from_memory = false;          ///< any of its numbers was recalled, not read (data/gluing.csv)
};
const std::vector<Adhesive>& adhesives();
const Adhesive* find_adhesive(const std::string& id);
bool stands(const Adhesive& adhesive, Exposure exposure);

/// Moisture of wood that is glued for indoors, % (Wood Handbook, chapter 13; the largest difference between pieces is
/// common practice, from memory).
inline constexpr Range gluing_moisture{6.0, 10.0};
inline constexpr double most_moisture_apart = 2.0;

/// Pressure on the glue line by how dense the denser of two woods is: 0.7 MPa at 350 kg/m³ and below, 1.7 MPa at
/// 750 kg/m³ and above, straight between (Wood Handbook, chapter 10: 700 kPa for woods of low density, 1,700 kPa for
/// the densest; from memory), and no more than a third of what crushes the softer one across its grain. All > 0, else
/// std::invalid_argument.
double gluing_pressure_mpa(double densest_kg_m3, std::optional<double> crushing_across_mpa = {});

struct GlueWish {
    double length_mm = 0.0, thickness_mm = 0.0;  ///< of the seam, > 0
    double mean_gap_mm = 0.0;                    ///< what remains once closed, to be filled
    double largest_gap_mm = 0.0;
    std::size_t clamps = 0;
    double temperature_c = 21.0;
    std::optional<double> moisture_left, moisture_right;  ///< % readings
    Exposure exposure = Exposure::d1;
    int people = 1;                   ///< 1 or 2
    double spread_m2_per_min = 0.06;  ///< by brush, one person (common practice, from memory)
    double clamp_min = 0.5;           ///< to set one clamp, one person (the same)
};

struct GluePlan {
    double area_m2 = 0.0;
    Range grams;  ///< on the seam, gap filled; a fifth more for what stays on the brush in `to_mix_g`
    double to_mix_g = 0.0;
    double spread_min = 0.0;      ///< until the last of it is spread and the joint closed
    double press_min = 0.0;       ///< until the last clamp is tight
    bool in_time = false;         ///< spread within the open time and pressed within open and closed time together
    double part_that_fits = 1.0;  ///< of the seam that could be glued in time at once, <= 1
    Range clamp_min;
    double next_step_h = 24.0;
    std::vector<std::string> must;  ///< what stands in the way, in the maker's words
    std::vector<std::string> mind;  ///< what to mind
};
/// Throws std::invalid_argument for lengths that are none, or people other than 1 and 2.
GluePlan plan_gluing(const Adhesive& adhesive, const GlueWish& wish);

}  // namespace seamwright::process
