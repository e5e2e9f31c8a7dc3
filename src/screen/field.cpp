#include "field.h"

#include "say.h"

namespace seamwright::screen {
namespace {

using Layout = job::JsonWriter::Layout;

std::string_view word(Field::Kind kind) {
    switch (kind) {
        case Field::Kind::length:
            return "length";
        case Field::Kind::number:
            return "number";
        case Field::Kind::text:
            return "text";
        case Field::Kind::long_text:
            return "long";
        case Field::Kind::day:
            return "day";
        case Field::Kind::choice:
            return "choice";
        case Field::Kind::angle:
            return "angle";
        case Field::Kind::yes:
            return "yes";
    }
    return {};
}

bool bare(std::string_view text) {
    return !text.empty() && text.find_first_not_of("+-.0123456789eE/ ") == std::string_view::npos;
}

}  // namespace

Blanks::Blanks(const edit::OpenJob& job)
    : job_(&job), unit_(job.written_at("/unit").value_or("mm") == "in" ? units::Unit::inch : units::Unit::millimetre) {}

Field Blanks::length(std::string pointer, double otherwise_mm, std::string label) const {
    Field field = open_length(std::move(pointer), std::move(label));
    if (field.value.empty()) field.value = default_size(otherwise_mm, unit_);
    return field;
}

Field Blanks::open_length(std::string pointer, std::string label) const {
    std::string value = job_->written_at(pointer).value_or("");
    if (bare(value)) value += unit_ == units::Unit::inch ? " in" : " mm";
    return {std::move(pointer), Field::Kind::length, std::move(value), std::move(label), {}, {}};
}

Field Blanks::number(std::string pointer, double otherwise, std::string label) const {
    std::string value = job_->written_at(pointer).value_or(plain_number(otherwise));
    return {std::move(pointer), Field::Kind::number, std::move(value), std::move(label), {}, {}};
}

Field Blanks::open_number(std::string pointer, std::string label) const {
    std::string value = job_->written_at(pointer).value_or("");
    return {std::move(pointer), Field::Kind::number, std::move(value), std::move(label), {}, {}};
}

Field Blanks::angle(std::string pointer, double otherwise_degrees, std::string label) const {
    Field field = open_angle(std::move(pointer), std::move(label));
    if (field.value.empty()) field.value = plain_number(otherwise_degrees) + "°";
    return field;
}

Field Blanks::open_angle(std::string pointer, std::string label) const {
    std::string value = job_->written_at(pointer).value_or("");
    if (bare(value)) value += "°";
    return {std::move(pointer), Field::Kind::angle, std::move(value), std::move(label), {}, {}};
}

Field Blanks::text(std::string pointer, std::string label) const {
    std::string value = job_->written_at(pointer).value_or("");
    return {std::move(pointer), Field::Kind::text, std::move(value), std::move(label), {}, {}};
}

Field Blanks::long_text(std::string pointer, std::string label) const {
    Field field = text(std::move(pointer), std::move(label));
    field.kind = Field::Kind::long_text;
    return field;
}

Field Blanks::day(std::string pointer, std::string label) const {
    Field field = text(std::move(pointer), std::move(label));
    field.kind = Field::Kind::day;
    return field;
}

Field Blanks::yes(std::string pointer, std::string label) const {
    std::string value = job_->written_at(pointer).value_or("false");
    return {std::move(pointer), Field::Kind::yes, std::move(value), std::move(label), {}, {}};
}

Field Blanks::choice(std::string pointer, std::string value, std::string label, std::vector<Choice> choices) const {
    return {std::move(pointer), Field::Kind::choice, std::move(value), std::move(label), std::move(choices), {}};
}

std::vector<Part> Blanks::place(const std::string& pointer, geometry::Point at, const std::string& label) const {
    return {length(pointer + "/0", at.x, label + ", from the left"), " from the left, ",
            length(pointer + "/1", at.y, label + ", from the front"), " from the front"};
}

void write_field(job::JsonWriter& json, std::string_view key, const Field& field) {
    json.begin_group(key);
    json.text("pointer", field.pointer);
    json.text("kind", word(field.kind));
    json.text("value", field.value);
    json.text("label", field.label);
    if (!field.choices.empty()) {
        json.begin_list("choices");
        for (const Choice& choice : field.choices) {
            json.begin_group();
            json.text("value", choice.value);
            json.text("says", choice.says);
            if (!choice.edit.empty()) json.json("edit", choice.edit);
            json.end_group();
        }
        json.end_list();
    }
    if (!field.edit.empty()) json.json("edit", field.edit);
    json.end_group();
}

void write_card(job::JsonWriter& json, const Card& card) {
    json.begin_group();
    json.text("pointer", card.pointer);
    json.text("title", card.title);
    json.begin_list("sentences");
    for (const auto& sentence : card.sentences) {
        json.begin_list();
        for (const Part& part : sentence) {
            if (const auto* field = std::get_if<Field>(&part)) {
                write_field(json, {}, *field);
            } else if (const auto* press = std::get_if<Press>(&part)) {
                json.begin_group();
                json.text("says", press->says);
                json.begin_list("edits");
                for (const std::string& edit : press->edits) json.json({}, edit);
                json.end_list();
                json.end_group();
            } else {
                json.text({}, std::get<std::string>(part));
            }
        }
        json.end_list();
    }
    json.end_list();
    json.end_group();
}

std::string set_edit(std::string_view pointer, std::string_view value) {
    job::JsonWriter json(Layout::one_line_thousandths);
    json.begin_group();
    json.text("set", pointer);
    json.text("value", value);
    json.end_group();
    return json.take_part();
}

std::string open_edit(std::string_view pointer) {
    job::JsonWriter json(Layout::one_line_thousandths);
    json.begin_group();
    json.text("set", pointer);
    json.nothing("value");
    json.end_group();
    return json.take_part();
}

std::vector<Part> joined(std::initializer_list<std::vector<Part>> parts) {
    std::vector<Part> all;
    for (const auto& some : parts) all.insert(all.end(), some.begin(), some.end());
    return all;
}

}  // namespace seamwright::screen
