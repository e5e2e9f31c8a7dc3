// The whole plan of each example, from the job document that was read to templates and steps; and what is told of how
// its first seam closes, of the boards its pieces come from, and of the glued top over the year.

#include <benchmark/benchmark.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "job/read.h"
#include "plan/boards_study.h"
#include "plan/body_study.h"
#include "plan/closing_study.h"
#include "plan/feed_study.h"
#include "plan/plan.h"
#include "plan/shop_study.h"
#include "register.h"

namespace seamwright::bench {

namespace {

std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::optional<job::Document> document_in(benchmark::State& state, const std::filesystem::path& file) {
    const job::FetchFile fetch = [&](const std::string& name, std::string& why) -> std::optional<std::string> {
        const std::filesystem::path beside = file.parent_path() / name;
        if (std::filesystem::exists(beside)) return text_of(beside);
        why = "no such file";
        return std::nullopt;
    };
    job::Reading reading = job::read_document(text_of(file), fetch);
    if (!reading.document) state.SkipWithError("the example has errors");
    return std::move(reading.document);
}

void plan_example(benchmark::State& state, const std::filesystem::path& file) {
    const auto document = document_in(state, file);
    if (!document) return;
    plan::Plan plan;
    for (auto _ : state) plan = plan::make_plan(document->job, document->shelf);
    state.counters["pieces"] = static_cast<double>(plan.pieces.size());
    state.counters["seams"] = static_cast<double>(plan.seams.size());
    double gap = 0.0;
    for (const plan::SeamPlan& seam : plan.seams) gap = std::max(gap, seam.simulation.largest_gap_mm);
    state.counters["largest_gap_mm"] = gap;
}

/// 200 samples; with advice every change that might help is tried as well.
void study_example(benchmark::State& state, const std::filesystem::path& file, bool advice) {
    const auto document = document_in(state, file);
    if (!document) return;
    const plan::Plan plan = plan::make_plan(document->job, document->shelf);
    plan::StudyWish wish;
    wish.advice = advice;
    std::optional<plan::ClosingStudy> study;
    for (auto _ : state) study = plan::study_closing(plan, 0, document->job, document->shelf, wish);
    state.counters["length_mm"] = plan.seams.at(0).length_mm;
    state.counters["gap_of_95_mm"] = study ? study->tolerance.sampled.most_mm : -1.0;
}

void lay_boards(benchmark::State& state, const std::filesystem::path& file) {
    const auto document = document_in(state, file);
    if (!document) return;
    const plan::Plan plan = plan::make_plan(document->job, document->shelf);
    std::optional<plan::BoardsStudy> study;
    for (auto _ : state) study = plan::study_boards(plan, document->job, document->shelf);
    if (!study) return state.SkipWithError("no boards on its shelf");
    state.counters["parts"] = static_cast<double>(study->parts.size());
    state.counters["gap"] = study->placing.gap();
}

/// The glued top as one body, both seasons.
void body_of_example(benchmark::State& state, const std::filesystem::path& file) {
    const auto document = document_in(state, file);
    if (!document) return;
    const plan::Plan plan = plan::make_plan(document->job, document->shelf);
    const auto movement = plan::study_movement(plan, document->job, document->shelf, nullptr);
    for (auto _ : state) benchmark::DoNotOptimize(plan::study_body(plan, movement, nullptr));
    state.counters["length_mm"] = plan.box.width_mm();
}

/// Feed along every edge, then steps, calendar and cost, once boards and closing are known.
void work_of_example(benchmark::State& state, const std::filesystem::path& file) {
    const auto document = document_in(state, file);
    if (!document) return;
    const auto& [job, shelf] = *document;
    const plan::Plan plan = plan::make_plan(job, shelf);
    const auto boards = plan::study_boards(plan, job, shelf);
    const auto movement = plan::study_movement(plan, job, shelf, boards ? &*boards : nullptr);
    const auto rough = plan::study_rough_cut(plan, job);
    plan::StudyWish wish;
    wish.advice = false;
    plan::ShopInputs inputs{boards ? &*boards : nullptr, &movement, {}};
    for (std::size_t i = 0; i < plan.seams.size(); ++i)
        inputs.closing.push_back(plan::study_closing(plan, i, job, shelf, wish));
    std::size_t steps = 0;
    for (auto _ : state) {
        benchmark::DoNotOptimize(plan::study_feed(plan, shelf, rough, inputs.boards));
        steps = plan::study_shop(plan, job, shelf, inputs).steps.size();
    }
    state.counters["steps"] = static_cast<double>(steps);
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
        benchmark::RegisterBenchmark(("body/" + file.stem().string()).c_str(), [file](benchmark::State& state) {
            body_of_example(state, file);
        })->Unit(benchmark::kMillisecond);
        benchmark::RegisterBenchmark(("work/" + file.stem().string()).c_str(), [file](benchmark::State& state) {
            work_of_example(state, file);
        })->Unit(benchmark::kMillisecond);
        if (file.stem() == "stack-of-boards") {
            benchmark::RegisterBenchmark("boards/stack-of-boards", [file](benchmark::State& state) {
                lay_boards(state, file);
            })->Unit(benchmark::kMillisecond);
        }
        for (const bool advice : {false, true}) {
            benchmark::RegisterBenchmark(
                ((advice ? "closing_with_advice/" : "closing/") + file.stem().string()).c_str(),
                [file, advice](benchmark::State& state) { study_example(state, file, advice); })
                ->Unit(benchmark::kMillisecond);
        }
    }
}

}  // namespace seamwright::bench
