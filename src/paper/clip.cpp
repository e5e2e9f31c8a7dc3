#include "clip.h"

#include <algorithm>

namespace seamwright::paper {

namespace {

bool holds(const geometry::Box& box, geometry::Point p) {
    return p.x >= box.low.x && p.x <= box.high.x && p.y >= box.low.y && p.y <= box.high.y;
}

}  // namespace

std::vector<geometry::Path> clipped(const geometry::Path& path, const geometry::Box& box) {
    const geometry::Path frame = geometry::rectangle(box.low, box.high);
    std::vector<geometry::Path> out;
    bool whole = true;      // nothing has been left out so far
    bool going_on = false;  // the piece before was kept to its end
    bool first_from_start = false;
    const auto keep = [&](const geometry::Segment& s, bool from_start) {
        if (!going_on) {
            if (out.empty()) first_from_start = from_start;
            out.emplace_back();
        }
        out.back().segments.push_back(s);
        going_on = true;
    };
    const auto leave = [&] {
        whole = false;
        going_on = false;
    };
    for (std::size_t i = 0; i < path.segments.size(); ++i) {
        const auto& s = path.segments[i];
        std::vector<double> cuts{0.0, 1.0};
        for (const auto& side : frame.segments) {
            for (const auto& c : geometry::crossings(s, side)) cuts.push_back(std::clamp(c.u, 0.0, 1.0));
        }
        std::ranges::sort(cuts);
        for (std::size_t k = 0; k + 1 < cuts.size(); ++k) {
            if (!(cuts[k] < cuts[k + 1])) continue;
            if (holds(box, geometry::point_at(s, 0.5 * (cuts[k] + cuts[k + 1])))) {
                keep(geometry::part(s, cuts[k], cuts[k + 1]), i == 0 && k == 0);
            } else {
                leave();
            }
        }
    }
    if (whole) {
        for (auto& p : out) p.closed = path.closed;
        return out;
    }
    // A closed path whose start lies inside: its last stretch leads on into the first.
    if (path.closed && going_on && first_from_start && out.size() > 1) {
        geometry::Path joined = std::move(out.back());
        out.pop_back();
        joined.segments.insert(joined.segments.end(), out.front().segments.begin(), out.front().segments.end());
        out.front() = std::move(joined);
    }
    return out;
}

}  // namespace seamwright::paper
