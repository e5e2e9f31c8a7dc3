#include "seam_kind.h"

#include <algorithm>

#include "draw.h"

namespace seamwright::edit {
namespace {

/// The middle of a seam, or of the top.
Point middle_of(Bench& bench, const Steps& seam) {
    const auto index = index_of(seam.back());
    const auto& seams = bench.document().job.seams;
    geometry::Box box = geometry::bounding_box(bench.outline());
    if (index && *index < seams.size() && seams[*index].kind != job::SeamKind::edging) {
        if (const auto line = drawn(seams[*index].curve)) {
            const geometry::Box own = geometry::bounding_box(line->path);
            const Point middle = geometry::midpoint(own.low, own.high);
            return {std::clamp(middle.x, box.low.x, box.high.x), std::clamp(middle.y, box.low.y, box.high.y)};
        }
    }
    return geometry::midpoint(box.low, box.high);
}

}  // namespace

void change_kind(Bench& bench, const Steps& seam, const Json& kind) {
    const Json* group = find(bench.tree(), seam);
    if (group == nullptr) refuse(pointer_of(seam), "no such seam", "a seam of the job", "load the page anew");
    const Json* there = find(*group, {"kind"});
    if (there != nullptr && *there == kind) return;
    if (bench.outline().empty()) {
        refuse(pointer_of(seam / "kind"), "a top whose outline cannot be drawn", "an outline to lay the seam out on",
               "put the outline right first");
    }
    const Ruler ruler = bench.ruler();
    const Point middle = middle_of(bench, seam);
    const geometry::Box box = geometry::bounding_box(bench.outline());
    Json curve = Json::object(), width;
    if (kind == "open") {
        const Ends ends = laid_across(bench.field(), middle.y);
        curve["straight"] = {{"from", ruler.written(ends.from)}, {"to", ruler.written(ends.to)}};
    } else if (kind == "inlay") {
        curve["oval"] = {{"centre", ruler.written(middle)},
                         {"length", ruler.written(ruler.about(inlay_part * box.width_mm()))},
                         {"width", ruler.written(ruler.about(inlay_part * box.height_mm()))}};
    } else if (kind == "edging") {
        width = ruler.written(ruler.about(edging_part * std::min(box.width_mm(), box.height_mm())));
    }
    Json& changed = *find(bench.change(), seam);
    changed["kind"] = kind;
    changed.erase("eased");
    if (!curve.empty()) changed["curve"] = std::move(curve);
    if (kind == "edging") {
        changed.erase("curve");
        changed.erase("stick");
        changed["width"] = std::move(width);
    } else {
        changed.erase("width");
    }
}

}  // namespace seamwright::edit
