#include "trace_words.h"

#include <fmt/format.h>

#include "plan/words.h"

namespace seamwright::app {

TraceWords words_of(const trace::Trace& found, bool scan, const units::LengthStyle& style) {
    const auto thin = [&](double mm) { return plan::words::thin_text(mm, style.unit); };
    TraceWords words;
    words.line = fmt::format("A {}line of {}.", found.closed ? "closed " : "", units::show(found.length_mm, style));
    std::size_t marks = 0;
    for (const trace::Overlay& picture : found.pictures) marks += picture.marks.size();
    if (!found.pictures.empty()) {
        const trace::Overlay& first = found.pictures.front();
        words.picture =
            fmt::format("{}{} × {} pixels, {} each on the bench", found.pictures.size() > 1 ? "the first " : "",
                        first.width_px, first.height_px, thin(found.mm_per_px));
    }
    if (marks > 0) {
        words.marks = fmt::format("{}; they agree within {:.2f} pixels, {:.2f} at worst ({} on the bench)",
                                  plan::words::times(marks, "mark", "marks"), found.residual_px,
                                  found.worst_residual_px, thin(found.worst_residual_px * found.mm_per_px));
    }
    words.trust = fmt::format(
        "within {} from place to place (over a hand's breadth), within {} over its whole length; 95 "
        "in 100 such pictures are that good",
        thin(found.near_mm), thin(found.overall_mm));
    words.uses = trace::uses_of(found.near_mm, found.overall_mm, scan);
    return words;
}

}  // namespace seamwright::app
