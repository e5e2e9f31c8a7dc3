#include "paper/wood_pages.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "book_sections.h"
#include "marks.h"
#include "plan/edging_study.h"
#include "rough_cut_drawing.h"
#include "text_pages.h"
#include "text_size.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

const Stroke edge_line{.width_mm = 0.5, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke finished_line{.width_mm = 0.35, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke saw_line{.width_mm = 0.25, .dash_mm = {2.0, 1.0}, .grey = 0.0, .colour = {}};
const Stroke spot_line{.width_mm = 0.25, .dash_mm = {}, .grey = 0.0, .colour = {}};
/// White beneath the lines on a picture, so that they are seen on dark wood and on a grey print.
const Stroke halo{.width_mm = 1.1, .dash_mm = {}, .grey = 1.0, .colour = {}};
const Stroke light_line{.width_mm = 0.15, .dash_mm = {}, .grey = 0.45, .colour = {}};

class Pages : TextPages {
  public:
    Pages(const plan::Plan& plan, const SheetSize& sheet, const job::Job& job, const shelf::Shelf& shelf,
          const BoardPictures& pictures)
        : TextPages(sheet, "The wood", plan.name), plan_(plan), job_(job), shelf_(shelf), pictures_(pictures) {}

    std::vector<Drawing> pages(const std::optional<plan::BoardsStudy>& boards, const plan::RoughCutStudy& rough,
                               const plan::MovementStudy& movement, const plan::BodyStudy* body, bool with_top) {
        if (with_top && !plan_.pieces.empty()) finished_top(boards ? &*boards : nullptr);
        if (boards) {
            mark(place::boards);
            say("Dashed: sawn roughly. Full: the finished edge. Crossed: knots and other spots. Each board lies with "
                "its near edge down, measured from its left end.",
                TextPages::text_mm);
            down(2.0);
            double longest = 0.0;
            for (const std::size_t b : boards->placing.boards_used)
                longest = std::max(longest, shelf_.boards[b].length_mm);
            if (longest > 0.0) {
                const double scale = width_mm() / longest;
                for (const std::size_t b : boards->placing.boards_used) board(*boards, b, scale);
            }
            for (const auto& told : plan::words::boards_text(*boards, plan_, job_, shelf_)) part(told);
        }
        if (const auto sawing = plan::words::sawing_text(plan_, job_); !sawing.lines.empty()) part(sawing);
        rough_cuts(rough);
        mark(place::seasons);
        for (const auto& told : plan::words::movement_text(movement, plan_, job_)) part(told);
        if (body != nullptr) {
            for (const plan::SeasonBody& season : body->seasons) deformed(season);
            for (const auto& told : plan::words::body_text(*body, plan_, job_)) part(told);
        }
        return finish();
    }

  private:
    void rough_cuts(const plan::RoughCutStudy& rough) {
        if (rough.cuts.empty()) return;
        down(4.0);
        need(120.0);
        say("Dashed: the piece as sawn out of its board. Dotted: sawn along the seam. Full: finished. Grey: the "
            "template. Dash and dot: the middle of the cutter. Circles with a slanting cross: screws. Heavy bars: "
            "index marks.",
            TextPages::text_mm);
        for (std::size_t p = 0; p < rough.pieces.size(); ++p) {
            if (rough.pieces[p].cuts.empty()) continue;
            draw_rough_piece(*this, rough, p, plan_);
            mark(place::rough(rough.pieces[p].piece));
            part(plan::words::rough_piece_text(rough, p, plan_, job_));
        }
        mark(place::fastening);
        part(plan::words::fastening_text(rough, plan_, job_));
    }

    void finished_top(const plan::BoardsStudy* boards) {
        const plan::FinishedLook look = plan::finished_look(
            plan_, shelf_, boards, [&](const std::string& name) { return pictures_.contains(name); });
        constexpr double highest_mm = 110.0;
        const Box& box = look.box;
        const double scale = std::min(width_mm() / box.width_mm(), highest_mm / box.height_mm());
        const double high = scale * box.height_mm();
        need(high + 12.0);
        down(4.5);
        put("The finished top", {margin_mm, y()}, 3.6, true);
        down(2.5);
        const Point corner{margin_mm + 0.5 * (width_mm() - scale * box.width_mm()), y() - high};
        draw_finished_top(page(), look, pictures_, corner - scale * box.low, scale);
        down(high + 1.0);
        for (const std::string& said : plan::words::finished_look_text(look)) say(said, TextPages::text_mm);
        down(3.0);
    }

    void board(const plan::BoardsStudy& study, std::size_t b, double scale) {
        const shelf::Board& board = shelf_.boards[b];
        const double high = board.width_mm * scale;
        need(high + 14.0);
        down(4.5);
        put(fmt::format("{}: {}, {} × {}", board.name, board.species, units::show(board.length_mm, job_.style),
                        units::show(board.width_mm, job_.style)),
            {margin_mm, y()}, 3.2, true);
        down(2.0);
        const Point origin{margin_mm, y() - high};
        const auto placed = [&](const Path& path) { return geometry::moved(geometry::scaled(path, scale), origin); };
        const bool pictured = wood(board, origin, scale);
        page().paths.push_back({placed(stock::outline_of(board)), edge_line, {}, {}, {}});
        if (!pictured) grain(board, origin, scale);
        for (const shelf::Defect& defect : board.defects) spot(defect, origin, scale, pictured);
        for (std::size_t i = 0; i < study.parts.size(); ++i) {
            const auto& lie = study.placing.lies[i];
            if (!lie || lie->board != b) continue;
            const plan::SawnPart& part = study.parts[i];
            const Path shape = lie->placed(part.shape);
            const Box box = geometry::bounding_box(shape);
            const Box sawn = part.sawn(*lie);
            const Path sawn_edge = placed(geometry::rectangle(sawn.low, sawn.high)), finished = placed(shape);
            if (pictured) {
                page().paths.push_back({sawn_edge, halo, {}, {}, {}});
                page().paths.push_back({finished, halo, {}, {}, {}});
            }
            page().paths.push_back({sawn_edge, saw_line, {}, {}, {}});
            page().paths.push_back({finished, finished_line, {}, {}, {}});
            name(part, origin + scale * geometry::midpoint(box.low, box.high), scale * box.width_mm());
        }
        down(high + 3.0);
    }

    /// The board's picture, if there is one.
    bool wood(const shelf::Board& board, Point origin, double scale) {
        const auto picture = pictures_.find(board.picture);
        if (picture == pictures_.end()) return false;
        WoodPatch patch;
        patch.clip = {geometry::moved(geometry::scaled(stock::outline_of(board), scale), origin)};
        patch.lies = {origin, {scale, 0.0}, {0.0, scale}};
        patch.length_mm = board.length_mm;
        patch.width_mm = board.width_mm;
        patch.picture = picture->second;
        page().patches.push_back(std::move(patch));
        return true;
    }

    /// The top as made, broken, and as it lies in one season, moved many times as far.
    void deformed(const plan::SeasonBody& season) {
        const geometry::Box& box = season.box;
        constexpr double highest_mm = 75.0;
        const double scale = std::min(width_mm() / box.width_mm(), highest_mm / box.height_mm());
        const double high = scale * box.height_mm();
        need(high + 12.0);
        down(4.5);
        put(plan::words::season_text(season), {margin_mm, y()}, 3.2, true);
        down(2.0);
        const Point origin =
            Point{margin_mm + 0.5 * (width_mm() - scale * box.width_mm()), y() - high} - scale * box.low;
        const auto placed = [&](const Path& path) { return geometry::moved(geometry::scaled(path, scale), origin); };
        for (const Path& path : season.outlines) page().paths.push_back({placed(path), finished_line, {}, {}, {}});
        page().paths.push_back({placed(plan_.outline), saw_line, {}, {}, {}});
        down(high + 3.0);
    }

    /// Lines along the fibres: as drawn, or a few at the ends where pieces leave them seen.
    void grain(const shelf::Board& board, Point origin, double scale) {
        for (const auto& drawn : board.grain_lines)
            page().paths.push_back({geometry::moved(geometry::scaled(geometry::polyline(drawn, false), scale), origin),
                                    light_line,
                                    {},
                                    {},
                                    {}});
        if (!board.grain_lines.empty()) return;
        if (!board.outline.empty()) return;
        constexpr int lines = 3;
        const double run = 0.04 * board.length_mm;
        for (int k = 1; k <= lines; ++k) {
            const double y0 = board.width_mm * k / (lines + 1);
            for (const double x : {0.004 * board.length_mm, board.length_mm - run}) {
                const double rise = run * std::tan(board.slope_rad);
                const double y1 = std::clamp(y0 + rise, 0.0, board.width_mm);
                line(origin + scale * Point{x, y0}, origin + scale * Point{x + 0.9 * run, y1}, light_line);
            }
        }
    }

    void spot(const shelf::Defect& defect, Point origin, double scale, bool pictured) {
        const Path outline = geometry::moved(geometry::scaled(stock::outline_of(defect), scale), origin);
        if (pictured) page().paths.push_back({outline, halo, {}, {}, {}});
        page().paths.push_back({outline, spot_line, {}, {}, {}});
        const Box box = geometry::bounding_box(outline);
        if (defect.allowed == shelf::Defect::Allowed::anywhere) return;
        if (!defect.outline.empty() && box.width_mm() > 4.0 * box.height_mm()) {
            page().paths.back().fill.hatch_spacing_mm = 1.6;
            page().paths.back().fill.hatch_angle_rad = 0.25 * geometry::pi;
            return;
        }
        constexpr double inset = 0.15;
        const Point in{inset * box.width_mm(), inset * box.height_mm()};
        line(box.low + in, box.high - in, spot_line);
        line({box.low.x + in.x, box.high.y - in.y}, {box.high.x - in.x, box.low.y + in.y}, spot_line);
    }

    void name(const plan::SawnPart& part, Point at, double room_mm) {
        // A segment is small, and its picture is worth more than its name.
        const bool segment = plan::segmented(plan_, part.piece) != nullptr;
        Text text{at, segment ? fmt::format("{}", part.strip) : part.name, 2.8, 0.0, Text::Anchor::middle, true};
        text.at.y -= 1.0;
        while (text.height_mm > 1.6 && text_box(text).width_mm() > room_mm) text.height_mm *= 0.9;
        const Box box = text_box(text);
        page().paths.push_back(ground(geometry::rectangle(box.low - Point{0.6, 0.4}, box.high + Point{0.6, 0.4})));
        page().texts.push_back(std::move(text));
    }

    const plan::Plan& plan_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
    const BoardPictures& pictures_;
};

}  // namespace

std::vector<Drawing> wood_pages(const plan::Plan& plan, const std::optional<plan::BoardsStudy>& boards,
                                const plan::RoughCutStudy& rough, const plan::MovementStudy& movement,
                                const plan::BodyStudy* body, const job::Job& job, const shelf::Shelf& shelf,
                                const BoardPictures& pictures, bool with_top) {
    const auto sheet = find_sheet(plan.paper.size);
    if (!sheet) throw std::invalid_argument("wood_pages: no such sheet");
    return Pages(plan, *sheet, job, shelf, pictures).pages(boards, rough, movement, body, with_top);
}

}  // namespace seamwright::paper
