#pragma once

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "job/read.h"
#include "source_folder.h"

namespace seamwright::job::testing {

inline std::string slurp(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream bytes;
    bytes << file.rdbuf();
    return bytes.str();
}

inline std::filesystem::path source(const std::string& below) {
    return std::filesystem::path(source_folder()) / below;
}

inline std::optional<std::string> no_files(const std::string& /*name*/, std::string& why) {
    why = "there is no such file";
    return std::nullopt;
}

inline Reading read(std::string_view text) {
    return read_document(text, no_files);
}

inline std::string show_all(const std::vector<Problem>& problems) {
    std::string result;
    for (const Problem& problem : problems) result += show(problem) + "\n";
    return result;
}

/// A small job that is right, with one piece of text put in place of another.
inline std::string small_job(const std::string& instead_of = "", const std::string& put = "") {
    std::string text = R"({"seamwright": 1, "name": "Small", "unit": "mm",
 "top": {"thickness": 30, "outline": {"rectangle": {"length": 1000, "width": 400}}},
 "seams": [{"name": "seam", "kind": "open", "curve": {"straight": {"from": [-30, 200], "to": [1030, 200]}}}],
 "shelf": {"guides": [{"name": "G", "outside": 30, "barrel": 9}],
           "cutters": [{"name": "C", "diameter": 10, "cutting_length": 45, "shank": 8}]}})";
    if (!instead_of.empty()) {
        const std::size_t at = text.find(instead_of);
        if (at == std::string::npos) return "the small job has no " + instead_of;
        text.replace(at, instead_of.size(), put);
    }
    return text;
}

}  // namespace seamwright::job::testing
