// Gauge readings from text.

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "curves/as_made.h"
#include "import_text.h"
#include "shapes.h"

namespace seamwright::curves {

namespace {

constexpr const char* two_columns = "two numbers, position and deviation";
constexpr const char* columns_remedy =
    "Write one reading a line, such as 120.5, 0.03 or, with decimal commas, 120,5; 0,03.";

struct Unit {
    std::string_view name;
    double mm;
};
constexpr double inch_mm = 25.4;
/// The longest that fits counts, so that "0.01 mm" is not taken for "mm".
constexpr std::array units{Unit{"0.01 mm", 0.01},    Unit{"0,01 mm", 0.01},     Unit{"1/100 mm", 0.01},
                           Unit{"0.001 mm", 0.001},  Unit{"0,001 mm", 0.001},   Unit{"1/1000 mm", 0.001},
                           Unit{"0.001 in", 0.0254}, Unit{"1/1000 in", 0.0254}, Unit{"mm", 1.0},
                           Unit{"cm", 10.0},         Unit{"in", inch_mm},       Unit{"inch", inch_mm},
                           Unit{"m", 1000.0}};

bool is_blank(char c) {
    return c == ' ' || c == '\t';
}
bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

struct Cell {
    std::size_t at = 0;
    std::string_view text;
};

class Reader {
  public:
    Reader(std::string_view text, const ReadingUnits& given) : text_(text), given_(given) {}

    bool read() {
        constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
        std::size_t at = text_.substr(0, byte_order_mark.size()) == byte_order_mark ? byte_order_mark.size() : 0;
        std::size_t line = 1;
        bool first = true;
        while (at < text_.size()) {
            std::size_t end = at;
            while (end < text_.size() && text_[end] != '\n' && text_[end] != '\r') ++end;
            if (!take_line(at, end, line, first)) return false;
            if (end < text_.size()) {
                if (text_[end] == '\r' && end + 1 < text_.size() && text_[end + 1] == '\n') ++end;
                ++end;
                ++line;
            }
            at = end;
        }
        if (readings_.empty()) return fail(text_.size(), "no readings", "at least three readings", columns_remedy);
        return finish();
    }

    std::vector<Reading>& readings() { return readings_; }
    ImportProblem& problem() { return problem_; }

  private:
    bool fail(std::size_t at, std::string found, std::string allowed, std::string remedy) {
        problem_ = problem_at(text_, at, std::move(found), std::move(allowed), std::move(remedy));
        return false;
    }

    Cell trimmed(std::size_t from, std::size_t to) const {
        while (from < to && is_blank(text_[from])) ++from;
        while (to > from && is_blank(text_[to - 1])) --to;
        return {from, text_.substr(from, to - from)};
    }

    static std::string quoted(std::string_view cell) {
        constexpr std::size_t most_shown = 40;
        std::string out = "\"";
        for (const char c : cell.substr(0, most_shown)) out += c >= ' ' && c < '\x7f' ? c : '?';
        return out + (cell.size() > most_shown ? "…\"" : "\"");
    }

    bool take_line(std::size_t at, std::size_t end, std::size_t line, bool& first) {
        const Cell whole = trimmed(at, end);
        if (whole.text.empty() || whole.text.front() == '#') return true;
        if (first) {
            first = false;
            const auto has = [&](char c) { return whole.text.find(c) != std::string_view::npos; };
            parted_by_ = has(';') ? ';' : (has('\t') ? '\t' : ',');
            const char c = whole.text.front();
            const bool words = !is_digit(c) && c != '-' && c != '+' && c != '.' && c != ',' && c != ';';
            if (words) return take_heading(whole);
        }
        if (readings_.size() >= most_readings) {
            return fail(whole.at, "more than " + std::to_string(most_readings) + " readings",
                        "at most " + std::to_string(most_readings), "Split the edge into parts.");
        }
        std::array<Cell, 2> cells;
        if (!split(whole, cells)) return false;
        Reading reading;
        reading.line = line;
        if (!number(cells[0], reading.at_mm) || !number(cells[1], reading.height_mm)) return false;
        readings_.push_back(reading);
        places_.push_back(whole.at);
        return true;
    }

    bool split(const Cell& whole, std::array<Cell, 2>& cells) {
        const std::size_t parts =
            1 + static_cast<std::size_t>(std::count(whole.text.begin(), whole.text.end(), parted_by_));
        if (parts != 2) {
            const std::string by = parted_by_ == '\t' ? "a tab" : (parted_by_ == ';' ? "a semicolon" : "a comma");
            std::string remedy = columns_remedy;
            if (parted_by_ == ',' && parts > 2) remedy = "With decimal commas, part the two numbers by a semicolon.";
            return fail(whole.at, std::to_string(parts) + (parts == 1 ? " column" : " columns") + " on the line",
                        std::string(two_columns) + ", parted by " + by, remedy);
        }
        const std::size_t cut = whole.at + whole.text.find(parted_by_);
        cells[0] = trimmed(whole.at, cut);
        cells[1] = trimmed(cut + 1, whole.at + whole.text.size());
        return true;
    }

    bool number(const Cell& cell, double& value) {
        std::string text(cell.text);
        if (parted_by_ != ',') {
            const bool point = text.find('.') != std::string::npos;
            const std::size_t comma = text.find(',');
            if (comma != std::string::npos) {
                if (point || text.find(',', comma + 1) != std::string::npos) {
                    return fail(cell.at, quoted(cell.text), "a number with one decimal mark",
                                "Leave out marks between thousands.");
                }
                text[comma] = '.';
            }
        }
        const std::size_t length = number_length(text, 0);
        if (length == 0 || length != text.size()) {
            return fail(cell.at, text.empty() ? "nothing" : quoted(cell.text), two_columns, columns_remedy);
        }
        value = number_value(text);
        return true;
    }

    bool take_heading(const Cell& whole) {
        std::array<Cell, 2> cells;
        if (!split(whole, cells)) return false;
        heading_ = {unit_of(cells[0].text), unit_of(cells[1].text)};
        heading_at_ = {cells[0].at, cells[1].at};
        return true;
    }

    static std::optional<double> unit_of(std::string_view word) {
        while (!word.empty() && (word.back() == ')' || word.back() == ']' || word.back() == '"')) word.remove_suffix(1);
        std::optional<double> found;
        std::size_t longest = 0;
        for (const Unit& unit : units) {
            if (word.size() < unit.name.size() || unit.name.size() <= longest) continue;
            const std::size_t from = word.size() - unit.name.size();
            if (word.substr(from) != unit.name) continue;
            // "edge 10 mm" is millimetres; "trim" is no unit.
            const bool stands_alone = from == 0 || word[from - 1] == ' ' || word[from - 1] == '(' ||
                                      word[from - 1] == '[' || word[from - 1] == '"';
            if (!stands_alone) continue;
            found = unit.mm;
            longest = unit.name.size();
        }
        return found;
    }

    bool settle_unit(std::size_t column, const std::optional<double>& given, double& mm) {
        const char* const name = column == 0 ? "position" : "deviation";
        const std::optional<double>& stated = heading_[column];
        if (given && (!(*given > 0.0) || !usable(*given))) {
            return fail(0, "a unit of " + plain(*given) + " mm for the " + name, "a unit above nothing",
                        "Give the size of one unit in mm, such as 25.4 for inches.");
        }
        if (stated && given && *stated != *given) {
            return fail(heading_at_[column],
                        "a heading that says " + plain(*stated) + " mm, where " + plain(*given) + " mm was chosen",
                        "one unit for the " + std::string(name), "Change the heading, or choose its unit.");
        }
        if (!stated && !given) {
            return fail(0, std::string("no unit for the ") + name,
                        "a heading with units, such as position mm; deviation mm",
                        "Write the heading, or choose the unit.");
        }
        mm = stated ? *stated : *given;
        return true;
    }

    bool finish() {
        double position = 1.0;
        double deviation = 1.0;
        if (!settle_unit(0, given_.position_mm, position) || !settle_unit(1, given_.deviation_mm, deviation))
            return false;
        for (std::size_t i = 0; i < readings_.size(); ++i) {
            Reading& r = readings_[i];
            r.at_mm *= position;
            r.height_mm *= deviation;
            if (!usable(r.at_mm) || r.at_mm < 0.0) {
                return fail(places_[i], "a position of " + plain(r.at_mm) + " mm",
                            "positions from nothing to a kilometre",
                            "Measure along the edge from its start, and check the unit.");
            }
            if (!(std::abs(r.height_mm) <= most_deviation_mm)) {
                return fail(places_[i], "a deviation of " + plain(r.height_mm) + " mm",
                            "deviations up to " + plain(most_deviation_mm) + " mm", "Check the number and its unit.");
            }
        }
        std::vector<std::size_t> order(readings_.size());
        for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
        std::stable_sort(order.begin(), order.end(),
                         [this](std::size_t a, std::size_t b) { return readings_[a].at_mm < readings_[b].at_mm; });
        for (std::size_t i = 1; i < order.size(); ++i) {
            const Reading& here = readings_[order[i]];
            const Reading& before = readings_[order[i - 1]];
            if (here.at_mm == before.at_mm) {
                return fail(places_[order[i]],
                            "a second reading at " + plain(here.at_mm) + " mm, after that of line " +
                                std::to_string(before.line),
                            "one reading for each place", "Take one of the two out.");
            }
        }
        std::vector<Reading> sorted;
        sorted.reserve(readings_.size());
        for (const std::size_t i : order) sorted.push_back(readings_[i]);
        readings_ = std::move(sorted);
        if (readings_.size() < 3) {
            return fail(text_.size(),
                        std::to_string(readings_.size()) + (readings_.size() == 1 ? " reading" : " readings"),
                        "at least three readings", "Take more readings along the edge.");
        }
        return true;
    }

    std::string_view text_;
    const ReadingUnits& given_;
    char parted_by_ = ',';
    std::array<std::optional<double>, 2> heading_;
    std::array<std::size_t, 2> heading_at_{};
    std::vector<Reading> readings_;
    std::vector<std::size_t> places_;
    ImportProblem problem_;
};

}  // namespace

std::string write_readings(const std::vector<Reading>& readings) {
    std::string out = "position mm;deviation mm\n";
    const auto add = [&](double value, char after) {
        std::array<char, 32> digits{};
        const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value);
        out.append(digits.data(), end.ptr);
        out += after;
    };
    for (const Reading& reading : readings) {
        add(reading.at_mm, ';');
        add(reading.height_mm, '\n');
    }
    return out;
}

std::variant<std::vector<Reading>, ImportProblem> read_readings(std::string_view text, const ReadingUnits& given) {
    Reader reader(text, given);
    if (!reader.read()) return std::move(reader.problem());
    return std::move(reader.readings());
}

}  // namespace seamwright::curves
