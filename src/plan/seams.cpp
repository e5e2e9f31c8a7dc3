#include "seams.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "geometry/parallel.h"
#include "places.h"

namespace seamwright::plan {
namespace {

using curves::Drawn;
using geometry::Path;
using geometry::Region;
using geometry::SplitProblem;
using job::Problem;
using job::SeamKind;
using Kind = SplitProblem::Kind;

std::string pointer(std::size_t seam, const char* key) {
    return fmt::format("/seams/{}{}", seam, key);
}

/// The same curve travelled the other way.
Drawn turned_round(const Drawn& drawn) {
    const double length_mm = geometry::length_mm(drawn.path);
    Drawn turned;
    turned.path = geometry::reversed(drawn.path);
    turned.bound_mm = drawn.bound_mm;
    for (auto it = drawn.curvature.rbegin(); it != drawn.curvature.rend(); ++it)
        turned.curvature.push_back({length_mm - it->at_mm, -it->curvature});
    const auto other = [&](std::optional<Drawn::Tightest> tightest) {
        if (tightest) {
            tightest->at_mm = length_mm - tightest->at_mm;
            tightest->turns_left = !tightest->turns_left;
        }
        return tightest;
    };
    turned.tightest_left = other(drawn.tightest_right);
    turned.tightest_right = other(drawn.tightest_left);
    for (auto it = drawn.inflections_mm.rbegin(); it != drawn.inflections_mm.rend(); ++it)
        turned.inflections_mm.push_back(length_mm - *it);
    if (drawn.trace) turned.trace = {drawn.trace->rms_mm, -drawn.trace->largest_mm, length_mm - drawn.trace->at_mm};
    return turned;
}

class SeamLayer {
  public:
    SeamLayer(const job::Job& job, const Path& outline, const Made* before, std::vector<Problem>& problems)
        : job_(job), outline_(outline), before_(before), problems_(problems) {}

    std::optional<Layout> lay() {
        for (std::size_t i = 0; i < job_.seams.size(); ++i) {
            auto drawn = job_.seams[i].kind == SeamKind::edging ? edging(i) : curve(i);
            if (!drawn) continue;
            LaidSeam seam;
            seam.index = i;
            if (job_.seams[i].eased) {
                if (!ease(i, *drawn, seam)) continue;
            } else {
                seam.drawn = std::move(*drawn);
            }
            layout_.seams.push_back(std::move(seam));
        }
        if (layout_.seams.size() != job_.seams.size()) return std::nullopt;
        Region field{outline_, {}};
        if (!cut_edgings(field) || !cut_field(field)) return std::nullopt;
        return std::move(layout_);
    }

  private:
    std::optional<Drawn> curve(std::size_t i) {
        const job::Seam& seam = job_.seams[i];
        auto result = curves::draw(seam.curve);
        if (auto* refused = std::get_if<curves::CurveProblem>(&result)) {
            problems_.push_back({Problem::Weight::error, pointer(i, "/curve"), refused->reason,
                                 "a line that can be drawn", refused->remedy, refused->at});
            return std::nullopt;
        }
        auto& drawn = std::get<Drawn>(result);
        const bool wants_closed = seam.kind == SeamKind::inlay;
        if (drawn.path.closed != wants_closed) {
            problems_.push_back({Problem::Weight::error, pointer(i, "/curve"),
                                 wants_closed ? "an inlay seam with two ends" : "an open seam that closes on itself",
                                 wants_closed ? "a line that closes on itself" : "a line with two ends",
                                 wants_closed ? "close the line, or call the seam open" : "call the seam an inlay",
                                 drawn.path.start()});
            return std::nullopt;
        }
        if (drawn.path.closed && geometry::area_mm2(drawn.path) < 0.0) return turned_round(drawn);
        return std::move(drawn);
    }

    /// The fairest curve near the drawn one that turns no tighter than asked.
    bool ease(std::size_t i, const Drawn& drawn, LaidSeam& seam) {
        const job::Easing& asked = *job_.seams[i].eased;
        if (const SeamPlan* was = eased_before(i, drawn)) {
            seam.eased = was->eased;
            seam.drawn = was->drawn;
            return true;
        }
        curves::RoutableSettings settings;
        settings.least_radius_left_mm = settings.least_radius_right_mm = asked.least_radius_mm;
        settings.band_mm = asked.within_mm;
        auto result = curves::make_routable(drawn, settings);
        if (const auto* refused = std::get_if<curves::FairProblem>(&result)) {
            report(i, asked, *refused);
            return false;
        }
        auto& routable = std::get<curves::Routable>(result);
        seam.eased = EasedPlan{drawn.path, routable.largest, std::move(routable.stretches), routable.unchanged};
        seam.drawn = std::move(routable.drawn);
        return true;
    }

    /// The seam as it was eased before, when neither the curve nor what is asked has changed.
    const SeamPlan* eased_before(std::size_t i, const Drawn& drawn) const {
        if (before_ == nullptr || i >= before_->job.seams.size() || i >= before_->plan.seams.size()) return nullptr;
        const SeamPlan& was = before_->plan.seams[i];
        const bool same =
            was.eased && before_->job.seams[i].eased == job_.seams[i].eased && was.eased->as_drawn == drawn.path;
        return same ? &was : nullptr;
    }

    void report(std::size_t i, const job::Easing& asked, const curves::FairProblem& refused) {
        const std::string wanted =
            fmt::format("a curve that turns no tighter than {} within {} of the drawn one",
                        units::show(asked.least_radius_mm, job_.style), units::show(asked.within_mm, job_.style));
        if (refused.widen_mm <= 0.0) {
            problems_.push_back({Problem::Weight::error, pointer(i, "/eased"), "no such curve that could be found",
                                 wanted, "let it move farther, allow a tighter radius, or open the turn by hand",
                                 refused.at});
            return;
        }
        const std::string enough = units::show(asked.within_mm + refused.widen_mm, job_.style);
        std::string remedy = fmt::format("let it move by {}, or allow a tighter radius", enough);
        std::optional<Point> at = refused.at;
        if (!refused.blocks.empty()) {
            at = refused.blocks.front().at;
            remedy += fmt::format("; what stands in the way most is {}", place_words(*at, job_.style));
        }
        problems_.push_back({Problem::Weight::error, pointer(i, "/eased"), "no such curve", wanted, remedy, at});
    }

    std::optional<Drawn> edging(std::size_t i) {
        const double width_mm = job_.seams[i].edging_width_mm;
        const auto inner = geometry::parallel(outline_, geometry::Side::left, width_mm);
        if (inner.paths.size() != 1) {
            problems_.push_back(
                {Problem::Weight::error, pointer(i, "/width"),
                 fmt::format("an edging of {}, which {}", units::show(width_mm, job_.style),
                             inner.paths.empty() ? "leaves nothing inside it" : "grows together across the top"),
                 "an edging that leaves one field inside it", "make the edging narrower", std::nullopt});
            return std::nullopt;
        }
        auto result = curves::draw(curves::Imported{inner.paths.front().path(), inner.certificate.worst_deviation_mm});
        if (auto* refused = std::get_if<curves::CurveProblem>(&result)) {
            problems_.push_back({Problem::Weight::error, pointer(i, "/width"), refused->reason,
                                 "an edging whose inner edge can be drawn", refused->remedy, refused->at});
            return std::nullopt;
        }
        return std::move(std::get<Drawn>(result));
    }

    /// Cuts the rings off, from outside in; `field` becomes what is left.
    bool cut_edgings(Region& field) {
        std::vector<std::size_t> rings;
        for (std::size_t i = 0; i < job_.seams.size(); ++i) {
            if (job_.seams[i].kind == SeamKind::edging) rings.push_back(i);
        }
        std::stable_sort(rings.begin(), rings.end(), [&](std::size_t a, std::size_t b) {
            return job_.seams[a].edging_width_mm < job_.seams[b].edging_width_mm;
        });
        for (std::size_t k = 0; k < rings.size(); ++k) {
            const std::size_t i = rings[k];
            if (k > 0 && job_.seams[i].edging_width_mm == job_.seams[rings[k - 1]].edging_width_mm) {
                problems_.push_back({Problem::Weight::error, pointer(i, "/width"),
                                     fmt::format("the same width as the edging \"{}\"", job_.seams[rings[k - 1]].name),
                                     "a different width for each edging", "change one of them, or leave it out",
                                     std::nullopt});
                return false;
            }
            const Path& seam = layout_.seams[i].drawn.path;
            layout_.seams[i].in_wood = seam;
            // Parallels never meet, so the ring needs no search for crossings.
            layout_.pieces.push_back({field.outer, {geometry::reversed(seam)}});
            field.outer = seam;
        }
        return true;
    }

    bool cut_field(const Region& field) {
        std::vector<Path> curves;
        std::vector<std::size_t> seam_of;
        for (const LaidSeam& seam : layout_.seams) {
            if (job_.seams[seam.index].kind == SeamKind::edging) continue;
            curves.push_back(seam.drawn.path);
            seam_of.push_back(seam.index);
        }
        if (curves.empty()) {
            layout_.pieces.push_back(field);
            return true;
        }
        auto result = geometry::split(field, curves);
        if (const auto* refused = std::get_if<std::vector<SplitProblem>>(&result)) {
            for (const SplitProblem& problem : *refused) report(problem, seam_of);
            return false;
        }
        auto& split = std::get<geometry::Split>(result);
        for (std::size_t k = 0; k < curves.size(); ++k) layout_.seams[seam_of[k]].in_wood = std::move(split.trimmed[k]);
        for (auto& piece : split.pieces) layout_.pieces.push_back(std::move(piece.region));
        return true;
    }

    void report(const SplitProblem& problem, const std::vector<std::size_t>& seam_of) {
        const std::size_t i = seam_of[problem.curve];
        const bool edged = std::any_of(job_.seams.begin(), job_.seams.end(),
                                       [](const job::Seam& s) { return s.kind == SeamKind::edging; });
        const std::string edge = edged ? "the inner edge of the edging" : "the edge of the top";
        const std::string place = place_words(problem.at, job_.style);
        std::string found, allowed, remedy;
        switch (problem.kind) {
            case Kind::misses:
                found = "an open seam that never enters the wood";
                allowed = fmt::format("a seam that crosses {} twice, once at each end", edge);
                remedy = "move the seam onto the top, or make it longer";
                break;
            case Kind::ends_inside:
                found = fmt::format("an open seam that ends inside the wood {}", place);
                allowed = fmt::format("a seam that runs past {} at both ends", edge);
                remedy = "make the seam longer at that end, until it lies outside the wood";
                break;
            case Kind::crosses_edge_more:
                found = fmt::format("a seam that crosses {} once more {}", edge, place);
                allowed = "a seam that enters and leaves the wood once";
                remedy = "keep the seam inside between its two ends, or make two seams of it";
                break;
            case Kind::touches_edge:
                found = fmt::format("a seam that touches or runs along {} {}", edge, place);
                allowed = "a seam that crosses it cleanly";
                remedy = "move the seam away from the edge there";
                break;
            case Kind::crosses_itself:
                found = fmt::format("a seam that crosses or touches itself {}", place);
                allowed = "a seam that never meets itself";
                remedy = "move the curve apart there";
                break;
            case Kind::crosses_other:
                found =
                    fmt::format("a seam that meets the seam \"{}\" {}", job_.seams[seam_of[problem.other]].name, place);
                allowed = "seams that keep clear of each other";
                remedy = "move one of the two, so that some wood is left between them";
                break;
            case Kind::not_inside:
                found = fmt::format("a closed seam that does not lie wholly inside the wood {}", place);
                allowed = fmt::format("a closed seam inside {}", edge);
                remedy = "make it smaller, or move it inward";
                break;
        }
        problems_.push_back({Problem::Weight::error, pointer(i, ""), found, allowed, remedy, problem.at});
    }

    const job::Job& job_;
    const Path& outline_;
    const Made* before_;
    std::vector<Problem>& problems_;
    Layout layout_;
};

}  // namespace

std::optional<Layout> lay_out_seams(const job::Job& job, const Path& outline, const Made* before,
                                    std::vector<Problem>& problems) {
    return SeamLayer(job, outline, before, problems).lay();
}

}  // namespace seamwright::plan
