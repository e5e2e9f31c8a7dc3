// Scans laid together. Unknown are a turn and a move of each scan but one; the places of the marks are unknown too, and
// each is best taken as the mean of where the scans put it. So with p the corner on scan i and T its motion,
//
//     min Σ_corners Σ_scans |T_i p − mean_j T_j p|²
//
// by Gauss and Newton's steps from a start that lays scan by scan on what is there already.

#include "scan_join.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>

namespace seamwright::trace {
namespace {

/// Fewer shared marks leave the turn to 60 mm of paper.
constexpr std::size_t least_shared = 2;
/// Marks off by more than this, and by more than so many scatters, were moved.
constexpr double moved_mm = 0.4, moved_scatters = 8.0;
constexpr int rounds = 8;

struct Seen {
    std::size_t scan = 0;
    Point own;
};
using Corners = std::vector<std::vector<Seen>>;  // of each corner that at least two scans show

/// The motion that lays points on others by least squares.
ScanPlace laid_on(const std::vector<std::pair<Point, Point>>& pairs) {
    Point from, to;
    for (const auto& [a, b] : pairs) {
        from = from + a / static_cast<double>(pairs.size());
        to = to + b / static_cast<double>(pairs.size());
    }
    double along = 0.0, across = 0.0;
    for (const auto& [a, b] : pairs) {
        along += dot(a - from, b - to);
        across += cross(a - from, b - to);
    }
    ScanPlace place{std::atan2(across, along), {}};
    place.move = to - place.to_common(from);
    return place;
}

std::size_t shared(const ScannedMarks& a, const std::set<int>& known) {
    return static_cast<std::size_t>(
        std::count_if(a.begin(), a.end(), [&](const ScannedMark& m) { return known.contains(m.id); }));
}

/// A first place of each scan, the one that shares most laid next.
std::variant<std::vector<ScanPlace>, TraceProblem> first_places(const std::vector<ScannedMarks>& scans) {
    std::vector<ScanPlace> places(scans.size());
    std::vector<bool> laid(scans.size(), false);
    std::map<int, std::array<Point, 4>> known;
    std::set<int> ids;
    const auto lay = [&](std::size_t i) {
        laid[i] = true;
        for (const auto& mark : scans[i]) {
            if (!ids.insert(mark.id).second) continue;
            auto& corners = known[mark.id];
            for (std::size_t c = 0; c < 4; ++c) corners[c] = places[i].to_common(mark.corners[c]);
        }
    };
    lay(0);
    for (std::size_t k = 1; k < scans.size(); ++k) {
        std::size_t next = scans.size(), most = 0;
        for (std::size_t i = 0; i < scans.size(); ++i) {
            if (laid[i]) continue;
            const std::size_t count = shared(scans[i], ids);
            if (next == scans.size() || count > most) {
                next = i;
                most = count;
            }
        }
        if (most < least_shared) {
            return TraceProblem{fmt::format("Scan {} shares {} with the others; two are needed.", next + 1,
                                            most == 0 ? "no mark" : "only one mark"),
                                "Scan again so that at least two whole marks lie in the overlap, without moving the "
                                "strips; give the files in their order along the line.",
                                {}};
        }
        std::vector<std::pair<Point, Point>> pairs;
        for (const auto& mark : scans[next]) {
            if (!ids.contains(mark.id)) continue;
            for (std::size_t c = 0; c < 4; ++c) pairs.emplace_back(mark.corners[c], known[mark.id][c]);
        }
        places[next] = laid_on(pairs);
        lay(next);
    }
    return places;
}

Corners shared_corners(const std::vector<ScannedMarks>& scans, std::vector<int>& ids) {
    std::map<std::pair<int, std::size_t>, std::vector<Seen>> all;
    for (std::size_t i = 0; i < scans.size(); ++i) {
        for (const auto& mark : scans[i]) {
            for (std::size_t c = 0; c < 4; ++c) all[{mark.id, c}].push_back({i, mark.corners[c]});
        }
    }
    Corners corners;
    for (auto& [key, seen] : all) {
        if (seen.size() < 2) continue;
        corners.push_back(std::move(seen));
        ids.push_back(key.first);
    }
    return corners;
}

Point mean_of(const std::vector<Seen>& corner, const std::vector<ScanPlace>& places) {
    Point sum;
    for (const auto& s : corner) sum = sum + places[s.scan].to_common(s.own);
    return sum / static_cast<double>(corner.size());
}

/// Rows of the residuals' slopes: three numbers a scan (turn about its own origin, move), of all scans.
void slopes(const Corners& corners, const std::vector<ScanPlace>& places, Eigen::MatrixXd& jacobian,
            Eigen::VectorXd& residual) {
    Eigen::Index row = 0;
    jacobian.setZero();
    for (const auto& corner : corners) {
        const Point mean = mean_of(corner, places);
        const double part = 1.0 / static_cast<double>(corner.size());
        for (const auto& s : corner) {
            const Point off = places[s.scan].to_common(s.own) - mean;
            residual(row) = off.x;
            residual(row + 1) = off.y;
            for (const auto& t : corner) {
                const double share = (t.scan == s.scan ? 1.0 : 0.0) - part;
                const Point turned = geometry::left_of(places[t.scan].to_common(t.own) - places[t.scan].move);
                const auto column = static_cast<Eigen::Index>(3 * t.scan);
                jacobian(row, column) += share * turned.x;
                jacobian(row + 1, column) += share * turned.y;
                jacobian(row, column + 1) += share;
                jacobian(row + 1, column + 2) += share;
            }
            row += 2;
        }
    }
}

Eigen::MatrixXd without_scan(const Eigen::MatrixXd& jacobian, std::size_t scan) {
    const auto from = static_cast<Eigen::Index>(3 * scan);
    Eigen::MatrixXd rest(jacobian.rows(), jacobian.cols() - 3);
    rest << jacobian.leftCols(from), jacobian.rightCols(jacobian.cols() - from - 3);
    return rest;
}

}  // namespace

std::variant<JoinedScans, TraceProblem> join_scans(const std::vector<ScannedMarks>& scans, double corner_mm) {
    auto first = first_places(scans);
    if (auto* why = std::get_if<TraceProblem>(&first)) return std::move(*why);
    JoinedScans joined;
    joined.places = std::get<std::vector<ScanPlace>>(std::move(first));
    joined.middle = scans.size() / 2;
    joined.spread.assign(scans.size(), {});
    if (scans.size() == 1) return joined;

    std::vector<int> ids;
    const Corners corners = shared_corners(scans, ids);
    Eigen::Index rows = 0;
    for (const auto& corner : corners) rows += static_cast<Eigen::Index>(2 * corner.size());
    Eigen::MatrixXd jacobian(rows, static_cast<Eigen::Index>(3 * scans.size()));
    Eigen::VectorXd residual(rows);
    for (int round = 0; round < rounds; ++round) {
        slopes(corners, joined.places, jacobian, residual);
        const Eigen::MatrixXd free = without_scan(jacobian, 0);
        const Eigen::VectorXd step = (free.transpose() * free).ldlt().solve(-free.transpose() * residual);
        for (std::size_t i = 1; i < scans.size(); ++i) {
            const auto at = static_cast<Eigen::Index>(3 * (i - 1));
            joined.places[i].turn_rad += step(at);
            joined.places[i].move = joined.places[i].move + Point{step(at + 1), step(at + 2)};
        }
        if (step.cwiseAbs().maxCoeff() < 1e-10) break;
    }
    slopes(corners, joined.places, jacobian, residual);
    joined.residual_mm = std::sqrt(residual.squaredNorm() / (0.5 * static_cast<double>(rows)));
    std::size_t worst = 0;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Point mean = mean_of(corners[i], joined.places);
        for (const auto& s : corners[i]) {
            const double off = distance(joined.places[s.scan].to_common(s.own), mean);
            if (off <= joined.worst_residual_mm) continue;
            joined.worst_residual_mm = off;
            worst = i;
        }
    }
    if (joined.worst_residual_mm > std::max(moved_mm, moved_scatters * corner_mm)) {
        return TraceProblem{fmt::format("Mark {} does not lie in the same place on all scans: {:.1f} mm off.",
                                        ids[worst], joined.worst_residual_mm),
                            "Fasten the strips so that they cannot move against the line, check that no number is "
                            "there twice, and scan again.",
                            {}};
    }
    // Two numbers a corner and scan, less the corners' own places and the motions.
    const double freedom = static_cast<double>(rows) - 2.0 * static_cast<double>(corners.size()) -
                           3.0 * static_cast<double>(scans.size() - 1);
    const double from_residuals = freedom > 0.0 ? residual.squaredNorm() / freedom : 0.0;
    const double variance = std::max(from_residuals, corner_mm * corner_mm);
    const Eigen::MatrixXd free = without_scan(jacobian, joined.middle);
    const Eigen::MatrixXd spread =
        variance * (free.transpose() * free).ldlt().solve(Eigen::MatrixXd::Identity(free.cols(), free.cols()));
    for (std::size_t i = 0; i < scans.size(); ++i) {
        if (i == joined.middle) continue;
        const auto at = static_cast<Eigen::Index>(3 * (i < joined.middle ? i : i - 1));
        for (Eigen::Index r = 0; r < 3; ++r) {
            for (Eigen::Index c = 0; c < 3; ++c) {
                joined.spread[i][static_cast<std::size_t>(3 * r + c)] = spread(at + r, at + c);
            }
        }
    }
    return joined;
}

}  // namespace seamwright::trace
