#include "templates.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "geometry/parallel.h"
#include "template_marks.h"

namespace seamwright::plan {
namespace {

using geometry::Side;
using Kind = seam::Step::Kind;

/// The line of a parallel that goes on from end to end, or round.
Path one_line(const Path& source, Side side, double distance_mm) {
    const auto parallel = geometry::parallel(source, side, distance_mm);
    if (parallel.paths.empty()) return {};
    return geometry::main_path(parallel.paths);
}

Path back_line(const Path& edge, Side side, double body_mm) {
    Path back = one_line(edge, side, body_mm);
    if (!back.empty()) return back;
    // The edge turns round so tightly that nothing stands abreast of it at that distance: a straight back, the body's
    // width behind the farthest place of the edge.
    const Point along = edge.end() - edge.start();
    const Point direction = along / geometry::norm(along);
    const Point into = side == Side::left ? geometry::left_of(direction) : geometry::right_of(direction);
    const double depth_mm = geometry::dot(geometry::farthest(edge, into).point - edge.start(), into) + body_mm;
    back.segments.push_back(geometry::line(edge.start() + depth_mm * into, edge.end() + depth_mm * into));
    return back;
}

bool is_cut(const seam::Step& step) {
    return step.kind == Kind::cut_left || step.kind == Kind::cut_right;
}

class TemplateMaker {
  public:
    TemplateMaker(const job::Job& job, const shelf::Shelf& shelf, const std::string& seam_name, const Path& in_wood,
                  const seam::Chain& chain, const seam::Simulation& simulation, const Path& outline)
        : job_(job),
          shelf_(shelf),
          seam_name_(seam_name),
          in_wood_(in_wood),
          chain_(chain),
          simulation_(simulation),
          outline_(outline) {}

    std::vector<TemplatePlan> make() {
        std::vector<TemplatePlan> templates;
        for (std::size_t i = 0; i < simulation_.templates.size(); ++i) templates.push_back(plan(i));
        name(templates);
        mate(templates);
        return templates;
    }

  private:
    TemplatePlan plan(std::size_t i) {
        const seam::TemplateEdge& made = simulation_.templates[i];
        TemplatePlan t;
        t.seam = seam_name_;
        t.body_on_left = made.body_on_left;
        t.hand = made.body_on_left ? "left" : "right";
        t.edge = made.edge;
        t.seam_line = in_wood_;
        t.nominal_n_mm = made.at_mm;
        t.body = template_body(t.edge, t.body_on_left, job_.sheet.body_mm);
        uses(t, static_cast<int>(i));
        t.registration = registration_marks(t, job_.sheet, outline_);
        t.fastening = fastening_points(t, job_.sheet, outline_);
        return t;
    }

    void uses(TemplatePlan& t, int index) {
        const seam::Step* first_copy = nullptr;
        const seam::Step* first_cut = nullptr;
        bool covers_wood = false;
        std::vector<std::string> copying, cutting;
        const auto add = [](std::vector<std::string>& list, std::string words) {
            if (std::find(list.begin(), list.end(), words) == list.end()) list.push_back(std::move(words));
        };
        for (const seam::Step& step : chain_.steps) {
            if (step.makes_template == index)
                t.master = step.kind == Kind::make_master || step.kind == Kind::make_mating;
            if (step.from_template != index || !step.pair) continue;
            if (is_cut(step)) {
                if (first_cut == nullptr) first_cut = &step;
                covers_wood = covers_wood || !step.keeps_far;
                add(cutting, rider_words(shelf_, *step.pair));
            } else {
                if (first_copy == nullptr) first_copy = &step;
                add(copying, rider_words(shelf_, *step.pair));
            }
        }
        if (const seam::Step* use = first_cut != nullptr ? first_cut : first_copy)
            t.offset_mm = std::abs(use->edge_at_mm - use->rides_at_mm);
        t.rides = rides_words(copying, cutting);
        if (covers_wood) t.rough_cut = rough_cut(t.body_on_left);
    }

    static std::string rides_words(const std::vector<std::string>& copying, const std::vector<std::string>& cutting) {
        const auto listed = [](const std::vector<std::string>& list) {
            std::string text;
            for (const auto& words : list) text += (text.empty() ? "" : " and ") + words;
            return text;
        };
        if (copying.empty() || copying == cutting) return listed(cutting);
        if (cutting.empty()) return listed(copying);
        return fmt::format("{} to copy, {} to cut", listed(copying), listed(cutting));
    }

    Path rough_cut(bool piece_on_left) {
        const double past_mm = job_.sheet.run_out_mm;
        const Path wanted = in_wood_.closed ? in_wood_ : geometry::extended(in_wood_, past_mm, past_mm);
        return one_line(wanted, piece_on_left ? Side::right : Side::left, job_.limits.reveal_mm);
    }

    void name(std::vector<TemplatePlan>& templates) const {
        int on_left = 0, on_right = 0;
        for (TemplatePlan& t : templates) {
            const int number = ++(t.body_on_left ? on_left : on_right);
            const char* inside = !in_wood_.closed ? "" : t.body_on_left ? " (inside)" : " (outside)";
            t.title = fmt::format("{}, {}{} {}template", seam_name_, t.hand, inside,
                                  t.master && !chain_.prints_mating ? "master " : "");
            if (number > 1) t.title += fmt::format(" {}", number);
        }
    }

    void mate(std::vector<TemplatePlan>& templates) const {
        for (TemplatePlan& t : templates) {
            // The last one of the other hand is the one that cuts; those before it are only copied.
            for (const TemplatePlan& other : templates) {
                if (other.body_on_left != t.body_on_left) t.mating_edge = other.edge;
            }
        }
    }

    const job::Job& job_;
    const shelf::Shelf& shelf_;
    const std::string& seam_name_;
    const Path& in_wood_;
    const seam::Chain& chain_;
    const seam::Simulation& simulation_;
    const Path& outline_;
};

}  // namespace

std::string rider_words(const shelf::Shelf& shelf, const seam::Pair& pair) {
    const std::string& rider =
        pair.rides == seam::Pair::Rides::guide ? shelf.guides[pair.rider].name : shelf.bearings[pair.rider].name;
    return fmt::format("{}, {}", rider, shelf.cutters[pair.cutter].name);
}

Path template_body(const Path& edge, bool body_on_left, double body_mm) {
    const Side side = body_on_left ? Side::left : Side::right;
    if (edge.closed) {
        // Inside its edge the template is a whole plate: the edge says everything.
        if (body_on_left) return {};
        return one_line(edge, side, body_mm);
    }
    const Path back = geometry::reversed(back_line(edge, side, body_mm));
    Path closed = edge;
    closed.segments.push_back(geometry::line(closed.end(), back.start()));
    geometry::append(closed, back);
    closed.segments.push_back(geometry::line(back.end(), edge.start()));
    closed.closed = true;
    return geometry::area_mm2(closed) < 0.0 ? geometry::reversed(closed) : closed;
}

std::vector<TemplatePlan> plan_templates(const job::Job& job, const shelf::Shelf& shelf, const std::string& seam_name,
                                         const Path& in_wood, const seam::Chain& chain,
                                         const seam::Simulation& simulation, const Path& outline) {
    return TemplateMaker(job, shelf, seam_name, in_wood, chain, simulation, outline).make();
}

}  // namespace seamwright::plan
