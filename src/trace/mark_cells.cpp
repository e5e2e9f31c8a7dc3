#include <stdexcept>
#include <string>

#include "mark_family.h"
#include "trace/marks.h"

namespace seamwright::trace {

std::array<std::array<bool, mark_cells_across>, mark_cells_across> mark_cells(int id) {
    if (id < 0 || id >= mark_count) throw std::invalid_argument("there is no mark " + std::to_string(id));
    static const MarkFamily family(tag36h11_create());
    std::array<std::array<bool, mark_cells_across>, mark_cells_across> black{};
    for (auto& row : black) row.fill(true);
    const std::uint64_t code = family->codes[id];
    for (std::uint32_t i = 0; i < family->nbits; ++i) {
        const bool white = ((code >> (family->nbits - 1 - i)) & 1U) != 0;
        black[family->bit_y[i]][family->bit_x[i]] = !white;
    }
    return black;
}

}  // namespace seamwright::trace
