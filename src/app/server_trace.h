#pragma once

#include <string_view>

#include "app/server_listener.h"

namespace seamwright::app {

/// Traces the pictures in the body as web/src/protocol.ts tells (TraceWish, TraceView). `query`: "wish=" and the wish
/// as JSON, percent-encoded. `body`: each picture as its length in four bytes, the highest first, and its bytes.
/// Nothing is kept. One at a time: a picture takes up to 400 MB for a second or two. 200 TraceView; 400 a wish or a
/// body that cannot be read; 422 { says, remedy, at? } why there is no trace.
Answer trace_answer(std::string_view query, std::string_view body);

}  // namespace seamwright::app
