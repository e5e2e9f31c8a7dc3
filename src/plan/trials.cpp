#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "plan/bench_notes.h"
#include "plan/words.h"
#include "process/edge_profile.h"
#include "process/routed_disc.h"
#include "units/length.h"

namespace seamwright::plan {
namespace {

using process::EdgeProfile;

class Trials {
  public:
    explicit Trials(const BenchInputs& in) : in_(in) {}

    std::vector<Trial> all() {
        moisture();
        if (!in_.plan.seams.empty()) {
            sheets();
            test_cuts();
            saw();
            discs();
        }
        rehearsal();
        glue();
        profile();
        finish();
        return std::move(out_);
    }

  private:
    std::string show(double mm) const { return units::show(mm, in_.job.style); }
    std::string thin(double mm) const { return units::show_thin(mm, in_.job.style.unit); }
    bool inches() const { return in_.job.style.unit == units::Unit::inch; }

    std::vector<std::string> woods() const {
        std::vector<std::string> out;
        for (const PiecePlan& piece : in_.plan.pieces)
            if (std::find(out.begin(), out.end(), piece.species) == out.end()) out.push_back(piece.species);
        return out;
    }
    std::string all_woods() const {
        std::string text;
        for (const std::string& wood : woods()) text += (text.empty() ? "" : " and ") + wood;
        return text.empty() ? std::string("the wood of the top") : text;
    }

    void moisture() {
        Trial t;
        t.title = "Moisture of the wood";
        t.why = "A piece that is damper than its neighbour shrinks away from it after the glue-up.";
        t.on = "every board, and once more every piece before it is routed";
        t.how = "Meter set to the wood, three places on each, not at the very end.";
        for (const PiecePlan& piece : in_.plan.pieces)
            t.write_down.push_back(fmt::format("{}, percent, day{}", words::capitalised(piece.name), target(piece)));
        t.then = fmt::format(
            "Write it into the job (moisture of the piece). Not {:.0f} to {:.0f} %, or more than {:.0f} "
            "points apart: wait, and read again.",
            process::gluing_moisture.low, process::gluing_moisture.high, process::most_moisture_apart);
        out_.push_back(std::move(t));
    }
    std::string target(const PiecePlan& piece) const {
        for (const PieceMovement& p : in_.movement.pieces) {
            if (&in_.plan.pieces[p.piece] != &piece) continue;
            return fmt::format(" ({} {:.1f} %)", p.measured ? "last read" : "reckoned with", p.made_percent);
        }
        return {};
    }

    void sheets() {
        Trial t;
        t.title = "Printed bars";
        t.why = "A printer that is out by 1 in 300 spoils a template as long as the top.";
        t.on = fmt::format("every sheet of {}, before it is cut", in_.plan.paper.size);
        t.how = "Steel rule on the bars of 100 mm and 4 in, lengthwise and across, after the paper has lain an hour.";
        t.write_down = {"Bar across the sheet (x)", "Bar along the sheet (y)"};
        t.then = fmt::format("Off by more than {}: write both into the job (paper, correction) and print again.",
                             inches() ? "0.008 in" : "0.2 mm");
        out_.push_back(std::move(t));
    }

    void test_cuts() {
        std::set<std::pair<std::string, std::string>> told;
        for (const SeamPlan& seam : in_.plan.seams) {
            for (const StepPlan& step : seam.steps) {
                if (!step.step.pair) continue;
                const seam::Pair& pair = *step.step.pair;
                const bool guided = pair.rides == seam::Pair::Rides::guide;
                const std::string rider =
                    guided ? in_.shelf.guides.at(pair.rider).name : in_.shelf.bearings.at(pair.rider).name;
                const std::string cutter = in_.shelf.cutters.at(pair.cutter).name;
                if (!told.insert({rider, cutter}).second) continue;
                Trial t;
                t.title = fmt::format("Test cut: {} with {}", rider, cutter);
                t.why = fmt::format(
                    "The seams are reckoned with {} outside and {} cutting; what they really do decides "
                    "whether the edges meet within {}.",
                    words::exact_size(pair.B_mm, in_.job.style), words::exact_size(pair.b_mm, in_.job.style),
                    thin(in_.plan.limits.gap_mm));
                t.on = fmt::format("waste of {}, as thick as the templates or thicker", all_woods());
                t.how = guided
                            ? "Its sheet is at the end of this book: rout, measure at its numbered places, read twice."
                            : "Rout along a straight template and measure from its edge to the cut with callipers.";
                t.write_down = {"Readings, by their numbers", "Template edge to cut"};
                t.then = fmt::format(
                    "From edge to cut should be {}. Readings go into the shelf (test cuts); plan again "
                    "where a seam no longer closes.",
                    words::exact_size(pair.offset_mm(), in_.job.style));
                t.caution = "Unplug the router before you set it; both hands on it, waste clamped.";
                out_.push_back(std::move(t));
            }
        }
    }

    void saw() {
        Trial t;
        t.title = "Saw square and able to turn";
        t.why = "A blade out of square leaves too little wood at one face.";
        t.on = fmt::format("waste as thick as the boards, {}", show(in_.plan.milled_mm));
        t.how =
            "Saw half through, turn the piece over and saw from the other side of the same edge: the two cuts meet. "
            "Then one bend as tight as the tightest saw line (page of the wood).";
        t.write_down = {"Out of square over the thickness", "Tightest bend without binding"};
        t.then = fmt::format("More than half of the {} left outside: set the table.", show(in_.plan.limits.reveal_mm));
        out_.push_back(std::move(t));
    }

    void discs() {
        if (in_.feed.edges.empty()) return;
        for (const std::string& wood : woods()) {
            Trial t;
            t.title = fmt::format("Routed disc: {}", wood);
            t.why =
                "Its rim shows every angle between cutter and fibres at once: where your wood really tears, in place "
                "of the table's.";
            constexpr double disc_mm = 150.0;
            t.on =
                fmt::format("a disc {} across, from an offcut of the very board, as thick as the top", show(disc_mm));
            t.how =
                "Screw a round template to it. Rout all round once against the turn of the cutter (counter-clockwise "
                "round the outside). Only if it is screwed to the bench from below: then a skim with the turn, no more "
                "than told in the chapter on feeding. Blocks as high as disc and template round it carry the base.";
            t.write_down = {"Cutter, depth of side cut, feed"};
            t.then =
                "Mark torn stretches heavy and fuzzy ones broken on the rims. Where a feed map calls clean what "
                "tore here, feed that stretch as the worse one.";
            t.room = Trial::Room::discs;
            t.caution =
                "Fed with the turn the router pulls itself along: only a skim, both hands, the disc screwed to the "
                "bench.";
            out_.push_back(std::move(t));
        }
    }

    void rehearsal() {
        for (std::size_t s = 0; s < in_.plan.seams.size(); ++s) {
            const auto& closing = in_.closing[s];
            if (!closing || !closing->glue) continue;
            const process::Adhesive* glue = process::find_adhesive(in_.job.gluing.adhesive);
            if (glue == nullptr) continue;
            Trial t;
            t.title = fmt::format("Clamped dry, against the clock: {}", in_.plan.seams[s].name);
            t.why =
                fmt::format("{} allows {:.3g} min open and {:.3g} more once closed; by reckoning you need {:.0f}.",
                            glue->name, glue->open_min.low, glue->closed_min.low, std::ceil(closing->glue->press_min));
            t.on = "the routed pieces, without glue, with all cauls and clamps";
            t.how = "Go through every hand's turn, the brush too, in the order of the glue-up.";
            t.write_down = {"Minutes from the first stroke to the last clamp",
                            "Widest gap under full force, and where"};
            t.then = "Longer than the glue allows: a second person, more clamps laid ready, or a slower glue.";
            out_.push_back(std::move(t));
        }
    }

    void glue() {
        const process::Adhesive* adhesive = process::find_adhesive(in_.job.gluing.adhesive);
        if (adhesive == nullptr || in_.plan.seams.empty()) return;
        Trial t;
        t.title = fmt::format("Glue broken: {}", adhesive->name);
        t.why = "Old glue, cold wood or an oily species shows here and not in the top.";
        t.on = fmt::format("two offcuts of {} with routed edges", all_woods());
        t.how = "Spread as you will, clamp, wait the full time; see the beads; then break it over an edge.";
        t.write_down = {"Beads: none, small, runs", "Broke in the wood or in the glue"};
        t.then = "In the glue: fresh glue, warmer wood, a fresh cut, or wipe oily wood just before; then again.";
        out_.push_back(std::move(t));
    }

    void profile() {
        const process::EdgeShape& shape = in_.shop.edges.shape;
        for (const EdgeProfile* p : {&shape.top, &shape.underside}) {
            if (p->kind == EdgeProfile::Kind::square) continue;
            Trial t;
            t.title = fmt::format("Edge: {} of {}, {} rim", process::says(p->kind), show(p->size_mm),
                                  p == &shape.top ? "upper" : "lower");
            t.why = "The shape is judged by eye and hand, and the end of the fibres is where it tears.";
            t.on =
                fmt::format("an offcut {} thick, one edge along and one across the fibres", show(shape.thickness_mm));
            t.how = "In two passes, against the turn of the cutter; the edge across the fibres first.";
            t.write_down = {"Depth set, and what you saw"};
            t.then = fmt::format("Upright left between the rims: {}. Too little to ride on: the upper rim last.",
                                 show(std::max(0.0, in_.shop.edges.findings.flat_mm)));
            out_.push_back(std::move(t));
        }
    }

    void finish() {
        if (!in_.shop.finish) return;
        const FinishStudy& finish = *in_.shop.finish;
        Trial t;
        t.title = fmt::format("Finish: {}", finish.system->name);
        t.why = "Colour, and whether it holds on this wood, are seen only with all coats on.";
        t.on = fmt::format("an offcut of each: {}; with a glued seam in it", all_woods());
        t.how = fmt::format(
            "Sanded to P{:.0f} as the top will be, all {} coats with their waits. When it has cured: "
            "cut a cross through it, press on tape, pull it off at once.",
            finish.system->last_grit.low, finish.amounts.coats.size());
        t.write_down = {"Colour in daylight, next to the bare wood", "Tape: nothing, flakes, came off",
                        "Shown to the customer on"};
        t.then = "Comes off, stays soft or blotches: ask the finish's maker, wipe oily wood first, or take another.";
        out_.push_back(std::move(t));
    }

    const BenchInputs& in_;
    std::vector<Trial> out_;
};

}  // namespace

std::vector<Trial> trials(const BenchInputs& inputs) {
    return Trials(inputs).all();
}

}  // namespace seamwright::plan
