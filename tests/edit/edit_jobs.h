#pragma once

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <variant>
#include <vector>

#include "edit/open_job.h"
#include "source_folder.h"

namespace edit_jobs {

inline std::string example(const std::string& name) {
    std::ifstream file(source_folder() + "/examples/" + name + ".json", std::ios::binary);
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

inline seamwright::edit::OpenJob opened(const std::string& text) {
    auto result = seamwright::edit::OpenJob::open(text);
    if (const auto* refused = std::get_if<seamwright::edit::Refused>(&result)) {
        std::string problems;
        for (const auto& problem : refused->problems) problems += seamwright::job::show(problem) + "\n";
        throw std::runtime_error(problems + text);
    }
    return std::get<seamwright::edit::OpenJob>(std::move(result));
}

inline std::variant<seamwright::edit::OpenJob::Edited, seamwright::edit::Refused> try_edit(
    const seamwright::edit::OpenJob& job, const std::string& edits, const std::string& shop = {}) {
    return job.edited(edits, shop);
}

inline seamwright::edit::OpenJob::Edited edited(const seamwright::edit::OpenJob& job, const std::string& edits,
                                                const std::string& shop = {}) {
    auto result = try_edit(job, edits, shop);
    if (const auto* refused = std::get_if<seamwright::edit::Refused>(&result))
        throw std::runtime_error(edits + "\n" + seamwright::job::show(refused->problems.front()));
    return std::get<seamwright::edit::OpenJob::Edited>(std::move(result));
}

inline std::vector<seamwright::job::Problem> refused(const seamwright::edit::OpenJob& job, const std::string& edits) {
    auto result = try_edit(job, edits);
    if (const auto* refused = std::get_if<seamwright::edit::Refused>(&result)) return refused->problems;
    throw std::runtime_error("not refused: " + edits);
}

inline seamwright::edit::Handle handle(const seamwright::edit::OpenJob& job, const std::string& id) {
    for (const auto& one : job.outline_handles())
        if (one.id == id) return one;
    for (std::size_t i = 0; i < job.document().job.seams.size(); ++i) {
        for (const auto& one : job.seam_handles(i))
            if (one.id == id) return one;
    }
    throw std::runtime_error("no handle " + id);
}

inline std::string move_text(const std::string& id, seamwright::geometry::Point to, double mm_per_px, bool free) {
    std::ostringstream text;
    text.precision(17);
    text << R"([{"move": ")" << id << R"(", "to": [)" << to.x << ", " << to.y << R"(], "mm_per_px": )" << mm_per_px
         << R"(, "free": )" << (free ? "true" : "false") << "}]";
    return text.str();
}

inline void replace(std::string& text, const std::string& what, const std::string& by) {
    const auto at = text.find(what);
    if (at == std::string::npos) throw std::runtime_error("not in the text: " + what);
    text.replace(at, what.size(), by);
}

/// A shelf top of two boards along an arc; `size` is its radius or rise.
inline std::string one_arc(const std::string& size) {
    return R"({
  "seamwright": 1, "name": "Shelf top", "unit": "mm",
  "top": { "thickness": 28, "outline": { "rectangle": { "length": 1200, "width": 300 } } },
  "seams": [ { "name": "middle seam", "kind": "open", "curve": { "arc": {
    "from": [-40, 130], "to": [1240, 130], )" +
           size + R"(, "bulge": "left" } } } ],
  "pieces": [
    { "name": "front board", "at": [600, 20], "species": "Walnut, black" },
    { "name": "back board", "at": [600, 290], "species": "Ash, white" } ],
  "shelf": {
    "guides": [ { "name": "30 mm guide", "outside": 30, "barrel": 9, "bore": 27 } ],
    "cutters": [ { "name": "10 mm straight cutter", "diameter": 10, "cutting_length": 45, "shank": 8 } ]
  } })";
}

/// The same with a stick sprung between the two ends; `size` is its length or rise.
inline std::string one_stick(const std::string& size) {
    std::string text = one_arc(size);
    replace(text, R"("arc")", R"("sprung")");
    return text;
}

}  // namespace edit_jobs
