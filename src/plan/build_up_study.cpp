// The build-up is cut along two lines, the outline and its parallel at the width of the build-up, by bounds: seams of
// the top, joints of glued-up pieces, corners. Straight sides of a rectangle are divided by process/build_up.h, strips
// running through to the corners; curved ones here, mitred at corners and square to the outline elsewhere. Where a part
// finds no offcut it is divided further, as far as that helps.

#include "plan/build_up_study.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "build_up_offcuts.h"
#include "geometry/parallel.h"
#include "geometry/path_index.h"
#include "outline.h"
#include "plan/edging_study.h"
#include "plan/words.h"
#include "process/build_up.h"

namespace seamwright::plan {
namespace {

constexpr double same_mm = 1e-6;
/// An edge within this of the fibres shows long grain.
constexpr double half_way_rad = geometry::pi / 4.0;
constexpr double corner_rad = 1.0 / geometry::degrees_per_radian;
/// Parts under a curve rise by no more than this part of the width (common practice, from memory): more is wasted wood
/// and short grain.
constexpr double rise_part = 0.5;
/// A seam that leaves its chord by more within the build-up is not followed by a straight cut.
constexpr double told_bend_mm = 0.5;
/// Shorter parts break when they are sawn (common practice, from memory; as in process/build_up.cpp).
constexpr double shortest_mm = 15.0;
constexpr std::size_t most_parts_of_one = 8;

/// Where the build-up is divided: on the outline, and inward on its parallel.
struct Bound {
    double at_mm = 0.0, inner_mm = 0.0;  ///< on either line, counted on past the start of a closed one
};

/// The lines that bound the build-up along one edge.
struct Band {
    Path outer, inner;
    std::vector<double> outer_running, inner_running;

    Band(Path of, Path in)
        : outer(std::move(of)),
          inner(std::move(in)),
          outer_running(geometry::running_length_mm(outer)),
          inner_running(geometry::running_length_mm(inner)) {}

    static Path between(const Path& path, const std::vector<double>& running, double from, double to) {
        if (!path.closed) return geometry::part(path, running, std::max(from, 0.0), std::min(to, running.back()));
        const double length = running.back();
        if (to - from > length - same_mm) {
            Path whole = path;
            whole.closed = false;
            return whole;
        }
        const auto folded = [&](double at) {
            at = std::fmod(at, length);
            if (at < 0.0) at += length;
            return at > length - same_mm ? 0.0 : at;
        };
        const double a = folded(from), b = folded(to);
        Path out = geometry::part(path, running, a, b < same_mm ? length : b);
        out.closed = false;
        return out;
    }
    Path outer_part(double from, double to) const { return between(outer, outer_running, from, to); }
    Path shape(const Bound& from, const Bound& to) const {
        Path out = outer_part(from.at_mm, to.at_mm);
        const Path back = geometry::reversed(between(inner, inner_running, from.inner_mm, to.inner_mm));
        if (geometry::distance(out.end(), back.start()) > same_mm)
            out.segments.push_back(geometry::line(out.end(), back.start()));
        geometry::append(out, back);
        if (geometry::distance(out.end(), out.start()) > same_mm)
            out.segments.push_back(geometry::line(out.end(), out.start()));
        out.segments.back().end = out.segments.front().start;
        out.closed = true;
        return out;
    }
};

Bound between(const Bound& a, const Bound& b, double share) {
    return {std::lerp(a.at_mm, b.at_mm, share), std::lerp(a.inner_mm, b.inner_mm, share)};
}

class Study {
  public:
    Study(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, const BoardsStudy* boards,
          const MovementStudy& movement)
        : plan_(plan), job_(job), shelf_(shelf), boards_(boards), movement_(movement), asked_(*job.build_up) {
        out_.width_mm = asked_.width_mm;
        out_.thickness_mm = asked_.thickness_mm;
        out_.from_boards = boards != nullptr;
        if (boards_ != nullptr) {
            rough_ = study_rough_cut(plan, job);
            offcuts_.emplace(plan, job, shelf, *boards_, rough_);
        }
    }

    BuildUpStudy study() {
        if (const SegmentedEdging* ring = outer_ring()) {
            under_ring(*ring);
        } else if (straight_rectangle()) {
            under_rectangle();
        } else {
            under_curves();
        }
        find_wood();
        for (const BuildUpPiece& part : out_.parts) out_.glue_mm2 += part.area_mm2;
        if (offcuts_) out_.left = offcuts_->left();
        lacking();
        return std::move(out_);
    }

  private:
    /// A part with the lines it is cut by, for dividing it further.
    struct Cut {
        std::size_t band = 0;
        Bound from, to;
    };

    std::string show(double mm) const { return units::show(mm, job_.style); }

    const SegmentedEdging* outer_ring() const {
        for (const SegmentedEdging& edging : plan_.edgings)
            if (!edging.ring.segments.empty() && edging.outer == plan_.outline) return &edging;
        return nullptr;
    }

    bool straight_rectangle() const {
        const auto* r = std::get_if<job::RectangleOutline>(&job_.outline);
        return r != nullptr && std::holds_alternative<job::StraightEdge>(r->front) &&
               std::holds_alternative<job::StraightEdge>(r->right) &&
               std::holds_alternative<job::StraightEdge>(r->back) && std::holds_alternative<job::StraightEdge>(r->left);
    }

    std::size_t piece_at(Point at) const {
        for (std::size_t p = 0; p < plan_.pieces.size(); ++p)
            if (geometry::contains(plan_.pieces[p].region, at)) return p;
        // On a seam: the nearest.
        std::size_t nearest = 0;
        double least = HUGE_VAL;
        for (std::size_t p = 0; p < plan_.pieces.size(); ++p) {
            const double off = geometry::PathIndex(plan_.pieces[p].region.outer).distance_mm(at);
            if (off < least) {
                least = off;
                nearest = p;
            }
        }
        return nearest;
    }

    // Where the seams and, where need be, the joints of glued-up pieces cross a band.

    struct Crossing {
        Bound bound;
        std::optional<std::size_t> seam;
        double bend_mm = 0.0;
    };

    /// Of a line that ends on the outer line at `at`, or runs on beyond it.
    std::optional<Crossing> crossing(const Band& band, const Path& line, Point at) const {
        Crossing out;
        out.bound.at_mm = geometry::length_to(band.outer_running, geometry::PathIndex(band.outer).nearest(at).at);
        const auto inner = geometry::crossings(geometry::PathIndex(line), geometry::PathIndex(band.inner));
        const geometry::PathCrossing* nearest = nullptr;
        for (const auto& c : inner)
            if (nearest == nullptr || geometry::distance(c.point, at) < geometry::distance(nearest->point, at))
                nearest = &c;
        if (nearest == nullptr) return std::nullopt;
        out.bound.inner_mm = geometry::length_to(band.inner_running, nearest->on_b);
        const Point chord = nearest->point - at;
        const double length = geometry::distance(nearest->point, at);
        const auto running = geometry::running_length_mm(line);
        const double a = geometry::length_to(running, geometry::PathIndex(line).nearest(at).at);
        const double b = geometry::length_to(running, nearest->on_a);
        constexpr int samples = 32;
        for (int k = 1; k < samples; ++k) {
            const Point p = geometry::point_at(line, geometry::station_at(line, running, std::lerp(a, b, k / 32.0)));
            out.bend_mm = std::max(out.bend_mm, std::abs(geometry::cross(chord, p - at)) / length);
        }
        return out;
    }

    std::vector<Crossing> crossings(const Band& band) {
        std::vector<Crossing> out;
        constexpr double on_edge_mm = 0.05;
        const geometry::PathIndex outer(band.outer);
        for (std::size_t s = 0; s < plan_.seams.size(); ++s) {
            const SeamPlan& seam = plan_.seams[s];
            if (seam.kind != job::SeamKind::open || seam.in_wood.empty()) continue;
            for (const Point end : {seam.in_wood.start(), seam.in_wood.end()}) {
                if (outer.distance_mm(end) > on_edge_mm) continue;
                if (auto c = crossing(band, seam.in_wood, end)) {
                    c->seam = s;
                    out.push_back(*c);
                } else {
                    out_.must.push_back(fmt::format(
                        "{} runs along the edge within the build-up: make it narrower than the seam's distance from "
                        "the edge, or move the seam.",
                        words::capitalised(seam.name)));
                }
            }
        }
        for (const Path& joint : strip_joints())
            for (const auto& c : geometry::crossings(geometry::PathIndex(joint), outer))
                if (const auto cross = crossing(band, joint, c.point)) out.push_back(*cross);
        std::stable_sort(out.begin(), out.end(),
                         [](const Crossing& a, const Crossing& b) { return a.bound.at_mm < b.bound.at_mm; });
        return out;
    }

    /// Joints of pieces that are glued up, as lines along the fibres: where the ends are not long enough to be built
    /// up from what is cut off the glued panel, each strip is built up by itself.
    std::vector<Path> strip_joints() const {
        std::vector<Path> out;
        if (boards_ == nullptr) return out;
        const double needed = asked_.width_mm + 2.0 * out_.allowance_mm + job_.cutting.kerf_mm;
        if (job_.cutting.at_ends_mm() >= needed) return out;
        for (const GluedUp& glued : boards_->glued_up) {
            const PiecePlan& piece = plan_.pieces[glued.piece];
            const Path lying = geometry::turned(piece.region.outer, {}, -piece.grain_rad);
            const geometry::Box box = geometry::bounding_box(lying);
            for (const double joint : glued.joints_mm) {
                const double y = box.low.y + joint;
                const Path whole =
                    geometry::polyline(std::vector<Point>{{box.low.x - 1.0, y}, {box.high.x + 1.0, y}}, false);
                std::vector<double> xs;
                for (const auto& c : geometry::crossings(geometry::PathIndex(whole), geometry::PathIndex(lying)))
                    xs.push_back(c.point.x);
                if (xs.size() < 2) continue;
                const auto [low, high] = std::minmax_element(xs.begin(), xs.end());
                const Path line = geometry::polyline(std::vector<Point>{{*low - 1.0, y}, {*high + 1.0, y}}, false);
                out.push_back(geometry::turned(line, {}, piece.grain_rad));
            }
        }
        return out;
    }

    /// Which strip of a glued-up piece a place belongs to, where parts are divided by strips; else 0.
    std::size_t strip_at(std::size_t piece, Point at) const {
        if (boards_ == nullptr || strip_joints().empty()) return 0;
        for (const GluedUp& glued : boards_->glued_up) {
            if (glued.piece != piece) continue;
            const PiecePlan& p = plan_.pieces[piece];
            const geometry::Box box = geometry::bounding_box(geometry::turned(p.region.outer, {}, -p.grain_rad));
            const double y = -std::sin(p.grain_rad) * at.x + std::cos(p.grain_rad) * at.y - box.low.y;
            std::size_t strip = 1;
            for (const double joint : glued.joints_mm)
                if (y > joint) ++strip;
            return strip;
        }
        return 0;
    }

    // Parts.

    /// Its fibres as those of the wood above its middle.
    BuildUpPiece part_of(std::size_t edge, const Cut& cut) const {
        BuildUpPiece part;
        part.edge = edge;
        const Path outer = bands_[cut.band].outer_part(cut.from.at_mm, cut.to.at_mm);
        const auto [middle, in] = middle_of(outer);
        part.piece = piece_at(middle + 0.5 * in);
        part.strip = strip_at(part.piece, middle + 0.5 * in);
        part.fibre_rad = fibres_at(plan_, part.piece, middle + 0.5 * in);
        return part;
    }

    static std::pair<Point, Point> middle_of(const Path& path) {
        const auto running = geometry::running_length_mm(path);
        const auto station = geometry::station_at(path, running, 0.5 * running.back());
        return {geometry::point_at(path, station), geometry::left_of(geometry::tangent_at(path, station))};
    }

    void add(BuildUpPiece part, const Cut& cut) {
        shape(part, cut);
        out_.parts.push_back(std::move(part));
        cuts_.push_back(cut);
    }

    void shape(BuildUpPiece& part, const Cut& cut) const {
        const Band& band = bands_[cut.band];
        part.from_mm = cut.from.at_mm;
        part.to_mm = cut.to.at_mm;
        part.shape = band.shape(cut.from, cut.to);
        const Path outer = band.outer_part(cut.from.at_mm, cut.to.at_mm);
        const Point chord = outer.end() - outer.start();
        const double chord_rad = geometry::heading(chord);
        part.end_grain =
            !part.floating && std::abs(std::remainder(part.fibre_rad - chord_rad, geometry::pi)) > half_way_rad;
        const geometry::Box box = geometry::bounding_box(geometry::turned(part.shape, {}, -part.fibre_rad));
        part.along_mm = box.width_mm() + 2.0 * out_.allowance_mm;
        part.across_mm = box.height_mm() + 2.0 * out_.allowance_mm;
        const Point out = geometry::right_of(geometry::unit(chord_rad));
        part.rise_mm = std::max(geometry::dot(geometry::farthest(outer, out).point - outer.start(), out),
                                -geometry::dot(geometry::farthest(outer, -out).point - outer.start(), out));
        part.area_mm2 = part.floating ? 0.0 : std::abs(geometry::area_mm2(part.shape));
        part.start_lean_rad = lean(band, cut.from, true);
        part.end_lean_rad = lean(band, cut.to, false);
    }

    /// Off square to the edge; positive: farther along the farther in.
    static double lean(const Band& band, const Bound& bound, bool starts) {
        const auto place = [](const Path& path, const std::vector<double>& running, double at) {
            double folded = path.closed ? std::fmod(at, running.back()) : std::clamp(at, 0.0, running.back());
            if (folded < 0.0) folded += running.back();
            return geometry::station_at(path, running, folded);
        };
        const auto station = place(band.outer, band.outer_running, bound.at_mm);
        Point tangent = geometry::tangent_at(band.outer, station);
        // At a corner: that of the part's own side.
        const double beside = starts ? 1e-3 : -1e-3;
        const auto own = place(band.outer, band.outer_running, bound.at_mm + beside);
        if (std::abs(geometry::wrap_pi(geometry::heading(geometry::tangent_at(band.outer, own)) -
                                       geometry::heading(tangent))) > corner_rad)
            tangent = geometry::tangent_at(band.outer, own);
        const Point in = geometry::point_at(band.inner, place(band.inner, band.inner_running, bound.inner_mm)) -
                         geometry::point_at(band.outer, station);
        return std::atan2(geometry::dot(in, tangent), geometry::dot(in, geometry::left_of(tangent)));
    }

    // A rectangle: strips run through to the corners, the ends lie between them.

    void under_rectangle() {
        const auto& rectangle = std::get<job::RectangleOutline>(job_.outline);
        const double l = rectangle.length_mm, w = rectangle.width_mm, deep = asked_.width_mm;
        if (2.0 * deep >= std::min(l, w)) {
            too_wide();
            return;
        }
        const std::array<Point, 4> corners{Point{0.0, 0.0}, Point{l, 0.0}, Point{l, w}, Point{0.0, w}};
        const std::array<const char*, 4> names{"front", "right end", "back", "left end"};
        process::BuildUpWish wish;
        wish.width_mm = deep;
        wish.thickness_mm = asked_.thickness_mm;
        wish.allowance_mm = out_.allowance_mm;
        wish.style = job_.style;
        if (boards_ != nullptr) limit_by_boards(wish);
        std::array<std::vector<Crossing>, 4> crossed;
        std::array<std::vector<std::size_t>, 4> pieces;
        for (std::size_t e = 0; e < 4; ++e) {
            const Point a = corners[e], b = corners[(e + 1) % 4], along = geometry::unit(geometry::heading(b - a)),
                        in = geometry::left_of(along);
            bands_.emplace_back(geometry::polyline(std::vector<Point>{a, b}, false),
                                geometry::polyline(std::vector<Point>{a + deep * in, b + deep * in}, false));
            crossed[e] = crossings(bands_[e]);
            process::BuildUpEdge edge;
            edge.name = names[e];
            edge.length_mm = geometry::distance(a, b);
            BuildUpEdgeLine line{edge.name, bands_[e].outer, false, false, {}};
            double before = 0.0, across_mm = 0.0;
            for (std::size_t k = 0; k <= crossed[e].size(); ++k) {
                const double at = k < crossed[e].size() ? crossed[e][k].bound.at_mm : edge.length_mm;
                const Point middle = a + 0.5 * (before + at) * along + 0.5 * in;
                pieces[e].push_back(piece_at(middle));
                BuildUpPiece above;
                above.piece = pieces[e].back();
                above.strip = strip_at(above.piece, middle);
                edge.pieces.push_back(words::build_up_name(above, plan_));
                const double fibre =
                    std::remainder(fibres_at(plan_, pieces[e].back(), middle) - geometry::heading(along), geometry::pi);
                edge.fibres_rad.push_back(fibre);
                if (std::abs(fibre) > half_way_rad) across_mm += at - before;
                before = at;
                if (k == crossed[e].size()) break;
                const Crossing& c = crossed[e][k];
                edge.seams.push_back({at, std::atan2(c.bound.inner_mm - at, deep)});
                note(line, c, edge.seams.back().lean_rad);
                tell_bend(names[e], c);
            }
            line.end = across_mm > 0.5 * edge.length_mm;
            out_.edges.push_back(std::move(line));
            wish.edges.push_back(std::move(edge));
        }
        for (const Band& band : bands_) {
            const auto [middle, in] = middle_of(band.outer);
            reach_under(middle, in);
        }
        for (std::size_t e = 0; e < 4; ++e) {
            const auto through = [&](std::size_t other) {
                // Between two of a kind front and back run through.
                return out_.edges[e].end != out_.edges[other].end ? out_.edges[e].end : e % 2 == 1;
            };
            if (through((e + 3) % 4)) wish.edges[e].start_taken_mm = deep;
            if (through((e + 1) % 4)) wish.edges[e].end_taken_mm = deep;
        }
        rounded_corners(rectangle);
        place_parts(wish, pieces);
    }

    void place_parts(const process::BuildUpWish& wish, const std::array<std::vector<std::size_t>, 4>& pieces) {
        using Ends = job::BuildUp::Ends;
        for (std::size_t e = 0; e < 4; ++e) {
            if (out_.edges[e].end && asked_.ends != Ends::end_grain) {
                if (asked_.ends == Ends::floating) floating(e, wish.edges[e], pieces[e]);
                continue;
            }
            process::BuildUpWish one = wish;
            one.edges = {wish.edges[e]};
            const process::BuildUpPlan divided = process::plan_build_up(one);
            for (const process::BuildUpPart& part : divided.parts) {
                const Cut cut{e, {part.from_mm, part.inner_from_mm}, {part.to_mm, part.inner_to_mm}};
                add(part_of(e, cut), cut);
            }
            merge(out_.must, divided.must);
            // What is good to know of any build-up the words say.
            for (const std::string& mind : divided.mind)
                if (mind.starts_with("On the ")) merge(out_.mind, {mind});
        }
    }

    static void merge(std::vector<std::string>& into, const std::vector<std::string>& said) {
        for (const std::string& line : said)
            if (std::find(into.begin(), into.end(), line) == into.end()) into.push_back(line);
    }

    /// One long piece along the end, between the strips; they move with the top, so it is shorter at both ends.
    void floating(std::size_t e, const process::BuildUpEdge& edge, const std::vector<std::size_t>& pieces) {
        constexpr double spare_mm = 0.5;
        const double dry_mm = movement_.end_build_up ? movement_.end_build_up->dry_mm : 0.0;
        out_.room_mm = 0.5 * std::max(0.0, -dry_mm) + spare_mm;
        const double from = edge.start_taken_mm + out_.room_mm, to = edge.length_mm - edge.end_taken_mm - out_.room_mm;
        if (to - from < shortest_mm) {
            too_wide();
            return;
        }
        // Of the wood that most of the edge is of.
        std::size_t most = pieces.front();
        double longest = -1.0;
        for (std::size_t k = 0; k < pieces.size(); ++k) {
            const double a = k == 0 ? 0.0 : edge.seams[k - 1].at_mm;
            const double b = k < edge.seams.size() ? edge.seams[k].at_mm : edge.length_mm;
            if (b - a > longest) {
                longest = b - a;
                most = pieces[k];
            }
        }
        BuildUpPiece part;
        part.edge = e;
        part.piece = most;
        part.floating = true;
        part.fibre_rad = geometry::heading(bands_[e].outer.end() - bands_[e].outer.start());
        add(std::move(part), {e, {from, from}, {to, to}});
    }

    void limit_by_boards(process::BuildUpWish& wish) const {
        wish.longest_mm = wish.widest_mm = 2.0 * out_.allowance_mm + shortest_mm;
        for (const std::size_t b : boards_->placing.boards_used) {
            wish.longest_mm = std::max(wish.longest_mm, shelf_.boards[b].length_mm);
            wish.widest_mm = std::max(wish.widest_mm, shelf_.boards[b].width_mm);
        }
    }

    void note(BuildUpEdgeLine& line, const Crossing& c, double lean_rad) const {
        if (c.seam) line.seams.push_back({*c.seam, c.bound.at_mm, lean_rad, c.bend_mm});
    }

    void tell_bend(const std::string& edge, const Crossing& c) {
        if (!c.seam || c.bend_mm <= told_bend_mm) return;
        out_.mind.push_back(fmt::format(
            "On the {}, {} leaves its chord by {} within the build-up: rout the ends of the two parts there "
            "with the seam's own templates, or let the straight cut differ by so much on the inside.",
            edge, plan_.seams[*c.seam].name, show(c.bend_mm)));
    }

    void too_wide() {
        out_.must.push_back(
            fmt::format("A build-up {} wide leaves nothing between its two sides, or bends more tightly "
                        "inside than its edge: make it narrower.",
                        show(asked_.width_mm)));
    }

    /// The build-up may reach in beyond a ring under wood whose fibres run otherwise.
    void reach_under(Point on_edge, Point in) {
        const Point inside = on_edge + (asked_.width_mm - 0.5) * in;
        const std::size_t over = piece_at(on_edge + 0.5 * in), other = piece_at(inside);
        if (other == over) return;
        const bool ring = !plan_.pieces[over].region.holes.empty();
        const double askew =
            std::abs(std::remainder(fibres_at(plan_, over, inside) - fibres_at(plan_, other, inside), geometry::pi));
        if (!ring || askew < 30.0 / geometry::degrees_per_radian) return;
        merge(out_.must, {fmt::format("The build-up reaches in beyond {} under {}, whose fibres run otherwise: make it "
                                      "no wider than {}, or glue it to that alone.",
                                      plan_.pieces[over].name, plan_.pieces[other].name, plan_.pieces[over].name)});
    }

    void rounded_corners(const job::RectangleOutline& rectangle) {
        double largest = 0.0;
        for (const double r : rectangle.corner_radius_mm) largest = std::max(largest, r);
        if (largest == 0.0) return;
        out_.mind.push_back(
            fmt::format("Corners are rounded to {}: glue the parts on square and cut them round with the outline's "
                        "template.",
                        show(largest)));
        // Across the corner √2 times the width less what the rounding takes, (√2 − 1) times the radius.
        const double left = std::sqrt(2.0) * asked_.width_mm - (std::sqrt(2.0) - 1.0) * largest;
        if (left < 0.5 * asked_.width_mm)
            out_.mind.push_back(
                fmt::format("Across those corners only {} of build-up is left: make it wider, or set a "
                            "block into each corner.",
                            show(std::max(0.0, left))));
    }

    // Anything else: divided along the outline, mitred at corners.

    /// The outline, of a rectangle with its corners square: parts are glued on square and rounded with the top.
    Path square_cornered() {
        const auto* rectangle = std::get_if<job::RectangleOutline>(&job_.outline);
        if (rectangle == nullptr) return plan_.outline;
        rounded_corners(*rectangle);
        job::Job bare = job_;
        std::get<job::RectangleOutline>(bare.outline).corner_radius_mm = {};
        std::vector<job::Problem> ignored;
        return outline_path(bare, ignored).value_or(plan_.outline);
    }

    void under_curves() {
        const Path outer = square_cornered();
        Path inner;
        try {
            const auto parallel = geometry::parallel(outer, geometry::Side::left, asked_.width_mm);
            if (parallel.paths.size() == 1) inner = parallel.paths.front().path();
        } catch (const std::runtime_error&) {
            inner = {};
        }
        if (inner.empty()) {
            too_wide();
            return;
        }
        bands_.emplace_back(outer, std::move(inner));
        const Band& band = bands_.front();
        const auto crossed = crossings(band);
        struct Stop {
            Bound bound;
            bool corner = false;
            const Crossing* crossing = nullptr;
        };
        std::vector<Stop> stops;
        for (const double at : corners_of(band)) stops.push_back({square(band, at), true, nullptr});
        const bool corners = !stops.empty();
        for (const Crossing& c : crossed) stops.push_back({c.bound, false, &c});
        if (stops.empty()) stops.push_back({square(band, 0.0), false, nullptr});
        std::stable_sort(stops.begin(), stops.end(),
                         [](const Stop& a, const Stop& b) { return a.bound.at_mm < b.bound.at_mm; });
        if (corners)
            std::rotate(stops.begin(), std::find_if(stops.begin(), stops.end(), [](const Stop& s) { return s.corner; }),
                        stops.end());
        const double length = band.outer_running.back(), inner_length = band.inner_running.back();
        double starts = 0.0;
        const Bound origin = stops.front().bound;
        for (std::size_t k = 0; k < stops.size(); ++k) {
            Bound from = stops[k].bound, to = stops[(k + 1) % stops.size()].bound;
            while (from.at_mm < origin.at_mm - same_mm) from.at_mm += length;
            while (from.inner_mm < origin.inner_mm - 0.5 * inner_length) from.inner_mm += inner_length;
            while (to.at_mm < from.at_mm + same_mm) to.at_mm += length;
            while (to.inner_mm < from.inner_mm + same_mm) to.inner_mm += inner_length;
            // The inner ends lie near the outer ones: a whole turn between them is none.
            while (from.inner_mm - to.inner_mm + inner_length < same_mm && to.at_mm - from.at_mm < 0.75 * length)
                to.inner_mm -= inner_length;
            if (k == 0 || stops[k].corner) {
                starts = from.at_mm;
                out_.edges.push_back({corners ? std::string() : std::string("edge"), {}, true, false, {}});
            }
            BuildUpEdgeLine& line = out_.edges.back();
            if (stops[k].crossing != nullptr) {
                note(line, *stops[k].crossing, lean(band, stops[k].bound, true));
                if (!line.seams.empty() && stops[k].crossing->seam) line.seams.back().at_mm = from.at_mm - starts;
                tell_bend("edge", *stops[k].crossing);
            }
            stretch_under_curve(band, from, to);
        }
        end_edges(band);
    }

    static std::vector<double> corners_of(const Band& band) {
        std::vector<double> out;
        const std::size_t n = band.outer.segments.size();
        for (std::size_t i = 0; i < n; ++i) {
            const auto &before = band.outer.segments[(i + n - 1) % n], &after = band.outer.segments[i];
            if (std::abs(geometry::wrap_pi(geometry::heading_at(after, 0.0) - geometry::heading_at(before, 1.0))) >
                corner_rad)
                out.push_back(band.outer_running[i]);
        }
        return out;
    }

    /// Square to the outline; at a corner on its mitre: the place of the parallel that is nearest.
    static Bound square(const Band& band, double at_mm) {
        const auto station = geometry::station_at(band.outer, band.outer_running, at_mm);
        Point tangent = geometry::tangent_at(band.outer, station);
        const double length = band.outer_running.back();
        const auto before =
            geometry::station_at(band.outer, band.outer_running, at_mm < 1e-3 ? length - 1e-3 : at_mm - 1e-3);
        const Point half =
            geometry::unit(0.5 * geometry::wrap_pi(geometry::heading(geometry::tangent_at(band.outer, before)) -
                                                   geometry::heading(tangent)) +
                           geometry::heading(tangent));
        const Point at = geometry::point_at(band.outer, station);
        // Along the mitre as far as the parallel.
        const Point in = geometry::left_of(half);
        const geometry::Box box = geometry::bounding_box(band.outer);
        const Path ray =
            geometry::polyline(std::vector<Point>{at, at + (box.width_mm() + box.height_mm()) * in}, false);
        const auto met = geometry::crossings(geometry::PathIndex(ray), geometry::PathIndex(band.inner));
        if (met.empty()) {
            const auto near = geometry::PathIndex(band.inner).nearest(at);
            return {at_mm, geometry::length_to(band.inner_running, near.at)};
        }
        return {at_mm, geometry::length_to(band.inner_running, met.front().on_b)};
    }

    /// Names and lines of the edges, once their parts are known.
    void end_edges(const Band& band) {
        for (std::size_t e = 0; e < out_.edges.size(); ++e) {
            double from = HUGE_VAL, to = -HUGE_VAL, across = 0.0;
            for (const BuildUpPiece& part : out_.parts) {
                if (part.edge != e) continue;
                from = std::min(from, part.from_mm);
                to = std::max(to, part.to_mm);
                if (part.end_grain) across += part.to_mm - part.from_mm;
            }
            starts_.push_back(to > from ? from : 0.0);
            if (!(to > from)) continue;
            BuildUpEdgeLine& line = out_.edges[e];
            line.line = band.outer_part(from, to);
            line.end = across > 0.5 * (to - from);
            line.curved = std::any_of(line.line.segments.begin(), line.line.segments.end(),
                                      [](const geometry::Segment& s) { return s.is_arc(); });
            const auto running = geometry::running_length_mm(line.line);
            if (line.name.empty())
                line.name = words::end_name(
                    geometry::point_at(line.line, geometry::station_at(line.line, running, 0.5 * running.back())),
                    plan_);
            // Told from where the edge begins.
            for (BuildUpPiece& part : out_.parts) {
                if (part.edge != e) continue;
                part.from_mm -= from;
                part.to_mm -= from;
            }
        }
    }

    void stretch_under_curve(const Band& band, const Bound& from, const Bound& to) {
        const auto [middle, in] = middle_of(band.outer_part(from.at_mm, to.at_mm));
        reach_under(middle, in);
        std::size_t n = 1;
        constexpr std::size_t most = 60;
        for (; n < most; ++n) {
            double rise = 0.0;
            for (std::size_t k = 0; k < n; ++k) {
                const Path one = band.outer_part(
                    std::lerp(from.at_mm, to.at_mm, static_cast<double>(k) / static_cast<double>(n)),
                    std::lerp(from.at_mm, to.at_mm, static_cast<double>(k + 1) / static_cast<double>(n)));
                rise = std::max(rise, rise_of(one));
            }
            if (rise <= rise_part * asked_.width_mm) break;
        }
        std::vector<Bound> bounds{from};
        for (std::size_t k = 1; k < n; ++k)
            bounds.push_back(inside(band, from, to, static_cast<double>(k) / static_cast<double>(n)));
        bounds.push_back(to);
        for (std::size_t k = 0; k < n; ++k) {
            const Cut cut{0, bounds[k], bounds[k + 1]};
            add(part_of(out_.edges.size() - 1, cut), cut);
        }
    }

    static double rise_of(const Path& path) {
        const Point out = geometry::right_of(geometry::unit(geometry::heading(path.end() - path.start())));
        return std::max(geometry::dot(geometry::farthest(path, out).point - path.start(), out),
                        -geometry::dot(geometry::farthest(path, -out).point - path.start(), out));
    }

    /// A joint within a stretch, square to the outline, unless the leaning ends leave no room for that.
    static Bound inside(const Band& band, const Bound& from, const Bound& to, double share) {
        const Bound straight = between(from, to, share);
        if (!band.outer.closed) return straight;
        Bound out = square(band, std::fmod(straight.at_mm, band.outer_running.back()));
        out.at_mm = straight.at_mm;
        const double length = band.inner_running.back();
        while (out.inner_mm < from.inner_mm - same_mm) out.inner_mm += length;
        const bool between_ends = out.inner_mm > from.inner_mm + same_mm && out.inner_mm < to.inner_mm - same_mm;
        return between_ends ? out : straight;
    }

    // A second ring of segments under the first.

    void under_ring(const SegmentedEdging& edging) {
        out_.ring = true;
        process::EdgingWish wish = edging.wish;
        wish.width_mm = asked_.width_mm;
        wish.board_width_mm += std::max(0.0, asked_.width_mm - edging.width_mm);
        wish.segments = static_cast<int>(edging.ring.segments.size());
        wish.run_out_rad = std::max(wish.run_out_rad, run_out_rad(edging.ring) + 1e-6);
        wish.seams_mm.clear();
        for (const auto& s : edging.ring.segments) wish.seams_mm.push_back(s.from_mm);
        process::EdgingPlan ring;
        try {
            ring = process::plan_edging(plan_.outline, wish);
        } catch (const std::invalid_argument&) {
            too_wide();
            return;
        }
        if (ring.segments.empty()) {
            wish.segments.reset();
            ring = process::plan_edging(plan_.outline, wish);
        }
        if (ring.segments.empty()) {
            out_.must.push_back(fmt::format("The second ring under {} does not come out of boards {} wide.",
                                            plan_.pieces[edging.piece].name, show(wish.board_width_mm)));
            return;
        }
        Path inner;
        const auto parallel = geometry::parallel(plan_.outline, geometry::Side::left, asked_.width_mm);
        if (parallel.paths.size() == 1) inner = parallel.paths.front().path();
        if (inner.empty()) {
            too_wide();
            return;
        }
        bands_.emplace_back(plan_.outline, std::move(inner));
        const Band& band = bands_.front();
        out_.edges.push_back({"edge", plan_.outline, true, false, {}});
        const double length = band.outer_running.back(), inner_length = band.inner_running.back();
        for (const auto& s : ring.segments) {
            Bound from = square(band, s.from_mm), to = square(band, s.to_mm);
            while (to.at_mm < from.at_mm + same_mm) to.at_mm += length;
            while (to.inner_mm < from.inner_mm + same_mm) to.inner_mm += inner_length;
            BuildUpPiece part;
            part.piece = edging.piece;
            part.fibre_rad = s.fibre_rad;
            add(std::move(part), {0, from, to});
        }
        out_.mind.push_back(fmt::format(
            "Under {} the build-up is a second ring of {} segments, its joints staggered against those above: {} from "
            "the nearest. Glue it to the ring while both are flat.",
            plan_.pieces[edging.piece].name, ring.segments.size(), show(ring.nearest_seam_mm)));
        if (asked_.width_mm > edging.width_mm + same_mm) {
            out_.must.push_back(
                fmt::format("The build-up is {} wide, the ring above it {}: no wider than the ring, or it holds the "
                            "field that wants to move.",
                            show(asked_.width_mm), show(edging.width_mm)));
        }
    }

    // Wood.

    void find_wood() {
        if (!offcuts_) return;
        starts_.resize(out_.edges.size(), 0.0);
        std::vector<std::size_t> order(out_.parts.size());
        for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
        // End grain first: it has one place where it matches. Then long ones: they have the least choice.
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            const BuildUpPiece &one = out_.parts[a], &other = out_.parts[b];
            if (one.end_grain != other.end_grain) return one.end_grain;
            return one.along_mm * one.across_mm > other.along_mm * other.across_mm;
        });
        // Wood next to the end of a piece goes to that very end, before another end of the piece asks for it.
        for (const std::size_t i : order) {
            if (!out_.parts[i].end_grain) continue;
            auto source = offcuts_->take(out_.parts[i]);
            if (!source) continue;
            using Where = BuildUpSource::Where;
            if (source->where == Where::cut_off || source->where == Where::beyond_end)
                out_.parts[i].source = source;
            else
                offcuts_->give_back(*source);
        }
        std::vector<std::vector<BuildUpPiece>> made(out_.parts.size());
        for (const std::size_t i : order) {
            if (out_.parts[i].source) {
                made[i] = {out_.parts[i]};
            } else {
                made[i] = with_wood(i);
            }
        }
        out_.parts.clear();
        for (auto& parts : made)
            for (BuildUpPiece& part : parts) out_.parts.push_back(std::move(part));
    }

    std::vector<BuildUpPiece> with_wood(std::size_t i) {
        BuildUpPiece whole = out_.parts[i];
        whole.source = offcuts_->take(whole);
        const bool own = whole.source && whole.source->where != BuildUpSource::Where::other_board;
        if (own || whole.floating || out_.ring) return {whole};
        // In several from its own board rather than in one from another.
        for (std::size_t n = 2; n <= most_parts_of_one; ++n) {
            std::vector<BuildUpPiece> parts = divided(i, n);
            if (parts.front().to_mm - parts.front().from_mm < 2.0 * shortest_mm) break;
            bool all = true;
            for (BuildUpPiece& part : parts) {
                part.source = offcuts_->take(part);
                all = part.source && (!whole.source || part.source->where != BuildUpSource::Where::other_board);
                if (!all) break;
            }
            if (all) {
                if (whole.source) offcuts_->give_back(*whole.source);
                return parts;
            }
            for (const BuildUpPiece& part : parts)
                if (part.source) offcuts_->give_back(*part.source);
        }
        return {whole};
    }

    std::vector<BuildUpPiece> divided(std::size_t i, std::size_t n) const {
        std::vector<BuildUpPiece> out;
        const Cut& cut = cuts_[i];
        const double starts = starts_[out_.parts[i].edge];
        for (std::size_t k = 0; k < n; ++k) {
            BuildUpPiece part = out_.parts[i];
            part.source.reset();
            const auto bound = [&](std::size_t at) {
                if (at == 0) return cut.from;
                if (at == n) return cut.to;
                return inside(bands_[cut.band], cut.from, cut.to, static_cast<double>(at) / static_cast<double>(n));
            };
            shape(part, {cut.band, bound(k), bound(k + 1)});
            part.from_mm -= starts;
            part.to_mm -= starts;
            out.push_back(std::move(part));
        }
        return out;
    }

    void lacking() {
        for (std::size_t i = 0; i < out_.parts.size(); ++i) {
            const BuildUpPiece& part = out_.parts[i];
            if (part.source) continue;
            const std::string& species = plan_.pieces[part.piece].species;
            auto it = std::find_if(out_.lacking.begin(), out_.lacking.end(),
                                   [&](const auto& l) { return l.species == species; });
            if (it == out_.lacking.end()) it = out_.lacking.insert(it, {species, {}, 0.0, 0.0});
            it->length_mm += part.along_mm + (it->parts.empty() ? 0.0 : job_.cutting.kerf_mm);
            it->width_mm = std::max(it->width_mm, part.across_mm);
            it->parts.push_back(i);
        }
    }

    const Plan& plan_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
    const BoardsStudy* boards_;
    const MovementStudy& movement_;
    const job::BuildUp& asked_;
    RoughCutStudy rough_;
    std::optional<BuildUpOffcuts> offcuts_;
    std::vector<Band> bands_;
    std::vector<Cut> cuts_;       ///< of the parts, before they are divided for want of wood
    std::vector<double> starts_;  ///< where each edge begins on its band
    BuildUpStudy out_;
};

}  // namespace

std::optional<BuildUpStudy> study_build_up(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                                           const BoardsStudy* boards, const MovementStudy& movement) {
    if (!job.build_up || plan.pieces.empty() || plan.outline.empty()) return std::nullopt;
    return Study(plan, job, shelf, boards, movement).study();
}

}  // namespace seamwright::plan
