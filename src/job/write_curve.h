#pragma once

#include <string_view>

#include "curves/drawn.h"
#include "job/json_writer.h"

namespace seamwright::job {

void write_curve(JsonWriter& writer, std::string_view name, const curves::Curve& curve);

}  // namespace seamwright::job
