#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "curves/import.h"
#include "parts.h"

namespace seamwright::job {

namespace {

using curves::Imported;

void move(Imported& imported, Point by) {
    for (geometry::Segment& s : imported.path.segments) {
        s.start = s.start + by;
        s.end = s.end + by;
        if (s.is_arc()) s.centre = s.centre + by;
    }
}

/// Brings an import to its place, and refuses what is empty or far off the drawing.
std::optional<Imported> place(Checker& checker, const Node& source, std::variant<Imported, curves::ImportProblem> read,
                              Point by) {
    if (const auto* problem = std::get_if<curves::ImportProblem>(&read)) {
        checker.error(source, fmt::format("line {}: {}", problem->line, problem->found), problem->allowed,
                      problem->remedy);
        return std::nullopt;
    }
    Imported& imported = std::get<Imported>(read);
    if (imported.path.empty()) {
        checker.error(source, "a drawing without any line", "a line with some length", "check the drawing");
        return std::nullopt;
    }
    move(imported, by);
    const auto outside = [](double c) { return !(c >= ranges::coordinate_mm.low && c <= ranges::coordinate_mm.high); };
    for (const geometry::Segment& s : imported.path.segments) {
        if (outside(s.start.x) || outside(s.start.y) || outside(s.end.x) || outside(s.end.y)) {
            checker.error(source, "a point far off the drawing", checker.say(ranges::coordinate_mm),
                          "check the unit of the numbers");
            return std::nullopt;
        }
    }
    return std::move(imported);
}

/// mm per number of a unit word.
std::optional<double> mm_per(std::string_view unit) {
    if (unit == "mm") return 1.0;
    if (unit == "cm") return 10.0;
    if (unit == "m") return 1000.0;
    if (unit == "in") return units::mm_per_inch;
    return std::nullopt;
}

/// The centre of an arc may lie far off the drawing: an almost straight one has its centre kilometres away.
std::optional<Point> read_centre(Checker& checker, const Node& node) {
    if (node.value->list() == nullptr || node.value->list()->size() != 2) return read_point(checker, node);
    constexpr Range anywhere_mm{-1e15, 1e15};
    const auto x = read_length(checker, child(node, 0), anywhere_mm);
    const auto y = read_length(checker, child(node, 1), anywhere_mm);
    if (!x || !y) return std::nullopt;
    return Point{*x, *y};
}

/// How far the parts of an arc may disagree: what was typed to a thousandth passes, and so does rounding of a centre
/// that is far away (heading and centre each lose about an ulp of the radius).
double loose_mm(double radius_mm) {
    return 0.001 + 16.0 * std::numeric_limits<double>::epsilon() * radius_mm;
}

/// Largest distance between what start, end, centre, radius and sweep of an arc say about its ends.
double disagreement_mm(const geometry::Segment& arc) {
    const Point end =
        arc.centre + arc.radius_mm * geometry::unit(geometry::heading(arc.start - arc.centre) + arc.sweep_rad);
    return std::max(std::abs(geometry::distance(arc.centre, arc.start) - arc.radius_mm),
                    geometry::distance(end, arc.end));
}

/// What makes an arc of a piece: centre, radius and turn.
bool read_turn(Checker& checker, const Group& piece, geometry::Segment& s) {
    bool good = piece.need_length("radius", {1e-6, 1e15}, "the radius of the arc", s.radius_mm);
    const auto centre = piece.need("centre", "the centre of the arc");
    const auto middle = centre ? read_centre(checker, *centre) : std::nullopt;
    if (middle) s.centre = *middle;
    const auto sweep = piece.need("sweep_radians", "the turn of the arc, + to the left");
    if (!middle || !sweep) return false;
    const auto turn = read_number(checker, *sweep, {-2.0 * geometry::pi, 2.0 * geometry::pi}, "radians, not 0");
    if (!turn) return false;
    s.sweep_rad = *turn;
    if (s.sweep_rad == 0.0) {
        checker.error(*sweep, "0", "a turn to the left (+) or right (−)", "leave centre and radius out for a line");
        good = false;
    }
    return good;
}

}  // namespace

std::optional<Imported> read_svg_path(Checker& checker, const Node& node) {
    const Group group(checker, node, {"d", "unit_size", "y_up", "move"});
    bool y_up = false;
    group.flag("y_up", y_up);
    Point by;
    if (const auto move = group.find("move")) by = read_point(checker, *move).value_or(Point{});
    // There is no safe default: the same path is 1 mm, 1/96 in or anything else per unit, by the drawing it came from.
    constexpr Range unit_size_mm{1e-6, 1e4};
    double mm_per_unit = 1.0;
    const bool sized = group.need_length("unit_size", unit_size_mm,
                                         "the length of one unit of the drawing: \"1 mm\" if it was drawn in mm, "
                                         "\"1/96 in\" for plain SVG pixels",
                                         mm_per_unit);
    const auto d = group.need("d", "the path data, such as \"M 0 0 C 100 50 200 50 300 0\"");
    if (!d) return std::nullopt;
    const std::string* text = d->value->text();
    if (text == nullptr) {
        checker.error(*d, describe(*d->value), "SVG path data in double quotes", "copy the d of the path element");
        return std::nullopt;
    }
    auto imported = place(checker, *d, curves::read_svg_path(*text, mm_per_unit, y_up), by);
    if (!sized) return std::nullopt;
    return imported;
}

std::optional<std::string> read_table_text(Checker& checker, const Node& from, bool names_a_file, std::string_view what,
                                           std::string_view remedy) {
    if (!names_a_file) {
        const std::string* text = from.value->text();
        if (text == nullptr) {
            checker.error(from, describe(*from.value), "lines of two numbers in double quotes", std::string(remedy));
            return std::nullopt;
        }
        return *text;
    }
    const auto name = read_name(checker, from);
    if (!name) return std::nullopt;
    std::string why;
    auto text = checker.fetch(*name, why);
    if (!text) {
        checker.error(from, fmt::format("{}: {}", quote(*name), why),
                      fmt::format("a file of {} that can be read", what), "check the name and where the file lies");
        return std::nullopt;
    }
    if (text->size() > largest_document_bytes || first_not_utf8(*text)) {
        checker.error(from,
                      fmt::format("{}, which is {}", quote(*name),
                                  text->size() > largest_document_bytes ? "too large" : "not plain text"),
                      fmt::format("a text file of {} in UTF-8, up to 64 MiB", what),
                      fmt::format("save the {} as plain text (CSV)", what));
        return std::nullopt;
    }
    return text;
}

std::optional<Imported> read_points_file(Checker& checker, const Node& node) {
    const Group group(checker, node, {"csv", "file", "unit", "closed", "move"});
    bool closed = false;
    group.flag("closed", closed);
    double mm_per_number = checker.unit == units::Unit::inch ? units::mm_per_inch : 1.0;
    if (const auto unit = group.find("unit")) {
        const auto word = read_choice(checker, *unit, {"mm", "cm", "m", "in"});
        if (word) mm_per_number = mm_per(*word).value_or(mm_per_number);
    }
    Point by;
    if (const auto move = group.find("move")) by = read_point(checker, *move).value_or(Point{});

    const auto source = group.exactly_one({"csv", "file"}, "points");
    if (!source) return std::nullopt;
    const Node from = *group.find(*source);
    const auto text = read_table_text(checker, from, *source == "file", "points",
                                      "write \"x,y\\nx,y\\n...\", or name a file with \"file\"");
    if (!text) return std::nullopt;
    return place(checker, from, curves::read_csv_points(*text, mm_per_number, closed), by);
}

std::optional<Imported> read_lines_and_arcs(Checker& checker, const Node& node) {
    const Group group(checker, node, {"start", "closed", "bound", "segments"});
    Imported imported;
    group.flag("closed", imported.path.closed);
    group.length("bound", {0.0, 1.0}, imported.bound_mm);
    Point at;
    bool good = group.need_point("start", "where the line starts, such as [0, 150]", at);
    const auto list = group.need("segments", "the lines and arcs: [{ \"to\": [x, y] }, ...]");
    if (!list) return std::nullopt;
    const auto items = read_list(checker, *list, curves::most_import_points);
    for (const Node& item : items) {
        const Group one(checker, item, {"from", "to", "centre", "radius", "sweep_radians"});
        geometry::Segment s;
        s.start = at;
        if (const auto from = one.find("from")) {
            const auto point = read_point(checker, *from);
            good = good && point;
            s.start = point.value_or(at);
        }
        good = one.need_point("to", "where this piece ends", s.end) && good;
        const bool arc = one.find("centre") || one.find("radius") || one.find("sweep_radians");
        if (arc) good = read_turn(checker, one, s) && good;
        if (!good) {
            at = s.end;
            continue;
        }
        if ((s.is_arc() && disagreement_mm(s) > loose_mm(s.radius_mm)) ||
            geometry::distance(s.start, at) > loose_mm(0.0)) {
            checker.error(item, "a piece whose start, end, centre and radius do not fit together",
                          "pieces that follow one another, to 0.001 mm", "check the numbers of this piece", s.start);
            good = false;
        }
        imported.path.segments.push_back(s);
        at = s.end;
    }
    if (items.empty() && list->value->list() != nullptr && list->value->list()->empty()) {
        checker.error(*list, "no lines and no arcs", "at least one", "add the pieces of the line");
    }
    if (!good || imported.path.empty()) return std::nullopt;
    if (imported.path.closed && geometry::distance(imported.path.start(), imported.path.end()) > loose_mm(0.0)) {
        checker.error(node, "a closed line whose end is not at its start", "an end at the start", "add the last piece",
                      imported.path.end());
        return std::nullopt;
    }
    return imported;
}

}  // namespace seamwright::job
