#pragma once

#include <string_view>
#include <vector>

#include "app/write_files.h"
#include "job/read.h"
#include "paper/finished_picture.h"
#include "plan/work_studies.h"

namespace seamwright::app {

/// The files of the work that can be made (screen/work_view.h), or the one of that name alone; none where it cannot be
/// made. Of a plan with an outline.
std::vector<OutputFile> book_files(const plan::Plan& plan, const job::Document& document,
                                   const plan::WorkStudies& studies, const paper::BoardPictures& pictures,
                                   std::string_view only = {});

}  // namespace seamwright::app
