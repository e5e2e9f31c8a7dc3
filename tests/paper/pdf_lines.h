#pragma once

// Reads a PDF back the way a printer does: follows its drawing operators through every matrix, and gives the lines in
// millimetres on the paper. Shares nothing with the code under test but the library that unpacks the file.

#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

namespace seamwright::paper::test {

struct PaperPoint {
    double x = 0.0, y = 0.0;
};

struct PdfLine {
    PaperPoint a, b;
    bool in_drawing = false;  ///< inside a form, that is part of the work and not of the frame
    double length() const { return std::hypot(b.x - a.x, b.y - a.y); }
    bool level() const { return std::abs(b.y - a.y) < 1e-4; }
    bool upright() const { return std::abs(b.x - a.x) < 1e-4; }
    PaperPoint middle() const { return {0.5 * (a.x + b.x), 0.5 * (a.y + b.y)}; }
};

struct PdfCurve {
    std::array<PaperPoint, 4> p;
};

struct PdfPage {
    double width_mm = 0.0, height_mm = 0.0;
    double media_width_pt = 0.0, media_height_pt = 0.0;
    int user_unit = 1;
    std::vector<PdfLine> lines;
    std::vector<PdfCurve> curves;
    std::vector<std::array<PaperPoint, 2>> clips;  ///< low and high corner of each clip rectangle
};

std::vector<PdfPage> read_pages(const std::string& bytes);

struct PdfBookmark {
    std::string title;
    std::size_t page = 0;  ///< where it leads, from 0
};

/// What a reader shows beside the pages.
struct PdfGuide {
    std::size_t pages = 0;
    std::vector<PdfBookmark> bookmarks;
    std::vector<std::string> labels;
};

PdfGuide read_guide(const std::string& bytes);

}  // namespace seamwright::paper::test
