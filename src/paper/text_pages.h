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

    /// The title stands large on every sheet, what is under it small.
    TextPages(const SheetSize& sheet, std::string title, std::string under);

    Drawing& page() { return pages_.back(); }
    double width_mm() const { return width_; }
    /// Where the next thing begins, from the bottom of the sheet.
    double y() const { return y_; }
    void down(double mm) { y_ -= mm; }

    void new_page();
    void need(double height_mm);
    void put(const std::string& text, Point at, double height_mm, bool bold = false,
             Text::Anchor anchor = Text::Anchor::left);
    void line(Point a, Point b, const Stroke& stroke);
    void say(const std::string& text, double height_mm, bool bold = false, double indent_mm = 0.0,
             const char* mark = nullptr);
    /// Title, sentences, and cautions with a mark of their own.
    void part(const plan::words::Told& told);

    /// The sheets, with "2 of 3" on each.
    std::vector<Drawing> finish();

  private:
    SheetSize sheet_;
    std::string title_, under_;
    double width_ = 0.0, y_ = 0.0;
    std::vector<Drawing> pages_;
};

}  // namespace seamwright::paper
