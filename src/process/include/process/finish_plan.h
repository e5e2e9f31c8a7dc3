#pragma once

#include <optional>
#include <string>
#include <vector>

#include "process/finishing.h"
#include "process/gluing.h"
#include "units/length.h"

namespace seamwright::process {

// How much finish a top takes, what to buy, and how long its coats take.

/// Cans as the shop buys them.
struct CanSize {
    std::string name;     ///< "quart", "2.5 L"
    double litres = 0.0;  ///< > 0
};
/// 0.375, 0.75, 2.5 and 5 L (common practice, from memory).
const std::vector<CanSize>& metric_cans();
/// US half pint, pint, quart and gallon.
const std::vector<CanSize>& us_cans();

struct Bought {
    CanSize size;
    int count = 0;
};
/// The largest can as often as it is surely emptied, then for the rest the least litres in at most `most_small_cans`
/// cans or one more of the largest; of equal litres the fewest cans. Largest first. Nothing for 0 litres.
/// litres >= 0 and every size > 0, no list without cans, else std::invalid_argument.
std::vector<Bought> buy_cans(double litres, const std::vector<CanSize>& sizes);
inline constexpr int most_small_cans = 3;
double litres_in(const std::vector<Bought>& cans);

/// True areas to be coated, profiles and corners followed (process/edge_profile.h).
struct FinishArea {
    double top_m2 = 0.0, underside_m2 = 0.0, edge_m2 = 0.0;
};

struct FinishWish {
    FinishArea area;
    Way way = Way::brush;
    std::optional<int> coats;            ///< on top and edges, 1 to most_coats; absent: the fewest usual ones
    std::optional<int> underside_coats;  ///< 0 to most_coats; absent: as many
    double waste = 0.10;                 ///< more than that for pot, strainer and trials (common practice, from memory)
    std::vector<CanSize> cans;           ///< none: metric_cans() or us_cans() by `unit`
    double temperature_c = 21.0, humidity_percent = 50.0;
    /// Underside and top are coated in one go (on points or a rack); else the second side waits until the first is dry.
    bool both_sides_at_once = false;
    std::optional<Range> solids_percent;  ///< from the product's sheet, in place of the table's
    std::optional<Range> wet_um;
    units::Unit unit = units::Unit::millimetre;  ///< of films in the words
};
inline constexpr int most_coats = 30;

struct CoatAmount {
    int coat = 1;
    double area_m2 = 0.0;
    Range on_wood_l;   ///< what stays on the wood
    Range from_can_l;  ///< with what misses the wood, without `waste`
};

struct FinishAmounts {
    std::vector<CoatAmount> coats;
    Range litres;              ///< all coats, with what misses the wood and the waste
    std::vector<Bought> cans;  ///< for the high end of it
    double bought_l = 0.0;
    /// Film when all coats are on (of the face with most of them); nothing where the finish builds none.
    std::optional<Range> dry_um;
    /// Coats that stay within the film limit even when each is as thick as usual; absent without a limit.
    std::optional<int> most_coats_within;
    std::vector<std::string> must, mind;
};
/// Low: thin coats, best transfer; high: thick coats, worst transfer. Throws std::invalid_argument for areas below 0 or
/// none at all, coats out of range, waste below 0, nothing that gets a coat, and figures that are none (solids above 0
/// to 100 %, films above 0, low up to high).
FinishAmounts finish_amounts(const FinishSystem& system, const FinishWish& wish);

struct CoatStep {
    enum class Kind { sand, apply };
    enum class Face { all, underside, top_and_edges };
    Kind kind = Kind::apply;
    Face face = Face::all;
    int coat = 1;                  ///< the coat put on, or the one that is prepared for by sanding
    double hands_on_min = 0.0;     ///< setting up and cleaning counted
    Range wait_h;                  ///< afterwards, before the next step; of the last: until light use
    std::optional<double> most_h;  ///< this coat is to be followed by the next on its face within this, or be sanded
    std::string text;
};

struct CoatSchedule {
    std::vector<CoatStep> steps;
    double hands_on_min = 0.0;
    Range last_coat_after_h;  ///< from the start to the last coat being on, day and night, hands-on time counted
    Range light_use_after_h, shipped_after_h;  ///< from the start
    Range cured_after_d;                       ///< from the start
    double slower = 1.0;                       ///< how many times slower than the table it dries, by the cold
    std::vector<std::string> must, mind;
};
/// Colder than the 21 °C of the table, drying takes twice as long for each 10 °C (rule of thumb, from memory); warmer,
/// no shorter. Refuses what finish_amounts refuses.
CoatSchedule coat_schedule(const FinishSystem& system, const FinishWish& wish);

}  // namespace seamwright::process
