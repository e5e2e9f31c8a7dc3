#include "triangulate.h"

#include <algorithm>
#include <deque>
#include <utility>

namespace seamwright::wood {
namespace {

__extension__ using Whole = __int128;

int sign(Whole value) {
    return value > 0 ? 1 : value < 0 ? -1 : 0;
}

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

constexpr int next(int i) {
    return i == 2 ? 0 : i + 1;
}
constexpr int before(int i) {
    return i == 0 ? 2 : i - 1;
}

class Builder {
  public:
    Builder(std::span<const Site> sites, std::span<const FixedEdge> edges)
        : sites_(sites.begin(), sites.end()), edges_(edges), count_(static_cast<int>(sites.size())) {
        constexpr std::int64_t far = 2 * largest_site;
        for (const Site corner : {Site{-far, -far}, Site{far, -far}, Site{far, far}, Site{-far, far}})
            sites_.push_back(corner);
        const int a = count_, b = count_ + 1, c = count_ + 2, d = count_ + 3;
        triangle_of_.assign(sites_.size(), -1);
        twin_.assign(sites_.size(), -1);
        triangles_.push_back({{a, b, c}, {-1, 1, -1}, {-1, -1, -1}});
        triangles_.push_back({{a, c, d}, {-1, -1, 0}, {-1, -1, -1}});
        for (const int corner : {a, b, c}) triangle_of_[at(corner)] = 0;
        triangle_of_[at(d)] = 1;
    }

    Triangulation run() {
        triangles_.reserve(2 * sites_.size());
        trouble_.assign(edges_.size(), false);
        for (int site = 0; site < count_; ++site) insert(site);
        for (int edge = 0; edge < static_cast<int>(edges_.size()); ++edge) fix(edge);
        Triangulation out;
        for (int edge = 0; edge < static_cast<int>(edges_.size()); ++edge)
            if (trouble_[at(edge)]) out.in_trouble.push_back(edge);
        out.triangles = std::move(triangles_);
        return out;
    }

  private:
    /// 1 when a, b, c turn left.
    int turn(int a, int b, int c) const {
        const Site p = sites_[at(a)], q = sites_[at(b)], r = sites_[at(c)];
        return sign(Whole{q.x - p.x} * (r.y - p.y) - Whole{q.y - p.y} * (r.x - p.x));
    }

    /// d lies inside the circle through a, b, c (counter-clockwise).
    bool inside_circle(int a, int b, int c, int d) const {
        const Site o = sites_[at(d)];
        const auto from = [&](int i) { return Site{sites_[at(i)].x - o.x, sites_[at(i)].y - o.y}; };
        const Site p = from(a), q = from(b), r = from(c);
        const auto square = [](Site s) { return Whole{s.x} * s.x + Whole{s.y} * s.y; };
        const auto cross = [](Site s, Site t) { return Whole{s.x} * t.y - Whole{s.y} * t.x; };
        return square(p) * cross(q, r) + square(q) * cross(r, p) + square(r) * cross(p, q) > 0;
    }

    SiteTriangle& triangle(int t) { return triangles_[at(t)]; }
    static int index_of(const std::array<int, 3>& of, int value) { return of[0] == value ? 0 : of[1] == value ? 1 : 2; }

    /// Puts a triangle in place and tells its neighbours and corners.
    void set(int t, const SiteTriangle& is) {
        triangle(t) = is;
        for (const int corner : is.corner) triangle_of_[at(corner)] = t;
    }
    void replace_beside(int t, int was, int now) {
        if (t >= 0) triangle(t).beside[at(index_of(triangle(t).beside, was))] = now;
    }

    /// A triangle that holds the site, by walking towards it.
    int locate(int site) const {
        int t = last_;
        for (int came_from = -1;;) {
            const SiteTriangle& here = triangles_[at(t)];
            int onward = -1;
            for (int i = 0; i < 3 && onward < 0; ++i)
                if (here.beside[at(i)] >= 0 && here.beside[at(i)] != came_from &&
                    turn(here.corner[at(next(i))], here.corner[at(before(i))], site) < 0)
                    onward = here.beside[at(i)];
            if (onward < 0) return t;
            came_from = t;
            t = onward;
        }
    }

    void insert(int site) {
        const int t = locate(site);
        const SiteTriangle old = triangle(t);
        for (const int corner : old.corner)
            if (sites_[at(corner)].x == sites_[at(site)].x && sites_[at(corner)].y == sites_[at(site)].y) {
                twin_[at(site)] = corner;
                return;
            }
        int on_edge = -1;
        for (int i = 0; i < 3; ++i)
            if (turn(old.corner[at(next(i))], old.corner[at(before(i))], site) == 0) on_edge = i;
        const int fresh = static_cast<int>(triangles_.size());
        if (on_edge < 0) {
            triangles_.resize(triangles_.size() + 2);
            const auto [a, b, c] = old.corner;
            const auto [beside_a, beside_b, beside_c] = old.beside;
            set(t, {{site, b, c}, {beside_a, fresh, fresh + 1}, {-1, -1, -1}});
            set(fresh, {{site, c, a}, {beside_b, fresh + 1, t}, {-1, -1, -1}});
            set(fresh + 1, {{site, a, b}, {beside_c, t, fresh}, {-1, -1, -1}});
            replace_beside(beside_b, t, fresh);
            replace_beside(beside_c, t, fresh + 1);
            waiting_ = {t, fresh, fresh + 1};
        } else {
            // Both triangles beside the edge b-c become two each. The frame is far away: the edge has two sides.
            const int i = on_edge, u = old.beside[at(i)];
            const SiteTriangle other = triangle(u);
            const int j = index_of(other.beside, t);
            triangles_.resize(triangles_.size() + 2);
            const int a = old.corner[at(i)], b = old.corner[at(next(i))], c = old.corner[at(before(i))];
            const int d = other.corner[at(j)];
            const int beside_b = old.beside[at(next(i))], beside_c = old.beside[at(before(i))];
            const int other_c = other.beside[at(next(j))], other_b = other.beside[at(before(j))];
            set(t, {{site, a, b}, {beside_c, u, fresh}, {-1, -1, -1}});
            set(fresh, {{site, c, a}, {beside_b, t, fresh + 1}, {-1, -1, -1}});
            set(fresh + 1, {{site, d, c}, {other_b, fresh, u}, {-1, -1, -1}});
            set(u, {{site, b, d}, {other_c, fresh + 1, t}, {-1, -1, -1}});
            replace_beside(beside_b, t, fresh);
            replace_beside(other_b, u, fresh + 1);
            waiting_ = {t, fresh, fresh + 1, u};
        }
        while (!waiting_.empty()) {
            const int now = waiting_.back();
            waiting_.pop_back();
            const int i = index_of(triangle(now).corner, site), u = triangle(now).beside[at(i)];
            if (u < 0) continue;
            const int j = index_of(triangle(u).beside, now);
            const SiteTriangle& is = triangle(now);
            if (!inside_circle(is.corner[0], is.corner[1], is.corner[2], triangle(u).corner[at(j)])) continue;
            flip(now, i);
            waiting_.push_back(now);
            waiting_.push_back(u);
        }
        last_ = triangle_of_[at(site)];
    }

    /// Turns the edge opposite corner i of t into the other diagonal of its two triangles.
    void flip(int t, int i) {
        const SiteTriangle one = triangle(t);
        const int u = one.beside[at(i)];
        const SiteTriangle two = triangle(u);
        const int j = index_of(two.beside, t);
        const int a = one.corner[at(i)], b = one.corner[at(next(i))], c = one.corner[at(before(i))];
        const int d = two.corner[at(j)];
        const int bd = two.beside[at(next(j))], dc = two.beside[at(before(j))];
        const int ab = one.beside[at(before(i))], ca = one.beside[at(next(i))];
        set(t, {{a, b, d}, {bd, u, ab}, {two.fixed[at(next(j))], -1, one.fixed[at(before(i))]}});
        set(u, {{a, d, c}, {dc, ca, t}, {two.fixed[at(before(j))], one.fixed[at(next(i))], -1}});
        replace_beside(bd, u, t);
        replace_beside(ca, t, u);
    }

    /// The triangle that has the edge from→to counter-clockwise, and the corner opposite it.
    std::pair<int, int> find(int from, int to) {
        const int start = triangle_of_[at(from)];
        int t = start;
        do {
            const int i = index_of(triangle(t).corner, from);
            if (triangle(t).corner[at(next(i))] == to) return {t, before(i)};
            t = triangle(t).beside[at(next(i))];
        } while (t != start && t >= 0);
        return {-1, -1};
    }

    void mark(int from, int to, int edge) {
        for (const auto& [t, i] : {find(from, to), find(to, from)})
            if (t >= 0) triangle(t).fixed[at(i)] = edge;
    }

    void fix(int edge) {
        const auto [a, b] = edges_[at(edge)];
        if (twin_[at(a)] >= 0 || twin_[at(b)] >= 0) {
            trouble_[at(edge)] = true;
            return;
        }
        if (const auto [t, i] = find(a, b); t >= 0) {
            if (triangle(t).fixed[at(i)] >= 0) trouble_[at(edge)] = trouble_[at(triangle(t).fixed[at(i)])] = true;
            mark(a, b, edge);
            return;
        }
        // The edges between a and b, each as its end on the right and on the left.
        std::deque<std::pair<int, int>> crossing;
        int t = triangle_of_[at(a)], right = -1, left = -1;
        for (const int start = t;;) {
            const int i = index_of(triangle(t).corner, a);
            const int p = triangle(t).corner[at(next(i))], q = triangle(t).corner[at(before(i))];
            const int turn_p = turn(a, b, p), turn_q = turn(a, b, q);
            if ((turn_p == 0 && ahead(a, b, p)) || (turn_q == 0 && ahead(a, b, q))) {
                trouble_[at(edge)] = true;
                return;
            }
            if (turn_p < 0 && turn_q > 0) {
                right = p;
                left = q;
                break;
            }
            t = triangle(t).beside[at(next(i))];
            if (t == start || t < 0) {
                trouble_[at(edge)] = true;
                return;
            }
        }
        int came = index_of(triangle(t).corner, a);
        while (true) {
            crossing.emplace_back(right, left);
            if (const int other = triangle(t).fixed[at(came)]; other >= 0) {
                trouble_[at(edge)] = trouble_[at(other)] = true;
                return;
            }
            const int u = triangle(t).beside[at(came)];
            const int d = triangle(u).corner[at(index_of(triangle(u).beside, t))];
            if (d == b) break;
            const int side = turn(a, b, d);
            if (side == 0) {
                trouble_[at(edge)] = true;
                return;
            }
            t = u;
            // The next edge lies opposite the end that is left behind.
            came = index_of(triangle(u).corner, side > 0 ? left : right);
            (side > 0 ? left : right) = d;
        }
        clear_way(a, b, crossing);
        mark(a, b, edge);
        make_delaunay();
    }

    bool ahead(int a, int b, int p) const {
        const Site o = sites_[at(a)], q = sites_[at(b)], r = sites_[at(p)];
        return Whole{q.x - o.x} * (r.x - o.x) + Whole{q.y - o.y} * (r.y - o.y) > 0;
    }

    /// The diagonal opposite corner i of t lies in a quadrilateral without a hollow corner.
    bool can_flip(int t, int i) {
        const int u = triangle(t).beside[at(i)];
        if (u < 0) return false;
        const int a = triangle(t).corner[at(i)], d = triangle(u).corner[at(index_of(triangle(u).beside, t))];
        return turn(a, d, triangle(t).corner[at(next(i))]) < 0 && turn(a, d, triangle(t).corner[at(before(i))]) > 0;
    }

    /// S. Sloan, Advances in Engineering Software 55 (1993): flip what crosses until nothing does.
    void clear_way(int a, int b, std::deque<std::pair<int, int>>& crossing) {
        turned_.clear();
        while (!crossing.empty()) {
            const auto [p, q] = crossing.front();
            crossing.pop_front();
            const auto [t, i] = find(p, q);
            if (t < 0) continue;
            if (!can_flip(t, i)) {
                crossing.emplace_back(p, q);
                continue;
            }
            const int u = triangle(t).beside[at(i)];
            const int c = triangle(t).corner[at(i)], d = triangle(u).corner[at(index_of(triangle(u).beside, t))];
            flip(t, i);
            const bool touches = c == a || c == b || d == a || d == b;
            if (!touches && turn(a, b, c) * turn(a, b, d) < 0)
                crossing.emplace_back(c, d);
            else
                turned_.emplace_back(c, d);
        }
    }

    void make_delaunay() {
        for (bool changed = true; changed;) {
            changed = false;
            for (auto& [p, q] : turned_) {
                const auto [t, i] = find(p, q);
                if (t < 0 || triangle(t).fixed[at(i)] >= 0 || !can_flip(t, i)) continue;
                const int u = triangle(t).beside[at(i)];
                const int c = triangle(t).corner[at(i)], d = triangle(u).corner[at(index_of(triangle(u).beside, t))];
                const auto [x, y, z] = triangle(t).corner;
                if (!inside_circle(x, y, z, d)) continue;
                flip(t, i);
                p = c;
                q = d;
                changed = true;
            }
        }
    }

    std::vector<Site> sites_;
    std::span<const FixedEdge> edges_;
    int count_;
    std::vector<SiteTriangle> triangles_;
    std::vector<int> triangle_of_;  // some triangle at each site
    std::vector<int> twin_;         // the earlier site in the same place, or -1
    std::vector<bool> trouble_;
    std::vector<int> waiting_;
    std::vector<std::pair<int, int>> turned_;
    int last_ = 0;
};

}  // namespace

Triangulation triangulate(std::span<const Site> sites, std::span<const FixedEdge> edges) {
    return Builder(sites, edges).run();
}

}  // namespace seamwright::wood
