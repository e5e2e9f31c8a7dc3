#pragma once

#include <vector>

#include "paper/drawing.h"
#include "paper/finished_picture.h"
#include "plan/boards_study.h"
#include "plan/body_study.h"
#include "plan/movement_study.h"

namespace seamwright::paper {

/// The boards to scale with what is sawn from them, then all that is told of them and of the year to come, on upright
/// sheets of the job's paper; first the finished top as a picture. `boards` and `body` may be missing, and `pictures`
/// of boards that name one: then their figure is drawn.
std::vector<Drawing> wood_pages(const plan::Plan& plan, const std::optional<plan::BoardsStudy>& boards,
                                const plan::MovementStudy& movement, const plan::BodyStudy* body, const job::Job& job,
                                const shelf::Shelf& shelf, const BoardPictures& pictures);

}  // namespace seamwright::paper
