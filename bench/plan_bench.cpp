// The whole plan of each example, from the job document that was read to templates and steps.

#include <benchmark/benchmark.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "job/read.h"
#include "plan/plan.h"
#include "register.h"

namespace seamwright::bench {

namespace {

std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

void plan_example(benchmark::State& state, const std::filesystem::path& file) {
    const job::FetchFile fetch = [&](const std::string& name, std::string& why) -> std::optional<std::string> {
        const std::filesystem::path beside = file.parent_path() / name;
        if (std::filesystem::exists(beside)) return text_of(beside);
        why = "no such file";
        return std::nullopt;
    };
    const job::Reading reading = job::read_document(text_of(file), fetch);
    if (!reading.document) {
        state.SkipWithError("the example has errors");
        return;
    }
    plan::Plan plan;
    for (auto _ : state) plan = plan::make_plan(reading.document->job, reading.document->shelf);
    state.counters["pieces"] = static_cast<double>(plan.pieces.size());
    state.counters["seams"] = static_cast<double>(plan.seams.size());
    double gap = 0.0;
    for (const plan::SeamPlan& seam : plan.seams) gap = std::max(gap, seam.simulation.largest_gap_mm);
    state.counters["largest_gap_mm"] = gap;
}

}  // namespace

void register_all() {
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(SEAMWRIGHT_SOURCE_DIR "/examples")) {
        if (entry.path().extension() == ".json") files.push_back(entry.path());
    }
    std::sort(files.begin(), files.end());
    for (const auto& file : files) {
        benchmark::RegisterBenchmark(("plan/" + file.stem().string()).c_str(), [file](benchmark::State& state) {
            plan_example(state, file);
        })->Unit(benchmark::kMillisecond);
    }
}

}  // namespace seamwright::bench
