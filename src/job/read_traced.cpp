#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "curves/import.h"
#include "parts.h"

namespace seamwright::job {

namespace {

using curves::Traced;

bool is_hex64(const std::string& text) {
    return text.size() == 64 && std::all_of(text.begin(), text.end(),
                                            [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f'); });
}

/// Lines of x, y and, if there, the scatter of that point; in mm.
bool read_table(Checker& checker, const Node& node, Traced& traced) {
    const std::string* text = node.value->text();
    if (text == nullptr) {
        checker.error(node, describe(*node.value),
                      "lines of two or three numbers in double quotes: x, y, scatter in mm",
                      "trace the picture again; the program writes this table itself");
        return false;
    }
    auto read = curves::read_trace_points(*text);
    if (const auto* problem = std::get_if<curves::ImportProblem>(&read)) {
        checker.error(node, fmt::format("line {}: {}", problem->line, problem->found), problem->allowed,
                      problem->remedy);
        return false;
    }
    auto& table = std::get<curves::TracePoints>(read);
    const auto outside = [](double c) { return !(c >= ranges::coordinate_mm.low && c <= ranges::coordinate_mm.high); };
    for (const Point p : table.points) {
        if (!outside(p.x) && !outside(p.y)) continue;
        checker.error(node, "a point far off the drawing", checker.say(ranges::coordinate_mm),
                      "trace the picture again; the numbers are in mm");
        return false;
    }
    traced.points = std::move(table.points);
    traced.scatter_mm = std::move(table.scatter_mm);
    return true;
}

std::optional<Traced::Source> read_source(Checker& checker, const Node& node) {
    const Group group(checker, node,
                      {"kind", "file", "sha256", "pixels", "pixel_mm", "marks", "residual_pixels",
                       "worst_residual_pixels", "near_mm", "overall_mm"});
    if (!group) return std::nullopt;
    Traced::Source source;
    bool good = true;
    if (const auto kind = group.need("kind", "\"photo\" or \"scan\"")) {
        const auto choice = read_choice(checker, *kind, {"photo", "scan"});
        good = choice.has_value();
        source.scan = choice == "scan";
    } else {
        good = false;
    }
    if (const auto file = group.find("file")) {
        const auto name = read_name(checker, *file);
        good = good && name;
        if (name) source.picture = *name;
    }
    if (const auto sum = group.find("sha256")) {
        const std::string* text = sum->value->text();
        if (text == nullptr || !is_hex64(*text)) {
            checker.error(*sum, describe(*sum->value), "64 digits 0-9, a-f in double quotes",
                          "trace the picture again, or take \"sha256\" out");
            good = false;
        } else {
            source.sha256 = *text;
        }
    }
    if (const auto pixels = group.find("pixels")) {
        const auto* list = pixels->value->list();
        if (list == nullptr || list->size() != 2) {
            checker.error(*pixels, describe(*pixels->value), "width and height, such as [4000, 3000]",
                          "trace the picture again, or take \"pixels\" out");
            good = false;
        } else {
            constexpr int most_across = 1'000'000;
            const auto width = read_whole(checker, child(*pixels, 0), 1, most_across);
            const auto height = read_whole(checker, child(*pixels, 1), 1, most_across);
            good = good && width && height;
            source.width_px = width.value_or(0);
            source.height_px = height.value_or(0);
        }
    }
    if (const auto marks = group.find("marks")) {
        const auto count = read_whole(checker, *marks, 0, 10'000);
        good = good && count;
        source.marks = count.value_or(0);
    }
    const auto number = [&](std::string_view name, std::string_view what, double& into) {
        const auto found = group.find(name);
        if (!found) return;
        const auto value = read_number(checker, *found, {0.0, 1e6}, what);
        good = good && value;
        into = value.value_or(0.0);
    };
    number("pixel_mm", "mm a pixel", source.mm_per_px);
    number("residual_pixels", "pixels", source.residual_px);
    number("worst_residual_pixels", "pixels", source.worst_residual_px);
    number("near_mm", "mm", source.near_mm);
    number("overall_mm", "mm", source.overall_mm);
    if (!good) return std::nullopt;
    return source;
}

}  // namespace

std::optional<Traced> read_traced(Checker& checker, const Node& node) {
    const Group group(
        checker, node,
        {"csv", "smooth_below", "band", "closed", "at", "turn_degrees", "run_on_start", "run_on_end", "picture"});
    if (!group) return std::nullopt;
    Traced traced;
    group.flag("closed", traced.closed);
    group.length("smooth_below", ranges::trace_wave_mm, traced.wave_mm);
    group.length("band", ranges::trace_band_mm, traced.band_mm);
    group.length("run_on_start", ranges::trace_run_on_mm, traced.run_on_start_mm);
    group.length("run_on_end", ranges::trace_run_on_mm, traced.run_on_end_mm);
    bool good = true;
    if (const auto at = group.find("at")) {
        const auto place = read_point(checker, *at);
        good = place.has_value();
        traced.at = place.value_or(Point{});
    }
    if (const auto turn = group.find("turn_degrees")) {
        const auto angle = read_angle(checker, *turn);
        good = good && angle;
        traced.turn_rad = angle.value_or(0.0);
    }
    if (const auto picture = group.find("picture")) {
        traced.source = read_source(checker, *picture);
        good = good && traced.source;
    }
    const auto csv =
        group.need("csv", "the points of the trace, as the program writes them: \"x,y,scatter\\n...\" in mm");
    if (!csv || !read_table(checker, *csv, traced) || !good) return std::nullopt;
    if (traced.closed && (traced.run_on_start_mm > 0.0 || traced.run_on_end_mm > 0.0)) {
        checker.error(node, "a closed trace that runs on at its ends", "on open traces only",
                      "take \"run_on_start\" and \"run_on_end\" out");
        return std::nullopt;
    }
    return traced;
}

}  // namespace seamwright::job
