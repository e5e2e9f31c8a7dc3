#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "curves/drawn.h"
#include "geometry/point.h"

namespace seamwright::job {

/// JSON text as it is built up: groups and lists over several lines, points on one.
class Writer {
  public:
    void begin_group(std::string_view name = {});
    void end_group();
    void begin_list(std::string_view name = {});
    void end_list();

    void text(std::string_view name, std::string_view value);
    void number(std::string_view name, double value);
    void flag(std::string_view name, bool value);
    void point(std::string_view name, geometry::Point p);
    void points(std::string_view name, const std::vector<geometry::Point>& list);
    void texts(std::string_view name, const std::vector<std::string>& list);

    std::string take();

  private:
    void entry(std::string_view name);
    void close(char bracket);
    void put_point(geometry::Point p);
    void put_text(std::string_view value);

    std::string out_;
    std::size_t depth_ = 0;
    bool first_ = true;
};

void write_curve(Writer& writer, std::string_view name, const curves::Curve& curve);

}  // namespace seamwright::job
