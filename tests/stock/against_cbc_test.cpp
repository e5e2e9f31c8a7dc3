// Small stacks written down as integer programs and solved by CBC (COIN-OR branch and cut): every way an item may lie
// on a grid is one unknown, every cell of a board is covered once at most (J. Beasley, Oper. Res. 33 (1985) 49; from
// memory). Lengths are chosen so that the best answer lies on the grid: items end a kerf before a grid line, boards
// too, and defects reach over to the next, so an item that is pushed left and down until it touches something stays on
// it.

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "stacks.h"

namespace seamwright::stock {
namespace {

constexpr double kerf = 3.0, along = 100.0, across = 20.0;

struct Cells {
    int length = 0, width = 0;
};
struct Stack {
    std::vector<Cells> items, boards;
    std::vector<std::vector<std::pair<int, int>>> spots;  ///< on each board, the cell each fills
    std::vector<int> prices;
};

Stack stack_of(unsigned seed) {
    Pick picked(seed);
    const auto pick = [&](int low, int high) { return static_cast<int>(picked(low, high)); };
    Stack out;
    const int boards = pick(3, 5), items = pick(4, 6);
    for (int b = 0; b < boards; ++b) {
        out.boards.push_back({pick(7, 12), pick(3, 7)});
        out.prices.push_back(out.boards.back().length * out.boards.back().width + pick(0, 12));
        auto& spots = out.spots.emplace_back();
        for (int n = pick(0, 2); n > 0; --n)
            spots.emplace_back(pick(0, out.boards.back().length - 1), pick(0, out.boards.back().width - 1));
    }
    for (int i = 0; i < items; ++i) out.items.push_back({pick(2, 8), pick(1, 4)});
    return out;
}

/// Nothing where no way of laying all items exists.
std::optional<double> least_by_cbc(const Stack& stack, unsigned number) {
    std::ostringstream cost, rows;
    std::vector<std::string> unknowns;
    std::vector<std::ostringstream> once(stack.items.size());
    for (std::size_t b = 0; b < stack.boards.size(); ++b) {
        cost << " + " << stack.prices[b] << " b" << b;
        unknowns.push_back("b" + std::to_string(b));
        const Cells board = stack.boards[b];
        std::vector<std::ostringstream> cells(static_cast<std::size_t>(board.length * board.width));
        for (std::size_t i = 0; i < stack.items.size(); ++i) {
            const Cells item = stack.items[i];
            for (int x = 0; x + item.length <= board.length; ++x) {
                for (int y = 0; y + item.width <= board.width; ++y) {
                    bool good = true;
                    for (const auto& [p, q] : stack.spots[b])
                        good = good && (p < x || p >= x + item.length || q < y || q >= y + item.width);
                    if (!good) continue;
                    std::ostringstream name;
                    name << "x" << i << "_" << b << "_" << x << "_" << y;
                    unknowns.push_back(name.str());
                    once[i] << " + " << name.str();
                    for (int p = x; p < x + item.length; ++p)
                        for (int q = y; q < y + item.width; ++q)
                            cells[static_cast<std::size_t>(p * board.width + q)] << " + " << name.str();
                }
            }
        }
        for (const auto& cell : cells)
            if (!cell.str().empty()) rows << cell.str() << " - b" << b << " <= 0\n";
    }
    const auto folder = std::filesystem::temp_directory_path();
    const auto program = folder / ("seamwright_cbc_" + std::to_string(number) + ".lp");
    const auto answer = folder / ("seamwright_cbc_" + std::to_string(number) + ".txt");
    std::ofstream file(program);
    file << "Minimize\n" << cost.str() << "\nSubject To\n" << rows.str();
    for (const auto& row : once) {
        if (row.str().empty()) return std::nullopt;
        file << row.str() << " = 1\n";
    }
    file << "Binary\n";
    for (const std::string& name : unknowns) file << name << "\n";
    file << "End\n";
    file.close();
    const std::string command = "cbc " + program.string() + " solve solution " + answer.string() + " > /dev/null";
    if (std::system(command.c_str()) != 0)
        throw std::runtime_error("cbc does not run: tools/install.sh test installs coinor-cbc");
    std::ifstream read(answer);
    std::string first;
    std::getline(read, first);
    std::filesystem::remove(program);
    std::filesystem::remove(answer);
    if (first.find("nfeasible") != std::string::npos) return std::nullopt;
    const std::string words = "Optimal - objective value ";
    if (first.rfind(words, 0) != 0) throw std::runtime_error("cbc says: " + first);
    return std::stod(first.substr(words.size()));
}

TEST(PlacingAgainstCbc, TheSameCostAndProved) {
    int impossible = 0, proved = 0, counted = 0;
    for (unsigned seed = 8; seed <= 19; ++seed) {
        const Stack stack = stack_of(seed);
        std::vector<shelf::Board> boards;
        std::vector<Item> items;
        for (std::size_t b = 0; b < stack.boards.size(); ++b) {
            shelf::Board& board = boards.emplace_back(stock::board(
                "b" + std::to_string(b), along * stack.boards[b].length - kerf, across * stack.boards[b].width - kerf));
            board.price = stack.prices[b];
            for (const auto& [p, q] : stack.spots[b]) {
                shelf::Defect spot;
                const double left = along * p - kerf, right = along * (p + 1), low = across * q - kerf,
                             high = across * (q + 1);
                spot.outline = {{left, low}, {right, low}, {right, high}, {left, high}};
                board.defects.push_back(spot);
            }
        }
        for (std::size_t i = 0; i < stack.items.size(); ++i) {
            const Cells cells = stack.items[i];
            items.push_back(
                item("p" + std::to_string(i), rectangle(along * cells.length - kerf, across * cells.width - kerf)));
        }
        Settings settings;
        settings.kerf_mm = kerf;
        const std::optional<double> least = least_by_cbc(stack, seed);
        const Placing placing = place(items, boards, settings);
        if (!least) {
            ++impossible;
            EXPECT_FALSE(placing.unplaced.empty()) << seed;
            continue;
        }
        ++counted;
        EXPECT_TRUE(placing.unplaced.empty()) << seed;
        expect_good(placing, items, boards, settings);
        EXPECT_LE(placing.least_cost, *least + 1e-6) << seed;
        EXPECT_NEAR(placing.cost, *least, 1e-6) << seed;
        if (placing.proved) ++proved;
    }
    EXPECT_GE(counted, 6);
    EXPECT_GE(impossible, 1);
    EXPECT_EQ(proved, counted);
}

}  // namespace
}  // namespace seamwright::stock
