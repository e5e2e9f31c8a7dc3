#include "rough_cut_drawing.h"

#include <fmt/format.h>

#include <algorithm>

#include "clip.h"
#include "marks.h"
#include "placing.h"
#include "plan/edging_study.h"
#include "plan/words.h"
#include "strokes.h"
#include "text_size.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

const Stroke finished_line{.width_mm = 0.40, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke rough_line{.width_mm = 0.25, .dash_mm = {2.0, 1.0}, .grey = 0.0, .colour = {}};
const Stroke saw_line{.width_mm = 0.35, .dash_mm = {0.5, 1.2}, .grey = 0.0, .colour = {}};
const Stroke template_line{.width_mm = 0.20, .dash_mm = {}, .grey = 0.50, .colour = {}};
const Stroke way_line{.width_mm = 0.20, .dash_mm = {4.0, 0.9, 0.8, 0.9}, .grey = 0.0, .colour = {}};
const Stroke tool_line{.width_mm = 0.25, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke index_line{.width_mm = 0.60, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke frame_line{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};

constexpr double highest_mm = 70.0;      // of the whole piece on the sheet
constexpr double detail_high_mm = 62.0;  // of an end drawn larger
constexpr double gap_mm = 6.0;           // between two of them
constexpr double around_mm = 22.0;       // of the wood, about what is shown in one

/// Part of the top, drawn to scale into a rectangle of the sheet.
struct View {
    Drawing& page;
    Box from;  // of the top
    double scale = 1.0;
    Point origin;  // on the sheet, of the top's (0, 0)

    Point at(Point p) const { return origin + scale * p; }
    void path(const Path& path, const Stroke& stroke, Placer* placer = nullptr) const {
        if (path.empty()) return;
        for (const Path& part : clipped(path, from)) {
            const Path placed = geometry::moved(geometry::scaled(part, scale), origin);
            page.paths.push_back(drawn(placed, stroke));
            if (placer != nullptr) placer->add(placed);
        }
    }
};

class Drawer {
  public:
    Drawer(TextPages& pages, const plan::RoughCutStudy& study, std::size_t piece, const plan::Plan& plan)
        : pages_(pages), study_(study), rough_(study.pieces[piece]), piece_(plan.pieces[piece]), plan_(plan) {}

    void whole() {
        Box box = geometry::bounding_box(rough_.sawn);
        for (const std::size_t i : rough_.cuts) box.add(geometry::bounding_box(study_.cuts[i].way));
        const double scale = std::min(pages_.width_mm() / box.width_mm(), highest_mm / box.height_mm());
        const double high = scale * box.height_mm();
        const bool any_end = std::any_of(rough_.cuts.begin(), rough_.cuts.end(),
                                         [&](std::size_t i) { return study_.cuts[i].ends.size() > 1; });
        pages_.need(high + 16.0 + (any_end ? detail_high_mm + 8.0 : 0.0));
        heading();
        const double left = TextPages::margin_mm + 0.5 * (pages_.width_mm() - scale * box.width_mm());
        const View view{pages_.page(), box, scale, Point{left, pages_.y() - high} - scale * box.low};
        for (const std::size_t i : rough_.cuts) view.path(template_of(study_.cuts[i]), template_line);
        lines(view, nullptr);
        for (const std::size_t i : rough_.cuts) {
            view.path(study_.cuts[i].way, way_line);
            for (const plan::CutEnd& end : study_.cuts[i].ends)
                for (const auto& screw : end.screws) screw_mark(view, screw.at, 1.0);
        }
        marks(view);
        pages_.down(high + 3.0);
    }

    void ends() {
        for (const std::size_t i : rough_.cuts) {
            const plan::RoughCut& cut = study_.cuts[i];
            if (cut.ends.size() < 2) continue;
            pages_.need(detail_high_mm + 8.0);
            const double wide = 0.5 * (pages_.width_mm() - gap_mm);
            // The left one on the left.
            const bool turned = cut.ends[0].finished.x > cut.ends[1].finished.x;
            end(cut, cut.ends[turned ? 1 : 0], TextPages::margin_mm, wide);
            end(cut, cut.ends[turned ? 0 : 1], TextPages::margin_mm + wide + gap_mm, wide);
            pages_.down(detail_high_mm + 7.0);
        }
    }

  private:
    void heading() {
        pages_.down(8.0);
        pages_.put(fmt::format("{}: {} to {} × {}", plan::words::capitalised(piece_.name),
                               plan::segmented(plan_, rough_.piece) != nullptr ? "glued up and sawn" : "sawn",
                               show(rough_.length_mm), show(rough_.width_mm)),
                   {TextPages::margin_mm, pages_.y()}, 3.2, true);
        pages_.down(2.0);
    }

    std::string show(double mm) const { return units::show(mm, plan_.style); }

    const Path& template_of(const plan::RoughCut& cut) const {
        const plan::TemplatePlan& t = plan_.seams[cut.seam].templates[cut.template_index];
        return t.body.empty() ? t.edge : t.body;
    }

    void lines(const View& view, Placer* placer) const {
        view.path(rough_.sawn, rough_line, placer);
        view.path(piece_.region.outer, finished_line, placer);
        for (const Path& hole : piece_.region.holes) view.path(hole, finished_line, placer);
        for (const std::size_t i : rough_.cuts) view.path(study_.cuts[i].saw_line, saw_line, placer);
    }

    static void screw_mark(const View& view, Point at, double radius_mm) {
        const Point middle = view.at(at);
        const double half = radius_mm * 0.7071067811865476;
        view.page.paths.push_back(drawn(geometry::circle(middle, radius_mm), tool_line));
        for (const double sign : {1.0, -1.0}) {
            const Point arm{half, sign * half};
            view.page.paths.push_back(straight(middle - arm, middle + arm, tool_line));
        }
    }

    void marks(const View& view) const {
        for (const plan::IndexMark& mark : study_.marks) {
            for (const std::size_t i : rough_.cuts) {
                const plan::RoughCut& cut = study_.cuts[i];
                if (cut.seam != mark.seam) continue;
                constexpr double least_on_sheet_mm = 2.0;
                Path line;
                line.segments.push_back(mark.on_wood(cut.on_left, least_on_sheet_mm / view.scale));
                view.path(line, index_line);
            }
        }
    }

    void end(const plan::RoughCut& cut, const plan::CutEnd& end, double left, double wide) const {
        Box wanted;
        wanted.add(end.finished);
        wanted.add(end.enters);
        for (const auto& screw : end.screws) wanted.add(screw.at);
        wanted = wanted.grown(around_mm);
        const double scale = std::min(wide / wanted.width_mm(), detail_high_mm / wanted.height_mm());
        const Point half{0.5 * wide / scale, 0.5 * detail_high_mm / scale};
        const Point middle = geometry::midpoint(wanted.low, wanted.high);
        const Box from{middle - half, middle + half};
        const Point low{left, pages_.y() - 5.0 - detail_high_mm};
        const View view{pages_.page(), from, scale, low - scale * from.low};
        pages_.put(fmt::format("{}, {}, 1 : {:.1f}", plan::words::capitalised(plan_.seams[cut.seam].name),
                               plan::words::end_name(end.finished, plan_), 1.0 / scale),
                   {left, pages_.y() - 3.4}, 2.8, true);
        view.page.paths.push_back(drawn(geometry::rectangle(low, low + Point{wide, detail_high_mm}), frame_line));
        Placer placer;
        view.path(template_of(cut), template_line, &placer);
        lines(view, &placer);
        view.path(cut.way, way_line, &placer);
        marks(view);
        const auto ring = [&](double diameter_mm) {
            view.path(geometry::circle(end.enters, 0.5 * diameter_mm), tool_line, &placer);
        };
        ring(cut.cutter_mm);
        ring(cut.guide_mm);
        for (const auto& screw : end.screws) {
            screw_mark(view, screw.at, 0.5 * study_.rules.head_mm * scale);
            const double size = study_.rules.head_mm * scale;
            placer.add(Patch{view.at(screw.at), size, size, 0.0});
        }
        const Box sheet{low, low + Point{wide, detail_high_mm}};
        const double past = 0.5 * study_.rules.head_mm * scale;
        for (std::size_t k = 0; k < end.screws.size(); ++k) {
            const auto& screw = end.screws[k];
            say(view, placer, sheet, screw.at, past,
                {fmt::format("screw {}", k + 1), show(screw.past_end_mm) + " past the end",
                 show(screw.off_seam_mm) + " from the cut"});
        }
        say(view, placer, sheet, end.enters, 0.5 * cut.guide_mm * scale,
            {"cutter and guide", "start " + plan::words::lead_text(end, plan_.style) + " past"});
        if (end.screws.empty()) say(view, placer, sheet, middle, 0.0, {"no room for a screw:", "tape or clamps"});
    }

    /// Lines of text beside a place, where nothing else is drawn; with a thin line from one to the other.
    static void say(const View& view, Placer& placer, const Box& sheet, Point about, double off_mm,
                    const std::vector<std::string>& lines) {
        constexpr double height = 2.3, step = 3.0;
        double wide = 0.0;
        for (const std::string& l : lines) {
            Text t;
            t.text = l;
            t.height_mm = height;
            wide = std::max(wide, text_length_mm(t));
        }
        const double high = step * static_cast<double>(lines.size());
        const Point at = view.at(about);
        for (double out = off_mm + 1.5; out < 60.0; out += 2.0) {
            constexpr int directions = 16;
            for (int k = 0; k < directions; ++k) {
                const Point way = geometry::unit(geometry::two_pi * k / directions);
                const Patch patch{at + Point{way.x * (out + 0.5 * wide), way.y * (out + 0.5 * high)}, wide, high, 0.0};
                const Point half{0.5 * wide + 1.0, 0.5 * high + 1.0};
                const Point low = patch.centre - half, top = patch.centre + half;
                if (low.x < sheet.low.x || low.y < sheet.low.y || top.x > sheet.high.x || top.y > sheet.high.y)
                    continue;
                if (!placer.free(patch, 0.5)) continue;
                double y = patch.centre.y + 0.5 * high;
                for (const std::string& l : lines) {
                    y -= step;
                    view.page.texts.push_back(
                        {{patch.centre.x - 0.5 * wide, y + 0.7}, l, height, 0.0, Text::Anchor::left, false});
                }
                placer.add(patch);
                constexpr double worth_a_line_mm = 6.0;
                const Point to{std::clamp(at.x, patch.centre.x - 0.5 * wide, patch.centre.x + 0.5 * wide),
                               std::clamp(at.y, patch.centre.y - 0.5 * high, patch.centre.y + 0.5 * high)};
                const double far = geometry::distance(at, to);
                if (far > off_mm + worth_a_line_mm)
                    view.page.paths.push_back(
                        straight(at + off_mm / far * (to - at), at + (1.0 - 0.8 / far) * (to - at), frame_line));
                return;
            }
        }
    }

    TextPages& pages_;
    const plan::RoughCutStudy& study_;
    const plan::RoughPiece& rough_;
    const plan::PiecePlan& piece_;
    const plan::Plan& plan_;
};

}  // namespace

void draw_rough_piece(TextPages& pages, const plan::RoughCutStudy& study, std::size_t piece, const plan::Plan& plan) {
    Drawer drawer(pages, study, piece, plan);
    drawer.whole();
    drawer.ends();
}

}  // namespace seamwright::paper
