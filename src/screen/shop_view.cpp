#include <fmt/format.h>

#include <array>
#include <cstdint>
#include <map>
#include <set>

#include "chains.h"
#include "job/json_writer.h"
#include "plan/words.h"
#include "screen/screen.h"

namespace seamwright::screen {
namespace {

/// FNV-1a, 64 bit (Fowler, Noll, Vo; public domain): check marks must find their step again, nothing more.
class Content {
  public:
    void add(std::string_view text) {
        for (const char c : text) add_byte(static_cast<unsigned char>(c));
        add_byte(0);
    }
    std::uint64_t value() const { return hash_; }

  private:
    void add_byte(unsigned char byte) {
        hash_ ^= byte;
        hash_ *= 0x100000001b3ULL;
    }
    std::uint64_t hash_ = 0xcbf29ce484222325ULL;
};

/// Ids made of what a step says: the same while it does, others when it changes.
class Ids {
  public:
    std::string of(std::string_view part, const std::string& title, const std::vector<std::string>& lines) {
        Content content;
        content.add(part);
        content.add(title);
        for (const auto& line : lines) content.add(line);
        const std::string id = fmt::format("{:016x}", content.value());
        const int count = ++taken_[id];
        return count == 1 ? id : fmt::format("{}-{}", id, count);
    }

  private:
    std::map<std::string, int> taken_;
};

struct ShopStep {
    std::string title;
    std::vector<std::string> lines, cautions;
};

void write_part(job::JsonWriter& json, Ids& ids, const std::string& title, const std::vector<std::string>& cautions,
                const std::vector<ShopStep>& steps) {
    json.begin_group();
    json.text("title", title);
    json.texts("cautions", cautions);
    json.begin_list("steps");
    for (const ShopStep& step : steps) {
        json.begin_group();
        json.text("id", ids.of(title, step.title, step.lines));
        json.text("title", step.title);
        json.texts("lines", step.lines);
        json.texts("cautions", step.cautions);
        json.end_group();
    }
    json.end_list();
    json.end_group();
}

/// Cautions are said in full once, first of all; a step repeats none that stand there.
std::vector<std::string> all_cautions(const plan::Plan& plan) {
    std::vector<std::string> cautions;
    std::set<std::string> said;
    for (const auto& seam : plan.seams) {
        for (const auto& step : seam.steps) {
            for (const auto& caution : step.cautions) {
                if (said.insert(caution).second) cautions.push_back(caution);
            }
        }
    }
    return cautions;
}

std::vector<ShopStep> steps_of(const plan::SeamPlan& seam, const plan::Plan& plan) {
    std::vector<ShopStep> steps;
    for (const auto& told : seam.steps) {
        ShopStep step{told.title, told.lines, {}};
        for (auto& pass : passes_says(told, plan.style)) step.lines.push_back(std::move(pass));
        steps.push_back(std::move(step));
    }
    return steps;
}

std::vector<ShopStep> before_cutting(const plan::Plan& plan) {
    std::vector<ShopStep> steps;
    if (!plan.seams.empty()) {
        steps.push_back({"Print and check the papers",
                         {fmt::format("Print at 100 %, never \"fit to page\", on {}.", plan.paper.size),
                          "Measure the check bars on every sheet before you trust it."},
                         {}});
        steps.push_back(
            {"Try every set-up on scrap", {"Cut a test groove and measure it before you cut the wood."}, {}});
    }
    return steps;
}

}  // namespace

std::string write_shop_view(const edit::OpenJob& job, std::int64_t version) {
    const plan::Plan& plan = job.plan();
    Ids ids;
    job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
    json.begin_group();
    json.text("name", plan.name);
    json.json("version", fmt::format("{}", version));
    json.begin_list("parts");
    std::vector<std::string> first = all_cautions(plan);
    for (const auto& problem : job.problems()) {
        if (problem.weight != job::Problem::Weight::error) continue;
        first.insert(first.begin(),
                     "This job still has something wrong in it. Do not cut from this page: mend it first.");
        break;
    }
    write_part(json, ids, "Safety, and before any cut", first, before_cutting(plan));
    for (const auto& seam : plan.seams) {
        const bool stopped = !seam.closes;
        write_part(json, ids, seam.name, stopped ? std::vector<std::string>{seam.verdict} : std::vector<std::string>{},
                   steps_of(seam, plan));
    }
    json.end_list();
    json.end_group();
    return json.take();
}

}  // namespace seamwright::screen
