#include "plan/work_studies.h"

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
    out.shop = study_shop(plan, job, shelf, {boards, &out.movement, out.closing});
    return out;
}

}  // namespace seamwright::plan
