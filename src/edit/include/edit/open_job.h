#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "job/read.h"
#include "plan/plan.h"

namespace seamwright::edit {

struct Refused {
    std::vector<job::Problem> problems;  ///< never empty
};

/// One place on the drawing that can be taken hold of. Ids are JSON pointers into the document, with "#what" where the
/// handle stands for a size and not for a place; they stay the same while the document keeps its shape.
struct Handle {
    enum class Kind { pin, end, rise, radius, height, length, shift, centre, width, turn, size };
    std::string id;
    Kind kind = Kind::pin;
    geometry::Point at;
    std::optional<geometry::Point> from;  ///< where the line starts that shows what the handle measures
    std::string name;                     ///< "Pin 3 of 5", "Rise"
    std::string value;                    ///< in the job's units
    bool removable = false;
};

/// A remedy that can be carried out: the problem it belongs to (index into OpenJob::problems()), and what it says.
struct Remedy {
    std::string id;
    std::size_t problem = 0;
    std::string says;  ///< "Carry the seam 24 mm past the edge"
};
/// A tool whose purchase makes an exact chain, for one seam; the remedy puts it on the shelf.
struct ToolAdvice {
    std::size_t seam = 0;
    std::string says;
    std::string remedy;
};

/// A job document with what was read from it and its plan, which always belong together. Values; never changes.
/// Only documents that can be read are ever open; the plan may still have errors among its problems.
class OpenJob {
  public:
    /// Files that the document names are not fetched (the page keeps everything inside the document).
    static std::variant<OpenJob, Refused> open(const std::string& text);

    const std::string& text() const;  ///< UTF-8 JSON, two spaces, ends with a line end
    const job::Document& document() const;
    const plan::Plan& plan() const;
    /// Of reading (warnings) and of planning.
    const std::vector<job::Problem>& problems() const;

    /// Handles of the outline, and of a seam.
    std::vector<Handle> outline_handles() const;
    std::vector<Handle> seam_handles(std::size_t seam) const;

    std::vector<Remedy> remedies() const;
    std::vector<ToolAdvice> tool_advice() const;

    /// The value that stands at a JSON pointer as the maker wrote it ("59 1/2 in"), if it is there and simple.
    std::optional<std::string> written_at(std::string_view pointer) const;

    struct Edited;
    /// Carries out edits in turn: `edits` is a JSON array that follows `Edit` in web/src/protocol.ts. All or nothing.
    /// Open seams that reached past the edge of the top go on reaching past it when the edge is moved outward.
    /// `shop_shelf`: the "shelf" object of the shop as JSON, for take_shop_shelf. Pure: same input, same bytes.
    std::variant<Edited, Refused> edited(std::string_view edits, std::string_view shop_shelf = {}) const;

  private:
    struct Whole;
    explicit OpenJob(std::shared_ptr<const Whole> whole) : whole_(std::move(whole)) {}
    std::shared_ptr<const Whole> whole_;
};

struct OpenJob::Edited {
    OpenJob job;
    std::string says;            ///< for the history: "Pin 3 of front seam moved"
    bool shelf_changed = false;  ///< something under /shelf is not as before
};

/// A plain rectangular top without seams, for a first drawing, with the given "shelf" object (JSON text).
std::string blank_document(units::Unit unit, std::string_view shelf);

/// The "shelf" object of a document as JSON text, with the unit in every length ("30 mm"): it means the same in every
/// document, and two shelves of the same tools written the same way are the same text.
std::string shelf_of(std::string_view document);

}  // namespace seamwright::edit
