#pragma once
// Standard types only: the source is compiled as C++17 (see CMakeLists.txt), the rest of the house is C++20.

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace seamwright::paper {

/// A page of the finished file, made from a page of a drawn one. Sizes in units of the page, 1/72 in · unit.
struct FilePage {
    std::size_t page = 0;  ///< of the drawn file
    double width = 0.0, height = 0.0;
    int unit = 1;
    /// Instructions before and after the page's own contents.
    std::string before, after;
    /// A page of the drawn file that `before` shows as /Drawing.
    std::optional<std::size_t> drawing;
    std::string label;                   ///< what readers show instead of the page number
    std::vector<std::string> bookmarks;  ///< entries of the outline that lead here
};

/// The file with these pages, an outline, page labels and a title. Pages of the drawn file that are not among them are
/// dropped. No dates; the file's id follows from its contents. Texts are UTF-8.
/// @throws std::exception where `drawn_file` is not a PDF.
std::string write_pdf(const std::string& drawn_file, const std::vector<FilePage>& pages, const std::string& title);

}  // namespace seamwright::paper
