#include "screen/wood_view.h"

#include <fmt/format.h>

#include <algorithm>

#include "finished_view.h"
#include "path_data.h"
#include "plan/boards_study.h"
#include "plan/body_study.h"
#include "plan/effort.h"
#include "plan/movement_study.h"
#include "plan/rough_cut_study.h"
#include "plan/wood_look.h"
#include "screen/work_view.h"
#include "shelf/fibres.h"
#include "told.h"
#include "units/length.h"

namespace seamwright::screen {
namespace {

void write_part(job::JsonWriter& json, const plan::BoardsStudy& study, std::size_t i, const plan::Plan& plan) {
    const plan::SawnPart& part = study.parts[i];
    const stock::Lie& lie = *study.placing.lies[i];
    const geometry::Path shape = lie.placed(part.shape);
    const geometry::Box box = geometry::bounding_box(shape);
    const geometry::Box sawn = part.sawn(lie);
    json.begin_group();
    json.text("name", part.name);
    json.text("finished", path_data(shape));
    json.text("sawn", path_data(geometry::rectangle(sawn.low, sawn.high)));
    json.point("at", geometry::midpoint(box.low, box.high));
    json.number("room", box.width_mm());
    json.point("piece", plan.pieces[part.piece].label_at);
    json.number("strip", static_cast<double>(part.strip));
    json.number("of", static_cast<double>(part.strip == 0 ? 0 : plan::strips_of(study, part.piece)));
    json.flag("by_hand", part.by_hand);
    json.flag("turned", lie.turned);
    json.flag("over", lie.over);
    json.end_group();
}

using HasPicture = std::function<bool(const std::string& picture)>;

void write_board(job::JsonWriter& json, const plan::BoardsStudy& study, std::size_t b, const edit::OpenJob& job,
                 const HasPicture& has_picture) {
    const shelf::Board& board = job.document().shelf.boards[b];
    const auto& style = job.document().job.style;
    json.begin_group();
    json.text("name", board.name);
    json.text("pointer", fmt::format("/shelf/boards/{}", b));
    json.text("size", fmt::format("{}, {} × {}", board.species, units::show(board.length_mm, style),
                                  units::show(board.width_mm, style)));
    json.text("wood", plan::wood_look(board.species));
    const bool shown = !board.picture.empty() && has_picture(board.picture);
    json.text("picture", shown ? board.picture : std::string());
    json.text("lacks", board.picture.empty() || shown
                           ? std::string()
                           : fmt::format("Its picture, {}, is not kept here: give the photo again on the shelf.",
                                         board.picture));
    json.number("length", board.length_mm);
    json.number("width", board.width_mm);
    json.number("grain_degrees", shelf::mean_fibres_rad(board) * geometry::degrees_per_radian);
    json.text("outline", path_data(stock::outline_of(board)));
    json.begin_list("spots");
    for (const shelf::Defect& defect : board.defects) {
        json.begin_group();
        json.text("outline", path_data(stock::outline_of(defect)));
        json.text("says", fmt::format("{}{}", shelf::name_of(defect.kind),
                                      defect.allowed == shelf::Defect::Allowed::nowhere    ? ""
                                      : defect.allowed == shelf::Defect::Allowed::anywhere ? ", allowed"
                                                                                           : ", not near a seam"));
        json.end_group();
    }
    json.end_list();
    std::string fibres;
    for (const auto& line : board.grain_lines) fibres += path_data(geometry::polyline(line, false));
    json.text("fibres", fibres);
    json.begin_list("parts");
    for (std::size_t i = 0; i < study.parts.size(); ++i) {
        const auto& lie = study.placing.lies[i];
        if (lie && lie->board == b) write_part(json, study, i, job.plan());
    }
    json.end_list();
    json.end_group();
}

/// A piece as it is sawn and routed.
void write_rough(job::JsonWriter& json, const plan::RoughCutStudy& study, const plan::RoughPiece& rough,
                 const plan::Plan& plan, const job::Job& asked) {
    const plan::PiecePlan& piece = plan.pieces[rough.piece];
    geometry::Box box = geometry::bounding_box(rough.sawn);
    std::string saw, way, templates, tools, marks;
    std::vector<geometry::Point> screws;
    for (const std::size_t i : rough.cuts) {
        const plan::RoughCut& cut = study.cuts[i];
        const plan::TemplatePlan& t = plan.seams[cut.seam].templates[cut.template_index];
        box.add(geometry::bounding_box(cut.way));
        saw += path_data(cut.saw_line);
        way += path_data(cut.way);
        templates += path_data(t.body.empty() ? t.edge : t.body);
        for (const plan::CutEnd& end : cut.ends) {
            tools += path_data(geometry::circle(end.enters, 0.5 * cut.cutter_mm));
            tools += path_data(geometry::circle(end.enters, 0.5 * cut.guide_mm));
            for (const auto& screw : end.screws) screws.push_back(screw.at);
        }
        for (const plan::IndexMark& mark : study.marks) {
            if (mark.seam != cut.seam) continue;
            constexpr double seen_mm = 10.0;
            geometry::Path line;
            line.segments.push_back(mark.on_wood(cut.on_left, seen_mm));
            marks += path_data(line);
        }
    }
    json.begin_group();
    json.text("name", piece.name);
    json.text("wood", plan::wood_look(piece.species));
    json.number("grain_degrees", piece.grain_rad * geometry::degrees_per_radian);
    json.numbers("box", {box.low.x, box.low.y, box.high.x, box.high.y});
    json.text("sawn", path_data(rough.sawn));
    json.text("finished", path_data(piece.region));
    json.text("saw", saw);
    json.text("way", way);
    json.text("templates", templates);
    json.text("tools", tools);
    json.text("marks", marks);
    json.points("screws", screws);
    write_told(json, "told", plan::words::rough_piece_text(study, rough.piece, plan, asked));
    json.end_group();
}

void write_season(job::JsonWriter& json, const plan::SeasonBody& season, const plan::Plan& plan) {
    const geometry::Box& box = season.box;
    std::string moved;
    for (const geometry::Path& path : season.outlines) moved += path_data(path);
    json.begin_group();
    json.text("says", plan::words::season_text(season));
    json.numbers("box", {box.low.x, box.low.y, box.high.x, box.high.y});
    json.text("made", path_data(plan.outline));
    json.text("moved", moved);
    json.end_group();
}

}  // namespace

std::string write_wood(const edit::OpenJob& job, std::int64_t version, const HasPicture& has_picture) {
    const plan::Plan& plan = job.plan();
    const job::Job& asked = job.document().job;
    const shelf::Shelf& shelf = job.document().shelf;
    const auto boards = plan::study_boards(plan, asked, shelf, plan::effort_of_page);
    const auto movement = plan::study_movement(plan, asked, shelf, boards ? &*boards : nullptr);
    job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
    json.begin_group();
    json.json("version", fmt::format("{}", version));
    json.begin_list("boards");
    if (boards)
        for (const std::size_t b : boards->placing.boards_used) write_board(json, *boards, b, job, has_picture);
    json.end_list();
    json.begin_list("others");
    for (std::size_t b = 0; boards && b < shelf.boards.size(); ++b) {
        const auto& used = boards->placing.boards_used;
        if (std::find(used.begin(), used.end(), b) == used.end()) write_board(json, *boards, b, job, has_picture);
    }
    json.end_list();
    write_finished(json, plan::finished_look(plan, shelf, boards ? &*boards : nullptr, has_picture));
    json.begin_list("placing");
    if (boards)
        for (const auto& told : plan::words::boards_text(*boards, plan, asked, shelf)) write_told(json, {}, told);
    json.end_list();
    const auto rough = plan::study_rough_cut(plan, asked);
    json.begin_list("rough");
    for (const plan::RoughPiece& piece : rough.pieces)
        if (!piece.cuts.empty()) write_rough(json, rough, piece, plan, asked);
    json.end_list();
    json.begin_list("year");
    if (const auto held = plan::words::fastening_text(rough, plan, asked); !held.lines.empty())
        write_told(json, {}, held);
    if (const auto sawing = plan::words::sawing_text(plan, asked); !sawing.lines.empty()) write_told(json, {}, sawing);
    for (const auto& told : plan::words::movement_text(movement, plan, asked)) write_told(json, {}, told);
    const auto body = plan::study_body(plan, movement, boards ? &*boards : nullptr);
    const auto* held = std::get_if<plan::BodyStudy>(&body);
    if (held != nullptr)
        for (const auto& told : plan::words::body_text(*held, plan, asked)) write_told(json, {}, told);
    json.end_list();
    json.begin_list("seasons");
    if (held != nullptr)
        for (const plan::SeasonBody& season : held->seasons) write_season(json, season, plan);
    json.end_list();
    json.end_group();
    return json.take();
}

}  // namespace seamwright::screen
