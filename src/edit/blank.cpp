#include "edit/open_job.h"
#include "fields.h"

namespace seamwright::edit {

std::string blank_document(units::Unit unit, std::string_view shelf) {
    const bool inch = unit == units::Unit::inch;
    Json tree = Json::object();
    tree["seamwright"] = 1;
    tree["name"] = "New top";
    tree["unit"] = inch ? "in" : "mm";
    // A size of a small table, easy to see whole; every number is there to be changed.
    Json rectangle = Json::object();
    rectangle["length"] = inch ? Json(48) : Json(1200);
    rectangle["width"] = inch ? Json(16) : Json(400);
    Json& top = tree["top"] = Json::object();
    top["thickness"] = inch ? Json("1 1/4 in") : Json(30);
    top["outline"]["rectangle"] = std::move(rectangle);
    tree["seams"] = Json::array();
    tree["pieces"] = Json::array();
    auto tools = parsed(shelf);
    if (tools) leave_out_units(*tools, unit);
    tree["shelf"] = tools ? std::move(*tools) : Json::object();
    return text_of(tree);
}

std::string shelf_of(std::string_view document) {
    const auto tree = parsed(document);
    const Json* found = tree ? find(*tree, {"shelf"}) : nullptr;
    Json shelf = found != nullptr ? *found : Json::object();
    if (tree) say_units(shelf, unit_of(*tree));
    return text_of(shelf);
}

}  // namespace seamwright::edit
