#pragma once

#include <initializer_list>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "edit/open_job.h"
#include "job/json_writer.h"

namespace seamwright::screen {

/// One of the answers to a choice. With an edit of its own (JSON text), that one is sent as it stands.
struct Choice {
    std::string value, says, edit;
};

/// A blank to fill in: `Field` of web/src/protocol.ts.
struct Field {
    enum class Kind { length, number, text, long_text, day, choice, angle, yes };
    std::string pointer;
    Kind kind = Kind::text;
    std::string value, label;
    std::vector<Choice> choices;
    std::string edit;  ///< JSON text; empty: the value is set at the pointer
};

/// A press at the end of a sentence: `Press` of web/src/protocol.ts.
struct Press {
    std::string says;
    std::vector<std::string> edits;  ///< JSON texts
};

using Part = std::variant<std::string, Field, Press>;
struct Card {
    std::string pointer, title;
    std::vector<std::vector<Part>> sentences;

    void say(std::vector<Part> sentence) { sentences.push_back(std::move(sentence)); }
};

void write_field(job::JsonWriter& json, std::string_view key, const Field& field);
void write_card(job::JsonWriter& json, const Card& card);

/// Blanks that show what the maker wrote, or else what the program takes it for.
class Blanks {
  public:
    explicit Blanks(const edit::OpenJob& job);

    const edit::OpenJob& job() const { return *job_; }
    units::Unit unit() const { return unit_; }
    /// A bare number shows the job's unit behind it.
    Field length(std::string pointer, double otherwise_mm, std::string label) const;
    /// A length that may be left out: empty then.
    Field open_length(std::string pointer, std::string label) const;
    Field number(std::string pointer, double otherwise, std::string label) const;
    /// A number that may be left out: empty then.
    Field open_number(std::string pointer, std::string label) const;
    Field angle(std::string pointer, double otherwise_degrees, std::string label) const;
    Field open_angle(std::string pointer, std::string label) const;
    Field text(std::string pointer, std::string label) const;
    /// Of several lines.
    Field long_text(std::string pointer, std::string label) const;
    /// "2027-01-11", or empty.
    Field day(std::string pointer, std::string label) const;
    Field yes(std::string pointer, std::string label) const;
    Field choice(std::string pointer, std::string value, std::string label, std::vector<Choice> choices) const;
    /// x and y of a place, with the words between them.
    std::vector<Part> place(const std::string& pointer, geometry::Point at, const std::string& label) const;

  private:
    const edit::OpenJob* job_;
    units::Unit unit_;
};

/// Edits as JSON text.
std::string set_edit(std::string_view pointer, std::string_view value);
std::string open_edit(std::string_view pointer);  ///< takes the entry away

/// Several parts behind each other.
std::vector<Part> joined(std::initializer_list<std::vector<Part>> parts);

}  // namespace seamwright::screen
