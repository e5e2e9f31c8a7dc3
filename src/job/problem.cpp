#include <fmt/format.h>

#include <algorithm>

#include "job/job.h"

namespace seamwright::job {

std::string show(const Problem& p) {
    return fmt::format("{} at {}: found {}\n  allowed: {}\n  do this: {}",
                       p.weight == Problem::Weight::error ? "error" : "warning",
                       p.pointer.empty() ? std::string("the document") : p.pointer, p.found, p.allowed, p.remedy);
}

bool any_error(const std::vector<Problem>& problems) {
    return std::any_of(problems.begin(), problems.end(),
                       [](const Problem& p) { return p.weight == Problem::Weight::error; });
}

}  // namespace seamwright::job
