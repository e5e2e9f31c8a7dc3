#include "edit/open_job.h"

#include <utility>

#include "grips.h"
#include "remedies.h"
#include "state.h"

namespace seamwright::edit {

std::variant<OpenJob, Refused> OpenJob::open(const std::string& text) {
    job::Reading reading = read_text(text);
    if (!reading.document) return Refused{std::move(reading.problems)};
    auto tree = parsed(text);
    if (!tree) {
        return Refused{{error_at("", "a text that cannot be taken apart for editing", "a job document in JSON",
                                 "write the job anew, or look for numbers out of all reason")}};
    }
    std::string canonical = text_of(*tree);
    return OpenJob(std::make_shared<const Whole>(Whole{state_of(
        std::move(canonical), std::move(*tree), std::move(*reading.document), std::move(reading.problems), nullptr)}));
}

const std::string& OpenJob::text() const {
    return whole_->text;
}
const job::Document& OpenJob::document() const {
    return whole_->document;
}
const plan::Plan& OpenJob::plan() const {
    return whole_->plan;
}
const std::vector<job::Problem>& OpenJob::problems() const {
    return whole_->problems;
}

namespace {

View view_of(const State& state) {
    return {state.tree, state.document, &state.plan, state.plan.outline, Ruler(state.tree)};
}

std::vector<Handle> handles(std::vector<Grip> grips) {
    std::vector<Handle> result;
    result.reserve(grips.size());
    for (Grip& grip : grips) result.push_back(std::move(grip.handle));
    return result;
}

}  // namespace

std::vector<Handle> OpenJob::outline_handles() const {
    return handles(outline_grips(view_of(*whole_)));
}
std::vector<Handle> OpenJob::seam_handles(std::size_t seam) const {
    return handles(seam_grips(view_of(*whole_), seam));
}
std::vector<Remedy> OpenJob::remedies() const {
    std::vector<Remedy> result;
    for (Cure& cure : cures_of(*whole_)) result.push_back(std::move(cure.remedy));
    return result;
}
std::vector<ToolAdvice> OpenJob::tool_advice() const {
    return tool_advice_of(*whole_);
}

std::optional<std::string> OpenJob::written_at(std::string_view pointer) const {
    const auto steps = steps_of(pointer);
    const Json* value = steps ? find(whole_->tree, *steps) : nullptr;
    if (value == nullptr || value->is_structured() || value->is_null()) return std::nullopt;
    return value->is_string() ? value->get<std::string>() : value->dump();
}

}  // namespace seamwright::edit
