#include "pieces.h"

#include <fmt/format.h>

#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

std::optional<std::size_t> entry_in(const job::Job& job, const plan::PiecePlan& piece) {
    for (std::size_t i = 0; i < job.pieces.size(); ++i) {
        if (geometry::contains(piece.region, job.pieces[i].at)) return i;
    }
    return std::nullopt;
}

}  // namespace

const plan::PiecePlan* piece_at(const plan::Plan& plan, geometry::Point at) {
    for (const plan::PiecePlan& piece : plan.pieces)
        if (geometry::contains(piece.region, at)) return &piece;
    return nullptr;
}

void refuse_no_piece(const plan::Plan& plan) {
    refuse("/pieces", "a place in no piece", "a place inside a piece of the top",
           plan.pieces.empty() ? "put the seams right first: the top is not divided into pieces yet"
                               : "choose a place on the wood, off the seams");
}

Json& entry_for(Bench& bench, const plan::PiecePlan& piece) {
    const auto index = entry_in(bench.document().job, piece);
    const Ruler ruler = bench.ruler();
    Json fresh = Json::object();
    if (!index) {
        fresh["name"] = piece.name;
        fresh["at"] = ruler.written(named_place(piece, ruler));
        fresh["species"] = no_species;
    }
    Json& tree = bench.change();
    Json& pieces = tree["pieces"];
    if (!pieces.is_array()) pieces = Json::array();
    if (index) return pieces[*index];
    pieces.push_back(std::move(fresh));
    return pieces.back();
}

geometry::Point named_place(const plan::PiecePlan& piece, const Ruler& ruler) {
    const geometry::Point round = ruler.rounded(piece.label_at);
    return geometry::contains(piece.region, round) ? round : piece.label_at;
}

std::string describe_piece(Bench& bench, const PieceWords& words) {
    const plan::Plan& plan = bench.plan();
    const plan::PiecePlan* piece = piece_at(plan, words.at);
    if (piece == nullptr) refuse_no_piece(plan);
    std::string called = words.name.value_or(piece->name);
    Json& entry = entry_for(bench, *piece);
    if (!words.name) called = entry.value("name", called);
    if (words.name) entry["name"] = typed(bench.tree(), {"pieces", "0", "name"}, *words.name);
    if (words.species) entry["species"] = *words.species;
    if (words.grain_degrees) entry["grain_degrees"] = number_of(*words.grain_degrees);
    if (words.species) return fmt::format("{}: {}", capitalised(called), *words.species);
    if (words.grain_degrees)
        return fmt::format("Grain direction of {}: {}°", called, number_of(*words.grain_degrees).dump());
    return fmt::format("{} named", capitalised(called));
}

std::string take_shop_shelf(Bench& bench) {
    auto shelf = parsed(bench.shop_shelf());
    if (!shelf || !shelf->is_object()) {
        refuse("/shelf", "no shelf of the shop", "a shelf that the shop keeps", "put the tools on the job's own shelf");
    }
    leave_out_units(*shelf, unit_of(bench.tree()));
    bench.change()["shelf"] = std::move(*shelf);
    return "The shop's shelf taken";
}

}  // namespace seamwright::edit
