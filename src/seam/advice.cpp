// Which one tool would make the copy match.
//
// Every size the trade commonly keeps is put on the shelf in turn, and so is the size that makes one pair match by
// itself: B = 3b, from (B + b)/2 = 2 · (B − b)/2. What then has an exact chain is advice.

#include "advice.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "ranking.h"
#include "seam/tool_table.h"
#include "search.h"
#include "tools.h"

namespace seamwright::seam {
namespace {

using What = Advice::What;

constexpr std::size_t most_of_a_kind = 3;
constexpr std::string_view new_guide = "new guide";
constexpr std::string_view new_cutter = "new cutter";
constexpr std::string_view new_bearing = "new bearing";
// A cutter to buy is taken to have the usual 8 mm shank, or its own diameter where that is less.
constexpr double usual_shank_mm = 8.0;

struct Found {
    Advice advice;
    double stiffness = 0.0;

    auto key() const { return std::tuple(advice.tool_changes, !advice.common_size, -stiffness, advice.diameter_mm); }
};

void add_name(std::string& names, const std::string& name, std::string_view left_out) {
    if (name == left_out || (", " + names + ",").find(", " + name + ",") != std::string::npos) return;
    if (!names.empty()) names += ", ";
    names += name;
}

std::string other_tools(const shelf::Shelf& shelf, const Chain& chain, std::string_view left_out) {
    std::string names;
    for (const Step& step : chain.steps) {
        if (!step.pair) continue;
        const Pair& p = *step.pair;
        add_name(names, p.rides == Pair::Rides::guide ? shelf.guides[p.rider].name : shelf.bearings[p.rider].name,
                 left_out);
        add_name(names, shelf.cutters[p.cutter].name, left_out);
    }
    return names;
}

class Shopping {
  public:
    Shopping(const shelf::Shelf& shelf, const Depths& depths) : shelf_(shelf), depths_(depths) {}

    void try_guide(double size_mm, bool common) {
        shelf::Guide guide;
        guide.name = new_guide;
        guide.outside.nominal_mm = size_mm;
        guide.barrel_length_mm = std::max(0.0, depths_.sheet_mm - 2.0 * barrel_clear_mm);
        shelf_.guides.push_back(guide);
        look(What::guide, size_mm, common, new_guide);
        shelf_.guides.pop_back();
    }

    void try_cutter(double size_mm, bool common) {
        shelf::Cutter cutter;
        cutter.name = new_cutter;
        cutter.cutting.nominal_mm = size_mm;
        cutter.cutting_length_mm = depths_.top_mm + depths_.below_mm;
        cutter.shank_mm = std::min(size_mm, usual_shank_mm);
        cutter.reach_mm = projection_mm(depths_.top_mm, depths_);
        shelf_.cutters.push_back(cutter);
        look(What::cutter, size_mm, common, new_cutter);
        shelf_.cutters.pop_back();
    }

    void try_bearing(std::size_t on_cutter, double size_mm) {
        shelf::Bearing bearing;
        bearing.name = new_bearing;
        bearing.outside.nominal_mm = size_mm;
        shelf_.bearings.push_back(bearing);
        shelf_.cutters[on_cutter].bearings.push_back(bearing.name);
        look(What::bearing, size_mm, false, new_bearing);
        shelf_.cutters[on_cutter].bearings.pop_back();
        shelf_.bearings.pop_back();
    }

    std::vector<Advice> best() {
        std::stable_sort(found_.begin(), found_.end(),
                         [](const Found& a, const Found& b) { return a.key() < b.key(); });
        std::vector<Advice> kept;
        for (const Found& f : found_) {
            const auto same_kind =
                std::count_if(kept.begin(), kept.end(), [&](const Advice& a) { return a.what == f.advice.what; });
            if (static_cast<std::size_t>(same_kind) < most_of_a_kind) kept.push_back(f.advice);
        }
        return kept;
    }

  private:
    void look(What what, double size_mm, bool common, std::string_view name) {
        const Bench bench = lay_out(shelf_, pairs(shelf_).usable, depths_);
        const auto best = best_copied(bench, 1, 1);
        if (best.empty()) return;
        const Chain chain = written_out(shelf_, bench.pairs, best.front(), true, depths_);
        if (!chain.exact()) return;
        found_.push_back(
            {{what, size_mm, common, chain.tool_changes, other_tools(shelf_, chain, name), chain.id}, chain.stiffness});
    }

    shelf::Shelf shelf_;
    Depths depths_;
    std::vector<Found> found_;
};

// The tools of the likeliest pairs: trying every purchase against hundreds of tools would take minutes.
constexpr std::size_t most_tools_of_a_kind = 12;

shelf::Shelf likely_part(const shelf::Shelf& shelf) {
    if (shelf.guides.size() <= most_tools_of_a_kind && shelf.cutters.size() <= most_tools_of_a_kind &&
        shelf.bearings.size() <= most_tools_of_a_kind)
        return shelf;
    std::set<std::size_t> guides, bearings, cutters;
    for (const Pair& p : most_likely(pairs(shelf).usable, most_tools_of_a_kind)) {
        (p.rides == Pair::Rides::guide ? guides : bearings).insert(p.rider);
        cutters.insert(p.cutter);
    }
    shelf::Shelf part;
    for (const std::size_t i : guides) part.guides.push_back(shelf.guides[i]);
    for (const std::size_t i : bearings) part.bearings.push_back(shelf.bearings[i]);
    for (const std::size_t i : cutters) part.cutters.push_back(shelf.cutters[i]);
    return part;
}

bool among(const std::vector<double>& sizes, double size_mm) {
    return std::any_of(sizes.begin(), sizes.end(), [&](double s) { return std::abs(s - size_mm) <= exact_mm; });
}

}  // namespace

std::vector<Advice> advice_for(const shelf::Shelf& whole_shelf, const Depths& depths) {
    const shelf::Shelf shelf = likely_part(whole_shelf);
    Shopping shopping(shelf, depths);
    const CommonSizes& common = common_sizes();
    for (const double size : common.guides_mm) shopping.try_guide(size, true);
    for (const double size : common.cutters_mm) shopping.try_cutter(size, true);
    for (const shelf::Cutter& cutter : shelf.cutters) {
        const double size = 3.0 * cutter.cutting.real_mm();
        if (!among(common.guides_mm, size)) shopping.try_guide(size, false);
    }
    for (const shelf::Guide& guide : shelf.guides) {
        const double size = guide.outside.real_mm() / 3.0;
        if (!among(common.cutters_mm, size)) shopping.try_cutter(size, false);
    }
    for (std::size_t c = 0; c < shelf.cutters.size(); ++c) {
        if (!shelf.cutters[c].bearings.empty()) shopping.try_bearing(c, 3.0 * shelf.cutters[c].cutting.real_mm());
    }
    return shopping.best();
}

}  // namespace seamwright::seam
