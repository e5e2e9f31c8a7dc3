#pragma once

#include <optional>
#include <string>
#include <vector>

#include "process/figure.h"

namespace seamwright::process {

// Scraping and sanding: which grits, why, how long, how much paper.

/// A grit of ISO 6344 / FEPA 43-1 with its mean grain size (data/finishing.csv; from memory, rounded values read).
struct Grit {
    int p = 0;             ///< P80
    double mean_um = 0.0;  ///< falls as p grows
    Provenance from = Provenance::memory;
};
/// Coarse to fine.
const std::vector<Grit>& grits();
/// nullptr for a number that is no grit of the table.
const Grit* find_grit(int p);

/// What the surface comes from.
enum class Surface { sawn, glue_scraped, planed, routed, hand_planed };

struct SurfaceName {
    Surface surface = Surface::planed;
    const char* id = "";     ///< "glue-scraped"
    const char* takes = "";  ///< what the first grit has to take out: "the saw marks"
    int first_grit = 0;      ///< P (common practice, from memory)
};
const std::vector<SurfaceName>& surfaces();
const SurfaceName& name_of(Surface surface);
std::optional<Surface> surface_named(const std::string& id);

/// How much finer the grains of the next grit may be, as a ratio of mean sizes. A larger jump leaves scratches of the
/// grit before, which show under the finish (rule of thumb: skip one grit at most; the number is ours, from memory).
inline constexpr double largest_grit_step = 1.65;

/// The fewest grits from `first_p` to `last_p`, both included, none finer than the one before by more than
/// `largest_step`; of equally few those with the evenest steps. One grit where the first is as fine as the last, or
/// finer. Throws std::invalid_argument for unknown grits, or a step so small that the table has no way.
std::vector<Grit> grit_sequence(int first_p, int last_p, double largest_step = largest_grit_step);

struct SandingWish {
    double faces_m2 = 0.0;     ///< top and underside, as they are sanded
    double edge_m = 0.0;       ///< length of edges, sanded by hand
    double seam_m = 0.0;       ///< length of seams to be scraped, each face counted
    double end_grain_m = 0.0;  ///< part of `edge_m` that shows end grain
    Surface faces_from = Surface::glue_scraped, edges_from = Surface::routed;
    int last_p = 180;        ///< before the first coat: FinishSystem::last_grit
    double disc_mm = 150.0;  ///< diameter of the sanding disc
    double largest_step = largest_grit_step;
};

struct SandingStep {
    Grit grit;
    std::optional<double> finer;  ///< grain of the grit before over this one's; absent for the first on the faces
    bool faces = false, edges = false;
    double minutes = 0.0;    ///< faces and edges
    int discs = 0;           ///< for the faces
    int quarter_sheets = 0;  ///< for the edges
    std::string reason;
};

struct SandingPlan {
    double scraping_min = 0.0;
    std::vector<SandingStep> steps;  ///< coarse to fine
    double minutes = 0.0;            ///< scraping and all grits
    int discs = 0, quarter_sheets = 0;
    std::vector<std::string> mind;
    std::vector<std::string> cautions;
};
/// Times and lives of paper: data/finishing.csv, topic "sanding" (common practice, from memory): a maker's own go
/// before. Throws std::invalid_argument for measures below 0, end grain longer than the edges, no disc, and what
/// grit_sequence refuses.
SandingPlan plan_sanding(const SandingWish& wish);

/// Cautions of public agencies on wood dust (IARC vol. 62: carcinogenic to humans; read).
std::vector<std::string> dust_cautions();

}  // namespace seamwright::process
