#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "app/server_listener.h"
#include "edit/open_job.h"
#include "job/job.h"

namespace seamwright::app {

/// A body that is a JSON object, not nested deeper than a job document may be; otherwise the refusal.
std::variant<nlohmann::ordered_json, Answer> read_body(std::string_view body);

/// { base } and nothing else, or with further whole numbers and the list of edits where they are asked for.
struct Change {
    std::int64_t base = 0;
    std::int64_t change = 0;              ///< 0 when not asked for
    std::string edits;                    ///< JSON array; empty when not asked for
    std::optional<std::size_t> looks_at;  ///< of an attempt: the seam whose strip is shown
};
enum class With { nothing, edits, attempt, change };
std::variant<Change, Answer> read_change(std::string_view body, With with);
/// nullopt when the body is an empty object, as it must be.
std::optional<Answer> refuse_unless_empty(std::string_view body);

std::string json_text(const nlohmann::ordered_json& value);
Answer json_answer(int status, const nlohmann::ordered_json& value);
Answer problems_answer(const std::vector<job::Problem>& problems, std::string_view says, std::string_view remedy);

/// JSON in one spelling: keys in order, numbers in their shortest form.
std::string in_one_spelling(std::string_view json);

/// A file to be kept: Content-Disposition by RFC 6266 with the name in ASCII and, by RFC 8187, as it is.
Answer file_answer(std::string bytes, std::string_view name);

}  // namespace seamwright::app
