#include "bench.h"

#include <algorithm>
#include <stdexcept>
#include <utility>

#include "geometry/parallel.h"

namespace seamwright::edit {

void refuse(std::string pointer, std::string found, std::string allowed, std::string remedy) {
    throw Refusal{{error_at(std::move(pointer), std::move(found), std::move(allowed), std::move(remedy))}};
}

double edging_mm(const job::Job& job) {
    double width_mm = 0.0;
    for (const job::Seam& seam : job.seams)
        if (seam.kind == job::SeamKind::edging) width_mm = std::max(width_mm, seam.edging_width_mm);
    return width_mm;
}

geometry::Path field_within(const geometry::Path& outline, const job::Job& job) {
    const double width_mm = edging_mm(job);
    if (width_mm == 0.0 || outline.empty()) return outline;
    try {
        const auto inner = geometry::parallel(outline, geometry::Side::left, width_mm);
        return inner.paths.size() == 1 ? inner.paths.front().path() : outline;
    } catch (const std::runtime_error&) {
        // Without a certified inner edge the plan says so itself; the outline is near enough to aim at.
        return outline;
    }
}

Json& Bench::change() {
    changed_ = true;
    document_.reset();
    plan_.reset();
    outline_.reset();
    field_.reset();
    return tree_;
}

const job::Document& Bench::document() {
    if (!changed_) return before_.document;
    if (!document_) {
        text_ = text_of(tree_);
        job::Reading reading = read_text(text_);
        if (!reading.document) throw Refusal{std::move(reading.problems)};
        document_ = std::move(reading.document);
        warnings_ = std::move(reading.problems);
    }
    return *document_;
}

const plan::Plan& Bench::plan() {
    if (!changed_) return before_.plan;
    if (!plan_) plan_ = plan_of(document(), &before_);
    return *plan_;
}

const geometry::Path& Bench::outline() {
    if (!outline_) {
        const Json* top = find(tree_, {"top"});
        const Json* top_before = find(before_.tree, {"top"});
        if (top != nullptr && top_before != nullptr && *top == *top_before) {
            outline_ = before_.plan.outline;
        } else {
            job::Job bare = document().job;
            bare.seams.clear();
            bare.pieces.clear();
            outline_ = plan::make_plan(bare, document().shelf).outline;
        }
    }
    return *outline_;
}

const geometry::Path& Bench::field() {
    if (!field_) field_ = field_within(outline(), document().job);
    return *field_;
}

State Bench::snapshot() {
    if (!changed_) return before_;
    document();
    return state_of(text_, tree_, *document_, warnings_, &before_);
}

State Bench::finish() {
    if (!changed_) return before_;
    document();
    return state_of(std::move(text_), std::move(tree_), std::move(*document_), std::move(warnings_), &before_);
}

}  // namespace seamwright::edit
