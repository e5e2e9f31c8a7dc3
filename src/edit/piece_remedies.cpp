#include <fmt/format.h>

#include <algorithm>

#include "pieces.h"
#include "remedies.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {

void add_species_cures(CureList& list, std::size_t i) {
    const job::Piece& piece = list.state.document.job.pieces[i];
    if (piece.species == no_species) return;  // there is nothing to go by
    std::vector<std::string> meant = shelf::species_meant_by(piece.species);
    if (meant.empty()) meant.push_back(shelf::nearest_species(piece.species));
    const Steps steps = Steps{"pieces"} / i / "species";
    for (const std::string& species : meant) {
        list.add_set(fmt::format("species:/pieces/{}:{}", i, species), fmt::format("It is {}", species), steps, species,
                     fmt::format("{}: {}", capitalised(piece.name), species));
    }
}

void add_nameless_piece_cures(CureList& list) {
    const auto at = list.told().at;
    const plan::PiecePlan* piece = at ? piece_at(list.state.plan, *at) : nullptr;
    if (piece == nullptr || piece->named) return;
    list.add("name_piece:" + piece->name, "Give it a name and a wood", [at = *at](Bench& bench) {
        return describe_piece(bench, {at, std::nullopt, std::nullopt, std::nullopt});
    });
}

void add_piece_cures(CureList& list, std::size_t i) {
    const job::Piece& piece = list.state.document.job.pieces[i];
    const plan::Plan& plan = list.state.plan;
    // The nearest piece that has no entry yet.
    const plan::PiecePlan* nearest = nullptr;
    for (const plan::PiecePlan& other : plan.pieces) {
        if (other.named) continue;
        if (nearest == nullptr ||
            geometry::distance(other.label_at, piece.at) < geometry::distance(nearest->label_at, piece.at))
            nearest = &other;
    }
    if (nearest != nullptr) {
        const Point place = named_place(*nearest, list.ruler);
        list.add_set(fmt::format("place_piece:/pieces/{}", i),
                     fmt::format("Give the name to the piece at {}", list.ruler.show(place)),
                     Steps{"pieces"} / i / "at", list.ruler.written(place),
                     fmt::format("{} moved", capitalised(piece.name)));
    }
    list.add(fmt::format("drop_piece:/pieces/{}", i), fmt::format("Leave \"{}\" out", piece.name),
             [i](Bench& bench) { return remove_value(bench, fmt::format("/pieces/{}", i)); });
}

}  // namespace seamwright::edit
