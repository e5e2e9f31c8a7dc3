#include "pieces.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>
#include <utility>

#include "places.h"

namespace seamwright::plan {
namespace {

using job::Problem;

constexpr double mm3_per_m3 = 1e9;

std::string at_pointer(std::size_t i) {
    return fmt::format("/pieces/{}/at", i);
}

PiecePlan measured(geometry::Region region, double thickness_mm, const std::string& species) {
    PiecePlan piece;
    piece.area_mm2 = geometry::area_mm2(region);
    piece.box = geometry::bounding_box(region.outer);
    piece.label_at = geometry::label_point(region);
    piece.species = species;
    if (const shelf::Species* known = shelf::find_species(species))
        piece.weight_kg = piece.area_mm2 * thickness_mm / mm3_per_m3 * known->density_kg_m3;
    piece.region = std::move(region);
    return piece;
}

/// A, B, ... Z, AA, AB, ...
std::string letters(std::size_t n) {
    std::string text;
    for (++n; n > 0; n = (n - 1) / 26) text.insert(text.begin(), static_cast<char>('A' + (n - 1) % 26));
    return text;
}

class PieceNamer {
  public:
    PieceNamer(const job::Job& job, std::vector<geometry::Region> regions, std::vector<Problem>& problems)
        : job_(job), regions_(std::move(regions)), owner_(regions_.size()), problems_(problems) {}

    std::vector<PiecePlan> name() {
        for (std::size_t i = 0; i < job_.pieces.size(); ++i) claim(i);
        std::vector<PiecePlan> named(job_.pieces.size()), rest;
        std::vector<bool> found(job_.pieces.size(), false);
        for (std::size_t r = 0; r < regions_.size(); ++r) {
            if (!owner_[r]) {
                rest.push_back(measured(std::move(regions_[r]), job_.thickness_mm, {}));
                continue;
            }
            const job::Piece& piece = job_.pieces[*owner_[r]];
            PiecePlan& plan = named[*owner_[r]];
            plan = measured(std::move(regions_[r]), job_.thickness_mm, piece.species);
            plan.name = piece.name;
            plan.grain_rad = piece.grain_rad;
            plan.named = true;
            found[*owner_[r]] = true;
        }
        std::vector<PiecePlan> pieces;
        for (std::size_t i = 0; i < named.size(); ++i) {
            if (found[i]) pieces.push_back(std::move(named[i]));
        }
        add_unnamed(std::move(rest), pieces);
        return pieces;
    }

  private:
    void claim(std::size_t i) {
        const job::Piece& piece = job_.pieces[i];
        for (std::size_t r = 0; r < regions_.size(); ++r) {
            if (!geometry::contains(regions_[r], piece.at)) continue;
            if (owner_[r]) {
                problems_.push_back({Problem::Weight::error, at_pointer(i),
                                     fmt::format("\"{}\" {}, in the same piece as \"{}\"", piece.name,
                                                 place_words(piece.at, job_.style), job_.pieces[*owner_[r]].name),
                                     "one name for each piece",
                                     "move the place into the piece that is meant, or leave one of the two out",
                                     piece.at});
            } else {
                owner_[r] = i;
            }
            return;
        }
        problems_.push_back(
            {Problem::Weight::error, at_pointer(i),
             fmt::format("\"{}\" {}, where there is no wood", piece.name, place_words(piece.at, job_.style)),
             "a place inside a piece of the top", "move the place into the piece that is meant", piece.at});
    }

    void add_unnamed(std::vector<PiecePlan> rest, std::vector<PiecePlan>& pieces) {
        std::sort(rest.begin(), rest.end(), [](const PiecePlan& a, const PiecePlan& b) {
            return std::tie(a.label_at.y, a.label_at.x) < std::tie(b.label_at.y, b.label_at.x);
        });
        std::size_t next = 0;
        for (PiecePlan& piece : rest) {
            do {
                piece.name = "Piece " + letters(next++);
            } while (std::any_of(job_.pieces.begin(), job_.pieces.end(),
                                 [&](const job::Piece& p) { return p.name == piece.name; }));
            // A top that is not parted yet needs no names.
            if (!job_.seams.empty()) {
                problems_.push_back(
                    {Problem::Weight::warning, "/pieces",
                     fmt::format("a piece without a name {}", place_words(piece.label_at, job_.style)),
                     "a name, a species and a grain direction for every piece",
                     fmt::format("give it a name and a wood; until then it is called \"{}\"", piece.name),
                     piece.label_at});
            }
            pieces.push_back(std::move(piece));
        }
    }

    const job::Job& job_;
    std::vector<geometry::Region> regions_;
    std::vector<std::optional<std::size_t>> owner_;
    std::vector<Problem>& problems_;
};

}  // namespace

std::vector<PiecePlan> name_pieces(const job::Job& job, std::vector<geometry::Region> regions,
                                   std::vector<Problem>& problems) {
    return PieceNamer(job, std::move(regions), problems).name();
}

}  // namespace seamwright::plan
