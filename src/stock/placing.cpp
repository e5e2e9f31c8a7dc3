#include "stock/placing.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <stdexcept>

#include "geometry/parallel.h"
#include "geometry/path_index.h"
#include "one_board.h"
#include "search.h"
#include "shelf/shelf.h"

namespace seamwright::stock {
namespace {

Point turned_by(Point p, double rad) {
    const Point u = geometry::unit(rad);
    return {p.x * u.x - p.y * u.y, p.x * u.y + p.y * u.x};
}

double grown_by(const Item& item, const Settings& settings) {
    return item.margin_mm + 0.5 * settings.kerf_mm;
}

double thickness_of(const shelf::Board& board) {
    return board.planed_mm.value_or(board.thickness_mm);
}

/// Area with the wood around it.
double grown_area(const Path& shape, double grow_mm) {
    const double own = std::abs(geometry::area_mm2(shape));
    if (grow_mm <= 0.0) return own;
    try {
        double sum = 0.0;
        for (const auto& path : geometry::parallel(shape, geometry::Side::right, grow_mm).paths)
            sum += geometry::area_mm2(path.path());
        return std::max(own, sum);
    } catch (const std::runtime_error&) {
        return own;
    }
}

class Preparer {
  public:
    Preparer(std::span<const Item> items, std::span<const shelf::Board> boards, const Settings& settings)
        : stock_{items, boards, settings, {}, {}, {}} {
        const bool priced =
            std::all_of(boards.begin(), boards.end(), [](const shelf::Board& b) { return b.price && *b.price > 0.0; });
        double most_grown = 0.0;
        for (const Item& item : items) most_grown = std::max(most_grown, grown_by(item, settings));
        for (const shelf::Board& board : boards) {
            const Path outline = outline_of(board);
            const double kerf = settings.kerf_mm;
            const double area = std::abs(geometry::area_mm2(outline));
            stock_.cost.push_back(priced ? *board.price : area / 1e6);
            double covers = area + 0.5 * kerf * geometry::length_mm(outline) + kerf * kerf;
            for (const shelf::Defect& d : board.defects) {
                const double within = d.radius_mm - most_grown;
                const bool inside = d.at.x >= d.radius_mm && d.at.y >= d.radius_mm &&
                                    d.at.x <= board.length_mm - d.radius_mm && d.at.y <= board.width_mm - d.radius_mm;
                if (d.allowed == shelf::Defect::Allowed::nowhere && d.outline.empty() && within > 0.0 && inside &&
                    board.defects.size() == 1)
                    covers -= geometry::pi * within * within;
            }
            stock_.area_mm2.push_back(covers);
        }
    }

    Stock prepared() {
        for (const Item& item : stock_.items) stock_.needs.push_back(need_of(item));
        look_closer();
        return std::move(stock_);
    }
    std::uint64_t effort() const { return effort_; }

  private:
    Need need_of(const Item& item) {
        Need need;
        const double grown = grown_by(item, stock_.settings);
        need.area_mm2 = grown_area(item.sawn(), grown);
        need.grow_mm = grown;
        need.turn_of.resize(stock_.boards.size(), static_cast<std::size_t>(-1));
        need.ways.resize(stock_.boards.size());
        need.laid_alone.resize(stock_.boards.size(), false);
        need.loads.resize(stock_.boards.size());
        for (std::size_t b = 0; b < stock_.boards.size(); ++b) {
            if (!may_come_from(item, b)) continue;
            if (item.fixed) {
                need.ways[b] = {way_of(item, item.fixed->turn_rad, item.fixed->turned, item.fixed->over)};
                need.turns = {{item.fixed->turn_rad, need.ways[b], {}, {}}};
                need.turn_of[b] = 0;
                need.laid_alone[b] = true;
                continue;
            }
            const double turn = turn_on(stock_.boards[b], stock_.settings);
            auto known =
                std::find_if(need.turns.begin(), need.turns.end(), [&](const Turned& t) { return t.turn_rad == turn; });
            if (known == need.turns.end()) {
                need.turns.push_back(turned_of(item, turn));
                known = need.turns.end() - 1;
            }
            need.turn_of[b] = static_cast<std::size_t>(known - need.turns.begin());
            need.ways[b] = ways_that_fit(item, known->ways, b);
            need.laid_alone[b] = !need.ways[b].empty();
            if (!need.ways[b].empty()) need.loads[b] = loads_on(*known, b);
        }
        return need;
    }

    /// Where no place was found for an item by itself it may still lie, unless every way is ruled out.
    void look_closer() {
        OneBoard one_board(stock_, Fineness::coarse, effort_);
        for (std::size_t i = 0; i < stock_.items.size(); ++i) {
            Need& need = stock_.needs[i];
            for (std::size_t b = 0; b < stock_.boards.size(); ++b) {
                if (need.turn_of[b] >= need.turns.size() || need.laid_alone[b]) continue;
                constexpr std::uint64_t most_steps = 200, last_effort = std::numeric_limits<std::uint64_t>::max();
                const OneBoard::Answer answer = one_board.look(b, {i}, most_steps, last_effort);
                if (answer.end == OneBoard::End::impossible) continue;
                need.laid_alone[b] = answer.end == OneBoard::End::laid;
                need.ways[b] = need.turns[need.turn_of[b]].ways;
                need.loads[b] = loads_on(need.turns[need.turn_of[b]], b);
            }
        }
    }

    bool may_come_from(const Item& item, std::size_t b) const {
        if (item.fixed) return item.fixed->board == b;
        if (!item.only_from.empty() &&
            std::find(item.only_from.begin(), item.only_from.end(), b) == item.only_from.end())
            return false;
        constexpr double same_mm = 1e-6;
        return of_one_wood(item.species, stock_.boards[b].species) &&
               thickness_of(stock_.boards[b]) >= item.thickness_mm - same_mm;
    }

    Way way_of(const Item& item, double turn_rad, bool turned, bool over) const {
        const Lie lie{0, turn_rad, turned, over, {}};
        return {turned, over, turn_rad,
                profile_of(lie.placed(item.shape), lie.placed(item.sawn()), grown_by(item, stock_.settings))};
    }

    std::vector<Way> ways_of(const Item& item, double turn_rad) const {
        std::vector<Way> out;
        for (const bool over : {false, true}) {
            for (const bool turned : {false, true}) {
                if ((turned && !item.may_turn) || (over && !item.may_turn_over)) continue;
                Way way = way_of(item, turn_rad, turned, over);
                const bool known =
                    std::any_of(out.begin(), out.end(), [&](const Way& w) { return w.profile.same_as(way.profile); });
                if (!known) out.push_back(std::move(way));
            }
        }
        return out;
    }

    std::vector<Way> ways_that_fit(const Item& item, const std::vector<Way>& ways, std::size_t board) {
        std::vector<Way> out;
        const BoardRoom room(stock_.boards[board], 0.5 * stock_.settings.kerf_mm);
        for (const Way& way : ways) {
            const auto places = room.places_along(way.profile, true);
            const bool fits = std::any_of(places.begin(), places.end(), [&](double x) {
                return !room.shifts_at(way.profile, x, item.clear_of_edge_mm, effort_).empty();
            });
            if (fits) out.push_back(way);
        }
        return out;
    }

    Turned turned_of(const Item& item, double turn_rad) const {
        Turned out{turn_rad, ways_of(item, turn_rad), {}, {}};
        const double grown = grown_by(item, stock_.settings);
        std::vector<Point> corners = corners_of(Lie{0, turn_rad, false, false, {}}.placed(item.sawn()));
        out.along = stretches_of(corners, grown);
        for (Point& p : corners) std::swap(p.x, p.y);
        out.across = stretches_of(corners, grown);
        return out;
    }

    Loads loads_on(const Turned& item, std::size_t b) const {
        const shelf::Board& board = stock_.boards[b];
        const double kerf = stock_.settings.kerf_mm;
        return loads_of(item.along, item.across, board.length_mm + kerf, board.width_mm + kerf);
    }

    Stock stock_;
    std::uint64_t effort_ = 0;
};

Unplaced why_not(std::size_t i, const Stock& stock) {
    const Item& item = stock.items[i];
    Unplaced out{i, Unplaced::Why::used_up, 0.0, 0.0};
    for (std::size_t b = 0; b < stock.boards.size(); ++b)
        if (stock.needs[i].laid_alone[b]) return out;
    const Profile profile = profile_of(item.shape, item.sawn(), grown_by(item, stock.settings));
    const double kerf = stock.settings.kerf_mm;
    const double length = profile.length_mm() - kerf, width = profile.high() - profile.low() - kerf;
    double thick = 0.0, longest = 0.0, widest = 0.0;
    bool any = false;
    for (std::size_t b = 0; b < stock.boards.size(); ++b) {
        const shelf::Board& board = stock.boards[b];
        const bool allowed = item.only_from.empty() ||
                             std::find(item.only_from.begin(), item.only_from.end(), b) != item.only_from.end();
        if (!allowed || !of_one_wood(item.species, board.species)) continue;
        any = true;
        thick = std::max(thick, thickness_of(board));
        if (thickness_of(board) < item.thickness_mm - 1e-6) continue;
        longest = std::max(longest, board.length_mm);
        if (board.length_mm >= length - 1e-6) widest = std::max(widest, board.width_mm);
    }
    if (!any) {
        out.why = Unplaced::Why::no_such_wood;
    } else if (longest == 0.0) {
        out = {i, Unplaced::Why::too_thin, item.thickness_mm, thick};
    } else if (longest < length - 1e-6) {
        out = {i, Unplaced::Why::too_short, length, longest};
    } else if (widest < width - 1e-6) {
        out = {i, Unplaced::Why::too_narrow, width, widest};
    } else {
        out = {i, Unplaced::Why::in_the_way, width, widest};
    }
    return out;
}

}  // namespace

Point Lie::placed(Point p) const {
    const Point faced = over ? Point{p.x, -p.y} : p;
    return turned_by(faced, turn_rad + (turned ? geometry::pi : 0.0)) + shift;
}

Path Lie::placed(const Path& path) const {
    Path faced = over ? geometry::mirrored(path) : path;
    // Counter-clockwise again.
    if (over && path.closed && geometry::area_mm2(faced) * geometry::area_mm2(path) < 0.0)
        faced = geometry::reversed(faced);
    return geometry::moved(geometry::turned(faced, {}, turn_rad + (turned ? geometry::pi : 0.0)), shift);
}

bool of_one_wood(const std::string& a, const std::string& b) {
    const shelf::Species* first = shelf::find_species(a);
    const shelf::Species* second = shelf::find_species(b);
    return first != nullptr && second != nullptr ? first->name == second->name : a == b;
}

Path outline_of(const shelf::Board& board) {
    if (board.outline.empty()) return geometry::rectangle({0.0, 0.0}, {board.length_mm, board.width_mm});
    Path out = geometry::polyline(board.outline, true);
    return geometry::area_mm2(out) < 0.0 ? geometry::reversed(out) : out;
}

Path outline_of(const shelf::Defect& defect) {
    if (defect.outline.empty()) return geometry::circle(defect.at, defect.radius_mm);
    Path out = geometry::polyline(defect.outline, true);
    return geometry::area_mm2(out) < 0.0 ? geometry::reversed(out) : out;
}

Placing place(std::span<const Item> items, std::span<const shelf::Board> as_drawn, const Settings& settings) {
    // Where fibres run too far askew is as good as a spot that must not be in the wood.
    std::vector<shelf::Board> boards(as_drawn.begin(), as_drawn.end());
    for (shelf::Board& board : boards) {
        const auto askew = askew_fibres(board, turn_on(board, settings), settings.grain_within_rad);
        board.defects.insert(board.defects.end(), askew.begin(), askew.end());
    }
    for (const Item& item : items) {
        if (item.shape.empty() || !item.shape.closed) throw std::invalid_argument("place: an item without an outline");
        if (item.fixed && item.fixed->board >= boards.size())
            throw std::invalid_argument("place: an item laid on a board that is not there");
    }
    Placing out;
    out.lies.resize(items.size());
    out.by_price = !boards.empty() && std::all_of(boards.begin(), boards.end(),
                                                  [](const shelf::Board& b) { return b.price && *b.price > 0.0; });
    Preparer preparer(items, boards, settings);
    const Stock stock = preparer.prepared();
    out.effort = preparer.effort();
    Packer packer(stock, out.effort);
    const Assignment best = assign(stock, packer, settings.effort);
    std::vector<std::vector<std::size_t>> on(boards.size());
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (!best.board[i]) {
            out.unplaced.push_back(why_not(i, stock));
            continue;
        }
        on[*best.board[i]].push_back(i);
    }
    for (std::size_t b = 0; b < boards.size(); ++b) {
        if (on[b].empty()) continue;
        out.boards_used.push_back(b);
        out.cost += stock.cost[b];
        const std::vector<Lie>* lies = packer.pack(b, on[b], Packer::Care::much);
        for (std::size_t k = 0; k < on[b].size(); ++k) out.lies[on[b][k]] = (*lies)[k];
    }
    out.least_cost = std::min(best.least_cost, out.cost);
    constexpr double same_part = 1e-6;
    out.proved = out.cost <= out.least_cost * (1.0 + same_part);
    return out;
}

}  // namespace seamwright::stock
