#pragma once

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "edit/open_job.h"
#include "job/job_files.h"
#include "screen/screen.h"

namespace seamwright::screen::testing {

using Json = nlohmann::json;

inline const std::vector<std::string>& example_names() {
    static const std::vector<std::string> names{"hall-console", "bench-top", "round-table"};
    return names;
}

inline std::string example_text(const std::string& name) {
    return job::testing::slurp(job::testing::source("examples/" + name + ".json"));
}

inline edit::OpenJob opened(const std::string& text) {
    auto open = edit::OpenJob::open(text);
    if (auto* refused = std::get_if<edit::Refused>(&open)) {
        std::string all;
        for (const auto& p : refused->problems) all += job::show(p) + '\n';
        throw std::runtime_error(all);
    }
    return std::get<edit::OpenJob>(std::move(open));
}

inline edit::OpenJob example(const std::string& name) {
    return opened(example_text(name));
}

inline Json screen_of(const edit::OpenJob& job, bool live = false, std::optional<std::size_t> looks_at = {}) {
    Around around;
    around.id = 7;
    around.version = 3;
    around.live = live;
    around.looks_at = looks_at;
    around.undo = "Pin 3 of front seam moved";
    return Json::parse(write_screen(job, around));
}

/// An example with one value changed by its pointer.
inline std::string changed(const std::string& name, const std::string& pointer, const Json& value) {
    nlohmann::ordered_json tree = nlohmann::ordered_json::parse(example_text(name));
    tree[nlohmann::ordered_json::json_pointer(pointer)] = nlohmann::ordered_json::parse(value.dump());
    return tree.dump(2);
}

}  // namespace seamwright::screen::testing
