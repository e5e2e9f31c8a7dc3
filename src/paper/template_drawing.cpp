#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <optional>

#include "clip.h"
#include "feed_arrows.h"
#include "geometry/path.h"
#include "geometry/path_index.h"
#include "marks.h"
#include "paper/papers.h"
#include "placing.h"
#include "strokes.h"
#include "text_size.h"

// A template at full size. Lines first, because texts must keep off them: the label and the legend go where the blank
// is empty, the names of the lines beside them wherever there is room.

namespace seamwright::paper {

namespace {

/// 0, 1, 1, 2, 2, 3 …: how far out the n-th try goes when tries alternate between two sides.
int half_up(int n) {
    return (n + 1) / 2;
}

constexpr double near_top_mm = 30.0;      // how far around the blank the edge of the top is shown
constexpr double name_every_mm = 320.0;   // a line is named about once on every sheet
constexpr double arrow_every_mm = 260.0;  // the side of the template likewise
constexpr double line_name_height_mm = 3.0;
constexpr double block_clear_mm = 5.0;  // between the label or the legend and any line
constexpr double clear_mm = 1.0;        // between a text and any line

struct LabelLine {
    std::string text;
    double height_mm;
    bool bold;
};

/// Something of a known size that is drawn about the middle of a patch.
struct Block {
    double width_mm = 0.0, height_mm = 0.0;
};

class TemplateSheetMaker {
  public:
    TemplateSheetMaker(const plan::Plan& plan, const plan::SeamPlan& seam, const plan::TemplatePlan& which,
                       const plan::RoughCutStudy* rough, const plan::FeedStudy* feed)
        : plan_(plan), which_(which), feed_(feed), fasten_(which.fastening) {
        about_ = "Seam: " + which.seam + ", " + units::show(seam.length_mm, plan.style) + " long.  Hand: " + which.hand;
        if (rough == nullptr) return;
        for (const plan::RoughCut& cut : rough->cuts) {
            const plan::SeamPlan& cut_seam = plan.seams[cut.seam];
            if (&cut_seam == &seam && &cut_seam.templates[cut.template_index] == &which) cuts_.push_back(&cut);
        }
        for (const plan::IndexMark& mark : rough->marks)
            if (!cuts_.empty() && &plan.seams[mark.seam] == &seam) index_marks_.push_back(&mark);
        if (!cuts_.empty()) fasten_.clear();
        for (const plan::RoughCut* cut : cuts_) tape_.insert(tape_.end(), cut->tape.begin(), cut->tape.end());
    }
    TemplateSheetMaker(const plan::Plan& plan, const plan::OutlineTemplate& of)
        : plan_(plan), which_(of.sheet), outline_(&of), tape_(of.sheet.fastening) {
        about_ = "Finished line: " + units::show(geometry::length_mm(which_.seam_line), plan.style) + " long";
    }

    Drawing make();

  private:
    const plan::Plan& plan_;
    const plan::TemplatePlan& which_;
    const plan::OutlineTemplate* outline_ = nullptr;  // null: of a seam
    const plan::FeedStudy* feed_ = nullptr;
    std::string about_;
    Drawing drawing_;
    Placer placer_;
    std::vector<Path> top_;  // the edge of the top, near the blank
    // The cuts that it guides in wood, as far as they are known; and the pencil marks across its seam.
    std::vector<const plan::RoughCut*> cuts_;
    std::vector<const plan::IndexMark*> index_marks_;
    std::vector<Point> fasten_, tape_;

    void line(const Path& path, const Stroke& stroke, const std::string& id);
    void lines();
    void marks();
    void screws();
    void index_marks();
    void ticks();
    void name_near(Point at, const std::string& name, double from_mm);
    void label();
    void label_of_outline(std::vector<LabelLine>& all, const std::string& offset) const;
    void legend();
    void arrows();
    void names();
    void name_line(const Path& path, const std::string& name, double first_mm);
    void wood_ends();
    void feed();

    const Path* room_outline() const;
    bool body_inside_edge() const;
    std::optional<Patch> room_in_blank(Block block, bool along) const;
    Patch room_for(Block block) const;
    bool inside_blank(const Patch& patch) const;
    void put(Text text, const Patch& patch) { drawing_.texts.push_back(centred(std::move(text), patch)); }
    void put_left(Text text, const Patch& patch, double along_mm, double up_mm);
};

void TemplateSheetMaker::line(const Path& path, const Stroke& stroke, const std::string& id) {
    if (path.empty()) return;
    drawing_.paths.push_back(drawn(path, stroke, id));
    placer_.add(path);
}

void TemplateSheetMaker::lines() {
    Box near;
    for (const Path* p : {&which_.body, &which_.edge, &which_.seam_line}) {
        if (!p->empty()) near.add(geometry::bounding_box(*p));
    }
    if (outline_ != nullptr) {
        for (const Path& beside : outline_->beside)
            for (Path& part : clipped(beside, near.grown(near_top_mm))) top_.push_back(std::move(part));
    } else if (!plan_.outline.empty() && !near.empty()) {
        top_ = clipped(plan_.outline, near.grown(near_top_mm));
    }

    if (!which_.edge.empty()) drawing_.paths.push_back(drawn(which_.edge, edge_band(), "template-edge-band"));
    line(which_.body, blank_stroke(), "template-blank");
    for (const auto& p : top_) line(p, top_stroke(), "edge-of-the-top");
    line(which_.rough_cut, rough_stroke(), "rough-cut");
    if (which_.mating_edge) line(*which_.mating_edge, mating_stroke(), "mating-template-edge");
    if (outline_ != nullptr)
        for (const Path& fence : outline_->fences) line(fence, mating_stroke(), "fence");
    line(which_.seam_line, seam_stroke(), outline_ != nullptr ? "finished-line" : "seam");
    line(which_.edge, edge_line(), "template-edge");
}

void TemplateSheetMaker::marks() {
    for (std::size_t i = 0; i < which_.registration.size(); ++i) {
        const Point at = which_.registration[i];
        add_registration(drawing_, at, fmt::format("registration-{}", i + 1));
        placer_.add(Patch{at, 2.0 * registration_half_mm, 2.0 * registration_half_mm, 0.0});
    }
    for (std::size_t i = 0; i < fasten_.size(); ++i) {
        const Point at = fasten_[i];
        add_fastening(drawing_, at, fmt::format("fastening-{}", i + 1));
        placer_.add(Patch{at, 2.0 * fastening_radius_mm, 2.0 * fastening_radius_mm, 0.0});
    }
    int strips = 0;
    for (const Point at : tape_) {
        add_tape(drawing_, at, fmt::format("tape-{}", ++strips));
        placer_.add(Patch{at, tape_long_mm, tape_wide_mm, 0.0});
    }
    screws();
    index_marks();
    ticks();
}

void TemplateSheetMaker::ticks() {
    if (outline_ == nullptr) return;
    for (std::size_t i = 0; i < outline_->ticks.size(); ++i) {
        const plan::OutlineTick& tick = outline_->ticks[i];
        drawing_.paths.push_back(
            straight(tick.line.start, tick.line.end, index_stroke(), fmt::format("tick-{}", i + 1)));
        placer_.add(drawing_.paths.back().path);
        name_near(tick.line.end, tick.name, 1.0);
    }
}

void TemplateSheetMaker::screws() {
    int number = 0;
    for (const plan::RoughCut* cut : cuts_) {
        for (const plan::CutEnd& end : cut->ends) {
            for (const auto& screw : end.screws) {
                add_fastening(drawing_, screw.at, fmt::format("screw-{}", ++number));
                placer_.add(Patch{screw.at, 2.0 * fastening_radius_mm, 2.0 * fastening_radius_mm, 0.0});
            }
        }
    }
    for (const plan::RoughCut* cut : cuts_)
        for (const plan::CutEnd& end : cut->ends)
            for (const auto& screw : end.screws)
                name_near(screw.at, plan::words::screw_text(screw, plan_.style), fastening_radius_mm);
}

/// From the cut edge, or from the kept wood beyond it, into the template.
void TemplateSheetMaker::index_marks() {
    for (std::size_t i = 0; i < index_marks_.size(); ++i) {
        const plan::IndexMark& mark = *index_marks_[i];
        double from_left = 0.0, from_right = 0.0;
        for (const plan::RoughCut* cut : cuts_) {
            if (cut->on_left) from_left = std::max(from_left, mark.left_mm);
            if (!cut->on_left) from_right = std::max(from_right, mark.right_mm);
        }
        const double deep = -which_.nominal_n_mm + (which_.body_on_left ? 1.0 : -1.0) * plan::mark_on_template_mm;
        const Point to = mark.on_seam + deep * mark.to_left;
        const Point from = mark.on_seam + (which_.body_on_left ? -from_right : from_left) * mark.to_left;
        drawing_.paths.push_back(straight(from, to, index_stroke(), fmt::format("index-{}", i + 1)));
        placer_.add(drawing_.paths.back().path);
        name_near(to, fmt::format("index mark {}", i + 1), 1.0);
    }
}

/// A word beside a mark, on whichever side there is room; none where there is none (the legend tells it too).
void TemplateSheetMaker::name_near(Point at, const std::string& name, double from_mm) {
    Text t;
    t.text = name;
    for (const double height : {2.8, 2.3}) {
        t.height_mm = height;
        Patch patch = patch_for(t);
        const double up = from_mm + clear_mm + 0.6 + 0.5 * patch.height_mm;
        const double out = from_mm + clear_mm + 0.6 + 0.5 * patch.width_mm;
        for (const Point by : {Point{0.0, up}, Point{0.0, -up}, Point{out, 0.0}, Point{-out, 0.0}, Point{0.5 * out, up},
                               Point{-0.5 * out, up}, Point{0.5 * out, -up}, Point{-0.5 * out, -up},
                               Point{0.0, 1.8 * up}, Point{0.0, -1.8 * up}}) {
            patch.centre = at + by;
            if (!placer_.free(patch, 0.6)) continue;
            put(t, patch);
            placer_.add(patch);
            return;
        }
    }
}

/// The outline that texts must stay in: the blank, or the closed edge itself when the template is what it encloses.
const Path* TemplateSheetMaker::room_outline() const {
    if (!which_.body.empty() && which_.body.closed) return &which_.body;
    return which_.edge.closed && body_inside_edge() ? &which_.edge : nullptr;
}

bool TemplateSheetMaker::body_inside_edge() const {
    return which_.edge.closed && (geometry::area_mm2(which_.edge) > 0.0) == which_.body_on_left;
}

/// Tries places along the edge, nearest its middle first, and in each from the edge into the blank. Texts stand level
/// (or upright beside an upright seam); `along`: they follow the edge instead.
std::optional<Patch> TemplateSheetMaker::room_in_blank(Block block, bool along) const {
    const Path* outline = room_outline();
    if (outline == nullptr || which_.edge.empty()) return std::nullopt;
    const geometry::PathIndex blank(*outline);
    const geometry::PathIndex edge(which_.edge);
    const bool by_edge = which_.edge.closed;
    const bool inside_edge = body_inside_edge();
    const auto on_template = [&](Point p) {
        return blank.contains(p) && (!by_edge || edge.contains(p) == inside_edge);
    };
    const auto running = geometry::running_length_mm(which_.edge);
    const double length = running.back();
    const Box box = geometry::bounding_box(which_.edge);
    const double level = box.width_mm() >= box.height_mm() ? 0.0 : 0.5 * geometry::pi;
    constexpr double along_step_mm = 10.0, into_step_mm = 4.0, deepest_mm = 400.0;
    // How far a ray stays on the template, asked once for a whole row of places.
    const auto leaves_at = [&](Point from, Point into) {
        const Point ends[] = {from, from + deepest_mm * into};
        const Path ray = geometry::polyline(ends);
        const geometry::PathIndex along_ray(ray);
        double leaves_mm = deepest_mm;
        for (const geometry::PathIndex* line : {&blank, &edge}) {
            if (line == &edge && !by_edge) continue;
            const auto meets = geometry::crossings(along_ray, *line);
            if (!meets.empty()) leaves_mm = std::min(leaves_mm, meets.front().on_a.u * deepest_mm);
        }
        return leaves_mm;
    };
    const auto steps = static_cast<int>(0.5 * length / along_step_mm);
    for (int i = 0; i <= steps; ++i) {
        for (const double sign : {1.0, -1.0}) {
            if (i == 0 && sign < 0.0) continue;
            const double at = 0.5 * length + sign * i * along_step_mm;
            const auto station = geometry::station_at(which_.edge, running, at);
            const Point p = geometry::point_at(which_.edge, station);
            const Point tangent = geometry::tangent_at(which_.edge, station);
            const Point into = which_.body_on_left ? geometry::left_of(tangent) : geometry::right_of(tangent);
            const double turn = along ? reading_turn(geometry::heading(tangent)) : level;
            const double first_mm = 0.5 * block.height_mm + 6.0;
            if (!on_template(p + first_mm * into)) continue;
            const double last_mm = std::min(deepest_mm, first_mm + leaves_at(p + first_mm * into, into));
            for (double depth = first_mm; depth < last_mm; depth += into_step_mm) {
                const Patch patch{p + depth * into, block.width_mm, block.height_mm, turn};
                if (fits(placer_, patch, block_clear_mm, on_template)) return patch;
            }
        }
    }
    return std::nullopt;
}

Patch TemplateSheetMaker::room_for(Block block) const {
    for (const bool along : {false, true}) {
        if (const auto patch = room_in_blank(block, along)) return *patch;
    }
    // No room in the blank: below everything, where it costs paper but covers nothing.
    const Box box = drawing_.box();
    return {{box.low.x + 0.5 * block.width_mm + 2.0, box.low.y - 0.5 * block.height_mm - 8.0},
            block.width_mm,
            block.height_mm,
            0.0};
}

bool TemplateSheetMaker::inside_blank(const Patch& patch) const {
    const Path* outline = room_outline();
    return outline != nullptr && geometry::PathIndex(*outline).contains(patch.centre);
}

void TemplateSheetMaker::put_left(Text text, const Patch& patch, double along_mm, double up_mm) {
    text.anchor = Text::Anchor::left;
    text.turn_rad = patch.turn_rad;
    text.at = patch.at(along_mm, up_mm);
    drawing_.texts.push_back(std::move(text));
}

void TemplateSheetMaker::label_of_outline(std::vector<LabelLine>& all, const std::string& offset) const {
    if (which_.rides.empty()) {
        all.push_back({"A pattern: its edge is the finished line. Mark along it, work to it by hand.", 4.0, false});
    } else {
        all.push_back({"Template edge to finished line: " + offset, 4.0, false});
        all.push_back({"It lies on the top, its edge inside the line. The waste is outside the line.", 4.0, false});
    }
    all.push_back({"Make this edge by hand, fair to eye and hand: there is no other to match.", 4.0, false});
    for (const std::string& line : outline_->says) all.push_back({line, 4.0, false});
    all.push_back({"Held on the wood by tape or clamps: no screws.", 4.0, false});
}

void TemplateSheetMaker::label() {
    const std::string offset = plan::words::set_by_text(std::abs(which_.offset_mm), plan_.style);
    std::vector<LabelLine> all{
        {which_.title.empty() ? which_.seam + ", " + which_.hand + " template" : which_.title, 7.0, true},
        {"THIS SIDE UP", 7.0, true},
    };
    if (!which_.rides.empty()) all.push_back({"Rides on it: " + which_.rides, 4.0, false});
    if (outline_ != nullptr) {
        label_of_outline(all, offset);
    } else {
        all.push_back({"Template edge to cut edge: " + offset, 4.0, false});
        all.push_back({which_.master ? "Master: make this edge by hand, as true as you can."
                                     : "Copied, not made by hand: this drawing is for checking the copy.",
                       4.0, false});
    }
    if (!cuts_.empty())
        all.push_back({"Held on the wood by " + plan::words::holding_text(*cuts_.front()) + ".", 4.0, false});
    if (plan_.sheet.thickness_mm > 0.0)
        all.push_back({"Sheet thickness: " + units::show(plan_.sheet.thickness_mm, plan_.style), 4.0, false});
    all.push_back({"Job: " + plan_.name + ".  " + about_ + ".", 4.0, false});
    all.push_back({"Revision " + plan_.revision() + ".", 4.0, false});

    Patch found;
    double scale = 1.0;
    for (const double s : {1.0, 0.8, 0.62}) {
        scale = s;
        Block block;
        for (const auto& l : all) {
            Text t;
            t.text = l.text;
            t.height_mm = s * l.height_mm;
            t.bold = l.bold;
            block.width_mm = std::max(block.width_mm, text_length_mm(t));
            block.height_mm += 1.45 * t.height_mm;
        }
        found = room_for(block);
        if (inside_blank(found)) break;
    }
    double up = 0.5 * found.height_mm;
    for (const auto& l : all) {
        Text t;
        t.text = l.text;
        t.height_mm = scale * l.height_mm;
        t.bold = l.bold;
        up -= 1.1 * t.height_mm;
        put_left(t, found, -0.5 * found.width_mm, up);
        up -= 0.35 * t.height_mm;
    }
    placer_.add(found);
}

void TemplateSheetMaker::legend() {
    struct Row {
        Stroke stroke;
        std::string text;
        int mark =
            0;  // 0 a line, 1 registration, 2 fastening, 3 tape, 4 to 6 strokes, 7 set in and lift out, 8 backing
        bool band = false;
    };
    std::vector<Row> rows;
    rows.push_back({edge_line(), "template edge: work to the thin line in the grey band", 0, true});
    rows.push_back({seam_stroke(), outline_ != nullptr ? "finished line: the waste is outside it" : "seam"});
    if (which_.mating_edge) rows.push_back({mating_stroke(), "edge of the mating template"});
    if (!which_.rough_cut.empty()) rows.push_back({rough_stroke(), "rough cut: saw the wood here first"});
    if (outline_ != nullptr && !outline_->fences.empty())
        rows.push_back({mating_stroke(), "fence, glued on under the template"});
    if (!top_.empty())
        rows.push_back({top_stroke(), outline_ != nullptr ? "the rest of the outline" : "finished edge of the top"});
    if (!which_.body.empty()) rows.push_back({blank_stroke(), "outline of the template blank"});
    if (!which_.registration.empty()) rows.push_back({{}, "registration mark", 1});
    if (!fasten_.empty()) rows.push_back({{}, "fasten here: clear of the cut", 2});
    if (std::any_of(cuts_.begin(), cuts_.end(), [](const auto* cut) { return cut->screws() > 0; }))
        rows.push_back({{}, "screw here: in waste, clear of every cutter; out before any saw", 2});
    if (!tape_.empty()) rows.push_back({{}, "tape or clamp here: finished wood, no screws", 3});
    if (outline_ != nullptr && !outline_->ticks.empty())
        rows.push_back({index_stroke(), "centre line: draw it across the top"});
    if (!index_marks_.empty()) rows.push_back({index_stroke(), "index mark: carry it on to the wood in pencil"});
    // All of them on every template that guides a cut: whichever of them are drawn, the legend is as large.
    if (feed_ != nullptr && !cuts_.empty()) {
        rows.push_back({{}, "feed, in the order of the numbers: conventional", 4});
        rows.push_back({{}, "a skim only (" + units::show(process::most_skim_mm, plan_.style) + "), conventional", 5});
        rows.push_back({{}, "climb, skim only: both hands, held fast; the cutter pulls forward", 6});
        rows.push_back({{}, "set the router in (ring), lift it out (bar)", 7});
        rows.push_back({{}, "clamp a backing here before the cutter comes out", 8});
    }

    constexpr double sample_mm = 26.0, text_from_mm = 30.0, row_mm = 5.6, text_mm = 3.2;
    Block block;
    for (const auto& r : rows) {
        Text t;
        t.text = r.text;
        t.height_mm = text_mm;
        block.width_mm = std::max(block.width_mm, text_from_mm + text_length_mm(t));
    }
    block.height_mm = row_mm * static_cast<double>(rows.size());
    const Patch patch = room_for(block);
    const double left = -0.5 * patch.width_mm;
    double up = 0.5 * patch.height_mm - 0.5 * row_mm;
    for (const auto& r : rows) {
        const Point from = patch.at(left, up), to = patch.at(left + sample_mm, up);
        const Point middle = patch.at(left + 0.5 * sample_mm, up);
        if (r.band) drawing_.paths.push_back(straight(from, to, edge_band(), "legend"));
        if (r.mark == 0) drawing_.paths.push_back(straight(from, to, r.stroke, "legend"));
        // Small enough for the row, yet the same figure.
        if (r.mark == 1) {
            const Point x = 2.6 * geometry::unit(patch.turn_rad), y = geometry::left_of(x);
            drawing_.paths.push_back(drawn(geometry::circle(middle, 1.5), mark_stroke(), "legend"));
            drawing_.paths.push_back(straight(middle - x, middle + x, mark_stroke(), "legend"));
            drawing_.paths.push_back(straight(middle - y, middle + y, mark_stroke(), "legend"));
        }
        if (r.mark == 2) {
            const Point x = 1.9 * geometry::unit(patch.turn_rad + 0.25 * geometry::pi), y = geometry::left_of(x);
            drawing_.paths.push_back(drawn(geometry::circle(middle, 1.9), mark_stroke(), "legend"));
            drawing_.paths.push_back(straight(middle - x, middle + x, mark_stroke(), "legend"));
            drawing_.paths.push_back(straight(middle - y, middle + y, mark_stroke(), "legend"));
        }
        if (r.mark == 3) {
            const Patch tape{middle, 0.5 * tape_long_mm, 0.5 * tape_wide_mm, patch.turn_rad};
            drawing_.paths.push_back(drawn(tape.outline(), mark_stroke(), "legend"));
        }
        if (r.mark >= 4 && r.mark <= 6) {
            const Point inset = 4.0 * geometry::unit(patch.turn_rad);
            const Point ends[] = {from + inset, to - inset};
            draw_feed_arrow(drawing_, geometry::polyline(ends, false), static_cast<process::FeedWay>(r.mark - 4),
                            "legend");
        }
        if (r.mark == 7) {
            const Point apart = 4.0 * geometry::unit(patch.turn_rad);
            draw_set_in(drawing_, middle - apart, "legend");
            draw_lift_out(drawing_, middle + apart, patch.turn_rad, "legend");
        }
        if (r.mark == 8) draw_backing(drawing_, middle, patch.turn_rad, "legend", 0.55);
        Text t;
        t.text = r.text;
        t.height_mm = text_mm;
        put_left(t, patch, left + text_from_mm, up - 0.36 * text_mm);
        up -= row_mm;
    }
    placer_.add(patch);
}

void TemplateSheetMaker::arrows() {
    if (which_.edge.empty()) return;
    constexpr double from_mm = 3.0, to_mm = 15.0, head_mm = 5.0, text_mm = 3.6;
    const auto running = geometry::running_length_mm(which_.edge);
    const double length = running.back();
    const auto count = std::max(1, static_cast<int>(std::lround(length / arrow_every_mm)));
    Text t;
    t.text = "template this side";
    t.height_mm = text_mm;
    const Patch words = patch_for(t);
    for (int i = 0; i < count; ++i) {
        const double middle = length * (i + 0.5) / count;
        for (int shift = 0; shift <= 8; ++shift) {
            // 0, +12, −12, +24, ...
            const double at = middle + 12.0 * half_up(shift) * (shift % 2 == 0 ? -1.0 : 1.0);
            if (at < 0.0 || at > length) continue;
            const auto station = geometry::station_at(which_.edge, running, at);
            const Point p = geometry::point_at(which_.edge, station);
            const Point tangent = geometry::tangent_at(which_.edge, station);
            const Point into = which_.body_on_left ? geometry::left_of(tangent) : geometry::right_of(tangent);
            const double turn = reading_turn(geometry::heading(tangent));
            const Patch arrow{p + 0.5 * (from_mm + to_mm) * into, 0.6 * head_mm, to_mm - from_mm, turn};
            Patch text = words;
            text.turn_rad = turn;
            text.centre = p + (to_mm + 1.0 + 0.5 * text.height_mm) * into;
            if (!placer_.free(arrow, 0.5) || !placer_.free(text, clear_mm)) continue;
            drawing_.paths.push_back(
                straight(p + from_mm * into, p + (to_mm - head_mm) * into, {0.6, {}, 0.0, {}}, "template-side"));
            drawing_.paths.push_back(
                arrow_head(p + to_mm * into, geometry::heading(into), head_mm, "template-side-head"));
            put(t, text);
            placer_.add(arrow);
            placer_.add(text);
            break;
        }
    }
}

void TemplateSheetMaker::name_line(const Path& path, const std::string& name, double first_mm) {
    if (path.empty()) return;
    const auto running = geometry::running_length_mm(path);
    const double length = running.back();
    std::vector<std::pair<Text, Patch>> sizes;
    for (const double height : {line_name_height_mm, 0.8 * line_name_height_mm}) {
        Text t;
        t.text = name;
        t.height_mm = height;
        sizes.emplace_back(t, patch_for(t));
    }
    const auto count = std::max(1, static_cast<int>(std::lround((length - first_mm) / name_every_mm)));
    for (int i = 0; i < count; ++i) {
        bool placed = false;
        for (int shift = 0; shift <= 24 && !placed; ++shift) {
            const double at = first_mm + i * name_every_mm + 8.0 * half_up(shift) * (shift % 2 == 0 ? -1.0 : 1.0);
            if (at < 0.0 || at > length) continue;
            const auto station = geometry::station_at(path, running, at);
            const Point p = geometry::point_at(path, station);
            const Point tangent = geometry::tangent_at(path, station);
            for (auto [t, patch] : sizes) {
                patch.turn_rad = reading_turn(geometry::heading(tangent));
                for (const double side : {1.0, -1.0}) {
                    patch.centre = p + side * (clear_mm + 0.6 + 0.5 * patch.height_mm) * geometry::left_of(tangent);
                    if (placed || !placer_.free(patch, clear_mm)) continue;
                    put(t, patch);
                    placer_.add(patch);
                    placed = true;
                }
            }
        }
    }
}

void TemplateSheetMaker::names() {
    // Staggered, so that names of neighbouring lines do not compete for one place.
    name_line(which_.edge, "template edge", 40.0);
    name_line(which_.seam_line, outline_ != nullptr ? std::string("finished line") : "seam: " + which_.seam, 60.0);
    if (which_.mating_edge) name_line(*which_.mating_edge, "edge of the mating template", 150.0);
    name_line(which_.rough_cut, outline_ != nullptr ? "rough cut, waste outside" : "rough cut", 190.0);
    if (outline_ != nullptr)
        for (const Path& fence : outline_->fences) name_line(fence, "fence", 10.0);
    for (const auto& p : top_)
        name_line(p, outline_ != nullptr ? "outline" : "edge of the top", std::min(40.0, 0.5 * geometry::length_mm(p)));
}

void TemplateSheetMaker::wood_ends() {
    if (which_.seam_line.empty() || which_.seam_line.closed || which_.edge.empty()) return;
    // Beyond the wood the edge only leads the guide in and out.
    const double length = geometry::length_mm(which_.edge);
    const auto running = geometry::running_length_mm(which_.edge);
    for (const bool first : {true, false}) {
        const auto station = geometry::station_at(which_.edge, running, first ? 0.0 : length);
        const Point end = geometry::point_at(which_.edge, station);
        const Point tangent = geometry::tangent_at(which_.edge, station);
        const Point wood = first ? which_.seam_line.start() : which_.seam_line.end();
        const double beyond = std::abs(geometry::dot(wood - end, tangent));
        Text t;
        t.text = first ? "run-in" : "run-out";
        t.height_mm = line_name_height_mm;
        Patch patch = patch_for(t);
        if (beyond < patch.width_mm) continue;
        patch.turn_rad = reading_turn(geometry::heading(tangent));
        const Point middle = end + (first ? 0.5 : -0.5) * beyond * tangent;
        const Point off = which_.body_on_left ? geometry::right_of(tangent) : geometry::left_of(tangent);
        for (const double side : {1.0, -1.0}) {
            patch.centre = middle + side * (clear_mm + 0.6 + 0.5 * patch.height_mm) * off;
            if (!placer_.free(patch, clear_mm)) continue;
            put(t, patch);
            placer_.add(patch);
            break;
        }
    }
}

/// Beside the edges that this template guides, on their waste side.
void TemplateSheetMaker::feed() {
    if (feed_ == nullptr) return;
    const Box box = drawing_.box();
    for (const plan::RoughCut* cut : cuts_) {
        for (const plan::RoutedEdge& edge : feed_->edges) {
            if (edge.seam != cut->seam || edge.piece != cut->piece || edge.on_left != cut->on_left) continue;
            double past_mm = 0.0;
            for (const plan::CutEnd& end : cut->ends)
                past_mm = std::max(past_mm, end.lead_mm + (end.from_outside ? cut->reveal_mm : 0.0));
            draw_feed_arrows(drawing_, placer_, edge, box, cuts_.size() > 1 ? (cut->on_left ? "L" : "R") : "", past_mm);
        }
    }
}

Drawing TemplateSheetMaker::make() {
    drawing_.title = plan_.name.empty() ? which_.title : plan_.name + ": " + which_.title;
    lines();
    marks();
    wood_ends();
    arrows();
    label();
    legend();
    names();
    // Last, so that nothing else gives way to them.
    feed();
    return std::move(drawing_);
}

}  // namespace

Drawing template_drawing(const plan::Plan& plan, const plan::SeamPlan& seam, const plan::TemplatePlan& which,
                         const plan::RoughCutStudy* rough, const plan::FeedStudy* feed) {
    return TemplateSheetMaker(plan, seam, which, rough, feed).make();
}

Drawing outline_template_drawing(const plan::Plan& plan, const plan::OutlineTemplate& of) {
    return TemplateSheetMaker(plan, of).make();
}

}  // namespace seamwright::paper
