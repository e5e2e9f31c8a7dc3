#include "told.h"

namespace seamwright::screen {

void write_told(job::JsonWriter& json, std::string_view key, const plan::words::Told& told) {
    json.begin_group(key);
    json.text("title", told.title);
    json.texts("lines", told.lines);
    json.texts("cautions", told.cautions);
    json.end_group();
}

}  // namespace seamwright::screen
