#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "job/read.h"
#include "ranges.h"
#include "value.h"

namespace seamwright::job {

/// A value and where it stands. Refers to the parsed document, which outlives the reading.
struct Node {
    const Value* value = nullptr;
    std::string pointer;
};

/// Gathers problems while a document is read, and knows what a bare number means.
class Checker {
  public:
    explicit Checker(const FetchFile& fetch) : fetch_(fetch) {}

    units::Unit unit = units::Unit::millimetre;

    void error(const Node& node, std::string found, std::string allowed, std::string remedy,
               std::optional<Point> at = {});
    void warning(const Node& node, std::string found, std::string allowed, std::string remedy);
    void add(std::vector<PlacedProblem> problems);
    /// In the order of the document; cut off after `most_problems`.
    std::vector<Problem> take_problems();

    std::optional<std::string> fetch(const std::string& name, std::string& why) const;
    /// A bound as it is told to the maker, in the job's unit: "0.394 in", "10 mm".
    std::string say_mm(double mm) const;
    std::string say(Range range_mm) const;
    std::string unit_name() const { return unit == units::Unit::inch ? "in" : "mm"; }

  private:
    const FetchFile& fetch_;
    std::vector<PlacedProblem> problems_;
};

/// The members of a group { }: refuses everything else, and names that are not known, with the nearest known one.
class Group {
  public:
    Group(Checker& checker, Node node, const std::vector<std::string_view>& known);

    /// False when the node is no group; that has been reported, and nothing more need be.
    explicit operator bool() const { return node_.value->object() != nullptr; }
    const Node& node() const { return node_; }

    std::optional<Node> find(std::string_view name) const;
    /// Reports what is missing: `what` says what the value is, with an example.
    std::optional<Node> need(std::string_view name, std::string_view what) const;
    /// The one member of `names` that is given; reports when none or several are.
    std::optional<std::string_view> exactly_one(const std::vector<std::string_view>& names,
                                                std::string_view what) const;

    // Optional members: `into` keeps its value when absent or refused.
    void length(std::string_view name, Range range_mm, double& into) const;
    void length(std::string_view name, Range range_mm, std::optional<double>& into) const;
    void flag(std::string_view name, bool& into) const;

    // Members that must be there.
    bool need_length(std::string_view name, Range range_mm, std::string_view what, double& into) const;
    bool need_point(std::string_view name, std::string_view what, Point& into) const;
    bool need_name(std::string_view what, std::string& into) const;

  private:
    Checker& checker_;
    Node node_;
};

Node child(const Node& list, std::size_t index);

std::optional<double> read_length(Checker& checker, const Node& node, Range range_mm);
std::optional<double> read_number(Checker& checker, const Node& node, Range range, std::string_view of_what);
std::optional<int> read_whole(Checker& checker, const Node& node, int low, int high);
/// Degrees in the document, radians in the job.
std::optional<double> read_angle(Checker& checker, const Node& node);
std::optional<Point> read_point(Checker& checker, const Node& node);
std::optional<std::vector<Point>> read_points(Checker& checker, const Node& node, std::size_t least);
/// Text on one line, 1..longest_name characters.
std::optional<std::string> read_name(Checker& checker, const Node& node);
/// Text that may have several lines, and may be empty.
std::optional<std::string> read_note(Checker& checker, const Node& node);
std::optional<std::string> read_choice(Checker& checker, const Node& node,
                                       const std::vector<std::string_view>& choices);
/// The list's items; reports when it is no list, or longer than `most` (then gives none).
std::vector<Node> read_list(Checker& checker, const Node& node, std::size_t most);

/// Radians of an angle written in degrees; `degrees_of` is its inverse to the last bit for every angle that was read.
double radians_of(double degrees);
double degrees_of(double radians);

/// The nearest of the known names by spelling, empty when none is near.
std::string nearest_name(std::string_view name, const std::vector<std::string_view>& known);
std::string list_of(const std::vector<std::string_view>& names, std::string_view last_word);

}  // namespace seamwright::job
