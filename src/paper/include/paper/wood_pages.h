#pragma once

#include <vector>

#include "paper/drawing.h"
#include "plan/boards_study.h"
#include "plan/body_study.h"
#include "plan/movement_study.h"
#include "plan/rough_cut_study.h"

namespace seamwright::paper {

/// The boards to scale with what is sawn from them, each piece with its rough cut and what holds its templates, then
/// all that is told of them and of the year to come, on upright sheets of the job's paper. `boards` and `body` may be
/// missing.
std::vector<Drawing> wood_pages(const plan::Plan& plan, const std::optional<plan::BoardsStudy>& boards,
                                const plan::RoughCutStudy& rough, const plan::MovementStudy& movement,
                                const plan::BodyStudy* body, const job::Job& job, const shelf::Shelf& shelf);

}  // namespace seamwright::paper
