#include "small_lp.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace seamwright::seam {
namespace {

double dot(const Four& a, const Four& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2] + a[3] * b[3];
}

/// Solves M x = b by elimination with rows exchanged; false when M is as good as singular.
bool solve(std::array<Four, 4> m, Four b, Four& x) {
    constexpr double singular = 1e-13;
    for (std::size_t i = 0; i < 4; ++i) {
        std::size_t best = i;
        for (std::size_t r = i + 1; r < 4; ++r)
            if (std::abs(m[r][i]) > std::abs(m[best][i])) best = r;
        if (std::abs(m[best][i]) < singular) return false;
        std::swap(m[i], m[best]);
        std::swap(b[i], b[best]);
        for (std::size_t r = i + 1; r < 4; ++r) {
            const double factor = m[r][i] / m[i][i];
            for (std::size_t c = i; c < 4; ++c) m[r][c] -= factor * m[i][c];
            b[r] -= factor * b[i];
        }
    }
    for (std::size_t i = 4; i-- > 0;) {
        double sum = b[i];
        for (std::size_t c = i + 1; c < 4; ++c) sum -= m[i][c] * x[c];
        x[i] = sum / m[i][i];
    }
    return true;
}

double dot(const Three& a, const Three& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/// What rounding leaves of numbers of this size does not count.
double offence(const HalfSpace3& h, const Three& x) {
    const double rounding = 4e-15 * (std::abs(h.normal[0] * x[0]) + std::abs(h.normal[1] * x[1]) +
                                     std::abs(h.normal[2] * x[2]) + std::abs(h.at_least) + 1e-3);
    return h.at_least - dot(h.normal, x) - rounding;
}

/// The point nearest to the origin on the meeting of these planes, with how hard each presses; nullopt when they do not
/// meet in a point, line or plane of their own.
struct Pressed {
    Three x{};
    Three presses{};
};
std::optional<Pressed> on_planes(const std::vector<HalfSpace3>& planes) {
    // Σ presses_i n_i = x with n_j · x = b_j: a system as large as there are planes, filled up to four.
    std::array<Four, 4> m{};
    Four b{}, presses{};
    for (std::size_t i = 0; i < 4; ++i) m[i][i] = 1.0;
    for (std::size_t i = 0; i < planes.size(); ++i) {
        for (std::size_t j = 0; j < planes.size(); ++j) m[i][j] = dot(planes[i].normal, planes[j].normal);
        b[i] = planes[i].at_least;
    }
    if (!solve(m, b, presses)) return std::nullopt;
    Pressed out;
    for (std::size_t i = 0; i < planes.size(); ++i) {
        out.presses[i] = presses[i];
        for (std::size_t k = 0; k < 3; ++k) out.x[k] += presses[i] * planes[i].normal[k];
    }
    return out;
}

}  // namespace

std::optional<Three> nearest_to_origin(const std::vector<HalfSpace3>& within, int most_steps) {
    Three x{};
    std::vector<HalfSpace3> pressing;
    for (int step = 0; step < most_steps; ++step) {
        double worst = 0.0;
        const HalfSpace3* coming = nullptr;
        for (const HalfSpace3& h : within) {
            const double offends = offence(h, x);
            if (offends > worst) {
                worst = offends;
                coming = &h;
            }
        }
        if (coming == nullptr) return x;
        pressing.push_back(*coming);
        // Of at most four, those that press are one, two or three; all choices are tried.
        std::optional<Pressed> best;
        std::vector<HalfSpace3> chosen;
        double least = 0.0;
        for (unsigned choice = 1; choice < (1u << pressing.size()); ++choice) {
            std::vector<HalfSpace3> some;
            for (std::size_t k = 0; k < pressing.size(); ++k)
                if ((choice >> k & 1u) != 0) some.push_back(pressing[k]);
            if (some.size() > 3) continue;
            const auto point = on_planes(some);
            if (!point) continue;
            bool good = true;
            for (std::size_t k = 0; k < some.size(); ++k) good = good && point->presses[k] > 0.0;
            for (const HalfSpace3& h : pressing) good = good && offence(h, point->x) <= 1e-13;
            const double far = dot(point->x, point->x);
            if (good && (!best || far < least)) {
                best = point;
                chosen = std::move(some);
                least = far;
            }
        }
        if (!best) return std::nullopt;
        x = best->x;
        pressing = std::move(chosen);
    }
    return std::nullopt;
}

std::optional<Four> smallest(const Four& cost, const std::vector<HalfSpace>& within, int most_steps) {
    if (within.size() < 4) return std::nullopt;
    std::array<std::size_t, 4> basis{0, 1, 2, 3};
    Four x{};
    for (int step = 0; step < most_steps; ++step) {
        std::array<Four, 4> rows{}, columns{};
        Four at_least{};
        for (std::size_t k = 0; k < 4; ++k) {
            rows[k] = within[basis[k]].normal;
            at_least[k] = within[basis[k]].at_least;
            for (std::size_t i = 0; i < 4; ++i) columns[i][k] = rows[k][i];
        }
        Four y{}, share{};
        if (!solve(rows, at_least, x) || !solve(columns, cost, y)) return std::nullopt;
        double worst = 0.0;
        std::optional<std::size_t> coming;
        for (std::size_t j = 0; j < within.size(); ++j) {
            const HalfSpace& h = within[j];
            // What rounding leaves of a number of this size does not count.
            const double rounding =
                4e-15 * (std::abs(h.normal[0] * x[0]) + std::abs(h.normal[1] * x[1]) + std::abs(h.normal[2] * x[2]) +
                         std::abs(h.normal[3] * x[3]) + std::abs(h.at_least) + 1e-3);
            const double offends = h.at_least - dot(h.normal, x) - rounding;
            if (offends > worst && std::find(basis.begin(), basis.end(), j) == basis.end()) {
                worst = offends;
                coming = j;
            }
        }
        if (!coming) return x;
        if (!solve(columns, within[*coming].normal, share)) return std::nullopt;
        std::optional<std::size_t> going;
        double least = 0.0;
        constexpr double nothing = 1e-12;
        for (std::size_t k = 0; k < 4; ++k) {
            if (share[k] <= nothing) continue;
            const double ratio = std::max(y[k], 0.0) / share[k];
            if (!going || ratio < least || (ratio == least && basis[k] < basis[*going])) {
                going = k;
                least = ratio;
            }
        }
        if (!going) return std::nullopt;
        basis[*going] = *coming;
    }
    return std::nullopt;
}

}  // namespace seamwright::seam
