#include "writer.h"

#include <fmt/format.h>

#include "value.h"

namespace seamwright::job {

void Writer::entry(std::string_view name) {
    if (depth_ > 0) {
        out_ += first_ ? "\n" : ",\n";
        out_.append(2 * depth_, ' ');
    }
    first_ = false;
    if (!name.empty()) {
        put_text(name);
        out_ += ": ";
    }
}

void Writer::begin_group(std::string_view name) {
    entry(name);
    out_ += '{';
    ++depth_;
    first_ = true;
}

void Writer::begin_list(std::string_view name) {
    entry(name);
    out_ += '[';
    ++depth_;
    first_ = true;
}

void Writer::close(char bracket) {
    --depth_;
    if (!first_) {
        out_ += '\n';
        out_.append(2 * depth_, ' ');
    }
    out_ += bracket;
    first_ = false;
}

void Writer::end_group() {
    close('}');
}

void Writer::end_list() {
    close(']');
}

void Writer::text(std::string_view name, std::string_view value) {
    entry(name);
    put_text(value);
}

void Writer::number(std::string_view name, double value) {
    entry(name);
    out_ += shortest(value);
}

void Writer::flag(std::string_view name, bool value) {
    entry(name);
    out_ += value ? "true" : "false";
}

void Writer::point(std::string_view name, geometry::Point p) {
    entry(name);
    put_point(p);
}

void Writer::points(std::string_view name, const std::vector<geometry::Point>& list) {
    entry(name);
    out_ += '[';
    for (std::size_t i = 0; i < list.size(); ++i) {
        if (i > 0) out_ += ", ";
        put_point(list[i]);
    }
    out_ += ']';
}

void Writer::texts(std::string_view name, const std::vector<std::string>& list) {
    entry(name);
    out_ += '[';
    for (std::size_t i = 0; i < list.size(); ++i) {
        if (i > 0) out_ += ", ";
        put_text(list[i]);
    }
    out_ += ']';
}

std::string Writer::take() {
    out_ += '\n';
    return std::move(out_);
}

void Writer::put_point(geometry::Point p) {
    out_ += '[' + shortest(p.x) + ", " + shortest(p.y) + ']';
}

void Writer::put_text(std::string_view value) {
    out_ += '"';
    for (const char c : value) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\') {
            out_ += '\\';
            out_ += c;
        } else if (c == '\n') {
            out_ += "\\n";
        } else if (byte < 0x20) {
            out_ += fmt::format("\\u{:04x}", static_cast<unsigned>(byte));
        } else {
            out_ += c;
        }
    }
    out_ += '"';
}

}  // namespace seamwright::job
