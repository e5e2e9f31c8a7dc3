#include "meeting.h"

namespace seamwright::geometry {

namespace {

/// Moves a place within rounding of a joint onto it. True when it did; the joint belongs to the segment that starts
/// there.
bool to_joint(const Path& path, Station& at, Point& point, double same_mm) {
    const Segment& s = path.segments[at.segment];
    const double to_start = distance(s.start, point);
    const double to_end = distance(s.end, point);
    if (std::min(to_start, to_end) > same_mm) return false;
    if (to_start <= to_end) {
        at.u = 0.0;
        point = s.start;
        return true;
    }
    point = s.end;
    if (at.segment + 1 < path.segments.size()) {
        at = {at.segment + 1, 0.0};
    } else {
        at = path.closed ? Station{0, 0.0} : Station{at.segment, 1.0};
    }
    return true;
}

class Surveyor {
  public:
    Surveyor(const Path& curve, const PathIndex& index, const RegionIndex& region)
        : curve_(curve), index_(index), region_(region), running_(running_length_mm(curve)) {
        Box box = bounding_box(curve);
        box.add(region.box());
        same_mm_ = same_place_mm(box);
        // A tangent contact stays within rounding over a length of the root of rounding times radius; for radii up to
        // the size of the drawing that is a point. What is longer runs along the edge.
        along_mm_ = std::sqrt(8.0 * largest_coordinate(box) * same_mm_);
    }

    Course survey() {
        find_places();
        Course course;
        const std::size_t n = places_.size();
        // side[k]: between place k − 1 and place k; the first and last are the curve's ends.
        std::vector<Where> side(n + 1);
        for (std::size_t k = 0; k <= n; ++k) {
            side[k] = where(k == 0 ? 0.0 : places_[k - 1].at_mm, k == n ? running_.back() : places_[k].at_mm);
            if (side[k] == Where::outside) course.leaves = true;
        }
        gather(side, course);
        if (!curve_.closed) {
            course.start = side.front();
            course.end = side.back();
        } else {
            join_ends(course, side);
        }
        collect_inside(side, course);
        return course;
    }

  private:
    void find_places() {
        for (std::size_t l = 0; l < region_.size(); ++l) {
            const Path& edge = region_.loop(l).path();
            for (const PathCrossing& c : crossings(index_, region_.loop(l))) {
                EdgePlace place{c.on_a, c.on_b, l, c.point, 0.0};
                place.point = point_at(edge, place.on_edge);
                Point on_curve = place.point;
                const bool at_curve_joint = to_joint(curve_, place.on_curve, on_curve, same_mm_);
                if (!to_joint(edge, place.on_edge, place.point, same_mm_) && at_curve_joint) place.point = on_curve;
                place.at_mm = running_[place.on_curve.segment] +
                              place.on_curve.u * length_mm(curve_.segments[place.on_curve.segment]);
                places_.push_back(place);
            }
        }
        std::stable_sort(places_.begin(), places_.end(),
                         [](const EdgePlace& a, const EdgePlace& b) { return before(a.on_curve, b.on_curve); });
    }

    /// Between two neighbouring places the curve does not meet the edge, so one place tells for all: the one that lies
    /// farthest from the edge.
    Where where(double from_mm, double to_mm) const {
        if (to_mm - from_mm <= same_mm_) return Where::nowhere;
        constexpr double clear = 1e3;
        double farthest = 0.0;
        Point there;
        for (const double f : {0.5, 0.25, 0.75, 0.125, 0.375, 0.625, 0.875}) {
            const Point p = point_at(curve_, station_at(curve_, running_, from_mm + f * (to_mm - from_mm)));
            const double d = region_.distance_mm(p);
            if (d <= farthest) continue;
            farthest = d;
            there = p;
            if (d > clear * same_mm_) break;
        }
        if (farthest <= same_mm_) return Where::on_edge;
        return region_.contains(there) ? Where::inside : Where::outside;
    }

    static bool parts(Where w) { return w == Where::inside || w == Where::outside; }

    /// Places with nothing but edge between them are one meeting.
    void gather(const std::vector<Where>& side, Course& course) const {
        const std::size_t n = places_.size();
        for (std::size_t k = 0; k < n;) {
            Meeting m;
            m.first = places_[k];
            m.before = parts(side[k]) ? side[k] : Where::nowhere;
            double from_mm = side[k] == Where::on_edge ? 0.0 : places_[k].at_mm;
            std::size_t last = k;
            while (last + 1 < n && !parts(side[last + 1])) ++last;
            m.last = places_[last];
            m.after = parts(side[last + 1]) ? side[last + 1] : Where::nowhere;
            const double to_mm = side[last + 1] == Where::on_edge ? running_.back() : places_[last].at_mm;
            m.runs_along = to_mm - from_mm > along_mm_;
            course.meetings.push_back(m);
            k = last + 1;
        }
    }

    /// On a closed curve what comes before the first place is what comes after the last.
    static void join_ends(Course& course, const std::vector<Where>& side) {
        if (course.meetings.empty()) {
            course.start = course.end = side.front();
            return;
        }
        Meeting& first = course.meetings.front();
        Meeting& last = course.meetings.back();
        const auto first_side = std::find_if(side.begin(), side.end(), parts);
        const auto last_side = std::find_if(side.rbegin(), side.rend(), parts);
        if (first_side == side.end()) return;
        if (first.before == Where::nowhere) first.before = *last_side;
        if (last.after == Where::nowhere) last.after = *first_side;
        course.start = course.end = *first_side;
    }

    void collect_inside(const std::vector<Where>& side, Course& course) const {
        if (places_.empty()) {
            if (side.front() == Where::inside) course.inside.push_back(curve_);
            return;
        }
        const std::size_t n = places_.size();
        const std::size_t last = curve_.segments.size() - 1;
        for (std::size_t k = 0; k <= n; ++k) {
            if (side[k] != Where::inside) continue;
            const bool from_start = k == 0;
            const bool to_end = k == n;
            Path open = curve_;
            open.closed = false;
            course.inside.push_back(stretch(open, from_start ? Station{0, 0.0} : places_[k - 1].on_curve,
                                            from_start ? curve_.start() : places_[k - 1].point,
                                            to_end ? Station{last, 1.0} : places_[k].on_curve,
                                            to_end ? curve_.end() : places_[k].point));
        }
    }

    const Path& curve_;
    const PathIndex& index_;
    const RegionIndex& region_;
    std::vector<double> running_;
    double same_mm_ = 0.0;
    double along_mm_ = 0.0;
    std::vector<EdgePlace> places_;
};

}  // namespace

Course course(const Path& curve, const PathIndex& index, const RegionIndex& region) {
    return Surveyor(curve, index, region).survey();
}

Path stretch(const Path& path, Station from, Point from_point, Station to, Point to_point) {
    Path out;
    const std::size_t n = path.segments.size();
    const bool through_start = path.closed && !before(from, to);
    const std::size_t last = to.segment + (through_start ? n : 0);
    for (std::size_t i = from.segment; i <= last; ++i) {
        const double u0 = i == from.segment ? from.u : 0.0;
        const double u1 = i == last ? to.u : 1.0;
        if (u1 > u0) out.segments.push_back(part(path.segments[i % n], u0, u1));
    }
    if (!out.empty()) {
        out.segments.front().start = from_point;
        out.segments.back().end = to_point;
    }
    return out;
}

}  // namespace seamwright::geometry
