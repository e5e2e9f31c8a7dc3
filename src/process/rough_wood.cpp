#include "process/rough_wood.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "geometry/path_index.h"

namespace seamwright::process {
namespace {

using geometry::Segment;

constexpr double faces_within_rad = geometry::pi / 3.0;

/// A stretch of the edge and which way along the fibres it faces: +1, −1, or 0 for a side.
struct Stretch {
    Segment segment;
    int faces = 0;
};

double outward_heading(const Segment& s, double u) {
    return geometry::heading(geometry::right_of(geometry::tangent_at(s, u)));
}

int facing(const Segment& s, double u, double along_rad) {
    const double off = std::abs(geometry::wrap_pi(outward_heading(s, u) - along_rad));
    if (off <= faces_within_rad) return 1;
    return off >= geometry::pi - faces_within_rad ? -1 : 0;
}

bool is_of(const Segment& s, std::span<const Path> seams) {
    return std::any_of(seams.begin(), seams.end(), [&](const Path& seam) {
        return std::any_of(seam.segments.begin(), seam.segments.end(),
                           [&](const Segment& t) { return t == s || geometry::reversed(t) == s; });
    });
}

/// An arc turns evenly, so it starts or ceases to face along the fibres at known fractions of its length.
std::vector<double> turns_of(const Segment& s, double along_rad) {
    std::vector<double> out{0.0};
    if (s.is_arc()) {
        const double first = outward_heading(s, 0.0) - along_rad;
        for (const double limit : {faces_within_rad, geometry::pi - faces_within_rad}) {
            for (const double sign : {1.0, -1.0}) {
                const double turn = s.sweep_rad > 0.0 ? geometry::wrap_two_pi(sign * limit - first)
                                                      : -geometry::wrap_two_pi(first - sign * limit);
                const double u = turn / s.sweep_rad;
                if (u > 0.0 && u < 1.0) out.push_back(u);
            }
        }
        std::sort(out.begin(), out.end());
    }
    out.push_back(1.0);
    return out;
}

}  // namespace

Path longer_at_ends(const Path& finished, std::span<const Path> seams, double along_rad, double by_mm) {
    if (!(by_mm > 0.0) || finished.empty()) return finished;
    std::vector<Stretch> stretches;
    for (const Segment& s : finished.segments) {
        if (is_of(s, seams)) {
            stretches.push_back({s, 0});
            continue;
        }
        const std::vector<double> at = turns_of(s, along_rad);
        for (std::size_t i = 0; i + 1 < at.size(); ++i) {
            if (at[i + 1] <= at[i]) continue;
            stretches.push_back({geometry::part(s, at[i], at[i + 1]), facing(s, 0.5 * (at[i] + at[i + 1]), along_rad)});
        }
    }
    const Point out = by_mm * geometry::unit(along_rad);
    Path longer;
    longer.closed = true;
    for (std::size_t i = 0; i < stretches.size(); ++i) {
        const Stretch& now = stretches[i];
        const int next = stretches[(i + 1) % stretches.size()].faces;
        Path one;
        one.segments = {now.segment};
        longer.segments.push_back(geometry::moved(one, now.faces * out).segments.front());
        if (next == now.faces) continue;
        const Point corner = now.segment.end;
        longer.segments.push_back(geometry::line(corner + now.faces * out, corner + next * out));
    }
    bool tangled = false;
    const geometry::PathIndex index(longer);
    geometry::visit_self_crossings(index, [&](const geometry::PathCrossing&) {
        tangled = true;
        return false;
    });
    return tangled ? finished : longer;
}

}  // namespace seamwright::process
