#include "section_view.h"

namespace seamwright::screen {
namespace {

using geometry::Box;

void append_rect(std::string& out, const Box& b) {
    out += 'M';
    job::append_thousandths(out, b.low.x);
    out += ' ';
    job::append_thousandths(out, b.low.y);
    out += 'H';
    job::append_thousandths(out, b.high.x);
    out += 'V';
    job::append_thousandths(out, b.high.y);
    out += 'H';
    job::append_thousandths(out, b.low.x);
    out += 'Z';
}

}  // namespace

void write_section(job::JsonWriter& json, std::string_view key, const plan::Section& section) {
    json.begin_group(key);
    json.numbers("box", {section.box.low.x, section.box.low.y, section.box.high.x, section.box.high.y});
    json.begin_list("shapes");
    for (const auto& shape : section.shapes) {
        std::string d;
        for (const Box& part : shape.parts) append_rect(d, part);
        json.begin_group();
        json.text("what", shape.what);
        json.text("d", d);
        json.text("says", shape.says);
        json.end_group();
    }
    json.end_list();
    json.begin_list("dimensions");
    for (const auto& dimension : section.dimensions) {
        json.begin_group();
        json.point("from", dimension.from);
        json.point("to", dimension.to);
        json.text("says", dimension.says);
        json.end_group();
    }
    json.end_list();
    json.number("seam_at", 0.0);
    json.end_group();
}

}  // namespace seamwright::screen
