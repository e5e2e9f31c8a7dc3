#include "plan/body_study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "plan/edging_study.h"
#include "plan/words.h"
#include "wood/cup.h"
#include "wood/elastic.h"
#include "wood/movement.h"
#include "wood/strength.h"

namespace seamwright::plan {
namespace {

/// The outline of each piece of the mesh, its nodes moved.
std::vector<Path> moved_outlines(const wood::BodyMesh& mesh, const std::vector<Point>& moves, double times) {
    std::vector<Path> out;
    std::size_t pieces = 0;
    for (const auto& t : mesh.triangles) pieces = std::max(pieces, std::size_t{t.piece} + 1);
    for (std::size_t piece = 0; piece < pieces; ++piece) {
        // Sides that no other triangle of the piece has run the other way.
        std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> sides;
        for (const auto& t : mesh.triangles) {
            if (t.piece != piece) continue;
            for (std::size_t k = 0; k < 3; ++k) {
                const std::uint32_t a = t.node[k], b = t.node[(k + 1) % 3];
                if (sides.erase({b, a}) == 0) sides[{a, b}] = t.node[3 + k];
            }
        }
        std::map<std::uint32_t, std::pair<std::uint32_t, std::uint32_t>> next;  // from: to, middle
        for (const auto& [side, middle] : sides) next[side.first] = {side.second, middle};
        const auto place = [&](std::uint32_t n) { return mesh.nodes[n] + times * moves[n]; };
        while (!next.empty()) {
            std::vector<Point> points;
            std::uint32_t at = next.begin()->first;
            for (auto step = next.find(at); step != next.end(); step = next.find(at)) {
                points.push_back(place(at));
                points.push_back(place(step->second.second));
                at = step->second.first;
                next.erase(step);
            }
            out.push_back(geometry::polyline(points, true));
        }
    }
    return out;
}

/// A round number of times as far, so that the largest move is seen.
double times_for(double largest_mm, double length_mm) {
    constexpr double seen_part = 0.03;
    const double wanted = largest_mm > 0.0 ? seen_part * length_mm / largest_mm : 1.0;
    double times = 1.0;
    for (const double round : {2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0})
        if (round <= wanted) times = round;
    return times;
}

SeasonBody season(const std::string& name, const wood::PanelBody& body, const std::vector<wood::FreeStrain>& strains,
                  const Plan& plan) {
    SeasonBody out;
    out.name = name;
    out.answer = body.change(strains);
    for (const auto& seam : out.answer.seams) {
        SeasonBody::Seam most;
        const double whole = seam.length.before_mm;
        for (const auto& row : seam.rows) {
            const bool end = seam.rise && std::min(row.at_mm, whole - row.at_mm) < BodyStudy::end_mm;
            if (end) {
                most.end_opening_mpa = std::max(most.end_opening_mpa, row.opening_mpa);
                continue;
            }
            if (row.opening_mpa > most.opening_mpa) {
                most.opening_mpa = row.opening_mpa;
                most.opening_at_mm = row.at_mm;
            }
            most.shear_mpa = std::max(most.shear_mpa, std::abs(row.shear_mpa));
        }
        out.seams.push_back(most);
    }
    out.times = times_for(out.answer.largest_move_mm, plan.box.width_mm());
    out.outlines = moved_outlines(body.mesh(), out.answer.moves, out.times);
    out.box = plan.box;
    for (const Path& path : out.outlines) {
        const geometry::Box b = geometry::bounding_box(path);
        out.box.low = {std::min(out.box.low.x, b.low.x), std::min(out.box.low.y, b.low.y)};
        out.box.high = {std::max(out.box.high.x, b.high.x), std::max(out.box.high.y, b.high.y)};
    }
    return out;
}

}  // namespace

std::variant<BodyStudy, std::string> study_body(const Plan& plan, const MovementStudy& movement,
                                                const BoardsStudy* boards) {
    std::vector<wood::BodyPiece> pieces;
    std::vector<wood::FreeStrain> dry, damp;
    BodyStudy out;
    for (std::size_t i = 0; i < plan.pieces.size(); ++i) {
        if (segmented(plan, i) != nullptr) {
            return fmt::format(
                "The top is not followed as one body: the fibres of {} go round with its segments. What it does to the "
                "wood within is told with the ring.",
                plan.pieces[i].name);
        }
        const PieceMovement& moves = movement.pieces[i];
        const auto rings = moves.sawn == shelf::Sawn::quarter ? wood::Rings::quarter : wood::Rings::flat;
        const auto elastic = wood::plane_elastic(plan.pieces[i].species, rings);
        if (!elastic || !moves.known) {
            return fmt::format("The wood of {} is not in the tables: what the seams do to it cannot be told.",
                               plan.pieces[i].name);
        }
        out.assumed = out.assumed || elastic->from_memory || elastic->of_group;
        pieces.push_back({plan.pieces[i].region, *elastic, plan.pieces[i].grain_rad});
        dry.push_back({along_per_point * (movement.dry_percent - moves.made_percent), moves.dry_part});
        damp.push_back({along_per_point * (movement.damp_percent - moves.made_percent), moves.damp_part});
    }
    if (pieces.empty()) return std::string("The top has no pieces yet.");
    std::vector<wood::BodySeam> seams;
    for (std::size_t s = 0; s < plan.seams.size(); ++s) {
        if (plan.seams[s].in_wood.empty()) continue;
        seams.push_back({plan.seams[s].in_wood, plan.seams[s].name});
        out.seams.push_back(s);
    }
    const auto body = wood::PanelBody::make(pieces, seams);
    if (const auto* why = std::get_if<wood::BodyProblem>(&body)) return why->reason + ' ' + why->remedy;
    const auto& panel = std::get<wood::PanelBody>(body);
    out.seasons.push_back(season("driest", panel, dry, plan));
    out.seasons.push_back(season("dampest", panel, damp, plan));
    for (std::size_t i = 0; i < plan.pieces.size(); ++i) {
        const PieceMovement& moves = movement.pieces[i];
        const bool strips = boards != nullptr && std::any_of(boards->glued_up.begin(), boards->glued_up.end(),
                                                             [&](const GluedUp& g) { return g.piece == i; });
        const auto known = wood::movement_of(plan.pieces[i].species);
        // Rings are made of segments, and what is wider than boards are is glued up.
        constexpr double widest_board_mm = 350.0;
        const bool one = plan.pieces[i].region.holes.empty() && moves.width_mm <= widest_board_mm;
        if (moves.sawn != shelf::Sawn::flat || strips || !one || !known) continue;
        const wood::FlatSawnBoard board{moves.width_mm, plan.thickness_mm, pith_below_mm};
        const auto rise = [&](double to_percent) {
            return wood::ring_cup(board, wood::change_part(*known, known->radial, moves.made_percent, to_percent),
                                  wood::change_part(*known, known->tangential, moves.made_percent, to_percent))
                .rise_mm;
        };
        out.cups.push_back({i, moves.width_mm, rise(movement.dry_percent), rise(movement.damp_percent)});
    }
    return out;
}

namespace words {

std::string season_text(const SeasonBody& season) {
    return fmt::format("When it is {}: moved {:.0f} times as far as it does; broken: as made", season.name,
                       season.times);
}

std::vector<Told> body_text(const BodyStudy& study, const Plan& plan, const job::Job& job) {
    const auto thin = [&](double mm) { return thin_text(std::abs(mm), job.style.unit); };
    const auto show = [&](double mm) { return units::show(mm, job.style); };
    Told held{"Held together by its seams", {}, {}};
    constexpr double lasting_share = 0.5;
    for (const SeasonBody& season : study.seasons) {
        const auto& answer = season.answer;
        const double most = answer.most_width_change.size.change_mm(),
                     least = answer.least_width_change.size.change_mm();
        const bool shrinks = most < 0.0;
        held.lines.push_back(
            fmt::format("When it is {} the glued top is {} {} in its width at most ({} from its left "
                        "end) and {} at least, and {} {} in its length.",
                        season.name, thin(most), shrinks ? "narrower" : "wider",
                        show(answer.most_width_change.at_mm - plan.box.low.x), thin(least),
                        thin(answer.length.change_mm()), answer.length.change_mm() < 0.0 ? "shorter" : "longer"));
        const auto bowed = std::max_element(
            answer.outer_edges.begin(), answer.outer_edges.end(),
            [](const auto& a, const auto& b) { return std::abs(a.shape.spread_mm()) < std::abs(b.shape.spread_mm()); });
        if (bowed != answer.outer_edges.end()) {
            held.lines.push_back(
                fmt::format("Then no edge goes out of its shape by more than {}.", thin(bowed->shape.spread_mm())));
        }
        for (std::size_t k = 0; k < season.seams.size(); ++k) {
            const SeasonBody::Seam& seam = season.seams[k];
            const SeamPlan& planned = plan.seams[study.seams[k]];
            held.lines.push_back(fmt::format(
                "{}: shears by up to {} and is pulled open by up to {}{}; its line goes out of shape by {}.",
                capitalised(planned.name), pressure_text(seam.shear_mpa, job.style.unit),
                pressure_text(seam.opening_mpa, job.style.unit),
                seam.end_opening_mpa > seam.opening_mpa
                    ? fmt::format(", near its ends by {}", pressure_text(seam.end_opening_mpa, job.style.unit))
                    : std::string(),
                thin(answer.seams[k].shape.spread_mm())));
            // The weaker of both sides, seam along the grain; what lasts is less than what breaks at once.
            double bears = HUGE_VAL;
            for (const std::size_t side : {answer.seams[k].left_piece, answer.seams[k].right_piece}) {
                if (side >= plan.pieces.size()) continue;
                if (const auto strength = wood::joint_strength(plan.pieces[side].species, 0.0))
                    bears = std::min(bears, strength->joint_tension_mpa);
            }
            if (std::max(seam.opening_mpa, seam.end_opening_mpa) > lasting_share * bears) {
                held.cautions.push_back(fmt::format(
                    "{} is pulled more than half as hard as the weaker wood beside it bears across its grain, {}: it "
                    "may open in the {} season. Choose woods that move alike, quarter-sawn boards, or a start nearer "
                    "the middle of the year.",
                    capitalised(planned.name), pressure_text(bears, job.style.unit), season.name));
            }
        }
    }
    held.lines.push_back(fmt::format(
        "These are means over 10 mm, more than {} from the ends where nothing else is said: at the very end of a seam "
        "and at a corner the stress has no finite value. Held for months, wood lets go of about half of it{}.",
        show(BodyStudy::end_mm), study.assumed ? " (stiffness partly from memory)" : ""));
    std::vector<Told> out{std::move(held)};
    Told flat{"Will it stay flat?", {}, {}};
    for (const auto& cup : study.cups) {
        const double dry = cup.dry_mm, damp = cup.damp_mm;
        flat.lines.push_back(fmt::format(
            "{}, flat-sawn and {} wide, would by itself go {} by {} on the side away from the heart when it is driest, "
            "and {} by {} when it is dampest.",
            capitalised(plan.pieces[cup.piece].name), show(cup.width_mm), dry > 0.0 ? "hollow" : "round", thin(dry),
            damp > 0.0 ? "hollow" : "round", thin(damp)));
    }
    if (!flat.lines.empty()) {
        flat.lines.push_back(
            fmt::format("A model: rings about a heart {} below the board, which nobody has measured. "
                        "Let the same air at both faces, and finish both alike.",
                        show(pith_below_mm)));
        out.push_back(std::move(flat));
    }
    return out;
}

}  // namespace words
}  // namespace seamwright::plan
