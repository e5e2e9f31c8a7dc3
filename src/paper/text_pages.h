#pragma once

#include <string>
#include <vector>

#include "paper/drawing.h"
#include "plan/closing_study.h"

namespace seamwright::paper {

/// Upright sheets that are written from the top down, a new one whenever the next thing does not fit.
class TextPages {
  public:
    static constexpr double margin_mm = 15.0;
    static constexpr double text_mm = 3.0;
    static constexpr double line_mm = 4.3;
    /// A heading is not left alone at the foot of a sheet.
    static constexpr double with_heading_mm = 3.0 * line_mm;

    /// The title stands large on every sheet, what is under it small.
    TextPages(const SheetSize& sheet, std::string title, std::string under);

    Drawing& page() { return pages_.back(); }
    double width_mm() const { return width_; }
    /// Where the next thing begins, from the bottom of the sheet.
    double y() const { return y_; }
    void down(double mm) { y_ -= mm; }
    /// What is left of this sheet.
    double room_mm() const { return y_ - margin_mm; }

    /// The next chapter: on this sheet where so much of it is left, else on a new one.
    void chapter(const std::string& title, const std::string& under, double room_mm);
    /// What stands here is found by this name (Drawing::places).
    void mark(std::string place) { page().places.push_back(std::move(place)); }

    void new_page();
    void need(double height_mm);
    void put(const std::string& text, Point at, double height_mm, bool bold = false,
             Text::Anchor anchor = Text::Anchor::left);
    void line(Point a, Point b, const Stroke& stroke);
    void say(const std::string& text, double height_mm, bool bold = false, double indent_mm = 0.0,
             const char* mark = nullptr);
    /// A short bold word at the left, and what is said of it beside it.
    void labelled(const std::string& label, const std::string& text, double indent_mm, double label_mm);
    /// An empty box to tick, at the left end of the next line.
    void tick_box(double indent_mm, double side_mm);
    /// "Largest gap: ____________": from the indent to the right edge, or `to_mm` of the width.
    void blank(const std::string& what, double indent_mm = 0.0, double to_mm = 0.0);
    /// Ruled lines down to the foot of the sheet, where there is room for some.
    void notes();
    /// Title, sentences, and cautions with a mark of their own.
    void part(const plan::words::Told& told);

    /// Writes with `write(TextPages&)`, on a new sheet where it would otherwise be torn in two; what is higher than
    /// `most_mm` goes on where it is. `write` is called twice.
    template <class Write>
    void keep_together(double most_mm, const Write& write) {
        TextPages tried(sheet_, title_, under_);
        const double from = tried.y();
        write(tried);
        const double high = from - tried.y();
        if (tried.pages_.size() == 1 && high <= most_mm) need(high);
        write(*this);
    }

    /// The number of a page, where it stands on all of them.
    static Text number_of(const SheetSize& sheet, const std::string& said);
    /// The sheets, with "2 of 3" on each.
    std::vector<Drawing> finish();

  private:
    void heading();

    SheetSize sheet_;
    std::string title_, under_;
    double width_ = 0.0, y_ = 0.0;
    bool continued_ = false;
    std::vector<Drawing> pages_;
};

}  // namespace seamwright::paper
