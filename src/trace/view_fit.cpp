#include "view_fit.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <utility>

namespace seamwright::trace {

namespace {

/// Unknowns that one corner depends on: camera, print, its strip.
constexpr int corner_numbers = static_cast<int>(camera_numbers) + 3 + 4;
/// From this many σ on a corner pulls no harder.
constexpr double huber_reach = 3.0;
constexpr int most_steps = 60;

/// Corners as printed, in parts of half the side.
constexpr std::array<std::array<double, 2>, 4> corner_signs{{{-1.0, 1.0}, {1.0, 1.0}, {1.0, -1.0}, {-1.0, -1.0}}};

/// A corner on the bench. `print` and `strip` as in the unknowns.
template <class T>
std::array<T, 2> on_bench(int mark_on_strip, double sign_x, double sign_y, const std::array<T, 3>& print,
                          const std::array<T, 4>& strip) {
    using std::cos;
    using std::sin;
    const double along = (mark_on_strip - 1) * mark_apart_mm + sign_x * 0.5 * mark_mm;
    const double across = sign_y * 0.5 * mark_mm;
    const T scale = 1.0 + print[0] + strip[3];
    const T x = along * (scale + 0.5 * print[1]) + sign_x * print[2];
    const T y = across * (scale - 0.5 * print[1]) + sign_y * print[2];
    const T c = cos(strip[2]), s = sin(strip[2]);
    const T bench_x = strip[0] + c * x - s * y;
    const T bench_y = strip[1] + s * x + c * y;
    return {bench_x, bench_y};
}

/// The unknowns of one corner, and where each stands in the whole (−1: it is held).
struct Own {
    std::array<double, corner_numbers> value{};
    std::array<Eigen::Index, corner_numbers> at{};
};

Own own_unknowns(const Eigen::VectorXd& x, Eigen::Index strip_at, bool first_strip) {
    Own own;
    for (Eigen::Index i = 0; i < strips_at; ++i) {
        own.at[static_cast<std::size_t>(i)] = i;
        own.value[static_cast<std::size_t>(i)] = x[i];
    }
    for (Eigen::Index i = 0; i < 4; ++i) {
        const auto k = static_cast<std::size_t>(strips_at + i);
        const bool held = first_strip && i < 3;
        own.at[k] = held ? -1 : strip_at + i;
        own.value[k] = held ? 0.0 : x[strip_at + i];
    }
    return own;
}

template <class T>
std::array<T, 2> corner_seen(const Frame& frame, int mark_on_strip, std::size_t corner,
                             const std::array<T, corner_numbers>& own) {
    std::array<T, camera_numbers> camera;
    std::copy_n(own.begin(), camera_numbers, camera.begin());
    std::array<T, 3> print;
    std::copy_n(own.begin() + print_at, 3, print.begin());
    std::array<T, 4> strip;
    std::copy_n(own.begin() + strips_at, 4, strip.begin());
    const auto place = on_bench<T>(mark_on_strip, corner_signs[corner][0], corner_signs[corner][1], print, strip);
    return seen_at<T>(frame, camera, place[0], place[1], 0.0);
}

double side_px(const FoundMark& m) {
    const auto& q = m.corners_px;
    return std::sqrt(0.5 * std::abs(cross(q[2] - q[0], q[3] - q[1])));
}

Point middle_px(const FoundMark& m) {
    const auto& q = m.corners_px;
    return 0.25 * (q[0] + q[1] + q[2] + q[3]);
}

/// A rigid move that lays `from` on `to` as well as it can: turn, then shift.
struct Move {
    double turn_rad = 0.0;
    Point shift;
};
Move best_move(const std::vector<Point>& from, const std::vector<Point>& to) {
    Point mean_from, mean_to;
    for (std::size_t i = 0; i < from.size(); ++i) {
        mean_from = mean_from + from[i] / static_cast<double>(from.size());
        mean_to = mean_to + to[i] / static_cast<double>(from.size());
    }
    double c = 0.0, s = 0.0;
    for (std::size_t i = 0; i < from.size(); ++i) {
        c += dot(from[i] - mean_from, to[i] - mean_to);
        s += cross(from[i] - mean_from, to[i] - mean_to);
    }
    Move m;
    m.turn_rad = std::atan2(s, c);
    const Point u = geometry::unit(m.turn_rad);
    m.shift = mean_to - (mean_from.x * u + mean_from.y * left_of(u));
    return m;
}

Eigen::Matrix3d turn_about(int axis, double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    Eigen::Matrix3d m = Eigen::Matrix3d::Identity();
    const int a = (axis + 1) % 3, b = (axis + 2) % 3;
    m(a, a) = m(b, b) = c;
    m(a, b) = -s;
    m(b, a) = s;
    return m;
}

/// The bench turned by `angle_rad` under the camera: other numbers for the same pose.
void turn_bench(Eigen::VectorXd& x, double angle_rad) {
    const Eigen::Matrix3d m =
        turn_about(2, x[roll]) * turn_about(0, x[tilt_x]) * turn_about(1, x[tilt_y]) * turn_about(2, -angle_rad);
    x[tilt_x] = std::asin(std::clamp(m(2, 1), -1.0, 1.0));
    x[tilt_y] = std::atan2(-m(2, 0), m(2, 2));
    x[roll] = std::atan2(-m(0, 1), m(1, 1));
}

}  // namespace

ViewFit::ViewFit(Frame frame, std::vector<UsedMark> used, std::size_t strips, std::span<const Taped> taped)
    : marks(std::move(used)), frame_(frame), strips_(strips), taped_(taped.begin(), taped.end()) {}

Eigen::VectorXd ViewFit::start(double focal_px) const {
    Eigen::VectorXd x = Eigen::VectorXd::Zero(unknowns());
    // 1/depth runs evenly over the picture, and a mark's area goes with its cube.
    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    Eigen::Vector3d pull = Eigen::Vector3d::Zero();
    const double corner = frame_.corner_px();
    for (const UsedMark& m : marks) {
        if (!m.used) continue;
        const Point at = (middle_px(*m.mark) - Point{0.5 * frame_.width_px, 0.5 * frame_.height_px}) / corner;
        const Eigen::Vector3d terms(1.0, at.x, at.y);
        normal += terms * terms.transpose();
        pull += std::pow(side_px(*m.mark), 2.0 / 3.0) * terms;
    }
    // Marks in a narrow band leave the tilt across it open: then none is the first guess.
    normal(1, 1) += 1e-3 * normal(0, 0);
    normal(2, 2) += 1e-3 * normal(0, 0);
    const Eigen::Vector3d depth = normal.ldlt().solve(pull);
    constexpr double most_tilt = 1.2;  // rad, of a first guess
    x[tilt_x] = std::clamp(-std::atan(depth[2] / depth[0] / corner * focal_px), -most_tilt, most_tilt);
    x[tilt_y] =
        std::clamp(std::atan(depth[1] / depth[0] / corner * focal_px * std::cos(x[tilt_x])), -most_tilt, most_tilt);
    x[log_focal] = std::log(focal_px);
    // In the middle of the picture a mark's side is what the depth there makes of it, shortened by the tilt.
    const double side = std::pow(std::max(depth[0], 1e-3), 1.5);
    x[log_scale] = std::log(mark_mm * std::sqrt(std::cos(x[tilt_x]) * std::cos(x[tilt_y])) / side);
    place_strips(x);
    return x;
}

void ViewFit::place_strips(Eigen::VectorXd& x) const {
    std::array<double, camera_numbers> camera{};
    std::copy_n(x.data(), camera_numbers, camera.begin());
    std::vector<Move> moves(strips_);
    for (std::size_t s = 0; s < strips_; ++s) {
        std::vector<Point> printed, laid;
        for (const UsedMark& m : marks) {
            if (m.strip != s || !m.used) continue;
            for (std::size_t i = 0; i < 4; ++i) {
                const Point at = bench_place(frame_, camera, m.mark->corners_px[i], 0.0);
                if (!std::isfinite(at.x)) continue;
                const auto p = on_bench<double>(m.mark->id % marks_a_strip, corner_signs[i][0], corner_signs[i][1],
                                                {0.0, 0.0, 0.0}, {0.0, 0.0, 0.0, 0.0});
                printed.push_back({p[0], p[1]});
                laid.push_back(at);
            }
        }
        if (!printed.empty()) moves[s] = best_move(printed, laid);
    }
    // The first strip becomes the origin.
    const Point origin = moves[0].shift;
    const double turn = moves[0].turn_rad;
    const Point u = geometry::unit(-turn);
    const auto seen_from_first = [&](Point p) {
        const Point d = p - origin;
        return d.x * u + d.y * left_of(u);
    };
    const Point look = seen_from_first({x[look_x], x[look_y]});
    x[look_x] = look.x;
    x[look_y] = look.y;
    turn_bench(x, turn);
    for (std::size_t s = 1; s < strips_; ++s) {
        const Point at = seen_from_first(moves[s].shift);
        x[strip_at(s)] = at.x;
        x[strip_at(s) + 1] = at.y;
        x[strip_at(s) + 2] = geometry::wrap_pi(moves[s].turn_rad - turn);
    }
}

Point ViewFit::mark_middle(const Eigen::VectorXd& x, const UsedMark& mark) const {
    const Own own = own_unknowns(x, strip_at(mark.strip), mark.strip == 0);
    std::array<double, 3> print{};
    std::array<double, 4> strip{};
    std::copy_n(own.value.begin() + print_at, 3, print.begin());
    std::copy_n(own.value.begin() + strips_at, 4, strip.begin());
    Point middle;
    for (const auto& sign : corner_signs) {
        const auto p = on_bench<double>(mark.mark->id % marks_a_strip, sign[0], sign[1], print, strip);
        middle = middle + 0.25 * Point{p[0], p[1]};
    }
    return middle;
}

double ViewFit::evaluate(const Eigen::VectorXd& x, Eigen::MatrixXd* normal, Eigen::VectorXd* pull) const {
    double cost = 0.0;
    if (normal) {
        normal->setZero(unknowns(), unknowns());
        pull->setZero(unknowns());
    }
    using T = Sloped<corner_numbers>;
    for (const UsedMark& m : marks) {
        if (!m.used) continue;
        const Own own = own_unknowns(x, strip_at(m.strip), m.strip == 0);
        const int on_strip = m.mark->id % marks_a_strip;
        std::array<T, corner_numbers> sloped;
        for (std::size_t i = 0; i < sloped.size(); ++i)
            sloped[i] = T(own.value[i], corner_numbers, static_cast<int>(i));
        for (std::size_t i = 0; i < 4; ++i) {
            Eigen::Matrix<double, 2, corner_numbers> slopes;
            Eigen::Vector2d off;
            const Point found = m.mark->corners_px[i];
            if (normal) {
                const auto seen = corner_seen<T>(frame_, on_strip, i, sloped);
                off << found.x - seen[0].value(), found.y - seen[1].value();
                slopes.row(0) = seen[0].derivatives().transpose();
                slopes.row(1) = seen[1].derivatives().transpose();
            } else {
                const auto seen = corner_seen<double>(frame_, on_strip, i, own.value);
                off << found.x - seen[0], found.y - seen[1];
            }
            off /= m.mark->corner_px;
            const double size = off.norm();
            if (!std::isfinite(size)) return 1e300;
            cost += size <= huber_reach ? size * size : 2.0 * huber_reach * size - huber_reach * huber_reach;
            if (!normal) continue;
            const double weight = size <= huber_reach ? 1.0 : huber_reach / size;
            slopes /= m.mark->corner_px;
            const Eigen::Matrix<double, corner_numbers, corner_numbers> own_normal =
                weight * slopes.transpose() * slopes;
            const Eigen::Matrix<double, corner_numbers, 1> own_pull = weight * slopes.transpose() * off;
            for (Eigen::Index a = 0; a < corner_numbers; ++a) {
                const Eigen::Index row = own.at[static_cast<std::size_t>(a)];
                if (row < 0) continue;
                (*pull)[row] += own_pull[a];
                for (Eigen::Index b = 0; b < corner_numbers; ++b) {
                    const Eigen::Index column = own.at[static_cast<std::size_t>(b)];
                    if (column >= 0) (*normal)(row, column) += own_normal(a, b);
                }
            }
        }
    }
    for (const Expected& e : expected) {
        const double off = (e.value - x[e.unknown]) / e.scatter;
        cost += off * off;
        if (!normal) continue;
        (*normal)(e.unknown, e.unknown) += 1.0 / (e.scatter * e.scatter);
        (*pull)[e.unknown] += off / e.scatter;
    }
    for (const Taped& t : taped_) {
        const auto find = [&](int id) {
            return std::find_if(marks.begin(), marks.end(), [id](const UsedMark& m) { return m.mark->id == id; });
        };
        const auto from = find(t.from_mark), to = find(t.to_mark);
        if (from == marks.end() || to == marks.end()) continue;
        const Point apart = mark_middle(x, *to) - mark_middle(x, *from);
        const double off = (t.apart_mm - norm(apart)) / t.within_mm;
        cost += off * off;
        if (!normal) continue;
        // Slopes by small steps: few numbers, and the distance is all but straight in them.
        Eigen::VectorXd slope = Eigen::VectorXd::Zero(unknowns());
        const auto step_on = [&](Eigen::Index i) {
            constexpr double step = 1e-5;
            Eigen::VectorXd moved = x;
            moved[i] += step;
            const double more = norm(mark_middle(moved, *to) - mark_middle(moved, *from));
            moved[i] -= 2.0 * step;
            const double less = norm(mark_middle(moved, *to) - mark_middle(moved, *from));
            slope[i] = (more - less) / (2.0 * step * t.within_mm);
        };
        for (Eigen::Index i = print_at; i < strips_at; ++i) step_on(i);
        for (const std::size_t s : {from->strip, to->strip})
            for (Eigen::Index i = s == 0 ? 3 : 0; i < 4; ++i) step_on(strip_at(s) + i);
        *normal += slope * slope.transpose();
        *pull += off * slope;
    }
    return cost;
}

FitState ViewFit::settle(Eigen::VectorXd from) const {
    FitState state;
    Eigen::VectorXd pull;
    state.unknowns = std::move(from);
    state.cost = evaluate(state.unknowns, &state.normal, &pull);
    double damping = 1e-4;
    for (int step = 0; step < most_steps && damping < 1e12; ++step) {
        Eigen::MatrixXd damped = state.normal;
        damped.diagonal() *= 1.0 + damping;
        const Eigen::VectorXd change = damped.ldlt().solve(pull);
        Eigen::VectorXd next = state.unknowns + change;
        const double cost = change.allFinite() ? evaluate(next, nullptr, nullptr) : 1e300;
        if (!(cost < state.cost)) {
            // At the bottom rounding decides.
            if (change.allFinite() && change.dot(damped * change) < 1e-12 * (1.0 + state.cost)) {
                state.settled = true;
                break;
            }
            damping *= 8.0;
            continue;
        }
        const double gain = state.cost - cost;
        state.unknowns = std::move(next);
        state.cost = evaluate(state.unknowns, &state.normal, &pull);
        damping = std::max(1e-12, damping / 8.0);
        if (gain < 1e-9 * (1.0 + state.cost)) {
            state.settled = true;
            break;
        }
    }
    return state;
}

std::vector<double> ViewFit::mark_residuals_px(const Eigen::VectorXd& x) const {
    std::vector<double> residuals;
    for (const UsedMark& m : marks) {
        const Own own = own_unknowns(x, strip_at(m.strip), m.strip == 0);
        double sum2 = 0.0;
        for (std::size_t i = 0; i < 4; ++i) {
            const auto seen = corner_seen<double>(frame_, m.mark->id % marks_a_strip, i, own.value);
            sum2 += norm2(m.mark->corners_px[i] - Point{seen[0], seen[1]});
        }
        residuals.push_back(0.5 * std::sqrt(sum2));
    }
    return residuals;
}

double ViewFit::squares(const Eigen::VectorXd& x, double& spare) const {
    const std::vector<double> residuals = mark_residuals_px(x);
    double sum = 0.0;
    spare = -static_cast<double>(unknowns());
    for (std::size_t i = 0; i < marks.size(); ++i) {
        if (!marks[i].used) continue;
        const double off = 2.0 * residuals[i] / marks[i].mark->corner_px;
        sum += off * off;
        spare += 8.0;
    }
    for (const Expected& e : expected) {
        const double off = (e.value - x[e.unknown]) / e.scatter;
        sum += off * off;
        spare += 1.0;
    }
    return sum;
}

}  // namespace seamwright::trace
