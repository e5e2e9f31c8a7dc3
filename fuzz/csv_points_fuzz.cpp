// Any bytes as points. The first byte chooses the scale and whether the path is closed. Besides memory errors this
// looks for: numbers that are none, neighbours at one place, paths with gaps, refusals outside the text.

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "curves/import.h"
#include "promise.h"

using namespace seamwright;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const unsigned choice = data[0];
    const bool closed = (choice & 1U) != 0;
    const std::string_view text(reinterpret_cast<const char*>(data + 1), size - 1);
    const auto read = curves::read_csv_points(text, (choice & 2U) != 0 ? 25.4 : 1.0, closed);
    if (const auto* problem = std::get_if<curves::ImportProblem>(&read)) {
        promise(problem->at <= text.size());
        promise(problem->line >= 1);
        promise(!problem->found.empty() && !problem->allowed.empty() && !problem->remedy.empty());
        return 0;
    }
    const auto& imported = std::get<curves::Imported>(read);
    promise(!imported.path.empty());
    promise(imported.bound_mm == 0.0);
    promise(!closed || imported.path.closed);
    promise(geometry::largest_break_mm(imported.path) == 0.0);
    for (const auto& s : imported.path.segments) {
        promise(s.is_line() && s.start != s.end);
        promise(std::isfinite(s.start.x) && std::isfinite(s.start.y));
    }
    return 0;
}
