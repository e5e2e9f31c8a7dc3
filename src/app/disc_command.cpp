#include "disc_command.h"

#include <fmt/format.h>

#include <ostream>
#include <set>

#include "app/plain_text.h"
#include "app/write_files.h"
#include "paper/disc_sheet.h"
#include "plan/feed_study.h"
#include "refuse.h"
#include "told_text.h"

namespace seamwright::app {

Exit disc(const job::Document& document, const plan::Plan& plan, const std::string& sheet, std::ostream& out,
          std::ostream& err) {
    if (!sheet.empty()) {
        if (const auto why = write_file(sheet, paper::sheet_pdf(paper::disc_sheets(document.job))))
            return refuse(*why, Exit::cannot_write, err);
        out << wrapped("",
                       printable(fmt::format("Sheet for a routed disc written to {}. Print it at full size.", sheet)));
        return Exit::good;
    }
    plan::words::Told told{"Where the woods of this job tear", {}, {}};
    std::set<std::string> woods;
    for (const plan::PiecePlan& piece : plan.pieces) {
        if (!woods.insert(piece.species).second) continue;
        for (std::string& line :
             plan::words::tear_lines(plan::tear_of(document.shelf, piece.species), document.shelf, plan.style))
            told.lines.push_back(std::move(line));
    }
    told.lines.push_back(
        "Print a sheet for a disc with -o SHEET.pdf; what is seen on it goes into the shelf, under "
        "\"discs\" (docs/job-file.md).");
    out << told_text("", told);
    return Exit::good;
}

}  // namespace seamwright::app
