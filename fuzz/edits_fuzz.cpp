// Any bytes as edits of a job. The first byte chooses the job, the rest is the list of edits. Besides memory errors
// this looks for: a refusal without a problem, a document that does not read back, handles without a place, remedies
// that are offered and cannot be carried out, and results that are not the same twice.

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "edit/open_job.h"
#include "promise.h"

using namespace seamwright;
using edit::OpenJob;

namespace {

constexpr std::string_view metric = R"({
  "seamwright": 1, "name": "Shelf top", "unit": "mm",
  "top": { "thickness": 28, "outline": { "rectangle": {
    "length": 600, "width": 300, "corner_radius": 12, "back": { "pins": [[150, 306], [450, 304]] }, "right": { "bow": 8 } } } },
  "seams": [
    { "name": "arc seam", "kind": "open", "curve": { "arc": { "from": [-40, 80], "to": [650, 90], "rise": 25, "bulge": "left" } } },
    { "name": "pin seam", "kind": "open", "curve": { "pins": { "points": [[-40, 200], [200, 215], [400, 205], [650, 210]] } } } ],
  "pieces": [ { "name": "front board", "at": [300, 20], "species": "soft maple" } ],
  "shelf": {
    "guides": [ { "name": "24 mm guide", "outside": 24, "barrel": 9 } ],
    "bearings": [ { "name": "19 mm bearing", "outside": 19 } ],
    "cutters": [ { "name": "10 mm cutter", "diameter": 10, "cutting_length": 45, "shank": 8 },
                 { "name": "12 mm cutter", "diameter": 12, "cutting_length": 40, "shank": 12, "bearings": ["19 mm bearing"] } ] } })";

constexpr std::string_view inches = R"({
  "seamwright": 1, "name": "Round top", "unit": "in",
  "top": { "thickness": "1 1/4 in", "outline": { "round": { "diameter": 24 } } },
  "seams": [
    { "name": "ring", "kind": "edging", "width": 3 },
    { "name": "oval", "kind": "inlay", "curve": { "oval": { "centre": [12, 12], "length": 8, "width": "5 1/2 in", "turn_degrees": 20 } } } ],
  "shelf": {
    "guides": [ { "name": "1 in guide", "outside": 1, "barrel": "3/8 in" } ],
    "cutters": [ { "name": "1/4 in cutter", "diameter": "1/4 in", "cutting_length": "1 3/4 in", "shank": "1/4 in" } ] } })";

constexpr std::string_view wave = R"({
  "seamwright": 1, "name": "Bench", "unit": "mm",
  "top": { "thickness": 30, "outline": { "oval": { "length": 700, "width": 400 } } },
  "seams": [
    { "name": "wave seam", "kind": "open", "curve": { "wave": { "from": [-60, 200], "to": [760, 190],
      "terms": [ { "half_height": 14, "length": 500, "shift": 0.2 }, { "half_height": 3, "length": 210 } ] } } } ],
  "shelf": {
    "guides": [ { "name": "30 mm guide", "outside": 30, "barrel": 9 } ],
    "cutters": [ { "name": "10 mm cutter", "diameter": 10, "cutting_length": 45, "shank": 8 } ] } })";

OpenJob opened(std::string_view text) {
    auto result = OpenJob::open(std::string(text));
    promise(std::holds_alternative<OpenJob>(result));
    return std::get<OpenJob>(std::move(result));
}

const OpenJob& job_of(std::uint8_t choice) {
    static const std::array<OpenJob, 3> jobs{opened(metric), opened(inches), opened(wave)};
    return jobs[choice % jobs.size()];
}

const std::string& shop() {
    static const std::string shelf = edit::shelf_of(wave);
    return shelf;
}

void check(const std::vector<job::Problem>& problems) {
    promise(!problems.empty());
    for (const job::Problem& problem : problems)
        promise(!problem.found.empty() && !problem.allowed.empty() && !problem.remedy.empty());
}

void check(const std::vector<edit::Handle>& handles) {
    for (const edit::Handle& handle : handles) {
        promise(std::isfinite(handle.at.x) && std::isfinite(handle.at.y));
        promise(!handle.id.empty() && !handle.name.empty() && !handle.value.empty());
    }
}

void check(const OpenJob& job) {
    const OpenJob again = opened(job.text());
    promise(again.text() == job.text());
    promise(again.plan().inputs_sha256 == job.plan().inputs_sha256);
    check(job.outline_handles());
    for (std::size_t i = 0; i < job.document().job.seams.size(); ++i) check(job.seam_handles(i));
    // Every remedy of the job can be carried out; a few are enough for one input.
    constexpr std::size_t most = 3;
    std::size_t tried = 0;
    for (const edit::Remedy& remedy : job.remedies()) {
        promise(remedy.problem < job.problems().size() && !remedy.says.empty());
        if (++tried > most) continue;
        std::string id;
        for (const char c : remedy.id) {
            if (c == '"' || c == '\\') id += '\\';
            id += c;
        }
        promise(std::holds_alternative<OpenJob::Edited>(job.edited(R"([{"remedy": ")" + id + R"("}])")));
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    constexpr std::size_t longest = 4096;
    if (size == 0 || size > longest) return 0;
    const OpenJob& job = job_of(data[0]);
    const std::string edits(data + 1, data + size);
    const auto result = job.edited(edits, shop());
    if (const auto* refused = std::get_if<edit::Refused>(&result)) {
        check(refused->problems);
        return 0;
    }
    const auto& edited = std::get<OpenJob::Edited>(result);
    promise(!edited.says.empty());
    const auto twice = job.edited(edits, shop());
    promise(std::get<OpenJob::Edited>(twice).job.text() == edited.job.text());
    check(edited.job);
    return 0;
}
