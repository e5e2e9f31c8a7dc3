#include "draw.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "curves/elastica.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

using geometry::dot;
using geometry::norm;

// Shapes that are drawn without saying how large: gentle ones, to be pulled into shape.
constexpr double rise_part = 0.04;    // of the span
constexpr double height_part = 0.06;  // of the narrow side of the top
constexpr double least_inlay_mm = 10.0;
constexpr std::size_t most_places = 200;

class SeamDrawer {
  public:
    SeamDrawer(Bench& bench, const std::vector<Point>& through, const Aim& aim)
        : bench_(bench), ruler_(bench.ruler()), aim_(aim), field_(bench.field()), edge_(field_), box_(edge_.box()) {
        for (const Point p : through) {
            const Point q{ruler_.aimed(p.x, aim), ruler_.aimed(p.y, aim)};
            const bool again = !places_.empty() && geometry::distance(places_.back(), q) < pins_apart_mm;
            if (!again) places_.push_back(q);
        }
    }

    Json open_curve(As as) {
        if (places_.size() < 2) lay_across(as);
        carry_on();
        if (as == As::pins) bend_to_meant_places();
        const Point from = places_.front(), to = places_.back();
        Json curve = Json::object();
        Json& group = curve[std::string(name_of(as))];
        switch (as) {
            case As::straight:
                group = {{"from", ruler_.written(from)}, {"to", ruler_.written(to)}};
                break;
            case As::arc:
                group = written_arc(ruler_, from, to, rise(from, to, rise_through));
                break;
            case As::sprung:
                group = written_sprung(ruler_, from, to, rise(from, to, curves::sprung_rise_through));
                break;
            case As::wave:
                if (places_.size() > 4 || (places_.size() > 2 && !laid_))
                    return fitted(geometry::polyline(places_), as, ruler_);
                group = written_wave(ruler_, from, to, ruler_.about(height_part * narrow_mm()),
                                     ruler_.about(geometry::distance(from, to)), 0.0);
                break;
            default:
                group["points"] = Json::array();
                for (const Point p : places_) group["points"].push_back(ruler_.written(p));
        }
        return curve;
    }

    Json closed_curve(As as) {
        const bool circle = as == As::circle;
        Point centre = geometry::midpoint(box_.low, box_.high);
        double length_mm = ruler_.about(inlay_part * box_.width_mm()),
               width_mm = ruler_.about(inlay_part * box_.height_mm());
        if (circle) length_mm = ruler_.about(inlay_part * narrow_mm());
        if (!places_.empty()) centre = places_.front();
        if (places_.size() > 1 && circle) {
            // From the middle to the edge.
            length_mm = 2.0 * geometry::distance(places_.front(), places_.back());
        } else if (places_.size() > 1) {
            // From corner to corner of what it fills.
            geometry::Box filled;
            for (const Point p : places_) filled.add(p);
            centre = geometry::midpoint(filled.low, filled.high);
            length_mm = filled.width_mm();
            width_mm = filled.height_mm();
        }
        const auto size = [&](double mm) {
            return ruler_.written(std::max(to_multiple(mm, ruler_.finest_mm()), least_inlay_mm));
        };
        Json curve = Json::object();
        Json& group = curve[std::string(name_of(as))];
        group["centre"] = ruler_.written(centre);
        group[circle ? "diameter" : "length"] = size(length_mm);
        if (!circle) group["width"] = size(width_mm);
        return curve;
    }

    Json edging_width() {
        double width_mm = ruler_.about(edging_part * narrow_mm());
        if (!places_.empty()) {
            const geometry::PathIndex outline(bench_.outline());
            width_mm = ruler_.aimed(outline.distance_mm(places_.front()), aim_);
        }
        constexpr double least_mm = 5.0;
        return ruler_.written(std::clamp(width_mm, least_mm, std::max(least_mm, 0.45 * narrow_mm())));
    }

  private:
    double narrow_mm() const { return std::min(box_.width_mm(), box_.height_mm()); }

    /// Across the middle of the largest piece, or at the height of the one place there is.
    void lay_across(As as) {
        double y = 0.5 * (box_.low.y + box_.high.y);
        if (!places_.empty()) {
            y = std::clamp(places_.front().y, box_.low.y, box_.high.y);
        } else {
            double largest = 0.0;
            for (const auto& piece : bench_.plan().pieces) {
                if (piece.area_mm2 <= largest) continue;
                largest = piece.area_mm2;
                y = piece.label_at.y;
            }
            y = ruler_.aimed(y, aim_);
        }
        const Ends ends = laid_across(field_, y);
        const double middle = ruler_.aimed(0.5 * (ends.from.x + ends.to.x), aim_);
        places_ = {ends.from, ends.to};
        if (as == As::pins) places_.insert(places_.begin() + 1, Point{middle, y});
        laid_ = true;
    }

    /// Both ends straight on past the edge. An end drawn close to the edge is taken to mean the edge.
    void carry_on() {
        for (const bool start : {true, false}) {
            if (!start) std::reverse(places_.begin(), places_.end());
            meant_[start ? 0 : 1] = carry_on_first();
            if (!start) std::reverse(places_.begin(), places_.end());
        }
    }

    /// The place on the edge that was meant by an end which now stands past it.
    std::optional<Point> carry_on_first() {
        const Point end = places_.front();
        if (clear_mm(edge_, end) >= least_past_edge_mm) return std::nullopt;
        const Point way = (end - places_[1]) / geometry::distance(end, places_[1]);
        const Point leaves = last_crossing(edge_, end, way).value_or(end);
        // On a slant the run has to be longer to come as far from the edge.
        constexpr double flattest = 0.3;
        const double out = std::max(dot(way, nearest_place(edge_, leaves).outward), flattest);
        double run_mm = past_edge_mm / out;
        constexpr int most_tries = 8;
        for (int i = 0; i < most_tries && clear_mm(edge_, leaves + run_mm * way) < least_past_edge_mm; ++i)
            run_mm *= 1.5;
        const Point past{leaves.x + run_mm * way.x, leaves.y + run_mm * way.y};
        constexpr double meant_px = 12.0;
        const bool edge_meant = std::abs(clear_mm(edge_, end)) <= meant_px * aim_.mm_per_px;
        if (edge_meant || places_.size() == 2) {
            places_.front() = past;
        } else {
            places_.insert(places_.begin(), past);
        }
        return edge_meant ? std::optional(leaves) : std::nullopt;
    }

    /// A batten that was carried on straight leaves the wood beside the place that was pointed at, because it is bent.
    /// Its end pins are moved until it leaves there.
    void bend_to_meant_places() {
        constexpr int most_tries = 12;
        constexpr double near_enough_mm = 0.02;
        std::vector<Point> bent = places_;
        const double finest_mm = ruler_.finest_mm();
        for (int i = 0; i < most_tries; ++i) {
            const auto line = drawn(curves::Pins{bent, false, std::nullopt, std::nullopt});
            if (!line) return;
            const geometry::PathIndex index(line->path);
            double farthest_mm = 0.0;
            for (const std::size_t end : {0U, 1U}) {
                if (!meant_[end]) continue;
                const Point off = *meant_[end] - index.nearest(*meant_[end]).point;
                Point& pin = end == 0 ? bent.front() : bent.back();
                pin = pin + off;
                farthest_mm = std::max(farthest_mm, norm(off));
            }
            if (farthest_mm > near_enough_mm) continue;
            for (const std::size_t end : {0U, 1U}) {
                if (!meant_[end]) continue;
                Point& pin = end == 0 ? bent.front() : bent.back();
                pin = {to_multiple(pin.x, finest_mm), to_multiple(pin.y, finest_mm)};
            }
            places_ = bent;
            return;
        }
    }

    double rise(Point from, Point to, double (*through)(Point from, Point to, Point highest)) const {
        const Point left = geometry::left_of(to - from) / geometry::distance(from, to);
        Point highest = from;
        for (const Point p : places_) {
            if (std::abs(dot(p - from, left)) > std::abs(dot(highest - from, left))) highest = p;
        }
        const double off_mm = dot(highest - from, left);
        if (std::abs(off_mm) < ruler_.finest_mm()) return ruler_.about(rise_part * geometry::distance(from, to));
        const double rise_mm = through(from, to, highest);
        return std::clamp(to_multiple(rise_mm, ruler_.finest_mm()), -geometry::distance(from, to),
                          geometry::distance(from, to));
    }

    Bench& bench_;
    Ruler ruler_;
    Aim aim_;
    const geometry::Path field_;
    geometry::PathIndex edge_;
    geometry::Box box_;
    std::vector<Point> places_;
    std::array<std::optional<Point>, 2> meant_;  // where the first and the last end were meant to leave the wood
    bool laid_ = false;
};

const char* words_of(As as) {
    switch (as) {
        case As::straight:
            return "as a straight line";
        case As::arc:
            return "as an arc";
        case As::sprung:
            return "as a sprung stick";
        case As::wave:
            return "as a wave";
        case As::pins:
            return "with pins";
        case As::oval:
            return "as an oval";
        case As::circle:
            return "as a circle";
    }
    return "";
}

void need_outline(Bench& bench) {
    if (bench.outline().empty()) {
        refuse("/top/outline", "a top whose outline cannot be drawn", "an outline to draw seams on",
               "put the outline right first");
    }
}

}  // namespace

Steps seam_of(const Bench& bench, std::string_view pointer) {
    const auto steps = steps_of(pointer);
    if (!steps || steps->size() < 2 || steps->front() != "seams" || !index_of((*steps)[1]) ||
        find(bench.tree(), first_steps(*steps, 2)) == nullptr) {
        refuse(std::string(pointer), "no seam there", "a seam of the job",
               "load the page anew; the job may have been changed elsewhere");
    }
    return first_steps(*steps, 2);
}

std::string free_seam_name(const Json& tree) {
    const Json* seams = find(tree, {"seams"});
    std::size_t number = (seams != nullptr ? seams->size() : 0) + 1;
    const auto taken = [&](const std::string& name) {
        return seams != nullptr && std::any_of(seams->begin(), seams->end(), [&](const Json& seam) {
                   return seam.is_object() && seam.contains("name") && seam["name"] == name;
               });
    };
    while (taken(fmt::format("seam {}", number))) ++number;
    return fmt::format("seam {}", number);
}

std::string redraw(Bench& bench, std::string_view pointer, std::string_view as_name) {
    const Steps seam = seam_of(bench, pointer);
    const auto as = as_of(as_name);
    if (!as) refuse_edit_kind(pointer);
    const job::Seam asked = bench.document().job.seams[*index_of(seam[1])];
    if (asked.kind == job::SeamKind::edging) {
        refuse(pointer_of(seam), "an edging, which follows the edge of the top", "an open seam or an inlay",
               "make it an open seam or an inlay first");
    }
    const auto line = drawn(asked.curve);
    if (!line) {
        refuse(pointer_of(seam / "curve"), "a curve that cannot be drawn", "a course to follow",
               "put the curve right first");
    }
    if (is_closed(*as, line->path.closed) != line->path.closed) {
        refuse(
            pointer_of(seam / "curve"),
            line->path.closed ? "an inlay, which closes on itself" : "a seam from edge to edge",
            line->path.closed ? "pins, an oval or a circle" : "a straight line, an arc, a sprung stick, a wave or pins",
            line->path.closed ? "make it an open seam first" : "make it an inlay first");
    }
    Json curve = fitted(line->path, *as, bench.ruler());
    put(bench.change(), seam / "curve", std::move(curve));
    return fmt::format("{} drawn {}", capitalised(owner_words(bench.tree(), seam)), words_of(*as));
}

std::string draw_seam(Bench& bench, std::string_view as_name, const std::vector<Point>& through, const Aim& aim) {
    need_outline(bench);
    if (through.size() > most_places) {
        refuse("/seams/-", fmt::format("{} places", through.size()), fmt::format("at most {} places", most_places),
               "bring a traced line in as points instead");
    }
    const auto as = as_of(as_name);
    const bool edging = as_name == "edging";
    if (!as && !edging) refuse_edit_kind("/seams/-");
    const bool open = as && !is_closed(*as, false);
    Json seam = Json::object();
    seam["name"] = free_seam_name(bench.tree());
    seam["kind"] = edging ? "edging" : open ? "open" : "inlay";
    SeamDrawer drawer(bench, through, aim);
    if (edging) {
        seam["width"] = drawer.edging_width();
    } else {
        seam["curve"] = open ? drawer.open_curve(*as) : drawer.closed_curve(*as);
    }
    std::string says = fmt::format("{} drawn", capitalised(seam["name"].get<std::string>()));
    bench.change()["seams"].push_back(std::move(seam));
    return says;
}

void refuse_edit_kind(std::string_view pointer) {
    refuse(std::string(pointer), "an unknown way of drawing",
           "straight, arc, sprung, wave, pins, oval, circle or edging", "choose one of these");
}

}  // namespace seamwright::edit
