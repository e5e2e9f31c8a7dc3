#include <algorithm>
#include <cmath>

#include "shelf/fibres.h"
#include "stock/placing.h"

namespace seamwright::stock {
namespace {

/// Cells in which some place has its fibres too far askew, row by row, as stretches of columns.
struct Askew {
    int columns = 0, rows = 0;
    double cell_x_mm = 0.0, cell_y_mm = 0.0;
    std::vector<char> bad;

    bool at(int i, int j) const {
        return bad[static_cast<std::size_t>(j) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(i)] != 0;
    }
};

Askew askew_cells(const shelf::Board& board, double turn_rad, double within_rad) {
    constexpr double cell_mm = 20.0, rounding = 1e-9;
    Askew out;
    out.columns = std::max(1, static_cast<int>(std::ceil(board.length_mm / cell_mm)));
    out.rows = std::max(1, static_cast<int>(std::ceil(board.width_mm / cell_mm)));
    out.cell_x_mm = board.length_mm / out.columns;
    out.cell_y_mm = board.width_mm / out.rows;
    const auto corners = static_cast<std::size_t>(out.columns) + 1;
    std::vector<char> bad(corners * (static_cast<std::size_t>(out.rows) + 1));
    for (int j = 0; j <= out.rows; ++j) {
        for (int i = 0; i <= out.columns; ++i) {
            const double fibres = shelf::fibres_rad(board, {out.cell_x_mm * i, out.cell_y_mm * j});
            bad[static_cast<std::size_t>(j) * corners + static_cast<std::size_t>(i)] =
                std::abs(std::remainder(fibres - turn_rad, geometry::pi)) > within_rad + rounding;
        }
    }
    for (int j = 0; j < out.rows; ++j) {
        for (int i = 0; i < out.columns; ++i) {
            const auto low = static_cast<std::size_t>(j) * corners + static_cast<std::size_t>(i);
            out.bad.push_back(bad[low] | bad[low + 1] | bad[low + corners] | bad[low + corners + 1]);
        }
    }
    return out;
}

/// A stretch of bad cells in one row or in several that have the same.
struct Patch {
    int from = 0, to = 0, low = 0, high = 0;
};
std::vector<Patch> patches_of(const Askew& cells) {
    std::vector<Patch> done, open;
    for (int j = 0; j <= cells.rows; ++j) {
        std::vector<Patch> row;
        for (int i = 0; j < cells.rows && i < cells.columns;) {
            if (!cells.at(i, j)) {
                ++i;
                continue;
            }
            int to = i;
            while (to < cells.columns && cells.at(to, j)) ++to;
            row.push_back({i, to, j, j + 1});
            i = to;
        }
        for (const Patch& before : open) {
            const auto same = std::find_if(row.begin(), row.end(),
                                           [&](const Patch& p) { return p.from == before.from && p.to == before.to; });
            if (same == row.end()) {
                done.push_back(before);
            } else {
                same->low = before.low;
            }
        }
        open = std::move(row);
    }
    return done;
}

}  // namespace

double turn_on(const shelf::Board& board, const Settings& settings) {
    const double slope = shelf::mean_fibres_rad(board);
    // Lines along the grain show how it wanders about the mean, which the limit is kept for.
    if (!board.grain_lines.empty()) return std::abs(slope) > 0.5 * settings.grain_within_rad ? slope : 0.0;
    const double beyond = std::abs(slope) - settings.grain_within_rad;
    return beyond > 0.0 ? std::copysign(beyond, slope) : 0.0;
}

std::vector<shelf::Defect> askew_fibres(const shelf::Board& board, double turn_rad, double within_rad) {
    std::vector<shelf::Defect> out;
    if (board.grain_lines.empty()) return out;
    const Askew cells = askew_cells(board, turn_rad, within_rad);
    for (const Patch& p : patches_of(cells)) {
        const double left = p.from * cells.cell_x_mm, right = p.to * cells.cell_x_mm;
        const double low = p.low * cells.cell_y_mm, high = p.high * cells.cell_y_mm;
        out.push_back({shelf::Defect::Kind::other,
                       shelf::Defect::Allowed::nowhere,
                       {},
                       0.0,
                       {{left, low}, {right, low}, {right, high}, {left, high}}});
    }
    return out;
}

}  // namespace seamwright::stock
