#include <gtest/gtest.h>

#include <array>
#include <cstdio>

#include "job_files.h"

// The published schema against the same case files as the program's own checks, by an independent validator of JSON
// Schema 2020-12 (Debian: python3-jsonschema).
namespace seamwright::job::testing {
namespace {

TEST(Schema, AgreesWithTheReaderOnEveryCase) {
    const std::string command = "python3 -W ignore " + source("tests/job/validate_cases.py").string() + " " +
                                std::string(SEAMWRIGHT_SOURCE_DIR) + " 2>&1";
    FILE* pipe = popen(command.c_str(), "r");
    ASSERT_NE(pipe, nullptr);
    std::string said;
    std::array<char, 4096> buffer{};
    while (const std::size_t got = std::fread(buffer.data(), 1, buffer.size(), pipe)) said.append(buffer.data(), got);
    EXPECT_EQ(pclose(pipe), 0) << said << "\n(needs the package python3-jsonschema)";
    EXPECT_NE(said.find("cases agree"), std::string::npos) << said;
}

TEST(Schema, IsCompiledInUnchanged) {
    EXPECT_EQ(document_schema(), slurp(source("schema/job.schema.json")));
}

}  // namespace
}  // namespace seamwright::job::testing
