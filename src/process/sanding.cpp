#include "process/sanding.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <stdexcept>

#include "figures.h"

namespace seamwright::process {
namespace {

constexpr double table_disc_mm = 150.0;
/// Two ways whose unevenness differs by less are equally even; the first found, with the finer grits late, stays.
constexpr double same_unevenness = 1e-12;

double disc_life_m2(int p) {
    const char* item = p <= 80    ? "disc lasts, up to P80"
                       : p <= 150 ? "disc lasts, P100 to P150"
                                  : "disc lasts, P180 and finer";
    return finishing_figures().at("sanding", item).low;
}

int whole(double amount) {
    constexpr double nothing = 1e-9, most = 1e6;
    if (amount > most) throw std::invalid_argument("plan_sanding: more than a million sheets");
    return static_cast<int>(std::ceil(amount - nothing));
}

std::size_t index_of(int p) {
    for (std::size_t i = 0; i < grits().size(); ++i)
        if (grits()[i].p == p) return i;
    throw std::invalid_argument(fmt::format("P{} is no grit of the table; P40 to P1200 are", p));
}

void check(const SandingWish& wish) {
    const double all = wish.faces_m2 + wish.edge_m + wish.seam_m;
    if (!(wish.faces_m2 >= 0.0) || !(wish.edge_m >= 0.0) || !(wish.seam_m >= 0.0) || !std::isfinite(all))
        throw std::invalid_argument("plan_sanding: areas and lengths must be 0 or more");
    if (!(wish.end_grain_m >= 0.0) || !(wish.end_grain_m <= wish.edge_m))
        throw std::invalid_argument("plan_sanding: end grain is a part of the edges");
    if (!(wish.disc_mm > 0.0) || !std::isfinite(wish.disc_mm))
        throw std::invalid_argument("plan_sanding: the disc has no size");
}

bool has(const std::vector<Grit>& sequence, int p) {
    return std::any_of(sequence.begin(), sequence.end(), [p](const Grit& g) { return g.p == p; });
}

std::string reason_for(const SandingStep& step, const SandingWish& wish, int first_of_faces, int first_of_edges) {
    std::string out;
    const auto say = [&out](const std::string& sentence) { out += (out.empty() ? "" : " ") + sentence; };
    if (step.faces && step.grit.p == first_of_faces)
        say(fmt::format("Faces: takes out {}.", name_of(wish.faces_from).takes));
    if (step.edges && step.grit.p == first_of_edges)
        say(fmt::format("Edges: takes out {}.", name_of(wish.edges_from).takes));
    if (step.finer)
        say(fmt::format("Takes out the scratches of the grit before; its grains are {:.2f} times finer.", *step.finer));
    if (step.grit.p == wish.last_p) say("The last before the finish: along the grain, and no corner missed.");
    return out;
}

}  // namespace

const std::vector<Grit>& grits() {
    static const std::vector<Grit> all = [] {
        const std::string topic = "grit FEPA P / ISO 6344";
        const shelf::Table& table = finishing_figures().table();
        std::vector<Grit> out;
        for (const std::size_t row : table.rows_where("topic", topic)) {
            const std::string& item = table.cell(row, "item");
            const Figure figure = finishing_figures().at(topic, item);
            out.push_back({std::stoi(item.substr(1)), figure.low, figure.from});
        }
        std::sort(out.begin(), out.end(), [](const Grit& a, const Grit& b) { return a.p < b.p; });
        return out;
    }();
    return all;
}

const Grit* find_grit(int p) {
    for (const Grit& grit : grits())
        if (grit.p == p) return &grit;
    return nullptr;
}

const std::vector<SurfaceName>& surfaces() {
    static const std::vector<SurfaceName> all{
        {Surface::sawn, "sawn", "the saw marks", 60},
        {Surface::glue_scraped, "glue-scraped", "the steps at the seams and the marks of the scraper", 80},
        {Surface::planed, "planed", "the waves of the planer knives", 100},
        {Surface::routed, "routed", "the marks of the cutter", 120},
        {Surface::hand_planed, "hand-planed", "the ridges of the plane iron", 150},
    };
    return all;
}

const SurfaceName& name_of(Surface surface) {
    for (const SurfaceName& name : surfaces())
        if (name.surface == surface) return name;
    throw std::invalid_argument("name_of: no such surface");
}

std::optional<Surface> surface_named(const std::string& id) {
    for (const SurfaceName& name : surfaces())
        if (id == name.id) return name.surface;
    return std::nullopt;
}

std::vector<Grit> grit_sequence(int first_p, int last_p, double largest_step) {
    const std::size_t first = index_of(first_p), last = index_of(last_p);
    if (first >= last) return {grits()[last]};
    // Fewest grits, then the least sum of squares of the logarithms of the steps: their product is given, so the sum is
    // least where all are alike.
    struct Best {
        int count = std::numeric_limits<int>::max();
        double unevenness = 0.0;
        std::size_t before = 0;
    };
    std::vector<Best> best(grits().size());
    best[first].count = 1;
    for (std::size_t to = first + 1; to <= last; ++to) {
        for (std::size_t from = first; from < to; ++from) {
            if (best[from].count == std::numeric_limits<int>::max()) continue;
            const double step = grits()[from].mean_um / grits()[to].mean_um;
            if (!(step <= largest_step)) continue;
            const int count = best[from].count + 1;
            const double unevenness = best[from].unevenness + std::log(step) * std::log(step);
            if (count < best[to].count ||
                (count == best[to].count && unevenness < best[to].unevenness - same_unevenness))
                best[to] = {count, unevenness, from};
        }
    }
    if (best[last].count == std::numeric_limits<int>::max()) {
        throw std::invalid_argument(
            fmt::format("no way from P{} to P{} in steps of at most {:.2f}", first_p, last_p, largest_step));
    }
    std::vector<Grit> out{grits()[last]};
    for (std::size_t at = last; at != first;) {
        at = best[at].before;
        out.push_back(grits()[at]);
    }
    std::reverse(out.begin(), out.end());
    return out;
}

SandingPlan plan_sanding(const SandingWish& wish) {
    check(wish);
    const Figures& figures = finishing_figures();
    const double first_min = figures.at("sanding", "faces, first grit").low;
    const double later_min = figures.at("sanding", "faces, each later grit").low;
    const double edge_min = figures.at("sanding", "edges, each grit").low;
    const double sheet_m = figures.at("sanding", "quarter sheet lasts").low;

    SandingPlan out;
    out.scraping_min = figures.at("sanding", "scraping a seam").low * wish.seam_m;
    std::vector<Grit> faces, edges;
    if (wish.faces_m2 > 0.0) faces = grit_sequence(name_of(wish.faces_from).first_grit, wish.last_p, wish.largest_step);
    if (wish.edge_m > 0.0) edges = grit_sequence(name_of(wish.edges_from).first_grit, wish.last_p, wish.largest_step);
    std::vector<Grit> end_grain;
    const std::size_t last = index_of(wish.last_p);
    if (wish.end_grain_m > 0.0 && last + 1 < grits().size()) end_grain = {grits()[last + 1]};

    std::set<int> all;
    for (const auto* sequence : {&faces, &edges, &end_grain})
        for (const Grit& grit : *sequence) all.insert(grit.p);
    const double disc_part = (table_disc_mm * table_disc_mm) / (wish.disc_mm * wish.disc_mm);
    for (const int p : all) {
        SandingStep step;
        step.grit = *find_grit(p);
        step.faces = has(faces, p);
        const bool ends_only = !end_grain.empty() && p == end_grain.front().p;
        step.edges = has(edges, p) || ends_only;
        const auto& along = step.faces ? faces : ends_only ? end_grain : edges;
        const auto at = std::find_if(along.begin(), along.end(), [p](const Grit& g) { return g.p == p; });
        if (at != along.begin()) step.finer = (at - 1)->mean_um / step.grit.mean_um;
        if (step.faces) {
            step.minutes += (p == faces.front().p ? first_min : later_min) * wish.faces_m2;
            step.discs = whole(wish.faces_m2 / disc_life_m2(p) * disc_part);
        }
        if (step.edges) {
            const double metres = ends_only ? wish.end_grain_m : wish.edge_m;
            step.minutes += edge_min * metres;
            step.quarter_sheets = whole(metres / sheet_m);
        }
        step.reason = ends_only ? "End grain only, one grit finer: it drinks less finish and does not go darker."
                                : reason_for(step, wish, faces.empty() ? 0 : faces.front().p,
                                             edges.empty() ? 0 : edges.front().p);
        out.minutes += step.minutes;
        out.discs += step.discs;
        out.quarter_sheets += step.quarter_sheets;
        out.steps.push_back(step);
    }
    out.minutes += out.scraping_min;

    if (wish.seam_m > 0.0) {
        out.mind.emplace_back(
            "Scrape the seams when the glue is hard, not while it is rubbery: half-hard glue tears fibres out with it. "
            "Work along the seam, and where woods meet at an angle toward the middle of each piece.");
        out.mind.emplace_back("Wait for the seam to dry out before sanding it flush, else it sinks later.");
    }
    if (wish.faces_m2 > 0.0) {
        out.mind.emplace_back(
            "Each grit all over, by the same pace, until the marks of the one before are gone; then take off the dust. "
            "Look along the face in low light before you change.");
        out.mind.emplace_back("Soft and hard wood side by side: a hard pad, or the soft one is hollowed.");
    }
    out.cautions = dust_cautions();
    return out;
}

std::vector<std::string> dust_cautions() {
    return {
        "Wood dust causes cancer of the nose, oak and beech above all (IARC group 1): take it off at the sander with "
        "an "
        "extractor first, then wear a dust respirator that fits.",
        "Never sweep it dry or blow it off. Fine dust in the air can burn like gas: no flame or spark.",
        "Sanding dust soaked with oil heats itself: into a closed metal can, outdoors. Wear eye and ear protection; "
        "unplug to change paper. The maker's instructions and local limits go first.",
    };
}

}  // namespace seamwright::process
