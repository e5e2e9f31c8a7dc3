#pragma once

#include "geometry/path_index.h"
#include "ruler.h"
#include "state.h"

namespace seamwright::edit {

/// An edit that cannot be carried out. Thrown inside this room only; OpenJob::edited turns it into Refused.
struct Refusal {
    std::vector<job::Problem> problems;
};
[[noreturn]] void refuse(std::string pointer, std::string found, std::string allowed, std::string remedy);

/// The document under the hands of several edits in turn. What is read and planned from it is fetched when an edit
/// asks for it, and again after the tree was changed.
class Bench {
  public:
    Bench(const State& before, std::string_view shop_shelf)
        : before_(before), shop_shelf_(shop_shelf), tree_(before.tree) {}

    const State& before() const { return before_; }
    std::string_view shop_shelf() const { return shop_shelf_; }
    const Json& tree() const { return tree_; }
    /// The tree to be changed: what was read from it before is out of date.
    Json& change();

    Ruler ruler() const { return Ruler(tree_); }
    /// Throws Refusal when the document as changed so far cannot be read.
    const job::Document& document();
    const plan::Plan& plan();
    /// The finished edge of the top; empty when it cannot be drawn.
    const geometry::Path& outline();
    /// field_within() that outline.
    const geometry::Path& field();

    /// All of it as it stands, read and planned. Throws Refusal.
    State snapshot();
    /// The end: the same, and the bench is empty. Throws Refusal.
    State finish();

  private:
    const State& before_;
    std::string_view shop_shelf_;
    Json tree_;
    bool changed_ = false;
    std::string text_;
    std::optional<job::Document> document_;
    std::vector<job::Problem> warnings_;
    std::optional<plan::Plan> plan_;
    std::optional<geometry::Path> outline_;
    std::optional<geometry::Path> field_;
};

/// Width of the innermost edging; 0 without one.
double edging_mm(const job::Job& job);

/// What open seams run across: the top within its innermost edging, or the outline itself where that cannot be
/// computed.
geometry::Path field_within(const geometry::Path& outline, const job::Job& job);

}  // namespace seamwright::edit
