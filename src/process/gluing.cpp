#include "process/gluing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "embedded/gluing_csv.h"
#include "shelf/table.h"

namespace seamwright::process {
namespace {

/// Grams per litre, near enough for all of them (typical product data, from memory).
constexpr double grams_per_ml = 1.1;
/// What stays in the pot and on the brush.
constexpr double over = 1.2;

class Rows {
  public:
    Rows() : table_(shelf::built_in_table("data/gluing.csv", embedded::gluing_csv())) {}

    Range range(const std::string& topic, const std::string& item) {
        for (const std::size_t row : table_.rows_where("topic", topic)) {
            if (table_.cell(row, "item") != item) continue;
            if (table_.cell(row, "provenance") == "memory") from_memory = true;
            const double low = table_.number(row, "value_low").value();
            return {low, table_.number(row, "value_high").value_or(low)};
        }
        throw std::logic_error("data/gluing.csv has no row " + item);
    }

    bool from_memory = false;

  private:
    shelf::Table table_;
};

struct Kind {
    const char* id;
    const char* name;
    const char* row;
    const char* spread;
    Exposure holds;
    int type;
    bool only_contact;
    const char* note;
};
// Bond lines: 0.05 to 0.15 mm is strongest for all but epoxy, which fills (data/gluing.csv, read); beyond 0.25 mm no
// edge joint is to be trusted (common practice, from memory).
constexpr Range thin{0.15, 0.25}, filling{0.5, 1.0};

const Kind kinds[] = {
    {"pva", "White or yellow glue (PVA), D2 or D3", "PVA, D2 / D3 one part", "PVA edge or face joint, one side",
     Exposure::d3, 2, false,
     "D2 and D3 are marked on the bottle: for D3 look for the mark. It creeps a little under load."},
    {"cross-linking-pva", "Cross-linking PVA, D3 or D4", "cross-linking PVA (D3/D4)",
     "PVA edge or face joint, one side", Exposure::d4, 1, false,
     "Its resistance to water comes over days; with hardener mixed in it must be used the same day."},
    {"polyurethane", "Polyurethane, one part", "polyurethane, one part", "polyurethane, one part", Exposure::d4, 1,
     false, "It foams; the foam fills but does not hold. Wood drier than 8 % needs a breath of water on one side."},
    {"epoxy", "Epoxy, two parts", "epoxy, two part, room temperature", "epoxy, both faces wetted", Exposure::d4, 1,
     true, "Press only until the pieces touch: pressure starves the joint. It softens above 50 to 60 °C."},
    {"urea", "Urea resin glue, powder", "urea-formaldehyde, powder", "urea-formaldehyde", Exposure::d3, 2, false,
     "It sets hard and does not creep, and gives off formaldehyde: air the room."},
    {"hide", "Hot hide glue", "hot hide glue (used at 60 C)", "hot hide glue", Exposure::d1, 3, false,
     "It gels in a minute or two: warm the wood, glue in short lengths. Heat and water open it again."},
};

Adhesive made(const Kind& kind) {
    Rows rows;
    const std::string row = kind.row;
    Adhesive out;
    out.id = kind.id;
    out.name = kind.name;
    out.holds = kind.holds;
    out.type = kind.type;
    out.open_min = rows.range("assembly", row + ": open time");
    out.closed_min = rows.range("assembly", row + ": closed time");
    out.clamp_min = rows.range("assembly", row + ": clamp time");
    out.least_temperature_c = rows.range("assembly", row + ": minimum temperature of wood, glue and air").low;
    out.spread_g_m2 = rows.range("spread", kind.spread);
    out.fits_mm = kind.only_contact ? filling : thin;
    out.only_contact = kind.only_contact;
    out.note = kind.note;
    out.from_memory = rows.from_memory;
    return out;
}

const char* named(Exposure exposure) {
    for (const ExposureName& name : exposures())
        if (name.exposure == exposure) return name.says;
    return "";
}

}  // namespace

const std::vector<ExposureName>& exposures() {
    static const std::vector<ExposureName> all{
        {Exposure::d1, "D1", "dry, indoors (D1)"},
        {Exposure::d2, "D2", "now and then wet for a short while (D2)"},
        {Exposure::d3, "D3", "often damp, or wet for a short while (D3)"},
        {Exposure::d4, "D4", "often wet for long, or outdoors under a coating (D4)"},
        {Exposure::type_2, "Type II", "wet now and again: water resistant (Type II)"},
        {Exposure::type_1, "Type I", "wet for long: waterproof (Type I)"},
    };
    return all;
}

std::optional<Exposure> exposure_named(const std::string& id) {
    for (const ExposureName& name : exposures())
        if (id == name.id) return name.exposure;
    return std::nullopt;
}

bool stands(const Adhesive& adhesive, Exposure exposure) {
    if (exposure == Exposure::type_2) return adhesive.type <= 2;
    if (exposure == Exposure::type_1) return adhesive.type <= 1;
    return exposure <= adhesive.holds;
}

const std::vector<Adhesive>& adhesives() {
    static const std::vector<Adhesive> all = [] {
        std::vector<Adhesive> out;
        for (const Kind& kind : kinds) out.push_back(made(kind));
        return out;
    }();
    return all;
}

const Adhesive* find_adhesive(const std::string& id) {
    for (const Adhesive& adhesive : adhesives())
        if (adhesive.id == id) return &adhesive;
    return nullptr;
}

double gluing_pressure_mpa(double densest_kg_m3, std::optional<double> crushing_across_mpa) {
    if (!(densest_kg_m3 > 0.0) || (crushing_across_mpa && !(*crushing_across_mpa > 0.0)))
        throw std::invalid_argument("gluing_pressure_mpa: density and strength must be above nothing");
    constexpr double light = 350.0, dense = 750.0, soft_mpa = 0.7, hard_mpa = 1.7, share = 1.0 / 3.0;
    const double part = std::clamp((densest_kg_m3 - light) / (dense - light), 0.0, 1.0);
    const double wanted = soft_mpa + part * (hard_mpa - soft_mpa);
    return crushing_across_mpa ? std::min(wanted, share * *crushing_across_mpa) : wanted;
}

GluePlan plan_gluing(const Adhesive& adhesive, const GlueWish& wish) {
    if (!(wish.length_mm > 0.0) || !(wish.thickness_mm > 0.0) || !(wish.mean_gap_mm >= 0.0) ||
        !(wish.spread_m2_per_min > 0.0) || !(wish.clamp_min >= 0.0) || wish.people < 1 || wish.people > 2)
        throw std::invalid_argument("plan_gluing: a length that is none, or people other than 1 and 2");
    GluePlan out;
    out.area_m2 = 1e-6 * wish.length_mm * wish.thickness_mm;
    const double fill_g = 1e3 * wish.mean_gap_mm * out.area_m2 * grams_per_ml;
    out.grams = {adhesive.spread_g_m2.low * out.area_m2 + fill_g, adhesive.spread_g_m2.high * out.area_m2 + fill_g};
    out.to_mix_g = std::ceil(over * out.grams.high);
    const double people = wish.people;
    out.spread_min = out.area_m2 / (wish.spread_m2_per_min * people);
    const double clamping = static_cast<double>(wish.clamps) * wish.clamp_min / people;
    out.press_min = out.spread_min + clamping;
    // The shortest of the times that such glues have.
    const double open = adhesive.open_min.low, all = open + adhesive.closed_min.low;
    out.in_time = out.spread_min <= open && out.press_min <= all;
    if (!out.in_time) out.part_that_fits = std::min({1.0, open / out.spread_min, all / std::max(out.press_min, 1e-9)});
    out.clamp_min = adhesive.clamp_min;
    out.next_step_h = adhesive.full_strength_h;

    if (!stands(adhesive, wish.exposure)) {
        out.must.push_back(fmt::format("This glue does not stand what the top will see: {}.", named(wish.exposure)));
    }
    if (wish.temperature_c < adhesive.least_temperature_c) {
        out.must.push_back(fmt::format("Wood, glue and room must be at least {:.0f} °C warm; here it is {:.0f} °C.",
                                       adhesive.least_temperature_c, wish.temperature_c));
    }
    if (wish.largest_gap_mm > adhesive.fits_mm.high) {
        out.must.push_back("The widest gap is more than this glue bridges: ease the edge first, do not fill it.");
    } else if (wish.largest_gap_mm > adhesive.fits_mm.low) {
        out.mind.push_back("Where the gap is widest the glue line is thicker than is strongest.");
    }
    for (const auto& moisture : {wish.moisture_left, wish.moisture_right}) {
        if (!moisture || (*moisture >= gluing_moisture.low && *moisture <= gluing_moisture.high)) continue;
        out.must.push_back(
            fmt::format("A piece reads {:.1f} % moisture: for indoors wood is glued at {:.0f} to {:.0f} %.", *moisture,
                        gluing_moisture.low, gluing_moisture.high));
    }
    if (wish.moisture_left && wish.moisture_right &&
        std::abs(*wish.moisture_left - *wish.moisture_right) > most_moisture_apart) {
        out.must.push_back(
            fmt::format("The two pieces differ by {:.1f} points of moisture; more than {:.0f} and the "
                        "seam works against the glue. Let them lie together first.",
                        std::abs(*wish.moisture_left - *wish.moisture_right), most_moisture_apart));
    }
    if (!out.in_time) {
        out.must.push_back(
            wish.people == 1
                ? "It cannot be spread and clamped in time by one person: ask a second one, take a slower glue, or "
                  "glue fewer seams at once."
                : "It cannot be spread and clamped in time even by two: take a slower glue, or glue fewer seams at "
                  "once.");
    }
    out.mind.push_back(adhesive.note);
    return out;
}

}  // namespace seamwright::process
