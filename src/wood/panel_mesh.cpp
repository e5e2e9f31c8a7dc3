#include "panel_mesh.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>

#include "triangulate.h"

namespace seamwright::wood {
namespace {

using geometry::Box;
using geometry::Segment;

/// Ends of segments closer than this are one place.
constexpr double same_place_mm = 1e-6;
/// Sides of triangles end at sharper corners; over gentler ones a side runs through.
constexpr double corner_of_line_rad = 10.0 / geometry::degrees_per_radian;
constexpr double corner_of_top_rad = 20.0 / geometry::degrees_per_radian;
/// A curved side turns by no more.
constexpr double turn_of_side_rad = 0.5;
/// How fast sides grow with the distance from a seam end.
constexpr double growth = 0.35;
constexpr double shortest_side_mm = 0.02;
constexpr int most_rounds = 14;
constexpr int passes_of_evening = 4;

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

/// A segment in the edge of a piece, once for the two pieces that share it.
struct Strand {
    Segment segment;
    int from = 0, to = 0;  // places
    int left = -1, right = -1;
    bool on_seam() const { return left >= 0 && right >= 0; }
};

/// A strand travelled forwards or backwards.
struct Step {
    int strand = 0;
    bool forwards = true;
};

/// Strands without a corner or a joint of three between its ends.
struct Line {
    std::vector<Step> steps;
    Path path;
    std::vector<double> running_mm;
    int from = 0, to = 0;
    int left = -1, right = -1;
    std::vector<double> nodes_mm;  // where sides meet, ends included
    int first_side = 0;            // of its sides among all
    double length_mm() const { return running_mm.back(); }
    bool closed() const { return path.closed; }
    Point point_at(double at_mm) const { return geometry::point_at(path, station_at(path, running_mm, at_mm)); }
};

/// How long sides may be around a place.
struct Source {
    Point at;
    double side_mm = 0.0;
};

/// Lists of things by the square of the drawing they touch.
class Squares {
  public:
    Squares(const Box& box, double size_mm) : low_(box.low), size_mm_(size_mm) {
        columns_ = static_cast<int>(box.width_mm() / size_mm) + 1;
        rows_ = static_cast<int>(box.height_mm() / size_mm) + 1;
        lists_.resize(at(columns_) * at(rows_));
    }
    void add(const Box& box, int what) {
        for (int row = row_of(box.low.y); row <= row_of(box.high.y); ++row)
            for (int column = column_of(box.low.x); column <= column_of(box.high.x); ++column)
                lists_[at(row) * at(columns_) + at(column)].push_back(what);
    }
    const std::vector<int>& near(Point p) const { return lists_[at(row_of(p.y)) * at(columns_) + at(column_of(p.x))]; }

    /// The squares in which there is something, row by row.
    template <class Visit>
    void visit_filled(const Visit& visit) const {
        for (int row = 0; row < rows_; ++row)
            for (int column = 0; column < columns_; ++column)
                if (!lists_[at(row) * at(columns_) + at(column)].empty()) {
                    const Point low = low_ + Point{column * size_mm_, row * size_mm_};
                    visit(Box{low, low + Point{size_mm_, size_mm_}});
                }
    }

  private:
    int column_of(double x) const {
        return static_cast<int>(std::clamp((x - low_.x) / size_mm_, 0.0, static_cast<double>(columns_ - 1)));
    }
    int row_of(double y) const {
        return static_cast<int>(std::clamp((y - low_.y) / size_mm_, 0.0, static_cast<double>(rows_ - 1)));
    }
    Point low_;
    double size_mm_;
    int columns_ = 1, rows_ = 1;
    std::vector<std::vector<int>> lists_;
};

double distance_to_chord(Point a, Point b, Point p) {
    const Point d = b - a;
    const double u = std::clamp(dot(p - a, d) / norm2(d), 0.0, 1.0);
    return distance(a + u * d, p);
}

class Mesher {
  public:
    Mesher(std::span<const BodyPiece> pieces, std::span<const BodySeam> seams, const BodySettings& settings)
        : pieces_(pieces), seams_(seams), settings_(settings) {}

    std::variant<PanelMesh, BodyProblem> run() {
        if (auto problem = read_strands()) return *problem;
        if (auto problem = find_seams()) return *problem;
        draw_lines();
        if (auto problem = seams_as_lines()) return *problem;
        for (Line& line : lines_) place_nodes(line);
        for (int round = 0; round < most_rounds; ++round) {
            if (auto problem = triangulate_once()) return *problem;
            if (to_split_.empty()) return finished();
            if (auto problem = split_sides()) return *problem;
        }
        return too_fine(*trouble_at_);
    }

  private:
    static BodyProblem too_fine(Point where) {
        return {
            "The edges of the pieces come so close to each other, or meet so sharply, that no triangles fit between.",
            "Move the seam or the edge apart there, or blunt the point.", where};
    }

    /// Ends of segments become numbered places, segments in two edges one strand.
    std::optional<BodyProblem> read_strands() {
        struct Found {
            const Segment* segment;
            int piece, from, to;
        };
        std::vector<Found> found;
        std::vector<Point> ends;
        for (std::size_t p = 0; p < pieces_.size(); ++p) {
            const auto take = [&](const Path& path) {
                for (const Segment& s : path.segments) {
                    box_.add(bounding_box(s));
                    if (geometry::length_mm(s) <= same_place_mm) continue;
                    found.push_back({&s, static_cast<int>(p), 0, 0});
                    ends.push_back(s.start);
                    ends.push_back(s.end);
                }
            };
            take(pieces_[p].region.outer);
            for (const Path& hole : pieces_[p].region.holes) take(hole);
        }
        const std::vector<int> place = number_places(ends);
        std::map<std::pair<int, int>, std::vector<int>> strands_between;
        for (std::size_t i = 0; i < found.size(); ++i) {
            Found& f = found[i];
            f.from = place[2 * i];
            f.to = place[2 * i + 1];
            auto& between = strands_between[std::minmax(f.from, f.to)];
            const Point middle = geometry::point_at(*f.segment, 0.5);
            const auto same = std::find_if(between.begin(), between.end(), [&](int s) {
                return distance(geometry::point_at(strands_[at(s)].segment, 0.5), middle) <= 10.0 * same_place_mm;
            });
            if (same == between.end()) {
                between.push_back(static_cast<int>(strands_.size()));
                strands_.push_back({*f.segment, f.from, f.to, f.piece, -1});
                continue;
            }
            Strand& strand = strands_[at(*same)];
            const bool forwards = f.from != f.to
                                      ? strand.from == f.from
                                      : dot(tangent_at(strand.segment, 0.0), tangent_at(*f.segment, 0.0)) > 0.0;
            int& side = forwards ? strand.left : strand.right;
            if (side >= 0)
                return BodyProblem{
                    fmt::format("Pieces {} and {} lie on the same side of their shared edge.", side + 1, f.piece + 1),
                    "Split the top along its seams so that no piece lies on another.", middle};
            side = f.piece;
        }
        strands_at_.resize(places_.size());
        for (std::size_t s = 0; s < strands_.size(); ++s) {
            strands_at_[at(strands_[s].from)].push_back({static_cast<int>(s), true});
            strands_at_[at(strands_[s].to)].push_back({static_cast<int>(s), false});
        }
        strands_between_ = std::move(strands_between);
        return std::nullopt;
    }

    std::vector<int> number_places(const std::vector<Point>& ends) {
        std::vector<std::size_t> order(ends.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            if (ends[a].x != ends[b].x) return ends[a].x < ends[b].x;
            if (ends[a].y != ends[b].y) return ends[a].y < ends[b].y;
            return a < b;
        });
        std::vector<int> place(ends.size(), -1);
        for (std::size_t i = 0; i < order.size(); ++i) {
            const Point p = ends[order[i]];
            for (std::size_t back = 1; back <= i; ++back) {
                const std::size_t other = order[i - back];
                if (ends[other].x < p.x - same_place_mm) break;
                if (distance(ends[other], p) > same_place_mm) continue;
                place[order[i]] = place[other];
                break;
            }
            if (place[order[i]] >= 0) continue;
            place[order[i]] = static_cast<int>(places_.size());
            places_.push_back(p);
        }
        return place;
    }

    /// The place of an end of a seam, or -1.
    int place_of(Point p) const {
        for (std::size_t i = 0; i < places_.size(); ++i)
            if (distance(places_[i], p) <= same_place_mm) return static_cast<int>(i);
        return -1;
    }

    std::optional<BodyProblem> find_seams() {
        ends_line_.assign(places_.size(), false);
        for (const BodySeam& seam : seams_) {
            std::vector<Step> steps;
            int from = seam.line.empty() ? -1 : place_of(seam.line.start());
            for (const Segment& s : seam.line.segments) {
                if (geometry::length_mm(s) <= same_place_mm) continue;
                const int to = from < 0 ? -1 : far_place(from, s);
                const auto between = to < 0 ? strands_between_.end() : strands_between_.find(std::minmax(from, to));
                int strand = -1;
                if (between != strands_between_.end())
                    for (const int candidate : between->second)
                        if (distance(geometry::point_at(strands_[at(candidate)].segment, 0.5),
                                     geometry::point_at(s, 0.5)) <= 10.0 * same_place_mm)
                            strand = candidate;
                if (strand < 0 || !strands_[at(strand)].on_seam())
                    return BodyProblem{fmt::format("The seam \"{}\" is not the shared edge of two pieces.", seam.name),
                                       "Give the seam as it lies within the wood, from edge to edge.", s.start};
                steps.push_back({strand, strands_[at(strand)].from == from});
                if (strands_[at(strand)].from == strands_[at(strand)].to)
                    steps.back().forwards =
                        dot(tangent_at(strands_[at(strand)].segment, 0.0), tangent_at(s, 0.0)) > 0.0;
                from = to;
            }
            if (steps.empty())
                return BodyProblem{fmt::format("The seam \"{}\" has no length.", seam.name),
                                   "Draw it, or leave it out.", std::nullopt};
            ends_line_[at(start_of(steps.front()))] = true;
            ends_line_[at(end_of(steps.back()))] = true;
            seam_steps_.push_back(std::move(steps));
        }
        return std::nullopt;
    }

    /// Of the strands at a place, where the one that runs like s ends.
    int far_place(int from, const Segment& s) const {
        for (const Step step : strands_at_[at(from)]) {
            const Strand& strand = strands_[at(step.strand)];
            const int to = step.forwards ? strand.to : strand.from;
            if (distance(geometry::point_at(strand.segment, 0.5), geometry::point_at(s, 0.5)) <= 10.0 * same_place_mm)
                return to;
        }
        return -1;
    }

    int start_of(Step s) const { return s.forwards ? strands_[at(s.strand)].from : strands_[at(s.strand)].to; }
    int end_of(Step s) const { return s.forwards ? strands_[at(s.strand)].to : strands_[at(s.strand)].from; }
    Point tangent_out(Step s) const {
        const Segment& segment = strands_[at(s.strand)].segment;
        return s.forwards ? tangent_at(segment, 0.0) : -tangent_at(segment, 1.0);
    }

    /// Lines end where not exactly two strands meet, at corners, where another piece begins and at ends of seams.
    void draw_lines() {
        for (std::size_t p = 0; p < places_.size(); ++p) {
            const auto& here = strands_at_[p];
            if (here.size() != 2) {
                ends_line_[p] = true;
                if (here.size() > 2) fine_places_.push_back(places_[p]);
                continue;
            }
            const Strand &a = strands_[at(here[0].strand)], &b = strands_[at(here[1].strand)];
            const bool sharp = dot(tangent_out(here[0]), tangent_out(here[1])) > -std::cos(corner_of_line_rad);
            const bool same_way = here[0].forwards != here[1].forwards;
            const bool same_pieces =
                same_way ? a.left == b.left && a.right == b.right : a.left == b.right && a.right == b.left;
            if (sharp || !same_pieces) ends_line_[p] = true;
            if (sharp && a.on_seam()) fine_places_.push_back(places_[p]);
        }
        line_of_.assign(strands_.size(), -1);
        for (std::size_t p = 0; p < places_.size(); ++p)
            if (ends_line_[p])
                for (const Step step : strands_at_[p])
                    if (line_of_[at(step.strand)] < 0) draw_line(step);
        for (std::size_t s = 0; s < strands_.size(); ++s)
            if (line_of_[s] < 0) draw_line({static_cast<int>(s), true});
    }

    void draw_line(Step step) {
        Line line;
        line.from = start_of(step);
        const Strand& first = strands_[at(step.strand)];
        line.left = step.forwards ? first.left : first.right;
        line.right = step.forwards ? first.right : first.left;
        while (true) {
            line.steps.push_back(step);
            line_of_[at(step.strand)] = static_cast<int>(lines_.size());
            const Segment& segment = strands_[at(step.strand)].segment;
            line.path.segments.push_back(step.forwards ? segment : reversed(segment));
            line.to = end_of(step);
            if (ends_line_[at(line.to)] || line.to == line.from) break;
            const auto& there = strands_at_[at(line.to)];
            step = there[0].strand == step.strand ? there[1] : there[0];
        }
        line.path.closed = line.from == line.to;
        line.running_mm = geometry::running_length_mm(line.path);
        lines_.push_back(std::move(line));
    }

    std::optional<BodyProblem> seams_as_lines() {
        for (std::size_t s = 0; s < seams_.size(); ++s) {
            std::vector<Step> lines;
            for (const Step step : seam_steps_[s]) {
                const int line = line_of_[at(step.strand)];
                if (!lines.empty() && lines.back().strand == line) continue;
                const Step& in_line = *std::find_if(lines_[at(line)].steps.begin(), lines_[at(line)].steps.end(),
                                                    [&](Step of) { return of.strand == step.strand; });
                lines.push_back({line, in_line.forwards == step.forwards});
            }
            const auto sides = [&](Step of) {
                const Line& line = lines_[at(of.strand)];
                return of.forwards ? std::pair(line.left, line.right) : std::pair(line.right, line.left);
            };
            for (const Step line : lines)
                if (sides(line) != sides(lines.front()))
                    return BodyProblem{
                        fmt::format("The seam \"{}\" has more than one piece on a side.", seams_[s].name),
                        "Give each stretch between two pieces as a seam of its own.",
                        lines_[at(line.strand)].path.start()};
            seam_lines_.push_back(std::move(lines));
        }
        return std::nullopt;
    }

    double side_mm_near(Point p) const {
        double side = settings_.element_mm;
        for (const Point fine : fine_places_)
            side = std::min(side, settings_.end_share * settings_.element_mm + growth * distance(fine, p));
        return side;
    }

    /// Sides about as long as wanted at each place and turning no more than they may: equal shares of the integral of
    /// sides per millimetre.
    void place_nodes(Line& line) const {
        std::vector<double> at_mm{0.0}, sides{0.0};
        for (std::size_t i = 0; i < line.path.segments.size(); ++i) {
            const Segment& s = line.path.segments[i];
            const double size = line.running_mm[i + 1] - line.running_mm[i];
            const int parts = std::max(1, static_cast<int>(std::ceil(size / (0.2 * settings_.element_mm))));
            for (int k = 0; k < parts; ++k) {
                const double side = side_mm_near(geometry::point_at(s, (k + 0.5) / parts));
                const double per_mm = std::max(1.0 / side, std::abs(curvature(s)) / turn_of_side_rad);
                at_mm.push_back(line.running_mm[i] + size * (k + 1) / parts);
                sides.push_back(sides.back() + per_mm * size / parts);
            }
        }
        at_mm.back() = line.length_mm();
        const int count = std::max(line.closed() ? 4 : 1, static_cast<int>(std::ceil(sides.back() - 1e-9)));
        line.nodes_mm.assign({0.0});
        std::size_t k = 1;
        for (int i = 1; i < count; ++i) {
            const double wanted = sides.back() * i / count;
            while (sides[k] < wanted) ++k;
            line.nodes_mm.push_back(at_mm[k - 1] +
                                    (at_mm[k] - at_mm[k - 1]) * (wanted - sides[k - 1]) / (sides[k] - sides[k - 1]));
        }
        line.nodes_mm.push_back(line.length_mm());
    }

    std::optional<BodyProblem> triangulate_once() {
        to_split_.clear();
        points_.assign(places_.begin(), places_.end());
        // Places within lines are no corners of triangles; they are not used below.
        sides_.clear();
        for (Line& line : lines_) {
            line.first_side = static_cast<int>(sides_.size());
            int from = line.from;
            for (std::size_t i = 1; i < line.nodes_mm.size(); ++i) {
                int to = line.to;
                if (i + 1 < line.nodes_mm.size()) {
                    to = static_cast<int>(points_.size());
                    points_.push_back(line.point_at(line.nodes_mm[i]));
                }
                sides_.push_back({&line, i, from, to, -1});
                from = to;
            }
        }
        keep_only_used_places();
        const std::size_t on_lines = points_.size();
        if (auto problem = add_inner_points()) return problem;
        if (4 * points_.size() > settings_.most_nodes)
            return BodyProblem{fmt::format("The top would take about {} nodes, more than the {} allowed.",
                                           4 * points_.size(), settings_.most_nodes),
                               "Use larger elements.", std::nullopt};
        // Whole numbers for the triangulation: the grid is finer than a ten-thousandth of a millimetre for a top of 4
        // m.
        const Box around = box_;
        const Point centre = midpoint(around.low, around.high);
        const double reach = 0.5 * std::max(around.width_mm(), around.height_mm());
        const double scale = std::ldexp(1.0, 26 - std::ilogb(reach));
        std::vector<Site> sites;
        sites.reserve(points_.size());
        // Spread first, the points on the lines last: they come in order along them.
        for (std::size_t i = on_lines; i < points_.size(); ++i) sites.push_back(site_of(points_[i], centre, scale));
        for (std::size_t i = 0; i < on_lines; ++i) sites.push_back(site_of(points_[i], centre, scale));
        const int inner = static_cast<int>(points_.size() - on_lines);
        std::vector<FixedEdge> fixed;
        fixed.reserve(sides_.size());
        for (const Side& side : sides_) fixed.push_back({side.from + inner, side.to + inner});
        std::rotate(points_.begin(), points_.begin() + static_cast<std::ptrdiff_t>(on_lines), points_.end());
        for (Side& side : sides_) {
            side.from += inner;
            side.to += inner;
        }
        const Triangulation all = triangulate(sites, fixed);
        to_split_ = all.in_trouble;
        if (!to_split_.empty()) {
            trouble_at_ = points_[at(sides_[at(to_split_.front())].from)];
            return std::nullopt;
        }
        return fill(all);
    }

    static Site site_of(Point p, Point centre, double scale) {
        return {std::llround((p.x - centre.x) * scale), std::llround((p.y - centre.y) * scale)};
    }

    void keep_only_used_places() {
        std::vector<int> now(points_.size(), -1);
        std::vector<Point> kept;
        for (Side& side : sides_)
            for (int* end : {&side.from, &side.to}) {
                int& number = now[at(*end)];
                if (number < 0) {
                    number = static_cast<int>(kept.size());
                    kept.push_back(points_[at(*end)]);
                }
                *end = number;
            }
        points_ = std::move(kept);
    }

    /// Lattices of equal triangles, each half as wide as the one before and holding it, wherever such sides are wanted,
    /// kept off the lines.
    std::optional<BodyProblem> add_inner_points() {
        const double side = settings_.element_mm;
        if (box_.width_mm() * box_.height_mm() / (side * side) > static_cast<double>(settings_.most_nodes))
            return BodyProblem{"The top is too large for elements of this size.", "Use larger elements.", std::nullopt};
        std::vector<Source> sources;
        for (const Point p : fine_places_) sources.push_back({p, settings_.end_share * side});
        for (const Side& s : sides_)
            if (const double size = distance(points_[at(s.from)], points_[at(s.to)]); size < 0.6 * side)
                sources.push_back({midpoint(points_[at(s.from)], points_[at(s.to)]), size});
        Squares near_sources(box_, 3.0 * side), near_sides(box_, side);
        double finest = side;
        for (std::size_t i = 0; i < sources.size(); ++i) {
            Box box;
            box.add(sources[i].at);
            near_sources.add(box.grown((side - sources[i].side_mm) / growth), static_cast<int>(i));
            finest = std::min(finest, sources[i].side_mm);
        }
        for (std::size_t i = 0; i < sides_.size(); ++i) {
            Box box;
            box.add(points_[at(sides_[i].from)]);
            box.add(points_[at(sides_[i].to)]);
            near_sides.add(box.grown(0.75 * side), static_cast<int>(i));
        }
        const int levels = std::clamp(static_cast<int>(std::ceil(std::log2(side / finest) - 0.2)) + 1, 1, 6);
        const auto offer = [&](Point p, double spacing) {
            double wanted = side;
            for (const int i : near_sources.near(p)) {
                const Source& source = sources[at(i)];
                wanted = std::min(wanted, source.side_mm + growth * distance(source.at, p));
            }
            if (spacing < side && wanted > 1.4 * spacing) return;
            for (const int i : near_sides.near(p)) {
                const Point a = points_[at(sides_[at(i)].from)], b = points_[at(sides_[at(i)].to)];
                if (distance_to_chord(a, b, p) < 0.28 * (distance(a, b) + std::min(wanted, spacing))) return;
            }
            inner_.push_back(p);
        };
        inner_.clear();
        // Of the coarsest lattice every sixteenth point both ways first, then every eighth ...: spread, yet in rows.
        for (int stride = 16; stride >= 1; stride /= 2)
            along_lattice(box_, side, [&](int i, int j, Point p) {
                if (i % stride != 0 || j % stride != 0) return;
                if (stride < 16 && i % (2 * stride) == 0 && j % (2 * stride) == 0) return;
                offer(p, side);
            });
        for (int level = 1; level < levels; ++level)
            near_sources.visit_filled([&](const Box& square) {
                along_lattice(square, std::ldexp(side, -level), [&](int i, int j, Point p) {
                    if (i % 2 != 0 || j % 2 != 0) offer(p, std::ldexp(side, -level));
                });
            });
        points_.insert(points_.end(), inner_.begin(), inner_.end());
        return std::nullopt;
    }

    /// The points of a lattice of equal triangles about the middle of the top, in rows there and back.
    template <class Visit>
    void along_lattice(const Box& within, double spacing, const Visit& visit) const {
        const Point centre = midpoint(box_.low, box_.high);
        const double rise = spacing * std::sqrt(0.75);
        const auto up = [](double x) { return static_cast<int>(std::ceil(x)); };
        bool back = false;
        for (int j = up((within.low.y - centre.y) / rise); j < up((within.high.y - centre.y) / rise); ++j) {
            const int first = up((within.low.x - centre.x) / spacing - 0.5 * j);
            const int last = up((within.high.x - centre.x) / spacing - 0.5 * j) - 1;
            for (int n = first; n <= last; ++n) {
                const int i = back ? first + last - n : n;
                visit(i, j, centre + Point{spacing * (i + 0.5 * j), rise * j});
            }
            back = !back;
        }
    }

    /// Which piece each triangle belongs to: from the sides of the lines inwards.
    std::optional<BodyProblem> fill(const Triangulation& all) {
        constexpr int unknown = -2, outside = -1;
        std::vector<int> piece(all.triangles.size(), unknown);
        std::vector<int> waiting;
        const auto say = [&](int t, int is) {
            if (piece[at(t)] == is) return true;
            if (piece[at(t)] != unknown) return false;
            piece[at(t)] = is;
            waiting.push_back(t);
            return true;
        };
        const auto contradiction = [&](int t) {
            return BodyProblem{"The edges of the pieces do not enclose them.",
                               "Check that no piece lies on another and that their edges meet.",
                               points_[std::min(at(all.triangles[at(t)].corner[0]), points_.size() - 1)]};
        };
        for (std::size_t t = 0; t < all.triangles.size(); ++t) {
            const SiteTriangle& is = all.triangles[t];
            for (int i = 0; i < 3; ++i) {
                if (at(is.corner[at(i)]) >= points_.size() && !say(static_cast<int>(t), outside))
                    return contradiction(static_cast<int>(t));
                if (is.fixed[at(i)] < 0) continue;
                const Side& side = sides_[at(is.fixed[at(i)])];
                const bool left = side.from == is.corner[at((i + 1) % 3)];
                if (!say(static_cast<int>(t), left ? side.line->left : side.line->right))
                    return contradiction(static_cast<int>(t));
            }
        }
        while (!waiting.empty()) {
            const int t = waiting.back();
            waiting.pop_back();
            for (int i = 0; i < 3; ++i) {
                const int u = all.triangles[at(t)].beside[at(i)];
                if (u >= 0 && all.triangles[at(t)].fixed[at(i)] < 0 && !say(u, piece[at(t)])) return contradiction(u);
            }
        }
        even_out(all, piece);
        number_nodes(all, piece);
        check_shapes();
        return std::nullopt;
    }

    /// Moves each inner point half way to the mean of its neighbours, a few times; never so far that a triangle turns
    /// over. All move at once, so that a mirrored top gets the mirrored mesh.
    void even_out(const Triangulation& all, const std::vector<int>& piece) {
        const std::size_t inner = inner_.size();
        const auto corner = [&](const SiteTriangle& t, std::size_t i) -> Point { return points_[at(t.corner[i])]; };
        std::vector<Point> sum(inner), was;
        std::vector<int> count(inner);
        for (int pass = 0; pass < passes_of_evening; ++pass) {
            std::fill(sum.begin(), sum.end(), Point{});
            std::fill(count.begin(), count.end(), 0);
            for (std::size_t t = 0; t < all.triangles.size(); ++t) {
                if (piece[t] < 0) continue;
                const SiteTriangle& is = all.triangles[t];
                for (std::size_t i = 0; i < 3; ++i)
                    if (const std::size_t p = at(is.corner[i]); p < inner) {
                        sum[p] = sum[p] + corner(is, (i + 1) % 3) + corner(is, (i + 2) % 3);
                        count[p] += 2;
                    }
            }
            was.assign(points_.begin(), points_.begin() + static_cast<std::ptrdiff_t>(inner));
            for (std::size_t p = 0; p < inner; ++p)
                if (count[p] > 0) points_[p] = midpoint(was[p], sum[p] / count[p]);
            for (bool turned = true; turned;) {
                turned = false;
                for (std::size_t t = 0; t < all.triangles.size(); ++t) {
                    if (piece[t] < 0) continue;
                    const SiteTriangle& is = all.triangles[t];
                    const Point a = corner(is, 0), b = corner(is, 1), c = corner(is, 2);
                    const double longest2 = std::max({norm2(b - a), norm2(c - b), norm2(a - c)});
                    if (cross(b - a, c - a) > 0.2 * longest2) continue;
                    for (const int p : is.corner)
                        if (at(p) < inner && points_[at(p)] != was[at(p)]) {
                            points_[at(p)] = was[at(p)];
                            turned = true;
                        }
                }
            }
        }
    }

    void number_nodes(const Triangulation& all, const std::vector<int>& piece) {
        mesh_ = PanelMesh{};
        auto& nodes = mesh_.body.nodes;
        std::vector<int> node_of(points_.size(), -1), triangle_of(all.triangles.size(), -1);
        for (Side& side : sides_) side.middle = -1;
        sides_of_triangle_.clear();
        for (std::size_t t = 0; t < all.triangles.size(); ++t) {
            if (piece[t] < 0) continue;
            const SiteTriangle& is = all.triangles[t];
            BodyTriangle made;
            made.piece = static_cast<std::uint32_t>(piece[t]);
            for (std::size_t i = 0; i < 3; ++i) {
                int& node = node_of[at(is.corner[i])];
                if (node < 0) {
                    node = static_cast<int>(nodes.size());
                    nodes.push_back(points_[at(is.corner[i])]);
                }
                made.node[i] = static_cast<std::uint32_t>(node);
            }
            std::array<int, 3> lines{-1, -1, -1};
            for (std::size_t k = 0; k < 3; ++k) {
                // Side k runs from corner k to the next and lies opposite the last.
                const std::size_t opposite = (k + 2) % 3;
                const int side = is.fixed[opposite], other = is.beside[opposite];
                lines[k] = side;
                int middle = -1;
                if (side >= 0) {
                    middle = sides_[at(side)].middle;
                } else if (other >= 0 && triangle_of[at(other)] >= 0) {
                    const SiteTriangle& theirs = all.triangles[at(other)];
                    const std::size_t j = theirs.beside[0] == static_cast<int>(t)   ? 0
                                          : theirs.beside[1] == static_cast<int>(t) ? 1
                                                                                    : 2;
                    middle = static_cast<int>(mesh_.body.triangles[at(triangle_of[at(other)])].node[3 + (j + 1) % 3]);
                }
                if (middle < 0) {
                    middle = static_cast<int>(nodes.size());
                    if (side >= 0) {
                        sides_[at(side)].middle = middle;
                        nodes.push_back(middle_of(sides_[at(side)]));
                    } else {
                        nodes.push_back(midpoint(points_[at(is.corner[k])], points_[at(is.corner[(k + 1) % 3])]));
                    }
                }
                made.node[3 + k] = static_cast<std::uint32_t>(middle);
            }
            triangle_of[t] = static_cast<int>(mesh_.body.triangles.size());
            mesh_.body.triangles.push_back(made);
            sides_of_triangle_.push_back(lines);
        }
        node_of_ = std::move(node_of);
    }

    struct Side {
        const Line* line = nullptr;
        std::size_t index = 0;  // ends at line->nodes_mm[index]
        int from = 0, to = 0;   // points
        int middle = -1;        // node
    };

    static Point middle_of(const Side& side) {
        return side.line->point_at(0.5 * (side.line->nodes_mm[side.index - 1] + side.line->nodes_mm[side.index]));
    }

    /// Triangles that their curved sides turn inside out, or nearly: those sides are halved.
    void check_shapes() {
        const auto& nodes = mesh_.body.nodes;
        for (std::size_t t = 0; t < mesh_.body.triangles.size(); ++t) {
            const BodyTriangle& is = mesh_.body.triangles[t];
            const auto& lines = sides_of_triangle_[t];
            std::array<Point, 6> p{};
            for (std::size_t i = 0; i < 6; ++i) p[i] = nodes[is.node[i]];
            const double straight = cross(p[1] - p[0], p[2] - p[0]);
            // The middle of a side, seen from the middle of its chord: what the curve adds.
            const Point a = 4.0 * (p[3] - midpoint(p[0], p[1])), b = 4.0 * (p[4] - midpoint(p[1], p[2])),
                        c = 4.0 * (p[5] - midpoint(p[2], p[0]));
            const auto stretch = [&](double u, double v) {
                const double w = 1.0 - u - v;
                // Place = straight part + a·wu + b·uv + c·vw, derived by u and v.
                const Point by_u = (p[1] - p[0]) + (w - u) * a + v * b - v * c;
                const Point by_v = (p[2] - p[0]) - u * a + u * b + (w - v) * c;
                return cross(by_u, by_v);
            };
            double least = straight;
            for (const auto& [u, v] : {std::pair{0.0, 0.0}, {1.0, 0.0}, {0.0, 1.0}, {0.5, 0.0}, {0.5, 0.5}, {0.0, 0.5}})
                least = std::min(least, stretch(u, v));
            if (straight > 0.0 && least > 0.05 * straight) continue;
            trouble_at_ = (p[0] + p[1] + p[2]) / 3.0;
            for (const int side : lines)
                if (side >= 0) to_split_.push_back(side);
            if (straight <= 0.0 && lines == std::array{-1, -1, -1}) stuck_ = true;
        }
        std::sort(to_split_.begin(), to_split_.end());
        to_split_.erase(std::unique(to_split_.begin(), to_split_.end()), to_split_.end());
    }

    std::optional<BodyProblem> split_sides() {
        if (stuck_) return too_fine(*trouble_at_);
        // From the back, so that the places of the others stay.
        for (std::size_t k = to_split_.size(); k-- > 0;) {
            const Side& side = sides_[at(to_split_[k])];
            Line& line = lines_[static_cast<std::size_t>(side.line - lines_.data())];
            const double from = line.nodes_mm[side.index - 1], to = line.nodes_mm[side.index];
            if (to - from < shortest_side_mm) return too_fine(line.point_at(from));
            line.nodes_mm.insert(line.nodes_mm.begin() + static_cast<std::ptrdiff_t>(side.index), 0.5 * (from + to));
        }
        return std::nullopt;
    }

    void append_sides(MeshedLine& out, const Line& line, bool forwards) const {
        const std::size_t count = line.nodes_mm.size() - 1;
        const double so_far = out.sides.empty() ? 0.0 : out.sides.back().to_mm;
        for (std::size_t k = 0; k < count; ++k) {
            const Side& side = sides_[at(line.first_side) + (forwards ? k : count - 1 - k)];
            const double from = line.nodes_mm[side.index - 1], to = line.nodes_mm[side.index], whole = line.length_mm();
            LineSide made;
            made.node = {static_cast<std::uint32_t>(node_of_[at(side.from)]), static_cast<std::uint32_t>(side.middle),
                         static_cast<std::uint32_t>(node_of_[at(side.to)])};
            made.from_mm = so_far + (forwards ? from : whole - to);
            made.to_mm = so_far + (forwards ? to : whole - from);
            if (!forwards) std::swap(made.node[0], made.node[2]);
            out.sides.push_back(made);
        }
    }

    PanelMesh finished() {
        for (const auto& lines : seam_lines_) {
            MeshedLine out;
            for (const Step of : lines) append_sides(out, lines_[at(of.strand)], of.forwards);
            out.closed = out.sides.front().node[0] == out.sides.back().node[2];
            const Line& first = lines_[at(lines.front().strand)];
            out.left = lines.front().forwards ? first.left : first.right;
            out.right = lines.front().forwards ? first.right : first.left;
            mesh_.seams.push_back(std::move(out));
        }
        for (const Line& line : lines_)
            if (line.left < 0 || line.right < 0) {
                MeshedLine rim;
                append_sides(rim, line, line.left >= 0);
                mesh_.rim.insert(mesh_.rim.end(), rim.sides.begin(), rim.sides.end());
            }
        walk_outline();
        return std::move(mesh_);
    }

    Point tangent_of(Step line, bool at_end) const {
        const Path& path = lines_[at(line.strand)].path;
        if (line.forwards)
            return at_end ? tangent_at(path.segments.back(), 1.0) : tangent_at(path.segments.front(), 0.0);
        return at_end ? -tangent_at(path.segments.front(), 0.0) : -tangent_at(path.segments.back(), 1.0);
    }

    /// The outline of the top from corner to corner. Where edges of several loops meet in one place the loop goes on by
    /// the first line found.
    void walk_outline() {
        std::vector<std::vector<Step>> leaving(places_.size());
        for (std::size_t l = 0; l < lines_.size(); ++l)
            if (const Line& line = lines_[l]; line.left < 0 || line.right < 0) {
                const Step step{static_cast<int>(l), line.left >= 0};
                leaving[at(step.forwards ? line.from : line.to)].push_back(step);
            }
        std::vector<bool> used(lines_.size(), false);
        for (std::size_t l = 0; l < lines_.size(); ++l) {
            const Line& first = lines_[l];
            if (used[l] || (first.left >= 0 && first.right >= 0)) continue;
            std::vector<Step> loop;
            for (Step step{static_cast<int>(l), first.left >= 0};;) {
                used[at(step.strand)] = true;
                loop.push_back(step);
                const Line& line = lines_[at(step.strand)];
                const auto& there = leaving[at(step.forwards ? line.to : line.from)];
                const auto on = std::find_if(there.begin(), there.end(), [&](Step s) { return !used[at(s.strand)]; });
                if (on == there.end()) break;
                step = *on;
            }
            Path whole;
            whole.closed = true;
            for (const Step step : loop)
                append(whole, step.forwards ? lines_[at(step.strand)].path : reversed(lines_[at(step.strand)].path));
            if (area_mm2(whole) < 0.0) continue;  // a hole
            const auto sharp = [&](std::size_t i) {
                const Step a = loop[i == 0 ? loop.size() - 1 : i - 1], b = loop[i];
                return dot(tangent_of(a, true), tangent_of(b, false)) < std::cos(corner_of_top_rad);
            };
            std::size_t start = 0;
            while (start < loop.size() && !sharp(start)) ++start;
            const bool round = start == loop.size();
            if (round) start = 0;
            for (std::size_t k = 0; k < loop.size(); ++k) {
                const std::size_t i = (start + k) % loop.size();
                if (k == 0 || sharp(i)) mesh_.outer_edges.emplace_back();
                append_sides(mesh_.outer_edges.back(), lines_[at(loop[i].strand)], loop[i].forwards);
                mesh_.outer_edges.back().closed = round;
            }
        }
    }

    std::span<const BodyPiece> pieces_;
    std::span<const BodySeam> seams_;
    const BodySettings& settings_;
    Box box_;
    std::vector<Point> places_;
    std::vector<Strand> strands_;
    std::map<std::pair<int, int>, std::vector<int>> strands_between_;
    std::vector<std::vector<Step>> strands_at_;
    std::vector<std::vector<Step>> seam_steps_;  // strands of each seam
    std::vector<std::vector<Step>> seam_lines_;  // lines of each seam
    std::vector<bool> ends_line_;
    std::vector<Point> fine_places_;
    std::vector<Line> lines_;
    std::vector<int> line_of_;
    std::vector<Side> sides_;
    std::vector<Point> points_, inner_;
    std::vector<int> to_split_;
    std::optional<Point> trouble_at_;
    bool stuck_ = false;
    PanelMesh mesh_;
    std::vector<int> node_of_;
    std::vector<std::array<int, 3>> sides_of_triangle_;
};

}  // namespace

std::variant<PanelMesh, BodyProblem> mesh_panel(std::span<const BodyPiece> pieces, std::span<const BodySeam> seams,
                                                const BodySettings& settings) {
    return Mesher(pieces, seams, settings).run();
}

}  // namespace seamwright::wood
