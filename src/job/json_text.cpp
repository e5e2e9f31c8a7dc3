#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <unordered_set>

#include "job/read.h"
#include "value.h"

namespace seamwright::job {

namespace {

struct LineColumn {
    std::size_t line = 1;
    std::size_t column = 1;  ///< in characters, not bytes
};

LineColumn line_and_column(std::string_view text, std::size_t at) {
    const std::string_view before = text.substr(0, std::min(at, text.size()));
    LineColumn place;
    place.line += static_cast<std::size_t>(std::count(before.begin(), before.end(), '\n'));
    const std::size_t last_break = before.rfind('\n');
    const std::size_t line_start = last_break == std::string_view::npos ? 0 : last_break + 1;
    place.column += count_characters(before.substr(line_start));
    return place;
}

std::string at_place(std::string_view text, std::size_t at, std::string_view what) {
    const LineColumn place = line_and_column(text, at);
    return fmt::format("line {}, column {}: {}", place.line, place.column, what);
}

Problem whole_document(std::string found, std::string allowed, std::string remedy) {
    return {Problem::Weight::error, "", std::move(found), std::move(allowed), std::move(remedy), {}};
}

bool is_space(char c) {
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}
bool is_word(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '+' ||
           c == '-' || c == '.';
}

/// The mark or word of the text that covers a byte.
struct Token {
    std::size_t begin = 0, end = 0;
    bool text = false;    ///< begins with a double quote
    bool closed = false;  ///< and ends with one
};

Token token_at(std::string_view text, std::size_t at) {
    Token token;
    while (token.end <= at && token.end < text.size()) {
        std::size_t i = token.end;
        while (i < text.size() && is_space(text[i])) ++i;
        token = {i, i, false, false};
        if (i == text.size()) break;
        token.text = text[i] == '"';
        const bool word = is_word(text[i]);
        ++i;
        if (token.text) {
            while (i < text.size() && text[i] != '"') i += text[i] == '\\' ? 2u : 1u;
            token.closed = i < text.size();
            i = std::min(i + 1, text.size());
        }
        while (word && i < text.size() && is_word(text[i])) ++i;
        token.end = i;
    }
    return token;
}

/// The parser says where it stopped; what a maker needs to know is what to change there.
Problem syntax_problem(std::string_view text, std::size_t position) {
    constexpr std::string_view json_rules =
        "JSON: names and texts in double quotes, a comma between entries, every { closed by } and every [ by ]";
    const bool ended = position > text.size() || text.empty();
    const std::size_t stopped = std::min(position == 0 ? 0 : position - 1, text.size());
    const Token token = token_at(text, stopped);

    if (token.text && ended && !token.closed) {
        return whole_document(
            at_place(text, token.begin, "a text that is never closed"), "a text begins and ends with a double quote",
            R"(close the text, write \" for an inch mark inside it, and check that the file was saved whole)");
    }
    if (ended) {
        return whole_document(at_place(text, text.size(), "the document ends before it is complete"),
                              std::string(json_rules),
                              "close what is still open, and check that the file was saved whole");
    }
    if (token.text && !(token.closed && stopped + 1 == token.end)) {
        if (static_cast<unsigned char>(text[stopped]) < 0x20) {
            return whole_document(at_place(text, stopped, "a line break or control character inside a text"),
                                  "texts on one line; \\n stands for a line break",
                                  "close the text on its own line, or write \\n for the line break");
        }
        return whole_document(at_place(text, stopped, "a backslash sequence that JSON does not know"),
                              R"(after a backslash: " \ / b f n r t, or u and four hexadecimal digits)",
                              R"(write \" for an inch mark inside a text, \\ for a backslash)");
    }

    const std::size_t begin = token.begin;
    const std::string_view word =
        begin < text.size() && is_word(text[begin]) ? text.substr(begin, token.end - begin) : std::string_view();
    std::size_t before = begin;
    while (before > 0 && is_space(text[before - 1])) --before;
    const char previous = before > 0 ? text[before - 1] : '\0';
    const char here = begin < text.size() ? text[begin] : '\0';

    std::string bare(word);
    std::transform(bare.begin(), bare.end(), bare.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    const std::string unsigned_word = bare.empty() || (bare[0] != '-' && bare[0] != '+') ? bare : bare.substr(1);
    if (unsigned_word == "nan" || unsigned_word == "inf" || unsigned_word == "infinity") {
        return whole_document(at_place(text, begin, fmt::format("{}, which is not a number", word)),
                              "finite numbers such as 34 or 0.5", "put the real measure here");
    }
    if ((here == '}' || here == ']') && previous == ',') {
        return whole_document(at_place(text, begin, fmt::format("a comma before the closing {}", here)),
                              "commas only between entries", "take out the comma after the last entry");
    }
    if (here == '/' || here == '#') {
        return whole_document(at_place(text, begin, "a comment"), "JSON has no comments",
                              "take the comment out; the key \"note\" is for remarks");
    }
    if (here == '\'') {
        return whole_document(at_place(text, begin, "a single quote"), "names and texts in double quotes",
                              "use double quotes: \"");
    }
    const bool value_before = previous == '"' || previous == '}' || previous == ']' || is_word(previous);
    if (value_before && before < begin && (here == '"' || here == '{' || here == '[' || is_word(here))) {
        return whole_document(at_place(text, begin,
                                       fmt::format("{} straight after another entry",
                                                   here == '"' ? "a text" : fmt::format("'{}'", here))),
                              "a comma between entries, a colon between a name and its value",
                              "put the missing comma or colon before it");
    }
    if (!word.empty()) {
        return whole_document(
            at_place(text, begin, fmt::format("{}, which is neither a number nor a text", quote(word))),
            "numbers such as 34 or 0.5, texts in double quotes, true, false",
            "put it in double quotes; lengths such as \"59 1/2 in\" are texts; a number needs a digit before the point "
            "and no leading zeros");
    }
    const std::string shown =
        static_cast<unsigned char>(here) < 0x20 ? std::string("a control character") : fmt::format("'{}'", here);
    return whole_document(at_place(text, begin,
                                   static_cast<unsigned char>(here) >= 0x80 ? "a character that does not belong here"
                                                                            : shown + ", which does not belong here"),
                          std::string(json_rules), "compare this line with an example job");
}

/// Builds the values. Objects under construction lie on a stack, so that nesting is bounded before it costs anything.
class Builder {
  public:
    Builder(std::string_view text, std::vector<PlacedProblem>& problems) : text_(text), problems_(problems) {}

    bool null() { return put({}); }
    bool boolean(bool flag) { return put(flag); }
    bool number_integer(nlohmann::json::number_integer_t number) { return put(static_cast<double>(number)); }
    bool number_unsigned(nlohmann::json::number_unsigned_t number) { return put(static_cast<double>(number)); }
    bool number_float(double number, const std::string& /*as_written*/) { return put(number); }
    bool string(std::string& text) { return put(std::move(text)); }
    bool binary(nlohmann::json::binary_t& /*bytes*/) { return false; }  // does not occur in JSON text

    bool start_object(std::size_t /*size*/) { return open(Value::Object{}); }
    bool key(std::string& name) {
        Open& top = open_.back();
        top.name = std::move(name);
        top.twice = !top.names.insert(top.name).second;
        return true;
    }
    bool end_object() { return close(); }
    bool start_array(std::size_t /*size*/) { return open(Value::List{}); }
    bool end_array() { return close(); }

    bool parse_error(std::size_t position, const std::string& /*read so far*/, const nlohmann::json::exception& error) {
        // 406: a number whose value is beyond the largest double.
        constexpr int number_overflow = 406;
        if (error.id == number_overflow) {
            const Token number = token_at(text_, position == 0 ? 0 : position - 1);
            const std::string_view digits = text_.substr(number.begin, number.end - number.begin);
            add(whole_document(
                at_place(text_, number.begin, fmt::format("{}, a number beyond all measure", quote(digits))),
                "finite numbers such as 34 or 0.5", "put the real measure here"));
        } else {
            add(syntax_problem(text_, position));
        }
        return false;
    }

    Value take() { return std::move(root_); }

  private:
    struct Open {
        Value value;
        std::string name;  ///< the member the next value belongs to
        bool twice = false;
        std::unordered_set<std::string> names;
    };

    std::string pointer() const {
        std::string result;
        for (const Open& level : open_) {
            if (level.value.object() != nullptr) {
                result += pointer_step(level.name);
            } else {
                result += fmt::format("/{}", level.value.list()->size());
            }
        }
        return result;
    }

    void add(Problem problem) { problems_.push_back({count_, std::move(problem)}); }

    bool open(Value value) {
        if (open_.size() >= static_cast<std::size_t>(deepest_nesting)) {
            add({Problem::Weight::error,
                 pointer(),
                 fmt::format("brackets nested more than {} deep", deepest_nesting),
                 fmt::format("at most {} levels; a job needs about ten", deepest_nesting),
                 "compare the brackets with an example job",
                 {}});
            return false;
        }
        value.order = count_++;
        open_.push_back({std::move(value), {}, false, {}});
        return true;
    }
    bool close() {
        Open done = std::move(open_.back());
        open_.pop_back();
        attach(std::move(done.value));
        return true;
    }
    template <typename T>
    bool put(T&& held) {
        Value value;
        value.held = std::forward<T>(held);
        value.order = count_++;
        attach(std::move(value));
        return true;
    }
    bool put(std::monostate) {
        Value value;
        value.order = count_++;
        attach(std::move(value));
        return true;
    }
    bool open(Value::Object&& object) { return open(Value{std::move(object), 0}); }
    bool open(Value::List&& list) { return open(Value{std::move(list), 0}); }

    void attach(Value&& value) {
        if (open_.empty()) {
            root_ = std::move(value);
            return;
        }
        Open& top = open_.back();
        if (auto* list = std::get_if<Value::List>(&top.value.held)) {
            list->push_back(std::move(value));
            return;
        }
        if (top.twice) {
            problems_.push_back({value.order,
                                 {Problem::Weight::error,
                                  pointer(),
                                  fmt::format("the name {} a second time", quote(top.name)),
                                  "each name once within its { }",
                                  "keep one of the two and take the other out",
                                  {}}});
            return;
        }
        std::get<Value::Object>(top.value.held).push_back({top.name, std::move(value)});
    }

    std::string_view text_;
    std::vector<PlacedProblem>& problems_;
    std::vector<Open> open_;
    Value root_;
    std::uint32_t count_ = 0;
};

}  // namespace

const Value* Value::find(std::string_view name) const {
    const Object* members = object();
    if (members == nullptr) return nullptr;
    for (const Member& member : *members) {
        if (member.name == name) return &member.value;
    }
    return nullptr;
}

std::optional<std::size_t> first_not_utf8(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    std::size_t i = 0;
    while (i < text.size()) {
        const unsigned char lead = byte(i);
        if (lead < 0x80) {
            ++i;
            continue;
        }
        // RFC 3629 section 4: length by the lead byte; the second byte excludes overlong forms, surrogates and
        // everything above U+10FFFF.
        std::size_t more = 0;
        unsigned char second_low = 0x80, second_high = 0xBF;
        if (lead >= 0xC2 && lead <= 0xDF) {
            more = 1;
        } else if (lead >= 0xE0 && lead <= 0xEF) {
            more = 2;
            if (lead == 0xE0) second_low = 0xA0;
            if (lead == 0xED) second_high = 0x9F;
        } else if (lead >= 0xF0 && lead <= 0xF4) {
            more = 3;
            if (lead == 0xF0) second_low = 0x90;
            if (lead == 0xF4) second_high = 0x8F;
        } else {
            return i;
        }
        if (i + more >= text.size()) return i;
        if (byte(i + 1) < second_low || byte(i + 1) > second_high) return i;
        for (std::size_t k = 2; k <= more; ++k) {
            if ((byte(i + k) & 0xC0) != 0x80) return i;
        }
        i += more + 1;
    }
    return std::nullopt;
}

std::size_t count_characters(std::string_view utf8) {
    return static_cast<std::size_t>(
        std::count_if(utf8.begin(), utf8.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::optional<Value> parse_json(std::string_view text, std::vector<PlacedProblem>& problems) {
    const auto refuse = [&](Problem problem) {
        problems.push_back({0, std::move(problem)});
        return std::nullopt;
    };
    if (text.size() > largest_document_bytes) {
        return refuse(whole_document(
            fmt::format("{} bytes", text.size()), fmt::format("at most {} bytes (64 MiB)", largest_document_bytes),
            "keep long lists of points in a file of their own and thin them out to what the drawing needs"));
    }
    if (const auto bad = first_not_utf8(text)) {
        return refuse(
            whole_document(at_place(text, *bad,
                                    fmt::format("the byte 0x{:02X}, which is not UTF-8",
                                                static_cast<unsigned>(static_cast<unsigned char>(text[*bad])))),
                           "text in UTF-8", "save the file again as UTF-8 (\"Unicode\") text"));
    }
    if (std::all_of(text.begin(), text.end(), is_space)) {
        return refuse(
            whole_document("an empty document", "a job: { \"seamwright\": 1, ... }", "start from one of the examples"));
    }
    Builder builder(text, problems);
    if (!nlohmann::json::sax_parse(text.begin(), text.end(), &builder)) return std::nullopt;
    return builder.take();
}

std::string quote(std::string_view text) {
    constexpr std::size_t most_quoted = 60;  // what fits on a line beside the rest of the message
    std::string result = "\"";
    std::size_t taken = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto c = static_cast<unsigned char>(text[i]);
        if ((c & 0xC0) != 0x80 && taken++ == most_quoted) return result + "…\"";
        if (c == '\n') {
            result += "\\n";
        } else if (c < 0x20 || c == 0x7F) {
            result += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
        } else {
            result += text[i];
        }
    }
    return result + "\"";
}

std::string describe(const Value& value) {
    if (const auto* text = value.text()) return fmt::format("the text {}", quote(*text));
    if (const auto* number = value.number()) return fmt::format("the number {}", shortest(*number));
    if (const auto* flag = value.flag()) return *flag ? "true" : "false";
    if (const auto* list = value.list()) return fmt::format("a list [ ] of {}", list->size());
    if (value.object() != nullptr) return "a group { }";
    return "null";
}

std::string pointer_step(std::string_view name) {
    std::string result = "/";
    for (const char c : name) {
        if (c == '~') {
            result += "~0";
        } else if (c == '/') {
            result += "~1";
        } else {
            result += c;
        }
    }
    return result;
}

}  // namespace seamwright::job
