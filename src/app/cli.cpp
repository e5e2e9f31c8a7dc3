#include "app/cli.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <istream>
#include <limits>
#include <memory>
#include <ostream>
#include <utility>
#include <variant>

#include "app/plain_text.h"
#include "app/read_files.h"
#include "app/report.h"
#include "app/write_files.h"
#include "board_photo_command.h"
#include "book_command.h"
#include "closing_command.h"
#include "disc_command.h"
#include "job/read.h"
#include "made_command.h"
#include "paper/papers.h"
#include "plan/plan.h"
#include "refuse.h"
#include "sanding_command.h"
#include "serve.h"
#include "test_cut_command.h"
#include "trace_command.h"
#include "wood_command.h"

namespace seamwright::app {
namespace {

constexpr std::string_view about =
    "Plans solid-wood tops with curved seams: from a job file to full-size templates on paper,\n"
    "the order of copies and router steps, and the proof that the two edges meet.";

constexpr std::string_view footer =
    "JOB is a job file (JSON, described by schema/job.schema.json), or - for standard input.\n"
    "Files it names are looked for in its own folder and below.\n"
    "Exit status: 0 good, 1 fault of the program, 2 something is wrong with the command or the job,\n"
    "3 the papers cannot be written, 4 the page cannot be served. On 2 and 3 nothing was written.";

constexpr std::string_view serve_footer =
    "The page is for this computer alone: no other one can reach it. --share lets a phone see the steps of the job\n"
    "that is open, to read only, by a secret address; with --notes it can write down hours and what was measured.\n"
    "Nothing else of the program is opened.\n"
    "Jobs are saved with every change. Ctrl+C ends the program.";

constexpr std::string_view trace_footer =
    "Print marks first, lay them along the line or on the board, and photograph both from above: docs/trace.md,\n"
    "docs/wood.md.\n"
    "Exit status: 0 good, 2 something is wrong with the picture, the command or the job, 3 the file cannot be\n"
    "written. On 2 and 3 nothing was written.";

/// A plan that is refused shows this many of its problems; `check` shows all.
constexpr std::size_t most_problems_shown = 20;

struct PlanWish {
    std::string job;
    std::string folder;
    bool only_check = false;
    bool sanding = false;
    bool closing = false;
    bool wood = false;
    bool book = false;
    bool testing = false;
    bool disc = false;
    bool made = false;
    std::string keep_made;  ///< with `made`: job file to write; empty: none
    TestCutWish test_cut;
    std::size_t samples = 1000;  ///< with `closing`
    std::string seam;            ///< with `sanding` and `closing`: empty for all
};

/// Either what is wished, or how the program ends right here.
std::variant<PlanWish, ServeWish, TraceWish, MarksWish, BoardPhotoWish, Exit> understand(
    const std::vector<std::string>& arguments, std::ostream& out, std::ostream& err) {
    PlanWish wish;
    ServeWish serving;
    TraceWish tracing;
    MarksWish marks_wish;
    BoardPhotoWish board_wish;
    CLI::App app{std::string(about), "seamwright"};
    app.footer(std::string(footer));
    const auto formatter = std::make_shared<CLI::Formatter>();
    for (const auto& [ours, theirs] :
         {std::pair{"COMMAND", "SUBCOMMAND"}, {"What", "Positionals"}, {"(needed)", "REQUIRED"}}) {
        formatter->label(theirs, ours);
    }
    app.formatter(formatter);
    app.set_version_flag("--version", fmt::format("seamwright {}", plan::program_version), "Show the version");
    app.set_help_flag("--help,-h", "Show this help");
    CLI::App* plan = app.add_subcommand("plan", "Plan a job and write plan.json and the papers into a folder");
    plan->add_option("JOB", wish.job, "Job file, or - for standard input")->required()->type_name("");
    plan->add_option("-o,--output", wish.folder, "Folder for the papers; made when it does not exist")
        ->required()
        ->type_name("FOLDER");
    CLI::App* check = app.add_subcommand("check", "Read and plan a job, list its problems, write nothing");
    check->add_option("JOB", wish.job, "Job file, or - for standard input")->required()->type_name("");
    CLI::App* serve = app.add_subcommand("serve", "Open the page, in which jobs are drawn, planned and printed");
    int port = 0;
    const CLI::Option* port_given =
        serve
            ->add_option("--port", port,
                         "Port on this computer, 0 for any free one; otherwise 7431, or the next free one")
            ->type_name("NUMBER")
            ->check(CLI::Range(0, 65535).description(""));
    CLI::Option* share =
        serve->add_flag("--share", serving.share, "Show the steps of the open job to a phone in the same network");
    serve->add_flag("--notes", serving.notes, "With --share: let the phone write down what was done and measured")
        ->needs(share);
    serve->add_option("--data", serving.data, "File of the saved jobs; otherwise jobs.sqlite in your data folder")
        ->type_name("FILE");
    serve->add_option("--open", serving.open, "Bring in a job file, or - for standard input")->type_name("JOB.json");
    CLI::App* trace = app.add_subcommand("trace", "Take a curve over from a photo with reference marks, or from scans");
    add_trace_options(*trace, tracing);
    CLI::App* sanding = app.add_subcommand("sanding", "Where to sand a template that was measured, and its map");
    sanding->add_option("JOB", wish.job, "Job file with readings, or - for standard input")->required()->type_name("");
    sanding->add_option("-o,--output", wish.folder, "PDF file for the map, at full size on sheets")->type_name("FILE");
    sanding->add_option("--seam", wish.seam, "Only this seam")->type_name("NAME");
    CLI::App* closing =
        app.add_subcommand("closing", "Whether the seams close in the shop; how to push, clamp and glue");
    closing->add_option("JOB", wish.job, "Job file, or - for standard input")->required()->type_name("");
    closing->add_option("-o,--output", wish.folder, "PDF file for the pages \"how this seam closes\"")
        ->type_name("FILE");
    closing->add_option("--seam", wish.seam, "Only this seam")->type_name("NAME");
    closing->add_option("--samples", wish.samples, "How many seams are tried by calculation; otherwise 1000")
        ->type_name("NUMBER")
        ->check(CLI::Range(20, 1'000'000).description(""));
    CLI::App* wood = app.add_subcommand("wood", "Which piece comes from which board; how the top moves and sags");
    wood->add_option("JOB", wish.job, "Job file, or - for standard input")->required()->type_name("");
    wood->add_option("-o,--output", wish.folder, "PDF file: the boards with their pieces, and all that is told")
        ->type_name("FILE");
    CLI::App* book =
        app.add_subcommand("book", "The work from boards to delivery: job book, quote, cut list, calendar");
    book->add_option("JOB", wish.job, "Job file, or - for standard input")->required()->type_name("");
    book->add_option("-o,--output", wish.folder, "Folder for them; made when it does not exist")->type_name("FOLDER");
    CLI::App* testing =
        app.add_subcommand("test-cut", "What guide and cutter really do: a sheet, and what was read on it");
    testing->add_option("JOB", wish.job, "Job file, or - for standard input")->required()->type_name("");
    CLI::Option* sheet =
        testing->add_option("-o,--output", wish.test_cut.sheet, "Write the sheet for a test cut, a PDF file")
            ->type_name("FILE");
    testing->add_option("--guide", wish.test_cut.guide, "The guide it is made with; otherwise one that the plan uses")
        ->type_name("NAME")
        ->needs(sheet);
    testing->add_option("--cutter", wish.test_cut.cutter, "The cutter; otherwise one that the plan uses")
        ->type_name("NAME")
        ->needs(sheet);
    testing->add_option("--keep", wish.test_cut.keep, "Write the job anew, with the sizes that its test cuts tell")
        ->type_name("JOB.json")
        ->excludes(sheet);
    CLI::App* disc_told =
        app.add_subcommand("disc", "Where a wood tears: the sheet of a disc to rout, and what it told");
    disc_told->add_option("JOB", wish.job, "Job file, or - for standard input")->required()->type_name("");
    disc_told->add_option("-o,--output", wish.folder, "Write the sheet for a disc, a PDF file")->type_name("FILE");
    CLI::App* made = app.add_subcommand("made", "What was noted while the job was made, and what it tells");
    made->add_option("JOB", wish.job, "Job file, or - for standard input")->required()->type_name("");
    made->add_option("--keep", wish.keep_made, "Write the job anew, with its notes on the shelf for other jobs")
        ->type_name("JOB.json");
    CLI::App* marks = app.add_subcommand("marks", "Print the reference marks that go beside a line on a photo");
    add_marks_options(*marks, marks_wish);
    CLI::App* board = app.add_subcommand("board-photo", "Make a board's picture from a photo of it, to scale");
    add_board_photo_options(*board, board_wish);
    for (CLI::App* command :
         {plan, check, serve, trace, marks, board, sanding, closing, wood, book, testing, disc_told, made}) {
        command->group("Commands");
        command->set_help_flag("--help,-h", "Show this help");
        command->footer(std::string(command == serve                                           ? serve_footer
                                    : command == trace || command == marks || command == board ? trace_footer
                                                                                               : footer));
    }
    app.require_subcommand(0, 1);
    try {
        std::vector<std::string> reversed(arguments.rbegin(), arguments.rend());
        app.parse(std::move(reversed));
    } catch (const CLI::CallForHelp&) {
        const auto chosen = app.get_subcommands();
        out << (chosen.empty() ? app.help() : chosen.front()->help("seamwright"));
        return Exit::good;
    } catch (const CLI::CallForVersion& version) {
        out << version.what() << '\n';
        return Exit::good;
    } catch (const CLI::ParseError& wrong) {
        err << wrapped("", printable(wrong.what())) << "The commands and their options: seamwright --help\n";
        return Exit::bad_input;
    }
    if (app.get_subcommands().empty()) {
        err << app.help();
        return Exit::bad_input;
    }
    if (serve->parsed()) {
        if (port_given->count() > 0) serving.port = port;
        return serving;
    }
    if (trace->parsed()) return tracing;
    if (marks->parsed()) return marks_wish;
    if (board->parsed()) return board_wish;
    wish.only_check = check->parsed();
    wish.sanding = sanding->parsed();
    wish.closing = closing->parsed();
    wish.testing = testing->parsed();
    wish.disc = disc_told->parsed();
    wish.made = made->parsed();
    wish.wood = wood->parsed();
    wish.book = book->parsed();
    return wish;
}

void add_all(std::vector<job::Problem>& to, const std::vector<job::Problem>& more) {
    to.insert(to.end(), more.begin(), more.end());
}

std::vector<OutputFile> output_files(const plan::Plan& plan, const std::vector<paper::PaperFile>& papers) {
    std::vector<OutputFile> files = {{"plan.json", write_plan(plan)}};
    for (const auto& paper : papers) files.push_back({paper.name, paper.bytes});
    return files;
}

Exit refuse_job(const PlanWish& wish, const std::vector<job::Problem>& problems, const units::LengthStyle& style,
                std::ostream& out, std::ostream& err) {
    const std::string name = wish.job == "-" ? "the job on standard input" : wish.job;
    if (wish.only_check) {
        out << problems_text(problems, style, std::numeric_limits<std::size_t>::max()) << '\n'
            << wrapped("", printable(fmt::format("{} in {}.", problem_count(problems), name)));
    } else {
        err << problems_text(problems, style, most_problems_shown) << '\n'
            << wrapped("", printable(fmt::format("{} in {}. Nothing was written.", problem_count(problems), name)));
    }
    return Exit::bad_input;
}

Exit plan_or_check(const PlanWish& wish, std::istream& in, std::ostream& out, std::ostream& err) {
    const auto text = read_job_text(wish.job, in);
    if (const auto* why = std::get_if<FileRefusal>(&text)) return refuse(*why, Exit::bad_input, err);

    const job::Reading reading = job::read_document(std::get<std::string>(text), fetch_beside(wish.job));
    std::vector<job::Problem> problems = reading.problems;
    if (!reading.document) return refuse_job(wish, problems, {}, out, err);

    const plan::Plan plan = plan::make_plan(reading.document->job, reading.document->shelf);
    add_all(problems, plan.problems);
    if (job::any_error(problems)) return refuse_job(wish, problems, plan.style, out, err);

    if (wish.closing) {
        return tell_closing(plan, reading.document->job, reading.document->shelf,
                            {wish.seam, wish.folder, wish.samples}, out, err);
    }
    if (wish.wood) return tell_wood(plan, *reading.document, fetch_beside(wish.job), wish.folder, out, err);
    if (wish.book) return tell_book(plan, *reading.document, fetch_beside(wish.job), wish.folder, out, err);
    if (wish.testing) {
        return test_cut(std::get<std::string>(text), *reading.document, plan, wish.test_cut, out, err);
    }
    if (wish.disc) return disc(*reading.document, plan, wish.folder, out, err);
    if (wish.made) return tell_made(std::get<std::string>(text), *reading.document, plan, wish.keep_made, out, err);
    if (wish.sanding) return tell_sanding(plan, {wish.folder, wish.seam}, out, err);
    const std::string warnings = problems_text(problems, plan.style, std::numeric_limits<std::size_t>::max());
    if (wish.only_check) {
        out << findings_text(plan) << '\n'
            << warnings << (warnings.empty() ? "" : "\n")
            << wrapped("", printable(fmt::format("{} in {}. Nothing was written.", problem_count(problems), wish.job)));
        return Exit::good;
    }
    const std::vector<paper::PaperFile> papers = paper::all_papers(plan, &*reading.document);
    if (const auto why = write_files(wish.folder, output_files(plan, papers))) {
        return refuse(*why, Exit::cannot_write, err);
    }
    out << findings_text(plan) << '\n'
        << warnings << (warnings.empty() ? "" : "\n") << papers_text(wish.folder, papers);
    return Exit::good;
}

}  // namespace

Exit run(const std::vector<std::string>& arguments, std::istream& in, std::ostream& out, std::ostream& err) {
    const auto understood = understand(arguments, out, err);
    if (const auto* exit = std::get_if<Exit>(&understood)) return *exit;
    if (const auto* serving = std::get_if<ServeWish>(&understood)) return serve(*serving, in, out, err);
    if (const auto* tracing = std::get_if<TraceWish>(&understood)) return trace(*tracing, in, out, err);
    if (const auto* marks = std::get_if<MarksWish>(&understood)) return print_marks(*marks, out, err);
    if (const auto* photo = std::get_if<BoardPhotoWish>(&understood)) return board_photo(*photo, out, err);
    return plan_or_check(std::get<PlanWish>(understood), in, out, err);
}

}  // namespace seamwright::app
