#include "drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <variant>

#include "handles.h"
#include "path_data.h"
#include "plan/wood_look.h"
#include "plan/words.h"

namespace seamwright::screen {
namespace {

geometry::Box said_size(const job::Outline& outline) {
    if (const auto* r = std::get_if<job::RectangleOutline>(&outline)) return {{0.0, 0.0}, {r->length_mm, r->width_mm}};
    if (const auto* r = std::get_if<job::RoundOutline>(&outline)) return {{0.0, 0.0}, {r->diameter_mm, r->diameter_mm}};
    if (const auto* o = std::get_if<job::OvalOutline>(&outline)) return {{0.0, 0.0}, {o->length_mm, o->width_mm}};
    geometry::Box box;
    const auto& curve = std::get<job::FreeOutline>(outline).curve;
    if (const auto* pins = std::get_if<curves::Pins>(&curve)) {
        for (const auto p : pins->points) box.add(p);
    } else if (const auto* imported = std::get_if<curves::Imported>(&curve)) {
        if (!imported->path.empty()) box = geometry::bounding_box(imported->path);
    } else if (const auto* traced = std::get_if<curves::Traced>(&curve)) {
        for (const auto p : curves::placed_points(*traced)) box.add(p);
    }
    return box.empty() ? geometry::Box{{0.0, 0.0}, {1000.0, 1000.0}} : box;
}

std::string tells(const plan::PiecePlan& piece, const units::LengthStyle& style) {
    std::string text = piece.species.empty() ? std::string("no species yet") : piece.species;
    text += " · " + plan::words::size_text(piece.box, style);
    if (piece.weight_kg > 0.0) text += " · " + plan::words::weight_text(piece.weight_kg, style.unit);
    return text;
}

std::string pointer_to(const plan::PiecePlan& piece, const std::vector<job::Piece>& pieces) {
    if (!piece.named) return {};
    const auto entry = std::find_if(pieces.begin(), pieces.end(), [&](const auto& p) { return p.name == piece.name; });
    return entry == pieces.end() ? std::string() : fmt::format("/pieces/{}", entry - pieces.begin());
}

}  // namespace

void write_drawing(job::JsonWriter& json, const edit::OpenJob& job) {
    const plan::Plan& plan = job.plan();
    const job::Job& asked = job.document().job;
    const geometry::Box box = plan.box.empty() ? said_size(asked.outline) : plan.box;
    json.begin_group("drawing");
    json.numbers("box", {box.low.x, box.low.y, box.high.x, box.high.y});
    json.text("outline", path_data(plan.outline));
    write_handles(json, "outline_handles", job.outline_handles());
    json.begin_list("pieces");
    for (const plan::PiecePlan& piece : plan.pieces) {
        json.begin_group();
        json.text("name", piece.name);
        json.flag("named", piece.named);
        json.text("pointer", pointer_to(piece, asked.pieces));
        json.text("species", piece.species == job::no_species ? "" : piece.species);
        json.text("wood", plan::wood_look(piece.species));
        json.number("grain_degrees", piece.grain_rad * geometry::degrees_per_radian);
        json.text("d", path_data(piece.region));
        json.point("label", piece.label_at);
        json.text("tells", tells(piece, plan.style));
        json.end_group();
    }
    json.end_list();
    json.end_group();
}

}  // namespace seamwright::screen
