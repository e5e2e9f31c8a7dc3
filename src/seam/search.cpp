// Finding the chains whose mismatch is smallest.
//
// With N pairs there are N³ ways to fill one copy and two cuts, and N⁴ with one copy more: 41 million for 80 pairs. So
// the last unknown is never tried out: it is looked up. For a copy and one cut, the other cut's offset must be the
// rest; it is found in the sorted list of offsets. For two copies, the sum of both cuts' offsets must be the copies'
// reach; it is found in the sorted list of all sums. From the place found, the search walks outward until what it meets
// is worse than the worst chain kept.

#include "search.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <tuple>
#include <utility>

#include "ranking.h"
#include "tools.h"

namespace seamwright::seam {
namespace {

struct Candidate {
    Assignment assignment;
    double grade = 0.0;
    int changes = 0;
    double stiffness = 0.0;

    auto key() const { return std::tuple(grade, changes, facts(assignment.way).templates, -stiffness, assignment); }
    friend bool operator<(const Candidate& a, const Candidate& b) { return a.key() < b.key(); }
};

// The few best of many, in order.
class Kept {
  public:
    explicit Kept(std::size_t most) : most_(most) {}

    double worst_grade() const {
        if (exact_only_) return 0.0;
        return full() ? kept_.back().grade : std::numeric_limits<double>::infinity();
    }
    bool full() const { return kept_.size() >= most_; }
    const Candidate& worst() const { return kept_.back(); }

    /// Cheap test before the rest of a candidate is worked out.
    bool worth(double grade, int changes, int templates) const {
        if (grade > worst_grade()) return false;
        if (!full()) return true;
        const Candidate& w = kept_.back();
        return std::tuple(grade, changes, templates) <=
               std::tuple(w.grade, w.changes, facts(w.assignment.way).templates);
    }
    void add(const Candidate& c) {
        if (c.grade == 0.0 && !exact_only_) {
            exact_only_ = true;
            std::erase_if(kept_, [](const Candidate& k) { return k.grade > 0.0; });
        }
        const auto at = std::lower_bound(kept_.begin(), kept_.end(), c);
        if (at == kept_.end() && full()) return;
        kept_.insert(at, c);
        if (kept_.size() > most_) kept_.pop_back();
    }
    const std::vector<Candidate>& all() const { return kept_; }

  private:
    std::size_t most_;
    bool exact_only_ = false;
    std::vector<Candidate> kept_;
};

struct OfOne {
    double value_mm;
    std::uint16_t pair;
};
struct OfTwo {
    double value_mm;
    std::uint16_t own, mate;
};

// Visits entries of a sorted list from the one nearest to `target` outward, both ways, as long as `visit` wants more
// in that direction.
template <class Entry, class Visit>
void outward(const std::vector<Entry>& sorted, double target_mm, const Visit& visit) {
    const auto middle = std::lower_bound(sorted.begin(), sorted.end(), target_mm,
                                         [](const Entry& e, double v) { return e.value_mm < v; });
    for (auto up = middle; up != sorted.end(); ++up)
        if (!visit(*up)) break;
    for (auto down = middle; down != sorted.begin();)
        if (!visit(*--down)) break;
}

class Search {
  public:
    Search(const Bench& bench, std::size_t most) : bench_(bench), kept_(most), n_(bench.pairs.size()) {
        changes_.resize(n_ * n_);
        for (std::size_t a = 0; a < n_; ++a)
            for (std::size_t b = 0; b < n_; ++b) changes_[a * n_ + b] = changes_between(bench.pairs[a], bench.pairs[b]);
        reach_.reserve(n_);
        for (const Pair& p : bench.pairs) reach_.push_back(measured(p));
        for (const std::uint16_t p : bench.for_cuts) cut_near_.push_back({reach_[p].near_mm, p});
        sort(cut_near_);
    }

    std::vector<Assignment> run(std::size_t most_copies) {
        one_pattern();
        one_copy();
        if (most_copies > 1) two_copies();
        std::vector<Assignment> found;
        for (const Candidate& c : kept_.all()) found.push_back(c.assignment);
        return found;
    }

  private:
    template <class Entry>
    static void sort(std::vector<Entry>& entries) {
        std::stable_sort(entries.begin(), entries.end(),
                         [](const Entry& a, const Entry& b) { return a.value_mm < b.value_mm; });
    }

    int changes(std::uint16_t a, std::uint16_t b) const { return changes_[a * n_ + b]; }

    int changes(const Assignment& a) const {
        const auto& p = a.pair;
        const std::size_t copies = facts(a.way).copies;
        const int cuts = changes(p[own_cut], p[mate_cut]);
        if (copies == 0) return cuts;
        const std::uint16_t last = p[copies == 2 ? second_copy : first_copy];
        return (copies == 2 ? changes(p[first_copy], p[second_copy]) : 0) + cuts +
               std::min(changes(last, p[own_cut]), changes(last, p[mate_cut]));
    }

    // True when even worse mismatches of the same kind could still be kept.
    bool consider(const Assignment& a, double mismatch_mm) {
        const double grade = grade_of(mismatch_mm);
        if (grade > kept_.worst_grade()) return false;
        const int change_count = changes(a);
        if (!kept_.worth(grade, change_count, facts(a.way).templates)) return true;
        double stiff = std::min(bench_.stiffness_cut[a.pair[own_cut]], bench_.stiffness_cut[a.pair[mate_cut]]);
        for (std::size_t s = 0; s < facts(a.way).copies; ++s) stiff = std::min(stiff, bench_.stiffness_copy[a.pair[s]]);
        kept_.add({a, grade, change_count, stiff});
        return true;
    }

    void one_pattern() {
        for (const std::uint16_t mate : bench_.for_cuts) {
            outward(cut_near_, reach_[mate].far_mm, [&](const OfOne& own) {
                return consider({Way::one_pattern, {0, 0, own.pair, mate}}, reach_[mate].far_mm - own.value_mm);
            });
        }
    }

    void one_copy() {
        for (const std::uint16_t copy : bench_.for_copies) {
            for (const std::uint16_t own : bench_.for_cuts) {
                const double rest_mm = reach_[copy].far_mm - reach_[own].near_mm;
                outward(cut_near_, rest_mm, [&](const OfOne& mate) {
                    return consider({Way::far, {copy, 0, own, mate.pair}}, rest_mm - mate.value_mm);
                });
            }
        }
    }

    // A chain of three templates can only be kept while it needs fewer tool changes than the worst one kept, or as
    // many if that one has three templates too.
    int most_changes_left() const {
        if (!kept_.full() || kept_.worst().grade > 0.0) return std::numeric_limits<int>::max();
        const Candidate& w = kept_.worst();
        return facts(w.assignment.way).templates >= 3 ? w.changes : w.changes - 1;
    }

    void two_copies() {
        const auto try_all = [&](std::uint16_t first, std::uint16_t second, const auto& cuts) {
            const Reaches& a = reach_[first];
            const Reaches& b = reach_[second];
            // Mating template by far copy, then a near copy of it.
            if (b.near_mm >= least_near_copy_mm) cuts(Way::far_near, first, second, a.far_mm - b.near_mm);
            if (a.near_mm >= least_near_copy_mm) {
                cuts(Way::near_far, first, second, a.near_mm + b.far_mm);
                cuts(Way::near_and_far, first, second, b.far_mm - a.near_mm);
            }
        };
        if (most_changes_left() < 0) return;
        if (most_changes_left() == 0) {
            for (const std::uint16_t p : bench_.for_copies) {
                if (!std::binary_search(bench_.for_cuts.begin(), bench_.for_cuts.end(), p)) continue;
                try_all(p, p, [&](Way way, std::uint16_t first, std::uint16_t second, double target_mm) {
                    consider({way, {first, second, p, p}}, target_mm - 2.0 * reach_[p].near_mm);
                });
            }
            return;
        }
        std::vector<OfTwo> sums;
        sums.reserve(cut_near_.size() * cut_near_.size());
        for (const OfOne& own : cut_near_)
            for (const OfOne& mate : cut_near_) sums.push_back({own.value_mm + mate.value_mm, own.pair, mate.pair});
        sort(sums);
        for (const std::uint16_t first : bench_.for_copies) {
            for (const std::uint16_t second : bench_.for_copies) {
                if (changes(first, second) > most_changes_left()) continue;
                try_all(first, second, [&](Way way, std::uint16_t f, std::uint16_t s, double target_mm) {
                    outward(sums, target_mm, [&](const OfTwo& cut) {
                        return consider({way, {f, s, cut.own, cut.mate}}, target_mm - cut.value_mm);
                    });
                });
            }
        }
    }

    const Bench& bench_;
    Kept kept_;
    std::size_t n_;
    std::vector<int> changes_;
    std::vector<Reaches> reach_;
    std::vector<OfOne> cut_near_;
};

}  // namespace

std::vector<Pair> most_likely(std::vector<Pair> pairs, std::size_t most) {
    if (pairs.size() <= most) return pairs;
    const auto misses = [&](std::size_t i) {
        const Pair& p = pairs[i];
        return std::min(std::abs(p.B_mm - 3.0 * p.b_mm), std::abs(p.B_mm - 2.0 * p.b_mm));
    };
    std::vector<std::size_t> order(pairs.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return misses(a) < misses(b); });
    order.resize(most);
    std::sort(order.begin(), order.end());
    std::vector<Pair> kept;
    kept.reserve(most);
    for (const std::size_t i : order) kept.push_back(pairs[i]);
    return kept;
}

Bench lay_out(const shelf::Shelf& shelf, std::vector<Pair> pairs, const Depths& depths, bool any_tool) {
    Bench bench;
    bench.pairs = std::move(pairs);
    for (std::size_t at = 0; at < bench.pairs.size(); ++at) {
        const auto i = static_cast<std::uint16_t>(at);
        const Pair& p = bench.pairs[at];
        if (any_tool || !what_stops(shelf, p, depths.sheet_mm, depths)) bench.for_copies.push_back(i);
        if (any_tool || !what_stops(shelf, p, depths.top_mm, depths)) bench.for_cuts.push_back(i);
        bench.stiffness_copy.push_back(stiffness(shelf, p, depths.sheet_mm, depths));
        bench.stiffness_cut.push_back(stiffness(shelf, p, depths.top_mm, depths));
    }
    return bench;
}

std::vector<Assignment> best_copied(const Bench& bench, std::size_t most, std::size_t most_copies) {
    if (most == 0 || bench.for_cuts.empty()) return {};
    return Search(bench, most).run(most_copies);
}

std::vector<Assignment> best_from_paper(const Bench& bench, std::size_t most) {
    std::vector<std::uint16_t> order = bench.for_cuts;
    std::stable_sort(order.begin(), order.end(),
                     [&](std::uint16_t a, std::uint16_t b) { return bench.stiffness_cut[a] > bench.stiffness_cut[b]; });
    if (order.size() > most) order.resize(most);
    std::vector<Assignment> found;
    found.reserve(order.size());
    for (const std::uint16_t p : order) found.push_back({Way::paper, {0, 0, p, p}});
    return found;
}

}  // namespace seamwright::seam
