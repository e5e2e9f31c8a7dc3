#pragma once

#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "paper/job_book.h"
#include "text_pages.h"

namespace seamwright::paper {

/// On which page of the book things stand, known once it has been laid out. The book is laid out again until nothing
/// moves any more.
class BookPages {
  public:
    BookPages() = default;
    explicit BookPages(const std::vector<Drawing>& book);

    /// "page 12"; a stand-in of the same length before the book was laid out. A place that is not in a book laid out is
    /// kept in `wanting`.
    std::string page(const std::string& place) const;
    /// Whether the book has such a place; before it was laid out, always.
    bool has(const std::string& place) const { return !known_ || number_.contains(place); }
    /// Chapters and their pages, counted from 1.
    const std::vector<std::pair<std::string, std::size_t>>& contents() const { return contents_; }
    /// Places that were asked for and stand nowhere.
    const std::set<std::string>& wanting() const { return wanting_; }
    friend bool operator==(const BookPages& a, const BookPages& b) {
        return a.number_ == b.number_ && a.contents_ == b.contents_;
    }

  private:
    bool known_ = false;
    std::map<std::string, std::size_t> number_;
    std::vector<std::pair<std::string, std::size_t>> contents_;
    mutable std::set<std::string> wanting_;
};

// The sections of the job book, each in a source of its own. Each goes on where the pages stand.

SheetSize sheet_of(const JobStudies& studies);
std::string weight_of(const JobStudies& studies);
std::string size_of(const JobStudies& studies);  ///< "1510.0 mm × 640.0 mm, 22.0 mm thick"
/// The picture of the top, as wide as the text.
void put_picture(TextPages& pages, const JobStudies& studies, double highest_mm);
/// One row of a table, its cells beginning at these parts of the width; text shrinks to its cell.
void table_row(TextPages& pages, const std::vector<double>& columns, const std::vector<std::string>& cells, bool bold);

void write_cover(TextPages& pages, const JobStudies& studies, const BookPages& where);
void write_contents(TextPages& pages, const JobStudies& studies, const BookPages& where);
void write_cut_list(TextPages& pages, const JobStudies& studies, const BookPages& where);
void write_tests(TextPages& pages, const JobStudies& studies, const BookPages& where);
void write_chains(TextPages& pages, const JobStudies& studies, const BookPages& where);
void write_steps(TextPages& pages, const JobStudies& studies, const BookPages& where);
void write_feed(TextPages& pages, const JobStudies& studies, const BookPages& where);
void write_surface(TextPages& pages, const JobStudies& studies, const BookPages& where);
void write_calendar(TextPages& pages, const JobStudies& studies, const BookPages& where);

/// The names of places that the sections share.
namespace place {
std::string seam(std::size_t seam);
std::string operation(std::size_t seam, std::size_t step);
std::string rough(std::size_t piece);
std::string feed(std::size_t seam, bool on_left);
std::string closing(std::size_t seam);
inline constexpr const char *top = "the top", *cut_list = "cut list", *tests = "tests", *boards = "boards",
                            *fastening = "fastening", *seasons = "seasons", *edge = "edge", *sanding = "sanding",
                            *finish = "finish", *calendar = "calendar", *steps = "steps", *outline = "outline",
                            *flat = "flat", *edge_parts = "edge parts";
}  // namespace place

}  // namespace seamwright::paper
