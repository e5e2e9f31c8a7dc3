#pragma once

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>
#include <string>

#include "edit/open_job.h"

namespace edit_jobs {

inline std::string example(const std::string& name) {
    std::ifstream file(std::string(SEAMWRIGHT_SOURCE_DIR) + "/examples/" + name + ".json", std::ios::binary);
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

}  // namespace edit_jobs
