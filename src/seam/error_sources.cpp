// Each source is followed through the chain as the maker works: what it does to the edge that each step keeps, and to
// everything made from that edge later.

#include "error_sources.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>

namespace seamwright::seam {
namespace {

using geometry::dot;
using Kind = ToleranceSource::Kind;
using Column = std::vector<double>;

double hand(const Step& step) {
    return step.template_on_left ? 1.0 : -1.0;
}

/// Moves of the edge that a step keeps: from B and b larger by a unit.
double by_guide(const Step& step) {
    return 0.5 * hand(step);
}
double by_cutter(const Step& step) {
    return 0.5 * hand(step) * (step.keeps_far ? 1.0 : -1.0);
}

class Follow {
  public:
    Follow(const Chain& chain, std::span<const SeamPlace> places) : chain_(chain), places_(places) {}

    /// The gap's change when the edge kept by step k moves by own(k, i) at place i, besides what its template brings.
    Column gap(const std::function<double(std::size_t, std::size_t)>& own) const {
        std::vector<Column> templates(static_cast<std::size_t>(chain_.templates));
        Column gap(places_.size(), 0.0);
        for (std::size_t k = 0; k < chain_.steps.size(); ++k) {
            const Step& step = chain_.steps[k];
            Column moved(places_.size(), 0.0);
            if (step.from_template >= 0) moved = templates[static_cast<std::size_t>(step.from_template)];
            for (std::size_t i = 0; i < places_.size(); ++i) moved[i] += own(k, i);
            if (step.kind == Step::Kind::cut_left) {
                for (std::size_t i = 0; i < places_.size(); ++i) gap[i] -= moved[i];
            } else if (step.kind == Step::Kind::cut_right) {
                for (std::size_t i = 0; i < places_.size(); ++i) gap[i] += moved[i];
            } else {
                templates[static_cast<std::size_t>(step.makes_template)] = std::move(moved);
            }
        }
        return gap;
    }

  private:
    const Chain& chain_;
    std::span<const SeamPlace> places_;
};

/// Runs of routed steps during which a tool stays as it is set: numbered, one number for each step, −1 without.
std::vector<int> settings_of(const Chain& chain, const std::function<std::size_t(const Pair&)>& tool) {
    std::vector<int> run;
    int number = -1;
    std::optional<std::size_t> before;
    for (const Step& step : chain.steps) {
        if (!step.pair) {
            run.push_back(-1);
            continue;
        }
        if (!before || *before != tool(*step.pair)) ++number;
        before = tool(*step.pair);
        run.push_back(number);
    }
    return run;
}

std::size_t rider_of(const Pair& pair) {
    // Guides and bearings are numbered alike; which of the two is told apart here.
    return 2 * pair.rider + (pair.rides == Pair::Rides::bearing ? 1 : 0);
}
std::size_t cutter_of(const Pair& pair) {
    return pair.cutter;
}

class Sources {
  public:
    Sources(const Chain& chain, const shelf::Shelf& shelf, std::span<const SeamPlace> places, bool closed,
            const Accuracy& accuracy)
        : chain_(chain), shelf_(shelf), places_(places), closed_(closed), accuracy_(accuracy), follow_(chain, places) {}

    std::vector<ErrorSource> all() {
        cutters();
        riders();
        run_out();
        play();
        off_centre();
        uneven();
        paper();
        moisture();
        return std::move(found_);
    }

  private:
    void add(Kind kind, double size, double low, std::vector<Column> rows, const std::string& tool = {},
             std::optional<std::size_t> step = {}, bool measured = false) {
        double largest = 0.0;
        for (const Column& row : rows)
            for (const double g : row) largest = std::fmax(largest, std::abs(g) * size);
        constexpr double nothing_mm = 1e-9;
        if (largest <= nothing_mm) return;
        found_.push_back({{kind, tool, step, measured, size, 0.0, 0.0}, low, size, std::move(rows)});
    }

    /// Each tool once, in the order in which the chain takes it up; with how far its work has gone at each step: 0 at
    /// its first use, 1 at its last.
    struct Use {
        std::size_t tool = 0;
        std::vector<std::optional<double>> gone;  // one for each step
    };
    std::vector<Use> uses(const std::function<std::size_t(const Pair&)>& tool_of) const {
        std::vector<Use> uses;
        for (const Step& first : chain_.steps) {
            if (!first.pair) continue;
            const std::size_t tool = tool_of(*first.pair);
            if (std::any_of(uses.begin(), uses.end(), [&](const Use& u) { return u.tool == tool; })) continue;
            Use use{tool, {}};
            double count = 0.0;
            for (const Step& step : chain_.steps) {
                const bool used = step.pair && tool_of(*step.pair) == tool;
                use.gone.push_back(used ? std::optional(count) : std::nullopt);
                count += used ? 1.0 : 0.0;
            }
            for (auto& gone : use.gone)
                if (gone) *gone = count > 1.0 ? *gone / (count - 1.0) : 0.0;
            uses.push_back(std::move(use));
        }
        return uses;
    }

    void size_and_wear(const Use& use, Kind size, Kind wear, const shelf::Diameter& diameter, const std::string& name,
                       double wear_mm, double (*moved)(const Step&)) {
        const bool measured = diameter.measured_mm.has_value();
        const double known =
            measured ? diameter.measured_within_mm.value_or(accuracy_.measured_mm) : accuracy_.marked_mm;
        add(size, known, -known,
            {follow_.gap([&](std::size_t k, std::size_t) { return use.gone[k] ? moved(chain_.steps[k]) : 0.0; })}, name,
            {}, measured);
        add(wear, wear_mm, 0.0, {follow_.gap([&](std::size_t k, std::size_t) {
                return use.gone[k] ? -*use.gone[k] * moved(chain_.steps[k]) : 0.0;
            })},
            name);
    }

    void cutters() {
        for (const Use& use : uses(cutter_of)) {
            const shelf::Cutter& cutter = shelf_.cutters.at(use.tool);
            size_and_wear(use, Kind::cutter_size, Kind::cutter_wear, cutter.cutting, cutter.name,
                          accuracy_.cutter_wear_mm, by_cutter);
        }
    }
    void riders() {
        for (const Use& use : uses(rider_of)) {
            const bool bearing = use.tool % 2 == 1;
            const std::size_t i = use.tool / 2;
            const shelf::Diameter& outside = bearing ? shelf_.bearings.at(i).outside : shelf_.guides.at(i).outside;
            const std::string& name = bearing ? shelf_.bearings.at(i).name : shelf_.guides.at(i).name;
            size_and_wear(use, Kind::guide_size, Kind::guide_wear, outside, name, accuracy_.guide_wear_mm, by_guide);
        }
    }

    void run_out() {
        const auto setting = settings_of(chain_, cutter_of);
        const int settings = setting.empty() ? 0 : 1 + *std::max_element(setting.begin(), setting.end());
        for (int s = 0; s < settings; ++s) {
            std::string name;
            const Column row = follow_.gap([&](std::size_t k, std::size_t) {
                if (setting[k] != s) return 0.0;
                name = shelf_.cutters.at(chain_.steps[k].pair->cutter).name;
                return by_cutter(chain_.steps[k]);
            });
            add(Kind::run_out, accuracy_.run_out_mm, 0.0, {row}, name);
        }
    }

    /// The rows of a way w from the middle of the guide to that of the cutter, in the given steps, turned about in
    /// some.
    std::vector<Column> ways(const std::function<double(std::size_t)>& part) const {
        std::vector<Column> rows;
        for (const Point axis : {Point{1.0, 0.0}, Point{0.0, 1.0}}) {
            rows.push_back(follow_.gap([&](std::size_t k, std::size_t i) {
                const double p = part(k);
                return p == 0.0 ? 0.0 : p * dot(places_[i].normal, axis);
            }));
        }
        return rows;
    }
    bool by_guide_bushing(std::size_t k) const {
        return chain_.steps[k].pair && chain_.steps[k].pair->rides == Pair::Rides::guide;
    }

    void play() {
        // It is set anew with the tools, and pressed aside anew on every template: each step on its own.
        for (std::size_t k = 0; k < chain_.steps.size(); ++k) {
            if (!by_guide_bushing(k)) continue;
            add(Kind::guide_play, accuracy_.guide_play_mm, 0.0,
                ways([&](std::size_t other) { return other == k ? 1.0 : 0.0; }),
                shelf_.guides.at(chain_.steps[k].pair->rider).name, k);
        }
    }

    /// Of the guides in use; one whose test cut told where the cutter stands in it is known better.
    double off_centre_mm() const {
        double size = 0.0;
        for (std::size_t k = 0; k < chain_.steps.size(); ++k) {
            if (!by_guide_bushing(k)) continue;
            const auto& known = shelf_.guides.at(chain_.steps[k].pair->rider).off_centre;
            size = std::fmax(size,
                             known ? std::hypot(known->x_mm, known->y_mm) + known->within_mm : accuracy_.off_centre_mm);
        }
        return size;
    }

    void off_centre() {
        const double size_mm = off_centre_mm();
        const auto all = [&](const std::function<double(std::size_t)>& part) {
            return ways([&](std::size_t k) { return by_guide_bushing(k) ? part(k) : 0.0; });
        };
        switch (accuracy_.held) {
            case Held::one_way:
                add(Kind::off_centre, size_mm, 0.0, all([](std::size_t) { return 1.0; }));
                break;
            case Held::end_for_end:
                add(Kind::off_centre, size_mm, 0.0,
                    all([&](std::size_t k) { return chain_.steps[k].kind == Step::Kind::cut_right ? -1.0 : 1.0; }));
                break;
            case Held::with_edge:
                // One side always to the template: the cutter stands nearer to it, or farther off, all along.
                add(Kind::off_centre, size_mm, -size_mm, {follow_.gap([&](std::size_t k, std::size_t) {
                        return by_guide_bushing(k) ? hand(chain_.steps[k]) : 0.0;
                    })});
                break;
            case Held::any_way:
                for (std::size_t k = 0; k < chain_.steps.size(); ++k) {
                    add(Kind::off_centre, size_mm, 0.0, all([&](std::size_t other) { return other == k ? 1.0 : 0.0; }),
                        {}, k);
                }
                break;
        }
    }

    void uneven() {
        const double whole = places_.empty() ? 0.0 : places_.back().at_mm;
        double wave = accuracy_.edge_wave_mm;
        // Round a closed seam only whole waves fit.
        if (closed_ && places_.size() > 1) {
            const double lap = whole + geometry::distance(places_.back().at, places_.front().at);
            wave = lap / std::fmax(1.0, std::round(lap / wave));
        }
        for (std::size_t k = 0; k < chain_.steps.size(); ++k) {
            const bool by_hand = !chain_.steps[k].pair;
            std::vector<Column> rows;
            for (const double quarter : {0.0, 0.25}) {
                rows.push_back(follow_.gap([&](std::size_t other, std::size_t i) {
                    return other == k ? std::cos(geometry::two_pi * (places_[i].at_mm / wave - quarter)) : 0.0;
                }));
            }
            add(by_hand ? Kind::hand_edge : Kind::routed_edge,
                by_hand ? accuracy_.hand_edge_mm : accuracy_.routed_edge_mm, 0.0, std::move(rows), {}, k);
        }
    }

    void paper() {
        Point middle;
        for (const SeamPlace& p : places_) middle = middle + (1.0 / static_cast<double>(places_.size())) * p.at;
        for (std::size_t k = 0; k < chain_.steps.size(); ++k) {
            if (chain_.steps[k].pair) continue;
            for (const bool across : {false, true}) {
                add(Kind::paper, accuracy_.paper_per_m_mm, -accuracy_.paper_per_m_mm,
                    {follow_.gap([&](std::size_t other, std::size_t i) {
                        if (other != k) return 0.0;
                        const Point from = places_[i].at - middle, n = places_[i].normal;
                        return 1e-3 * (across ? n.y * from.y : n.x * from.x);
                    })},
                    {}, k);
            }
        }
    }

    void moisture() {
        const Point across = geometry::left_of(geometry::unit(accuracy_.grain_rad));
        std::optional<std::size_t> first;
        for (std::size_t k = 0; k < chain_.steps.size() && !first; ++k) {
            const auto kind = chain_.steps[k].kind;
            if (kind == Step::Kind::cut_left || kind == Step::Kind::cut_right) first = k;
        }
        if (!first || places_.empty()) return;
        Point middle;
        for (const SeamPlace& p : places_) middle = middle + (1.0 / static_cast<double>(places_.size())) * p.at;
        add(Kind::moisture, accuracy_.moisture_points, -accuracy_.moisture_points,
            {follow_.gap([&](std::size_t k, std::size_t i) {
                if (k != *first) return 0.0;
                return accuracy_.movement_per_point * dot(places_[i].normal, across) *
                       dot(places_[i].at - middle, across);
            })},
            {}, first);
    }

    const Chain& chain_;
    const shelf::Shelf& shelf_;
    std::span<const SeamPlace> places_;
    bool closed_;
    const Accuracy& accuracy_;
    Follow follow_;
    std::vector<ErrorSource> found_;
};

}  // namespace

std::vector<ErrorSource> error_sources(const Chain& chain, const shelf::Shelf& shelf, std::span<const SeamPlace> places,
                                       bool closed, const Accuracy& accuracy) {
    return Sources(chain, shelf, places, closed, accuracy).all();
}

double gap_of_wear(const Chain& chain, bool between) {
    const std::vector<SeamPlace> one(1);
    const Column gap = Follow(chain, one).gap([&](std::size_t k, std::size_t) {
        const Step& step = chain.steps[k];
        const bool cut = step.kind == Step::Kind::cut_left || step.kind == Step::Kind::cut_right;
        return step.pair && (cut || !between) ? -by_cutter(step) : 0.0;
    });
    return gap.front();
}

}  // namespace seamwright::seam
