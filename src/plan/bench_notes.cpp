#include "plan/bench_notes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string_view>

#include "geometry/path_index.h"
#include "plan/words.h"
#include "process/gluing.h"
#include "units/length.h"

namespace seamwright::plan {
namespace {

using process::EdgeProfile;

class Notes {
  public:
    Notes(const BenchInputs& in, std::size_t index)
        : in_(in), step_(in.shop.steps[index]), style_(in.job.style), id_(step_.task.id) {}

    BenchNotes write() {
        if (id_ == "boards") boards();
        if (id_ == "mill") mill();
        if (id_ == "templates-outline")
            outline_templates();
        else if (starts("templates-"))
            templates();
        if (starts("ring-")) ring();
        if (id_ == "flatten") flatten();
        if (id_ == "test-cut") test_cut();
        if (starts("panel-")) panel();
        if (id_ == "rough-saw") rough_saw();
        if (starts("rout-")) rout();
        if (starts("fit-")) fit();
        if (starts("glue-")) glue();
        if (id_ == "outline") outline();
        if (id_ == "build-up") build_up();
        if (id_ == "edges") edges();
        if (id_ == "sand") sand();
        if (starts("finish-")) finish();
        if (id_ == "deliver") deliver();
        next();
        return std::move(notes_);
    }

  private:
    bool starts(std::string_view with) const { return id_.starts_with(with); }
    std::string show(double mm) const { return units::show(mm, style_); }
    std::string thin(double mm) const { return units::show_thin(mm, style_.unit); }
    bool inches() const { return style_.unit == units::Unit::inch; }
    std::string degrees(double celsius) const { return words::temperature_text(celsius, style_.unit); }
    void first(std::string text) { notes_.first.push_back(std::move(text)); }
    void with(std::string text) { notes_.with.push_back(std::move(text)); }
    void how(std::string text) { notes_.how.push_back(std::move(text)); }
    void check(std::string text) { notes_.check.push_back(std::move(text)); }

    /// The steps that wait for this one, by their numbers.
    void next() {
        std::string follow;
        for (std::size_t i = 0; i < in_.shop.steps.size(); ++i) {
            const auto& needs = in_.shop.steps[i].task.needs;
            if (std::none_of(needs.begin(), needs.end(), [&](const process::Need& n) { return n.task == id_; }))
                continue;
            follow += fmt::format("{}{} ({})", follow.empty() ? "" : ", ", i + 1, in_.shop.steps[i].task.name);
        }
        notes_.next = follow.empty() ? "nothing: this is the last step." : fmt::format("step {}.", follow);
    }

    void boards() {
        with("Moisture meter, stickers of one thickness, crayon, tape.");
        first(in_.job.climate.shop
                  ? fmt::format("The air of the shop as it will be while you work: {}, {:.0f} %.",
                                degrees(in_.job.climate.shop->celsius()), in_.job.climate.shop->humidity_percent)
                  : std::string("The air of the shop as it will be while you work."));
        how(
            fmt::format("Number every board on its end. Stickers every {} and at both ends, one above the other, a "
                        "weight on top.",
                        inches() ? "16 in" : "400 mm"));
        check(
            fmt::format("Read the moisture in the middle and near both ends. {:.0f} to {:.0f} % is right for gluing, "
                        "and no more than {:.0f} points between pieces that are glued. Wetter: leave them longer and "
                        "read again.",
                        process::gluing_moisture.low, process::gluing_moisture.high, process::most_moisture_apart));
    }

    void mill() {
        with("Jointer, planer, square, straight edge, callipers; a push block.");
        how(
            fmt::format("One face flat, then one edge square to it, then to {}. Take the same off both faces; "
                        "where you can, let the last cut wait overnight: boards move when they are opened.",
                        show(in_.shop.flattening.milled_mm)));
        how("Feed so that the fibres rise toward the way out. Mark the face that will be up.");
        check(
            fmt::format("All within {} of each other at both ends: a step between pieces shows at the seam and tilts "
                        "the router.",
                        inches() ? "0.008 in" : "0.2 mm"));
    }

    void templates() {
        const SeamPlan& seam = in_.plan.seams[step_.seams.front()];
        with(
            fmt::format("Sheet {} thick without voids, the printed papers, spray adhesive, saw, plane or spokeshave, a "
                        "long sanding stick, a springy stick; for the copies guide and cutter as drawn.",
                        show(in_.plan.sheet.thickness_mm)));
        first("Print at 100 % and measure the bars of every sheet (see the tests to make).");
        how(seam.in_wood.closed
                ? fmt::format("The body of each template is {} wide. Write on its upper face: {}, inside or outside, "
                              "this side up, revision.",
                              show(in_.plan.sheet.body_mm), seam.name)
                : fmt::format("Each template stands {} past the wood at both ends, its body is {} wide. Write on its "
                              "upper face: {}, left or right, this side up, revision.",
                              show(in_.plan.sheet.run_out_mm), show(in_.plan.sheet.body_mm), seam.name));
        how("Draw the index marks across the edge now, from the paper, before it is taken off, and drill the holes "
            "where the paper shows screws. On a copy: before the last pass, across the groove.");
        if (seam.in_wood.closed)
            how("Before the last pass of a copy tape or screw down both what lies inside the groove and what lies "
                "outside it: cut free, it must not move.");
        if (seam.as_made)
            how("One of them is made already and was measured: its sanding map, full size, is among the papers. Do "
                "what it says, measure again, then copy that one instead of making it anew.");
        const double apart_mm = apart(seam);
        constexpr double touching_mm = 0.01;
        if (apart_mm < touching_mm) {
            check(
                "Push the two templates of the pair edge to edge on a flat board: no light between them, and their "
                "index marks meet. What is seen here is seen again in the wood.");
        } else {
            check(fmt::format(
                "Lay the two templates of the pair flat, index marks in line: a block {} thick slides "
                "between their edges with the same feel {}. The edges do not fit each other, they stand that "
                "far apart. What is felt here is seen again in the wood.",
                words::exact_size(apart_mm, in_.job.style), seam.in_wood.closed ? "all round" : "from end to end"));
        }
    }

    /// Between the edges of the two templates, each where it lies to the seam.
    static double apart(const SeamPlan& seam) {
        if (seam.templates.size() < 2 || seam.templates[0].edge.empty() || seam.templates[1].edge.empty()) return 0.0;
        const Path& edge = seam.templates[1].edge;
        const auto running = geometry::running_length_mm(edge);
        const Point middle = geometry::point_at(edge, geometry::station_at(edge, running, 0.5 * running.back()));
        return geometry::PathIndex(seam.templates[0].edge).nearest(middle).distance_mm;
    }

    void outline_templates() {
        with(
            fmt::format("Sheet {} thick without voids, the printed papers, spray adhesive, saw, plane or spokeshave, a "
                        "sanding stick.",
                        show(in_.plan.sheet.thickness_mm)));
        first("Print at 100 % and measure the bars of every sheet (see the tests to make).");
        how("One template for each curve: nothing has to match it but the drawn line.");
        check("Fair to a springy stick, edge square to the face, the marks of its ends and centre carried over.");
    }

    void ring() {
        with(
            fmt::format("Mitre saw or sled with a fine blade, stop block, protractor, a flat board with wax paper, a "
                        "band clamp, glue ({}).",
                        glue_name()));
        first("One segment sawn from waste and its angle proved: all of them dry in a ring, no light at any joint.");
        how("Number the segments in their order as they come off the board, so that the colour runs on.");
        check(
            "Rub a joint that stays open on paper laid on a flat board, the same stroke count for its mate; never "
            "pull it shut with the clamp.");
    }

    void flatten() {
        with("Straight edge as long as the top, two winding sticks, crayon, callipers; plane or router as told.");
        first("Glue at full strength and scraped off, else the seams sink afterwards.");
        how("Shim the hollow from below before you hold the top down: what is pressed flat springs back.");
        check(
            fmt::format("No light under the straight edge wider than {}; the winding sticks lie in one plane; "
                        "thickness alike all over within twice that.",
                        thin(0.3)));
    }

    void test_cut() {
        with(
            "Waste of the same wood, as thick as the templates or thicker, guide, cutter, callipers, the printed sheet "
            "of the test cut.");
        first("Centre the guide on the spindle and tighten it; put on the cutter you will use, sharp.");
        how("Rout and measure as its sheet says, at the end of this book. Hold the router the same way round as you "
            "will on the wood.");
        check(
            fmt::format("Put the readings into the shelf: the program tells the true sizes and whether the seams "
                        "still close within {}. Where they do not, it names another way of copying.",
                        thin(in_.plan.limits.gap_mm)));
    }

    void panel() {
        with(fmt::format("Glue ({}), clamps above and below by turns, cauls across the ends, wax paper.", glue_name()));
        how("Joint the edges in pairs, one face up and one down, so that errors of the fence cancel. Dry first. From "
            "the middle outward, faces flush at every clamp.");
        check("Flat across with a straight edge while it is still wet: slacken the clamps on the hollow side.");
    }

    void rough_saw() {
        with("Band saw with the blade told on the page of the wood, or a jigsaw; soft pencil.");
        first("The templates of this job and of this revision, upper face up, and the pieces face up.");
        for (const RoughPiece& piece : in_.rough.pieces)
            how(fmt::format("{}: {} × {} as sawn out of the board.",
                            words::capitalised(in_.plan.pieces[piece.piece].name), show(piece.length_mm),
                            show(piece.width_mm)));
        how(
            fmt::format("Lay each template on its piece and draw the index marks and the saw line on to the kept face. "
                        "The saw line lies {} outside the seam; the template's edge does not lie on the seam, so "
                        "measure from that.",
                        show(in_.plan.limits.reveal_mm)));
        for (const RoughCut& cut : in_.rough.cuts) {
            if (cut.from_waste) continue;
            how(fmt::format("{} at {}: {} outside the template's edge.",
                            words::capitalised(in_.plan.pieces[cut.piece].name), in_.plan.seams[cut.seam].name,
                            show(cut.offset_mm + cut.reveal_mm)));
        }
        how("Where each seam meets the edges of the top stands with the cutting of the outline: place the templates by "
            "that. Outer edges stay straight until the outline is cut.");
        how("Take it off, then saw outside the line, the waste away from you.");
        check(
            fmt::format("Wood left outside the finished line everywhere, nowhere more than one groove of the cutter "
                        "takes. Where less than {} is left, shift the template before you go on.",
                        show(words::least_reveal_mm(in_.job))));
    }

    void rout() {
        const std::size_t s = step_.seams.front();
        std::set<std::string> tools;
        for (const StepPlan& told : in_.plan.seams[s].steps) {
            using Kind = seam::Step::Kind;
            if (told.step.pair && (told.step.kind == Kind::cut_left || told.step.kind == Kind::cut_right))
                tools.insert(seam::name_of(in_.shelf, *told.step.pair));
        }
        for (const std::string& tool : tools) with(words::capitalised(tool) + ", router, spoil board, depth gauge.");
        first(
            "Router unplugged: guide centred and tight, cutter in to its mark, first depth set on the template. "
            "Turn the cutter by hand past every screw and clamp.");
        for (const RoughCut& cut : in_.rough.cuts) {
            if (cut.seam != s) continue;
            how(fmt::format("{}: template upper face up, {}, index marks on the pencil marks; saw line {} outside.",
                            words::capitalised(in_.plan.pieces[cut.piece].name), words::holding_text(cut),
                            show(cut.reveal_mm)));
        }
        how("Beyond the cutter lay a strip as high as wood and template together: it carries the other half of the "
            "base.");
        how(in_.plan.seams[s].in_wood.closed
                ? "Set in and lift out in the waste, where the paper shows the ring and the bar. Every pass all the "
                  "way round before the next depth. Keep the same handle of the router toward the middle of the top."
                : "Start and stop past the wood as the drawing says. Every pass along the whole edge before the next "
                  "depth. Keep the same handle of the router toward the same end on both pieces.");
        check(
            "Switch off, and both hands on it until the cutter stands still; only then lift it. A finger down the "
            "edge: no steps. If one is "
            "felt, run the last depth once more before the template comes off: it never lies the same twice.");
    }

    void fit() {
        const std::size_t s = step_.seams.front();
        const auto& closing = in_.closing[s];
        with("Flat bearers, two light clamps, a lamp behind the seam, feeler gauges.");
        if (in_.plan.seams[s].in_wood.closed) {
            how("Set it in from above, index marks to index marks, without force.");
        } else if (closing) {
            how(fmt::format("Push {} {}, straight, until the edges touch.",
                            in_.plan.seams[s].right_pieces.empty() ? "the right piece" : in_.plan.seams[s].right_pieces,
                            words::direction_text(closing->push_rad)));
        }
        check(fmt::format(
            "Your limit is {}: the feeler of that thickness does not go in anywhere. Where it does, write "
            "down the place. Rub chalk on one edge to see where they touch, and take off there with a "
            "sanding stick; a gap at both ends or in the middle alone comes from the template: go along its "
            "edge with a gauge, and sand that before the next piece is cut.",
            thin(in_.plan.limits.gap_mm)));
    }

    std::string glue_name() const {
        const process::Adhesive* glue = process::find_adhesive(in_.job.gluing.adhesive);
        return glue == nullptr ? in_.job.gluing.adhesive : glue->name;
    }

    void glue() {
        double mix_g = 0.0, press_min = 0.0;
        std::size_t most_clamps = 0;
        for (const std::size_t s : step_.seams) {
            const auto& closing = in_.closing[s];
            if (!closing || !closing->glue) continue;
            mix_g += closing->glue->to_mix_g;
            press_min = std::max(press_min, closing->glue->press_min);
            if (!closing->pressing) continue;
            const Pressing& p = *closing->pressing;
            most_clamps = std::max(most_clamps, p.row.count);
            with(fmt::format("{}: {} {}, {} apart, cauls {} deep.", words::capitalised(in_.plan.seams[s].name),
                             p.row.count, p.clamps.empty() ? "clamps" : p.clamps, show(p.row.spacing_mm),
                             show(in_.job.gluing.caul_depth_mm)));
        }
        if (mix_g > 0.0) {
            with(fmt::format("{}, {} ready; brush or comb, scraper, wet cloth for hands, wax paper under the seam.",
                             glue_name(), words::mass_text(mix_g, style_.unit)));
        }
        const process::Adhesive* adhesive = process::find_adhesive(in_.job.gluing.adhesive);
        if (adhesive != nullptr)
            first(fmt::format(
                "Glued dry once against the clock (see the tests to make). Wood, glue and air at {} or warmer, "
                "edges clean and cut today. Everything within reach.",
                degrees(adhesive->least_temperature_c)));
        how("Glue on both edges, thin and without gaps; index marks together; press by hand until it stands.");
        if (most_clamps > 0)
            how(
                fmt::format("Clamps in this order: one in the middle first, then one to each side by turns out to the "
                            "ends, all {} hand tight; then once more in the same order to full force. Every second one "
                            "from below.",
                            most_clamps));
        check(
            "Small beads all along the seam, both faces flush to the finger. No bead: more force there, at once. "
            "Thick runs: less glue on the next seam.");
        if (adhesive != nullptr)
            check(fmt::format("All pressed within {:.3g} min of the first glue{}.",
                              adhesive->open_min.low + adhesive->closed_min.low,
                              press_min > 0.0 ? fmt::format(" (reckoned: {:.0f} min)", std::ceil(press_min)) : ""));
        how("Take the beads off with a scraper when they are like rubber. Clamps off after the time told below; no "
            "bending and no knock at the seam until the glue is at full strength.");
    }

    void outline() {
        with("Saw, router with a guided cutter or a long plane, square, tape.");
        first("Glue scraped off both faces, the top lying flat on its bearers.");
        how(
            fmt::format("The finished size is {} × {}; waste clamped behind every corner where the cutter comes out of "
                        "end grain.",
                        show(in_.plan.box.width_mm()), show(in_.plan.box.height_mm())));
        check("Length and width at both ends and in the middle; of a rectangle both diagonals alike.");
    }

    void build_up() {
        if (!in_.job.build_up) return;
        with(fmt::format("Strips {} thick and {} wide, glue ({}), a clamp every {}.",
                         show(in_.job.build_up->thickness_mm), show(in_.job.build_up->width_mm), glue_name(),
                         inches() ? "4 in" : "100 mm"));
        with("Straight cutter with a bearing at its tip, to trim it flush.");
        first("The strips planed to their thickness while they are still long; only then sawn to length.");
        how("Saw inner sides and seam ends to the line before gluing; only the outer sides, and the ends that come to "
            "a "
            "corner, stand proud and are trimmed afterwards.");
        how("Underside up. Dry first, all round, the parts under the ends between those under the long sides. Then one "
            "side at a time, the next one when its clamps are off.");
        how("When the glue is hard trim it flush: underside up, the bearing on the finished edge of the top, two "
            "passes, ends first, against the turn of the cutter; then scrape and sand the joint.");
        check("No gap under the strips all round: it would open to the front.");
    }

    void edges() {
        const auto tell = [&](const char* where, const EdgeProfile& profile) {
            if (profile.kind == EdgeProfile::Kind::square) return;
            with(fmt::format("{}: {} cutter for {} with its bearing.", where, process::says(profile.kind),
                             show(profile.size_mm)));
        };
        tell("Upper rim", in_.shop.edges.shape.top);
        tell("Lower rim", in_.shop.edges.shape.underside);
        first("Profile tried on an offcut of the same thickness (see the tests to make); all bearings turn freely.");
        how("Two passes, the last one taking about 1 mm. Ends first, then the long sides; against the turn of the "
            "cutter, counter-clockwise round the top as it lies.");
        check("No burn, no step where the cutter started. The bearing has left no track on the edge.");
    }

    void sand() {
        with("Card scraper, sander with a soft pad, cork block for edges, papers as listed, pencil, lamp.");
        first("Glue at full strength, else the seams sink afterwards.");
        how("Draw pencil lines across seams and faces before each grit; go over all until they are gone, along the "
            "fibres by hand at the last. Suck off every grain before the next grit.");
        if (!in_.shop.sanding.steps.empty())
            how(fmt::format("Stop at P{} on the faces: finer shuts the pores to the finish. Both faces alike.",
                            last_on_faces()));
        check(
            "Lamp held low over the face, and once more after wiping it with a damp cloth: no cross scratches, no "
            "glue spots, no step at the seams.");
    }
    int last_on_faces() const {
        int last = 0;
        for (const auto& step : in_.shop.sanding.steps)
            if (step.faces) last = step.grit.p;
        return last;
    }

    /// Whether the calendar puts a coat on later than the one under it may wait without being sanded.
    bool comes_late(const std::vector<process::CoatStep>& coats, std::size_t k) const {
        using Coat = process::CoatStep;
        if (!in_.shop.calendar.schedule || coats[k].kind != Coat::Kind::apply) return false;
        const auto& tasks = in_.shop.calendar.schedule->tasks;
        const auto planned = [&](std::size_t coat) -> const process::Planned* {
            for (std::size_t i = 0; i < in_.shop.steps.size(); ++i)
                if (in_.shop.steps[i].task.id == fmt::format("finish-{}", coat + 1)) return &tasks[i];
            return nullptr;
        };
        for (std::size_t below = k; below-- > 0;) {
            const Coat& coat = coats[below];
            if (coat.face != coats[k].face && coat.face != Coat::Face::all && coats[k].face != Coat::Face::all)
                continue;
            if (coat.kind == Coat::Kind::sand || !coat.most_h) return false;
            const process::Planned *under = planned(below), *over = planned(k);
            constexpr double minutes = 60.0;
            return under != nullptr && over != nullptr &&
                   static_cast<double>((over->start - under->end).count()) > minutes * *coat.most_h;
        }
        return false;
    }

    void finish() {
        if (!in_.shop.finish) return;
        const FinishStudy& finish = *in_.shop.finish;
        const auto number = static_cast<std::size_t>(std::stoul(id_.substr(id_.find('-') + 1)));
        if (number == 0 || number > finish.coats.steps.size()) return;
        const process::CoatStep& coat = finish.coats.steps[number - 1];
        if (comes_late(finish.coats.steps, number - 1))
            first(
                "It comes later than the coat under it allows: sand that lightly and take off the dust before this one "
                "(some minutes that are not counted).");
        if (coat.kind == process::CoatStep::Kind::sand) {
            with(finish.system->sand_between_grit
                     ? fmt::format("P{:.0f} paper or a pad as fine, by hand; cloth.", *finish.system->sand_between_grit)
                     : std::string("Fine paper, by hand; cloth."));
            how("Light strokes along the fibres until it is even and dull; not through at the edges.");
            check("Dust off, no shiny pits. Where the wood shows again, that place gets its coat anew.");
            return;
        }
        with(fmt::format("{}, {}.", finish.system->name, process::name_of(finish.way).says));
        if (coat.coat >= 1 && static_cast<std::size_t>(coat.coat) <= finish.amounts.coats.size()) {
            const auto& amount = finish.amounts.coats[static_cast<std::size_t>(coat.coat) - 1];
            with(fmt::format("For all faces of this coat {:.2f} to {:.2f} L from the can.", amount.from_can_l.low,
                             amount.from_can_l.high));
        }
        first(fmt::format("Dust off with suction and a cloth. Wood, finish and air {} to {}, {:.0f} to {:.0f} % damp.",
                          degrees(finish.system->temperature_c.low), degrees(finish.system->temperature_c.high),
                          finish.system->humidity_percent.low, finish.system->humidity_percent.high));
        how(finish.way == process::Way::wipe
                ? "Thin, along the fibres, and take off what the wood has not drunk after the time on the can: no wet "
                  "spots."
                : "Thin and even, wet edge to wet edge, along the fibres; tip off once and leave it.");
        check("Against the light: no runs, no dry places. Dry when it is not cold or sticky to the back of the hand.");
        if (coat.most_h) check(fmt::format("The next coat within {:.0f} h, else sand first.", *coat.most_h));
    }

    void deliver() {
        with("Blankets, corner guards, straps; the finish's care sheet and this book's pages on the seasons.");
        first("The finish has cured as long as told, else wrapping marks it.");
        how("Screws only where the page on the seasons says, in slots across the fibres.");
        check("Note the air where it stands; wipe hands and edges of the top once more.");
    }

    const BenchInputs& in_;
    const WorkStep& step_;
    const units::LengthStyle& style_;
    const std::string& id_;
    BenchNotes notes_;
};

}  // namespace

BenchNotes bench_notes(const BenchInputs& inputs, std::size_t step) {
    return Notes(inputs, step).write();
}

}  // namespace seamwright::plan
