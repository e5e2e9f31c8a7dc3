#pragma once

#include <optional>
#include <vector>

#include "checker.h"
#include "job/job.h"

// The parts of a job document, each read on its own. Every reader reports what is wrong and goes on with what can still
// be understood, so that one reading lists all problems.
namespace seamwright::job {

units::LengthStyle read_show(Checker& checker, const std::optional<Node>& node);

struct Top {
    double thickness_mm = 0.0;
    Outline outline;
};
Top read_top(Checker& checker, const Node& node);

/// What a curve must be where it is used.
enum class Ends { open, closed };
std::optional<curves::Curve> read_curve(Checker& checker, const Node& node, Ends ends);
/// A drawing brought in: svg_path, points or lines_and_arcs.
std::optional<curves::Imported> read_svg_path(Checker& checker, const Node& node);
std::optional<curves::Imported> read_points_file(Checker& checker, const Node& node);
std::optional<curves::Imported> read_lines_and_arcs(Checker& checker, const Node& node);
std::optional<curves::Traced> read_traced(Checker& checker, const Node& node);

std::optional<Stick> read_stick(Checker& checker, const Node& node);
/// A table of numbers: text in the document, or a file that it names. Reports why there is none.
std::optional<std::string> read_table_text(Checker& checker, const Node& from, bool names_a_file, std::string_view what,
                                           std::string_view remedy);
std::optional<MadeEdge> read_made_edge(Checker& checker, const Node& node);
std::vector<Seam> read_seams(Checker& checker, const Node& node, const Outline& outline);
std::vector<Piece> read_pieces(Checker& checker, const Node& node, const shelf::Shelf& shelf);
shelf::Shelf read_shelf(Checker& checker, const Node& node);
TemplateSheet read_template(Checker& checker, const Node& node);
Limits read_limits(Checker& checker, const Node& node);
Accuracy read_accuracy(Checker& checker, const Node& node);
Gluing read_gluing(Checker& checker, const Node& node);
Climate read_climate(Checker& checker, const Node& node);
Base read_base(Checker& checker, const Node& node);
Cutting read_cutting(Checker& checker, const Node& node);
BuildUp read_build_up(Checker& checker, const Node& node);
Edges read_edges(Checker& checker, const Node& node);
Finish read_finish(Checker& checker, const Node& node);
Calendar read_calendar(Checker& checker, const Node& node);
Prices read_prices(Checker& checker, const Node& node);
std::vector<Made> read_made(Checker& checker, const Node& node);
/// Discs, and work that was done.
std::vector<shelf::Disc> read_discs(Checker& checker, const Node& node);
std::vector<shelf::WorkDone> read_work_done(Checker& checker, const Node& node);
/// The "species" of something on the shelf; warns of one that the tables do not know.
std::string read_wood(Checker& checker, const Group& group);
std::vector<shelf::Board> read_boards(Checker& checker, const Node& node);
/// The name of a board; reports one that is not on the shelf.
std::optional<std::string> read_board_name(Checker& checker, const Node& node, const shelf::Shelf& shelf);
Paper read_paper(Checker& checker, const Node& node);

/// Reports the second use of a name; true when it is new.
class UsedNames {
  public:
    bool add(Checker& checker, const Node& item, const std::string& name, std::string_view of_what);

  private:
    std::vector<std::string> names_;
};

}  // namespace seamwright::job
