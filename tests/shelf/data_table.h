#pragma once

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>
#include <string>

#include "shelf/table.h"
#include "source_folder.h"

namespace seamwright::shelf {

/// A table from data/, read from the file and not from inside the program.
inline Table data_table(const std::string& name) {
    std::ifstream file(source_folder() + "/data/" + name, std::ios::binary);
    EXPECT_TRUE(file.good()) << name;
    std::ostringstream text;
    text << file.rdbuf();
    return built_in_table(name, text.str());
}

}  // namespace seamwright::shelf
