#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "plan/feed_study.h"
#include "plan/words.h"

namespace seamwright::plan::words {
namespace {

using process::FeedCaution;
using process::FeedRun;
using process::FeedWay;
using process::TearRemedy;

class Words {
  public:
    Words(const RoutedEdge& edge, const Plan& plan, const job::Job& job) : edge_(edge), job_(job) {
        start_ = end_name(edge.edge.start(), plan);
        end_ = end_name(edge.edge.end(), plan);
        length_mm_ = geometry::length_mm(edge.edge);
    }

    std::string measured_from() const {
        if (!edge_.edge.closed) return "its " + start_;
        return fmt::format("the mark 0 in the picture, {} as seen from above",
                           geometry::area_mm2(edge_.edge) > 0.0 ? "counter-clockwise" : "clockwise");
    }

    std::string place(double mm) const {
        if (!edge_.edge.closed && mm < 0.5) return "the " + start_;
        if (!edge_.edge.closed && mm > length_mm_ - 0.5) return "the " + end_;
        return units::show(mm, job_.style);
    }

    std::string stroke(const FeedRun& run) const {
        std::string line;
        switch (run.way) {
            case FeedWay::conventional:
                line = "Conventional";
                break;
            case FeedWay::conventional_skim:
                line = fmt::format("A skim of {} at most, conventional", skim());
                break;
            case FeedWay::climb_skim:
                line = fmt::format("A skim of {} at most, as a climb cut", skim());
                break;
        }
        if (run.from_mm == run.to_mm) {
            line += fmt::format(": all the way round, from {}", place(run.from_mm));
        } else {
            line += fmt::format(": from {} to {}", place(run.set_in_mm()), place(run.lift_out_mm()));
        }
        if (run.way != FeedWay::conventional)
            line += fmt::format("; the fibres dive under the edge, at up to {:.0f}°",
                                std::abs(run.worst_phi_rad) * geometry::degrees_per_radian);
        if (run.backed) line += "; with a backing at its end";
        return line + '.';
    }

    std::string skim() const { return units::show(process::most_skim_mm, job_.style); }

    std::string exit(const process::ExitCorner& corner) const {
        return fmt::format("At {} the teeth leave end grain that nothing holds: clamp a backing there{}.",
                           place(corner.at_mm),
                           corner.at_end ? "" : ", or cut the other side of that corner after this one");
    }

    /// Length that tears, and what helps.
    void tears(Told& told) const {
        double tears = 0.0, care = 0.0;
        for (const auto& stretch : edge_.feed.stretches) {
            if (stretch.zone == process::TearZone::tears) tears += stretch.length_mm;
            if (stretch.zone == process::TearZone::care) care += stretch.length_mm;
        }
        const auto show = [&](double mm) { return units::show(mm, job_.style); };
        if (tears < 1.0) {
            told.lines.push_back(care < 1.0 ? "Nowhere do the fibres dive under the edge: it should come clean."
                                            : fmt::format("Along {} of it feed slowly and steadily; nothing there is "
                                                          "expected to tear.",
                                                          show(care)));
            return;
        }
        std::string line = fmt::format("Along {} of {} the wood is expected to tear", show(tears), show(length_mm_));
        if (edge_.both_tear_mm > 1.0)
            line += fmt::format("; along {} of that so does the other piece", show(edge_.both_tear_mm));
        told.lines.push_back(line + '.');
        if (edge_.feed.turn_over) {
            told.lines.push_back(
                fmt::format("Turned over, with its template, only {} of it would: cut this piece with its face down if "
                            "the chain of "
                            "templates allows it.",
                            show(edge_.feed.faces.tears_down_mm)));
        }
        told.lines.push_back(
            job_.limits.skim_mm > 0.0
                ? fmt::format("Your last skim of {} finishes it; where it tears, feed the passes before it as below.",
                              show(job_.limits.skim_mm))
                : leave_skim_text(job_));
    }

  private:
    const RoutedEdge& edge_;
    const job::Job& job_;
    std::string start_, end_;
    double length_mm_ = 0.0;
};

std::string says(FeedCaution caution) {
    switch (caution) {
        case FeedCaution::model_not_measured:
            return "Where it tears is told by a model that nobody has measured on your wood: try an offcut, or rout a "
                   "disc of the board all round and look where it tore.";
        case FeedCaution::makers_instructions:
            return "What the makers of router and cutter say comes first.";
        case FeedCaution::hold_work_and_template:
            return "Work and template must be held so that neither can move.";
        case FeedCaution::both_hands:
            return "Both hands on the router, and a sure stand.";
        case FeedCaution::climb_pulls:
            return "A climb cut pulls the router forward: it can run away. Take it only where it is asked for, slowly.";
        case FeedCaution::climb_skim_only:
            return "Never take more than a skim as a climb cut.";
        case FeedCaution::no_climb_on_table:
            return "Never as a climb cut on a router table.";
        case FeedCaution::no_climb_when_loose:
            return "Never as a climb cut on a small part, or one that is not held fast.";
        case FeedCaution::back_up_exit:
            return "Clamp the backing tight against the end before the cutter gets there.";
        case FeedCaution::template_turned_too:
            return "Turned face down, the template is turned with the piece.";
    }
    return "";
}

}  // namespace

std::string leave_skim_text(const job::Job& job) {
    const std::string skim = units::show(process::most_skim_mm, job.style);
    return fmt::format(
        "All passes with tape on the edge of the template, {} thick in all, along the whole edge and "
        "conventional; then without the tape the last {} at full depth, by the strokes told here. "
        "Sawing closer there, to {} outside, leaves less to tear.",
        skim, skim, units::show(least_reveal_mm(job), job.style));
}

double least_reveal_mm(const job::Job& job) {
    return 0.3 * job.limits.reveal_mm;
}

Told feed_text(const RoutedEdge& edge, const Plan& plan, const job::Job& job) {
    const Words words(edge, plan, job);
    Told told{fmt::format("{}, {}: feeding the router", capitalised(plan.seams[edge.seam].name),
                          plan.pieces[edge.piece].name),
              {},
              {}};
    words.tears(told);
    told.lines.push_back(fmt::format("Places are measured along the edge from {}.", words.measured_from()));
    std::size_t number = 0;
    for (const FeedRun& run : edge.feed.runs) told.lines.push_back(fmt::format("{}. {}", ++number, words.stroke(run)));
    for (const auto& corner : edge.feed.exits) told.lines.push_back(words.exit(corner));
    return told;
}

std::string disc_name(const shelf::Disc& disc) {
    return disc.on.empty() ? fmt::format("the disc of {}", disc.species)
                           : fmt::format("the disc of {} of {}", disc.species, disc.on);
}

std::string way_text(process::FeedWay way) {
    switch (way) {
        case FeedWay::conventional:
            return "conventional";
        case FeedWay::conventional_skim:
            return "skim, conventional";
        case FeedWay::climb_skim:
            return "climb, skim only";
    }
    return "";
}

std::vector<std::string> tear_lines(const SpeciesTear& tear, const shelf::Shelf& shelf,
                                    const units::LengthStyle& style) {
    if (tear.discs.empty()) {
        return {
            fmt::format("{}: where it tears is told by a model that nobody has measured; there is no disc of this "
                        "wood on the shelf.",
                        capitalised(tear.species.empty() ? "this wood" : tear.species))};
    }
    std::vector<std::string> lines;
    std::string names;
    for (const std::size_t i : tear.discs) names += (names.empty() ? "" : " and ") + disc_name(shelf.discs[i]);
    const shelf::Disc& newest = shelf.discs[tear.discs.back()];
    lines.push_back(fmt::format(
        "{}: the model is corrected by {} ({} cutter, {} taken off{}). Angles without a mark on it are the model's "
        "still.",
        capitalised(tear.species), names, units::show(newest.cutter_mm, style), units::show(newest.side_cut_mm, style),
        newest.on_table ? ", on a router table" : ""));
    for (const auto& apart : tear.disagree) {
        const auto degrees = [](double rad) { return std::round(rad * geometry::degrees_per_radian); };
        const auto angle = [&](double rad) {
            const double d = degrees(rad);
            return d < 0.0   ? fmt::format("{:.0f}° against", -d)
                   : d > 0.0 ? fmt::format("{:.0f}° with", d)
                             : std::string("along");
        };
        lines.push_back(
            fmt::format("Marks on {} say different things of one angle, from {} to {} the grain: the worse was "
                        "believed. Look again "
                        "at the rim, or rout another.",
                        disc_name(shelf.discs[apart.disc]), angle(apart.angles.from_rad), angle(apart.angles.to_rad)));
    }
    return lines;
}

Told feed_cautions_text(const FeedStudy& study, const shelf::Shelf& shelf, const units::LengthStyle& style) {
    Told told{"Feeding: what to mind", {}, {}};
    told.lines.push_back(
        "Conventional: the router is pushed against the way the cutter's teeth pull, so that it stays "
        "in your hands. Seen from above that is counter-clockwise around the outside of a piece.");
    told.lines.push_back(study.from_boards ? "Fibres are taken as they run on the boards the pieces come from."
                                           : "Fibres are taken as the job says; with boards on the shelf, as they run "
                                             "there.");
    for (const SpeciesTear& tear : study.tears)
        for (std::string& line : tear_lines(tear, shelf, style)) told.lines.push_back(std::move(line));
    std::array<bool, 10> said{};
    for (const RoutedEdge& edge : study.edges)
        for (const FeedCaution caution : edge.feed.cautions) said.at(static_cast<std::size_t>(caution)) = true;
    const bool all_measured = std::none_of(study.tears.begin(), study.tears.end(),
                                           [](const SpeciesTear& tear) { return tear.discs.empty(); });
    if (all_measured) said.at(static_cast<std::size_t>(FeedCaution::model_not_measured)) = false;
    for (std::size_t i = 0; i < said.size(); ++i)
        if (said[i]) told.cautions.push_back(says(static_cast<FeedCaution>(i)));
    return told;
}

}  // namespace seamwright::plan::words
