#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "plan_jobs.h"
#include "source_folder.h"

namespace seamwright::plan::testing {
namespace {

using job::testing::slurp;
using job::testing::source;

struct Said {
    int code = -1;
    std::string text;
};

Said run(const std::string& command) {
    FILE* pipe = popen((command + " 2>&1").c_str(), "r");
    if (pipe == nullptr) return {};
    Said said;
    std::array<char, 4096> buffer{};
    while (const std::size_t got = std::fread(buffer.data(), 1, buffer.size(), pipe))
        said.text.append(buffer.data(), got);
    said.code = pclose(pipe);
    return said;
}

class Folder {
  public:
    explicit Folder(const std::string& name) : path_(::testing::TempDir() + "seamwright_" + name) {
        std::filesystem::remove_all(path_);
        std::filesystem::create_directories(path_);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() { std::filesystem::remove_all(path_); }
    void put(const std::string& name, const std::string& bytes) const {
        std::ofstream(path_ / name, std::ios::binary) << bytes;
    }
    std::string path() const { return path_.string(); }

  private:
    std::filesystem::path path_;
};

std::vector<std::pair<std::string, Document>> various_jobs() {
    std::vector<std::pair<std::string, Document>> jobs;
    for (const auto& name : example_names()) jobs.emplace_back(name, example(name));
    Document document = small();
    jobs.emplace_back("straight", document);
    document.shelf = {};
    jobs.emplace_back("empty-shelf", document);
    document = small();
    document.job.seams[0].curve = curves::Sprung{{-30.0, 200.0}, {1030.0, 200.0}, std::nullopt, 60.0};
    document.job.stick = job::Stick{"cherry", 6.0};
    jobs.emplace_back("sprung", document);
    document.job.seams[0].stick = job::Stick{"driftwood", 6.0};
    jobs.emplace_back("driftwood", document);
    document = small();
    document.job.seams[0].curve = curves::Wave{{-30.0, 200.0}, {1030.0, 200.0}, {{10.0, 50.0, 0.0}}};
    jobs.emplace_back("tight", document);
    document = small();
    document.shelf.cutters[0].cutting.measured_mm = 9.9;
    document.job.name = "a \"quoted\" name,\n\ttwo lines";
    jobs.emplace_back("worn", document);
    document = small();
    document.job.seams.push_back(open_seam("across", {400.0, -30.0}, {600.0, 430.0}));
    jobs.emplace_back("crossing", document);
    return jobs;
}

// By an independent validator of JSON Schema 2020-12 (Debian: python3-jsonschema).
TEST(PlanJson, FollowsThePublishedSchema) {
    const Folder folder("plans");
    for (const auto& [name, document] : various_jobs()) folder.put(name + ".json", write_plan(plan_of(document)));
    const Said said = run("python3 -W ignore " + source("tests/plan/validate_plans.py").string() + " " +
                          source_folder() + " " + folder.path());
    EXPECT_EQ(said.code, 0) << said.text << "\n(needs the package python3-jsonschema)";
    EXPECT_NE(said.text.find("follow the schema: 11"), std::string::npos) << said.text;
}

TEST(PlanJson, SchemaIsCompiledInUnchanged) {
    EXPECT_EQ(plan_schema(), slurp(source("schema/plan.schema.json")));
}

TEST(PlanJson, KeepsEveryDigit) {
    for (const auto& name : example_names()) {
        const Plan plan = plan_of(example(name));
        const auto json = nlohmann::json::parse(write_plan(plan));
        EXPECT_EQ(json["program_version"], program_version);
        EXPECT_EQ(json["top"]["area_mm2"].get<double>(), plan.area_mm2);
        std::size_t compared = 0;
        for (std::size_t i = 0; i < plan.seams.size(); ++i) {
            const auto& seam = json["seams"][i];
            EXPECT_EQ(seam["simulation"]["largest_gap"].get<double>(), plan.seams[i].simulation.largest_gap_mm);
            EXPECT_EQ(seam["chosen"], plan.seams[i].chains[plan.seams[i].chosen].id);
            for (std::size_t t = 0; t < plan.seams[i].templates.size(); ++t) {
                const auto& segments = plan.seams[i].templates[t].edge.segments;
                const auto& written = seam["templates"][t]["edge"]["segments"];
                ASSERT_EQ(written.size(), segments.size());
                for (std::size_t k = 0; k < segments.size(); ++k) {
                    EXPECT_EQ(written[k]["to"][0].get<double>(), segments[k].end.x);
                    EXPECT_EQ(written[k]["to"][1].get<double>(), segments[k].end.y);
                    if (segments[k].is_arc()) {
                        EXPECT_EQ(written[k]["radius"].get<double>(), segments[k].radius_mm);
                        EXPECT_EQ(written[k]["sweep_radians"].get<double>(), segments[k].sweep_rad);
                    }
                    ++compared;
                }
            }
        }
        EXPECT_GT(compared, 3u);
    }
}

// Outside check: sha256sum of GNU coreutils.
TEST(PlanJson, HashesTheWholeJobDocument) {
    const Folder folder("hash");
    for (const auto& name : example_names()) {
        const Document document = example(name);
        folder.put("job.json", job::write_document(document));
        const Said said = run("sha256sum " + folder.path() + "/job.json");
        ASSERT_EQ(said.code, 0) << said.text;
        EXPECT_EQ(plan_of(document).inputs_sha256, said.text.substr(0, 64));
    }
    Document document = small();
    const std::string before = plan_of(document).inputs_sha256;
    document.shelf.cutters[0].cutting.measured_mm = 9.99;
    EXPECT_NE(plan_of(document).inputs_sha256, before);
}

}  // namespace
}  // namespace seamwright::plan::testing
