#include "work_steps.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plan/cautions.h"
#include "plan/edging_study.h"
#include "plan/words.h"
#include "shelf/shelf.h"
#include "wood/movement.h"

namespace seamwright::plan {
namespace {

using process::After;
using process::Need;
using process::Task;

// Minutes by hand for a top of usual size, by common practice, from memory: the maker's own hours, noted in the job,
// set the pace.
namespace usual {
constexpr double board_min = 12.0, planing_min_per_m2 = 25.0;
constexpr double rough_piece_min = 8.0, rough_min_per_m = 4.0;
constexpr double joint_min = 15.0;
constexpr double segment_min = 12.0, ring_min = 45.0;
constexpr double master_min = 60.0, master_min_per_m = 35.0;
constexpr double single_min = 30.0;  ///< a template that nothing has to match
constexpr double copy_min = 25.0;
constexpr double test_cut_min = 30.0;
constexpr double edge_set_up_min = 20.0, handling = 1.5;
constexpr double fit_min = 20.0;
constexpr double outline_min = 30.0, outline_min_per_m = 6.0;
constexpr double build_up_min = 45.0, build_up_min_per_m = 15.0, build_up_part_min = 6.0;
constexpr double profile_min = 10.0, profile_min_per_m = 2.0;
constexpr double deliver_min = 60.0;
constexpr double hours_unmeasured = 7.0 * 24.0;  ///< boards whose moisture nobody knows stand in the shop for a week
}  // namespace usual

int whole(double minutes) {
    return static_cast<int>(std::ceil(minutes));
}

class Steps {
  public:
    Steps(const ShopStudy& study, const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
          const ShopInputs& inputs)
        : study_(study), plan_(plan), job_(job), shelf_(shelf), inputs_(inputs) {
        people_ = job.calendar ? job.calendar->people : 1;
    }

    std::vector<WorkStep> all() {
        boards();
        test_cut();
        templates();
        panels();
        rings();
        rough_sawing();
        routing();
        glue_ups();
        after_gluing();
        finishing();
        return std::move(steps_);
    }

  private:
    WorkStep& add(std::string id, std::string name, double minutes) {
        WorkStep step;
        step.task.id = std::move(id);
        step.task.name = std::move(name);
        step.usual_min = minutes;
        steps_.push_back(std::move(step));
        return steps_.back();
    }
    static void after(WorkStep& step, const std::string& id, After what = After::ready) {
        step.task.needs.push_back({id, what, 0, std::nullopt, std::nullopt});
    }
    bool has(const std::string& id) const {
        return std::any_of(steps_.begin(), steps_.end(), [&](const WorkStep& s) { return s.task.id == id; });
    }
    std::string show(double mm) const { return units::show(mm, job_.style); }

    std::size_t boards_started() const {
        return inputs_.boards != nullptr ? inputs_.boards->placing.boards_used.size() : plan_.pieces.size();
    }

    void boards() {
        WorkStep& in = add("boards", "Bring the boards in and sticker them", usual::board_min);
        double wait_h = usual::hours_unmeasured;
        bool measured = false;
        if (inputs_.movement != nullptr) {
            for (const PieceMovement& p : inputs_.movement->pieces) {
                if (!p.measured) continue;
                if (!measured) wait_h = 0.0;
                measured = true;
                const shelf::Species* species = shelf::find_species(plan_.pieces[p.piece].species);
                if (p.made_percent > inputs_.movement->damp_percent + 1.0)
                    wait_h = std::max(wait_h, 24.0 * wood::settling_days(plan_.thickness_mm,
                                                                         species == nullptr || species->hardwood));
            }
        }
        in.lines.push_back(measured ? "Measure their moisture again before you start."
                                    : "Nobody has measured their moisture: let them stand in the shop for a week, "
                                      "stickered, and measure (common practice).");
        in.write_down.push_back("moisture of each board, percent");
        in.cautions.push_back("Long boards are heavy: lift them with two, and watch the far end.");
        in.task.ready_wait_min = whole(60.0 * wait_h);
        in.task.wait_name = "Boards come to rest with the air of the shop";

        double area = 0.0;
        for (const PiecePlan& piece : plan_.pieces) area += piece.area_mm2 * 1e-6;
        WorkStep& mill =
            add("mill", "Joint and plane the boards",
                usual::board_min * static_cast<double>(boards_started()) + usual::planing_min_per_m2 * area);
        mill.lines.push_back(fmt::format("All to one thickness, {}: {} more than the top has in the end.",
                                         show(study_.flattening.milled_mm),
                                         show(study_.flattening.milled_mm - plan_.thickness_mm)));
        for (const auto& board : study_.flattening.thin)
            mill.cautions.push_back(fmt::format(
                "{} gives no more than {}: plane all to that, and the top comes out thinner than {}; or take "
                "a thicker board.",
                words::capitalised(board.name), show(board.planes_to_mm), show(plan_.thickness_mm)));
        mill.write_down.push_back("thickness at both ends");
        mill.cautions.push_back(
            "Ears and dust: wear what the machine's maker asks for, and never plane a piece shorter than it allows.");
        after(mill, "boards");
    }

    void templates() {
        for (std::size_t s = 0; s < plan_.seams.size(); ++s) {
            const SeamPlan& seam = plan_.seams[s];
            double minutes = 0.0;
            std::vector<std::string> lines;
            for (const StepPlan& step : seam.steps) {
                using Kind = seam::Step::Kind;
                const Kind kind = step.step.kind;
                if (kind == Kind::make_master || kind == Kind::make_mating) {
                    minutes += usual::master_min + usual::master_min_per_m * seam.length_mm * 1e-3;
                } else if (kind == Kind::copy_far || kind == Kind::copy_near) {
                    minutes += usual::copy_min + usual::handling * step.cutting_minutes();
                } else {
                    continue;
                }
                lines.push_back(step.title + '.');
            }
            if (lines.empty()) continue;
            WorkStep& make =
                add(fmt::format("templates-{}", s + 1), fmt::format("Make the templates of {}", seam.name), minutes);
            make.seams = {s};
            make.lines = std::move(lines);
            make.write_down.push_back("check bar of each sheet");
            make.write_down.push_back("edge against a straight or fair stick");
            make.cautions = hand_work_cautions();
            after(make, "test-cut", After::hands_on);
        }
        outline_templates();
    }

    /// Before any template is copied: what is measured may ask for another way of copying.
    void test_cut() {
        if (plan_.seams.empty()) return;
        WorkStep& test = add("test-cut", "Rout and measure a test cut", usual::test_cut_min);
        test.lines.push_back("On waste of the same wood, with the very guide and cutter.");
        test.write_down.push_back("the readings, by their numbers");
        test.write_down.push_back("offset found, template to slot");
        test.cautions = routing_cautions();
    }

    void outline_templates() {
        if (inputs_.outline == nullptr || inputs_.outline->templates.empty()) return;
        double minutes = 0.0;
        std::vector<std::string> lines;
        for (const OutlineTemplate& t : inputs_.outline->templates) {
            minutes += usual::single_min + usual::master_min_per_m * geometry::length_mm(t.sheet.edge) * 1e-3;
            lines.push_back(t.sheet.title + '.');
        }
        WorkStep& make = add("templates-outline", "Make the templates of the outline", minutes);
        make.lines = std::move(lines);
        make.write_down.push_back("check bar of each sheet");
        make.cautions = hand_work_cautions();
    }

    void rough_sawing() {
        double length = 0.0;
        for (const SeamPlan& seam : plan_.seams) length += 2.0 * seam.length_mm * 1e-3;
        WorkStep& saw =
            add("rough-saw", "Saw the pieces roughly",
                usual::rough_piece_min * static_cast<double>(plan_.pieces.size()) + usual::rough_min_per_m * length);
        saw.lines.push_back("Lay the templates on, mark the saw lines and the index marks, then saw outside the line.");
        saw.cautions.push_back("Both hands clear of the blade's line, guard down to the wood.");
        after(saw, "mill");
        for (std::size_t s = 0; s < plan_.seams.size(); ++s)
            if (has(fmt::format("templates-{}", s + 1)))
                after(saw, fmt::format("templates-{}", s + 1), After::hands_on);
        for (const SegmentedEdging& edging : plan_.edgings)
            if (has(ring_id(edging))) after(saw, ring_id(edging), After::clamps_off);
        // Panels are sawn to the seam once they are glued.
        if (inputs_.boards == nullptr) return;
        for (const GluedUp& glued : inputs_.boards->glued_up)
            after(saw, fmt::format("panel-{}", glued.piece + 1), After::clamps_off);
    }

    const process::Adhesive* adhesive() const { return process::find_adhesive(job_.gluing.adhesive); }

    /// Pressed and waited for as the adhesive wants it.
    void waits_of_glue(WorkStep& step) const {
        const process::Adhesive* glue = adhesive();
        if (glue == nullptr) return;
        step.task.one_go = true;
        step.task.clamp_wait_min = whole(glue->clamp_min.high);
        step.task.ready_wait_min = std::max(whole(60.0 * glue->full_strength_h), step.task.clamp_wait_min);
        step.task.wait_name = "Glue comes to full strength";
    }

    void panels() {
        if (inputs_.boards == nullptr) return;
        for (const GluedUp& glued : inputs_.boards->glued_up) {
            const std::string& piece = plan_.pieces[glued.piece].name;
            WorkStep& panel =
                add(fmt::format("panel-{}", glued.piece + 1), fmt::format("Glue up {} from its strips", piece),
                    usual::joint_min * static_cast<double>(glued.joints_mm.size()));
            panel.lines.push_back(
                fmt::format("{} strips, in the order they are numbered.", glued.joints_mm.size() + 1));
            panel.write_down.push_back("flatness, with a straight edge");
            waits_of_glue(panel);
            after(panel, "mill");
        }
    }

    static std::string ring_id(const SegmentedEdging& edging) { return fmt::format("ring-{}", edging.seam + 1); }

    void rings() {
        for (const SegmentedEdging& edging : plan_.edgings) {
            const std::size_t count = edging.ring.segments.size();
            if (count == 0) continue;
            WorkStep& ring =
                add(ring_id(edging), fmt::format("Saw and glue the segments of {}", plan_.pieces[edging.piece].name),
                    usual::ring_min + usual::segment_min * static_cast<double>(count));
            words::Told told = words::ring_work_text(edging, plan_, job_);
            ring.lines = std::move(told.lines);
            ring.cautions = std::move(told.cautions);
            ring.write_down.push_back("end angle set, and light seen in the dry ring");
            ring.write_down.push_back("flatness of the ring, with a straight edge");
            waits_of_glue(ring);
            after(ring, "mill");
        }
    }

    void routing() {
        for (std::size_t s = 0; s < plan_.seams.size(); ++s) {
            const SeamPlan& seam = plan_.seams[s];
            double minutes = 0.0;
            WorkStep step;
            for (const StepPlan& told : seam.steps) {
                using Kind = seam::Step::Kind;
                if (told.step.kind != Kind::cut_left && told.step.kind != Kind::cut_right) continue;
                minutes += usual::edge_set_up_min + usual::handling * told.cutting_minutes();
                step.lines.push_back(told.title + '.');
                for (const auto& caution : told.cautions)
                    if (std::find(step.cautions.begin(), step.cautions.end(), caution) == step.cautions.end())
                        step.cautions.push_back(caution);
            }
            if (step.lines.empty()) continue;
            WorkStep& rout =
                add(fmt::format("rout-{}", s + 1), fmt::format("Rout both edges of {}", seam.name), minutes);
            rout.seams = {s};
            rout.lines = std::move(step.lines);
            rout.cautions = std::move(step.cautions);
            rout.write_down.push_back("depth of each pass, speed");
            rout.write_down.push_back("offset found, template to wood");
            after(rout, "rough-saw");
            after(rout, "test-cut");
            WorkStep& fit = add(fmt::format("fit-{}", s + 1), fmt::format("Fit {} dry", seam.name), usual::fit_min);
            fit.seams = {s};
            fit.lines.push_back("Push it together without glue, index marks to index marks.");
            fit.write_down.push_back("largest gap, by feeler gauge, and where");
            after(fit, fmt::format("rout-{}", s + 1), After::hands_on);
        }
    }

    void glue_ups() {
        std::size_t number = 0;
        for (const GlueUp& up : plan::glue_ups(plan_, inputs_.closing, job_)) {
            double spread = 0.0, press = 0.0;
            std::size_t clamps = 0;
            std::string kind, names;
            for (const std::size_t s : up.seams) {
                names += (names.empty() ? "" : " and ") + plan_.seams[s].name;
                const auto& closing = inputs_.closing[s];
                if (!closing || !closing->glue) continue;
                spread += closing->glue->spread_min;
                press = std::max(press, closing->glue->press_min - closing->glue->spread_min);
                if (!closing->pressing) continue;
                clamps = std::max(clamps, closing->pressing->row.count);
                kind = closing->pressing->clamps;
            }
            WorkStep& glue = add(fmt::format("glue-{}", ++number), fmt::format("Glue {}", names),
                                 2.0 * usual::fit_min + spread + std::max(press, 0.0));
            glue.seams = up.seams;
            glue.lines.push_back(up.why);
            glue.write_down.push_back("time from the first glue to the last clamp");
            glue.write_down.push_back("gap found, where");
            for (const SegmentedEdging& edging : plan_.edgings) {
                if (inputs_.movement == nullptr ||
                    std::find(up.seams.begin(), up.seams.end(), edging.seam) == up.seams.end())
                    continue;
                const auto told = words::ring_movement_text(edging, plan_, *inputs_.movement, job_);
                glue.cautions.insert(glue.cautions.end(), told.cautions.begin(), told.cautions.end());
            }
            waits_of_glue(glue);
            glue.task.people = std::min(job_.gluing.people, people_);
            if (!kind.empty() && clamps > 0) {
                for (const auto& own : shelf_.clamps) {
                    if (own.name != kind) continue;
                    glue.task.clamps.push_back(
                        {kind, static_cast<int>(std::min<std::size_t>(clamps, static_cast<std::size_t>(own.count)))});
                }
            }
            for (const std::size_t s : up.seams)
                if (has(fmt::format("fit-{}", s + 1))) after(glue, fmt::format("fit-{}", s + 1), After::hands_on);
            if (number > 1) after(glue, fmt::format("glue-{}", number - 1), After::clamps_off);
        }
        joined_sides_first();
        last_glue_ = number > 0 ? fmt::format("glue-{}", number) : std::string("rough-saw");
    }

    /// An edge that runs across several pieces is routed once they are one.
    void joined_sides_first() {
        const auto one_piece = [&](const std::string& side) {
            return std::any_of(plan_.pieces.begin(), plan_.pieces.end(),
                               [&](const PiecePlan& piece) { return piece.name == side; });
        };
        for (std::size_t s = 0; s < plan_.seams.size(); ++s) {
            const SeamPlan& seam = plan_.seams[s];
            if (one_piece(seam.left_pieces) && one_piece(seam.right_pieces)) continue;
            // The last glue-up before its own.
            std::string before;
            for (const WorkStep& step : steps_) {
                if (!step.task.id.starts_with("glue-")) continue;
                if (std::find(step.seams.begin(), step.seams.end(), s) != step.seams.end()) break;
                before = step.task.id;
            }
            if (before.empty()) continue;
            for (WorkStep& step : steps_)
                if (step.task.id == fmt::format("rout-{}", s + 1)) after(step, before, After::clamps_off);
        }
    }

    void after_gluing() {
        const double round_m = study_.edges.length_mm * 1e-3;
        if (study_.flattening.plan.way != process::FlatteningWay::scrape) {
            WorkStep& flat = add("flatten", "Get the top flat", study_.flattening.plan.minutes);
            flat.lines = words::flattening_text(study_, job_).lines;
            flat.write_down.push_back("straight edge: largest gap along, across, corner to corner");
            flat.write_down.push_back("thickness at the four corners and the middle");
            flat.cautions = study_.flattening.plan.cautions;
            after(flat, last_glue_);
            last_glue_ = "flatten";
        }
        WorkStep& outline =
            add("outline", "Cut the top to its outline", usual::outline_min + usual::outline_min_per_m * round_m);
        outline.lines.push_back("Saw close to the line, then rout along the template of the outline, or plane to it.");
        if (inputs_.outline != nullptr && !inputs_.outline->cuts.empty())
            outline.lines = words::outline_settings_text(*inputs_.outline, job_);
        outline.write_down.push_back("length and width");
        if (inputs_.outline != nullptr && inputs_.outline->diagonal_mm)
            outline.write_down.push_back("corner to corner, both ways, before the corners are rounded");
        outline.cautions = routing_cautions();
        after(outline, last_glue_);
        if (has("templates-outline")) after(outline, "templates-outline", After::hands_on);
        std::string before = "outline";
        if (job_.build_up) {
            WorkStep& under = add("build-up", "Glue the build-up under the edge",
                                  usual::build_up_min + usual::build_up_min_per_m * round_m);
            under.lines.push_back("From the top's own offcuts, in the order they came off it.");
            if (inputs_.build_up != nullptr) {
                const BuildUpStudy& study = *inputs_.build_up;
                under.usual_min += usual::build_up_part_min * static_cast<double>(study.parts.size());
                under.lines.push_back(fmt::format(
                    "{}, numbered in the book: saw each to its seam ends, dry-fit an edge at a time, then glue it.",
                    words::times(study.parts.size(), "part", "parts")));
                under.lines.push_back(
                    "Clamp with cauls over the whole width; wipe glue out of the inside corner, where no plane "
                    "reaches.");
                under.cautions.push_back(
                    "Short parts are held in a jig or cut off a longer piece, never by hand near a blade.");
                under.write_down.push_back("parts that did not match, by number");
            }
            waits_of_glue(under);
            after(under, before, After::hands_on);
            before = "build-up";
        }
        using Kind = process::EdgeProfile::Kind;
        double profiles = 0.0;
        for (const auto& profile : {study_.edges.shape.top, study_.edges.shape.underside})
            if (profile.kind != Kind::square) profiles += 1.0;
        if (profiles > 0.0) {
            WorkStep& edges = add("edges", "Rout the edge profiles",
                                  profiles * (usual::profile_min + usual::profile_min_per_m * round_m));
            edges.lines = words::edges_text(study_, job_).lines;
            edges.cautions = routing_cautions();
            after(edges, before);
        }
        WorkStep& sand = add("sand", "Scrape and sand", study_.sanding.minutes);
        for (const auto& grit : study_.sanding.steps)
            sand.lines.push_back(fmt::format("P{}: {}", grit.grit.p, grit.reason));
        sand.write_down.push_back("last grit");
        sand.cautions = study_.sanding.cautions;
        after(sand, before);
        if (profiles > 0.0) after(sand, "edges", After::hands_on);
    }

    void litres_of_coat(WorkStep& step, const process::CoatStep& coat) const {
        step.write_down.push_back("litres used for this coat");
        const auto& amounts = study_.finish->amounts.coats;
        const auto amount = std::find_if(amounts.begin(), amounts.end(),
                                         [&](const process::CoatAmount& a) { return a.coat == coat.coat; });
        if (amount == amounts.end() || amount->area_m2 <= 0.0) return;
        constexpr double mm2 = 1e-6;
        const process::TrueAreas& areas = *study_.edges.areas;
        using Face = process::CoatStep::Face;
        step.area_m2 = coat.face == Face::underside       ? areas.underside_mm2 * mm2
                       : coat.face == Face::top_and_edges ? (areas.top_mm2 + areas.edge_mm2) * mm2
                                                          : amount->area_m2;
        const double share = (1.0 + process::FinishWish{}.waste) * step.area_m2 / amount->area_m2;
        step.litres = process::Range{share * amount->from_can_l.low, share * amount->from_can_l.high};
    }

    void finishing() {
        std::string before = "sand";
        if (study_.finish) {
            const FinishStudy& finish = *study_.finish;
            const auto& coats = finish.coats.steps;
            for (std::size_t k = 0; k < coats.size(); ++k) {
                const process::CoatStep& coat = coats[k];
                std::string name = coat.text;
                if (!name.empty() && name.back() == '.') name.pop_back();
                WorkStep& step = add(fmt::format("finish-{}", k + 1), std::move(name), coat.hands_on_min);
                step.task.one_go = coat.kind == process::CoatStep::Kind::apply;
                const double wait_h = k + 1 == coats.size() ? finish.system->shipped_h.high : coat.wait_h.high;
                step.task.ready_wait_min = whole(60.0 * wait_h);
                step.task.wait_name = k + 1 == coats.size() ? "Cures until it may be shipped" : "Dries";
                step.cautions = process::finish_cautions(*finish.system, finish.way);
                if (coat.kind == process::CoatStep::Kind::apply) litres_of_coat(step, coat);
                after(step, before);
                before = step.task.id;
            }
        }
        WorkStep& deliver = add("deliver", "Pack and deliver", usual::deliver_min);
        deliver.lines.push_back(fmt::format(
            "It weighs {}.",
            words::weight_text(inputs_.movement != nullptr ? inputs_.movement->weight_kg : 0.0, job_.style.unit)));
        deliver.cautions.push_back("Carry it on edge, with two.");
        after(deliver, before);
    }

    const ShopStudy& study_;
    const Plan& plan_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
    const ShopInputs& inputs_;
    int people_ = 1;
    std::string last_glue_;
    std::vector<WorkStep> steps_;
};

}  // namespace

std::vector<WorkStep> work_steps(const ShopStudy& study, const Plan& plan, const job::Job& job,
                                 const shelf::Shelf& shelf, const ShopInputs& inputs) {
    return Steps(study, plan, job, shelf, inputs).all();
}

}  // namespace seamwright::plan
