#include "index_marks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "geometry/path_index.h"

namespace seamwright::plan {
namespace {

using geometry::PathIndex;

// Parts of the seam's length. Turned end for end (1 − part) none of them comes within a tenth of the length of another;
// round a closed seam the three gaps differ by as much, so that neither turning nor turning over brings them on
// themselves. The little that a mark may be moved does not undo that.
constexpr std::array<double, 2> short_open{0.22, 0.66};
constexpr std::array<double, 3> long_open{0.15, 0.42, 0.72};
constexpr std::array<double, 3> closed_parts{0.07, 0.27, 0.58};
constexpr double long_mm = 1200.0;

constexpr double most_bare_mm = 15.0;      // longer lines say no more
constexpr double off_fastening_mm = 15.0;  // so that the line can be drawn
constexpr double off_other_seam_mm = 3.0;
/// A mark is moved by steps of so much of the length, up to so many, to find a good place.
constexpr double step_part = 0.005;
constexpr int most_steps = 4;

std::span<const double> parts_of(const SeamPlan& seam) {
    if (seam.in_wood.closed) return closed_parts;
    if (seam.length_mm > long_mm) return long_open;
    return short_open;
}

double bare_mm(const RoughCut& cut) {
    const double bare = cut.from_waste ? most_bare_mm : std::min(most_bare_mm, cut.offset_mm);
    return bare < least_bare_mm ? 0.0 : bare;
}

class Maker {
  public:
    Maker(const Plan& plan, std::size_t seam, const RoughCut& left, const RoughCut& right)
        : plan_(plan),
          seam_(plan.seams[seam]),
          left_(left),
          right_(right),
          index_(seam),
          running_(geometry::running_length_mm(seam_.in_wood)) {}

    std::vector<IndexMark> marks() const {
        std::vector<IndexMark> out;
        for (const double part : parts_of(seam_)) {
            IndexMark best = mark_at(part * seam_.length_mm);
            for (int k = 1; k <= 2 * most_steps && !good(best); ++k) {
                const int steps = (k + 1) / 2;
                const double by = step_part * steps * (k % 2 == 0 ? -1.0 : 1.0);
                const IndexMark other = mark_at((part + by) * seam_.length_mm);
                if (good(other)) best = other;
            }
            if (good(best)) out.push_back(best);
        }
        return out;
    }

  private:
    const TemplatePlan& template_of(const RoughCut& cut) const { return seam_.templates[cut.template_index]; }

    IndexMark mark_at(double at_mm) const {
        const auto station = geometry::station_at(seam_.in_wood, running_, at_mm);
        IndexMark mark;
        mark.seam = index_;
        mark.at_mm = at_mm;
        mark.on_seam = geometry::point_at(seam_.in_wood, station);
        mark.to_left = geometry::left_of(geometry::tangent_at(seam_.in_wood, station));
        mark.left_mm = bare_mm(left_);
        mark.right_mm = bare_mm(right_);
        return mark;
    }

    /// On kept wood of both pieces, off other seams and off what holds the templates.
    bool good(const IndexMark& mark) const {
        for (const RoughCut* cut : {&left_, &right_}) {
            const double sign = cut->on_left ? 1.0 : -1.0;
            const double bare = cut->on_left ? mark.left_mm : mark.right_mm;
            const geometry::Region& finished = plan_.pieces[cut->piece].region;
            constexpr double just_inside_mm = 0.01;
            for (const double in : {just_inside_mm, std::max(bare, 2.0 * just_inside_mm)}) {
                const Point p = mark.on_seam + sign * in * mark.to_left;
                if (!geometry::contains(finished, p)) return false;
                for (std::size_t s = 0; s < plan_.seams.size(); ++s) {
                    const Path& other = plan_.seams[s].in_wood;
                    if (s != index_ && !other.empty() && PathIndex(other).any_nearer_than(p, off_other_seam_mm))
                        return false;
                }
            }
            const TemplatePlan& t = template_of(*cut);
            const double deep = t.body_on_left ? mark_on_template_mm : -mark_on_template_mm;
            const Point from = mark.on_seam, to = mark.on_seam - (t.nominal_n_mm - deep) * mark.to_left;
            const geometry::Segment line = geometry::line(from, to);
            std::vector<Point> taken = cut->tape;
            taken.insert(taken.end(), t.registration.begin(), t.registration.end());
            for (const CutEnd& end : cut->ends)
                for (const auto& screw : end.screws) taken.push_back(screw.at);
            for (const Point p : taken)
                if (geometry::nearest(line, p).distance_mm < off_fastening_mm) return false;
        }
        return true;
    }

    const Plan& plan_;
    const SeamPlan& seam_;
    const RoughCut& left_;
    const RoughCut& right_;
    std::size_t index_;
    std::vector<double> running_;
};

}  // namespace

std::vector<IndexMark> index_marks(const Plan& plan, std::size_t seam, const std::vector<RoughCut>& cuts) {
    const RoughCut* left = nullptr;
    const RoughCut* right = nullptr;
    for (const RoughCut& cut : cuts)
        if (cut.seam == seam) (cut.on_left ? left : right) = &cut;
    if (left == nullptr || right == nullptr) return {};
    return Maker(plan, seam, *left, *right).marks();
}

}  // namespace seamwright::plan
