#include "process/finishing.h"

#include <stdexcept>

#include "figures.h"

namespace seamwright::process {
namespace {

enum Danger : unsigned { none = 0, rags = 1, solvent = 2, formaldehyde = 4, isocyanate = 8, hardener = 16 };

struct Kind {
    const char* id;
    const char* name;
    std::vector<Way> ways;
    bool builds;
    unsigned dangers;
    const char* looks;
    const char* repair;
};

const std::vector<Kind>& kinds() {
    static const std::vector<Kind> all{
        {"drying-oil",
         "Drying oil, wiped on and off",
         {Way::wipe},
         false,
         rags | solvent,
         "Deepens the colour, no film, low sheen; yellows.",
         "Rub the place with a fine pad and oil it again."},
        {"hardwax-oil",
         "Hardwax oil, one part",
         {Way::wipe, Way::brush},
         false,
         rags | solvent,
         "Warm, low sheen, feels like wood.",
         "Sand the place with the last grit and oil it again."},
        {"hardwax-oil-two-part",
         "Hardwax oil, two parts",
         {Way::wipe},
         false,
         rags | isocyanate | hardener,
         "Warm, matt, feels like wood.",
         "Sand the place with the last grit and oil it again."},
        {"shellac",
         "Shellac, 2 lb cut",
         {Way::brush, Way::wipe, Way::spray, Way::low_pressure_spray},
         true,
         solvent,
         "Warm, clear, any sheen by rubbing.",
         "Fresh shellac melts into the old; water rings are padded out."},
        {"wiping-varnish",
         "Oil varnish thinned to wipe",
         {Way::wipe},
         true,
         rags | solvent,
         "Thin film, amber, even without brush marks.",
         "Scuff the whole face and wipe on another coat."},
        {"oil-varnish",
         "Oil varnish, brushed",
         {Way::brush, Way::spray, Way::low_pressure_spray},
         true,
         rags | solvent,
         "Full film, amber.",
         "Scuff the whole face and coat it again; spots show."},
        {"water-borne",
         "Water-borne lacquer or varnish",
         {Way::brush, Way::spray, Way::low_pressure_spray},
         true,
         none,
         "Clear, hardly yellows, raises the grain at first.",
         "Scuff the whole face and coat it again."},
        {"nitrocellulose-lacquer",
         "Nitrocellulose lacquer",
         {Way::spray, Way::low_pressure_spray, Way::brush},
         true,
         solvent,
         "Thin clear film, rubs to any sheen; yellows.",
         "A fresh coat melts into the old one."},
        {"conversion-varnish",
         "Acid-catalysed varnish, two parts",
         {Way::spray, Way::low_pressure_spray},
         true,
         solvent | formaldehyde | hardener,
         "Hard clear film.",
         "Hard to mend: sand back the whole face."},
        {"two-part-polyurethane",
         "Polyurethane lacquer, two parts",
         {Way::spray, Way::low_pressure_spray},
         true,
         solvent | isocyanate | hardener,
         "Hard full film.",
         "Hard to mend: sand back the whole face."},
        {"soap", "Soap", {Way::wipe}, false, none, "Pale, matt, silky.", "Wash it with soap again."},
        {"wax",
         "Wax",
         {Way::wipe},
         false,
         solvent,
         "Soft sheen, hardly any protection.",
         "Wax it again; strip it before any other finish."},
    };
    return all;
}

Grade grade(const std::string& topic, const char* item) {
    const double value = finishing_figures().at(topic, item).low;
    if (!(value >= 1.0 && value <= 4.0)) throw std::logic_error("data/finishing.csv: grades are 1 to 4");
    return static_cast<Grade>(static_cast<int>(value));
}

FinishSystem made(const Kind& kind) {
    const Figures& figures = finishing_figures();
    const std::string topic = std::string("system: ") + kind.id;
    FinishSystem out;
    out.id = kind.id;
    out.name = kind.name;
    out.ways = kind.ways;
    out.builds = kind.builds;
    out.coats = figures.at(topic, "coats");
    out.solids_percent = figures.at(topic, "solids by volume");
    out.wet_um = figures.at(topic, "wet film per coat");
    out.recoat_h = figures.at(topic, "recoat time");
    out.sand_after_h = figures.find(topic, "sand first when recoated after");
    if (const auto grit = figures.find(topic, "sand between coats with")) out.sand_between_grit = grit->low;
    out.most_dry_um = figures.find(topic, "maximum dry film");
    out.light_use_h = figures.at(topic, "light use");
    out.shipped_h = figures.at(topic, "may be wrapped and shipped");
    out.cured_d = figures.at(topic, "time to full hardness");
    out.temperature_c = figures.at(topic, "temperature");
    out.humidity_percent = figures.at(topic, "relative humidity");
    out.water = grade(topic, "stands water");
    out.heat = grade(topic, "stands heat");
    out.alcohol = grade(topic, "stands alcohol");
    out.wear = grade(topic, "stands wear");
    out.last_grit = figures.at(topic, "last grit");
    out.looks = kind.looks;
    out.repair = kind.repair;
    out.oily_rags = (kind.dangers & rags) != 0;
    out.solvent = (kind.dangers & solvent) != 0;
    out.formaldehyde = (kind.dangers & formaldehyde) != 0;
    out.isocyanate = (kind.dangers & isocyanate) != 0;
    out.hardener = (kind.dangers & hardener) != 0;
    return out;
}

}  // namespace

const std::vector<WayName>& ways() {
    static const std::vector<WayName> all{
        {Way::brush, "brush", "by brush"},
        {Way::wipe, "wipe", "by cloth"},
        {Way::spray, "spray", "by spray gun"},
        {Way::low_pressure_spray, "low-pressure-spray", "by low-pressure spray gun"},
    };
    return all;
}

const WayName& name_of(Way way) {
    for (const WayName& name : ways())
        if (name.way == way) return name;
    throw std::invalid_argument("name_of: no such way of putting on a finish");
}

std::optional<Way> way_named(const std::string& id) {
    for (const WayName& name : ways())
        if (id == name.id) return name.way;
    return std::nullopt;
}

bool is_spray(Way way) {
    return way == Way::spray || way == Way::low_pressure_spray;
}

Figure transfer(Way way) {
    Figure percent = finishing_figures().at("transfer", name_of(way).id);
    percent.low *= 1e-2;
    percent.high *= 1e-2;
    return percent;
}

const char* says(Grade grade) {
    switch (grade) {
        case Grade::poor:
            return "poor";
        case Grade::fair:
            return "fair";
        case Grade::good:
            return "good";
        case Grade::very_good:
            break;
    }
    return "very good";
}

const std::vector<FinishSystem>& finish_systems() {
    static const std::vector<FinishSystem> all = [] {
        std::vector<FinishSystem> out;
        for (const Kind& kind : kinds()) out.push_back(made(kind));
        return out;
    }();
    return all;
}

const FinishSystem* find_finish(const std::string& id) {
    for (const FinishSystem& system : finish_systems())
        if (system.id == id) return &system;
    return nullptr;
}

std::vector<std::string> finish_cautions(const FinishSystem& system, Way way) {
    std::vector<std::string> out;
    if (system.oily_rags) {
        out.emplace_back(
            "Cloths, pads and sanding dust wet with this finish heat themselves and can catch fire, above all in a "
            "heap. Never leave them crumpled, in a bin or a pocket: lay each one out flat and single outdoors until it "
            "is stiff, or soak it in water in a closed metal can.");
    }
    if (is_spray(way)) {
        out.emplace_back(
            "Spraying: work in a booth or with filtered extraction to the open, no flame, spark or heater near, and "
            "wear a respirator that the safety data sheet names. Ask what your local fire code allows.");
    }
    if (system.isocyanate) {
        out.emplace_back(
            "The hardener may hold isocyanates: they can make you allergic for good, and a filter mask may not be "
            "enough. Follow the safety data sheet; keep skin covered.");
    }
    if (system.formaldehyde) {
        out.emplace_back(
            "Gives off formaldehyde while it hardens, for days to weeks: air the shop, and the room the top goes to.");
    }
    if (system.solvent) {
        out.emplace_back(
            "Its vapour burns and harms: fresh air in and out, no flame or spark, a respirator for vapour where air is "
            "poor, gloves. Keep the can closed.");
    }
    if (system.hardener) {
        out.emplace_back(
            "Mix only what is used within its pot life. What is left gets hot as it sets: stand it outdoors in a thin "
            "layer until it is hard.");
    }
    if (!system.solvent && !system.isocyanate) {
        out.emplace_back("Air the room while it dries; keep it off skin and eyes.");
    }
    out.emplace_back("The label, the safety data sheet of the product and local codes go before all of this.");
    return out;
}

}  // namespace seamwright::process
