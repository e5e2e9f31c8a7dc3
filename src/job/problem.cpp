#include <fmt/format.h>

#include <algorithm>

#include "job/job.h"

namespace seamwright::job {

std::string show(const Problem& p) {
    return fmt::format("{} at {}: found {}\n  allowed: {}\n  do this: {}",
                       p.weight == Problem::Weight::error ? "error" : "warning",
                       p.pointer.empty() ? std::string("the document") : p.pointer, p.found, p.allowed, p.remedy);
}

std::string_view name_of(BuildUp::Ends ends) {
    switch (ends) {
        case BuildUp::Ends::end_grain:
            return "end_grain";
        case BuildUp::Ends::floating:
            return "floating";
        case BuildUp::Ends::glued_across:
            return "glued_across";
    }
    return "";
}

std::string_view name_of(Cutting::HeartSides sides) {
    switch (sides) {
        case Cutting::HeartSides::any:
            return "any";
        case Cutting::HeartSides::alternate:
            return "alternate";
        case Cutting::HeartSides::match:
            return "match";
    }
    return "";
}

std::string_view name_of(Held held) {
    switch (held) {
        case Held::one_way:
            return "one_way";
        case Held::end_for_end:
            return "end_for_end";
        case Held::with_edge:
            return "with_edge";
        case Held::any_way:
            return "any_way";
    }
    return {};
}

std::string_view name_of(SeamKind kind) {
    switch (kind) {
        case SeamKind::open:
            return "open";
        case SeamKind::inlay:
            return "inlay";
        case SeamKind::edging:
            return "edging";
    }
    return {};
}

bool is_within(const Problem& problem, std::string_view pointer) {
    const std::string_view place = problem.pointer;
    return place.starts_with(pointer) && (place.size() == pointer.size() || place[pointer.size()] == '/');
}

bool any_error(const std::vector<Problem>& problems) {
    return std::any_of(problems.begin(), problems.end(),
                       [](const Problem& p) { return p.weight == Problem::Weight::error; });
}

}  // namespace seamwright::job
