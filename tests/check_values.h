#pragma once

#include <charconv>
#include <cmath>
#include <fstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "source_folder.h"

// Rows of tests/data/check_values.csv: analytic and published values, each with its own source and provenance. Where a
// value is from memory the provenance column says so, and that it was verified numerically.
namespace seamwright::testing {

struct CheckValue {
    std::string topic, quantity, inputs, source, provenance;
    double value = 0.0;
};

inline std::vector<std::string> csv_fields(const std::string& line) {
    std::vector<std::string> fields(1);
    bool quoted = false;
    for (const char c : line) {
        if (c == '"') {
            quoted = !quoted;
        } else if (c == ',' && !quoted) {
            fields.emplace_back();
        } else {
            fields.back() += c;
        }
    }
    return fields;
}

/// All rows of a topic whose quantity begins with `quantity`. Throws when there is none: a test without rows is no
/// test.
inline std::vector<CheckValue> check_values(const std::string& topic, const std::string& quantity = "") {
    std::ifstream file(source_folder() + "/tests/data/check_values.csv");
    std::vector<CheckValue> rows;
    std::string line;
    while (std::getline(file, line)) {
        const auto f = csv_fields(line);
        if (f.size() < 8 || f[0] != topic || f[1].rfind(quantity, 0) != 0) continue;
        CheckValue row{f[0], f[1], f[2], f[6], f[7], 0.0};
        std::from_chars(f[3].data(), f[3].data() + f[3].size(), row.value);
        rows.push_back(row);
    }
    if (rows.empty()) throw std::runtime_error("no rows of " + topic + " in tests/data/check_values.csv");
    return rows;
}

/// The number after "name=" in the inputs of a row.
inline double input(const CheckValue& row, const std::string& name) {
    const std::size_t at = row.inputs.find(name + "=");
    if (at == std::string::npos) throw std::runtime_error("no " + name + " in " + row.inputs);
    const char* from = row.inputs.data() + at + name.size() + 1;
    double value = 0.0;
    std::from_chars(from, row.inputs.data() + row.inputs.size(), value);
    return value;
}

}  // namespace seamwright::testing
