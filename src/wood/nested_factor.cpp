#include "nested_factor.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cstdint>
#include <span>
#include <utility>

namespace seamwright::wood {
namespace {

using Index = Eigen::Index;

constexpr std::size_t triangles_in_smallest_part = 10;
/// Columns worked out at a time; sums no longer than this are never cut up by the size of a cache.
constexpr Index columns_at_a_time = 48;

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

/// A part as seen from its edge.
struct Part {
    struct Node {
        int node = 0;
        int triangles = 0;  // of the part, at the node
    };
    std::vector<Node> edge;
    std::size_t from = 0;  // of its stiffness in the pile: columns one after the other, of which the lower half counts
};

using Square = Eigen::Map<Eigen::MatrixXd>;

/// Works out the first `count` unknowns; the rest of `a` becomes the stiffness of what is left.
bool eliminate(Square& a, Index count) {
    const Index size = a.rows();
    for (Index from = 0; from < count; from += columns_at_a_time) {
        const Index width = std::min(columns_at_a_time, count - from), below = size - from - width;
        Eigen::Ref<Eigen::MatrixXd> block = a.block(from, from, width, width);
        const Eigen::LLT<Eigen::Ref<Eigen::MatrixXd>> diagonal(block);
        if (diagonal.info() != Eigen::Success) return false;
        if (below == 0) continue;
        auto rows = a.block(from + width, from, below, width);
        block.triangularView<Eigen::Lower>().transpose().solveInPlace<Eigen::OnTheRight>(rows);
        a.bottomRightCorner(below, below).selfadjointView<Eigen::Lower>().rankUpdate(rows, -1.0);
    }
    return true;
}

}  // namespace

bool NestedFactor::factor(const BodyMesh& mesh, const std::array<int, 3>& held,
                          const std::function<void(std::size_t, TriangleStiffness&)>& stiffness_of) {
    steps_.clear();
    std::vector<int> at_node(mesh.nodes.size(), 0);
    std::vector<Point> middle;
    for (const BodyTriangle& t : mesh.triangles) {
        for (const std::uint32_t n : t.node) ++at_node[n];
        middle.push_back((mesh.nodes[t.node[0]] + mesh.nodes[t.node[1]] + mesh.nodes[t.node[2]]) / 3.0);
    }
    std::vector<int> local(mesh.nodes.size(), -1);
    TriangleStiffness stiff;
    std::vector<double> front;
    // What is left of the parts that wait for their neighbour, the last one on top.
    std::vector<double> pile;
    std::size_t pile_height = 0;
    std::vector<Index> place;
    const auto empty_front = [&](Index size) {
        const auto numbers = static_cast<std::size_t>(size * size);
        if (front.size() < numbers) front.resize(numbers);
        std::fill_n(front.begin(), numbers, 0.0);
        return Square(front.data(), size, size);
    };

    // Numbers the nodes of a part, those worked out first; `nodes` holds each once.
    const auto arrange = [&](std::vector<Part::Node>& nodes) {
        const auto inside = std::stable_partition(
            nodes.begin(), nodes.end(), [&](const Part::Node& n) { return n.triangles == at_node[at(n.node)]; });
        for (std::size_t i = 0; i < nodes.size(); ++i) local[at(nodes[i].node)] = static_cast<int>(i);
        return static_cast<Index>(inside - nodes.begin());
    };
    const auto collect = [&](std::vector<Part::Node>& nodes, int node, int triangles) {
        int& number = local[at(node)];
        if (number < 0) {
            number = static_cast<int>(nodes.size());
            nodes.push_back({node, 0});
        }
        nodes[at(number)].triangles += triangles;
    };
    // Works out what lies inside, keeps it as a step and gives what is left.
    const auto reduce = [&](const std::vector<Part::Node>& nodes, Index inside, Square& a, Part& out) {
        Step step;
        for (std::size_t i = 0; i < nodes.size(); ++i) {
            local[at(nodes[i].node)] = -1;
            step.unknowns.push_back(2 * nodes[i].node);
            step.unknowns.push_back(2 * nodes[i].node + 1);
        }
        const auto is_held = [&](Index i) {
            return std::find(held.begin(), held.end(), step.unknowns[static_cast<std::size_t>(i)]) != held.end();
        };
        for (Index i = 0; i < 2 * inside; ++i) {
            if (!is_held(i)) continue;
            a.row(i).setZero();
            a.col(i).setZero();
            a(i, i) = 1.0;
        }
        if (!eliminate(a, 2 * inside)) return false;
        step.lower = a.leftCols(2 * inside);
        // No load comes to those from here: they stay 0.
        for (Index i = 2 * inside; i < a.rows(); ++i)
            if (is_held(i)) step.lower.row(i).setZero();
        const Index rest = a.rows() - 2 * inside;
        out.from = pile_height;
        pile_height += static_cast<std::size_t>(rest * rest);
        if (pile.size() < pile_height) pile.resize(2 * pile_height);
        double* left = pile.data() + out.from;
        for (Index j = 0; j < rest; ++j) std::copy_n(&a(2 * inside + j, 2 * inside + j), rest - j, left + j * rest + j);
        out.edge.assign(nodes.begin() + inside, nodes.end());
        steps_.push_back(std::move(step));
        return true;
    };

    const auto smallest = [&](std::span<int> triangles, Part& out) {
        std::sort(triangles.begin(), triangles.end());
        std::vector<Part::Node> nodes;
        for (const int t : triangles)
            for (const std::uint32_t n : mesh.triangles[at(t)].node) collect(nodes, static_cast<int>(n), 1);
        const Index inside = arrange(nodes), size = 2 * static_cast<Index>(nodes.size());
        Square a = empty_front(size);
        for (const int t : triangles) {
            stiffness_of(at(t), stiff);
            const auto& node = mesh.triangles[at(t)].node;
            place.clear();
            for (const std::uint32_t n : node) place.push_back(Index{2} * local[n]);
            for (std::size_t j = 0; j < 6; ++j)
                for (std::size_t i = 0; i < 6; ++i)
                    a.block<2, 2>(place[i], place[j]) +=
                        stiff.block<2, 2>(static_cast<Index>(2 * i), static_cast<Index>(2 * j));
        }
        return reduce(nodes, inside, a, out);
    };
    const auto join = [&](const std::array<Part, 2>& halves, Part& out) {
        std::vector<Part::Node> nodes;
        for (const Part& half : halves)
            for (const Part::Node& n : half.edge) collect(nodes, n.node, n.triangles);
        const Index inside = arrange(nodes), size = 2 * static_cast<Index>(nodes.size());
        Square a = empty_front(size);
        for (const Part& half : halves) {
            const std::size_t count = half.edge.size();
            place.clear();
            for (const Part::Node& n : half.edge) place.push_back(Index{2} * local[at(n.node)]);
            for (std::size_t j = 0; j < count; ++j) {
                const double* first = pile.data() + half.from + 4 * j * count;
                const double* second = first + 2 * count;
                const Index column = place[j];
                // On the diagonal only the lower half is known.
                a(column, column) += first[2 * j];
                a(column + 1, column) += first[2 * j + 1];
                a(column + 1, column + 1) += second[2 * j + 1];
                for (std::size_t i = j + 1; i < count; ++i) {
                    const Index row = place[i];
                    if (row > column) {
                        a(row, column) += first[2 * i];
                        a(row + 1, column) += first[2 * i + 1];
                        a(row, column + 1) += second[2 * i];
                        a(row + 1, column + 1) += second[2 * i + 1];
                    } else {
                        a(column, row) += first[2 * i];
                        a(column, row + 1) += first[2 * i + 1];
                        a(column + 1, row) += second[2 * i];
                        a(column + 1, row + 1) += second[2 * i + 1];
                    }
                }
            }
        }
        pile_height = halves[0].from;
        return reduce(nodes, inside, a, out);
    };
    const auto work = [&](const auto& self, std::span<int> triangles, Part& out) -> bool {
        if (triangles.size() <= triangles_in_smallest_part) return smallest(triangles, out);
        geometry::Box box;
        for (const int t : triangles) box.add(middle[at(t)]);
        const bool by_x = box.width_mm() >= box.height_mm();
        const std::size_t half = triangles.size() / 2;
        std::nth_element(triangles.begin(), triangles.begin() + static_cast<std::ptrdiff_t>(half), triangles.end(),
                         [&](int a, int b) {
                             const double p = by_x ? middle[at(a)].x : middle[at(a)].y;
                             const double q = by_x ? middle[at(b)].x : middle[at(b)].y;
                             return p != q ? p < q : a < b;
                         });
        std::array<Part, 2> halves;
        return self(self, triangles.first(half), halves[0]) && self(self, triangles.subspan(half), halves[1]) &&
               join(halves, out);
    };
    std::vector<int> all(mesh.triangles.size());
    for (std::size_t t = 0; t < all.size(); ++t) all[t] = static_cast<int>(t);
    Part whole;
    return work(work, all, whole);
}

Eigen::VectorXd NestedFactor::solve(Eigen::VectorXd load) const {
    Eigen::VectorXd part;
    const auto take = [&](const Step& step) {
        part.resize(static_cast<Index>(step.unknowns.size()));
        for (std::size_t i = 0; i < step.unknowns.size(); ++i) part[static_cast<Index>(i)] = load[step.unknowns[i]];
    };
    const auto give = [&](const Step& step) {
        for (std::size_t i = 0; i < step.unknowns.size(); ++i) load[step.unknowns[i]] = part[static_cast<Index>(i)];
    };
    for (const Step& step : steps_) {
        take(step);
        const Index inside = step.lower.cols(), edge = step.lower.rows() - inside;
        auto own = part.head(inside);
        step.lower.topRows(inside).triangularView<Eigen::Lower>().solveInPlace(own);
        part.tail(edge).noalias() -= step.lower.bottomRows(edge) * own;
        give(step);
    }
    for (std::size_t s = steps_.size(); s-- > 0;) {
        const Step& step = steps_[s];
        take(step);
        const Index inside = step.lower.cols(), edge = step.lower.rows() - inside;
        auto own = part.head(inside);
        own.noalias() -= step.lower.bottomRows(edge).transpose() * part.tail(edge);
        step.lower.topRows(inside).triangularView<Eigen::Lower>().transpose().solveInPlace(own);
        give(step);
    }
    return load;
}

}  // namespace seamwright::wood
