#include "path_data.h"

#include <cmath>

#include "job/json_writer.h"

namespace seamwright::screen {
namespace {

using geometry::Point;
using geometry::Segment;

constexpr double widest_arc_rad = geometry::pi / 3.0;
/// A sixth of a turn that is a hair wider by rounding is not worth another arc.
constexpr double rounding = 1e-9;

void add(std::string& out, Point p) {
    job::append_thousandths(out, p.x);
    out += ' ';
    job::append_thousandths(out, p.y);
}

void add_arc_to(std::string& out, const Segment& arc, Point end) {
    out += 'A';
    job::append_thousandths(out, arc.radius_mm);
    out += ' ';
    job::append_thousandths(out, arc.radius_mm);
    // SVG's positive angle runs from +x to +y: counter-clockwise where y is up.
    out += arc.sweep_rad > 0.0 ? " 0 0 1 " : " 0 0 0 ";
    add(out, end);
}

void add(std::string& out, const Segment& s) {
    if (s.is_line()) {
        out += 'L';
        add(out, s.end);
        return;
    }
    const double parts = std::ceil(std::abs(s.sweep_rad) / widest_arc_rad - rounding);
    for (double i = 1.0; i < parts; i += 1.0) add_arc_to(out, s, geometry::point_at(s, i / parts));
    add_arc_to(out, s, s.end);
}

void add(std::string& out, const geometry::Path& path) {
    if (path.empty()) return;
    out += 'M';
    add(out, path.start());
    for (const Segment& s : path.segments) add(out, s);
    if (path.closed) out += 'Z';
}

}  // namespace

std::string path_data(const geometry::Path& path) {
    std::string out;
    add(out, path);
    return out;
}

std::string path_data(const geometry::Region& region) {
    std::string out;
    add(out, region.outer);
    for (const auto& hole : region.holes) add(out, hole);
    return out;
}

}  // namespace seamwright::screen
