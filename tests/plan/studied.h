#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "plan/bench_notes.h"
#include "plan/plan_jobs.h"

namespace seamwright::plan::testing {

/// A document with everything studied of it, held together.
struct Studied {
    job::Document document;
    Plan plan;
    std::optional<BoardsStudy> boards;
    RoughCutStudy rough;
    MovementStudy movement;
    std::vector<std::optional<ClosingStudy>> closing;
    FeedStudy feed;
    ShopStudy shop;

    explicit Studied(job::Document of) : document(std::move(of)) {
        plan = make_plan(document.job, document.shelf);
        boards = study_boards(plan, document.job, document.shelf);
        const BoardsStudy* laid = boards ? &*boards : nullptr;
        rough = study_rough_cut(plan, document.job);
        movement = study_movement(plan, document.job, document.shelf, laid);
        StudyWish wish;
        wish.samples = 20;
        wish.advice = false;
        for (std::size_t i = 0; i < plan.seams.size(); ++i)
            closing.push_back(study_closing(plan, i, document.job, document.shelf, wish));
        feed = study_feed(plan, document.shelf, rough, laid);
        shop = study_shop(plan, document.job, document.shelf, {laid, &movement, closing});
    }
    BenchInputs inputs() const {
        return {plan, document.job, document.shelf, shop, rough, movement, feed, closing, boards ? &*boards : nullptr};
    }
};

}  // namespace seamwright::plan::testing
