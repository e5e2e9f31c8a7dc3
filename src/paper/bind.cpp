#include "bind.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "canvas.h"
#include "write_pdf.h"

namespace seamwright::paper {

namespace {

constexpr double longest_side_pt = 14400.0;

std::string real(double value) {
    return fmt::format("{:.9f}", value);
}

std::string show_window(const Shown& shown, double per_pt, const std::string& name) {
    // per_pt: page units in one point; 1 / user unit.
    const double u = pt_per_mm * per_pt;
    const Box& w = shown.window;
    return fmt::format("q {} {} {} {} re W n {} 0 0 {} {} {} cm {} Do Q\n", real(w.low.x * u), real(w.low.y * u),
                       real(w.width_mm() * u), real(w.height_mm() * u), real(shown.scale.x / fine * per_pt),
                       real(shown.scale.y / fine * per_pt), real(shown.shift.x * u), real(shown.shift.y * u), name);
}

}  // namespace

int user_unit(double width_mm, double height_mm) {
    return std::max(1, static_cast<int>(std::ceil(std::max(width_mm, height_mm) * pt_per_mm / longest_side_pt)));
}

std::string bind(const std::string& canvas_bytes, const std::vector<BoundPage>& pages, const std::string& title) {
    std::vector<FilePage> bound;
    bound.reserve(pages.size());
    for (const auto& p : pages) {
        FilePage page;
        page.page = p.page;
        page.unit = user_unit(p.width_mm, p.height_mm);
        const double per_pt = 1.0 / page.unit;
        page.width = p.width_mm * pt_per_mm * per_pt;
        page.height = p.height_mm * pt_per_mm * per_pt;
        page.before =
            fmt::format("q {} 0 0 {} 0 0 cm\n", real(p.scale.x / fine * per_pt), real(p.scale.y / fine * per_pt));
        page.after = "\nQ\n";
        if (p.shown) {
            page.drawing = p.shown->page;
            page.before = show_window(*p.shown, per_pt, "/Drawing") + page.before;
        }
        page.label = p.label;
        page.bookmarks = p.bookmarks;
        bound.push_back(std::move(page));
    }
    return write_pdf(canvas_bytes, bound, title);
}

}  // namespace seamwright::paper
