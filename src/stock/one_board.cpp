// Items on one board, to the end. For each pair of items (and each item and defect) one of four must hold: the one is
// left of the other, right of it, below it or above it. Once all are chosen, what is left are differences: of places
// along the board, least where one is left of the other; of places across it, least where one is above the other, by
// how their outlines pass each other at that shift along the board. Choosing one after the other and dropping what has
// become impossible goes through all ways (relations as the unknowns of rectangle packing: M. Moffitt, M. Pollack,
// ICAPS 2006; R. Korf, M. Moffitt, M. Pollack, Ann. Oper. Res. 179 (2010) 261; from memory). Where curved outlines make
// the height depend on the shift, the shift is halved until it is known to a cell.
//
// Bodies are a hair too small and bounds a hair too wide, so what fails here is impossible; what does not fail is laid
// with the shapes a hair too large, and where that fails the set stays open.

#include "one_board.h"

#include <algorithm>
#include <cmath>

namespace seamwright::stock {
namespace {

constexpr std::size_t most_items = 8, most_spots = 8, most_ways = 4;
constexpr std::size_t any_way = most_ways;
constexpr double fine_slab_mm = 1.0;
/// Numbers compared in the time that one unit of effort stands for.
constexpr std::uint64_t numbers_a_look = 300;

enum Relation : std::uint8_t { left_of = 1, right_of = 2, below = 4, above = 8, all_relations = 15, unrelated = 0 };

bool single(std::uint8_t relations) {
    return (relations & (relations - 1)) == 0;
}

void drop(std::uint8_t& relations, Relation one) {
    relations = static_cast<std::uint8_t>(relations & ~one);
}

Micrometres floor_um(double mm) {
    return static_cast<Micrometres>(std::floor(mm * um_per_mm));
}
Micrometres ceil_um(double mm) {
    return static_cast<Micrometres>(std::ceil(mm * um_per_mm));
}

/// Upper bounds on differences of places, closed: no chain of bounds says more than the bound itself.
class Differences {
  public:
    explicit Differences(std::size_t count) : count_(count) { bounds_.fill(far_um); }
    Micrometres most(std::size_t from, std::size_t to) const { return bounds_[from * stride + to]; }
    Micrometres least(std::size_t from, std::size_t to) const { return -most(to, from); }
    /// False when nothing is left.
    bool at_most(std::size_t from, std::size_t to, Micrometres value) {
        if (value >= most(from, to)) return true;
        if (value < least(from, to)) return false;
        for (std::size_t p = 0; p < count_; ++p) {
            const Micrometres before = p == from ? 0 : most(p, from);
            if (before >= far_um) continue;
            for (std::size_t q = 0; q < count_; ++q) {
                if (p == q) continue;
                const Micrometres after = q == to ? 0 : most(to, q);
                if (after >= far_um) continue;
                Micrometres& bound = bounds_[p * stride + q];
                bound = std::min(bound, before + value + after);
            }
        }
        changed = true;
        return true;
    }
    bool at_least(std::size_t from, std::size_t to, Micrometres value) { return at_most(to, from, -value); }
    bool changed = false;

  private:
    static constexpr std::size_t stride = most_items + 1;
    std::size_t count_ = 0;
    std::array<Micrometres, stride * stride> bounds_{};
};

/// What has been chosen so far. Place 0 is the board's origin, item k has place k + 1.
struct State {
    explicit State(std::size_t items) : x(items + 1), y(items + 1) {}
    Differences x, y;  ///< of left ends; of lowest points
    std::array<std::uint8_t, most_items> way{};
    std::array<std::array<std::uint8_t, most_items>, most_items> pair{};  ///< [i][j], i < j: how i lies to j
    std::array<std::array<std::uint8_t, most_spots>, most_items> spot{};  ///< how the item lies to the spot
};

/// Leads that differ by less are one.
constexpr double same_lead_mm = 2e-3;

}  // namespace

const OneBoard::Shape& OneBoard::shape_of(std::size_t item, std::size_t turn) {
    auto [found, fresh] = shapes_.try_emplace({item, turn});
    Shape& shape = found->second;
    if (!fresh) return shape;
    for (const Way& way : stock_.needs[item].turns[turn].ways) {
        const Lie lie{0, way.turn_rad, way.turned, way.over, {}};
        const Path placed = lie.placed(stock_.items[item].sawn()), kept = lie.placed(stock_.items[item].shape);
        const std::vector<Point> corners = corners_within(placed);
        const double grow_mm = stock_.needs[item].grow_mm;
        shape.profiles.push_back(fineness_ == Fineness::coarse ? way.profile
                                                               : profile_of(kept, placed, grow_mm, fine_slab_mm));
        shape.grown.push_back(body_of(corners, grow_mm, fineness_));
        Body finished = body_of(corners_within(kept), 0.0, fineness_);
        const bool rough = !stock_.items[item].rough.empty();
        const double lead_mm = rough ? finished.left_mm - shape.grown.back().left_mm : grow_mm;
        if (shape.finished.empty()) {
            shape.lead_mm = lead_mm;
        } else if (shape.lead_mm && std::abs(*shape.lead_mm - lead_mm) > same_lead_mm) {
            shape.lead_mm.reset();
        }
        const double up_mm = finished.low_mm - shape.grown.back().low_mm;
        for (auto* tops : {&finished.top, &finished.cell_top})
            for (Micrometres& t : *tops) t += floor_um(up_mm);
        for (auto* bottoms : {&finished.bottom, &finished.cell_bottom})
            for (Micrometres& b : *bottoms) b += ceil_um(up_mm);
        shape.finished.push_back(std::move(finished));
        effort_ += corners.size() + shape.grown.back().top.size();
    }
    return shape;
}

OneBoard::Ground& OneBoard::ground_of(std::size_t board) {
    auto [found, fresh] = grounds_.try_emplace(board);
    Ground& ground = found->second;
    if (!fresh) return ground;
    const shelf::Board& b = stock_.boards[board];
    const double half = 0.5 * stock_.settings.kerf_mm;
    const geometry::Box box = geometry::bounding_box(outline_of(b));
    ground.low = {box.low.x - half, box.low.y - half};
    ground.high = {box.high.x + half, box.high.y + half};
    if (!b.outline.empty()) ground.edges = bodies_of(b, half, fineness_);
    for (const shelf::Defect& defect : b.defects) {
        // One that is allowed well inside the wood is left out: that only makes room.
        if (defect.allowed != shelf::Defect::Allowed::nowhere) continue;
        Body body = body_of(corners_within(outline_of(defect)), 0.0, fineness_);
        if (body.length > 0) ground.spots.push_back(std::move(body));
    }
    std::stable_sort(ground.spots.begin(), ground.spots.end(),
                     [](const Body& p, const Body& q) { return p.height > q.height; });
    if (ground.spots.size() > most_spots) ground.spots.resize(most_spots);
    ground.room.emplace(b, half);
    return ground;
}

const Lifts& OneBoard::lifts_of(const Key& key, const Body& lower, const Body& upper) {
    std::unique_ptr<Lifts>& lifts = lifts_[key];
    if (!lifts) {
        lifts = std::make_unique<Lifts>(lower, upper);
        effort_ += 1 + lifts->compared() / numbers_a_look;
    }
    return *lifts;
}

const Lifts& OneBoard::least_of(const Key& key, const std::vector<const Lifts*>& several) {
    std::unique_ptr<Lifts>& lifts = lifts_[key];
    if (!lifts) lifts = std::make_unique<Lifts>(several);
    return *lifts;
}

class Search {
  public:
    Search(OneBoard& all, std::size_t board, const std::vector<std::size_t>& items, bool by_size_alone,
           std::uint64_t most_steps, std::uint64_t last_effort)
        : all_(all),
          stock_(all.stock_),
          board_(board),
          items_(items),
          bare_(by_size_alone),
          most_steps_(most_steps),
          last_effort_(last_effort),
          ground_(all.ground_of(board)) {
        for (const std::size_t i : items) {
            turns_.push_back(stock_.needs[i].turn_of[board]);
            shapes_.push_back(&all.shape_of(i, turns_.back()));
        }
    }

    OneBoard::End run(std::vector<Lie>& lies) {
        State state(items_.size());
        if (!start(state)) return OneBoard::End::impossible;
        if (go_on(std::move(state))) {
            lies = std::move(lies_);
            return OneBoard::End::laid;
        }
        return open_ ? OneBoard::End::open : OneBoard::End::impossible;
    }

  private:
    std::size_t spots() const { return bare_ ? 0 : ground_.spots.size(); }
    std::size_t ways(std::size_t k) const { return shapes_[k]->grown.size(); }
    bool fixed(std::size_t k) const { return stock_.items[items_[k]].fixed.has_value(); }
    /// From the left end of what is kept around an item to its finished wood.
    double lead(std::size_t k) const { return shapes_[k]->lead_mm.value_or(0.0); }
    double give_of(std::size_t k) const { return stock_.items[items_[k]].rough.empty() ? 0.0 : same_lead_mm; }

    template <typename Of>
    auto over_ways(const State& s, std::size_t k, const Of& of, bool most) const {
        if (s.way[k] != any_way) return of(shapes_[k]->grown[s.way[k]]);
        auto out = of(shapes_[k]->grown.front());
        for (const Body& body : shapes_[k]->grown) out = most ? std::max(out, of(body)) : std::min(out, of(body));
        return out;
    }
    static Micrometres length_of(const Body& body) { return body.length; }
    Micrometres least_length(const State& s, std::size_t k) const { return over_ways(s, k, length_of, false); }
    Micrometres most_length(const State& s, std::size_t k) const { return over_ways(s, k, length_of, true); }

    bool start(State& s) {
        const Micrometres low_x = floor_um(ground_.low.x), high_x = ceil_um(ground_.high.x);
        const Micrometres low_y = floor_um(ground_.low.y), high_y = ceil_um(ground_.high.y);
        bool first_may_flip = !ground_.edges && spots() == 0;
        for (std::size_t k = 0; k < items_.size(); ++k) {
            const Item& item = stock_.items[items_[k]];
            s.way[k] = static_cast<std::uint8_t>(ways(k) == 1 ? 0 : any_way);
            first_may_flip = first_may_flip && item.may_turn && item.may_turn_over && !item.fixed &&
                             stock_.needs[items_[k]].turns[turns_[k]].ways.front().turn_rad == 0.0;
            if (item.fixed) {
                const Body& body = shapes_[k]->grown.front();
                const Point at = item.fixed->shift + Point{body.left_mm, body.low_mm};
                if (!s.x.at_most(0, k + 1, ceil_um(at.x)) || !s.x.at_least(0, k + 1, floor_um(at.x))) return false;
                if (!s.y.at_most(0, k + 1, ceil_um(at.y)) || !s.y.at_least(0, k + 1, floor_um(at.y))) return false;
                continue;
            }
            const Micrometres high = over_ways(s, k, [](const Body& body) { return body.height; }, false);
            if (high_x - least_length(s, k) < low_x || high_y - high < low_y) return false;
            if (!s.x.at_most(0, k + 1, high_x - least_length(s, k)) || !s.x.at_least(0, k + 1, low_x)) return false;
            if (!s.y.at_most(0, k + 1, high_y - high) || !s.y.at_least(0, k + 1, low_y)) return false;
        }
        for (std::size_t i = 0; i < items_.size(); ++i) {
            for (std::size_t j = i + 1; j < items_.size(); ++j)
                s.pair[i][j] = fixed(i) && fixed(j) ? unrelated : all_relations;
            for (std::size_t p = 0; p < spots(); ++p)
                s.spot[i][p] = fixed(i) || !shapes_[i]->lead_mm ? unrelated : all_relations;
        }
        // Mirrored along and across the same board serves as well: the first item lies in one way only or, where all
        // its ways are one, to the left of the second or below it.
        if (first_may_flip && ways(0) > 1) {
            s.way[0] = 0;
        } else if (first_may_flip && items_.size() > 1) {
            s.pair[0][1] = left_of | below;
        }
        return true;
    }

    const Lifts& lifts(const State& s, std::size_t lower, std::size_t upper) {
        const Lifts*& known = known_[lower][upper][s.way[lower]][s.way[upper]];
        if (known == nullptr) known = &lifts(lower, s.way[lower], upper, s.way[upper]);
        return *known;
    }
    const Lifts& lifts(std::size_t lower, std::size_t lower_way, std::size_t upper, std::size_t upper_way) {
        const OneBoard::Key key{items_[lower], turns_[lower], lower_way, items_[upper], turns_[upper], upper_way};
        if (lower_way != any_way && upper_way != any_way)
            return all_.lifts_of(key, shapes_[lower]->grown[lower_way], shapes_[upper]->grown[upper_way]);
        const auto known = all_.lifts_.find(key);
        if (known != all_.lifts_.end()) return *known->second;
        std::vector<const Lifts*> several;
        if (lower_way == any_way) {
            for (std::size_t w = 0; w < ways(lower); ++w) several.push_back(&lifts(lower, w, upper, upper_way));
        } else {
            for (std::size_t w = 0; w < ways(upper); ++w) several.push_back(&lifts(lower, lower_way, upper, w));
        }
        return all_.least_of(key, several);
    }

    enum class Part : std::size_t { spot_below, spot_above, edge_below, edge_above };
    /// Between an item and a spot or an edge, that lies below it or above it.
    const Lifts& lifts(std::size_t k, std::size_t way, Part part, std::size_t spot) {
        constexpr std::size_t apart = 1'000'000'000;
        const OneBoard::Key key{items_[k], turns_[k], way, apart + static_cast<std::size_t>(part), board_, spot};
        const auto known = all_.lifts_.find(key);
        if (known != all_.lifts_.end()) return *known->second;
        if (way == any_way) {
            std::vector<const Lifts*> several;
            for (std::size_t w = 0; w < ways(k); ++w) several.push_back(&lifts(k, w, part, spot));
            return all_.least_of(key, several);
        }
        switch (part) {
            case Part::spot_below:
                return all_.lifts_of(key, ground_.spots[spot], shapes_[k]->finished[way]);
            case Part::spot_above:
                return all_.lifts_of(key, shapes_[k]->finished[way], ground_.spots[spot]);
            case Part::edge_below:
                return all_.lifts_of(key, ground_.edges->below, shapes_[k]->grown[way]);
            default:
                return all_.lifts_of(key, shapes_[k]->grown[way], ground_.edges->above);
        }
    }

    /// Shifts of j against i along the board where some of both lies over one line across it.
    struct Shift {
        Micrometres from = 0, to = 0;
    };
    Shift shift_of(const State& s, std::size_t i, std::size_t j) const {
        return {std::max(s.x.least(i + 1, j + 1), -most_length(s, j) - 1),
                std::min(s.x.most(i + 1, j + 1), most_length(s, i) + 1)};
    }
    /// Of an item's finished left end against the left end of a spot.
    Shift shift_to_spot(const State& s, std::size_t k, std::size_t p) const {
        const double at = ground_.spots[p].left_mm - lead(k), give = give_of(k);
        return {s.x.least(0, k + 1) - ceil_um(at + give), s.x.most(0, k + 1) - floor_um(at - give)};
    }
    Shift shift_to_edge(const State& s, std::size_t k) const {
        const double at = ground_.edges->below.left_mm;
        return {s.x.least(0, k + 1) - ceil_um(at), s.x.most(0, k + 1) - floor_um(at)};
    }
    Micrometres finished_length(const State& s, std::size_t k, bool most) const {
        const auto& all = shapes_[k]->finished;
        if (s.way[k] != any_way) return all[s.way[k]].length;
        Micrometres out = all.front().length;
        for (const Body& body : all) out = most ? std::max(out, body.length) : std::min(out, body.length);
        return out;
    }

    bool narrow_pair(State& s, std::size_t i, std::size_t j) {
        std::uint8_t& how = s.pair[i][j];
        if (how == unrelated) return true;
        const Micrometres after_i = least_length(s, i), after_j = least_length(s, j);
        Shift shift{};
        Lifts::Range up{}, down{};
        const auto look = [&] {
            shift = shift_of(s, i, j);
            if ((how & left_of) && s.x.most(i + 1, j + 1) < after_i) drop(how, left_of);
            if ((how & right_of) && s.x.least(i + 1, j + 1) > -after_j) drop(how, right_of);
            if (how & below) {
                up = lifts(s, i, j).over(shift.from, shift.to);
                if (shift.from > shift.to || up.least > s.y.most(i + 1, j + 1)) drop(how, below);
            }
            if (how & above) {
                down = lifts(s, j, i).over(-shift.to, -shift.from);
                if (shift.from > shift.to || down.least > s.y.most(j + 1, i + 1)) drop(how, above);
            }
        };
        look();
        if (how == unrelated) return false;
        if (how == left_of) return s.x.at_least(i + 1, j + 1, after_i);
        if (how == right_of) return s.x.at_most(i + 1, j + 1, -after_j);
        if ((how & (left_of | right_of)) == 0) {
            if (!s.x.at_least(i + 1, j + 1, shift.from) || !s.x.at_most(i + 1, j + 1, shift.to)) return false;
        }
        if (how == below) return s.y.at_least(i + 1, j + 1, up.least);
        if (how == above) return s.y.at_least(j + 1, i + 1, down.least);
        return true;
    }

    bool narrow_spot(State& s, std::size_t k, std::size_t p) {
        std::uint8_t& how = s.spot[k][p];
        if (how == unrelated) return true;
        const Body& spot = ground_.spots[p];
        const double at = spot.left_mm - lead(k), give = give_of(k);
        const Micrometres left_end = ceil_um(at + give) - finished_length(s, k, false);
        const Micrometres right_end = floor_um(at - give) + spot.length;
        if ((how & left_of) && s.x.least(0, k + 1) > left_end) drop(how, left_of);
        if ((how & right_of) && s.x.most(0, k + 1) < right_end) drop(how, right_of);
        Shift shift = shift_to_spot(s, k, p);
        shift.from = std::max(shift.from, -finished_length(s, k, true) - 1);
        shift.to = std::min(shift.to, spot.length + 1);
        Lifts::Range over{}, under{};
        if (how & above) {
            over = lifts(k, s.way[k], Part::spot_below, p).over(shift.from, shift.to);
            if (shift.from > shift.to || floor_um(spot.low_mm) + over.least > s.y.most(0, k + 1)) drop(how, above);
        }
        if (how & below) {
            under = lifts(k, s.way[k], Part::spot_above, p).over(-shift.to, -shift.from);
            if (shift.from > shift.to || ceil_um(spot.low_mm) - under.least < s.y.least(0, k + 1)) drop(how, below);
        }
        if (how == unrelated) return false;
        if (how == left_of) return s.x.at_most(0, k + 1, left_end);
        if (how == right_of) return s.x.at_least(0, k + 1, right_end);
        if (how == above) return s.y.at_least(0, k + 1, floor_um(spot.low_mm) + over.least);
        if (how == below) return s.y.at_most(0, k + 1, ceil_um(spot.low_mm) - under.least);
        return true;
    }

    bool narrow_edges(State& s, std::size_t k) {
        const Shift shift = shift_to_edge(s, k);
        const Micrometres low = lifts(k, s.way[k], Part::edge_below, 0).over(shift.from, shift.to).least;
        const Micrometres high = lifts(k, s.way[k], Part::edge_above, 0).over(-shift.to, -shift.from).least;
        if (low > far_um || high > far_um) return false;
        return s.y.at_least(0, k + 1, low) && s.y.at_most(0, k + 1, -high);
    }

    /// Drops what has become impossible, until nothing changes.
    bool narrow(State& s) {
        do {
            s.x.changed = s.y.changed = false;
            for (std::size_t k = 0; k < items_.size(); ++k) {
                if (!bare_ && ground_.edges && !fixed(k) && !narrow_edges(s, k)) return false;
                for (std::size_t j = k + 1; j < items_.size(); ++j)
                    if (!narrow_pair(s, k, j)) return false;
                for (std::size_t p = 0; p < spots(); ++p)
                    if (!narrow_spot(s, k, p)) return false;
            }
            ++all_.effort_;
        } while (s.x.changed || s.y.changed);
        return true;
    }

    bool go_on(State s) {
        all_.effort_ += 4;
        if (++steps_ > most_steps_ || all_.effort_ >= last_effort_) {
            stopped_ = open_ = true;
            return false;
        }
        if (!narrow(s)) return false;
        if (const auto fork = fork_of(s); fork.how != nullptr) return choose(s, fork);
        for (std::size_t k = 0; k < items_.size(); ++k) {
            if (s.way[k] != any_way) continue;
            for (std::size_t w = 0; w < ways(k); ++w) {
                State next = s;
                next.way[k] = static_cast<std::uint8_t>(w);
                if (go_on(std::move(next))) return true;
                if (enough()) return false;
            }
            return false;
        }
        return halve(s);
    }
    /// Nothing more can be ruled out, and little hope of laying them.
    bool enough() const { return stopped_ || (open_ && leaves_ > (bare_ ? 2U : 12U + most_steps_ / 50)); }

    struct Fork {
        std::uint8_t* how = nullptr;
    };
    /// The pair with the fewest relations left, items before spots.
    Fork fork_of(State& s) const {
        Fork out;
        int fewest = 5;
        const auto offer = [&](std::uint8_t& how) {
            if (how == unrelated || single(how)) return;
            const int count = (how & 1) + (how >> 1 & 1) + (how >> 2 & 1) + (how >> 3 & 1);
            if (count >= fewest) return;
            fewest = count;
            out.how = &how;
        };
        for (std::size_t i = 0; i < items_.size(); ++i)
            for (std::size_t j = i + 1; j < items_.size(); ++j) offer(s.pair[i][j]);
        if (out.how != nullptr) return out;
        for (std::size_t i = 0; i < items_.size(); ++i)
            for (std::size_t p = 0; p < spots(); ++p) offer(s.spot[i][p]);
        return out;
    }
    bool choose(State& s, const Fork& fork) {
        const std::uint8_t left = *fork.how;
        for (const std::uint8_t one : {below, above, left_of, right_of}) {
            if ((left & one) == 0) continue;
            *fork.how = one;
            if (go_on(s)) return true;
            if (enough()) return false;
        }
        return false;
    }

    /// All is chosen but the shifts along the board. The one on which most depends is halved.
    bool halve(State& s) {
        constexpr Micrometres least_um = 100;
        Micrometres most = least_um;
        struct {
            std::size_t from = 0, to = 0;
            Micrometres at = 0;
            bool right_first = false;
        } half;
        const auto offer = [&](const Lifts& l, Shift shift, bool mirrored, std::size_t from, std::size_t to,
                               Micrometres offset) {
            if (mirrored) shift = {-shift.to, -shift.from};
            const Lifts::Range range = l.over(shift.from, shift.to);
            const Micrometres depends = range.most - range.least;
            if (depends <= most) return;
            const Micrometres middle = l.end_of_cell(shift.from + (shift.to - shift.from) / 2);
            const Micrometres at = middle < shift.to ? middle : middle - l.cell();
            if (at <= shift.from || at >= shift.to) return;
            most = depends;
            half.from = from;
            half.to = to;
            half.right_first = l.over(at, shift.to).least < l.over(shift.from, at).least;
            if (mirrored) half.right_first = !half.right_first;
            half.at = (mirrored ? -at : at) + offset;
        };
        for (std::size_t i = 0; i < items_.size(); ++i) {
            for (std::size_t j = i + 1; j < items_.size(); ++j) {
                if (s.pair[i][j] == below) offer(lifts(s, i, j), shift_of(s, i, j), false, i + 1, j + 1, 0);
                if (s.pair[i][j] == above) offer(lifts(s, j, i), shift_of(s, i, j), true, i + 1, j + 1, 0);
            }
            for (std::size_t p = 0; p < spots(); ++p) {
                const Micrometres at = floor_um(ground_.spots[p].left_mm - lead(i));
                if (s.spot[i][p] == above)
                    offer(lifts(i, s.way[i], Part::spot_below, p), shift_to_spot(s, i, p), false, 0, i + 1, at);
                if (s.spot[i][p] == below)
                    offer(lifts(i, s.way[i], Part::spot_above, p), shift_to_spot(s, i, p), true, 0, i + 1, at);
            }
            if (bare_ || !ground_.edges || fixed(i)) continue;
            const Micrometres at = floor_um(ground_.edges->below.left_mm);
            offer(lifts(i, s.way[i], Part::edge_below, 0), shift_to_edge(s, i), false, 0, i + 1, at);
            offer(lifts(i, s.way[i], Part::edge_above, 0), shift_to_edge(s, i), true, 0, i + 1, at);
        }
        if (most == least_um) return lay(s);
        for (const bool right : {half.right_first, !half.right_first}) {
            State next = s;
            const bool some =
                right ? next.x.at_least(half.from, half.to, half.at) : next.x.at_most(half.from, half.to, half.at);
            if (some && go_on(std::move(next))) return true;
            if (enough()) return false;
        }
        return false;
    }

    /// Lays the items with shapes a hair too large, as far left as the bounds allow or as far right.
    bool lay(const State& s) {
        ++leaves_;
        const auto order = from_below(s);
        if (order && (lay(s, *order, false) || lay(s, *order, true))) return true;
        open_ = true;
        return false;
    }
    std::optional<std::vector<std::size_t>> from_below(const State& s) const {
        std::vector<std::size_t> order;
        std::array<bool, most_items> done{};
        while (order.size() < items_.size()) {
            const std::size_t before = order.size();
            for (std::size_t k = 0; k < items_.size(); ++k) {
                if (done[k]) continue;
                bool free = true;
                for (std::size_t j = 0; j < items_.size(); ++j) {
                    if (j == k || done[j]) continue;
                    free = free && (j < k ? s.pair[j][k] != below : s.pair[k][j] != above);
                }
                if (!free) continue;
                order.push_back(k);
                done[k] = true;
                break;
            }
            if (order.size() == before) return std::nullopt;
        }
        return order;
    }
    bool lay(const State& s, const std::vector<std::size_t>& order, bool rightmost) {
        BoardRoom& room = *ground_.room;
        std::vector<Lie> lies(items_.size());
        const std::vector<double> along = places_along(s, rightmost);
        std::size_t laid = 0;
        for (const std::size_t k : order) {
            const Item& item = stock_.items[items_[k]];
            const Way& way = stock_.needs[items_[k]].turns[turns_[k]].ways[s.way[k]];
            const Profile& profile = shapes_[k]->profiles[s.way[k]];
            const Body& body = shapes_[k]->grown[s.way[k]];
            if (item.fixed) {
                lies[k] = *item.fixed;
                room.lay(profile, item.fixed->shift);
                ++laid;
                continue;
            }
            const double least = s.y.least(0, k + 1) / um_per_mm - body.low_mm;
            bool found = false;
            // Spots are a hair larger here than where the bounds come from.
            constexpr double hair_mm = 0.15;
            for (const double aside : {0.0, hair_mm, -hair_mm}) {
                const double x = along[k] - profile.slabs.front().from + aside;
                for (const Shifts& free : room.shifts_at(profile, x, item.clear_of_edge_mm, all_.effort_)) {
                    if (free.high < least) continue;
                    lies[k] = {board_, way.turn_rad, way.turned, way.over, {x, std::max(free.low, least)}};
                    room.lay(profile, lies[k].shift);
                    ++laid;
                    found = true;
                    break;
                }
                if (found) break;
            }
            if (!found) break;
        }
        for (std::size_t k = 0; k < laid; ++k) room.take_up();
        if (laid < order.size()) return false;
        lies_ = std::move(lies);
        return true;
    }
    /// Left ends, by the lengths of the shapes that are a hair too large.
    std::vector<double> places_along(const State& s, bool rightmost) const {
        std::vector<double> left(items_.size()), length(items_.size());
        std::vector<std::size_t> order(items_.size());
        for (std::size_t k = 0; k < items_.size(); ++k) {
            order[k] = k;
            length[k] = shapes_[k]->profiles[s.way[k]].length_mm();
            left[k] = (rightmost ? s.x.most(0, k + 1) : s.x.least(0, k + 1)) / um_per_mm;
            const auto& widths = ground_.room->widths();
            left[k] =
                std::clamp(left[k], widths.front().from, std::max(widths.front().from, widths.back().to - length[k]));
        }
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return rightmost ? left[a] > left[b] : left[a] < left[b];
        });
        for (std::size_t a = 0; a < order.size(); ++a) {
            for (std::size_t b = a + 1; b < order.size(); ++b) {
                const std::size_t first = order[a], then = order[b];
                const std::uint8_t how = first < then ? s.pair[first][then] : s.pair[then][first];
                if (how != left_of && how != right_of) continue;
                left[then] = rightmost ? std::min(left[then], left[first] - length[then])
                                       : std::max(left[then], left[first] + length[first]);
            }
        }
        return left;
    }

    OneBoard& all_;
    const Stock& stock_;
    std::size_t board_;
    const std::vector<std::size_t>& items_;
    bool bare_;
    std::uint64_t most_steps_, last_effort_, steps_ = 0, leaves_ = 0;
    bool stopped_ = false;
    OneBoard::Ground& ground_;
    std::vector<std::size_t> turns_;
    std::vector<const OneBoard::Shape*> shapes_;
    const Lifts* known_[most_items][most_items][most_ways + 1][most_ways + 1] = {};
    bool open_ = false;
    std::vector<Lie> lies_;
};

OneBoard::Answer OneBoard::look(std::size_t board, const std::vector<std::size_t>& items, std::uint64_t most_steps,
                                std::uint64_t last_effort) {
    Answer out;
    if (items.size() > most_items) return out;
    bool any_fixed = false;
    for (const std::size_t i : items) {
        if (stock_.needs[i].turn_of[board] >= stock_.needs[i].turns.size()) {
            out.end = End::impossible;
            return out;
        }
        any_fixed = any_fixed || stock_.items[i].fixed.has_value();
    }
    const Ground& ground = ground_of(board);
    const bool bare = ground.spots.empty() && !ground.edges;
    if (!any_fixed || bare) {
        out.end = Search(*this, board, items, true, most_steps, last_effort).run(out.lies);
        out.by_size_alone = out.end == End::impossible && !any_fixed;
        if (bare || out.end != End::open) return out;
    }
    out.end = Search(*this, board, items, false, most_steps, last_effort).run(out.lies);
    return out;
}

}  // namespace seamwright::stock
