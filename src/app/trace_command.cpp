#include "trace_command.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <ostream>
#include <variant>

#include "app/read_files.h"
#include "asked_text.h"
#include "edit/open_job.h"
#include "job/read.h"
#include "paper/mark_sheets.h"
#include "plan/sha256.h"
#include "trace/as_curve.h"
#include "trace_words.h"
#include "units/length.h"

namespace seamwright::app {
namespace {

namespace fs = std::filesystem;
using geometry::Point;
using trace::TraceProblem;

trace::Taped taped_in(const std::string& text, const TraceWish& wish) {
    const auto dash = text.find('-'), equals = text.find('=');
    trace::Taped taped;
    const std::string_view all = text;
    if (dash == std::string::npos || equals == std::string::npos || dash > equals ||
        !whole_text(all.substr(0, dash), taped.from_mark) ||
        !whole_text(all.substr(dash + 1, equals - dash - 1), taped.to_mark) || taped.from_mark == taped.to_mark ||
        taped.from_mark < 0 || taped.to_mark < 0 || taped.from_mark >= trace::mark_count ||
        taped.to_mark >= trace::mark_count) {
        throw Stop{Exit::bad_input, fmt::format("--tape {}: this is no measured distance.", text),
                   "Write the numbers of two marks and the distance between their middles, such as 0-17=1204."};
    }
    taped.apart_mm = length_in(text.substr(equals + 1), unit_in(wish.unit), "--tape");
    if (!(taped.apart_mm > 0.0)) {
        throw Stop{Exit::bad_input, fmt::format("--tape {}: no distance.", text), "Measure from middle to middle."};
    }
    return taped;
}

trace::LineSettings line_settings(const TraceWish& wish) {
    trace::LineSettings line;
    if (wish.edge) line.kind = trace::LineKind::edge;
    if (!wish.from.empty()) line.start_px = place_in(wish.from, "--from");
    if (!wish.to.empty()) line.end_px = place_in(wish.to, "--to");
    for (const std::string& place : wish.through) line.through_px.push_back(place_in(place, "--through"));
    return line;
}

void check_together(const TraceWish& wish) {
    const auto only_photos = [&](bool given, const char* option) {
        if (given && wish.scan) {
            throw Stop{Exit::bad_input, fmt::format("{} is for photos; a scan has no need of it.", option),
                       fmt::format("Take {} out, or --scan.", option)};
        }
    };
    only_photos(!wish.taped.empty(), "--tape");
    only_photos(!wish.above.empty(), "--above");
    if (wish.per_inch && !wish.scan) {
        throw Stop{Exit::bad_input, "--per-inch is for scans.", "Say --scan as well, or take it out."};
    }
    if (wish.pictures.size() > 1 && !wish.scan) {
        throw Stop{Exit::bad_input, "Several photos at once.",
                   "Give one photo of the whole line; several scans, strip after strip, go with --scan."};
    }
    if (wish.pictures.size() > trace::most_scans) {
        throw Stop{Exit::bad_input, fmt::format("{} scans.", wish.pictures.size()),
                   fmt::format("Join at most {} at once.", trace::most_scans)};
    }
    if (!wish.job.empty() && wish.output.empty()) {
        throw Stop{Exit::bad_input, "--into without -o: it is not said where the changed job goes.",
                   "Name a file for it with -o; it may be the job file itself."};
    }
    if (!wish.seam.empty() && wish.job.empty()) {
        throw Stop{Exit::bad_input, "--seam without --into.", "Name the job file with --into."};
    }
}

std::variant<trace::Trace, TraceProblem> traced(const TraceWish& wish,
                                                const std::vector<std::vector<std::uint8_t>>& files) {
    if (!wish.scan) {
        trace::PhotoSettings settings;
        settings.line = line_settings(wish);
        for (const std::string& taped : wish.taped) settings.view.taped.push_back(taped_in(taped, wish));
        if (!wish.above.empty()) settings.view.above_marks_mm = length_in(wish.above, unit_in(wish.unit), "--above");
        return trace::trace_photo(files.front(), settings);
    }
    trace::ScanSettings settings;
    settings.line = line_settings(wish);
    settings.per_inch = wish.per_inch;
    std::vector<std::span<const std::uint8_t>> all(files.begin(), files.end());
    return trace::trace_scans(all, settings);
}

std::string at_pixel(const std::optional<Point>& at) {
    return at ? fmt::format(" (at {:.0f},{:.0f} in the picture)", at->x, at->y) : std::string();
}

void tell(const trace::Trace& found, const TraceWish& wish, std::ostream& out) {
    units::LengthStyle style;
    style.unit = wish.unit == "in" ? units::Unit::inch : units::Unit::millimetre;
    const TraceWords words = words_of(found, wish.scan, style);
    std::string names;
    for (const std::string& name : wish.pictures)
        names += (names.empty() ? "" : ", ") + fs::path(name).filename().string();
    say(out, "", fmt::format("{}: {}", names, words.line));
    say(out, "  Picture    ", words.picture);
    if (!words.marks.empty()) say(out, "  Marks      ", words.marks);
    say(out, "  Trust it   ", words.trust);
    for (const trace::TraceUse& use : words.uses) say(out, use.good ? "  +          " : "  −          ", use.says);
    for (const TraceProblem& remark : found.remarks)
        say(out, "  Mind       ", fmt::format("{}{} {}", remark.reason, at_pixel(remark.at_px), remark.remedy));
    const trace::Overlay &first = found.pictures.front(), &last = found.pictures.back();
    if (!first.line_px.empty() && !found.closed) {
        say(out, "  Its ends   ",
            fmt::format("{:.0f},{:.0f} and {:.0f},{:.0f}; others are chosen with --from and --to",
                        first.line_px.front().x, first.line_px.front().y, last.line_px.back().x,
                        last.line_px.back().y));
    }
}

std::string pointer_of(const edit::OpenJob& job, const std::string& seam) {
    if (seam.empty()) return {};
    const auto& seams = job.document().job.seams;
    std::string known;
    for (std::size_t i = 0; i < seams.size(); ++i) {
        if (seams[i].name == seam) return fmt::format("/seams/{}", i);
        known += (known.empty() ? "" : ", ") + seams[i].name;
    }
    throw Stop{
        Exit::bad_input, fmt::format("The job has no seam named {}.", seam),
        known.empty() ? "Leave --seam out: the trace becomes a new seam." : fmt::format("Its seams: {}.", known)};
}

[[noreturn]] void refuse(const std::vector<job::Problem>& problems) {
    std::string all;
    for (const job::Problem& problem : problems) all += (all.empty() ? "" : "; ") + job::show(problem);
    throw Stop{Exit::bad_input, all, "Nothing was written."};
}

std::string job_with(const TraceWish& wish, const curves::Traced& curve, std::istream& in) {
    const auto text = read_job_text(wish.job, in);
    if (const auto* why = std::get_if<FileRefusal>(&text)) throw Stop{Exit::bad_input, why->reason, why->remedy};
    const auto opened = edit::OpenJob::open(std::get<std::string>(text));
    if (const auto* why = std::get_if<edit::Refused>(&opened)) refuse(why->problems);
    const auto& job = std::get<edit::OpenJob>(opened);
    nlohmann::ordered_json change;
    change["trace"] = pointer_of(job, wish.seam);
    change["traced"] = nlohmann::ordered_json::parse(job::write_traced(curve));
    auto edited = job.edited(nlohmann::ordered_json::array({change}).dump());
    if (const auto* why = std::get_if<edit::Refused>(&edited)) refuse(why->problems);
    return std::get<edit::OpenJob::Edited>(edited).job.text();
}

}  // namespace

void add_trace_options(CLI::App& command, TraceWish& wish) {
    command.add_option("PICTURE", wish.pictures, "A photo with reference marks, or with --scan one scan or several")
        ->required()
        ->type_name("");
    command.add_flag("--scan", wish.scan, "Flatbed scans; of a long line strip after strip, from one end to the other");
    command.add_option("--per-inch", wish.per_inch, "Pixels per inch of the scans; otherwise as the file notes it")
        ->type_name("NUMBER")
        ->check(CLI::Range(75.0, 4800.0).description(""));
    command.add_flag("--edge", wish.edge, "Follow the edge of a template, not a drawn line");
    command.add_option("--from", wish.from, "Where the line begins, in pixels from the left and the top")
        ->type_name("X,Y");
    command.add_option("--to", wish.to, "Where it ends")->type_name("X,Y");
    command.add_option("--through", wish.through, "A place it passes; as often as needed, in order")
        ->type_name("X,Y")
        ->allow_extra_args(false);
    command
        .add_option("--tape", wish.taped,
                    "Distance between the middles of two marks, by steel tape, such as 0-17=1204; as often as needed")
        ->type_name("MARK-MARK=LENGTH")
        ->allow_extra_args(false);
    command.add_option("--above", wish.above, "How far the line lies above the marks: the template's thickness")
        ->type_name("LENGTH");
    command.add_option("--smooth-below", wish.smooth_below, "Smooth ripples shorter than this out of the curve")
        ->type_name("LENGTH");
    command.add_option("--unit", wish.unit, "mm or in: of lengths written without one, and of what is told")
        ->type_name("UNIT")
        ->check(CLI::IsMember({"mm", "in"}).description(""));
    command.add_option("-o,--output", wish.output, "File for the trace; with --into for the job that holds it")
        ->type_name("FILE");
    command.add_option("--into", wish.job, "Put the trace into this job")->type_name("JOB");
    command.add_option("--seam", wish.seam, "In place of the curve of this seam; otherwise it becomes a new one")
        ->type_name("NAME");
}

void add_marks_options(CLI::App& command, MarksWish& wish) {
    command.add_option("-o,--output", wish.output, "PDF file to write")->required()->type_name("FILE");
    command.add_option("--strips", wish.strips, "How many strips of three marks; 8 otherwise, two on a sheet")
        ->type_name("NUMBER")
        ->check(CLI::Range(2, trace::most_strips).description(""));
    command.add_option("--sheet", wish.sheet, "A4, A3, Letter or Tabloid; A4 otherwise")->type_name("SHEET");
    command.add_option("--measured-x", wish.measured_x, "What the bar x of 100 mm came out at, in mm")->type_name("MM");
    command.add_option("--measured-y", wish.measured_y, "The same of the bar y")->type_name("MM");
}

Exit print_marks(const MarksWish& wish, std::ostream& out, std::ostream& err) {
    try {
        const auto sheet = paper::find_sheet(wish.sheet);
        if (!sheet) {
            throw Stop{Exit::bad_input, fmt::format("--sheet {}: no such sheet.", wish.sheet),
                       fmt::format("There are {}.", paper::known_sheets())};
        }
        for (const double measured : {wish.measured_x, wish.measured_y}) {
            constexpr double least = 91.0, most = 110.0;
            if (!(measured >= least && measured <= most)) {
                throw Stop{Exit::bad_input, "A bar of 100 mm that came out below 91 or above 110 mm.",
                           "Print at actual size, without fitting to the page, and measure again."};
            }
        }
        write_whole(wish.output, paper::marks_pdf({wish.strips, *sheet,
                                                   paper::Correction::measured(wish.measured_x, wish.measured_y)}));
        say(out, "",
            fmt::format("Written to {}: one page of instructions and {} sheets of marks. Print them at actual size and "
                        "measure the bars.",
                        wish.output, (wish.strips + 1) / 2));
        return Exit::good;
    } catch (const Stop& stop) {
        say(err, "", stop.reason);
        say(err, "", stop.remedy);
        return stop.exit;
    }
}

Exit trace(const TraceWish& wish, std::istream& in, std::ostream& out, std::ostream& err) {
    try {
        check_together(wish);
        std::vector<std::vector<std::uint8_t>> files;
        for (const std::string& name : wish.pictures) files.push_back(picture_bytes(name));
        const auto answer = traced(wish, files);
        if (const auto* why = std::get_if<TraceProblem>(&answer))
            throw Stop{Exit::bad_input, why->reason + at_pixel(why->at_px), why->remedy};
        const auto& found = std::get<trace::Trace>(answer);
        const std::string_view bytes(reinterpret_cast<const char*>(files.front().data()), files.front().size());
        curves::Traced curve = trace::as_curve(
            found, {wish.scan, fs::path(wish.pictures.front()).filename().string(), plan::sha256_hex(bytes)});
        if (!wish.smooth_below.empty()) {
            curve.wave_mm = length_in(wish.smooth_below, unit_in(wish.unit), "--smooth-below");
            if (!(curve.wave_mm > 0.0))
                throw Stop{Exit::bad_input, "--smooth-below: no length.", "Write a length, such as 150 mm."};
        }
        std::string written;
        if (!wish.job.empty()) {
            written = job_with(wish, curve, in);
        } else if (!wish.output.empty()) {
            written = "{\n  \"traced\": " + job::write_traced(curve) + "}\n";
        }
        if (!wish.output.empty()) write_whole(wish.output, written);
        tell(found, wish, out);
        if (!wish.output.empty()) {
            say(out, "",
                wish.job.empty()
                    ? fmt::format("Written to {}: it stands under \"curve\" of a seam in a job file.", wish.output)
                    : fmt::format("Written to {}.", wish.output));
        }
        return Exit::good;
    } catch (const Stop& stop) {
        say(err, "", stop.reason);
        say(err, "", stop.remedy);
        return stop.exit;
    }
}

}  // namespace seamwright::app
