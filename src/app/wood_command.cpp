#include "wood_command.h"

#include <fmt/format.h>

#include <ostream>

#include "app/plain_text.h"
#include "app/write_files.h"
#include "board_pictures.h"
#include "paper/edge_parts_page.h"
#include "paper/papers.h"
#include "paper/wood_pages.h"
#include "plan/edging_study.h"
#include "refuse.h"
#include "told_text.h"

namespace seamwright::app {

Exit tell_wood(const plan::Plan& plan, const job::Document& document, const job::FetchFile& fetch,
               const std::string& output, std::ostream& out, std::ostream& err) {
    const auto boards = plan::study_boards(plan, document.job, document.shelf);
    const auto movement = plan::study_movement(plan, document.job, document.shelf, boards ? &*boards : nullptr);
    std::string text;
    if (boards) {
        for (const auto& told : plan::words::boards_text(*boards, plan, document.job, document.shelf))
            text += told_text("  ", told);
    } else {
        text += wrapped("", plan.pieces.empty()
                                ? "The top has no pieces yet."
                                : "There are no boards on the shelf: list them under \"boards\" to learn which piece "
                                  "comes from which.");
    }
    if (const auto sawing = plan::words::sawing_text(plan, document.job); !sawing.lines.empty())
        text += told_text("  ", sawing);
    const auto rough = plan::study_rough_cut(plan, document.job);
    for (const plan::RoughPiece& piece : rough.pieces) {
        if (!piece.cuts.empty())
            text += told_text("  ", plan::words::rough_piece_text(rough, piece.piece, plan, document.job));
    }
    if (const auto held = plan::words::fastening_text(rough, plan, document.job); !held.lines.empty())
        text += told_text("  ", held);
    text += '\n';
    for (const auto& told : plan::words::movement_text(movement, plan, document.job)) text += told_text("  ", told);
    const auto build_up =
        plan::study_build_up(plan, document.job, document.shelf, boards ? &*boards : nullptr, movement);
    for (const auto& edging : plan.edgings)
        for (const auto& told : plan::words::edging_text(edging, plan, document.job, movement))
            text += told_text("  ", told);
    if (build_up)
        for (const auto& told : plan::words::build_up_text(*build_up, plan, document.job, document.shelf))
            text += told_text("  ", told);
    const auto body = plan::study_body(plan, movement, boards ? &*boards : nullptr);
    if (const auto* why = std::get_if<std::string>(&body)) {
        text += '\n' + wrapped("", printable(*why));
    } else {
        for (const auto& told : plan::words::body_text(std::get<plan::BodyStudy>(body), plan, document.job))
            text += told_text("  ", told);
    }
    text += '\n' + wrapped("",
                           "Movement is that of clear, straight-grained wood by the Wood Handbook; single boards "
                           "scatter. Wear what your saw's maker asks for, and keep to its instructions.");
    if (!output.empty()) {
        const ReadPictures read = read_board_pictures(document.shelf, fetch);
        auto pages = paper::wood_pages(plan, boards, rough, movement, std::get_if<plan::BodyStudy>(&body), document.job,
                                       document.shelf, read.pictures);
        for (auto& page :
             paper::edge_parts_pages(plan, movement, build_up ? &*build_up : nullptr, document.job, document.shelf))
            pages.push_back(std::move(page));
        for (const std::string& told : read.told) text += '\n' + wrapped("! ", printable(told));
        if (const auto why = write_file(output, paper::sheet_pdf(pages))) return refuse(*why, Exit::cannot_write, err);
        text += '\n' + wrapped("", printable(fmt::format("Written to {}.", output)));
    }
    out << text;
    return Exit::good;
}

}  // namespace seamwright::app
