#pragma once

#include <map>
#include <memory>
#include <string>

#include "paper/drawing.h"
#include "plan/finished_look.h"

namespace seamwright::paper {

/// Pictures of boards, by the names that the boards have for them.
using BoardPictures = std::map<std::string, std::shared_ptr<const PictureFile>>;

/// Lays the picture of the finished top into a drawing: `scale` times as large, the top's (0, 0) at `origin`. Outline,
/// seams and, finer, the joints within glued-up pieces are drawn over the wood.
void draw_finished_top(Drawing& drawing, const plan::FinishedLook& look, const BoardPictures& pictures, Point origin,
                       double scale);

}  // namespace seamwright::paper
