#include <fmt/format.h>

#include "checker.h"
#include "curves/as_made.h"
#include "job/read.h"
#include "write_curve.h"
#include "write_records.h"
#include "write_shop_work.h"

// Canonical form: every key in the order of the schema, every length a number in mm, every number the shortest that
// reads back as the same double. plan.json names a job by the hash of these bytes.
namespace seamwright::job {

namespace {

void write_edge(JsonWriter& w, std::string_view name, const Edge& edge) {
    if (const auto* bowed = std::get_if<BowedEdge>(&edge)) {
        w.begin_group(name);
        w.number("bow", bowed->rise_mm);
        w.end_group();
    }
    if (const auto* drawn = std::get_if<DrawnEdge>(&edge)) {
        w.begin_group(name);
        w.points("pins", drawn->pins);
        w.end_group();
    }
}

void write_outline(JsonWriter& w, const Outline& outline) {
    w.begin_group("outline");
    if (const auto* rectangle = std::get_if<RectangleOutline>(&outline)) {
        w.begin_group("rectangle");
        w.number("length", rectangle->length_mm);
        w.number("width", rectangle->width_mm);
        w.begin_group("corner_radius");
        w.number("front_left", rectangle->corner_radius_mm[0]);
        w.number("front_right", rectangle->corner_radius_mm[1]);
        w.number("back_right", rectangle->corner_radius_mm[2]);
        w.number("back_left", rectangle->corner_radius_mm[3]);
        w.end_group();
        write_edge(w, "front", rectangle->front);
        write_edge(w, "right", rectangle->right);
        write_edge(w, "back", rectangle->back);
        write_edge(w, "left", rectangle->left);
        w.end_group();
    } else if (const auto* round = std::get_if<RoundOutline>(&outline)) {
        w.begin_group("round");
        w.number("diameter", round->diameter_mm);
        w.end_group();
    } else if (const auto* oval = std::get_if<OvalOutline>(&outline)) {
        w.begin_group("oval");
        w.number("length", oval->length_mm);
        w.number("width", oval->width_mm);
        w.end_group();
    } else if (const auto* drawn = std::get_if<FreeOutline>(&outline)) {
        write_curve(w, "drawn", drawn->curve);
    }
    w.end_group();
}

void write_stick(JsonWriter& w, const Stick& stick) {
    w.begin_group("stick");
    w.text("species", stick.species);
    w.number("thickness", stick.thickness_mm);
    w.end_group();
}

void write_seam(JsonWriter& w, const Seam& seam) {
    w.begin_group();
    w.text("name", seam.name);
    w.text("kind", name_of(seam.kind));
    if (seam.kind == SeamKind::edging) {
        w.number("width", seam.edging_width_mm);
        if (seam.segments) {
            w.begin_group("segments");
            w.number("board_width", seam.segments->board_width_mm);
            if (seam.segments->board_length_mm) w.number("board_length", *seam.segments->board_length_mm);
            if (seam.segments->number > 0) w.number("number", seam.segments->number);
            w.end_group();
        }
    } else {
        write_curve(w, "curve", seam.curve);
    }
    if (seam.eased) {
        w.begin_group("eased");
        w.number("least_radius", seam.eased->least_radius_mm);
        w.number("within", seam.eased->within_mm);
        w.end_group();
    }
    if (seam.stick) write_stick(w, *seam.stick);
    if (seam.as_made) {
        w.begin_group("as_made");
        w.text("csv", curves::write_readings(seam.as_made->readings));
        w.number("longest_bump", seam.as_made->wave_mm);
        w.number("fair_within", seam.as_made->fair_mm);
        w.end_group();
    }
    if (seam.master) w.text("master", *seam.master == Seam::Hand::left ? "left" : "right");
    if (!seam.chain.empty()) w.text("chain", seam.chain);
    w.end_group();
}

void write_piece(JsonWriter& w, const Piece& piece) {
    w.begin_group();
    w.text("name", piece.name);
    w.point("at", piece.at);
    w.text("species", piece.species);
    w.number("grain_degrees", degrees_of(piece.grain_rad));
    if (piece.moisture_percent) w.number("moisture_percent", *piece.moisture_percent);
    if (piece.board_mm > 0.0) {
        w.begin_group("board");
        w.number("width", piece.board_mm);
        w.number("margin", piece.board_margin_mm);
        w.end_group();
    }
    if (piece.one_board) w.flag("one_board", true);
    if (!piece.from_boards.empty()) w.texts("from_boards", piece.from_boards);
    const auto write_laid = [&](const Laid& laid) {
        w.text("board", laid.board);
        w.point("at", laid.at);
        w.flag("turned", laid.turned);
        w.flag("over", laid.over);
    };
    if (piece.laid) {
        w.begin_group("laid");
        write_laid(*piece.laid);
        w.end_group();
    }
    if (piece.strips > 0) w.number("strips", static_cast<double>(piece.strips));
    if (!piece.laid_strips.empty()) {
        w.begin_list("laid_strips");
        for (const LaidStrip& strip : piece.laid_strips) {
            w.begin_group();
            w.number("strip", static_cast<double>(strip.strip));
            write_laid(strip.laid);
            w.end_group();
        }
        w.end_list();
    }
    w.end_group();
}

void write_boards(JsonWriter& w, const std::vector<shelf::Board>& boards) {
    w.begin_list("boards");
    for (const shelf::Board& board : boards) {
        w.begin_group();
        w.text("name", board.name);
        w.text("species", board.species);
        w.number("length", board.length_mm);
        w.number("width", board.width_mm);
        w.number("thickness", board.thickness_mm);
        if (board.planed_mm) w.number("planed", *board.planed_mm);
        if (!board.thickness_class.empty()) w.text("class", board.thickness_class);
        w.number("slope_degrees", degrees_of(board.slope_rad));
        w.text("sawn", shelf::name_of(board.sawn));
        if (board.heart_up) w.text("heart", *board.heart_up ? "up" : "down");
        if (board.moisture_percent) w.number("moisture_percent", *board.moisture_percent);
        if (board.price) w.number("price", *board.price);
        if (!board.picture.empty()) w.text("picture", board.picture);
        if (!board.outline.empty()) w.points("outline", board.outline);
        if (!board.grain_lines.empty()) {
            w.begin_list("grain_lines");
            for (const auto& line : board.grain_lines) w.points({}, line);
            w.end_list();
        }
        if (!board.defects.empty()) {
            w.begin_list("defects");
            for (const shelf::Defect& defect : board.defects) {
                w.begin_group();
                w.text("kind", shelf::name_of(defect.kind));
                w.text("allowed", shelf::name_of(defect.allowed));
                if (defect.outline.empty()) {
                    w.point("at", defect.at);
                    w.number("radius", defect.radius_mm);
                } else {
                    w.points("outline", defect.outline);
                }
                w.end_group();
            }
            w.end_list();
        }
        w.end_group();
    }
    w.end_list();
}

void write_air(JsonWriter& w, std::string_view name, const std::optional<Air>& air) {
    if (!air) return;
    w.begin_group(name);
    w.number(air->in_fahrenheit ? "fahrenheit" : "celsius", air->temperature);
    w.number("humidity", air->humidity_percent);
    w.end_group();
}

void write_wood(JsonWriter& w, const Job& job) {
    if (job.climate != Climate{}) {
        w.begin_group("climate");
        write_air(w, "shop", job.climate.shop);
        write_air(w, "driest", job.climate.driest);
        write_air(w, "dampest", job.climate.dampest);
        w.end_group();
    }
    w.begin_group("base");
    w.number("screw", job.base.screw_mm);
    if (job.base.fixed_line_mm) w.number("fixed_line", *job.base.fixed_line_mm);
    if (job.base.supports_mm > 0.0) w.number("supports", job.base.supports_mm);
    w.number("load_n", job.base.load_n);
    w.end_group();
    const Cutting& c = job.cutting;
    w.begin_group("cutting");
    w.number("margin", c.margin_mm);
    if (c.ends_mm > 0.0) w.number("ends", c.ends_mm);
    w.number("kerf", c.kerf_mm);
    w.number("jointing", c.jointing_mm);
    w.number("grain_within_degrees", degrees_of(c.grain_within_rad));
    w.number("defect_from_seam", c.defect_from_seam_mm);
    w.number("joint_from_seam", c.joint_from_seam_mm);
    w.number("narrowest_strip", c.narrowest_strip_mm);
    w.flag("turn_over", c.turn_over);
    w.text("heart_sides", name_of(c.heart_sides));
    w.end_group();
    if (job.build_up) {
        w.begin_group("build_up");
        w.number("thickness", job.build_up->thickness_mm);
        w.number("width", job.build_up->width_mm);
        w.text("ends", name_of(job.build_up->ends));
        w.end_group();
    }
}

void write_shelf(JsonWriter& w, const shelf::Shelf& shelf) {
    const auto measured = [&](const shelf::Diameter& d) {
        if (d.measured_mm) w.number("measured", *d.measured_mm);
        if (d.measured_within_mm) w.number("measured_within", *d.measured_within_mm);
    };
    w.begin_group("shelf");
    w.begin_list("guides");
    for (const shelf::Guide& guide : shelf.guides) {
        w.begin_group();
        w.text("name", guide.name);
        w.number("outside", guide.outside.nominal_mm);
        measured(guide.outside);
        w.number("barrel", guide.barrel_length_mm);
        if (guide.bore_mm) w.number("bore", *guide.bore_mm);
        if (guide.off_centre) {
            w.begin_group("off_centre");
            w.number("x", guide.off_centre->x_mm);
            w.number("y", guide.off_centre->y_mm);
            w.number("within", guide.off_centre->within_mm);
            w.end_group();
        }
        w.end_group();
    }
    w.end_list();
    w.begin_list("bearings");
    for (const shelf::Bearing& bearing : shelf.bearings) {
        w.begin_group();
        w.text("name", bearing.name);
        w.number("outside", bearing.outside.nominal_mm);
        measured(bearing.outside);
        w.end_group();
    }
    w.end_list();
    w.begin_list("cutters");
    for (const shelf::Cutter& cutter : shelf.cutters) {
        w.begin_group();
        w.text("name", cutter.name);
        w.number("diameter", cutter.cutting.nominal_mm);
        measured(cutter.cutting);
        w.number("cutting_length", cutter.cutting_length_mm);
        w.number("shank", cutter.shank_mm);
        if (cutter.reach_mm) w.number("reach", *cutter.reach_mm);
        if (cutter.max_speed_rpm) w.number("max_speed", *cutter.max_speed_rpm);
        w.number("flutes", cutter.flutes);
        if (!cutter.bearings.empty()) w.texts("bearings", cutter.bearings);
        w.end_group();
    }
    w.end_list();
    if (!shelf.clamps.empty()) {
        w.begin_list("clamps");
        for (const shelf::Clamps& clamps : shelf.clamps) {
            w.begin_group();
            w.text("name", clamps.name);
            w.number("count", clamps.count);
            w.number("opens", clamps.opens_mm);
            w.number("force_n", clamps.force_n);
            w.end_group();
        }
        w.end_list();
    }
    if (!shelf.test_cuts.empty()) {
        w.begin_list("test_cuts");
        for (const shelf::TestCut& cut : shelf.test_cuts) {
            w.begin_group();
            w.text("guide", cut.guide);
            w.text("cutter", cut.cutter);
            if (!cut.on.empty()) w.text("on", cut.on);
            w.number("reading_within", cut.reading_within_mm);
            w.begin_group("readings");
            for (std::size_t i = 0; i < cut.readings_mm.size(); ++i) {
                if (cut.readings_mm[i]) w.number(std::to_string(i + 1), *cut.readings_mm[i]);
            }
            w.end_group();
            w.end_group();
        }
        w.end_list();
    }
    if (!shelf.boards.empty()) write_boards(w, shelf.boards);
    write_records(w, shelf);
    w.end_group();
}

void write_settings(JsonWriter& w, const Job& job) {
    w.begin_group("template");
    w.number("thickness", job.sheet.thickness_mm);
    w.number("run_out", job.sheet.run_out_mm);
    w.number("body", job.sheet.body_mm);
    w.end_group();
    w.begin_group("limits");
    w.number("gap", job.limits.gap_mm);
    w.number("first_pass", job.limits.first_pass_mm);
    w.number("pass", job.limits.pass_mm);
    w.number("last_pass", job.limits.last_pass_mm);
    w.number("below_wood", job.limits.below_wood_mm);
    w.number("feed_per_minute", job.limits.feed_mm_per_min);
    w.number("reveal", job.limits.reveal_mm);
    if (job.limits.passes_by_wood) w.flag("passes_by_wood", true);
    if (job.limits.skim_mm > 0.0) w.number("skim", job.limits.skim_mm);
    w.end_group();
    const Accuracy& a = job.accuracy;
    w.begin_group("accuracy");
    w.number("measured_size", a.measured_mm);
    w.number("marked_size", a.marked_mm);
    w.number("cutter_wear", a.cutter_wear_mm);
    w.number("guide_wear", a.guide_wear_mm);
    w.number("cutter_wobble", a.cutter_wobble_mm);
    w.number("guide_play", a.guide_play_mm);
    w.number("off_centre", a.off_centre_mm);
    w.text("held", name_of(a.held));
    w.number("routed_edge", a.routed_edge_mm);
    w.number("hand_edge", a.hand_edge_mm);
    w.number("edge_wave", a.edge_wave_mm);
    w.number("paper_per_metre", a.paper_per_metre_mm);
    w.number("moisture_points", a.moisture_points);
    w.end_group();
    const Gluing& g = job.gluing;
    w.begin_group("gluing");
    w.text("adhesive", g.adhesive);
    w.text("exposure", g.exposure);
    w.number("temperature_c", g.temperature_c);
    w.number("people", g.people);
    w.number("caul_depth", g.caul_depth_mm);
    w.number("caul_thickness", g.caul_thickness_mm);
    w.number("friction", g.friction);
    w.end_group();
    write_wood(w, job);
    write_shop_work(w, job);
    w.begin_group("paper");
    w.text("size", job.paper.size);
    w.number("overlap", job.paper.overlap_mm);
    w.number("margin", job.paper.margin_mm);
    w.number("measured_bar_x", job.paper.correction.measured_x_mm);
    w.number("measured_bar_y", job.paper.correction.measured_y_mm);
    w.end_group();
}

}  // namespace

std::string write_document(const Document& document) {
    const Job& job = document.job;
    JsonWriter w;
    w.begin_group();
    w.number("seamwright", 1);
    w.text("name", job.name);
    if (!job.note.empty()) w.text("note", job.note);
    w.text("unit", "mm");
    w.begin_group("show");
    w.text("unit", job.style.unit == units::Unit::inch ? "in" : "mm");
    w.number("fractions", job.style.denominator);
    w.number("decimals", job.style.decimals);
    w.flag("feet", job.style.feet);
    w.end_group();
    w.begin_group("top");
    w.number("thickness", job.thickness_mm);
    write_outline(w, job.outline);
    w.end_group();
    w.begin_list("seams");
    for (const Seam& seam : job.seams) write_seam(w, seam);
    w.end_list();
    w.begin_list("pieces");
    for (const Piece& piece : job.pieces) write_piece(w, piece);
    w.end_list();
    write_shelf(w, document.shelf);
    if (job.stick) write_stick(w, *job.stick);
    write_settings(w, job);
    w.end_group();
    return w.take();
}

}  // namespace seamwright::job
