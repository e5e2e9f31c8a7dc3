// A step in cross-section. Layers from below: spoil board, work, template, router base. Across: the template ends at
// the edge that is ridden on, the guide touches it, the cutter stands in the middle of the guide.
//
// A cutter that cannot go through is drawn as deep as it does go, with the work left standing under it: a picture must
// not show what does not happen.

#include "plan/section.h"

#include <algorithm>
#include <cmath>

#include "plan/words.h"

namespace seamwright::plan {
namespace {

using geometry::Box;
using geometry::Point;
using Kind = seam::Step::Kind;

// What is not known of the shop and only hinted at (our choice).
constexpr double spoil_board_mm = 12.0;
constexpr double under_cutter_mm = 5.0;  ///< spoil board left below the cutter
constexpr double router_base_mm = 6.0;
constexpr double above_base_mm = 14.0;
constexpr double base_half_width_mm = 45.0;
constexpr double base_hole_room_mm = 4.0;
constexpr double beside_mm = 30.0;  ///< shown to either side of what is worked on
constexpr double bearing_height_mm = 5.0;
constexpr double saw_cut_mm = 2.0;
constexpr double paper_mm = 0.8;  ///< far thicker than paper is, or nobody would see it
constexpr double dimension_apart_mm = 8.0;
/// Ends of lines closer together than this are one: sizes are kept to a hundredth of it.
constexpr double nothing_mm = 1e-4;

class Sketch {
  public:
    Sketch(const seam::Step& step, const SectionSizes& sizes)
        : step_(step), sizes_(sizes), way_(step.template_on_left ? 1.0 : -1.0) {}

    Section by_hand() {
        const double edge = step_.edge_at_mm;
        window(std::min(0.0, edge), std::max(0.0, edge));
        add("bench", {rect(low_, high_, -spoil_board_mm, 0.0)}, "bench");
        add("made", {side(edge, -way_, 0.0, sizes_.sheet_mm)}, "the sheet that becomes the template");
        add("waste", {side(edge + way_ * saw_cut_mm, way_, 0.0, sizes_.sheet_mm)},
            "falls away: sawn off, then worked to the line");
        add("paper", {side(edge, -way_, sizes_.sheet_mm, sizes_.sheet_mm + paper_mm)}, "the printed paper, glued on");
        top_ = sizes_.sheet_mm + above_base_mm;
        bottom_ = -spoil_board_mm;
        if (std::abs(edge) > nothing_mm) {
            across(0.0, edge, sizes_.sheet_mm + 0.5 * above_base_mm, "edge to seam " + size(std::abs(edge)));
        }
        upright(sizes_.sheet_mm, "sheet " + size(sizes_.sheet_mm));
        return finish();
    }

    Section routed(const shelf::Shelf& shelf) {
        const seam::Pair& pair = *step_.pair;
        const shelf::Cutter& cutter = shelf.cutters.at(pair.cutter);
        const bool guided = pair.rides == seam::Pair::Rides::guide;
        const bool cuts_wood = step_.kind == Kind::cut_left || step_.kind == Kind::cut_right;
        const double work_mm = cuts_wood ? sizes_.top_mm : sizes_.sheet_mm;
        const double barrel_mm = guided ? shelf.guides.at(pair.rider).barrel_length_mm : 0.0;
        const double template_top = work_mm + sizes_.sheet_mm;
        // A barrel longer than the template is thick stands on the work, and the base stands off the template.
        const double base = work_mm + std::max(sizes_.sheet_mm, barrel_mm);
        const double centre = step_.rides_at_mm + way_ * 0.5 * pair.B_mm;
        const double half_b = 0.5 * pair.b_mm;
        const double half_shank = 0.5 * cutter.shank_mm;

        double tip = -sizes_.below_mm;
        if (guided) {
            tip = std::max(tip, base - cutter.reach_or_default_mm());
            if (cutter.shank_mm > pair.b_mm) tip = std::max(tip, work_mm - cutter.cutting_length_mm);
        } else {
            // The bearing above the flutes has to lie against the template.
            const double highest = template_top - std::min(bearing_height_mm, 0.5 * sizes_.sheet_mm);
            tip = std::clamp(tip + cutter.cutting_length_mm, work_mm, highest) - cutter.cutting_length_mm;
        }
        const double flutes_top = tip + cutter.cutting_length_mm;
        section_.tools = Section::Tools{centre,     pair.b_mm, pair.B_mm, guided,       tip,
                                        flutes_top, base,      work_mm,   template_top, step_.rides_at_mm};
        const double half_widest = std::max({0.5 * pair.B_mm, half_b, half_shank});
        window(std::min({0.0, step_.rides_at_mm, centre - half_widest}),
               std::max({0.0, step_.rides_at_mm, centre + half_widest}));
        top_ = std::max(base + router_base_mm + above_base_mm, flutes_top + above_base_mm);

        const double bench_mm = std::max(spoil_board_mm, under_cutter_mm - tip);
        bottom_ = -bench_mm;
        if (tip < -nothing_mm) {
            add("bench",
                {rect(low_, high_, -bench_mm, tip), rect(low_, centre - half_b, tip, 0.0),
                 rect(centre + half_b, high_, tip, 0.0)},
                "spoil board");
        } else {
            add("bench", {rect(low_, high_, -bench_mm, 0.0)}, "spoil board");
        }
        work(centre, half_b, work_mm, tip, cuts_wood);
        if (cuts_wood && !step_.keeps_far) section_.sawn_mm = step_.edge_at_mm + way_ * sizes_.reveal_mm;
        add("template", {side(step_.rides_at_mm, -way_, work_mm, template_top)}, "the template that is ridden on");

        if (guided) {
            const shelf::Guide& guide = shelf.guides.at(pair.rider);
            const double half_bore = 0.5 * guide.bore_or_default_mm();
            add("guide",
                {rect(centre - 0.5 * pair.B_mm, centre - half_bore, base - barrel_mm, base),
                 rect(centre + half_bore, centre + 0.5 * pair.B_mm, base - barrel_mm, base)},
                guide.name);
            router(base, centre, half_bore);
        } else {
            router(base, centre, half_widest + base_hole_room_mm);
        }
        add("cutter", {rect(centre - half_b, centre + half_b, tip, flutes_top)}, cutter.name);
        double shank_from = flutes_top;
        if (!guided) {
            const shelf::Bearing& bearing = shelf.bearings.at(pair.rider);
            const double bearing_top = std::min(flutes_top + bearing_height_mm, std::max(template_top, flutes_top));
            // A bearing sits on the shank or on a pin thinner than itself.
            const double inner = std::min(half_shank, 0.25 * pair.B_mm);
            add("bearing",
                {rect(centre - 0.5 * pair.B_mm, centre - inner, flutes_top, bearing_top),
                 rect(centre + inner, centre + 0.5 * pair.B_mm, flutes_top, bearing_top)},
                bearing.name);
            add("shank",
                {rect(centre - inner, centre + inner, flutes_top, bearing_top),
                 rect(centre - half_shank, centre + half_shank, bearing_top, top_)},
                "shank");
            shank_from = top_;
        }
        if (shank_from < top_)
            add("shank", {rect(centre - half_shank, centre + half_shank, shank_from, top_)}, "shank");

        const double offset_mm = std::abs(step_.edge_at_mm - step_.rides_at_mm);
        double below = bottom_ - 0.5 * dimension_apart_mm;
        if (offset_mm > nothing_mm) {
            across(step_.rides_at_mm, step_.edge_at_mm, below, "offset " + size(offset_mm));
            below -= dimension_apart_mm;
        }
        across(centre - half_b, centre + half_b, below, "cutter " + size(pair.b_mm));
        bottom_ = below - 0.5 * dimension_apart_mm;
        across(centre - 0.5 * pair.B_mm, centre + 0.5 * pair.B_mm, top_ + 0.5 * dimension_apart_mm,
               (guided ? "guide " : "bearing ") + size(pair.B_mm));
        top_ += dimension_apart_mm;
        upright(work_mm, (cuts_wood ? "wood " : "sheet ") + size(work_mm));
        return finish();
    }

  private:
    std::string size(double mm) const { return words::exact_size(mm, sizes_.style); }

    void window(double from, double to) {
        low_ = from - beside_mm;
        high_ = to + beside_mm;
    }

    static Box rect(double x0, double x1, double y0, double y1) { return {{x0, y0}, {x1, y1}}; }
    /// From `edge` to the end of the window on the side `towards` (+1 right, −1 left).
    Box side(double edge, double towards, double y0, double y1) const {
        return towards > 0.0 ? rect(edge, high_, y0, y1) : rect(low_, edge, y0, y1);
    }

    void add(std::string_view what, std::vector<Box> parts, std::string says) {
        std::erase_if(parts, [](const Box& b) { return b.width_mm() <= nothing_mm || b.height_mm() <= nothing_mm; });
        if (!parts.empty()) section_.shapes.push_back({what, std::move(parts), std::move(says)});
    }

    /// What is under the template and what is beyond the groove.
    void work(double centre, double half_b, double work_mm, double tip, bool wood) {
        const double near = centre - way_ * half_b;
        const double far = centre + way_ * half_b;
        const std::string_view stays = wood ? "wood" : "made";
        const std::string stays_says = wood ? "the piece that stays" : "the template that is made";
        const std::string waste_says = "falls away";
        std::vector<Box> kept, waste;
        if (step_.keeps_far) {
            waste.push_back(side(near, -way_, 0.0, work_mm));
            kept.push_back(side(far, way_, 0.0, work_mm));
        } else {
            kept.push_back(side(near, -way_, 0.0, work_mm));
            if (!wood) {
                waste.push_back(side(far, way_, 0.0, work_mm));
            } else if (const double sawn = way_ * sizes_.reveal_mm; way_ * (sawn - far) > nothing_mm) {
                // The wood was sawn along the rough-cut line first, so only a strip is left to fall away.
                waste.push_back(rect(std::min(far, sawn), std::max(far, sawn), 0.0, work_mm));
            }
        }
        if (tip > nothing_mm) {
            kept.push_back(rect(centre - half_b, centre + half_b, 0.0, std::min(tip, work_mm)));
        }
        add(stays, std::move(kept), tip > nothing_mm ? stays_says + ", not cut through" : stays_says);
        add("waste", std::move(waste), waste_says);
    }

    void router(double base, double centre, double half_hole) {
        add("router",
            {rect(std::max(low_, centre - base_half_width_mm), centre - half_hole, base, base + router_base_mm),
             rect(centre + half_hole, std::min(high_, centre + base_half_width_mm), base, base + router_base_mm)},
            "base of the router");
    }

    void across(double from_x, double to_x, double y, std::string says) {
        section_.dimensions.push_back({{from_x, y}, {to_x, y}, std::move(says)});
    }
    void upright(double height_mm, std::string says) {
        // On the side where the work certainly lies.
        const bool work_on_left = step_.keeps_far ? way_ < 0.0 : way_ > 0.0;
        const double x = work_on_left ? low_ + 0.4 * beside_mm : high_ - 0.4 * beside_mm;
        section_.dimensions.push_back({{x, 0.0}, {x, height_mm}, std::move(says)});
    }

    Section finish() {
        section_.edge_mm = step_.edge_at_mm;
        section_.from_template = way_;
        section_.box = {{low_, bottom_}, {high_, top_}};
        return std::move(section_);
    }

    const seam::Step& step_;
    const SectionSizes& sizes_;
    double way_;  ///< from the template toward the cutter: +1 right, −1 left
    double low_ = 0.0, high_ = 0.0, bottom_ = 0.0, top_ = 0.0;
    Section section_;
};

}  // namespace

double lowest_mm(const Section& section) {
    double lowest = 0.0;
    for (const auto& shape : section.shapes)
        for (const Box& part : shape.parts) lowest = std::min(lowest, part.low.y);
    return lowest;
}

SectionSizes sizes_of(const plan::Plan& plan) {
    return {plan.milled_mm, plan.sheet.thickness_mm, plan.limits.below_wood_mm, plan.limits.reveal_mm, plan.style};
}

Section section_of(const seam::Step& step, const shelf::Shelf& shelf, const SectionSizes& sizes) {
    Sketch sketch(step, sizes);
    return step.pair ? sketch.routed(shelf) : sketch.by_hand();
}

}  // namespace seamwright::plan
