// Points from text, two numbers a line. Every point is kept: what a maker traced is not for us to thin out.

#include <charconv>
#include <cmath>

#include "curves/import.h"
#include "import_text.h"
#include "shapes.h"

namespace seamwright::curves {

namespace {

constexpr const char* two_numbers = "two numbers, separated by a comma, semicolon, tab or spaces";
constexpr const char* decimal_remedy = "Write one point a line, such as 12.5, 40. Decimals take a point, not a comma.";

bool is_blank(char c) {
    return c == ' ' || c == '\t';
}
bool ends_line(char c) {
    return c == '\n' || c == '\r';
}
bool starts_number(char c) {
    return (c >= '0' && c <= '9') || c == '-' || c == '+' || c == '.';
}

class Reader {
  public:
    Reader(std::string_view text, double mm_per_unit) : text_(text), mm_per_unit_(mm_per_unit) {}

    /// False when a problem was found.
    bool read() {
        constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
        if (text_.substr(0, byte_order_mark.size()) == byte_order_mark) at_ = byte_order_mark.size();
        // A line of points is rarely shorter than this many bytes; one reservation instead of twenty moves.
        constexpr std::size_t usual_line = 16;
        points_.reserve(std::min(text_.size() / usual_line + 1, most_import_points));
        bool may_be_headings = true;
        while (at_ < text_.size()) {
            skip_blanks();
            if (at_ >= text_.size()) break;
            const char c = text_[at_];
            if (ends_line(c)) {
                ++at_;
            } else if (c == '#') {
                skip_line();
            } else if (may_be_headings && !starts_number(c) && is_word(c)) {
                skip_line();
                may_be_headings = false;
            } else {
                if (!read_point()) return false;
                may_be_headings = false;
            }
        }
        return true;
    }

    std::vector<Point>& points() { return points_; }
    ImportProblem& problem() { return problem_; }

  private:
    static bool is_word(char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '"' || static_cast<unsigned char>(c) >= 0x80U;
    }
    void skip_blanks() {
        while (at_ < text_.size() && is_blank(text_[at_])) ++at_;
    }
    void skip_line() {
        while (at_ < text_.size() && !ends_line(text_[at_])) ++at_;
    }

    bool fail(std::size_t at, std::string found, std::string allowed, std::string remedy) {
        problem_ = problem_at(text_, at, std::move(found), std::move(allowed), std::move(remedy));
        return false;
    }

    bool read_number(double& value) {
        const char* const begin = text_.data() + at_;
        const char* const end = text_.data() + text_.size();
        const char* from = begin;
        if (from != end && *from == '+' && from + 1 != end && from[1] != '-') ++from;
        if (from == end || !starts_number(*from)) return fail(at_, shown(text_, at_), two_numbers, decimal_remedy);
        const auto result = std::from_chars(from, end, value);
        if (result.ec == std::errc::invalid_argument) return fail(at_, shown(text_, at_), two_numbers, decimal_remedy);
        const auto length = static_cast<std::size_t>(result.ptr - begin);
        if (result.ec == std::errc::result_out_of_range) value = number_value(text_.substr(at_, length));
        value *= mm_per_unit_;
        if (!usable(value)) {
            constexpr std::size_t most_shown = 40;
            return fail(at_, std::string(text_.substr(at_, std::min(length, most_shown))),
                        "plain numbers that come to no more than a kilometre", "Check the number and its unit.");
        }
        at_ += length;
        return true;
    }

    bool read_point() {
        Point p;
        const std::size_t line_start = at_;
        if (!read_number(p.x)) return false;
        const std::size_t after_x = at_;
        skip_blanks();
        if (at_ < text_.size() && (text_[at_] == ',' || text_[at_] == ';')) {
            ++at_;
            skip_blanks();
        }
        if (at_ >= text_.size() || ends_line(text_[at_]))
            return fail(line_start, "one number on the line", two_numbers, decimal_remedy);
        if (at_ == after_x) return fail(at_, shown(text_, at_), two_numbers, decimal_remedy);
        if (!read_number(p.y)) return false;
        const std::size_t after_y = at_;
        skip_blanks();
        if (at_ < text_.size() && !ends_line(text_[at_])) {
            const bool more = at_ > after_y || text_[at_] == ',' || text_[at_] == ';';
            return fail(at_, more ? "more than two numbers on the line" : shown(text_, at_), two_numbers,
                        decimal_remedy);
        }
        if (points_.size() >= most_import_points) {
            return fail(line_start, "more than " + std::to_string(most_import_points) + " points",
                        "at most " + std::to_string(most_import_points) + " points",
                        "Trace with fewer points, or cut the trace into several.");
        }
        points_.push_back(p);
        return true;
    }

    std::string_view text_;
    double mm_per_unit_;
    std::size_t at_ = 0;
    std::vector<Point> points_;
    ImportProblem problem_;
};

}  // namespace

std::variant<Imported, ImportProblem> read_csv_points(std::string_view text, double mm_per_unit, bool closed) {
    if (!usable(mm_per_unit) || !(mm_per_unit > 0.0)) {
        return problem_at(text, 0, "a scale of " + plain(mm_per_unit) + " mm per unit", "a scale above nothing",
                          "Give the size of one unit in mm, such as 25.4 for inches.");
    }
    Reader reader(text, mm_per_unit);
    if (!reader.read()) return std::move(reader.problem());
    std::vector<Point>& points = reader.points();

    geometry::Box box;
    for (const Point p : points) box.add(p);
    const double same = same_point_part * std::fmax(box.width_mm(), box.height_mm());
    if (points.size() > 2 && geometry::distance(points.front(), points.back()) <= same) {
        closed = true;
        while (points.size() > 1 && geometry::distance(points.front(), points.back()) <= same) points.pop_back();
    }
    Imported out;
    if (points.size() > 1) out.path = geometry::polyline(points, closed);
    const std::size_t pieces = out.path.segments.size();
    const std::size_t least = closed ? 3 : 1;
    if (pieces < least) {
        const std::size_t distinct = points.empty() ? 0 : (closed ? pieces : pieces + 1);
        return problem_at(text, text.size(), std::to_string(distinct) + " different points",
                          std::string("at least ") + (closed ? "three for a closed path" : "two for an open path"),
                          "Add points, one a line.");
    }
    return out;
}

}  // namespace seamwright::curves
