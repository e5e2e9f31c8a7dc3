#include <fmt/format.h>

#include "book_sections.h"
#include "cut_list.h"
#include "marks.h"
#include "text_size.h"
#include "units/length.h"

namespace seamwright::paper {

namespace {
const Stroke thin{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};
}  // namespace

std::vector<Drawing> cut_list_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Cut list", s.plan.name);
    const auto show = [&](double mm) { return units::show(mm, s.job.style); };
    pages.say(
        "As sawn roughly, with the wood left around and at the ends. Places are those of the lower left corner, "
        "from the left end and the near edge of the board.",
        TextPages::text_mm);
    pages.down(2.0);
    const double w = pages.width_mm(), left = TextPages::margin_mm;
    const double columns[] = {0.0, 0.30, 0.46, 0.60, 0.74, 0.84};
    const auto row = [&](const std::vector<std::string>& cells, bool bold) {
        pages.need(7.0);
        pages.down(5.2);
        for (std::size_t c = 0; c < cells.size(); ++c) {
            const double next = c + 1 < cells.size() ? columns[c + 1] : 1.0;
            Text text{{left + columns[c] * w, pages.y()}, cells[c], 2.8, 0.0, Text::Anchor::left, bold};
            while (text.height_mm > 1.8 && text_length_mm(text) > (next - columns[c]) * w - 1.0) text.height_mm *= 0.95;
            pages.page().texts.push_back(std::move(text));
        }
        pages.line({left, pages.y() - 1.6}, {left + w, pages.y() - 1.6}, thin);
    };
    row({"Part", "Board", "Length", "Width", "Thick", "From left, near"}, true);
    for (const CutLine& line : cut_list(s)) {
        row({line.part + (line.over ? ", face down" : "") + (line.turned ? ", turned" : ""),
             line.board.empty() ? "not laid yet" : line.board, show(line.length_mm), show(line.width_mm),
             show(line.thickness_mm),
             line.from ? fmt::format("{}, {}", show(line.from->x), show(line.from->y)) : std::string("–")},
            false);
    }
    return pages.finish();
}

}  // namespace seamwright::paper
