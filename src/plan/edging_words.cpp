#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plan/edging_study.h"
#include "plan/words.h"

namespace seamwright::plan::words {
namespace {

class Teller {
  public:
    Teller(const SegmentedEdging& edging, const Plan& plan, const job::Job& job)
        : edging_(edging), ring_(edging.ring), plan_(plan), job_(job) {}

    Told ring() const {
        Told out{fmt::format("{}: a ring of {} segments", name(), ring_.segments.size()), {}, {}};
        out.lines.push_back(fmt::format(
            "{} wide, of {}, sawn from boards {} wide{}; the widest segment takes {}.", show(edging_.width_mm),
            piece().species, show(edging_.wish.board_width_mm),
            edging_.wish.board_length_mm ? fmt::format(" and {} long", show(*edging_.wish.board_length_mm)) : "",
            show(ring_.widest_mm)));
        out.lines.push_back(fmt::format(
            "Blanks are counted with {} beside and {} beyond each end; one after the other they take {} of board, of "
            "which {:.0f} % becomes ring.",
            show(edging_.wish.margin_mm), show(edging_.wish.end_margin_mm), show(ring_.board_length_mm),
            100.0 * ring_.yield));
        if (ring_.even) {
            const auto& s = ring_.segments.front();
            out.lines.push_back(
                fmt::format("All are alike: chord {}, rise of the outer arc {}, both ends sawn {} off square, longer "
                            "outside. All {} end angles add up to 360°.",
                            show(s.chord_mm), show(rise_of_outer(s)), degrees(s.start_rad), 2 * ring_.segments.size()));
            const auto [inside_mm, outside_mm] = mitred_mm(s);
            out.lines.push_back(fmt::format(
                "On the blank that is {} from mitre to mitre along its inner edge: set the stop by that. Along its "
                "outer "
                "edge it would be {}; where the blank ends sooner only tips are missing that lie outside the ring.",
                show(inside_mm), show(outside_mm)));
        } else {
            for (std::size_t i = 0; i < ring_.segments.size(); ++i) {
                const auto& s = ring_.segments[i];
                out.lines.push_back(fmt::format(
                    "Segment {}: chord {}, rise of the outer edge {}, ends sawn {} and {} off square; blank {} × {}.",
                    i + 1, show(s.chord_mm), show(rise_of_outer(s)), degrees(s.start_rad), degrees(s.end_rad),
                    show(s.board_length_mm), show(s.board_width_mm)));
            }
            out.lines.push_back(
                "The first angle is at the end that lies nearer to the segment before, counter-clockwise seen from "
                "above; all end angles add up to 360°.");
        }
        out.lines.push_back(
            fmt::format("Fibres run out of the outer edge at up to {} (at most {:.0f}°, common "
                        "practice, from memory).",
                        degrees(run_out_rad(ring_)), edging_.wish.run_out_rad * geometry::degrees_per_radian));
        if (!edging_.meetings.empty())
            out.lines.push_back(fmt::format("The nearest joint lies {} from where {} meets the ring.",
                                            show(ring_.nearest_seam_mm),
                                            edging_.meetings.front().joint ? "a joint of the ring inside" : "a seam"));
        for (const std::string& mind : ring_.mind) {
            // How the wood within moves is told with numbers, below.
            if (mind.find("Around solid wood") == std::string::npos) out.lines.push_back(mind);
        }
        return out;
    }

    Told work() const {
        Told out{"From segments to a ring", {}, {}};
        const std::size_t n = ring_.segments.size();
        const auto [least, most] = end_angles();
        out.lines.push_back(fmt::format(
            "Saw {} blanks, number them in the order of the ring as they come off the board, and draw an arrow along "
            "the face so that all lie with the same face up.",
            n));
        out.lines.push_back(
            most - least < 0.05 / geometry::degrees_per_radian
                ? fmt::format("Saw every end {} off square, longer outside; a stop that the sawn end "
                              "meets makes the inner edges alike. Try it on two scraps of each end first: an error of "
                              "0.1° is {:.1f}° once round.",
                              degrees(most), 0.1 * 2.0 * static_cast<double>(n))
                : fmt::format("Saw the ends off square by the angles of the table, {} to {}, longer "
                              "outside; keep each segment with its number.",
                              degrees(least), degrees(most)));
        out.lines.push_back(
            "Lay the whole ring out dry on a flat board over paper, a loose tongue or spline in each joint.");
        if (n % 2 == 0 && n >= 4) {
            out.lines.push_back(fmt::format(
                "Glue two halves, segments 1 to {} and {} to {}, each with the two open ends fitted dry against the "
                "other. When they have set, plane the four open ends on one straight line each until the halves close "
                "without light, then glue them (common practice).",
                n / 2, n / 2 + 1, n));
        } else {
            out.lines.push_back(
                "Glue all but one joint with a band clamp around the ring; when they have set, fit the last segment to "
                "the gap that is left and glue it in (common practice).");
        }
        out.lines.push_back(
            "A band clamp presses all joints at once; a strip of scrap under the band keeps it off the corners. Weigh "
            "the ring down flat, and wax or paper under it.");
        const double reveal = std::min(job_.limits.reveal_mm, edging_.wish.margin_mm);
        out.lines.push_back(fmt::format(
            "Leave the ring {} larger on both sides: saw it to that line, then rout its inner edge along the templates "
            "of {}. The outer edge is cut with the outline of the top, after it is glued on.",
            show(reveal), plan_.seams[edging_.seam].name));
        out.cautions.emplace_back(
            "Short pieces with slanted ends turn in the saw: hold them in a clamp or a jig against a stop, fingers a "
            "hand's width from the blade. What the maker of your saw says comes first.");
        return out;
    }

    Told movement(const MovementStudy& study) const {
        const RingMovement moves = ring_movement(edging_, plan_, study);
        Told out{"The ring and the wood within it", {}, {}};
        out.lines.emplace_back(
            "Along its fibres wood hardly moves, so the ring keeps its size the year round; what lies within it "
            "shrinks and swells across its own fibres.");
        if (!moves.known) {
            out.cautions.emplace_back(
                "Some wood within the ring is not in the tables. Glue the ring all round only to a core that does not "
                "move, such as veneered sheet.");
            return out;
        }
        const std::string against = fmt::format(
            "Over the year the field, {} across its fibres, wants to move {} against the ring: {} {} when "
            "it is driest, {} {} when it is dampest.",
            show(moves.across_mm), show(moves.damp_mm - moves.dry_mm),
            moves.dry_mm < 0.0 ? "it shrinks by" : "it swells by", show(std::abs(moves.dry_mm)),
            moves.damp_mm < 0.0 ? "it shrinks by" : "it swells by", show(std::abs(moves.damp_mm)));
        const std::string part = fmt::format(
            "Held fast by the ring that is {:.0f} % of what its wood bears across the fibres (a model: a "
            "ring that does not give; over months wood lets go of about half).",
            100.0 * moves.part_of_strength);
        if (moves.part_of_strength >= RingMovement::doubtful_part) {
            out.cautions.push_back(against);
            out.cautions.push_back(part);
            out.cautions.push_back(moves.part_of_strength >= RingMovement::splits_part
                                       ? fmt::format("Do not glue it on all round: {}.", breaks(moves))
                                       : fmt::format("Doubtful: in a hard season {}.", breaks(moves)));
            out.lines.push_back("What helps: " + ring_movement_remedy(moves, job_) + '.');
        } else {
            out.lines.push_back(against);
            out.lines.push_back(part);
        }
        if (moves.joint_mm > 0.0)
            out.lines.push_back(
                fmt::format("The segments themselves move across their width: each joint of the ring wants to open by "
                            "up to {} at one end in the worse season. The glue holds it closed.",
                            thin_text(moves.joint_mm, job_.style.unit)));
        return out;
    }

    static std::string breaks(const RingMovement& moves) {
        return moves.splits_dry ? "in the driest season the field splits or its seam opens"
                                : "in the dampest season the field pushes the joints of the ring open";
    }

  private:
    std::string show(double mm) const { return units::show(mm, job_.style); }
    static std::string degrees(double rad) { return fmt::format("{:.2f}°", rad * geometry::degrees_per_radian); }
    const PiecePlan& piece() const { return plan_.pieces[edging_.piece]; }
    std::string name() const { return capitalised(piece().name); }
    /// How far the outer edge rises over its chord.
    static double rise_of_outer(const process::EdgingSegment& s) {
        const Point out = -geometry::left_of(geometry::unit(s.fibre_rad));
        return geometry::dot(geometry::farthest(s.outer, out).point - s.outer.start(), out);
    }
    /// Of the blank with its ends sawn, along its inner and its outer edge.
    std::pair<double, double> mitred_mm(const process::EdgingSegment& s) const {
        const double per_mm = std::tan(s.start_rad) + std::tan(s.end_rad);
        const double outside = rise_of_outer(s) + edging_.wish.margin_mm;
        return {s.chord_mm - (s.board_width_mm - outside) * per_mm, s.chord_mm + outside * per_mm};
    }
    std::pair<double, double> end_angles() const {
        double least = HUGE_VAL, most = -HUGE_VAL;
        for (const auto& s : ring_.segments) {
            least = std::min({least, s.start_rad, s.end_rad});
            most = std::max({most, s.start_rad, s.end_rad});
        }
        return {least, most};
    }

    const SegmentedEdging& edging_;
    const process::EdgingPlan& ring_;
    const Plan& plan_;
    const job::Job& job_;
};

}  // namespace

std::string ring_movement_found(const RingMovement& moves, const Plan& plan, const job::Job& job) {
    const auto show = [&](double mm) { return units::show(mm, job.style); };
    return fmt::format(
        "edging \"{}\": a solid ring around solid wood. Across its fibres the field is {} and wants to move {} over "
        "the year, which the ring does not let it: {:.0f} % of what it bears; {}",
        plan.seams[moves.seam].name, show(moves.across_mm), show(moves.damp_mm - moves.dry_mm),
        100.0 * moves.part_of_strength, Teller::breaks(moves));
}

std::string ring_movement_remedy(const RingMovement& moves, const job::Job& job) {
    const auto show = [&](double mm) { return units::show(mm, job.style); };
    const double range = moves.damp_mm - moves.dry_mm;
    std::string out = fmt::format(
        "glue the ring only where the fibres of the field end on it, a hand's width to either side, and let the rest "
        "slide on a tongue with {} of room on both sides; or leave two joints of the ring open by that; or make the "
        "field of a core that does not move",
        show(0.5 * range));
    constexpr double worth_part = 0.9;
    if (moves.quarter_part < worth_part)
        out += fmt::format("; quarter-sawn wood would move {} instead of {}", show(moves.quarter_part * range),
                           show(range));
    return out;
}

std::vector<Told> edging_text(const SegmentedEdging& edging, const Plan& plan, const job::Job& job,
                              const MovementStudy& movement) {
    if (edging.ring.segments.empty()) return {};
    const Teller teller(edging, plan, job);
    return {teller.ring(), teller.work(), teller.movement(movement)};
}

Told ring_movement_text(const SegmentedEdging& edging, const Plan& plan, const MovementStudy& movement,
                        const job::Job& job) {
    if (edging.ring.segments.empty()) return {};
    return Teller(edging, plan, job).movement(movement);
}

Told ring_work_text(const SegmentedEdging& edging, const Plan& plan, const job::Job& job) {
    return Teller(edging, plan, job).work();
}

}  // namespace seamwright::plan::words
