#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/path_index.h"
#include "plan/cautions.h"
#include "plan/feed_study.h"
#include "plan/outline_study.h"
#include "plan/rough_cut_study.h"
#include "plan/words.h"
#include "wood/strength.h"

namespace seamwright::plan::words {
namespace {

using Kind = OutlineCut::Kind;

/// An arc up to this radius can still be swung with a beam in a small shop (our choice).
constexpr double longest_beam_mm = 2500.0;

std::string listed(const std::vector<std::string>& list) {
    std::string out;
    for (std::size_t i = 0; i < list.size(); ++i)
        out += (i == 0 ? "" : i + 1 == list.size() ? " and " : ", ") + list[i];
    return out;
}

/// A bearing that differs by less from its cutter counts as flush (our choice).
constexpr double flush_mm = 0.05;

/// All that is cut without changing guide or cutter.
struct SetUp {
    std::vector<const OutlineCut*> cuts;
};
std::vector<SetUp> set_ups_of(const OutlineStudy& study) {
    std::vector<SetUp> out;
    for (const OutlineCut& cut : study.cuts) {
        if (!cut.tools) continue;
        auto same = std::find_if(out.begin(), out.end(),
                                 [&](const SetUp& s) { return s.cuts.front()->tools->pair == cut.tools->pair; });
        if (same == out.end()) same = out.insert(same, SetUp{});
        same->cuts.push_back(&cut);
    }
    return out;
}
std::vector<std::string> names_of(const SetUp& set_up) {
    std::vector<std::string> names;
    for (const OutlineCut* cut : set_up.cuts) names.push_back(cut->name);
    return names;
}

class Teller {
  public:
    Teller(const OutlineStudy& study, const Plan& plan, const job::Job& job) : study_(study), plan_(plan), job_(job) {}

    std::vector<Told> all() {
        group();
        out_.push_back(before());
        if (study_.diagonal_mm) out_.push_back(square());
        for (std::size_t i = 0; i < set_ups_.size(); ++i) out_.push_back(set_up(i));
        if (study_.trammel) out_.push_back(trammel());
        for (std::size_t i = 0; i < study_.cuts.size(); ++i)
            if (first_of_its_template(i)) out_.push_back(cut(i));
        out_.push_back(cautions());
        return std::move(out_);
    }

  private:
    std::string show(double mm) const { return units::show(mm, job_.style); }
    std::string set_by(double mm) const { return set_by_text(mm, job_.style); }

    void group() { set_ups_ = set_ups_of(study_); }

    Told set_up(std::size_t i) const {
        const SetUp& set_up = set_ups_[i];
        const OutlineCut& c = *set_up.cuts.front();
        const bool one = set_ups_.size() == 1;
        Told told{
            one ? std::string("The set-up") : fmt::format("Set-up {}: {}", i + 1, listed(names_of(set_up))), {}, {}};
        told.lines.push_back(fmt::format("{}, {}.", capitalised(c.tools->rider), c.tools->cutter));
        const double o = c.tools->offset_mm();
        if (is_bearing(c) && std::abs(o) < flush_mm) {
            told.lines.push_back(
                "Templates and straightedges lie on the face, their edge on the line itself: the "
                "bearing runs flush with the cutter.");
        } else {
            told.lines.push_back(fmt::format(
                "Templates and straightedges lie on the face, their edge {} inside the line: ({} − {}) ÷ 2. Cut strips "
                "as wide as that and lay them between line and edge; a test in waste proves them.",
                set_by(o), set_by(c.tools->pair.B_mm), set_by(c.tools->pair.b_mm)));
        }
        double minutes = 0.0;
        for (const OutlineCut* cut : set_up.cuts) minutes += cut->passes ? cut->passes->minutes : 0.0;
        if (c.passes)
            told.lines.push_back(fmt::format("{} About {:.0f} min of cutting in all.",
                                             capitalised(depths_text(*c.passes, job_.style)),
                                             std::max(1.0, std::ceil(minutes))));
        if (c.speed) told.lines.push_back(speed_text(*c.speed));
        return told;
    }

    bool first_of_its_template(std::size_t i) const {
        const auto& of = study_.cuts[i].template_index;
        if (!of) return true;
        for (std::size_t k = 0; k < i; ++k)
            if (study_.cuts[k].template_index == of) return false;
        return true;
    }
    std::vector<const OutlineCut*> with_template_of(const OutlineCut& cut) const {
        if (!cut.template_index) return {&cut};
        std::vector<const OutlineCut*> out;
        for (const OutlineCut& other : study_.cuts)
            if (other.template_index == cut.template_index) out.push_back(&other);
        return out;
    }
    static bool is_bearing(const OutlineCut& cut) {
        return cut.tools && cut.tools->pair.rides == seam::Pair::Rides::bearing;
    }

    /// Where a seam lies to the finished line.
    void lie_of(const SeamPlan& seam, Told& told) const {
        if (seam.in_wood.empty()) return;
        if (seam.in_wood.closed) {
            const geometry::Box box = geometry::bounding_box(seam.in_wood), &top = plan_.box;
            told.lines.push_back(
                fmt::format("{}: its outermost points lie {} from the left, {} from the right, {} from "
                            "the front and {} from the back.",
                            capitalised(seam.name), show(box.low.x - top.low.x), show(top.high.x - box.high.x),
                            show(box.low.y - top.low.y), show(top.high.y - box.high.y)));
            return;
        }
        std::vector<std::string> meets;
        for (const Point end : {seam.in_wood.start(), seam.in_wood.end()}) {
            for (const OutlineCut& cut : study_.cuts) {
                if (cut.line.closed || (cut.kind != Kind::straight && cut.kind != Kind::side)) continue;
                const auto nearest = geometry::PathIndex(cut.line).nearest(end);
                if (nearest.distance_mm > near_mm) continue;
                const auto running = geometry::running_length_mm(cut.line);
                const double from_start = geometry::length_to(running, nearest.at);
                meets.push_back(fmt::format("the {} {} from the {} and {} from the {}", cut.name, show(from_start),
                                            cut.starts_at, show(running.back() - from_start), cut.ends_at));
                break;
            }
        }
        if (!meets.empty())
            told.lines.push_back(fmt::format("{} meets {} (along the edge, to the sharp corners).",
                                             capitalised(seam.name), listed(meets)));
    }
    static constexpr double near_mm = 0.1;

    Told before() const {
        Told told{"Cutting the top to its outline", {}, {}};
        const bool marked = study_.diagonal_mm.has_value();
        told.lines.push_back(marked ? "Once the glue is hard and the seams are level, draw the four sides on the face, "
                                      "measured from the seams, and mark the sharp corners."
                                    : "Once the glue is hard and the seams are level, draw the line on the face, "
                                      "measured from the seams.");
        for (const SeamPlan& seam : plan_.seams) lie_of(seam, told);
        if (study_.cuts.size() > 1) {
            std::vector<std::string> order;
            for (const OutlineCut& cut : study_.cuts) order.push_back(cut.name);
            told.lines.push_back(
                fmt::format("In this order: {}.{}", listed(order),
                            marked ? " Sides that show more end grain come first: what splinters where the teeth leave "
                                     "them, the next side takes off."
                                   : ""));
        }
        told.lines.push_back(
            fmt::format("The waste is outside the line. Saw {} outside it first, and leave the rest to the router.",
                        show(study_.reveal_mm)));
        const bool any = std::any_of(study_.cuts.begin(), study_.cuts.end(),
                                     [](const OutlineCut& cut) { return cut.made.carried_out; });
        if (any && study_.reached) {
            told.lines.push_back(
                fmt::format("Simulated with your tools, rolled along every template and straightedge: nowhere does the "
                            "edge lie farther from the line than {}.",
                            within(study_.largest_off_mm + study_.certified_to_mm)));
        } else if (any) {
            told.cautions.push_back(fmt::format(
                "Simulated with your tools, not all of the line is reached: at the {} the edge lies up to {} off it.",
                study_.largest_off_cut, thin(study_.largest_off_mm)));
        }
        if (study_.templates.empty()) {
            told.lines.push_back("All its sides are straight: no template is needed.");
        } else {
            told.lines.push_back(
                "A curve of the outline has one template, made by hand from its paper. Nothing has to match it but the "
                "drawn line: what counts is that it runs fair to the eye and to the hand.");
            std::vector<std::string> titles;
            for (const OutlineTemplate& t : study_.templates)
                titles.push_back(t.sheet.title.substr(t.sheet.title.find(", ") + 2));
            told.lines.push_back(fmt::format("Papers at full size: {}.", listed(titles)));
        }
        return told;
    }

    /// No finer than the line is asked to be reached, nor than thousandths of an inch show.
    std::string within(double mm) const {
        const double finest_mm = job_.style.unit == units::Unit::inch ? 0.001 * units::mm_per_inch : reached_mm;
        return units::show_thin(std::max(mm, finest_mm), job_.style.unit);
    }
    std::string thin(double mm) const { return thin_text(mm, job_.style.unit); }

    Told square() const {
        const double l = study_.length_mm, w = study_.width_mm, d = *study_.diagonal_mm;
        Told told{"Square and size", {}, {}};
        told.lines.push_back(
            fmt::format("Between its sharp corners the top is {} long and {} wide.", show(l), show(w)));
        const bool rounded = std::any_of(study_.cuts.begin(), study_.cuts.end(),
                                         [](const OutlineCut& cut) { return cut.kind == Kind::corner; });
        told.lines.push_back(
            fmt::format("From corner to corner across, both ways: {}, the root of length² + width². Measure on the "
                        "drawn lines first, and again when the sides are cut{}.",
                        show(d), rounded ? ", before the corners are rounded" : ""));
        const double step = job_.style.unit == units::Unit::inch ? units::mm_per_inch / 32.0 : 1.0;
        told.lines.push_back(fmt::format(
            "Where the two differ by {}, one end is out of square by {} over the width (difference × diagonal ÷ "
            "twice the length).",
            show(step), thin(lean_of(step, l, w))));
        return told;
    }

    Told trammel() const {
        const Trammel& t = *study_.trammel;
        Told told{"With a beam from the middle", {}, {}};
        told.lines.push_back(
            fmt::format("Round tops need no template: the router swings on a beam about a pivot at the middle, {}.",
                        place_text(t.pivot, job_.style)));
        told.lines.push_back(
            fmt::format("With the {}: from the pivot to the near side of the cutter {} (the finished edge), to its "
                        "middle {}, to its far side {}.",
                        t.cutter, set_by(t.near_mm()), set_by(t.middle_mm()), set_by(t.far_mm())));
        told.lines.push_back(
            "Put the pivot into a block held with double-sided tape, or into a hole on the underside where no one "
            "sees it; then the top lies face down. Raise the far end of the beam by the thickness of the block.");
        settings(told, t.passes, t.speed);
        told.lines.push_back(
            "Swing counter-clockwise as seen from above. Rout a trial disc in waste, measure it across "
            "both ways, and set the beam right by half of what is over or short.");
        return told;
    }

    void settings(Told& told, const std::optional<process::PassPlan>& passes,
                  const std::optional<process::Speed>& speed) const {
        if (passes)
            if (std::string text = passes_text(*passes, job_.style); !text.empty())
                told.lines.push_back(capitalised(std::move(text)));
        if (speed) told.lines.push_back(speed_text(*speed));
    }

    Told cut(std::size_t index) const {
        const OutlineCut& c = study_.cuts[index];
        const auto same = with_template_of(c);
        std::vector<std::string> names, numbers;
        for (const OutlineCut* s : same) {
            names.push_back(s->name);
            numbers.push_back(std::to_string(s - study_.cuts.data() + 1));
        }
        Told told{fmt::format("{}. {}: {}", listed(numbers), capitalised(listed(names)), what(c)), {}, {}};
        if (c.kind == Kind::straight) {
            straight(c, told);
        } else {
            along_template(c, told);
        }
        if (c.kind == Kind::corner) corner(c, told);
        shape(c, told);
        for (const OutlineCut* s : same) feed(*s, same.size() > 1, told);
        for (const OutlineCut::Exit& exit : c.exits) told.lines.push_back(exit_text(exit));
        if (c.made.carried_out)
            told.lines.push_back(c.reached ? fmt::format("As simulated, the edge lies within {} of the line.",
                                                         within(c.made.off_mm + c.made.certified_to_mm))
                                           : fmt::format("As simulated, the edge lies up to {} off the line, {}.",
                                                         thin(c.made.off_mm), place_text(c.made.off_at, job_.style)));
        for (const OutlineCut* s : same)
            for (const auto& finding : s->findings) say(finding, told);
        return told;
    }

    static void say(const OutlineCut::Finding& finding, Told& told) {
        std::string text = finding.says + (finding.remedy.empty() ? "" : " " + finding.remedy);
        if (std::find(told.cautions.begin(), told.cautions.end(), text) == told.cautions.end())
            told.cautions.push_back(std::move(text));
    }

    static const char* what(const OutlineCut& cut) {
        switch (cut.kind) {
            case Kind::straight:
                return "square cut along a straightedge";
            case Kind::side:
            case Kind::whole:
                return "along its template";
            case Kind::corner:
                return "rounded along a template";
            case Kind::half:
                return "along one template, used twice";
        }
        return "";
    }

    /// With which set-up, where there are several.
    std::string with(const OutlineCut& c) const {
        if (set_ups_.size() < 2) return {};
        for (std::size_t i = 0; i < set_ups_.size(); ++i)
            if (set_ups_[i].cuts.front()->tools->pair == c.tools->pair) return fmt::format(", with set-up {}", i + 1);
        return {};
    }

    void straight(const OutlineCut& c, Told& told) const {
        const double long_mm = c.length_mm + 2.0 * study_.run_out_mm;
        if (c.tools)
            told.lines.push_back(
                fmt::format("Clamp a straightedge, {} long or longer and as thick as your templates, on the top, its "
                            "edge {} inside "
                            "the line{}.",
                            show(long_mm), set_by(c.tools->offset_mm()), with(c)));
        told.lines.push_back(fmt::format(
            "Or with a saw along the straightedge: measure on your saw from the edge of its base to the side of the "
            "teeth that is next to it, and clamp by that; all of the kerf of {} falls outside the line.",
            show(study_.kerf_mm)));
    }

    void along_template(const OutlineCut& c, Told& told) const {
        if (!c.tools) {
            told.lines.push_back(
                "Its paper is a pattern: the edge is the line itself. Mark along it and work to it by "
                "hand.");
            return;
        }
        const double o = c.tools->offset_mm();
        told.lines.push_back(is_bearing(c) && std::abs(o) < flush_mm
                                 ? fmt::format("The template's edge lies on the line{}.", with(c))
                                 : fmt::format("The template's edge lies {} inside the line{}.", set_by(o), with(c)));
        if (c.kind == Kind::half) {
            told.lines.push_back(
                "Draw both centre lines across the top, square to each other. Lay the centre lines of "
                "the template on them, rout one half, turn the template end for end, rout the other. "
                "Where the two meet, blend with a few strokes of a sanding block.");
            if (study_.focus_mm)
                told.lines.push_back(fmt::format(
                    "Check of the line: from two pins on the longer centre line, each {} from the middle, a string "
                    "reaches every place of it with the same length, {} in both parts together.",
                    show(*study_.focus_mm), show(std::max(study_.length_mm, study_.width_mm))));
        }
        if (c.kind == Kind::side)
            told.lines.push_back(
                fmt::format("It runs on {} beyond both corners, so that the guide is led in and out off the wood.",
                            show(study_.run_out_mm)));
    }

    void corner(const OutlineCut& c, Told& told) const {
        told.lines.push_back(
            fmt::format("Radius {}, after both sides are cut and measured. The fences under the "
                        "template lie against them.",
                        show(c.radius_mm)));
        if (c.tools && c.tools->offset_mm() > 0.0) {
            const double left = c.radius_mm - c.tools->offset_mm();
            told.lines.push_back(left >= 0.05
                                     ? fmt::format("The template's own corner has a radius of {}: {} less the offset.",
                                                   set_by(left), show(c.radius_mm))
                                     : std::string("The template's own corner is sharp: the offset alone makes the "
                                                   "radius."));
        }
        const double stands = c.radius_mm * (std::sqrt(2.0) - 1.0);
        if (stands > study_.reveal_mm)
            told.lines.push_back(fmt::format("Saw the corner off first, {} outside the line.", show(study_.reveal_mm)));
        told.lines.push_back(
            "Start with the guide on the first leg, the cutter clear of the wood, and stop on the "
            "other. The tabs keep the guide from running off.");
    }

    void shape(const OutlineCut& c, Told& told) const {
        if (c.kind != Kind::side) return;
        const double r = std::abs(c.radius_mm);
        if (c.radius_mm != 0.0) {
            double rise = 0.0;
            for (const StandsOut& check : c.checks)
                if (check.part == 0.5) rise = std::abs(check.by_mm);
            std::string line = fmt::format(
                "It is an arc with a chord of {} and a rise of {}: radius chord² ÷ (8 × "
                "rise) + rise ÷ 2 = {}",
                show(c.chord_mm), show(rise), show(r));
            if (r <= longest_beam_mm && c.tools) {
                const double edge = c.radius_mm > 0.0 ? r - c.tools->offset_mm() : r + c.tools->offset_mm();
                line += fmt::format("; with a beam, the template's edge has {}", set_by(edge));
            }
            told.lines.push_back(line + '.');
        }
        if (c.checks.size() != 3) return;
        const auto by = [&](double mm) {
            return fmt::format("{} {}", show(std::abs(mm)), mm >= 0.0 ? "outside" : "inside");
        };
        told.lines.push_back(
            fmt::format("Check from a straight line between its corners, {} apart: at a quarter the "
                        "edge lies {}, half way {}, at three quarters {}.",
                        show(c.chord_mm), by(c.checks[0].by_mm), by(c.checks[1].by_mm), by(c.checks[2].by_mm)));
    }

    void feed(const OutlineCut& c, bool several, Told& told) const {
        if (c.feed.stretches.empty()) return;
        const std::string who = several ? capitalised(c.name) + ": " : std::string();
        if (c.kind == Kind::corner) {
            if (!several || &c == with_template_of(c).front())
                told.lines.push_back("Feed counter-clockwise, as round the sides.");
        } else if (!several && c.kind != Kind::whole) {
            told.lines.push_back(
                fmt::format("Feed from the {} to the {}: counter-clockwise around the top, seen from "
                            "above.",
                            c.starts_at, c.ends_at));
        } else if (!several || &c == with_template_of(c).front()) {
            told.lines.push_back("Feed counter-clockwise around the top, seen from above.");
        }
        double tears = 0.0;
        for (const auto& s : c.feed.stretches)
            if (s.zone == process::TearZone::tears) tears += s.length_mm;
        if (tears < 1.0) return;
        const std::string skim = show(process::most_skim_mm);
        if (c.kind == Kind::corner) {
            corner_tears(c, skim, told);
            return;
        }
        std::vector<std::string> places;
        double worst = 0.0;
        for (const auto& s : c.feed.stretches) {
            if (s.zone != process::TearZone::tears) continue;
            places.push_back(fmt::format("{} to {}", show(s.from_mm), show(s.to_mm)));
            worst = std::max(worst, std::abs(s.worst_phi_rad));
        }
        const std::string from = c.kind == Kind::half || c.kind == Kind::whole
                                     ? fmt::format("counter-clockwise from its {}", end_name(c.line.start(), plan_))
                                     : "from the " + c.starts_at;
        const bool end_grain = worst > wood::end_grain_from_rad;
        const std::string why = end_grain ? std::string("it is end grain")
                                          : fmt::format("the fibres dive under the edge at up to {:.0f}°",
                                                        worst * geometry::degrees_per_radian);
        const std::string begins = several ? who + 't' : std::string("T");
        const std::string then = leave_skim_text(job_);
        constexpr double all_but_mm = 1.0;
        if (tears > c.length_mm - all_but_mm) {
            told.lines.push_back(fmt::format("{}he wood is expected to tear all along; {}. {}", begins, why, then));
            return;
        }
        told.lines.push_back(
            fmt::format("{}he wood is expected to tear along {} of {}; {}: {} (measured along the line, {}). {}",
                        begins, show(tears), show(c.length_mm), why, listed(places), from, then));
    }

    /// Once for all corners of one template, at the first of them that tears.
    void corner_tears(const OutlineCut& c, const std::string& skim, Told& told) const {
        std::vector<std::string> where;
        const OutlineCut* first = nullptr;
        const auto same = with_template_of(c);
        for (const OutlineCut* other : same) {
            if (process::length_in(other->feed.stretches, process::TearZone::tears) < 1.0) continue;
            if (first == nullptr) first = other;
            where.push_back(other->name);
        }
        if (first != &c) return;
        told.lines.push_back(
            fmt::format("In the curve{} the wood is expected to tear: go slowly, and take the last {} by itself.",
                        where.size() < same.size() ? " of the " + listed(where)
                        : where.size() > 1         ? " of each"
                                                   : "",
                        skim));
    }

    std::string exit_text(const OutlineCut::Exit& exit) const {
        if (exit.taken_by.empty())
            return fmt::format(
                "At the {} the teeth leave end grain and nothing comes after: clamp a backing tight "
                "against the side there.",
                exit.at);
        return fmt::format(
            "At the {} the teeth leave end grain: what splinters there falls with the waste of the {}; "
            "leave at least {} on that side until then.",
            exit.at, exit.taken_by, show(study_.reveal_mm));
    }

    Told cautions() const {
        Told told{"Cutting the outline: what to mind", {}, {}};
        told.lines.push_back(
            "Tape and clamps only: the face is finished wood. Screws only from below, where the base "
            "hides them; then the template lies on the underside, its printed side down, and the "
            "feed is counter-clockwise as seen from there.");
        told.lines.push_back(
            "Let the top hang over the bench by no more than cutter and clamps need, on spoil board, "
            "and hold the last of the waste so that it does not break off.");
        told.lines.push_back("Where it tears is told by a model that nobody has measured on your wood.");
        told.cautions = routing_cautions();
        for (const std::string& caution : hand_work_cautions()) told.cautions.push_back(caution);
        return told;
    }

    const OutlineStudy& study_;
    const Plan& plan_;
    const job::Job& job_;
    std::vector<SetUp> set_ups_;
    std::vector<Told> out_;
};

}  // namespace

std::string set_by_text(double mm, const units::LengthStyle& style) {
    constexpr double noticeable_mm = 0.01;
    const std::string shown = units::show(mm, style);
    return std::abs(units::write_length(mm, style).error_mm) > noticeable_mm ? fmt::format("{} ({:.2f} mm)", shown, mm)
                                                                             : shown;
}

std::vector<Told> outline_text(const OutlineStudy& study, const Plan& plan, const job::Job& job) {
    if (study.cuts.empty()) return {};
    return Teller(study, plan, job).all();
}

std::vector<std::string> outline_settings_text(const OutlineStudy& study, const job::Job& job) {
    std::vector<std::string> lines, order;
    for (const OutlineCut& cut : study.cuts) order.push_back(cut.name);
    if (order.size() > 1) lines.push_back(fmt::format("In this order: {}.", listed(order)));
    lines.push_back(fmt::format("Where more than that stands outside the line saw {} outside it first.",
                                units::show(study.reveal_mm, job.style)));
    for (const OutlineCut& cut : study.cuts)
        if (!cut.tools) lines.push_back(fmt::format("{}: by hand to the line.", capitalised(cut.name)));
    const auto set_ups = set_ups_of(study);
    for (const SetUp& set_up : set_ups) {
        const OutlineCut& c = *set_up.cuts.front();
        lines.push_back(fmt::format("{}{}, {}; template or straightedge {} inside the line.",
                                    set_ups.size() > 1 ? capitalised(listed(names_of(set_up))) + ": " : std::string(),
                                    c.tools->rider, c.tools->cutter,
                                    set_by_text(std::abs(c.tools->offset_mm()), job.style)));
        if (c.passes) lines.push_back(capitalised(depths_text(*c.passes, job.style)));
        if (c.speed) lines.push_back(speed_text(*c.speed));
    }
    if (study.diagonal_mm)
        lines.push_back(
            fmt::format("From corner to corner, both ways: {}.", units::show(*study.diagonal_mm, job.style)));
    if (study.trammel)
        lines.push_back(fmt::format("Or with a beam: {} from the pivot to the near side of the cutter.",
                                    set_by_text(study.trammel->near_mm(), job.style)));
    lines.push_back("Feed counter-clockwise around the top, seen from above.");
    for (const OutlineCut& cut : study.cuts)
        for (const auto& exit : cut.exits)
            lines.push_back(exit.taken_by.empty()
                                ? fmt::format("At the {}: clamp a backing.", exit.at)
                                : fmt::format("At the {} the splinters fall with the {}.", exit.at, exit.taken_by));
    return lines;
}

}  // namespace seamwright::plan::words
