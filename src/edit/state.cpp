#include "state.h"

#include <utility>

namespace seamwright::edit {

job::Reading read_text(std::string_view text) {
    return job::read_document(text, [](const std::string&, std::string& why) -> std::optional<std::string> {
        why = "a file beside the job is not read here: paste its points into \"csv\" instead of naming it in \"file\"";
        return std::nullopt;
    });
}

job::Problem error_at(std::string pointer, std::string found, std::string allowed, std::string remedy) {
    return {job::Problem::Weight::error, std::move(pointer), std::move(found),
            std::move(allowed),          std::move(remedy),  {}};
}

plan::Plan plan_of(const job::Document& document, const State* before) {
    if (before == nullptr) return plan::make_plan(document.job, document.shelf);
    return plan::make_plan(document.job, document.shelf, {before->document.job, before->document.shelf, before->plan});
}

State state_of(std::string text, Json tree, job::Document document, std::vector<job::Problem> warnings,
               const State* before) {
    State state;
    state.text = std::move(text);
    state.tree = std::move(tree);
    state.document = std::move(document);
    state.plan = plan_of(state.document, before);
    state.problems = std::move(warnings);
    state.problems.insert(state.problems.end(), state.plan.problems.begin(), state.plan.problems.end());
    return state;
}

}  // namespace seamwright::edit
