#include "wood/panel_body.h"

#include <fmt/format.h>

#include <Eigen/Sparse>
#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

#include "nested_factor.h"
#include "panel_measure.h"
#include "panel_mesh.h"

namespace seamwright::wood {
namespace {

using geometry::Box;
using Stiffness = Eigen::Matrix3d;
using Sparse = Eigen::SparseMatrix<double, Eigen::ColMajor, int>;

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

/// Of a piece: stress (xx, yy, xy) from strain (xx, yy, γ), in x and y.
struct PieceMaterial {
    Stiffness in_xy;
    double cos = 1.0, sin = 0.0;  // of the grain

    Eigen::Vector3d free_strain(FreeStrain e) const {
        return {e.along * cos * cos + e.across * sin * sin, e.along * sin * sin + e.across * cos * cos,
                2.0 * (e.along - e.across) * sin * cos};
    }
    BodyStress in_grain(const Eigen::Vector3d& s) const {
        return {s[0] * cos * cos + s[1] * sin * sin + 2.0 * s[2] * sin * cos,
                s[0] * sin * sin + s[1] * cos * cos - 2.0 * s[2] * sin * cos,
                (s[1] - s[0]) * sin * cos + s[2] * (cos * cos - sin * sin)};
    }
};

PieceMaterial material_of(const BodyPiece& piece) {
    const PlaneElastic& wood = piece.elastic;
    PieceMaterial out;
    out.cos = std::cos(piece.grain_rad);
    out.sin = std::sin(piece.grain_rad);
    const double share = 1.0 - wood.nu * wood.nu * wood.across_mpa / wood.along_mpa;
    Stiffness in_grain = Stiffness::Zero();
    in_grain(0, 0) = wood.along_mpa / share;
    in_grain(1, 1) = wood.across_mpa / share;
    in_grain(0, 1) = in_grain(1, 0) = wood.nu * wood.across_mpa / share;
    in_grain(2, 2) = wood.shear_mpa;
    // Strain in the directions of the grain from strain in x and y.
    const double c = out.cos, s = out.sin;
    Stiffness turn;
    turn << c * c, s * s, s * c, s * s, c * c, -s * c, -2.0 * s * c, 2.0 * s * c, c * c - s * s;
    out.in_xy = turn.transpose() * in_grain * turn;
    return out;
}

/// One of the three places in a triangle at which it is integrated: derivatives of the six shape functions in x and y,
/// and the area that counts for it.
struct Place {
    std::array<double, 6> shape{}, by_x{}, by_y{};
    double area_mm2 = 0.0;
};

std::array<Place, 3> places_of(const std::array<Point, 6>& node) {
    constexpr double sixth = 1.0 / 6.0, most = 2.0 / 3.0;
    std::array<Place, 3> out;
    for (std::size_t q = 0; q < 3; ++q) {
        const double u = q == 1 ? most : sixth, v = q == 2 ? most : sixth, w = 1.0 - u - v;
        Place& place = out[q];
        place.shape = {w * (2.0 * w - 1.0), u * (2.0 * u - 1.0), v * (2.0 * v - 1.0),
                       4.0 * w * u,         4.0 * u * v,         4.0 * v * w};
        const std::array<double, 6> by_u{1.0 - 4.0 * w, 4.0 * u - 1.0, 0.0, 4.0 * (w - u), 4.0 * v, -4.0 * v};
        const std::array<double, 6> by_v{1.0 - 4.0 * w, 0.0, 4.0 * v - 1.0, -4.0 * u, 4.0 * u, 4.0 * (w - v)};
        Point along_u, along_v;
        for (std::size_t i = 0; i < 6; ++i) {
            along_u = along_u + by_u[i] * node[i];
            along_v = along_v + by_v[i] * node[i];
        }
        const double stretch = cross(along_u, along_v);
        for (std::size_t i = 0; i < 6; ++i) {
            place.by_x[i] = (by_u[i] * along_v.y - by_v[i] * along_u.y) / stretch;
            place.by_y[i] = (by_v[i] * along_u.x - by_u[i] * along_v.x) / stretch;
        }
        place.area_mm2 = stretch / 6.0;
    }
    return out;
}

Eigen::Vector3d strain_at(const Place& place, const BodyTriangle& triangle, std::span<const Point> moves) {
    Eigen::Vector3d e = Eigen::Vector3d::Zero();
    for (std::size_t i = 0; i < 6; ++i) {
        const Point u = moves[triangle.node[i]];
        e[0] += place.by_x[i] * u.x;
        e[1] += place.by_y[i] * u.y;
        e[2] += place.by_y[i] * u.x + place.by_x[i] * u.y;
    }
    return e;
}

/// Σ over the places of Bᵀσ: the forces at the nodes that hold this stress.
void add_forces(const Place& place, const Eigen::Vector3d& stress, std::array<Point, 6>& forces) {
    for (std::size_t i = 0; i < 6; ++i)
        forces[i] = forces[i] + place.area_mm2 * Point{place.by_x[i] * stress[0] + place.by_y[i] * stress[2],
                                                       place.by_y[i] * stress[1] + place.by_x[i] * stress[2]};
}

std::optional<BodyProblem> check(std::span<const BodyPiece> pieces, const BodySettings& settings) {
    if (!(settings.element_mm > 0.0) || !std::isfinite(settings.element_mm) || !(settings.end_share > 0.0) ||
        settings.end_share > 1.0 || !(settings.average_mm > 0.0))
        return BodyProblem{"Element, its share at seam ends and the length of means must be above nothing.",
                           "Take 20 mm, 0.3 and 10 mm.", std::nullopt};
    if (pieces.empty()) return BodyProblem{"There are no pieces.", "Give the pieces of the top.", std::nullopt};
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        const PlaneElastic& wood = pieces[i].elastic;
        const bool firm = wood.along_mpa > 0.0 && wood.across_mpa > 0.0 && wood.shear_mpa > 0.0 &&
                          wood.nu * wood.nu * wood.across_mpa < wood.along_mpa;
        if (!firm)
            return BodyProblem{fmt::format("The moduli of piece {} are not those of a body.", i + 1),
                               "All moduli above nothing, and ν² below E₁/E₂.", std::nullopt};
        if (pieces[i].region.outer.empty())
            return BodyProblem{fmt::format("Piece {} has no edge.", i + 1), "Give it one.", std::nullopt};
    }
    return std::nullopt;
}

/// All triangles hang together through shared sides; at a single shared corner a top would fold.
bool is_one_body(const BodyMesh& mesh) {
    std::vector<std::array<int, 2>> beside(mesh.nodes.size(), {-1, -1});  // triangles at the middle of a side
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
        for (std::size_t k = 3; k < 6; ++k) {
            auto& two = beside[mesh.triangles[t].node[k]];
            (two[0] < 0 ? two[0] : two[1]) = static_cast<int>(t);
        }
    std::vector<bool> reached(mesh.triangles.size(), false);
    std::vector<int> waiting{0};
    reached[0] = true;
    std::size_t count = 0;
    while (!waiting.empty()) {
        const auto t = at(waiting.back());
        waiting.pop_back();
        ++count;
        for (std::size_t k = 3; k < 6; ++k)
            for (const int other : beside[mesh.triangles[t].node[k]])
                if (other >= 0 && !reached[at(other)]) {
                    reached[at(other)] = true;
                    waiting.push_back(other);
                }
    }
    return count == mesh.triangles.size();
}

}  // namespace

struct PanelBody::Inside {
    PanelMesh mesh;
    BodySettings settings;
    std::vector<std::string> names;
    std::vector<PieceMaterial> materials;
    std::vector<double> grain_rad;
    std::array<int, 3> held{};  // unknowns kept at 0: they only stop the whole from drifting
    NestedFactor factor;

    std::array<Point, 6> corners(const BodyTriangle& t) const {
        std::array<Point, 6> out{};
        for (std::size_t i = 0; i < 6; ++i) out[i] = mesh.body.nodes[t.node[i]];
        return out;
    }

    void hold() {
        // Two nodes far apart in x: the first whole, the second in y.
        const auto& nodes = mesh.body.nodes;
        const auto by_x = [](Point a, Point b) { return a.x < b.x; };
        const auto [low, high] = std::minmax_element(nodes.begin(), nodes.end(), by_x);
        const auto first = static_cast<int>(low - nodes.begin()), second = static_cast<int>(high - nodes.begin());
        held = {2 * first, 2 * first + 1, 2 * second + 1};
    }
    bool set_up() {
        hold();
        return factor.factor(mesh.body, held, [this](std::size_t triangle, TriangleStiffness& stiff) {
            const BodyTriangle& t = mesh.body.triangles[triangle];
            stiff.setZero();
            for (const Place& place : places_of(corners(t))) {
                Eigen::Matrix<double, 3, 12> B = Eigen::Matrix<double, 3, 12>::Zero();
                for (Eigen::Index i = 0; i < 6; ++i) {
                    B(0, 2 * i) = B(2, 2 * i + 1) = place.by_x[static_cast<std::size_t>(i)];
                    B(1, 2 * i + 1) = B(2, 2 * i) = place.by_y[static_cast<std::size_t>(i)];
                }
                const Eigen::Matrix<double, 3, 12> CB = place.area_mm2 * materials[t.piece].in_xy * B;
                stiff.noalias() += B.transpose() * CB;
            }
        });
    }

    std::vector<Point> solve(std::span<const Eigen::Vector3d> free) const {
        const BodyMesh& body = mesh.body;
        Eigen::VectorXd load = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(2 * body.nodes.size()));
        for (const BodyTriangle& t : body.triangles) {
            const Eigen::Vector3d stress = materials[t.piece].in_xy * free[t.piece];
            std::array<Point, 6> forces{};
            for (const Place& place : places_of(corners(t))) add_forces(place, stress, forces);
            for (std::size_t i = 0; i < 6; ++i) {
                const auto n = Eigen::Index{2} * t.node[i];
                load[n] += forces[i].x;
                load[n + 1] += forces[i].y;
            }
        }
        for (const int equation : held) load[equation] = 0.0;
        const Eigen::VectorXd found = factor.solve(load);
        std::vector<Point> moves(body.nodes.size());
        for (std::size_t i = 0; i < moves.size(); ++i) {
            const auto n = static_cast<Eigen::Index>(2 * i);
            moves[i] = {found[n], found[n + 1]};
        }
        stop_drifting(moves);
        return moves;
    }

    /// Takes the mean shift and the mean turn out.
    void stop_drifting(std::vector<Point>& moves) const {
        double area = 0.0, turn = 0.0;
        Point centre;
        const auto mean_of = [&](std::span<const Point> value) {
            Point sum;
            for (const BodyTriangle& t : mesh.body.triangles)
                for (const Place& place : places_of(corners(t)))
                    for (std::size_t i = 0; i < 6; ++i) sum = sum + place.area_mm2 * place.shape[i] * value[t.node[i]];
            return sum;
        };
        for (const BodyTriangle& t : mesh.body.triangles)
            for (const Place& place : places_of(corners(t))) {
                area += place.area_mm2;
                for (std::size_t i = 0; i < 6; ++i) {
                    const Point u = moves[t.node[i]];
                    turn += 0.5 * place.area_mm2 * (place.by_x[i] * u.y - place.by_y[i] * u.x);
                }
            }
        turn /= area;
        centre = mean_of(mesh.body.nodes) / area;
        for (std::size_t i = 0; i < moves.size(); ++i)
            moves[i] = moves[i] - turn * left_of(mesh.body.nodes[i] - centre);
        const Point shift = mean_of(moves) / area;
        for (Point& move : moves) move = move - shift;
    }

    /// Stress along and square to a seam, from the nodal forces that its left piece holds against. They are spread over
    /// the seam linearly from corner to corner of its sides: so spread, the resultant of each two neighbouring sides is
    /// that of the nodal forces, and the jumps between corners and middles that six-node triangles have fall out.
    std::vector<SeamStress> seam_rows(const MeshedLine& seam, std::span<const std::vector<std::uint32_t>> of_piece,
                                      std::span<const Point> moves, std::span<const Eigen::Vector3d> free,
                                      double& stretch_mm) const {
        const std::size_t sides = seam.sides.size(), count = sides + (seam.closed ? 0 : 1);
        std::vector<int> on_seam(mesh.body.nodes.size(), 0);
        for (const LineSide& side : seam.sides)
            for (const std::uint32_t n : side.node) on_seam[n] = 1;
        std::vector<Point> holding(mesh.body.nodes.size());
        for (const std::uint32_t index : of_piece[at(seam.left)]) {
            const BodyTriangle& t = mesh.body.triangles[index];
            if (std::none_of(t.node.begin(), t.node.end(), [&](std::uint32_t n) { return on_seam[n] != 0; })) continue;
            std::array<Point, 6> forces{};
            for (const Place& place : places_of(corners(t)))
                add_forces(place, materials[t.piece].in_xy * (strain_at(place, t, moves) - free[t.piece]), forces);
            for (std::size_t i = 0; i < 6; ++i) holding[t.node[i]] = holding[t.node[i]] + forces[i];
        }
        const auto number = [&](std::size_t corner) { return static_cast<int>(corner % count); };
        const auto linear = [](const LinePlace& place) {
            return std::array{place.shape[0] + 0.5 * place.shape[1], place.shape[2] + 0.5 * place.shape[1]};
        };
        Eigen::MatrixX2d force = Eigen::MatrixX2d::Zero(static_cast<Eigen::Index>(count), 2);
        const auto load = [&](int corner, Point f) { force.row(corner) += Eigen::RowVector2d(f.x, f.y); };
        std::vector<Eigen::Triplet<double>> entries;
        for (std::size_t s = 0; s < sides; ++s) {
            const auto& node = seam.sides[s].node;
            load(number(s), holding[node[0]] + 0.5 * holding[node[1]]);
            load(number(s + 1), 0.5 * holding[node[1]]);
            if (s + 1 == sides && !seam.closed) load(number(s + 1), holding[node[2]]);
            for (const LinePlace& place : line_places(seam.sides[s], mesh.body.nodes)) {
                const auto share = linear(place);
                for (std::size_t a = 0; a < 2; ++a)
                    for (std::size_t b = 0; b < 2; ++b)
                        entries.emplace_back(number(s + a), number(s + b), place.length_mm * share[a] * share[b]);
            }
        }
        Sparse mass(static_cast<Eigen::Index>(count), static_cast<Eigen::Index>(count));
        mass.setFromTriplets(entries.begin(), entries.end());
        const Eigen::MatrixX2d traction = Eigen::SimplicialLDLT<Sparse>(mass).solve(force);

        const double whole = seam.sides.back().to_mm;
        const auto windows = static_cast<std::size_t>(std::max(1.0, std::round(whole / settings.average_mm)));
        stretch_mm = whole / static_cast<double>(windows);
        std::vector<SeamStress> rows(windows);
        std::vector<double> lengths(windows, 0.0);
        for (std::size_t s = 0; s < sides; ++s) {
            const LineSide& side = seam.sides[s];
            double from = side.from_mm;
            while (from < side.to_mm) {
                auto window = static_cast<std::size_t>(from / stretch_mm + 1e-9);
                window = std::min(window, windows - 1);
                double to = window + 1 == windows ? side.to_mm : stretch_mm * static_cast<double>(window + 1);
                if (to > side.to_mm - 1e-9 * stretch_mm) to = side.to_mm;
                const double size = side.to_mm - side.from_mm;
                for (const LinePlace& place :
                     line_places(side, mesh.body.nodes, (from - side.from_mm) / size, (to - side.from_mm) / size)) {
                    Point t;
                    const auto share = linear(place);
                    for (std::size_t k = 0; k < 2; ++k)
                        t = t + share[k] * Point{traction(number(s + k), 0), traction(number(s + k), 1)};
                    // Out of the left piece is to the right of the line.
                    rows[window].opening_mpa += place.length_mm * dot(t, right_of(place.tangent));
                    rows[window].shear_mpa += place.length_mm * dot(t, place.tangent);
                    lengths[window] += place.length_mm;
                }
                from = to;
            }
        }
        for (std::size_t i = 0; i < windows; ++i) {
            rows[i].at_mm = stretch_mm * (static_cast<double>(i) + 0.5);
            rows[i].opening_mpa /= lengths[i];
            rows[i].shear_mpa /= lengths[i];
        }
        return rows;
    }
};

PanelBody::PanelBody(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
PanelBody::PanelBody(PanelBody&&) noexcept = default;
PanelBody& PanelBody::operator=(PanelBody&&) noexcept = default;
PanelBody::~PanelBody() = default;

std::variant<PanelBody, BodyProblem> PanelBody::make(std::span<const BodyPiece> pieces, std::span<const BodySeam> seams,
                                                     const BodySettings& settings) {
    if (auto problem = check(pieces, settings)) return *problem;
    auto meshed = mesh_panel(pieces, seams, settings);
    if (auto* problem = std::get_if<BodyProblem>(&meshed)) return std::move(*problem);
    auto inside = std::make_unique<Inside>();
    inside->mesh = std::move(std::get<PanelMesh>(meshed));
    inside->settings = settings;
    for (const BodyPiece& piece : pieces) {
        inside->materials.push_back(material_of(piece));
        inside->grain_rad.push_back(piece.grain_rad);
    }
    for (const BodySeam& seam : seams) inside->names.push_back(seam.name);
    if (!is_one_body(inside->mesh.body) || !inside->set_up())
        return BodyProblem{"The pieces do not hold together as one body.",
                           "Give only pieces that are joined by seams; work out loose ones by themselves.",
                           std::nullopt};
    return PanelBody(std::move(inside));
}

const BodyMesh& PanelBody::mesh() const {
    return inside_->mesh.body;
}

BodyAnswer PanelBody::change(std::span<const FreeStrain> strains) const {
    const Inside& in = *inside_;
    if (strains.size() != in.materials.size()) throw std::invalid_argument("PanelBody: one free strain for each piece");
    std::vector<Eigen::Vector3d> free;
    for (std::size_t p = 0; p < strains.size(); ++p) free.push_back(in.materials[p].free_strain(strains[p]));

    BodyAnswer out;
    out.moves = in.solve(free);
    const BodyMesh& body = in.mesh.body;
    out.pieces.resize(strains.size());
    std::vector<std::vector<std::uint32_t>> of_piece(strains.size());
    for (std::size_t i = 0; i < body.triangles.size(); ++i) {
        const BodyTriangle& t = body.triangles[i];
        of_piece[t.piece].push_back(static_cast<std::uint32_t>(i));
        Eigen::Vector3d sum = Eigen::Vector3d::Zero();
        double area = 0.0;
        for (const Place& place : places_of(in.corners(t))) {
            sum += place.area_mm2 * (in.materials[t.piece].in_xy * (strain_at(place, t, out.moves) - free[t.piece]));
            area += place.area_mm2;
        }
        const BodyStress stress = in.materials[t.piece].in_grain(sum / area);
        out.stresses.push_back(stress);
        PieceAnswer& piece = out.pieces[t.piece];
        piece.most_pull_across_mpa = std::max(piece.most_pull_across_mpa, stress.across);
        piece.most_push_across_mpa = std::max(piece.most_push_across_mpa, -stress.across);
        piece.most_shear_mpa = std::max(piece.most_shear_mpa, std::abs(stress.shear));
    }
    for (std::size_t p = 0; p < strains.size(); ++p)
        measure_piece(body, of_piece[p], out.moves, in.grain_rad[p], out.pieces[p]);
    for (std::size_t s = 0; s < in.mesh.seams.size(); ++s) {
        const MeshedLine& line = in.mesh.seams[s];
        SeamAnswer seam;
        seam.name = in.names[s];
        seam.left_piece = at(line.left);
        seam.right_piece = at(line.right);
        seam.rows = in.seam_rows(line, of_piece, out.moves, free, seam.stretch_mm);
        const LineChange change = measure_line(line, body.nodes, out.moves);
        seam.shape = change.shape;
        seam.length = change.length;
        if (!line.closed) seam.rise = change.rise;
        out.seams.push_back(std::move(seam));
    }
    for (const MeshedLine& line : in.mesh.outer_edges) {
        const LineChange change = measure_line(line, body.nodes, out.moves);
        OuterEdgeAnswer edge;
        edge.from = body.nodes[line.sides.front().node[0]];
        edge.to = body.nodes[line.sides.back().node[2]];
        edge.length = change.length;
        edge.shape = change.shape;
        edge.bow_mm = change.middle_right_of_ends ? change.shape.spread_mm() : -change.shape.spread_mm();
        out.outer_edges.push_back(edge);
    }
    measure_top(in.mesh.rim, body.nodes, in.settings.stations, out);
    for (const Point move : out.moves) out.largest_move_mm = std::max(out.largest_move_mm, norm(move));
    return out;
}

}  // namespace seamwright::wood
