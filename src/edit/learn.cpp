#include "learn.h"

#include <fmt/format.h>

#include <algorithm>

#include "plan/test_cut_study.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

void write_size(Json& tool, const Ruler& ruler, const shelf::Diameter& before, const shelf::Diameter& after) {
    if (before == after) return;
    const auto put_length = [&](const char* name, const std::optional<double>& mm) {
        if (mm) tool[name] = ruler.computed(*mm);
    };
    put_length("measured", after.measured_mm);
    put_length("measured_within", after.measured_within_mm);
}

}  // namespace

std::string learn(Bench& bench, std::string_view pointer) {
    const auto steps = steps_of(pointer);
    const auto index = steps && steps->size() == 3 && (*steps)[0] == "shelf" && (*steps)[1] == "test_cuts"
                           ? index_of((*steps)[2])
                           : std::nullopt;
    const shelf::Shelf before = bench.document().shelf;
    const std::size_t number = index.value_or(before.test_cuts.size());
    if (number >= before.test_cuts.size()) {
        refuse(std::string(pointer), "no test cut there", "a test cut of this shelf",
               "load the page anew; the job may have been changed elsewhere");
    }
    const shelf::TestCut& cut = before.test_cuts[number];
    const auto study = plan::study_test_cut(before, cut, number, bench.document().job.style);
    if (study.problem) throw Refusal{{*study.problem}};
    if (!study.can_be_kept) {
        refuse(std::string(pointer) + "/readings",
               study.doubtful.empty()
                   ? "too few readings to tell a size"
                   : fmt::format("a reading that stands out, at place {}", study.doubtful.front() + 1),
               "readings that tell a size and go together",
               study.doubtful.empty() ? "measure at more of the places on the sheet"
                                      : "read it again, and leave it empty if it stays so");
    }
    const shelf::Shelf after = plan::learned(before, cut, study);
    const Ruler ruler = bench.ruler();
    Json& tree = bench.change();
    Json& shelf = *find(tree, {"shelf"});
    for (std::size_t i = 0; i < after.guides.size(); ++i) {
        Json& tool = shelf["guides"][i];
        write_size(tool, ruler, before.guides[i].outside, after.guides[i].outside);
        if (const auto& off = after.guides[i].off_centre; off && off != before.guides[i].off_centre) {
            tool["off_centre"] = {{"x", ruler.computed(off->x_mm)},
                                  {"y", ruler.computed(off->y_mm)},
                                  {"within", ruler.computed(off->within_mm)}};
        }
    }
    for (std::size_t i = 0; i < after.cutters.size(); ++i)
        write_size(shelf["cutters"][i], ruler, before.cutters[i].cutting, after.cutters[i].cutting);
    return fmt::format("Sizes of {} and {} taken over from their test cut", cut.guide, cut.cutter);
}

void forget_how_well(Bench& bench, const Steps& changed) {
    if (changed.size() != 4 || changed[0] != "shelf" || changed[3] != "measured") return;
    const Steps tool = first_steps(changed, 3);
    const Json* there = find(bench.tree(), tool);
    if (there != nullptr && there->contains("measured_within")) find(bench.change(), tool)->erase("measured_within");
}

}  // namespace seamwright::edit
