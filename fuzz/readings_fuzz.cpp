// Any bytes as gauge readings. The first byte chooses the units. Besides memory errors this looks for: readings out of
// order or out of range, lines that are not in the text, refusals without words; and lays short ones on an edge.

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "curves/as_made.h"
#include "promise.h"

using namespace seamwright;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const unsigned choice = data[0];
    curves::ReadingUnits units;
    if ((choice & 1U) != 0) units.position_mm = (choice & 2U) != 0 ? 25.4 : 1.0;
    if ((choice & 4U) != 0) units.deviation_mm = (choice & 8U) != 0 ? 0.01 : 1.0;
    const std::string_view text(reinterpret_cast<const char*>(data + 1), size - 1);
    const auto read = curves::read_readings(text, units);
    if (const auto* problem = std::get_if<curves::ImportProblem>(&read)) {
        promise(problem->at <= text.size());
        promise(problem->line >= 1);
        promise(!problem->found.empty() && !problem->allowed.empty() && !problem->remedy.empty());
        return 0;
    }
    const auto& readings = std::get<std::vector<curves::Reading>>(read);
    promise(readings.size() >= 3);
    const auto lines = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n') +
                                                std::count(text.begin(), text.end(), '\r') + 1);
    for (std::size_t i = 0; i < readings.size(); ++i) {
        promise(readings[i].at_mm >= 0.0 && std::isfinite(readings[i].at_mm));
        promise(std::abs(readings[i].height_mm) <= curves::most_deviation_mm);
        promise(readings[i].line >= 1 && readings[i].line <= lines);
        promise(i == 0 || readings[i].at_mm > readings[i - 1].at_mm);
    }
    // A short edge keeps the work of one input small.
    constexpr double edge_mm = 400.0;
    if (readings.back().at_mm > edge_mm) return 0;
    geometry::Path edge;
    edge.segments.push_back(geometry::arc_about({0.0, 900.0}, {0.0, 0.0}, edge_mm / 900.0));
    const auto made = curves::as_made(edge, readings, {});
    if (const auto* problem = std::get_if<curves::FairProblem>(&made)) {
        promise(!problem->reason.empty() && !problem->remedy.empty());
        return 0;
    }
    const auto& as_made = std::get<curves::AsMade>(made);
    promise(as_made.map.heights.size() == readings.size());
    for (const auto& removal : as_made.sanding.removal)
        promise(removal.depth_mm >= 0.0 && std::isfinite(removal.depth_mm));
    for (const auto& spot : as_made.map.spots) promise(spot.from_mm <= spot.at_mm && spot.at_mm <= spot.to_mm);
    for (const auto& s : as_made.measured.segments) promise(std::isfinite(s.end.x) && std::isfinite(s.end.y));
    return 0;
}
