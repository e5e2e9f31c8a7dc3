#pragma once

#include <vector>

#include "plan/build_up_study.h"
#include "plan/rough_cut_study.h"
#include "stock/placing.h"

namespace seamwright::plan {

/// Finds the wood of build-up parts on the boards, one part after the other; what one has taken no other gets.
class BuildUpOffcuts {
  public:
    BuildUpOffcuts(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, const BoardsStudy& boards,
                   const RoughCutStudy& rough);

    /// The best place for its blank: where colour and grain line up most nearly with the wood above it.
    std::optional<BuildUpSource> take(const BuildUpPiece& part);
    /// Given back, as if it had not been taken.
    void give_back(const BuildUpSource& source);
    /// The offcuts that something was taken from, as they are then.
    std::vector<Offcut> left() const;

  private:
    /// The blank as it would lie under the part's own board, and the sawn part above it.
    struct Above {
        std::size_t board = 0, sawn_part = 0;
        geometry::Box box;     ///< of the blank, on the board, at the place it goes under
        double outward = 0.0;  ///< along the board: +1 or −1 toward the end of the piece it lies at
    };
    std::optional<Above> above(const BuildUpPiece& part) const;
    std::optional<BuildUpSource> cut_off(const BuildUpPiece& part, const Above& above) const;
    std::optional<BuildUpSource> on_board(const BuildUpPiece& part, std::size_t board, const Above* above) const;
    bool clear(std::size_t board, const geometry::Box& blank, std::optional<std::size_t> but) const;
    bool sound(std::size_t board, const geometry::Box& blank) const;
    bool meets_screws(const BuildUpPiece& part, const geometry::Box& in_top_frame) const;

    const Plan& plan_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
    const BoardsStudy& boards_;
    const RoughCutStudy& rough_;
    stock::Settings settings_;
    std::vector<BuildUpSource> taken_;
};

}  // namespace seamwright::plan
