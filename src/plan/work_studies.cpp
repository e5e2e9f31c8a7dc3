#include "plan/work_studies.h"

#include <iterator>

#include "plan/edging_study.h"

namespace seamwright::plan {

WorkStudies study_work(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, std::uint64_t effort) {
    WorkStudies out;
    out.boards = study_boards(plan, job, shelf, effort);
    const BoardsStudy* boards = out.boards ? &*out.boards : nullptr;
    out.movement = study_movement(plan, job, shelf, boards);
    out.rough = study_rough_cut(plan, job);
    StudyWish wish;
    wish.advice = false;
    for (std::size_t i = 0; i < plan.seams.size(); ++i) out.closing.push_back(study_closing(plan, i, job, shelf, wish));
    out.feed = study_feed(plan, shelf, out.rough, boards);
    out.outline = study_outline(plan, job, shelf, boards);
    out.build_up = study_build_up(plan, job, shelf, boards, out.movement);
    out.shop = study_shop(plan, job, shelf,
                          {boards, &out.movement, out.closing, &out.outline, out.build_up ? &*out.build_up : nullptr});
    return out;
}

namespace words {

std::vector<Told> surface_text(const WorkStudies& studies, const Plan& plan, const job::Job& job,
                               const shelf::Shelf& shelf) {
    std::vector<Told> out = outline_text(studies.outline, plan, job);
    const auto add = [&out](std::vector<Told> more) { std::move(more.begin(), more.end(), std::back_inserter(out)); };
    for (const SegmentedEdging& edging : plan.edgings) add(edging_text(edging, plan, job, studies.movement));
    if (studies.build_up) add(build_up_text(*studies.build_up, plan, job, shelf));
    add({edges_text(studies.shop, job), flattening_text(studies.shop, job), sanding_text(studies.shop)});
    return out;
}

}  // namespace words

}  // namespace seamwright::plan
