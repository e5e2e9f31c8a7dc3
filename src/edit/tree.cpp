#include "tree.h"

#include <algorithm>
#include <charconv>

#include "job/read.h"

namespace seamwright::edit {

std::optional<Steps> steps_of(std::string_view pointer) {
    Steps steps;
    if (pointer.empty()) return steps;
    if (pointer.front() != '/') return std::nullopt;
    for (std::size_t i = 0; i < pointer.size(); ++i) {
        if (pointer[i] == '/') {
            steps.emplace_back();
        } else if (pointer[i] != '~') {
            steps.back() += pointer[i];
        } else if (i + 1 < pointer.size() && (pointer[i + 1] == '0' || pointer[i + 1] == '1')) {
            steps.back() += pointer[++i] == '0' ? '~' : '/';
        } else {
            return std::nullopt;
        }
    }
    return steps;
}

std::string pointer_of(const Steps& steps) {
    std::string pointer;
    for (const std::string& step : steps) {
        pointer += '/';
        for (const char c : step) {
            if (c == '~') {
                pointer += "~0";
            } else if (c == '/') {
                pointer += "~1";
            } else {
                pointer += c;
            }
        }
    }
    return pointer;
}

Steps first_steps(const Steps& steps, std::size_t count) {
    return {steps.begin(), steps.begin() + static_cast<std::ptrdiff_t>(std::min(count, steps.size()))};
}

Steps operator/(Steps steps, std::string_view more) {
    steps.emplace_back(more);
    return steps;
}

Steps operator/(Steps steps, std::size_t index) {
    steps.push_back(std::to_string(index));
    return steps;
}

std::optional<std::size_t> index_of(std::string_view step) {
    if (step.empty() || (step.size() > 1 && step.front() == '0')) return std::nullopt;
    std::size_t index = 0;
    const auto [end, error] = std::from_chars(step.data(), step.data() + step.size(), index);
    if (error != std::errc() || end != step.data() + step.size()) return std::nullopt;
    return index;
}

const Json* find(const Json& root, const Steps& steps) {
    const Json* at = &root;
    for (const std::string& step : steps) {
        if (at->is_object()) {
            const auto it = at->find(step);
            if (it == at->end()) return nullptr;
            at = &*it;
        } else if (at->is_array()) {
            const auto index = index_of(step);
            if (!index || *index >= at->size()) return nullptr;
            at = &(*at)[*index];
        } else {
            return nullptr;
        }
    }
    return at;
}

Json* find(Json& root, const Steps& steps) {
    return const_cast<Json*>(find(std::as_const(root), steps));
}

namespace {

// Wide enough for a point, a term of a wave or a tool; a longer group is easier to read with one name a line.
constexpr std::size_t longest_line = 110;

/// On one line, as far as it fits; false when it does not.
bool write_on_one_line(const Json& value, std::size_t room, std::string& out) {
    const std::size_t before = out.size();
    if (value.is_structured()) {
        out += value.is_object() ? (value.empty() ? "{" : "{ ") : "[";
        bool first = true;
        for (auto it = value.begin(); it != value.end(); ++it) {
            if (!first) out += ", ";
            first = false;
            if (value.is_object()) out += Json(it.key()).dump() + ": ";
            if (out.size() - before > room || !write_on_one_line(*it, room - (out.size() - before), out)) return false;
        }
        out += value.is_object() ? (value.empty() ? "}" : " }") : "]";
    } else {
        out += value.dump();
    }
    return out.size() - before <= room;
}

bool holds_groups(const Json& value) {
    return value.is_structured() &&
           std::any_of(value.begin(), value.end(), [](const Json& item) { return item.is_object(); });
}

void write(const Json& value, std::size_t depth, std::size_t column, std::string& out) {
    const std::size_t before = out.size();
    if (!value.is_structured()) {
        out += value.dump();
        return;
    }
    // The outermost level always stands one name a line, and so do lists of seams, pieces and tools.
    if (depth > 0 && !(value.is_array() && depth <= 2 && holds_groups(value)) && column < longest_line &&
        write_on_one_line(value, longest_line - column, out))
        return;
    out.resize(before);
    out += value.is_object() ? '{' : '[';
    bool first = true;
    for (auto it = value.begin(); it != value.end(); ++it) {
        out += first ? "\n" : ",\n";
        first = false;
        const std::size_t line = out.size();
        out.append(2 * (depth + 1), ' ');
        if (value.is_object()) out += Json(it.key()).dump() + ": ";
        write(*it, depth + 1, out.size() - line, out);
    }
    if (!first) {
        out += '\n';
        out.append(2 * depth, ' ');
    }
    out += value.is_object() ? '}' : ']';
}

/// Brackets open at once, outside texts.
std::size_t depth_of(std::string_view text) {
    std::size_t depth = 0, deepest = 0;
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (quoted) {
            if (c == '\\') ++i;
            if (c == '"') quoted = false;
        } else if (c == '"') {
            quoted = true;
        } else if (c == '[' || c == '{') {
            deepest = std::max(deepest, ++depth);
        } else if ((c == ']' || c == '}') && depth > 0) {
            --depth;
        }
    }
    return deepest;
}

}  // namespace

std::string text_of(const Json& root) {
    std::string out;
    write(root, 0, 0, out);
    out += '\n';
    return out;
}

std::optional<Json> parsed(std::string_view text) {
    // An edit wraps a value of the document in a list and a group.
    constexpr std::size_t deepest = job::deepest_nesting + 4;
    if (depth_of(text) > deepest) return std::nullopt;
    Json tree = Json::parse(text, nullptr, false);
    if (tree.is_discarded()) return std::nullopt;
    return tree;
}

}  // namespace seamwright::edit
