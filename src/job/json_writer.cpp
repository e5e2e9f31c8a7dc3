#include "job/json_writer.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <iterator>
#include <utility>

namespace seamwright::job {

void append_thousandths(std::string& out, double value) {
    if (!std::isfinite(value)) {
        out += "null";
        return;
    }
    constexpr double largest_exact = 4e12;  // times a thousand still a whole number in a double
    std::array<char, 32> digits{};
    if (std::abs(value) > largest_exact) {
        const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value);
        out.append(digits.data(), end.ptr);
        return;
    }
    const std::int64_t all = std::llround(value * 1000.0);
    if (all < 0) out += '-';
    const std::int64_t size = all < 0 ? -all : all;
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), size / 1000);
    out.append(digits.data(), end.ptr);
    const auto rest = static_cast<int>(size % 1000);
    if (rest == 0) return;
    out += '.';
    out += static_cast<char>('0' + rest / 100);
    if (rest % 100 != 0) out += static_cast<char>('0' + rest / 10 % 10);
    if (rest % 10 != 0) out += static_cast<char>('0' + rest % 10);
}

void JsonWriter::entry(std::string_view key) {
    if (compact_) {
        if (depth_ > 0 && !first_) out_ += ',';
    } else if (depth_ > 0) {
        out_ += first_ ? "\n" : ",\n";
        out_.append(2 * depth_, ' ');
    }
    first_ = false;
    if (key.empty()) return;
    put(key);
    out_ += ':';
    out_ += gap();
}

void JsonWriter::begin_group(std::string_view key) {
    entry(key);
    out_ += '{';
    ++depth_;
    first_ = true;
}

void JsonWriter::begin_list(std::string_view key) {
    entry(key);
    out_ += '[';
    ++depth_;
    first_ = true;
}

void JsonWriter::close(char bracket) {
    --depth_;
    if (!first_ && !compact_) {
        out_ += '\n';
        out_.append(2 * depth_, ' ');
    }
    out_ += bracket;
    first_ = false;
}

void JsonWriter::end_group() {
    close('}');
}

void JsonWriter::end_list() {
    close(']');
}

void JsonWriter::text(std::string_view key, std::string_view value) {
    entry(key);
    put(value);
}

void JsonWriter::number(std::string_view key, double value) {
    entry(key);
    put(value);
}

void JsonWriter::number(std::string_view key, std::optional<double> value) {
    if (value) {
        number(key, *value);
    } else {
        nothing(key);
    }
}

void JsonWriter::count(std::string_view key, std::size_t value) {
    entry(key);
    fmt::format_to(std::back_inserter(out_), "{}", value);
}

void JsonWriter::whole(std::string_view key, int value) {
    entry(key);
    fmt::format_to(std::back_inserter(out_), "{}", value);
}

void JsonWriter::flag(std::string_view key, bool value) {
    entry(key);
    out_ += value ? "true" : "false";
}

void JsonWriter::nothing(std::string_view key) {
    entry(key);
    out_ += "null";
}

void JsonWriter::json(std::string_view key, std::string_view text) {
    entry(key);
    out_ += text;
}

void JsonWriter::texts(std::string_view key, const std::vector<std::string>& values) {
    begin_list(key);
    for (const std::string& value : values) {
        entry({});
        put(std::string_view(value));
    }
    end_list();
}

template <class Value>
void JsonWriter::put_on_one_line(std::string_view key, const std::vector<Value>& values) {
    entry(key);
    out_ += '[';
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (i > 0) out_ += compact_ ? "," : ", ";
        put(values[i]);
    }
    out_ += ']';
}

void JsonWriter::numbers(std::string_view key, const std::vector<double>& values) {
    put_on_one_line(key, values);
}

void JsonWriter::point(std::string_view key, geometry::Point p) {
    entry(key);
    put(p);
}

void JsonWriter::point(std::string_view key, const std::optional<geometry::Point>& p) {
    if (p) {
        point(key, *p);
    } else {
        nothing(key);
    }
}

void JsonWriter::points(std::string_view key, const std::vector<geometry::Point>& values) {
    put_on_one_line(key, values);
}

void JsonWriter::box(std::string_view key, const geometry::Box& b) {
    entry(key);
    out_ += "{\"low\": ";
    put(b.low);
    out_ += ", \"high\": ";
    put(b.high);
    out_ += '}';
}

void JsonWriter::path(std::string_view key, const geometry::Path& path) {
    begin_group(key);
    flag("closed", path.closed);
    if (!path.empty()) point("start", path.start());
    begin_list("segments");
    for (const geometry::Segment& s : path.segments) {
        entry({});
        out_ += "{\"to\": ";
        put(s.end);
        if (s.is_arc()) {
            out_ += ", \"centre\": ";
            put(s.centre);
            out_ += ", \"radius\": ";
            put(s.radius_mm);
            out_ += ", \"sweep_radians\": ";
            put(s.sweep_rad);
        }
        out_ += '}';
    }
    end_list();
    end_group();
}

void JsonWriter::region(std::string_view key, const geometry::Region& region) {
    begin_group(key);
    path("outer", region.outer);
    begin_list("holes");
    for (const auto& hole : region.holes) path({}, hole);
    end_list();
    end_group();
}

std::string JsonWriter::take() {
    out_ += '\n';
    return take_part();
}

std::string JsonWriter::take_part() {
    return std::move(out_);
}

void JsonWriter::put(double value) {
    if (compact_) {
        append_thousandths(out_, value);
        return;
    }
    if (!std::isfinite(value)) {
        out_ += "null";
        return;
    }
    // The sum turns a negative nought into a plain one.
    std::array<char, 32> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value + 0.0);
    out_.append(digits.data(), end.ptr);
}

void JsonWriter::put(geometry::Point p) {
    out_ += '[';
    put(p.x);
    out_ += compact_ ? "," : ", ";
    put(p.y);
    out_ += ']';
}

void JsonWriter::put(std::string_view value) {
    out_ += '"';
    for (const char c : value) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\') {
            out_ += '\\';
            out_ += c;
        } else if (c == '\n') {
            out_ += "\\n";
        } else if (byte < 0x20) {
            fmt::format_to(std::back_inserter(out_), "\\u{:04x}", static_cast<unsigned>(byte));
        } else {
            out_ += c;
        }
    }
    out_ += '"';
}

}  // namespace seamwright::job
