#include "handles.h"

namespace seamwright::screen {
namespace {

std::string_view word(edit::Handle::Kind kind) {
    using Kind = edit::Handle::Kind;
    switch (kind) {
        case Kind::pin:
            return "pin";
        case Kind::end:
            return "end";
        case Kind::rise:
            return "rise";
        case Kind::radius:
            return "radius";
        case Kind::height:
            return "height";
        case Kind::length:
            return "length";
        case Kind::shift:
            return "shift";
        case Kind::centre:
            return "centre";
        case Kind::width:
            return "width";
        case Kind::turn:
            return "turn";
        case Kind::size:
            return "size";
    }
    return {};
}

}  // namespace

void write_handles(job::JsonWriter& json, std::string_view key, const std::vector<edit::Handle>& handles) {
    json.begin_list(key);
    for (const edit::Handle& handle : handles) {
        json.begin_group();
        json.text("id", handle.id);
        json.text("kind", word(handle.kind));
        json.point("at", handle.at);
        if (handle.from) json.point("from", *handle.from);
        json.text("name", handle.name);
        json.text("value", handle.value);
        json.flag("removable", handle.removable);
        json.end_group();
    }
    json.end_list();
}

}  // namespace seamwright::screen
