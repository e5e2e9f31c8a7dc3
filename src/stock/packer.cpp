// Items on one board: laid one after the other, the largest first, each flush with something, with all ways back tried
// until the count runs out.

#include <algorithm>

#include "search.h"

namespace seamwright::stock {
namespace {

constexpr std::uint64_t most_tries_flush = 1500, most_tries_between = 400;
/// Places looked at in one go at one board.
constexpr std::uint64_t little_effort = 6'000, much_effort = 60'000;

}  // namespace

bool may_hold(const Stock& stock, std::size_t board, const std::vector<std::size_t>& items) {
    constexpr double rounding = 1.0 + 1e-9;
    double area = 0.0;
    Loads loads{};
    for (const std::size_t i : items) {
        if (!stock.needs[i].fits(board)) return false;
        area += stock.needs[i].area_mm2;
        for (std::size_t f = 0; f < count_of_loads; ++f) loads[f] += stock.needs[i].loads[board][f];
    }
    return area <= stock.area_mm2[board] * rounding &&
           std::all_of(loads.begin(), loads.end(), [](double load) { return load <= rounding; });
}

bool Packer::lay_next(BoardRoom& room, std::size_t board, const std::vector<std::size_t>& order, std::size_t at,
                      bool and_between, std::map<std::size_t, Lie>& lies, Tries& tries) {
    if (at == order.size()) return true;
    const std::size_t i = order[at];
    const std::uint64_t most = and_between ? most_tries_between : most_tries_flush;
    const auto enough = [&] { return tries.count > most || effort_ > tries.last_effort; };
    for (const Way& way : stock_.needs[i].ways[board]) {
        const auto try_at = [&](Point shift) {
            ++tries.count;
            room.lay(way.profile, shift);
            lies[i] = {board, way.turn_rad, way.turned, way.over, shift};
            if (lay_next(room, board, order, at + 1, and_between, lies, tries)) return true;
            room.take_up();
            return false;
        };
        for (const double x : room.places_along(way.profile, and_between)) {
            if (enough()) return false;
            for (const Shifts& free : room.shifts_at(way.profile, x, stock_.items[i].clear_of_edge_mm, effort_)) {
                if (try_at({x, free.low})) return true;
                if (enough()) return false;
                if (free.high > free.low + 1e-6 && try_at({x, free.high})) return true;
                if (enough()) return false;
            }
        }
    }
    return false;
}

const std::vector<Lie>* Packer::pack(std::size_t board, const std::vector<std::size_t>& items, Care care) {
    auto [found, fresh] = known_.try_emplace({board, items});
    Known& known = found->second;
    if (known.lies) return &*known.lies;
    if (!fresh && known.tried >= care) return nullptr;
    known.tried = care;
    ++effort_;
    if (!may_hold(stock_, board, items)) {
        known.tried = Care::much;
        return nullptr;
    }
    BoardRoom room(stock_.boards[board], 0.5 * stock_.settings.kerf_mm);
    std::map<std::size_t, Lie> lies;
    std::vector<std::size_t> order;
    for (const std::size_t i : items) {
        if (!stock_.items[i].fixed) {
            order.push_back(i);
            continue;
        }
        // Laid by the maker: it stays, good or not.
        const Way& way = stock_.needs[i].ways[board].front();
        room.lay(way.profile, stock_.items[i].fixed->shift);
        lies[i] = *stock_.items[i].fixed;
    }
    const auto length = [&](std::size_t i) { return stock_.needs[i].ways[board].front().profile.length_mm(); };
    const auto width = [&](std::size_t i) {
        const Profile& profile = stock_.needs[i].ways[board].front().profile;
        return profile.high() - profile.low();
    };
    const auto area = [&](std::size_t i) { return stock_.needs[i].area_mm2; };
    const auto lay_by = [&](const auto& size, bool and_between) {
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return size(a) > size(b); });
        Tries tries{0, effort_ + (care == Care::little ? little_effort : much_effort)};
        if (!lay_next(room, board, order, 0, and_between, lies, tries)) return false;
        std::vector<Lie> all;
        for (const std::size_t i : items) all.push_back(lies.at(i));
        known.lies = std::move(all);
        return true;
    };
    bool laid = lay_by(area, false);
    if (!laid && care == Care::much)
        laid = (order.size() > 2 && (lay_by(width, false) || lay_by(length, false))) || lay_by(area, true);
    return laid ? &*known.lies : nullptr;
}

}  // namespace seamwright::stock
