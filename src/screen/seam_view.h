#pragma once

#include "edit/open_job.h"
#include "job/json_writer.h"
#include "screen/screen.h"

namespace seamwright::screen {

/// `CurveKind`, "svg_path", "points", "lines_and_arcs" or "edging": how the job says the course of a seam.
std::string_view curve_kind(const edit::OpenJob& job, std::size_t seam);

/// `SeamView` of web/src/protocol.ts; live leaves the chains and the advice out, and the strip of a seam that is not
/// looked at.
void write_seam_view(job::JsonWriter& json, const edit::OpenJob& job, std::size_t seam, const Around& around);

}  // namespace seamwright::screen
