#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/region.h"

namespace seamwright::job {

/// A number to the nearest thousandth, without noughts at its end: "12.5", "-0.125", "0". Not finite: "null".
void append_thousandths(std::string& out, double value);

/// JSON text as it is built up (RFC 8259). Keys come in the order they are written; numbers are the shortest that read
/// back as the same double; a number that is not finite (the radius of a straight line) becomes null.
class JsonWriter {
  public:
    enum class Layout {
        indented,             ///< for people and files
        one_line_thousandths  ///< for a page: no spaces, numbers to 0.001
    };
    explicit JsonWriter(Layout layout = Layout::indented) : compact_(layout == Layout::one_line_thousandths) {}

    void begin_group(std::string_view key = {});
    void end_group();
    void begin_list(std::string_view key = {});
    void end_list();

    void text(std::string_view key, std::string_view value);
    void number(std::string_view key, double value);
    void number(std::string_view key, std::optional<double> value);  ///< null when absent
    void count(std::string_view key, std::size_t value);
    void whole(std::string_view key, int value);
    void flag(std::string_view key, bool value);
    void nothing(std::string_view key);
    /// A value that is JSON text already.
    void json(std::string_view key, std::string_view text);
    void texts(std::string_view key, const std::vector<std::string>& values);
    /// A list of numbers on one line.
    void numbers(std::string_view key, const std::vector<double>& values);
    void point(std::string_view key, geometry::Point p);
    void point(std::string_view key, const std::optional<geometry::Point>& p);
    void points(std::string_view key, const std::vector<geometry::Point>& values);
    void box(std::string_view key, const geometry::Box& b);
    /// Start, and for each segment its end; arcs with centre, radius and turn.
    void path(std::string_view key, const geometry::Path& path);
    void region(std::string_view key, const geometry::Region& region);

    std::string take();
    /// The same without the line end, to stand inside another document.
    std::string take_part();

  private:
    void entry(std::string_view key);
    void close(char bracket);
    template <class Value>
    void put_on_one_line(std::string_view key, const std::vector<Value>& values);
    void put(double value);
    void put(geometry::Point p);
    void put(std::string_view value);

    std::string_view gap() const { return compact_ ? "" : " "; }

    std::string out_;
    bool compact_ = false;
    std::size_t depth_ = 0;
    bool first_ = true;
};

}  // namespace seamwright::job
