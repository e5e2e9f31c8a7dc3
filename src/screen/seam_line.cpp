#include "seam_line.h"

#include <stdexcept>
#include <utility>
#include <variant>

namespace seamwright::screen {
namespace {

geometry::Path drawn_alone(const job::Seam& seam, const geometry::Path& outline) {
    if (seam.kind != job::SeamKind::edging) {
        auto drawn = curves::draw(seam.curve);
        const auto* line = std::get_if<curves::Drawn>(&drawn);
        return line == nullptr ? geometry::Path{} : line->path;
    }
    if (outline.empty()) return {};
    const auto inner = geometry::parallel(outline, geometry::Side::left, seam.edging_width_mm);
    return inner.paths.empty() ? geometry::Path{} : geometry::main_path(inner.paths);
}

}  // namespace

SeamLine seam_line(const edit::OpenJob& job, std::size_t index) {
    const plan::Plan& plan = job.plan();
    if (index < plan.seams.size()) {
        const plan::SeamPlan& seam = plan.seams[index];
        return {seam.drawn.path, seam.in_wood, &seam};
    }
    SeamLine line;
    try {
        const job::Seam& asked = job.document().job.seams.at(index);
        line.whole = drawn_alone(asked, plan.outline);
        line.in_wood = line.whole;
        if (line.whole.empty() || line.whole.closed || plan.outline.empty()) return line;
        auto cut = geometry::split({plan.outline, {}}, {line.whole});
        if (auto* split = std::get_if<geometry::Split>(&cut)) line.in_wood = std::move(split->trimmed.front());
        return line;
    } catch (const std::runtime_error&) {
        // Beyond the arithmetic: the plan has said so, and what there is of the line is shown.
        return line;
    }
}

}  // namespace seamwright::screen
