#pragma once

#include "edit/open_job.h"

namespace seamwright::screen {

/// A seam as far as it can be drawn. With errors in the job there is no plan of it, and it is drawn alone, so that the
/// maker sees what is meant.
struct SeamLine {
    geometry::Path whole;                  ///< as meant, past the outline; empty when it cannot be drawn
    geometry::Path in_wood;                ///< within the outline where that is possible, else the whole
    const plan::SeamPlan* plan = nullptr;  ///< absent with errors in the lay-out of the job
};
SeamLine seam_line(const edit::OpenJob& job, std::size_t seam);

}  // namespace seamwright::screen
