// Writes an invented photograph to try `seamwright trace` with, and what was told about it:
//
//     sample_photo FILE.jpg [--seed N] [--edge] [--width PX]
//
// A bench of the tests' own with strips of marks and a line of 1.6 m. Prints the option --tape that goes with it.

#include <cstdio>
#include <cstring>
#include <fstream>
#include <string>

#include "camera.h"

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
    for (int i = 2; i < count; ++i) {
        if (std::strcmp(words[i], "--edge") == 0) usual.edge = true;
        if (i + 1 < count && std::strcmp(words[i], "--seed") == 0) seed = std::stoul(words[i + 1]);
        if (i + 1 < count && std::strcmp(words[i], "--width") == 0) {
            usual.width = std::stoi(words[i + 1]);
            usual.height = usual.width * 3 / 4;
        }
    }
    const UsualCase sample = usual_case(seed, usual);
    const auto file = jpeg_file(photograph(sample.bench, sample.camera, sample.light), 92);
    std::ofstream out(words[1], std::ios::binary);
    out.write(reinterpret_cast<const char*>(file.data()), static_cast<std::streamsize>(file.size()));
    if (!out.flush()) return 1;
    for (const Taped& taped : sample.taped)
        std::printf("--tape %d-%d=%.1f\n", taped.from_mark, taped.to_mark, taped.apart_mm);
    return 0;
}
