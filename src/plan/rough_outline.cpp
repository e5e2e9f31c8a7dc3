#include "rough_outline.h"

#include <algorithm>

#include "process/rough_wood.h"

namespace seamwright::plan {
namespace {

bool holds(const Path& path, const geometry::Segment& s) {
    return std::find(path.segments.begin(), path.segments.end(), s) != path.segments.end();
}

}  // namespace

std::vector<Bordering> bordering(const Plan& plan, const PiecePlan& piece) {
    std::vector<Bordering> out;
    for (std::size_t i = 0; i < plan.seams.size(); ++i) {
        const Path& seam = plan.seams[i].in_wood;
        if (seam.empty()) continue;
        // Seams stand in the edges of their pieces bit for bit, forwards in that of the piece on their left.
        const geometry::Segment& one = seam.segments[seam.segments.size() / 2];
        const geometry::Segment back = geometry::reversed(one);
        std::vector<const Path*> edges{&piece.region.outer};
        for (const Path& hole : piece.region.holes) edges.push_back(&hole);
        for (const Path* edge : edges) {
            if (holds(*edge, one)) out.push_back({i, true});
            if (holds(*edge, back)) out.push_back({i, false});
        }
    }
    return out;
}

Path rough_outline(const Plan& plan, const PiecePlan& piece, double longer_mm) {
    std::vector<Path> seams;
    for (const Bordering& b : bordering(plan, piece)) seams.push_back(plan.seams[b.seam].in_wood);
    return process::longer_at_ends(piece.region.outer, seams, piece.grain_rad, longer_mm);
}

}  // namespace seamwright::plan
