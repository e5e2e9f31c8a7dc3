#pragma once

// Within the room: spans that follow each other, each with its start's heading, seen as one run.

#include <algorithm>
#include <vector>

#include "geometry/point.h"

namespace seamwright::curves {

template <class Span>
struct LaidSpans {
    std::vector<Span> spans;
    std::vector<double> from_mm{0.0};  // length to the start of each span, and the whole length last
    std::vector<double> turn_rad;      // added to each span's heading, so that headings run on without jumps

    explicit LaidSpans(const std::vector<Span>& all) : spans(all) {
        double turn = 0.0;
        for (std::size_t i = 0; i < spans.size(); ++i) {
            if (i > 0) {
                const double ends_at = spans[i - 1].heading(spans[i - 1].length_mm) + turn;
                turn = ends_at + geometry::wrap_pi(spans[i].heading_rad - ends_at) - spans[i].heading_rad;
            }
            turn_rad.push_back(turn);
            from_mm.push_back(from_mm.back() + spans[i].length_mm);
        }
    }

    std::size_t span_at(double t) const {
        const auto after = std::upper_bound(from_mm.begin() + 1, from_mm.end() - 1, t);
        return static_cast<std::size_t>(after - from_mm.begin()) - 1;
    }
};

}  // namespace seamwright::curves
