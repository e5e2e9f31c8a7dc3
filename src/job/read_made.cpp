#include <fmt/format.h>

#include "curves/as_made.h"
#include "parts.h"

namespace seamwright::job {

std::optional<MadeEdge> read_made_edge(Checker& checker, const Node& node) {
    const Group group(checker, node, {"csv", "file", "longest_bump", "fair_within"});
    if (!group) return std::nullopt;
    MadeEdge made;
    group.length("longest_bump", ranges::made_wave_mm, made.wave_mm);
    group.length("fair_within", ranges::made_fair_mm, made.fair_mm);
    const auto source = group.exactly_one({"csv", "file"}, "as_made");
    if (!source) return std::nullopt;
    const Node from = *group.find(*source);
    const auto text = read_table_text(checker, from, *source == "file", "readings",
                                      "write \"position mm; deviation 0.01 mm\\n0; 1\\n50; 4\\n...\", or name a file "
                                      "with \"file\"");
    if (!text) return std::nullopt;
    auto read = curves::read_readings(*text, {});
    if (const auto* problem = std::get_if<curves::ImportProblem>(&read)) {
        checker.error(from,
                      problem->line > 0 ? fmt::format("line {}: {}", problem->line, problem->found) : problem->found,
                      problem->allowed, problem->remedy);
        return std::nullopt;
    }
    made.readings = std::get<std::vector<curves::Reading>>(std::move(read));
    constexpr std::size_t fewest = 3;
    if (made.readings.size() < fewest) {
        checker.error(from, fmt::format("{} readings", made.readings.size()), "three or more",
                      "measure at more places along the edge, every 20 to 50 mm");
        return std::nullopt;
    }
    return made;
}

}  // namespace seamwright::job
