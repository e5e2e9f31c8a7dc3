#include "laying.h"

#include <fmt/format.h>

#include <algorithm>

#include "pieces.h"
#include "plan/boards_study.h"
#include "words.h"

namespace seamwright::edit {
namespace {

/// Dropped this far over an edge it was meant to lie along it.
constexpr double meant_along_mm = 25.0;

std::string called(const Json& entry, std::size_t strip) {
    const std::string name = capitalised(entry.value("name", std::string("piece")));
    return strip == 0 ? name : fmt::format("{}, strip {}", name, strip);
}

bool is_strip(const Json& entry, std::size_t strip) {
    const auto number = entry.find("strip");
    return number != entry.end() && number->is_number_integer() && number->get<std::int64_t>() == std::int64_t(strip);
}

}  // namespace

std::size_t number_of_board(const shelf::Shelf& shelf, const std::string& name) {
    for (std::size_t b = 0; b < shelf.boards.size(); ++b)
        if (shelf.boards[b].name == name) return b;
    refuse("/shelf/boards", fmt::format("\"{}\", which is not on the shelf", name), "a board of this shelf",
           "choose one of the boards, or put it on the shelf first");
}

std::string lay_part(Bench& bench, const Laying& laying) {
    const plan::Plan& plan = bench.plan();
    const plan::PiecePlan* piece = piece_at(plan, laying.piece);
    if (piece == nullptr) refuse_no_piece(plan);
    const job::Document& document = bench.document();
    const std::size_t b = number_of_board(document.shelf, laying.board);
    const shelf::Board& board = document.shelf.boards[b];
    const auto part = plan::sawn_part(plan, document.job, document.shelf,
                                      static_cast<std::size_t>(piece - plan.pieces.data()), laying.strip, laying.of);
    if (!part) {
        refuse("/pieces", fmt::format("strip {} of {}", laying.strip, laying.of), "a strip the piece is divided into",
               "load the boards anew");
    }
    stock::Settings settings;
    settings.grain_within_rad = document.job.cutting.grain_within_rad;
    stock::Lie lie{b, stock::turn_on(board, settings), laying.turned, laying.over, {}};
    const geometry::Box box = geometry::bounding_box(lie.placed(part->shape));
    lie.shift = laying.at - geometry::midpoint(box.low, box.high);
    const geometry::Point at = laying.at + plan::kept_on_board(*part, board, lie, meant_along_mm);

    Json laid = Json::object();
    if (laying.strip > 0) laid["strip"] = laying.strip;
    laid["board"] = laying.board;
    laid["at"] = bench.ruler().computed(at);
    laid["turned"] = laying.turned;
    laid["over"] = laying.over;
    Json& entry = entry_for(bench, *piece);
    if (laying.strip == 0) {
        entry.erase("laid_strips");
        entry.erase("strips");
        entry["laid"] = std::move(laid);
        return fmt::format("{} laid on {}", called(entry, 0), laying.board);
    }
    entry.erase("laid");
    entry["strips"] = laying.of;
    Json& strips = entry["laid_strips"];
    if (!strips.is_array()) strips = Json::array();
    const auto known =
        std::find_if(strips.begin(), strips.end(), [&](const Json& s) { return is_strip(s, laying.strip); });
    if (known == strips.end()) {
        strips.push_back(std::move(laid));
    } else {
        *known = std::move(laid);
    }
    return fmt::format("{} laid on {}", called(entry, laying.strip), laying.board);
}

std::string free_part(Bench& bench, geometry::Point place, std::size_t strip) {
    const plan::Plan& plan = bench.plan();
    const plan::PiecePlan* piece = piece_at(plan, place);
    if (piece == nullptr) refuse_no_piece(plan);
    Json& entry = entry_for(bench, *piece);
    if (strip == 0) {
        entry.erase("laid");
    } else if (const auto strips = entry.find("laid_strips"); strips != entry.end() && strips->is_array()) {
        strips->erase(std::remove_if(strips->begin(), strips->end(), [&](const Json& s) { return is_strip(s, strip); }),
                      strips->end());
        if (strips->empty()) {
            entry.erase("laid_strips");
            entry.erase("strips");
        }
    }
    return fmt::format("{} left to the plan", called(entry, strip));
}

}  // namespace seamwright::edit
