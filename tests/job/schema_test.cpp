#include <gtest/gtest.h>

#include <array>
#include <cstdio>

#include "job_files.h"
#include "source_folder.h"

// The published schema against the same case files as the program's own checks, by an independent validator of JSON
// Schema 2020-12 (Debian: python3-jsonschema).
namespace seamwright::job::testing {
namespace {

/// What the program writes of every accepted case, for the validator.
std::filesystem::path written_cases() {
    const std::filesystem::path folder = ::testing::TempDir() + "seamwright_written_cases";
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder);
    for (const auto& entry : std::filesystem::directory_iterator(source("tests/cases/job/good"))) {
        if (entry.path().extension() != ".json") continue;
        const Reading reading = read(slurp(entry.path()));
        if (reading.document) std::ofstream(folder / entry.path().filename()) << write_document(*reading.document);
    }
    return folder;
}

TEST(Schema, AgreesWithTheReaderOnEveryCase) {
    const std::filesystem::path written = written_cases();
    const std::string command = "python3 -W ignore " + source("tests/job/validate_cases.py").string() + " " +
                                source_folder() + " " + written.string() + " 2>&1";
    FILE* pipe = popen(command.c_str(), "r");
    ASSERT_NE(pipe, nullptr);
    std::string said;
    std::array<char, 4096> buffer{};
    while (const std::size_t got = std::fread(buffer.data(), 1, buffer.size(), pipe)) said.append(buffer.data(), got);
    EXPECT_EQ(pclose(pipe), 0) << said << "\n(needs the package python3-jsonschema)";
    std::filesystem::remove_all(written);
    EXPECT_NE(said.find("cases agree"), std::string::npos) << said;
}

TEST(Schema, IsCompiledInUnchanged) {
    EXPECT_EQ(document_schema(), slurp(source("schema/job.schema.json")));
}

}  // namespace
}  // namespace seamwright::job::testing
