#include "text_pages.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "marks.h"
#include "text_size.h"

namespace seamwright::paper {
namespace {

const Stroke rule{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};
const Stroke box_line{.width_mm = 0.3, .dash_mm = {}, .grey = 0.0, .colour = {}};

/// Text broken at spaces so that no line is longer.
std::vector<std::string> broken_to(const std::string& text, double most_mm, double height_mm, bool bold) {
    std::vector<std::string> lines;
    std::string line;
    const auto length = [&](const std::string& t) {
        Text measured;
        measured.text = t;
        measured.height_mm = height_mm;
        measured.bold = bold;
        return text_length_mm(measured);
    };
    for (std::size_t from = 0; from < text.size();) {
        const std::size_t to = std::min(text.find(' ', from), text.size());
        const std::string word = text.substr(from, to - from);
        const std::string longer = line.empty() ? word : line + ' ' + word;
        if (!line.empty() && length(longer) > most_mm) {
            lines.push_back(line);
            line = word;
        } else {
            line = longer;
        }
        from = to + 1;
    }
    if (!line.empty()) lines.push_back(line);
    return lines;
}

}  // namespace

TextPages::TextPages(const SheetSize& sheet, std::string title, std::string under)
    : sheet_(sheet), title_(std::move(title)), under_(std::move(under)), width_(sheet.width_mm - 2.0 * margin_mm) {
    new_page();
}

void TextPages::new_page() {
    Drawing drawing;
    drawing.title = title_;
    drawing.laid_out_on = sheet_;
    pages_.push_back(std::move(drawing));
    y_ = sheet_.height_mm - margin_mm;
    heading();
}

void TextPages::heading() {
    if (!continued_) page().begins.push_back(title_);
    put(title_ + (continued_ ? ", continued" : ""), {margin_mm, y_ - 4.5}, 5.5, true);
    put(under_, {margin_mm, y_ - 10.0}, 3.0);
    line({margin_mm, y_ - 12.5}, {margin_mm + width_, y_ - 12.5}, rule);
    y_ -= 18.0;
    continued_ = true;
}

void TextPages::chapter(const std::string& title, const std::string& under, double room_needed_mm) {
    constexpr double between_mm = 12.0, heading_mm = 18.0;
    title_ = title;
    under_ = under;
    continued_ = false;
    if (room_mm() < between_mm + heading_mm + room_needed_mm) {
        new_page();
        return;
    }
    y_ -= between_mm;
    heading();
}

void TextPages::need(double height_mm) {
    if (y_ - height_mm < margin_mm) new_page();
}

void TextPages::put(const std::string& text, Point at, double height_mm, bool bold, Text::Anchor anchor) {
    Text t{at, text, height_mm, 0.0, anchor, bold};
    const double length = text_length_mm(t);
    if (anchor == Text::Anchor::left && length > width_) t.height_mm *= width_ / length;
    page().texts.push_back(std::move(t));
}

void TextPages::line(Point a, Point b, const Stroke& stroke) {
    page().paths.push_back(straight(a, b, stroke));
}

void TextPages::say(const std::string& text, double height_mm, bool bold, double indent_mm, const char* mark) {
    const double step = line_mm * height_mm / text_mm;
    const auto lines = broken_to(text, width_ - indent_mm, height_mm, bold);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        need(step);
        y_ -= step;
        if (i == 0 && mark != nullptr) put(mark, {margin_mm + indent_mm - 4.0, y_}, height_mm, true);
        put(lines[i], {margin_mm + indent_mm, y_}, height_mm, bold);
    }
}

void TextPages::labelled(const std::string& label, const std::string& text, double indent_mm, double label_mm) {
    const double from = indent_mm + label_mm;
    const auto lines = broken_to(text, width_ - from, text_mm, false);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        need(line_mm);
        y_ -= line_mm;
        if (i == 0) put(label, {margin_mm + indent_mm, y_}, text_mm, true);
        put(lines[i], {margin_mm + from, y_}, text_mm);
    }
}

void TextPages::tick_box(double indent_mm, double side_mm) {
    const Point low{margin_mm + indent_mm, y_ - side_mm};
    page().paths.push_back(drawn(geometry::rectangle(low, low + Point{side_mm, side_mm}), box_line));
}

void TextPages::blank(const std::string& what, double indent_mm, double to_mm) {
    constexpr double row_mm = 6.5, gap_mm = 2.0, least_line_mm = 25.0, height_mm = 2.8;
    const double right = to_mm > 0.0 ? to_mm : width_;
    // The line must be long enough to write on, else it has a row of its own.
    for (const std::string& said : broken_to(what + ':', width_ - indent_mm, height_mm, false)) {
        need(row_mm);
        y_ -= row_mm;
        Text text{{margin_mm + indent_mm, y_}, said, height_mm, 0.0, Text::Anchor::left, false};
        const bool last = said.back() == ':';
        double from = indent_mm + gap_mm + text_length_mm(text);
        page().texts.push_back(std::move(text));
        if (!last) continue;
        if (right - from < least_line_mm) {
            need(row_mm);
            y_ -= row_mm;
            from = indent_mm;
        }
        line({margin_mm + from, y_ - 0.8}, {margin_mm + right, y_ - 0.8}, rule);
    }
}

void TextPages::notes() {
    constexpr double step_mm = 8.0, least_mm = 5.0 * step_mm;
    if (room_mm() < least_mm) return;
    y_ -= 8.0;
    put("Notes", {margin_mm, y_}, text_mm, true);
    while (room_mm() > step_mm) {
        y_ -= step_mm;
        line({margin_mm, y_}, {margin_mm + width_, y_}, rule);
    }
}

void TextPages::part(const plan::words::Told& told) {
    y_ -= 2.5;
    need(with_heading_mm);
    say(told.title, 3.6, true);
    for (const std::string& l : told.lines) say(l, text_mm, false, 5.0, "–");
    for (const std::string& l : told.cautions) say(l, text_mm, true, 5.0, "!");
}

Text TextPages::number_of(const SheetSize& sheet, const std::string& said) {
    return {{sheet.width_mm - margin_mm, margin_mm - 6.0}, said, 2.6, 0.0, Text::Anchor::right, false};
}

std::vector<Drawing> TextPages::finish() {
    for (std::size_t i = 0; i < pages_.size(); ++i) {
        pages_[i].texts.push_back(number_of(sheet_, fmt::format("{} of {}", i + 1, pages_.size())));
    }
    return std::move(pages_);
}

}  // namespace seamwright::paper
