#include "renamed.h"

#include <algorithm>

namespace seamwright::edit {
namespace {

template <class Act>
void each_bearing_list(Json& tree, const Act& act) {
    Json* cutters = find(tree, {"shelf", "cutters"});
    if (cutters == nullptr || !cutters->is_array()) return;
    for (Json& cutter : *cutters) {
        Json* list = find(cutter, {"bearings"});
        if (list != nullptr && list->is_array()) act(cutter, *list);
    }
}

bool same_way(const seam::Chain& a, const seam::Chain& b) {
    return a.master_on_left == b.master_on_left &&
           std::equal(a.steps.begin(), a.steps.end(), b.steps.begin(), b.steps.end(),
                      [](const seam::Step& p, const seam::Step& q) {
                          return p.kind == q.kind && p.pair == q.pair && p.from_template == q.from_template &&
                                 p.makes_template == q.makes_template;
                      });
}

std::string* tool_name(shelf::Shelf& shelf, const std::string& kind, std::size_t index) {
    if (kind == "guides" && index < shelf.guides.size()) return &shelf.guides[index].name;
    if (kind == "bearings" && index < shelf.bearings.size()) return &shelf.bearings[index].name;
    if (kind == "cutters" && index < shelf.cutters.size()) return &shelf.cutters[index].name;
    return nullptr;
}

/// A way of copying is called by the names of its tools.
void follow_in_chains(Bench& bench, const Steps& steps, const std::string& old_name) {
    const auto index = index_of(steps[2]);
    const job::Document document = bench.document();
    shelf::Shelf before = document.shelf;
    std::string* name = index ? tool_name(before, steps[1], *index) : nullptr;
    if (name == nullptr) return;
    *name = old_name;
    if (steps[1] == "bearings") {
        for (shelf::Cutter& cutter : before.cutters)
            std::replace(cutter.bearings.begin(), cutter.bearings.end(), document.shelf.bearings[*index].name,
                         old_name);
    }
    const seam::Depths depths{document.job.thickness_mm, document.job.sheet.thickness_mm,
                              document.job.limits.below_wood_mm};
    std::optional<seam::Chains> all;
    for (std::size_t i = 0; i < document.job.seams.size(); ++i) {
        const std::string& id = document.job.seams[i].chain;
        if (id.empty()) continue;
        const auto old_chain = seam::chain_of_id(before, depths, id);
        if (!old_chain) continue;
        constexpr std::size_t every_one = 100'000;
        if (!all) all = seam::solve_chains(document.shelf, depths, every_one);
        const auto now = std::find_if(all->ranked.begin(), all->ranked.end(),
                                      [&](const seam::Chain& c) { return same_way(c, *old_chain); });
        if (now != all->ranked.end()) *find(bench.change(), {"seams", std::to_string(i), "chain"}) = now->id;
    }
}

}  // namespace

void follow_name(Bench& bench, const Steps& steps, const Json& old_name) {
    if (steps.size() != 4 || steps[0] != "shelf" || !old_name.is_string()) return;
    const Json* now = find(bench.tree(), steps);
    if (now == nullptr || !now->is_string() || *now == old_name) return;
    const Json new_name = *now;
    if (steps[1] == "bearings") {
        each_bearing_list(bench.change(), [&](Json&, Json& list) {
            for (Json& name : list)
                if (name == old_name) name = new_name;
        });
    }
    if (const std::string_view member = steps[1] == "guides"    ? "guide"
                                        : steps[1] == "cutters" ? "cutter"
                                                                : "";
        !member.empty()) {
        if (Json* cuts = find(bench.change(), {"shelf", "test_cuts"}); cuts != nullptr && cuts->is_array()) {
            for (Json& cut : *cuts) {
                if (Json* name = find(cut, {std::string(member)}); name != nullptr && *name == old_name)
                    *name = new_name;
            }
        }
    }
    const auto& seams = bench.before().document.job.seams;
    if (std::any_of(seams.begin(), seams.end(), [](const job::Seam& s) { return !s.chain.empty(); }))
        follow_in_chains(bench, steps, old_name.get<std::string>());
}

void forget_bearing(Json& tree, const Steps& removed, const Json& gone) {
    if (removed.size() != 3 || removed[1] != "bearings") return;
    const Json* name = find(gone, {"name"});
    if (name == nullptr) return;
    each_bearing_list(tree, [&](Json& cutter, Json& list) {
        list.erase(std::remove(list.begin(), list.end(), *name), list.end());
        if (list.empty()) cutter.erase("bearings");
    });
}

}  // namespace seamwright::edit
