#include "plan/feed_study.h"

#include <algorithm>
#include <utility>

#include "fibres_of_piece.h"

namespace seamwright::plan {

process::RoutedDisc routed_disc(const shelf::Disc& disc) {
    process::RoutedDisc routed;
    routed.cutter_radius_mm = 0.5 * disc.cutter_mm;
    routed.side_cut_mm = disc.side_cut_mm;
    routed.on_table = disc.on_table;
    for (const shelf::RimStretch& stretch : disc.rim) {
        const double past = stretch.to_rad > stretch.from_rad ? 0.0 : geometry::two_pi;
        routed.marks.push_back({stretch.from_rad, stretch.to_rad + past,
                                stretch.climb ? process::Feed::climb : process::Feed::conventional, stretch.seen});
    }
    return routed;
}

SpeciesTear tear_of(const shelf::Shelf& shelf, const std::string& species) {
    SpeciesTear tear;
    tear.species = species;
    const shelf::Species* known = shelf::find_species(species);
    const auto same_wood = [&](const shelf::Disc& disc) {
        return disc.species == species || (known != nullptr && shelf::find_species(disc.species) == known);
    };
    for (std::size_t i = 0; i < shelf.discs.size(); ++i) {
        if (shelf.discs[i].rim.empty() || !same_wood(shelf.discs[i])) continue;
        if (!tear.discs.empty() && shelf.discs[tear.discs.back()].on != shelf.discs[i].on) tear.discs.clear();
        tear.discs.push_back(i);
    }
    for (const std::size_t i : tear.discs) {
        process::AdjustedModel adjusted = process::adjusted_by_disc(tear.model, routed_disc(shelf.discs[i]));
        tear.model = std::move(adjusted.model);
        for (const auto& angles : adjusted.disagree) tear.disagree.push_back({i, angles});
    }
    return tear;
}

FeedStudy study_feed(const Plan& plan, const shelf::Shelf& shelf, const RoughCutStudy& rough,
                     const BoardsStudy* boards) {
    FeedStudy out;
    for (const RoughCut& cut : rough.cuts) {
        const FibresOfPiece fibres(plan, cut.piece, shelf, boards);
        out.from_boards = out.from_boards || fibres.from_boards();
        process::EdgeCut edge;
        edge.edge = plan.seams[cut.seam].in_wood;
        edge.wood_on_left = cut.on_left;
        edge.fibres = [fibres](Point p) { return fibres.at(p); };
        process::SideCut side;
        side.cutter_radius_mm = 0.5 * cut.cutter_mm;
        // What the saw has left standing, or a whole groove.
        side.side_cut_mm = cut.from_waste ? cut.cutter_mm : std::min(cut.reveal_mm, cut.cutter_mm);
        const std::string& species = plan.pieces[cut.piece].species;
        const auto known = std::find_if(out.tears.begin(), out.tears.end(),
                                        [&](const SpeciesTear& tear) { return tear.species == species; });
        const auto tear = static_cast<std::size_t>(known - out.tears.begin());
        if (known == out.tears.end()) out.tears.push_back(tear_of(shelf, species));
        RoutedEdge& routed = out.edges.emplace_back();
        routed.seam = cut.seam;
        routed.piece = cut.piece;
        routed.tear = tear;
        routed.on_left = cut.on_left;
        routed.edge = edge.edge;
        routed.side_cut_mm = side.side_cut_mm;
        routed.feed = process::plan_feed(edge, side, out.tears[tear].model);
        routed.cut = std::move(edge);
    }
    for (std::size_t i = 0; i < out.edges.size(); ++i) {
        for (std::size_t k = 0; k < out.edges.size(); ++k) {
            const RoutedEdge& other = out.edges[k];
            if (other.seam != out.edges[i].seam || other.on_left == out.edges[i].on_left) continue;
            out.edges[i].both_tear_mm =
                std::max(out.edges[i].both_tear_mm,
                         process::length_in_both(out.edges[i].feed.stretches, other.feed.stretches,
                                                 geometry::length_mm(out.edges[i].edge), process::TearZone::tears));
        }
    }
    return out;
}

}  // namespace seamwright::plan
