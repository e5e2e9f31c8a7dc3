#include "curves/import.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "carry_on.h"
#include "draw.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

struct UnitWord {
    std::string_view word;
    double mm;
    const char* svg;  ///< as "unit_size" says it
    bool csv;         ///< "points" knows it
};
/// CSS Values 3 and SVG 2: 96 px to the inch.
constexpr std::array<UnitWord, 5> units_known{{{"mm", 1.0, "1 mm", true},
                                               {"cm", 10.0, "10 mm", true},
                                               {"m", 1000.0, "1000 mm", true},
                                               {"in", units::mm_per_inch, "1 in", true},
                                               {"px", units::mm_per_inch / 96.0, "1/96 in", false}}};

[[noreturn]] void refuse_import(const Import& import, const curves::ImportProblem& problem) {
    refuse(import.pointer, fmt::format("line {}: {}", problem.line, problem.found), problem.allowed, problem.remedy);
}

/// The raw text as the document keeps it, and whether it closes.
struct Brought {
    Json curve = Json::object();
    geometry::Path path;
};

Brought brought(const Import& import, const UnitWord& unit) {
    Brought result;
    if (import.svg_path) {
        std::string d = *import.svg_path;
        // A path element may be broken over lines.
        std::replace_if(d.begin(), d.end(), [](char c) { return c == '\n' || c == '\r' || c == '\t'; }, ' ');
        auto read = curves::read_svg_path(d, unit.mm, false);
        if (const auto* problem = std::get_if<curves::ImportProblem>(&read)) refuse_import(import, *problem);
        result.path = std::move(std::get<curves::Imported>(read).path);
        result.curve["svg_path"] = {{"d", std::move(d)}, {"unit_size", unit.svg}};
        return result;
    }
    auto read = curves::read_csv_points(*import.csv, unit.mm, false);
    if (const auto* problem = std::get_if<curves::ImportProblem>(&read)) refuse_import(import, *problem);
    result.path = std::move(std::get<curves::Imported>(read).path);
    result.curve["points"] = {{"csv", *import.csv}, {"unit", std::string(unit.word)}};
    if (result.path.closed) result.curve["points"]["closed"] = true;
    return result;
}

/// A drawing made elsewhere has its own origin. One whose middle lies off the top is brought to its middle.
void bring_onto_top(Bench& bench, Brought& drawing) {
    if (bench.outline().empty() || drawing.path.empty()) return;
    const geometry::Box top = geometry::bounding_box(bench.outline());
    const geometry::Box own = geometry::bounding_box(drawing.path);
    const Point middle = geometry::midpoint(own.low, own.high);
    if (geometry::Box{middle, middle}.meets(top)) return;
    const Ruler ruler = bench.ruler();
    const Point by = geometry::midpoint(top.low, top.high) - middle;
    Json& group = *drawing.curve.begin();
    group["move"] = ruler.written(ruler.rounded(by));
}

/// Puts a curve brought in from elsewhere into the seam at `pointer`, or into a new one.
std::string put_curve_into(Bench& bench, const std::string& pointer, const std::string& name, Json curve, bool closed) {
    const char* kind = closed ? "inlay" : "open";
    if (!pointer.empty()) {
        const Steps seam = seam_of(bench, pointer);
        Json& changed = *find(bench.change(), seam);
        changed["kind"] = kind;
        changed.erase("width");
        changed["curve"] = std::move(curve);
        return fmt::format("{} brought in", capitalised(owner_words(bench.tree(), seam)));
    }
    Json seam = Json::object();
    seam["name"] =
        name.empty() ? Json(free_seam_name(bench.tree())) : typed(bench.tree(), {"seams", "0", "name"}, name);
    seam["kind"] = kind;
    seam["curve"] = std::move(curve);
    std::string says = fmt::format("{} brought in", capitalised(seam["name"].get<std::string>()));
    bench.change()["seams"].push_back(std::move(seam));
    return says;
}

}  // namespace

std::string import_curve(Bench& bench, const Import& import) {
    if (import.svg_path.has_value() == import.csv.has_value()) {
        refuse(import.pointer, import.csv ? "path data and points at once" : "nothing to bring in",
               "the path data of an SVG drawing, or a table of points", "give one of the two");
    }
    const auto unit =
        std::find_if(units_known.begin(), units_known.end(), [&](const UnitWord& u) { return u.word == import.unit; });
    if (unit == units_known.end() || (import.csv && !unit->csv)) {
        refuse(import.pointer, fmt::format("the unit \"{}\"", std::string_view(import.unit).substr(0, 20)),
               import.csv ? "mm, cm, m or in" : "mm, cm, m, in or px", "say what one unit of the drawing measures");
    }
    Brought drawing = brought(import, *unit);
    if (drawing.path.empty())
        refuse(import.pointer, "a drawing without any line", "a line with some length", "check the drawing");
    bring_onto_top(bench, drawing);
    return put_curve_into(bench, import.pointer, import.name, std::move(drawing.curve), drawing.path.closed);
}

std::string bring_trace(Bench& bench, const std::string& pointer, const Json& traced, const std::string& name) {
    if (!traced.is_object()) refuse(pointer, "a trace that is no group", "a trace of a picture", "trace it again");
    Json curve = Json::object();
    curve["traced"] = traced;
    // The table stands in mm; the rest in the unit of the job, and what a trace says of itself is written with it.
    const Json* closed = find(curve, {"traced", "closed"});
    const bool closes = closed != nullptr && *closed == true;
    const Ruler ruler = bench.ruler();
    if (!bench.outline().empty()) {
        const geometry::Box top = geometry::bounding_box(bench.outline());
        curve["traced"]["at"] = ruler.written(ruler.rounded(geometry::midpoint(top.low, top.high)));
    }
    std::string says = put_curve_into(bench, pointer, name, std::move(curve), closes);
    if (closes || bench.outline().empty()) return says;
    const job::Job& job = bench.document().job;
    const std::size_t index = pointer.empty() ? job.seams.size() - 1 : *index_of(seam_of(bench, pointer).back());
    if (index >= job.seams.size()) return says;
    const auto longer = carried_on(job.seams[index].curve, bench.field());
    if (longer && !longer->to_document) put_curve(bench, Steps{"seams"} / index / "curve", longer->curve);
    return says;
}

}  // namespace seamwright::edit
