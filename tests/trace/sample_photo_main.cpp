// Writes an invented photograph to try `seamwright trace` with, and what was told about it:
//
//     sample_photo FILE.jpg [--seed N] [--edge] [--width PX]
//     sample_photo FILE.jpg --board [--width PX]
//
// A bench of the tests' own with strips of marks and a line of 1.6 m, or a board of 1700 × 220 mm between the strips.
// Prints the option --tape, or --corners, that goes with it.

#include <cstdio>
#include <cstring>
#include <fstream>
#include <string>

#include "camera.h"
#include "laid_board.h"

int main(int count, char** words) {
    using namespace seamwright::trace;
    if (count < 2) {
        std::fprintf(stderr, "sample_photo FILE.jpg [--seed N] [--edge] [--width PX]\n");
        return 2;
    }
    UsualSettings usual;
    usual.length_mm = 1600.0;
    usual.strips = 6;
    unsigned long seed = 4;
    bool board = false;
    for (int i = 2; i < count; ++i) {
        if (std::strcmp(words[i], "--edge") == 0) usual.edge = true;
        if (std::strcmp(words[i], "--board") == 0) board = true;
        if (i + 1 < count && std::strcmp(words[i], "--seed") == 0) seed = std::stoul(words[i + 1]);
        if (i + 1 < count && std::strcmp(words[i], "--width") == 0) {
            usual.width = std::stoi(words[i + 1]);
            usual.height = usual.width * 3 / 4;
        }
    }
    const auto write = [&](const Picture& picture) {
        const auto file = jpeg_file(picture, 92);
        std::ofstream out(words[1], std::ios::binary);
        out.write(reinterpret_cast<const char*>(file.data()), static_cast<std::streamsize>(file.size()));
        return static_cast<bool>(out.flush());
    };
    if (board) {
        LaidBoard laid = laid_board(1700.0, 220.0, 6, 0.0, held_above(usual.width, usual.height, 1700.0), 190.0);
        laid.bench.grain = 0.3;
        if (!write(photograph(laid.bench, laid.camera, {}))) return 1;
        std::printf("--corners");
        for (const Point p : laid.corners_px) std::printf(" %.1f,%.1f", p.x, p.y);
        std::printf("\n");
        return 0;
    }
    const UsualCase sample = usual_case(seed, usual);
    if (!write(photograph(sample.bench, sample.camera, sample.light))) return 1;
    for (const Taped& taped : sample.taped)
        std::printf("--tape %d-%d=%.1f\n", taped.from_mark, taped.to_mark, taped.apart_mm);
    return 0;
}
