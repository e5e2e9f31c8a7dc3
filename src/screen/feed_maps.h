#pragma once

#include "job/json_writer.h"
#include "plan/feed_study.h"

namespace seamwright::screen {

/// `FeedMapView[]` of web/src/protocol.ts, under "feed": each piece with routed edges, the strokes beside them.
void write_feed_maps(job::JsonWriter& json, const plan::FeedStudy& feed, const plan::Plan& plan);

}  // namespace seamwright::screen
