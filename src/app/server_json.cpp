#include "server_json.h"

#include <fmt/format.h>

#include <algorithm>

#include "app/plain_text.h"
#include "app/server_guard.h"
#include "job/read.h"
#include "server_fault.h"

namespace seamwright::app {
namespace {

using Json = nlohmann::ordered_json;

/// Lists and objects around a value that is as deep as a job document may be.
constexpr int deepest_body = job::deepest_nesting + 4;
/// Longest file name we suggest, in bytes; file systems take 255.
constexpr std::size_t longest_file_name = 160;

bool too_deep(std::string_view json) {
    int depth = 0;
    bool in_text = false;
    for (std::size_t i = 0; i < json.size(); ++i) {
        const char c = json[i];
        if (in_text) {
            if (c == '\\') {
                ++i;
            } else if (c == '"') {
                in_text = false;
            }
        } else if (c == '"') {
            in_text = true;
        } else if (c == '[' || c == '{') {
            if (++depth > deepest_body) return true;
        } else if (c == ']' || c == '}') {
            --depth;
        }
    }
    return false;
}

std::optional<std::int64_t> whole_number(const Json& group, const char* key) {
    const auto found = group.find(key);
    if (found == group.end() || !found->is_number_integer()) return {};
    // What does not fit is kept as an unsigned number.
    if (found->is_number_unsigned() && found->get<std::uint64_t>() > std::uint64_t{1} << 62) return {};
    return found->get<std::int64_t>();
}

std::string_view type_of(std::string_view name) {
    if (name.ends_with(".pdf")) return "application/pdf";
    if (name.ends_with(".svg")) return "image/svg+xml";
    if (name.ends_with(".json")) return "application/json";
    if (name.ends_with(".csv")) return "text/csv; charset=utf-8";
    if (name.ends_with(".ics")) return "text/calendar; charset=utf-8";
    return "application/octet-stream";
}

bool letter_or_digit(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

/// No folders, no signs that some system does not take, no leading dot or space; ends where a character ends.
std::string safe_file_name(std::string_view wanted) {
    std::string name;
    for (const char c : printable(wanted)) {
        name += std::string_view("/\\:*?\"<>|").find(c) == std::string_view::npos ? c : '-';
    }
    const std::size_t dot = name.rfind('.');
    std::string ending = dot == std::string::npos ? "" : name.substr(dot);
    std::string start = name.substr(0, dot);
    start.erase(0, start.find_first_not_of(". "));
    std::size_t most = longest_file_name;
    if (start.size() > most) {
        while (most > 0 && (static_cast<unsigned char>(start[most]) & 0xC0) == 0x80) --most;
        start.resize(most);
    }
    if (start.empty()) start = "seamwright";
    return start + ending;
}

}  // namespace

std::string json_text(const Json& value) {
    return value.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Answer json_answer(int status, const Json& value) {
    Answer answer;
    answer.status = status;
    answer.body = json_text(value);
    answer.fields.emplace_back("Cache-Control", "no-store");
    return answer;
}

std::variant<Json, Answer> read_body(std::string_view body) {
    if (too_deep(body)) {
        return fault(400, "What was sent is nested too deeply.", "Load the page again.");
    }
    Json read = Json::parse(body, nullptr, false);
    if (read.is_discarded() || !read.is_object()) return fault(400);
    return read;
}

std::variant<Change, Answer> read_change(std::string_view body, With with) {
    const auto read = read_body(body);
    if (const auto* refused = std::get_if<Answer>(&read)) return *refused;
    const Json& group = std::get<Json>(read);
    Change change;
    const auto base = whole_number(group, "base");
    const bool looks = with == With::attempt && group.contains("looks_at");
    if (!base || *base < 1 || group.size() != (with == With::nothing ? 1u : 2u) + (looks ? 1u : 0u)) return fault(400);
    change.base = *base;
    if (looks) {
        const auto seam = whole_number(group, "looks_at");
        if (!seam || *seam < 0) return fault(400);
        change.looks_at = static_cast<std::size_t>(*seam);
    }
    if (with == With::change) {
        const auto number = whole_number(group, "change");
        if (!number || *number < 1) return fault(400);
        change.change = *number;
    }
    if (with == With::edits || with == With::attempt) {
        const auto edits = group.find("edits");
        if (edits == group.end() || !edits->is_array()) return fault(400);
        const bool importing = std::any_of(
            edits->begin(), edits->end(), [](const Json& edit) { return edit.is_object() && edit.contains("import"); });
        if (body.size() > largest_edit_bytes && !importing) return fault(413);
        change.edits = json_text(*edits);
    }
    return change;
}

std::optional<Answer> refuse_unless_empty(std::string_view body) {
    const auto read = read_body(body);
    if (const auto* refused = std::get_if<Answer>(&read)) return *refused;
    if (!std::get<Json>(read).empty()) return fault(400);
    return {};
}

Answer problems_answer(const std::vector<job::Problem>& problems, std::string_view says, std::string_view remedy) {
    Json list = Json::array();
    for (const auto& problem : problems) {
        Json one = {{"weight", problem.weight == job::Problem::Weight::error ? "error" : "warning"},
                    {"pointer", problem.pointer},
                    {"found", problem.found},
                    {"allowed", problem.allowed},
                    {"remedy", problem.remedy}};
        if (problem.at) one["at"] = {problem.at->x, problem.at->y};
        list.push_back(std::move(one));
    }
    return json_answer(422, {{"says", says}, {"remedy", remedy}, {"problems", std::move(list)}});
}

std::string in_one_spelling(std::string_view json) {
    // The plain kind keeps its keys sorted.
    const auto read = nlohmann::json::parse(json, nullptr, false);
    return read.is_discarded() ? std::string(json)
                               : read.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

Answer file_answer(std::string bytes, std::string_view name) {
    const std::string safe = safe_file_name(name);
    std::string plain, exact;
    bool in_character = false;
    for (const char c : safe) {
        const auto byte = static_cast<unsigned char>(c);
        const bool plain_char = letter_or_digit(c) || std::string_view(" ._-(),+").find(c) != std::string_view::npos;
        // One '_' for a character, however many bytes it takes.
        if (byte < 0x80 || (byte & 0xC0) != 0x80) in_character = false;
        if (plain_char) {
            plain += c;
        } else if (!in_character) {
            plain += '_';
        }
        in_character = byte >= 0x80;
        if (letter_or_digit(c) || c == '-' || c == '_' || c == '.') {
            exact += c;
        } else {
            exact += fmt::format("%{:02X}", byte);
        }
    }
    Answer answer;
    answer.type = std::string(type_of(safe));
    answer.body = std::move(bytes);
    answer.fields.emplace_back("Content-Disposition",
                               fmt::format("attachment; filename=\"{}\"; filename*=UTF-8''{}", plain, exact));
    answer.fields.emplace_back("Cache-Control", "no-store");
    return answer;
}

}  // namespace seamwright::app
