#pragma once

#include <functional>

#include "geometry/point.h"
#include "tree.h"
#include "units/length.h"

namespace seamwright::edit {

/// What stands at a place of the document, as schema/job.schema.json has it.
enum class FieldKind { length, number, angle, flag, text, group };
FieldKind kind_of_field(const Steps& steps);

/// Every number or text that is a length, with its place: lengths by name and the places [x, y] of points.
void visit_lengths(Json& tree, const std::function<void(const Steps& steps, Json& value)>& visit);

/// The length of a value that reads as one; nullopt for others. Bare numbers are in `bare`.
std::optional<double> length_mm(const Json& value, units::Unit bare);

/// The unit of the document's bare numbers.
units::Unit unit_of(const Json& tree);

/// A length as the document of that unit holds it best: a text keeps its own unit and words. Changes the bare numbers
/// of a value so that it means in `to` what it meant in `from`.
void keep_size(Json& value, units::Unit from, units::Unit to);

/// A shelf with the unit in every length, so that it means the same in every document; and as a document of `unit`
/// writes it: a plain number where the length is in the document's own unit.
void say_units(Json& shelf, units::Unit from);
void leave_out_units(Json& shelf, units::Unit unit);

/// A number as JSON: whole ones without a point.
Json number_of(double value);

}  // namespace seamwright::edit
