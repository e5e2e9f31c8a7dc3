// The points of a trace as text. Written and read by the program alone, so there is one spelling only.

#include <array>
#include <charconv>
#include <cmath>

#include "curves/import.h"
#include "import_text.h"
#include "shapes.h"

namespace seamwright::curves {

namespace {

constexpr const char* allowed = "lines of two or three numbers parted by commas: x, y and scatter, in mm";
constexpr const char* remedy = "Trace the picture again; the program writes this table itself.";

class Reader {
  public:
    explicit Reader(std::string_view text) : text_(text) {}

    std::variant<TracePoints, ImportProblem> read() {
        while (at_ < text_.size()) {
            if (text_[at_] == '\n') {
                ++at_;
                continue;
            }
            if (!read_line()) return std::move(problem_);
        }
        if (table_.points.size() < 3) {
            fail(text_.size(), std::to_string(table_.points.size()) + " points");
            problem_.allowed = "at least three points";
            return std::move(problem_);
        }
        return std::move(table_);
    }

  private:
    bool fail(std::size_t at, std::string found) {
        problem_ = problem_at(text_, at, std::move(found), allowed, remedy);
        return false;
    }

    bool read_line() {
        std::array<double, 3> numbers{};
        std::size_t count = 0;
        const std::size_t line = at_;
        while (true) {
            if (count == numbers.size()) return fail(at_, "more than three numbers on the line");
            if (!read_number(numbers[count])) return false;
            ++count;
            if (at_ >= text_.size() || text_[at_] == '\n') break;
            if (text_[at_] != ',') return fail(at_, shown(text_, at_));
            ++at_;
        }
        if (count < 2) return fail(line, "one number on the line");
        if (!table_.points.empty() && (count == 3) == table_.scatter_mm.empty())
            return fail(line, "a scatter on some lines and not on others");
        if (table_.points.size() >= most_trace_points) {
            fail(line, "more than " + std::to_string(most_trace_points) + " points");
            return false;
        }
        table_.points.push_back({numbers[0], numbers[1]});
        if (count == 2) return true;
        if (!(numbers[2] >= least_scatter_mm)) {
            fail(line, "a scatter of " + plain(numbers[2]) + " mm");
            problem_.allowed = "a scatter of at least " + plain(least_scatter_mm) + " mm";
            return false;
        }
        table_.scatter_mm.push_back(numbers[2]);
        return true;
    }

    bool read_number(double& value) {
        const std::size_t length = number_length(text_, at_);
        if (length == 0) {
            return at_ < text_.size() && text_[at_] != '\n' ? fail(at_, shown(text_, at_))
                                                            : fail(at_, "a number that is missing");
        }
        value = number_value(text_.substr(at_, length));
        if (!usable(value)) return fail(at_, "a number beyond a kilometre");
        at_ += length;
        return true;
    }

    std::string_view text_;
    std::size_t at_ = 0;
    TracePoints table_;
    ImportProblem problem_;
};

void append(std::string& out, double value) {
    std::array<char, 32> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value);
    out.append(digits.data(), end.ptr);
}

}  // namespace

std::variant<TracePoints, ImportProblem> read_trace_points(std::string_view text) {
    return Reader(text).read();
}

std::string write_trace_points(const std::vector<Point>& points, const std::vector<double>& scatter_mm) {
    std::string out;
    for (std::size_t i = 0; i < points.size(); ++i) {
        append(out, points[i].x);
        out += ',';
        append(out, points[i].y);
        if (i < scatter_mm.size()) {
            out += ',';
            append(out, scatter_mm[i]);
        }
        out += '\n';
    }
    return out;
}

}  // namespace seamwright::curves
