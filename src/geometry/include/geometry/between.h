#pragma once

#include <algorithm>
#include <vector>

namespace seamwright::geometry {

/// The value between samples in order of at_mm, evenly from one to the next; beyond them the first or the last, and 0
/// without any.
template <class Sample, class Value>
double between_samples(const std::vector<Sample>& samples, double at_mm, const Value& value) {
    if (samples.empty()) return 0.0;
    const auto after = std::upper_bound(samples.begin(), samples.end(), at_mm,
                                        [](double at, const Sample& s) { return at < s.at_mm; });
    if (after == samples.begin()) return value(samples.front());
    if (after == samples.end()) return value(samples.back());
    const auto before = after - 1;
    const double span_mm = after->at_mm - before->at_mm;
    const double part = span_mm > 0.0 ? (at_mm - before->at_mm) / span_mm : 0.0;
    return value(*before) + part * (value(*after) - value(*before));
}

}  // namespace seamwright::geometry
