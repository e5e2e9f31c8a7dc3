#pragma once

#include <string>

#include "edit/open_job.h"
#include "job/json_writer.h"

namespace seamwright::screen {

/// "30 mm guide and 10 mm cutter for everything, master on the left". No two chains of a seam have the same.
std::string chain_title(const seam::Chain& chain, const shelf::Shelf& shelf);
/// What the sizes of the tools leave between the edges, in words.
std::string mismatch_says(const seam::Chain& chain, const units::LengthStyle& style);
/// Every pass in a sentence, and before them what they share.
std::vector<std::string> passes_says(const plan::StepPlan& step, const units::LengthStyle& style);

/// `ChainView[]` of web/src/protocol.ts: lines, cautions and passes for the chosen one, pictures for all.
void write_chains(job::JsonWriter& json, const edit::OpenJob& job, std::size_t seam);

}  // namespace seamwright::screen
