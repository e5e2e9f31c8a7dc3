#pragma once

#include <functional>

#include "bench.h"

namespace seamwright::edit {

/// A remedy with the hands that carry it out. Ids name what they do and where: "extend:/seams/0".
struct Cure {
    Remedy remedy;
    std::function<std::string(Bench&)> carry_out;  ///< says what was done; throws Refusal
};

std::vector<Cure> cures_of(const State& state);

/// Tools to buy, and the cures that put them on the shelf; the latter belong to no problem.
std::vector<ToolAdvice> tool_advice_of(const State& state);
std::vector<Cure> tool_cures_of(const State& state);

std::string carry_out_remedy(Bench& bench, const std::string& id);

// The parts, each for one subject. They add to `cures` what helps with problem number `problem` of the state.
struct CureList {
    const State& state;
    Ruler ruler;
    std::vector<Cure>& cures;
    std::size_t problem = 0;

    const job::Problem& told() const { return state.problems[problem]; }
    void add(std::string id, std::string says, std::function<std::string(Bench&)> carry_out);
    /// A value set, or with null taken away; `done` is the sentence for the history.
    void add_set(std::string id, std::string says, const Steps& steps, Json value, std::string done);
};
void add_course_cures(CureList& list, std::size_t seam);
void add_curve_cures(CureList& list, std::size_t seam);
/// `stick`: where its thickness stands.
void add_stick_cures(CureList& list, const Steps& thickness);
void add_edging_cures(CureList& list, std::size_t seam);
void add_outline_cures(CureList& list);
void add_chain_cures(CureList& list, std::size_t seam);
void add_tool_cures(CureList& list, const plan::SeamPlan& seam);
/// A piece that the job has no entry for.
void add_nameless_piece_cures(CureList& list);
void add_piece_cures(CureList& list, std::size_t piece);
void add_species_cures(CureList& list, std::size_t piece);

}  // namespace seamwright::edit
