#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "index_marks.h"
#include "plan/edging_study.h"
#include "plan/rough_cut_study.h"
#include "plan/words.h"

namespace seamwright::plan::words {
namespace {

/// Rounded up to what a tape measure shows.
double up_to_tape(double mm, const units::LengthStyle& style) {
    const double step = style.unit == units::Unit::inch ? 25.4 / 16.0 : 1.0;
    constexpr double hair = 1e-6;
    return step * std::ceil(mm / step - hair);
}

std::string listed(const std::vector<std::string>& list) {
    std::string out;
    for (std::size_t i = 0; i < list.size(); ++i)
        out += (i == 0 ? "" : i + 1 == list.size() ? " and " : ", ") + list[i];
    return out;
}

class Teller {
  public:
    Teller(const RoughCutStudy& study, const Plan& plan, const job::Job& job) : study_(study), plan_(plan), job_(job) {}

    Told piece(std::size_t p) const {
        const RoughPiece& rough = study_.pieces[p];
        Told out{fmt::format("{}: rough cut and fastening", capitalised(plan_.pieces[p].name)), {}, {}};
        if (const SegmentedEdging* edging = segmented(plan_, p)) {
            out.lines.push_back(fmt::format(
                "Glue it up from its {} segments first, and leave {} beside the finished ring, inside and outside.",
                edging->ring.segments.size(), show(rough.margin_mm)));
        } else {
            out.lines.push_back(
                fmt::format("Saw it {} × {}: {} beyond the finished wood at both ends along the fibres, {} "
                            "beside.",
                            show(rough.length_mm), show(rough.width_mm), show(rough.ends_mm), show(rough.margin_mm)));
        }
        for (const std::size_t i : rough.cuts) tell(study_.cuts[i], out);
        return out;
    }

    void marks(Told& out) const {
        for (std::size_t s = 0; s < plan_.seams.size(); ++s) {
            std::vector<std::string> places;
            double bare = HUGE_VAL;
            for (const IndexMark& mark : study_.marks) {
                if (mark.seam != s) continue;
                places.push_back(show(mark.at_mm));
                bare = std::min({bare, mark.left_mm, mark.right_mm});
            }
            if (places.size() < 2) continue;
            const SeamPlan& seam = plan_.seams[s];
            const std::string from = seam.in_wood.closed
                                         ? "where its templates are marked: at "
                                         : "from its " + end_name(seam.in_wood.start(), plan_) + ": at ";
            std::string line =
                fmt::format("{}: index marks along the seam, {}{}.", capitalised(seam.name), from, listed(places));
            line += bare > 0.0 ? " Before you lift a template, carry its lines on to the bare wood beside it."
                               : " There is no bare wood beside a template that rides flush: carry its lines down the "
                                 "cut edge with a square.";
            out.lines.push_back(std::move(line));
        }
    }

  private:
    std::string show(double mm) const { return units::show(mm, job_.style); }

    void tell(const RoughCut& cut, Told& out) const {
        const SeamPlan& seam = plan_.seams[cut.seam];
        const std::string name = capitalised(seam.name);
        if (cut.from_waste) {
            out.cautions.push_back(fmt::format(
                "{}: the template lies on the waste. Leave {} of wood beyond this edge for it, or lay packing as thick "
                "as the wood under it, and screw or clamp it there.",
                name, show(cut.offset_mm + 2.0 * study_.rules.from_edge_mm)));
        } else {
            saw(cut, name, out);
        }
        lead(cut, name, out);
        hold(cut, name, out);
    }

    void saw(const RoughCut& cut, const std::string& name, Told& out) const {
        std::string line = fmt::format("{}: saw {} outside the finished edge", name, show(cut.reveal_mm));
        if (cut.margin_mm < cut.reveal_mm)
            line += fmt::format(" ({} where the wood left around the piece is no more)", show(cut.margin_mm));
        switch (cut.reveal) {
            case process::Reveal::one_groove:
                out.lines.push_back(line + fmt::format("; one groove of the {} cutter takes it.", show(cut.cutter_mm)));
                break;
            case process::Reveal::leaves_strip:
                out.lines.push_back(line + '.');
                out.cautions.push_back(fmt::format(
                    "{}: a strip of {} stays standing beyond the groove of the {} cutter and comes loose, where it can "
                    "be thrown. Saw no more than {} outside the edge (\"reveal\").",
                    name, show(cut.reveal_mm - cut.cutter_mm), show(cut.cutter_mm), show(cut.cutter_mm)));
                break;
            default:
                out.lines.push_back(line + '.');
                out.cautions.push_back(
                    fmt::format("{}: that is less than {}, and the cutter may not reach below the marks of the saw.",
                                name, show(study_.rules.least_reveal_mm)));
        }
        if (cut.margin_mm < study_.rules.least_reveal_mm && cut.reveal != process::Reveal::too_little)
            out.cautions.push_back(fmt::format(
                "{}: only {} of wood is left around the piece (\"margin\"), and the cutter may not reach below the "
                "marks of the saw.",
                name, show(cut.margin_mm)));
    }

    void lead(const RoughCut& cut, const std::string& name, Told& out) const {
        if (cut.ends.empty()) return;
        const auto& ends = cut.ends;
        const auto longest = std::max_element(ends.begin(), ends.end(),
                                              [](const CutEnd& a, const CutEnd& b) { return a.lead_mm < b.lead_mm; });
        const bool outside = std::all_of(ends.begin(), ends.end(), [](const CutEnd& end) { return end.from_outside; });
        out.lines.push_back(fmt::format(
            "{}: start and stop with the middle of the cutter at least {} past the finished wood, at either end. {}",
            name, lead_text(*longest, job_.style),
            outside ? "Better still beyond the rough wood: the template reaches so far."
                    : "Lower it into the waste there: the template does not carry the router past the rough wood. "
                      "What is left standing at the ends is sawn off flush before the two are pushed together."));
        for (const CutEnd& end : ends) {
            if (end.held) continue;
            out.cautions.push_back(fmt::format(
                "{}, {}: the template reaches {} past the wood; for the {} guide and a base of {} it takes {} "
                "(\"run_out\"), or the router tips.",
                name, end_name(end.finished, plan_), show(job_.sheet.run_out_mm), show(cut.guide_mm),
                show(study_.rules.base_mm), show(up_to_tape(end.run_out_mm, job_.style))));
        }
    }

    void hold(const RoughCut& cut, const std::string& name, Told& out) const {
        if (cut.ends.empty()) {
            out.lines.push_back(
                fmt::format("{}: there is no waste under the template; hold it with double-sided tape "
                            "at the places marked, or with clamps out of the router's way.",
                            name));
            return;
        }
        for (const CutEnd& end : cut.ends) {
            if (end.screws.empty()) {
                no_screw(cut, end, name, out);
            } else {
                screws(end, name, out);
            }
        }
        if (cut.screws() == 1)
            out.cautions.push_back(
                fmt::format("{}: about one screw alone the template can turn; clamp its other end as well.", name));
        if (!cut.tape.empty())
            out.lines.push_back(fmt::format(
                "{}: between the ends double-sided tape or clamps at the {} marked; no screws, the wood there is "
                "finished.",
                name, times(cut.tape.size(), "place", "places")));
    }

    void screws(const CutEnd& end, const std::string& name, Told& out) const {
        std::string places;
        double nearest = HUGE_VAL;
        for (const CutEnd::Screw& screw : end.screws) {
            places += fmt::format("{}{} past the end and {} from the cut", places.empty() ? "" : "; ",
                                  show(screw.past_end_mm), show(screw.off_seam_mm));
            nearest = std::min(nearest, screw.off_cutter_mm);
        }
        out.lines.push_back(fmt::format("{}, {}: {} in the waste, {}. The middle of no cutter comes nearer than {}.",
                                        name, end_name(end.finished, plan_),
                                        times(end.screws.size(), "screw", "screws"), places, show(nearest)));
    }

    void no_screw(const RoughCut& cut, const CutEnd& end, const std::string& name, Told& out) const {
        const std::string where = end_name(end.finished, plan_);
        if (!end.ends_mm) {
            out.cautions.push_back(fmt::format(
                "{}, {}: longer ends make no room for a screw here; hold the template with tape and clamps.", name,
                where));
            return;
        }
        const double there = study_.pieces[cut.piece].ends_mm, wanted = up_to_tape(*end.ends_mm, job_.style);
        out.cautions.push_back(
            fmt::format("{}, {}: no room for a screw in {} of waste. Leave {} at the ends (\"ends\"), {} more; or hold "
                        "the template "
                        "with tape and clamps.",
                        name, where, show(there), show(wanted), show(wanted - there)));
    }

    const RoughCutStudy& study_;
    const Plan& plan_;
    const job::Job& job_;
};

}  // namespace

std::string holding_text(const RoughCut& cut) {
    const std::size_t count = cut.screws();
    if (count == 0) return "tape or clamps";
    return times(count, "screw", "screws") + " in the waste";
}

std::string end_name(Point at, const Plan& plan) {
    const geometry::Box& box = plan.box;
    const std::array<std::pair<double, const char*>, 4> sides{{{at.x - box.low.x, "left end"},
                                                               {box.high.x - at.x, "right end"},
                                                               {at.y - box.low.y, "front"},
                                                               {box.high.y - at.y, "back"}}};
    return std::min_element(sides.begin(), sides.end(), [](const auto& a, const auto& b) { return a.first < b.first; })
        ->second;
}

std::string lead_text(const CutEnd& end, const units::LengthStyle& style) {
    return units::show(up_to_tape(end.lead_mm, style), style);
}

std::string screw_text(const CutEnd::Screw& screw, const units::LengthStyle& style) {
    return fmt::format("screw: waste, {} past the end", units::show(screw.past_end_mm, style));
}

Told rough_piece_text(const RoughCutStudy& study, std::size_t piece, const Plan& plan, const job::Job& job) {
    return Teller(study, plan, job).piece(piece);
}

Told fastening_text(const RoughCutStudy& study, const Plan& plan, const job::Job& job) {
    Told out{"Fastening and marking", {}, {}};
    if (study.cuts.empty()) return out;
    const auto show = [&](double mm) { return units::show(mm, job.style); };
    const bool screws =
        std::any_of(study.cuts.begin(), study.cuts.end(), [](const RoughCut& cut) { return cut.screws() > 0; });
    if (screws) {
        out.lines.push_back(fmt::format(
            "Screws of {} with heads of {} or less: drill ahead, sink the heads below the face of the template so that "
            "the router's base slides over them, and let them into the wood, not through it (template {}, wood {}).",
            show(study.rules.screw_mm), show(study.rules.head_mm), show(job.sheet.thickness_mm),
            show(plan.thickness_mm)));
        out.lines.push_back(fmt::format(
            "Each stands in waste: at least {} off the finished wood, {} off every edge of wood and template, and "
            "clear "
            "of every cutter by {} beyond head and cutter. Take the screws out before any saw comes near; a hole in "
            "the "
            "waste does no harm.",
            show(study.rules.off_finished_mm()), show(study.rules.from_edge_mm), show(study.rules.reserve_mm)));
    }
    Teller(study, plan, job).marks(out);
    if (!study.marks.empty())
        out.lines.push_back(
            "Pencil, not a knife: the marks lie on the kept face beside the edge, where saw and cutter do not come; "
            "sanding takes them off after the glue-up. They are spaced unevenly, so a piece turned round shows at "
            "once.");
    out.lines.push_back(fmt::format(
        "Sizes of screws, clearances and a router base of {} are common practice, from memory; measure yours.",
        show(study.rules.base_mm)));
    out.cautions.push_back(
        "Screws and cutter must never meet. With the router unplugged, set on the template and lowered, turn the "
        "cutter "
        "by hand past every screw before you switch on.");
    out.cautions.push_back(
        "Hold work and template so that neither can move, and feed against the turn of the cutter. What the makers of "
        "router, cutter and saw tell you comes first.");
    return out;
}

}  // namespace seamwright::plan::words
