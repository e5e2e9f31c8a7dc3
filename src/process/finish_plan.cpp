#include "process/finish_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "figures.h"
#include "process/film.h"

namespace seamwright::process {
namespace {

/// Litres this near are the same: a can is not bought for what rounding left over.
constexpr double same_litres = 1e-9;
constexpr double table_temperature_c = 21.0;

Range checked(const char* what, const std::optional<Range>& given, const Figure& table, double most) {
    const Range out = given.value_or(Range{table.low, table.high});
    if (!(out.low > 0.0) || !(out.high >= out.low) || !(out.high <= most))
        throw std::invalid_argument(std::string(what) + " must be above 0, low before high");
    return out;
}

struct Film {
    Range solids_percent, wet_um;
    Range dry_um() const { return {1e-2 * wet_um.low * solids_percent.low, 1e-2 * wet_um.high * solids_percent.high}; }
};

Film film_of(const FinishSystem& system, const FinishWish& wish) {
    constexpr double thickest_um = 1e4;
    return {checked("solids", wish.solids_percent, system.solids_percent, 100.0),
            checked("wet film", wish.wet_um, system.wet_um, thickest_um)};
}

struct Coats {
    int top = 1, underside = 1;
    int most() const { return std::max(top, underside); }
};

Coats coats_of(const FinishSystem& system, const FinishWish& wish) {
    Coats out;
    out.top = wish.coats.value_or(static_cast<int>(system.coats.low));
    out.underside = wish.area.underside_m2 > 0.0 ? wish.underside_coats.value_or(out.top) : 0;
    if (!(wish.area.top_m2 + wish.area.edge_m2 > 0.0)) out.top = 0;
    if (out.most() == 0) throw std::invalid_argument("finish: no face gets a coat");
    return out;
}

void check(const FinishWish& wish) {
    const auto& a = wish.area;
    const double all = a.top_m2 + a.underside_m2 + a.edge_m2;
    if (!(a.top_m2 >= 0.0) || !(a.underside_m2 >= 0.0) || !(a.edge_m2 >= 0.0) || !(all > 0.0) || !std::isfinite(all))
        throw std::invalid_argument("finish: areas must be 0 or more, and not all 0");
    const int top = wish.coats.value_or(1), underside = wish.underside_coats.value_or(1);
    if (top < 1 || top > most_coats || underside < 0 || underside > most_coats)
        throw std::invalid_argument(fmt::format("finish: coats are 1 to {}", most_coats));
    if (!(wish.waste >= 0.0) || !std::isfinite(wish.waste))
        throw std::invalid_argument("finish: waste must be 0 or more");
    if (!std::isfinite(wish.temperature_c) || !std::isfinite(wish.humidity_percent))
        throw std::invalid_argument("finish: temperature and humidity must be numbers");
}

void say_films(const FinishSystem& system, const FinishWish& wish, const Film& film, int coats, FinishAmounts& out) {
    if (!system.builds) return;
    const Range one = film.dry_um();
    const double n = coats;
    out.dry_um = Range{n * one.low, n * one.high};
    if (!system.most_dry_um) return;
    const Figure most = *system.most_dry_um;
    out.most_coats_within = static_cast<int>(std::floor(most.high / one.high));
    const auto text = fmt::format("{} to {} dry; more than {} cracks, wrinkles or stays soft.",
                                  coats == 1 ? std::string("One coat comes") : fmt::format("{} coats come", coats),
                                  show_films(out.dry_um->low, out.dry_um->high, wish.unit),
                                  show_films(most.low, most.high, wish.unit));
    if (out.dry_um->low > most.high) {
        out.must.push_back(text + " Put on fewer or thinner coats.");
    } else if (out.dry_um->high > most.low) {
        out.mind.push_back(text + " Keep the coats thin and measure them wet.");
    }
}

/// The least litres, at least `litres`, out of at most `left` cans of sizes from `from` on.
void search(double litres, const std::vector<CanSize>& sizes, std::size_t from, int left, std::vector<int>& counts,
            double sum, std::vector<int>& best, double& best_sum) {
    if (sum >= litres - same_litres) {
        int cans = 0, best_cans = 0;
        for (const int count : counts) cans += count;
        for (const int count : best) best_cans += count;
        const bool less = sum < best_sum - same_litres;
        if (less || (sum <= best_sum + same_litres && cans < best_cans)) {
            best = counts;
            best_sum = sum;
        }
        return;
    }
    if (left == 0) return;
    for (std::size_t i = from; i < sizes.size(); ++i) {
        ++counts[i];
        search(litres, sizes, i, left - 1, counts, sum + sizes[i].litres, best, best_sum);
        --counts[i];
    }
}

}  // namespace

const std::vector<CanSize>& metric_cans() {
    static const std::vector<CanSize> all{{"0.375 L", 0.375}, {"0.75 L", 0.75}, {"2.5 L", 2.5}, {"5 L", 5.0}};
    return all;
}

const std::vector<CanSize>& us_cans() {
    static const std::vector<CanSize> all{{"half pint", litres_per_us_quart / 4.0},
                                          {"pint", litres_per_us_quart / 2.0},
                                          {"quart", litres_per_us_quart},
                                          {"gallon", litres_per_us_gallon}};
    return all;
}

std::vector<Bought> buy_cans(double litres, const std::vector<CanSize>& sizes) {
    constexpr double most_litres = 1e6;
    const bool good = std::all_of(sizes.begin(), sizes.end(), [](const CanSize& s) { return s.litres > 0.0; });
    if (!(litres >= 0.0) || litres > most_litres || sizes.empty() || !good)
        throw std::invalid_argument("buy_cans: litres must be 0 or more, and every can must hold something");
    std::vector<CanSize> sorted = sizes;
    std::stable_sort(sorted.begin(), sorted.end(),
                     [](const CanSize& a, const CanSize& b) { return a.litres > b.litres; });
    const double largest = sorted.front().litres;
    if (litres / largest > 1e6) throw std::invalid_argument("buy_cans: more than a million cans");
    const double whole = std::floor((litres + same_litres) / largest);
    const double rest = std::max(0.0, litres - whole * largest);
    std::vector<int> best(sorted.size(), 0), counts(sorted.size(), 0);
    if (rest > same_litres) {
        best.front() = 1;
        double best_sum = largest;
        search(rest, sorted, 0, most_small_cans, counts, 0.0, best, best_sum);
    }
    best.front() += static_cast<int>(whole);
    std::vector<Bought> out;
    for (std::size_t i = 0; i < sorted.size(); ++i)
        if (best[i] > 0) out.push_back({sorted[i], best[i]});
    return out;
}

double litres_in(const std::vector<Bought>& cans) {
    double sum = 0.0;
    for (const Bought& can : cans) sum += can.count * can.size.litres;
    return sum;
}

FinishAmounts finish_amounts(const FinishSystem& system, const FinishWish& wish) {
    check(wish);
    const Film film = film_of(system, wish);
    const Coats coats = coats_of(system, wish);
    const Figure share = transfer(wish.way);
    FinishAmounts out;
    for (int coat = 1; coat <= coats.most(); ++coat) {
        CoatAmount amount;
        amount.coat = coat;
        if (coat <= coats.top) amount.area_m2 += wish.area.top_m2 + wish.area.edge_m2;
        if (coat <= coats.underside) amount.area_m2 += wish.area.underside_m2;
        amount.on_wood_l = {1e-3 * amount.area_m2 * film.wet_um.low, 1e-3 * amount.area_m2 * film.wet_um.high};
        amount.from_can_l = {amount.on_wood_l.low / share.high, amount.on_wood_l.high / share.low};
        out.litres.low += (1.0 + wish.waste) * amount.from_can_l.low;
        out.litres.high += (1.0 + wish.waste) * amount.from_can_l.high;
        out.coats.push_back(amount);
    }
    out.cans = buy_cans(out.litres.high, !wish.cans.empty()               ? wish.cans
                                         : wish.unit == units::Unit::inch ? us_cans()
                                                                          : metric_cans());
    out.bought_l = litres_in(out.cans);
    say_films(system, wish, film, coats.most(), out);

    if (std::find(system.ways.begin(), system.ways.end(), wish.way) == system.ways.end()) {
        std::string usual;
        for (const Way way : system.ways) usual += (usual.empty() ? "" : ", ") + std::string(name_of(way).says);
        out.must.push_back(fmt::format("{} is not put on {}; usual: {}.", system.name, name_of(wish.way).says, usual));
    }
    if (wish.area.underside_m2 > 0.0 && coats.top > 0 && coats.underside != coats.top) {
        out.mind.emplace_back(
            "Underside and top get different numbers of coats: moisture then goes in and out unevenly, and the top may "
            "cup. Coat both alike.");
    }
    if (coats.most() < static_cast<int>(system.coats.low)) {
        out.mind.push_back(fmt::format("Fewer coats than usual: {:.0f} or more.", system.coats.low));
    }
    return out;
}

CoatSchedule coat_schedule(const FinishSystem& system, const FinishWish& wish) {
    check(wish);
    const Figures& figures = finishing_figures();
    const Coats coats = coats_of(system, wish);
    const std::string way = name_of(wish.way).id;
    const double apply_min_m2 = figures.at("work", "applying, " + way).low;
    const double set_up_min = figures.at("work", "setting up and cleaning, " + way).low;
    const double sand_min_m2 = figures.at("work", "sanding between coats").low;
    const double twice_c = figures.at("work", "drying takes twice as long for each").low;

    CoatSchedule out;
    out.slower = std::exp2(std::max(0.0, table_temperature_c - wish.temperature_c) / twice_c);
    const Range wait{out.slower * system.recoat_h.low, out.slower * system.recoat_h.high};

    const double faces_m2 = wish.area.top_m2 + wish.area.edge_m2;
    struct Turn {
        CoatStep::Face face;
        double area_m2;
        const char* says;
    };
    for (int coat = 1; coat <= coats.most(); ++coat) {
        std::vector<Turn> turns;
        const bool under = coat <= coats.underside, top = coat <= coats.top && faces_m2 > 0.0;
        if (under && top && wish.both_sides_at_once) {
            turns = {{CoatStep::Face::all, faces_m2 + wish.area.underside_m2, "underside, edges and top"}};
        } else {
            if (under) turns.push_back({CoatStep::Face::underside, wish.area.underside_m2, "underside"});
            if (top) turns.push_back({CoatStep::Face::top_and_edges, faces_m2, "top and edges"});
        }
        for (const Turn& turn : turns) {
            // With the sides done in turn, each has dried for as long as the other took as well.
            const bool too_late =
                system.sand_after_h && wait.low * static_cast<double>(turns.size()) > system.sand_after_h->high;
            if (coat > 1 && (system.sand_between_grit || too_late)) {
                const double grit = system.sand_between_grit.value_or(system.last_grit.high);
                out.steps.push_back(
                    {CoatStep::Kind::sand,
                     turn.face,
                     coat,
                     sand_min_m2 * turn.area_m2,
                     {},
                     std::nullopt,
                     fmt::format("Sand {} lightly with P{:.0f} and take off the dust.", turn.says, grit)});
            }
            CoatStep step;
            step.face = turn.face;
            step.coat = coat;
            step.hands_on_min = set_up_min + apply_min_m2 * turn.area_m2;
            step.wait_h = wait;
            const int last = turn.face == CoatStep::Face::underside       ? coats.underside
                             : turn.face == CoatStep::Face::top_and_edges ? coats.top
                                                                          : coats.most();
            if (system.sand_after_h && coat < last) step.most_h = system.sand_after_h->low;
            step.text = fmt::format("Coat {} on {}, {}.", coat, turn.says, name_of(wish.way).says);
            out.steps.push_back(step);
        }
    }
    out.steps.back().wait_h = {out.slower * system.light_use_h.low, out.slower * system.light_use_h.high};

    constexpr double min_per_h = 60.0, h_per_d = 24.0;
    for (const CoatStep& step : out.steps) {
        out.hands_on_min += step.hands_on_min;
        if (&step == &out.steps.back()) break;
        out.last_coat_after_h.low += step.wait_h.low;
        out.last_coat_after_h.high += step.wait_h.high;
    }
    out.last_coat_after_h.low += out.hands_on_min / min_per_h;
    out.last_coat_after_h.high += out.hands_on_min / min_per_h;
    const auto after = [&](const Figure& more, double unit_h) {
        return Range{(out.last_coat_after_h.low + out.slower * more.low * unit_h) / unit_h,
                     (out.last_coat_after_h.high + out.slower * more.high * unit_h) / unit_h};
    };
    out.light_use_after_h = after(system.light_use_h, 1.0);
    out.shipped_after_h = after(system.shipped_h, 1.0);
    out.cured_after_d = after(system.cured_d, h_per_d);

    const Figure t = system.temperature_c, h = system.humidity_percent;
    if (wish.temperature_c < t.low || wish.temperature_c > t.high) {
        out.must.push_back(fmt::format("Put it on at {:.0f} to {:.0f} °C; the shop has {:.0f} °C.", t.low, t.high,
                                       wish.temperature_c));
    }
    if (wish.humidity_percent < h.low || wish.humidity_percent > h.high) {
        out.must.push_back(fmt::format("Put it on at {:.0f} to {:.0f} % humidity; the shop has {:.0f} %.", h.low,
                                       h.high, wish.humidity_percent));
    }
    if (out.slower > 1.05) {
        out.mind.push_back(fmt::format("At {:.0f} °C it dries about {:.1f} times slower than at {:.0f} °C.",
                                       wish.temperature_c, out.slower, table_temperature_c));
    }
    out.mind.push_back(
        fmt::format("Hard {:.0f} to {:.0f} days after the last coat: until then no wet cups, no cloths, no rubbing.",
                    out.slower * system.cured_d.low, out.slower * system.cured_d.high));
    return out;
}

}  // namespace seamwright::process
