#pragma once

#include <optional>
#include <string>
#include <vector>

#include "process/figure.h"

namespace seamwright::process {

// Finishes by kind. Numbers are those of data/finishing.csv at 20 to 22 °C and 50 % humidity, each with its provenance;
// most are from memory. The label and the data sheet of the very product govern wherever they say otherwise.

/// How it is put on. `spray`: an ordinary gun; `low_pressure_spray`: high volume, low pressure.
enum class Way { brush, wipe, spray, low_pressure_spray };

struct WayName {
    Way way = Way::brush;
    const char* id = "";    ///< "low-pressure-spray"
    const char* says = "";  ///< "by low-pressure spray gun"
};
const std::vector<WayName>& ways();
const WayName& name_of(Way way);
std::optional<Way> way_named(const std::string& id);
bool is_spray(Way way);

/// Share of what leaves the can that stays on the wood, 0 to 1.
Figure transfer(Way way);

/// What a cured film stands, in plain grades (common practice, from memory). Furniture surfaces are measured for it by
/// EN 12720 (liquids), EN 12721 (wet heat) and EN 12722 (dry heat); no such measurement stands behind these.
enum class Grade { poor = 1, fair, good, very_good };
const char* says(Grade grade);

struct FinishSystem {
    std::string id;    ///< "oil-varnish"
    std::string name;  ///< "Oil varnish, brushed"
    std::vector<Way> ways;
    bool builds = true;  ///< leaves a film; others stay in the wood and their films do not add up
    Figure coats;
    Figure solids_percent;  ///< by volume
    Figure wet_um;          ///< one coat, on the wood
    Figure recoat_h;        ///< until the next coat: on a good day, on a slow one
    /// Where the next coat comes later than this the one below is sanded first; absent: no such limit, or coats fuse.
    std::optional<Figure> sand_after_h;
    std::optional<double> sand_between_grit;  ///< P; absent: not sanded between coats
    std::optional<Figure> most_dry_um;        ///< altogether; beyond it films crack, wrinkle or stay soft
    Figure light_use_h, shipped_h;            ///< after the last coat
    Figure cured_d;                           ///< after the last coat
    Figure temperature_c, humidity_percent;   ///< of wood, finish and air while it is put on and dries
    Grade water = Grade::fair, heat = Grade::fair, alcohol = Grade::fair, wear = Grade::fair;
    Figure last_grit;  ///< P, of the wood before the first coat
    std::string looks;
    std::string repair;
    // What is dangerous about it.
    bool oily_rags = false;     ///< cloths wet with it heat themselves
    bool solvent = false;       ///< its vapour burns and harms
    bool formaldehyde = false;  ///< gives it off while it hardens
    bool isocyanate = false;    ///< the hardener
    bool hardener = false;      ///< two parts, mixed for the day

    /// One coat: wet × solids, low with low and high with high.
    double dry_low_um() const { return 1e-2 * wet_um.low * solids_percent.low; }
    double dry_high_um() const { return 1e-2 * wet_um.high * solids_percent.high; }
    /// What one litre on the wood covers, 1000 / wet film: least and most.
    double spread_low_m2_l() const { return 1e3 / wet_um.high; }
    double spread_high_m2_l() const { return 1e3 / wet_um.low; }
};

const std::vector<FinishSystem>& finish_systems();
const FinishSystem* find_finish(const std::string& id);

/// The usual cautions for working with it in this way, the gravest first; the last one defers to label, safety data
/// sheet and local codes. From shared practice and public agencies: OSHA 29 CFR 1910.107 and NFPA 33 (spraying, from
/// memory), fire services on oily cloths (read), OSHA 29 CFR 1910.1048 (formaldehyde, from memory).
std::vector<std::string> finish_cautions(const FinishSystem& system, Way way);

}  // namespace seamwright::process
