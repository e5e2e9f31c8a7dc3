// Any bytes as path data. The first byte chooses the scale and which way y runs. Besides memory errors this looks for:
// paths with gaps, numbers that are none, a bound beyond the one asked for, refusals outside the text, and drawing that
// changes what was read.

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
    const double scale = (choice & 2U) != 0 ? 25.4 : 1.0;
    const std::string_view text(reinterpret_cast<const char*>(data + 1), size - 1);
    constexpr double within_mm = 0.01;
    const auto read = curves::read_svg_path(text, scale, (choice & 1U) != 0, within_mm);
    if (const auto* problem = std::get_if<curves::ImportProblem>(&read)) {
        promise(problem->at <= text.size());
        promise(problem->line >= 1);
        promise(!problem->found.empty() && !problem->allowed.empty() && !problem->remedy.empty());
        return 0;
    }
    const auto& imported = std::get<curves::Imported>(read);
    promise(!imported.path.empty());
    promise(imported.bound_mm >= 0.0 && imported.bound_mm <= within_mm);
    promise(geometry::largest_break_mm(imported.path) == 0.0);
    for (const auto& s : imported.path.segments) {
        promise(std::isfinite(s.start.x) && std::isfinite(s.start.y) && std::isfinite(s.end.x) &&
                std::isfinite(s.end.y));
        promise(s.is_line() || (s.radius_mm > 0.0 && std::isfinite(s.centre.x) && std::isfinite(s.centre.y) &&
                                std::abs(s.sweep_rad) > 0.0 && std::abs(s.sweep_rad) < 2.0 * geometry::pi));
    }
    const auto drawn = curves::draw(imported);
    if (const auto* done = std::get_if<curves::Drawn>(&drawn)) promise(done->path == imported.path);
    return 0;
}
