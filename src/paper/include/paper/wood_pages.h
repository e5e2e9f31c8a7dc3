#pragma once

#include <vector>

#include "paper/drawing.h"
#include "paper/finished_picture.h"
#include "plan/boards_study.h"
#include "plan/body_study.h"
#include "plan/movement_study.h"
#include "plan/rough_cut_study.h"

namespace seamwright::paper {

/// First the finished top as a picture, unless it stands elsewhere. Then the boards to scale with what is sawn from
/// them, each piece with its rough cut and what holds its templates, and all that is told of them and of the year to
/// come, on upright sheets of the job's paper. `boards` and `body` may be missing, and `pictures` of boards that name
/// one: then their figure is drawn.
std::vector<Drawing> wood_pages(const plan::Plan& plan, const std::optional<plan::BoardsStudy>& boards,
                                const plan::RoughCutStudy& rough, const plan::MovementStudy& movement,
                                const plan::BodyStudy* body, const job::Job& job, const shelf::Shelf& shelf,
                                const BoardPictures& pictures, bool with_top = true);

}  // namespace seamwright::paper
