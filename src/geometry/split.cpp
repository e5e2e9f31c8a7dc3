// Cutting a region along curves that do not meet each other.
//
// Every open curve runs from edge to edge, so the ends of the curves divide the outline into stretches, and a piece is
// walked by following the outline with the region on the left and turning left into each curve that is met. No curve
// is looked at twice, and nothing has to be compared by angle. Closed curves are then hung into the smallest curve or
// piece that holds them.

#include <array>
#include <optional>

#include "meeting.h"

namespace seamwright::geometry {

namespace {

using Kind = SplitProblem::Kind;

/// Where an open curve ends on the outline.
struct Mark {
    std::size_t curve;
    bool at_start;
    Station on_edge;
    Point point;
};

class Splitter {
  public:
    Splitter(const Region& region, const std::vector<Path>& curves) : region_(region), curves_(curves), edge_(region) {
        Box box = edge_.box();
        for (const Path& c : curves) box.add(bounding_box(c));
        same_mm_ = same_place_mm(box);
    }

    std::variant<Split, std::vector<SplitProblem>> run() {
        inside_.resize(curves_.size());
        split_.trimmed.resize(curves_.size());
        for (std::size_t i = 0; i < curves_.size(); ++i) survey(i);
        check_meetings();
        std::stable_sort(problems_.begin(), problems_.end(),
                         [](const SplitProblem& a, const SplitProblem& b) { return a.curve < b.curve; });
        if (!problems_.empty()) return std::move(problems_);
        walk_pieces();
        hang_in_closed();
        for (SplitPiece& piece : split_.pieces) {
            std::sort(piece.bounds.begin(), piece.bounds.end(),
                      [](const SplitPiece::Bound& a, const SplitPiece::Bound& b) { return a.curve < b.curve; });
        }
        return std::move(split_);
    }

  private:
    void report(Kind kind, std::size_t curve, Point at, std::size_t other = 0) {
        problems_.push_back({kind, curve, other, at});
    }

    void survey(std::size_t i) {
        const Path& curve = curves_[i];
        if (curve.empty()) {
            report(curve.closed ? Kind::not_inside : Kind::misses, i,
                   region_.outer.empty() ? Point{} : region_.outer.start());
            return;
        }
        const PathIndex index(curve);
        Course way = course(curve, index, edge_);
        curve.closed ? judge_closed(i, way) : judge_open(i, way);
        visit_self_crossings(index, [&](const PathCrossing& c) {
            // What a curve does outside is of no account.
            if (!edge_.contains(c.point) && edge_.distance_mm(c.point) > same_mm_) return true;
            report(Kind::crosses_itself, i, c.point);
            return false;
        });
        inside_[i] = std::move(way.inside);
    }

    void judge_open(std::size_t i, const Course& way) {
        const Path& curve = curves_[i];
        const std::size_t before = problems_.size();
        if (way.start == Where::inside) report(Kind::ends_inside, i, curve.start());
        if (way.end == Where::inside) report(Kind::ends_inside, i, curve.end());
        std::vector<const Meeting*> crossed;
        const Meeting* more = nullptr;
        const Meeting* touched = nullptr;
        for (const Meeting& m : way.meetings) {
            if (!m.crosses()) {
                if (!touched) touched = &m;
            } else if (m.first.loop == 0 && crossed.size() < 2) {
                crossed.push_back(&m);
            } else if (!more) {
                more = &m;
            }
        }
        if (more) report(Kind::crosses_edge_more, i, more->first.point);
        if (touched) report(Kind::touches_edge, i, touched->first.point);
        if (problems_.size() > before) return;
        if (crossed.size() != 2 || way.inside.size() != 1) {
            report(Kind::misses, i, nearest_to_edge(curve));
            return;
        }
        split_.trimmed[i] = way.inside.front();
        // The curve leaves the edge at the last place of the meeting where it enters.
        marks_.push_back({i, true, crossed[0]->last.on_edge, crossed[0]->last.point});
        marks_.push_back({i, false, crossed[1]->first.on_edge, crossed[1]->first.point});
    }

    void judge_closed(std::size_t i, const Course& way) {
        const auto crossed =
            std::find_if(way.meetings.begin(), way.meetings.end(), [](const Meeting& m) { return m.crosses(); });
        if (crossed != way.meetings.end()) {
            report(Kind::not_inside, i, crossed->first.point);
        } else if (way.leaves) {
            report(Kind::not_inside, i, nearest_to_edge(curves_[i]));
        } else if (!way.meetings.empty()) {
            report(Kind::touches_edge, i, way.meetings.front().first.point);
        } else {
            split_.trimmed[i] = curves_[i];
        }
    }

    Point nearest_to_edge(const Path& curve) const {
        Point best = curve.start();
        double least = edge_.distance_mm(best);
        for (const Segment& s : curve.segments) {
            for (const double u : {0.5, 1.0}) {
                const Point p = point_at(s, u);
                const double d = edge_.distance_mm(p);
                if (d < least) {
                    least = d;
                    best = p;
                }
            }
        }
        return best;
    }

    /// Curves against each other, within the region only. One report for each pair, at the first place along the later.
    void check_meetings() {
        struct Stretch {
            std::size_t curve;
            Box box;
            PathIndex index;
        };
        std::vector<Stretch> all;
        for (std::size_t i = 0; i < inside_.size(); ++i) {
            for (const Path& p : inside_[i]) all.push_back({i, bounding_box(p).grown(same_mm_), PathIndex(p)});
        }
        for (std::size_t b = 0; b < all.size(); ++b) {
            for (std::size_t a = 0; a < b; ++a) {
                if (all[a].curve == all[b].curve || !all[a].box.meets(all[b].box)) continue;
                if (pair_known(all[b].curve, all[a].curve)) continue;
                const auto met = crossings(all[b].index, all[a].index);
                if (!met.empty()) report(Kind::crosses_other, all[b].curve, met.front().point, all[a].curve);
            }
        }
        std::stable_sort(marks_.begin(), marks_.end(),
                         [](const Mark& a, const Mark& b) { return before(a.on_edge, b.on_edge); });
        for (std::size_t k = 0; k < marks_.size(); ++k) {
            const Mark& a = marks_[k];
            const Mark& b = marks_[(k + 1) % marks_.size()];
            if (a.curve == b.curve || distance(a.point, b.point) > same_mm_) continue;
            const std::size_t later = std::max(a.curve, b.curve);
            const std::size_t earlier = std::min(a.curve, b.curve);
            if (!pair_known(later, earlier)) report(Kind::crosses_other, later, a.point, earlier);
        }
    }

    bool pair_known(std::size_t curve, std::size_t other) const {
        return std::any_of(problems_.begin(), problems_.end(), [&](const SplitProblem& p) {
            return p.kind == Kind::crosses_other && p.curve == curve && p.other == other;
        });
    }

    void walk_pieces() {
        const std::size_t n = marks_.size();
        if (n == 0) {
            split_.pieces.push_back({{region_.outer, {}}, {}});
            return;
        }
        std::vector<std::size_t> partner(n);
        for (std::size_t a = 0; a < n; ++a) {
            for (std::size_t b = 0; b < n; ++b) {
                if (a != b && marks_[a].curve == marks_[b].curve) partner[a] = b;
            }
        }
        std::vector<bool> done(n, false);
        // Stretch k of the outline runs from mark k to the next; the last one holds the outline's own start.
        for (std::size_t first : walk_order(n)) {
            if (done[first]) continue;
            SplitPiece piece;
            piece.region.outer.closed = true;
            for (std::size_t k = first; !done[k];) {
                done[k] = true;
                const std::size_t next = (k + 1) % n;
                append(piece.region.outer, stretch(region_.outer, marks_[k].on_edge, marks_[k].point,
                                                   marks_[next].on_edge, marks_[next].point));
                const Mark& into = marks_[next];
                const Path& seam = split_.trimmed[into.curve];
                append(piece.region.outer, into.at_start ? seam : reversed(seam));
                piece.bounds.push_back({into.curve, into.at_start});
                k = partner[next];
            }
            split_.pieces.push_back(std::move(piece));
        }
    }

    static std::vector<std::size_t> walk_order(std::size_t n) {
        std::vector<std::size_t> order{n - 1};
        for (std::size_t k = 0; k + 1 < n; ++k) order.push_back(k);
        return order;
    }

    void hang_in_closed() {
        struct Holder {
            std::size_t piece;
            double area_mm2;
            PathIndex index;
        };
        // The outlines must stay where they are while they are indexed.
        std::vector<std::size_t> closed;
        for (std::size_t i = 0; i < curves_.size(); ++i) {
            if (curves_[i].closed) closed.push_back(i);
        }
        const std::size_t fields = split_.pieces.size();
        for (const std::size_t i : closed) {
            const bool left = area_mm2(curves_[i]) > 0.0;
            split_.pieces.push_back({{left ? curves_[i] : reversed(curves_[i]), {}}, {{i, left}}});
        }
        std::vector<Holder> holders;
        for (std::size_t k = 0; k < split_.pieces.size(); ++k) {
            const Path& outer = split_.pieces[k].region.outer;
            holders.push_back({k, area_mm2(outer), PathIndex(outer)});
        }
        const auto smallest_holding = [&](Point p, std::size_t not_piece) {
            std::optional<std::size_t> best;
            for (const Holder& h : holders) {
                if (h.piece == not_piece || !h.index.contains(p)) continue;
                if (!best || h.area_mm2 < holders[*best].area_mm2) best = h.piece;
            }
            // Only rounding at an edge can leave a loop without a holder.
            return best.value_or(0);
        };
        for (const Path& hole : region_.holes) {
            if (hole.empty()) continue;
            split_.pieces[smallest_holding(hole.start(), split_.pieces.size())].region.holes.push_back(hole);
        }
        for (std::size_t c = 0; c < closed.size(); ++c) {
            const std::size_t own = fields + c;
            SplitPiece& around = split_.pieces[smallest_holding(curves_[closed[c]].start(), own)];
            around.region.holes.push_back(reversed(split_.pieces[own].region.outer));
            around.bounds.push_back({closed[c], !split_.pieces[own].bounds.front().on_left});
        }
    }

    const Region& region_;
    const std::vector<Path>& curves_;
    RegionIndex edge_;
    double same_mm_ = 0.0;
    std::vector<std::vector<Path>> inside_;  // by curve
    std::vector<Mark> marks_;
    std::vector<SplitProblem> problems_;
    Split split_;
};

}  // namespace

std::variant<Split, std::vector<SplitProblem>> split(const Region& region, const std::vector<Path>& curves) {
    return Splitter(region, curves).run();
}

}  // namespace seamwright::geometry
