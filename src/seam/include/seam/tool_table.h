#pragma once

#include <vector>

#include "shelf/table.h"

namespace seamwright::seam {

/// data/router.csv, as it was when the program was built.
const shelf::Table& router_table();

/// Sizes one can expect to find in a shop or catalogue, rising, without doubles. Inch sizes are exact 64ths.
struct CommonSizes {
    std::vector<double> guides_mm;   ///< rows "bushing inch" and "bushing metric"
    std::vector<double> cutters_mm;  ///< rows "cutter diameter"
};
const CommonSizes& common_sizes();

}  // namespace seamwright::seam
