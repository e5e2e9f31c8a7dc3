#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "app/server_listener.h"

namespace seamwright::app {

/// Makes a board's picture of the photo in `body`, as `BoardPhotoWish` of web/src/protocol.ts asks in the query; `keep`
/// takes it under a name made of its bytes. `BoardPhotoView`, or 422 with what is wrong with the photo. One at a time:
/// decoding takes hundreds of megabytes.
Answer board_photo_answer(std::string_view query, std::string_view body,
                          const std::function<void(const std::string& name, const std::string& bytes)>& keep);

}  // namespace seamwright::app
