#include "job/read.h"

#include "embedded/job_schema.h"
#include "parts.h"

namespace seamwright::job {

namespace {

constexpr int format_version = 1;

Document read_group(Checker& checker, const Group& group) {
    Document document;
    Job& job = document.job;
    if (const auto version = group.need("seamwright", "the version of this format: 1")) {
        const double* number = version->value->number();
        if (number == nullptr || *number != format_version) {
            checker.error(*version, describe(*version->value), "1, the version of this format",
                          "write 1; a job of a later version needs a later program");
        }
    }
    // The unit first: it says what every bare number below means.
    if (const auto unit = group.need("unit", "\"mm\" or \"in\": what a number without a unit means")) {
        const auto choice = read_choice(checker, *unit, {"mm", "in"});
        if (choice == "in") checker.unit = units::Unit::inch;
    }
    job.style = read_show(checker, group.find("show"));
    group.need_name("what the job is called on the papers, such as \"Hall console\"", job.name);
    if (const auto note = group.find("note")) job.note = read_note(checker, *note).value_or("");
    if (const auto node = group.need("top", "the top: its thickness and its outline")) {
        Top top = read_top(checker, *node);
        job.thickness_mm = top.thickness_mm;
        job.outline = std::move(top.outline);
    }
    if (const auto seams = group.need("seams", "the list of seams")) {
        job.seams = read_seams(checker, *seams, job.outline);
    }
    // The shelf before the pieces: they name boards.
    if (const auto node = group.need("shelf", "the tools there are: guides or bearings, and cutters")) {
        document.shelf = read_shelf(checker, *node);
    }
    if (const auto pieces = group.find("pieces")) job.pieces = read_pieces(checker, *pieces, document.shelf);
    if (const auto stick = group.find("stick")) job.stick = read_stick(checker, *stick);
    if (const auto sheet = group.find("template")) job.sheet = read_template(checker, *sheet);
    if (const auto limits = group.find("limits")) job.limits = read_limits(checker, *limits);
    if (const auto accuracy = group.find("accuracy")) job.accuracy = read_accuracy(checker, *accuracy);
    if (const auto gluing = group.find("gluing")) job.gluing = read_gluing(checker, *gluing);
    if (const auto climate = group.find("climate")) job.climate = read_climate(checker, *climate);
    if (const auto base = group.find("base")) job.base = read_base(checker, *base);
    if (const auto cutting = group.find("cutting")) job.cutting = read_cutting(checker, *cutting);
    if (const auto build_up = group.find("build_up")) job.build_up = read_build_up(checker, *build_up);
    if (const auto edges = group.find("edges")) job.edges = read_edges(checker, *edges);
    if (const auto finish = group.find("finish")) job.finish = read_finish(checker, *finish);
    if (const auto calendar = group.find("calendar")) job.calendar = read_calendar(checker, *calendar);
    if (const auto prices = group.find("prices")) job.prices = read_prices(checker, *prices);
    if (const auto made = group.find("made")) job.made = read_made(checker, *made);
    if (const auto paper = group.find("paper")) job.paper = read_paper(checker, *paper);
    return document;
}

}  // namespace

Reading read_document(std::string_view text, const FetchFile& fetch) {
    Reading reading;
    Checker checker(fetch);
    std::vector<PlacedProblem> problems;
    const auto root = parse_json(text, problems);
    checker.add(std::move(problems));
    if (root) {
        const Group group(checker, {&*root, ""},
                          {"seamwright", "name",     "note",     "unit",   "show",     "top",    "seams",   "pieces",
                           "shelf",      "stick",    "template", "limits", "accuracy", "gluing", "climate", "base",
                           "cutting",    "build_up", "edges",    "finish", "calendar", "prices", "made",    "paper"});
        if (group) reading.document = read_group(checker, group);
    }
    reading.problems = checker.take_problems();
    if (any_error(reading.problems)) reading.document.reset();
    return reading;
}

std::string_view document_schema() {
    return embedded::job_schema();
}

}  // namespace seamwright::job
