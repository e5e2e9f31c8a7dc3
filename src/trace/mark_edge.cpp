// Where does the side of a mark lie, to a hundredth of a pixel?
//
// The side is an edge between black and white, blurred by the lens and by the pixels' own size. Its light at a distance
// s from the edge is black + (white − black) Φ(s/σ), Φ the normal distribution, and what the camera writes is the grey
// of that light. The greys of the pixels themselves are fitted, not greys drawn between them, so that nothing is added
// to the blur and no half pixel can slip in. Six numbers are fitted to each side: offset, turn and bow of the line,
// black, white and σ. A side of 90 pixels has about a thousand pixels beside it: with noise of 2 in 255 its offset is
// known to 0.003 px, its ends to 0.01 px.
//
// The bow is needed: with a lens that bends 1 % at the picture's edge, a side of 90 px is bowed by 0.05 px.

#include "mark_edge.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <vector>

#include "light.h"

namespace seamwright::trace {

namespace {

using geometry::dot;
using geometry::norm;

/// How strongly a lens may bow a straight line, 1/px as σ. A strong wide-angle lens bends so on a 4000 px picture.
constexpr double usual_bow_per_px = 3e-4;
/// Of the noise of a picture, before it is seen. Steps of 255.
constexpr double usual_noise = 2.0;
/// The edge's blur reaches this many σ; farther from it nothing is learnt.
constexpr double blur_reach = 3.5;
constexpr double start_blur_px = 1.0;
constexpr double least_blur_px = 0.25, most_blur_px = 30.0;
constexpr std::size_t fewest_pixels = 24;

struct Pixel {
    double t = 0.0;  ///< along the edge, −1 to 1
    double s = 0.0;  ///< away from the mark, px
    double grey = 0.0;
};

/// All pixels beside the edge, within `reach_px` of it and not nearer than `clear_px` to its ends.
std::vector<Pixel> pixels_beside(const Picture& picture, const MarkEdge& e, double reach_px, double clear_px) {
    std::vector<Pixel> pixels;
    const double length = e.half_px - clear_px;
    if (length <= 0.0) return pixels;
    const Point side{std::abs(e.along.x) * length + std::abs(e.outward.x) * reach_px,
                     std::abs(e.along.y) * length + std::abs(e.outward.y) * reach_px};
    const int x0 = std::max(0, static_cast<int>(std::floor(e.middle.x - side.x)));
    const int x1 = std::min(picture.width - 1, static_cast<int>(std::ceil(e.middle.x + side.x)));
    const int y0 = std::max(0, static_cast<int>(std::floor(e.middle.y - side.y)));
    const int y1 = std::min(picture.height - 1, static_cast<int>(std::ceil(e.middle.y + side.y)));
    for (int y = y0; y <= y1; ++y)
        for (int x = x0; x <= x1; ++x) {
            const Point from = Point{x + 0.5, y + 0.5} - e.middle;
            const double along = dot(from, e.along);
            if (std::abs(along) > length) continue;
            const double s = dot(from, e.outward);
            if (std::abs(s - e.away_px(along)) > reach_px) continue;
            pixels.push_back({along / e.half_px, s, static_cast<double>(picture.at(x, y))});
        }
    return pixels;
}

/// offset, turn, bow, black, white (light), logarithm of the blur.
using Numbers = Eigen::Matrix<double, 6, 1>;
using Normal = Eigen::Matrix<double, 6, 6>;

struct Fit {
    Normal normal = Normal::Zero();
    Numbers pull = Numbers::Zero();
    double misfit2 = 0.0;  ///< sum over the pixels
    double bow2 = 0.0;     ///< share of the bow's own expectation
};

Fit compare(const std::vector<Pixel>& pixels, const Numbers& n, double half_px) {
    Fit fit;
    const double blur = std::exp(n[5]);
    for (const Pixel& p : pixels) {
        const double z = (p.s - n[0] - p.t * (n[1] + p.t * n[2])) / blur;
        const double part = 0.5 * std::erfc(-z * std::sqrt(0.5));
        const double density = std::exp(-0.5 * z * z) / std::sqrt(2.0 * geometry::pi);
        const double light = std::clamp(n[3] + (n[4] - n[3]) * part, 0.0, 1.5);
        const double k = grey_per_light(std::max(light, 1e-4));
        const double across = -k * (n[4] - n[3]) * density / blur;
        Numbers slope;
        slope << across, across * p.t, across * p.t * p.t, k * (1.0 - part), k * part, across * z * blur;
        const double off = p.grey - grey_of_light(light);
        fit.normal.selfadjointView<Eigen::Lower>().rankUpdate(slope);
        fit.pull += off * slope;
        fit.misfit2 += off * off;
    }
    fit.normal = fit.normal.selfadjointView<Eigen::Lower>();
    const double weight = usual_noise / (0.5 * usual_bow_per_px * half_px * half_px);
    fit.normal(2, 2) += weight * weight;
    fit.pull[2] -= weight * weight * n[2];
    fit.bow2 = weight * weight * n[2] * n[2];
    return fit;
}

/// Levenberg and Marquardt's way, 1944 and 1963. Edges sharper than a pixel go to and fro at the least blur for ever:
/// how well they were met in the end, the misfit tells.
void settle(const std::vector<Pixel>& pixels, double half_px, Numbers& numbers, Fit& fit) {
    constexpr int most_steps = 20;
    constexpr double done_px = 1e-4;
    double damping = 1e-3;
    fit = compare(pixels, numbers, half_px);
    for (int step = 0; step < most_steps; ++step) {
        Normal damped = fit.normal;
        damped.diagonal() *= 1.0 + damping;
        const Numbers change = damped.ldlt().solve(fit.pull);
        Numbers next = numbers + change;
        next[3] = std::clamp(next[3], 0.0, 1.0);
        next[4] = std::clamp(next[4], 0.0, 1.2);
        next[5] = std::clamp(next[5], std::log(least_blur_px), std::log(most_blur_px));
        const Fit tried = compare(pixels, next, half_px);
        if (!(tried.misfit2 + tried.bow2 <= fit.misfit2 + fit.bow2)) {
            damping *= 10.0;
            if (damping > 1e6) return;
            continue;
        }
        numbers = next;
        fit = tried;
        damping = std::max(1e-9, damping * 0.1);
        if (change.head<3>().cwiseAbs().maxCoeff() < done_px && std::abs(change[5]) < done_px) return;
    }
}

/// Black and white, to begin with, from the pixels farthest from the edge.
bool start_light(const std::vector<Pixel>& pixels, double reach_px, Numbers& numbers) {
    double dark = 0.0, bright = 0.0;
    int darks = 0, brights = 0;
    for (const Pixel& p : pixels) {
        if (p.s < -0.6 * reach_px) {
            dark += light_of_grey(p.grey);
            ++darks;
        } else if (p.s > 0.6 * reach_px) {
            bright += light_of_grey(p.grey);
            ++brights;
        }
    }
    if (darks == 0 || brights == 0) return false;
    numbers[3] = dark / darks;
    numbers[4] = bright / brights;
    return numbers[4] > numbers[3];
}

}  // namespace

MarkEdge fit_mark_edge(const Picture& picture, Point from, Point to, Point inside, double cell_px) {
    MarkEdge e;
    e.middle = geometry::midpoint(from, to);
    e.half_px = 0.5 * norm(to - from);
    if (e.half_px <= 0.0) return e;
    e.along = (to - from) / (2.0 * e.half_px);
    e.outward = geometry::right_of(e.along);
    if (dot(e.middle - inside, e.outward) < 0.0) e.outward = -e.outward;

    Numbers numbers = Numbers::Zero();
    numbers[5] = std::log(start_blur_px);
    Fit fit;
    std::vector<Pixel> pixels;
    // First with all the room there is, for the corners come from a coarse look; then as the blur asks.
    const double room = 0.75 * cell_px;
    for (const bool first : {true, false}) {
        const double blur = std::exp(numbers[5]);
        const double reach = first ? std::min(room, 7.0) : std::min(room, std::max(2.0, blur_reach * blur + 1.0));
        const double clear = first ? 4.0 * start_blur_px : 3.0 * blur + 0.5;
        pixels = pixels_beside(picture, e, reach, std::min(clear, 0.5 * e.half_px));
        if (pixels.size() < fewest_pixels) return e;
        if (first && !start_light(pixels, reach, numbers)) return e;
        settle(pixels, e.half_px, numbers, fit);
        e.bow = numbers.head<3>();
        if (e.bow.cwiseAbs().maxCoeff() > room + 2.0) return e;
    }
    e.blur_px = std::exp(numbers[5]);
    e.contrast = grey_of_light(numbers[4]) - grey_of_light(numbers[3]);
    const double misfit2 = fit.misfit2 / static_cast<double>(pixels.size() - 6);
    e.misfit = std::sqrt(misfit2);
    e.spread = misfit2 * fit.normal.inverse().topLeftCorner<3, 3>();
    e.found = e.spread.allFinite();
    return e;
}

Point meeting(const MarkEdge& a, const MarkEdge& b, Point near) {
    Point p = near;
    for (int step = 0; step < 4; ++step) {
        // How far p is off each side, and which way that changes.
        const double along_a = dot(p - a.middle, a.along), along_b = dot(p - b.middle, b.along);
        const double off_a = dot(p - a.middle, a.outward) - a.away_px(along_a);
        const double off_b = dot(p - b.middle, b.outward) - b.away_px(along_b);
        const Point na = a.outward - a.slope(along_a) * a.along, nb = b.outward - b.slope(along_b) * b.along;
        const double det = geometry::cross(na, nb);
        if (std::abs(det) < 0.05) return near;
        p = p - Point{(off_a * nb.y - off_b * na.y) / det, (na.x * off_b - nb.x * off_a) / det};
    }
    return p;
}

}  // namespace seamwright::trace
