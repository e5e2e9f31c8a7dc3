// Where a line lies, to a small part of a pixel. Across the line, along its normal, the greys are those of a bar (of a
// step, for an edge) blurred by lens and camera. Width and blur change slowly along a line and are found from many
// places together; then at each place only the position, the depth and a sloping background remain, fitted to the greys
// as they are. The model is symmetrical, so a wrong width or blur does not shift the line.
//
// Specks pull less the farther they stand out of the fit (P. Huber, Robust Statistics, 1981), and a place that strays
// from its neighbours by more than the scatter explains is left out.
//
// What a place is worth. From the fit: scatter of the greys over the root of the sum of squared slopes of the profile
// (the bound of C. Rao and H. Cramér). Greys between pixels are interpolated and no longer scatter independently, paper
// and pencil have a grain: so the scatter of the positions about a smooth line through their neighbours is taken
// instead where it is larger.

#include "line_profile.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "light.h"

namespace seamwright::trace {
namespace {

/// Profiles of so many places together give width and blur; long lines are cut into no more stretches than that.
constexpr std::size_t least_places_per_shape = 96, most_shapes = 48;
/// First look to both sides, in units of the coarse course.
constexpr double first_reach = 5.0;
/// The profile ends this many blurs beyond its flanks, and background is looked at for so many pixels more.
constexpr double reach_in_blurs = 2.2, background_px = 2.5;
/// Huber's bound, in scatters.
constexpr double huber = 1.5;
/// A place counts where the line is there with at least this part of its usual depth.
constexpr double least_part = 0.35;
/// A place that stands out from its neighbours by more than this many scatters is left out.
constexpr double most_out = 4.5;
/// Neighbours on either side among which it stands out, and about which positions scatter.
constexpr std::size_t neighbours = 12;
/// The course is made smooth over this many pixels to either side, in units of the coarse course.
constexpr double smooth_reach = 8.0;

double error_step(double t) {
    return 0.5 * std::erfc(-t / std::numbers::sqrt2);
}

// ------------------------------------------------------------------------------------------------------- the greys

/// Light between pixels, white being 255, by cubic convolution (R. Keys, IEEE ASSP 29, 1981). Blur mixes light, not the
/// greys as a camera writes them: by its greys an edge would seem shifted to its dark side.
class Greys {
  public:
    explicit Greys(const Picture& picture) : picture_(picture) {
        for (std::size_t g = 0; g < light_.size(); ++g) light_[g] = 255.0 * light_of_grey(static_cast<double>(g));
    }

    bool holds(Point p) const {
        return p.x >= 2.0 && p.y >= 2.0 && p.x <= picture_.width - 2.0 && p.y <= picture_.height - 2.0;
    }
    /// Only where `holds`.
    double at(Point p) const {
        const double fx = p.x - 0.5, fy = p.y - 0.5;
        const int ix = static_cast<int>(std::floor(fx)), iy = static_cast<int>(std::floor(fy));
        const auto wx = weights(fx - ix), wy = weights(fy - iy);
        double sum = 0.0;
        for (int j = 0; j < 4; ++j) {
            const int y = std::clamp(iy + j - 1, 0, picture_.height - 1);
            double row = 0.0;
            for (int i = 0; i < 4; ++i) {
                const int x = std::clamp(ix + i - 1, 0, picture_.width - 1);
                row += wx[static_cast<std::size_t>(i)] * light_[picture_.at(x, y)];
            }
            sum += wy[static_cast<std::size_t>(j)] * row;
        }
        return sum;
    }

  private:
    static std::array<double, 4> weights(double t) {
        return {((-0.5 * t + 1.0) * t - 0.5) * t, (1.5 * t - 2.5) * t * t + 1.0, ((-1.5 * t + 2.0) * t + 0.5) * t,
                (0.5 * t - 0.5) * t * t};
    }
    const Picture& picture_;
    std::array<double, 256> light_{};
};

// ------------------------------------------------------------------------------------------------------- the course

struct Course {
    std::vector<Point> points, normals;
    bool closed = false;
};

std::vector<Point> evenly_spaced(const std::vector<Point>& course, bool closed) {
    std::vector<Point> line = course;
    if (closed) line.push_back(course.front());
    double length = 0.0;
    for (std::size_t i = 1; i < line.size(); ++i) length += distance(line[i - 1], line[i]);
    const auto steps = static_cast<std::size_t>(std::max(1.0, std::round(length)));
    const double step = length / static_cast<double>(steps);
    std::vector<Point> points;
    points.reserve(steps + 1);
    double passed = 0.0;
    std::size_t i = 1;
    const std::size_t count = closed ? steps : steps + 1;
    for (std::size_t k = 0; k < count; ++k) {
        const double wanted = step * static_cast<double>(k);
        while (i + 1 < line.size() && passed + distance(line[i - 1], line[i]) < wanted) {
            passed += distance(line[i - 1], line[i]);
            ++i;
        }
        const double span = distance(line[i - 1], line[i]);
        const double part = span > 0.0 ? std::clamp((wanted - passed) / span, 0.0, 1.0) : 0.0;
        points.push_back(line[i - 1] + part * (line[i] - line[i - 1]));
    }
    return points;
}

/// Places in a row, and what each of them is worth.
struct Row {
    std::vector<Point> points;
    std::vector<double> weights;
    bool closed = false;
};

/// A parabola through the places near each one, nearer ones counting more: it does not pull a bend inwards as a mean
/// does. Gives points and normals.
Course smooth(const Row& row, double reach) {
    const auto n = static_cast<std::ptrdiff_t>(row.points.size());
    const auto r = static_cast<std::ptrdiff_t>(std::ceil(reach));
    Course course;
    course.closed = row.closed;
    course.points.reserve(row.points.size());
    course.normals.reserve(row.points.size());
    std::vector<double> kernel(static_cast<std::size_t>(r) + 1);
    for (std::ptrdiff_t k = 0; k <= r; ++k) {
        const double t = static_cast<double>(k) / (static_cast<double>(r) + 1.0);
        kernel[static_cast<std::size_t>(k)] = (1.0 - t * t) * (1.0 - t * t);
    }
    for (std::ptrdiff_t i = 0; i < n; ++i) {
        // Near an open end the window is moved inwards, so that it holds enough.
        double s0 = 0, s1 = 0, s2 = 0, s3 = 0, s4 = 0;
        std::array<Point, 3> moments{};
        const Point origin = row.points[static_cast<std::size_t>(i)];
        const std::ptrdiff_t from = row.closed ? i - r : std::max<std::ptrdiff_t>(0, i - r);
        const std::ptrdiff_t to = row.closed ? i + r : std::min(n - 1, i + r);
        for (std::ptrdiff_t j = from; j <= to; ++j) {
            const auto at = static_cast<std::size_t>(((j % n) + n) % n);
            const double w = kernel[static_cast<std::size_t>(std::abs(j - i))] * row.weights[at];
            const double t = static_cast<double>(j - i);
            const Point p = row.points[at] - origin;
            s0 += w;
            s1 += w * t;
            s2 += w * t * t;
            s3 += w * t * t * t;
            s4 += w * t * t * t * t;
            moments[0] = moments[0] + w * p;
            moments[1] = moments[1] + w * t * p;
            moments[2] = moments[2] + w * t * t * p;
        }
        Eigen::Matrix3d m;
        m << s0, s1, s2, s1, s2, s3, s2, s3, s4;
        // Where hardly anything counts, the course stays as it is.
        m.diagonal() += Eigen::Vector3d(1e-9, 1e-6, 1e-3);
        const Eigen::Vector3d x = m.ldlt().solve(Eigen::Vector3d(moments[0].x, moments[1].x, moments[2].x));
        const Eigen::Vector3d y = m.ldlt().solve(Eigen::Vector3d(moments[0].y, moments[1].y, moments[2].y));
        course.points.push_back(origin + Point{x(0), y(0)});
        course.normals.push_back({x(1), y(1)});
    }
    Point before{1, 0};
    for (auto& t : course.normals) {
        const double length = norm(t);
        before = length > 1e-6 ? t / length : before;
        t = geometry::left_of(before);
    }
    return course;
}

/// Goes on straight past both ends, so that the ends themselves are seen.
void lengthen(Course& course, double by) {
    if (course.closed) return;
    const auto count = static_cast<std::size_t>(std::ceil(by));
    const auto past = [&](Point from, Point way, Point normal, bool front) {
        std::vector<Point> points, normals(count, normal);
        for (std::size_t k = 1; k <= count; ++k) points.push_back(from + static_cast<double>(k) * way);
        if (front) std::reverse(points.begin(), points.end());
        course.points.insert(front ? course.points.begin() : course.points.end(), points.begin(), points.end());
        course.normals.insert(front ? course.normals.begin() : course.normals.end(), normals.begin(), normals.end());
    };
    const Point first = course.normals.front(), last = course.normals.back();
    past(course.points.front(), geometry::left_of(first), first, true);
    past(course.points.back(), geometry::right_of(last), last, false);
}

// ------------------------------------------------------------------------------------------------ width and blur

/// Mean greys across a stretch of the line, by half pixels from its middle.
struct MeanProfile {
    std::vector<double> across, grey, weight;
};

/// Depth, background and its slope that fit a shape best, and how badly they do.
struct Fitted {
    double misfit = HUGE_VAL;
    double contrast = 0.0;
};
Fitted fit_shape(const MeanProfile& mean, const Profile& shape) {
    Eigen::Matrix3d m = Eigen::Matrix3d::Zero();
    Eigen::Vector3d v = Eigen::Vector3d::Zero();
    double total = 0.0;
    for (std::size_t i = 0; i < mean.across.size(); ++i) {
        const Eigen::Vector3d row(shape.at(mean.across[i]), 1.0, mean.across[i]);
        m += mean.weight[i] * row * row.transpose();
        v += mean.weight[i] * mean.grey[i] * row;
        total += mean.weight[i] * mean.grey[i] * mean.grey[i];
    }
    const Eigen::Vector3d x = m.ldlt().solve(v);
    return {std::max(0.0, total - x.dot(v)), x(0)};
}

/// Widths and blurs are tried over a grid, the best neighbourhood of it more finely.
Profile best_shape(const MeanProfile& mean, LineKind kind, double reach) {
    Profile best;
    best.kind = kind;
    double least = HUGE_VAL;
    const double sign = kind == LineKind::edge ? 1.0 : -1.0;
    const auto attempt = [&](double width, double blur) {
        if (blur < 0.35 || blur > 0.5 * reach || width > 1.5 * reach) return;
        Profile shape{kind, width, blur, 0.0};
        const Fitted fitted = fit_shape(mean, shape);
        // An edge may go up or down; a line is dark.
        if (kind == LineKind::drawn_line && sign * fitted.contrast <= 0.0) return;
        if (fitted.misfit >= least) return;
        least = fitted.misfit;
        best = shape;
        best.contrast = fitted.contrast;
    };
    constexpr double grid = 1.45;
    for (double blur = 0.45; blur <= 0.5 * reach; blur *= grid) {
        attempt(0.0, blur);
        if (kind == LineKind::edge) continue;
        for (double width = 1.5 * blur; width <= 1.5 * reach; width *= grid) attempt(width, blur);
    }
    double factor = std::sqrt(grid);
    for (int round = 0; round < 4; ++round, factor = std::sqrt(factor)) {
        const Profile centre = best;
        for (const double b : {1.0 / factor, 1.0, factor}) {
            for (const double w : {1.0 / factor, 1.0, factor}) attempt(centre.width_px * w, centre.blur_px * b);
            if (kind == LineKind::drawn_line && centre.width_px == 0.0) attempt(centre.blur_px, centre.blur_px * b);
        }
    }
    return best;
}

// ------------------------------------------------------------------------------------------------- one place across

/// A profile in a table: values and slopes.
class Table {
  public:
    explicit Table(const Profile& shape) : reach_(shape.reach_px() + 1.0) {
        constexpr std::size_t count = 400;
        step_ = 2.0 * reach_ / static_cast<double>(count);
        for (std::size_t i = 0; i <= count; ++i) values_.push_back(shape.at(-reach_ + step_ * static_cast<double>(i)));
    }
    std::pair<double, double> at(double u) const {
        const double t = (u + reach_) / step_;
        if (t <= 0.0) return {values_.front(), 0.0};
        const auto i = static_cast<std::size_t>(t);
        if (i + 1 >= values_.size()) return {values_.back(), 0.0};
        const double slope = values_[i + 1] - values_[i];
        return {values_[i] + slope * (t - static_cast<double>(i)), slope / step_};
    }

  private:
    double reach_, step_ = 0.0;
    std::vector<double> values_;
};

struct PlaceFit {
    double shift = 0.0, contrast = 0.0, scatter = HUGE_VAL, residual = 0.0;
    bool good = false;
};

/// Position, depth and background from the greys across one place. `usual_residual`: of the fits nearby, 0 when not
/// known yet.
PlaceFit fit_place(const std::vector<double>& across, const std::vector<double>& grey, const Table& table,
                   double contrast, double most_shift, double usual_residual) {
    PlaceFit fit;
    const std::size_t n = across.size();
    if (n < 7) return fit;
    double shift = 0.0, depth = contrast;
    double scale = usual_residual;
    std::vector<double> residuals(n);
    Eigen::Matrix4d m;
    for (int round = 0; round < 6; ++round) {
        m.setZero();
        Eigen::Vector4d v = Eigen::Vector4d::Zero();
        for (std::size_t i = 0; i < n; ++i) {
            const auto [value, slope] = table.at(across[i] - shift);
            const double weight = round == 0 || scale <= 0.0 || std::abs(residuals[i]) <= huber * scale
                                      ? 1.0
                                      : huber * scale / std::abs(residuals[i]);
            const Eigen::Vector4d row(-depth * slope, value, 1.0, across[i]);
            // The depth, the background and its slope are solved for anew, the shift by steps.
            m += weight * row * row.transpose();
            v += weight * grey[i] * row;
        }
        m(0, 0) += 1e-9;
        const Eigen::Vector4d x = m.ldlt().solve(v);
        if (!x.allFinite()) return fit;
        const double step = std::clamp(x(0), -0.7 * most_shift, 0.7 * most_shift);
        shift += step;
        depth = x(1);
        if (std::abs(shift) > 2.0 * most_shift || depth * contrast <= 0.0) return fit;
        double sum = 0.0;
        for (std::size_t i = 0; i < n; ++i) {
            residuals[i] = grey[i] - depth * table.at(across[i] - shift).first - x(2) - x(3) * across[i];
            sum += residuals[i] * residuals[i];
        }
        fit.residual = std::sqrt(sum / static_cast<double>(n - 4));
        if (scale <= 0.0) {
            // A speck raises the root mean square and hides itself; the middle of the sizes does not move.
            std::vector<double> sizes(n);
            std::transform(residuals.begin(), residuals.end(), sizes.begin(), [](double r) { return std::abs(r); });
            std::nth_element(sizes.begin(), sizes.begin() + static_cast<std::ptrdiff_t>(n / 2), sizes.end());
            scale = std::max(sizes[n / 2] / 0.6745, 0.3);
        }
        if (round >= 2 && std::abs(step) < 1e-4) break;
    }
    if (std::abs(shift) > most_shift) return fit;
    const Eigen::Matrix4d inverse = m.inverse();
    const double variance = inverse(0, 0);
    if (!(variance > 0.0) || !std::isfinite(variance)) return fit;
    fit.shift = shift;
    fit.contrast = depth;
    fit.scatter = std::max(fit.residual, usual_residual) * std::sqrt(variance);
    fit.good = std::abs(depth) >= least_part * std::abs(contrast);
    return fit;
}

// ------------------------------------------------------------------------------------------------------- all of it

double middle_of(std::vector<double> values) {
    if (values.empty()) return 0.0;
    const auto place = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), place, values.end());
    return *place;
}

class Measurer {
  public:
    Measurer(const Picture& picture, LineKind kind, double coarse, const std::function<bool(Point)>& passed_over)
        : greys_(picture), kind_(kind), coarse_(coarse), passed_over_(passed_over) {}

    Measured measure(Course course) const;

  private:
    void profile_at(const Course& course, std::size_t i, double reach, std::vector<double>& across,
                    std::vector<double>& grey) const;
    /// `places`: what is known of the positions so far; empty at first.
    std::vector<Profile> shapes_of(const Course& course, const std::vector<PlaceFit>& places, std::size_t each,
                                   double reach) const;
    std::vector<PlaceFit> fit_all(const Course& course, const std::vector<Profile>& shapes, std::size_t each,
                                  double most_shift) const;
    void drop_strays(std::vector<PlaceFit>& places, std::size_t each, bool closed) const;

    Greys greys_;
    LineKind kind_;
    double coarse_;
    const std::function<bool(Point)>& passed_over_;
};

void Measurer::profile_at(const Course& course, std::size_t i, double reach, std::vector<double>& across,
                          std::vector<double>& grey) const {
    across.clear();
    grey.clear();
    // Wide profiles need no more than some fifty greys.
    const double step = std::max(1.0, reach / 25.0);
    const auto count = static_cast<int>(std::ceil(reach / step));
    for (int k = -count; k <= count; ++k) {
        const double u = step * k;
        const Point p = course.points[i] + u * course.normals[i];
        if (!greys_.holds(p) || passed_over_(p)) continue;
        across.push_back(u);
        grey.push_back(greys_.at(p));
    }
}

std::vector<Profile> Measurer::shapes_of(const Course& course, const std::vector<PlaceFit>& places, std::size_t each,
                                         double reach) const {
    std::vector<Profile> shapes;
    std::vector<double> across, grey;
    const std::size_t n = course.points.size();
    for (std::size_t from = 0; from < n; from += each) {
        // A short rest belongs to the stretch before.
        const std::size_t to = n - from < each + each / 2 ? n : from + each;
        const double bin = std::max(0.5, reach / 40.0);
        const auto half = static_cast<std::ptrdiff_t>(std::floor(reach / bin));
        std::vector<std::vector<double>> bins(static_cast<std::size_t>(2 * half + 1));
        for (std::size_t i = from; i < to; ++i) {
            if (!places.empty() && !places[i].good) continue;
            profile_at(course, i, reach, across, grey);
            if (across.size() < 7) continue;
            const double shift = places.empty() ? 0.0 : places[i].shift;
            // Uneven light along the line is no matter of the profile.
            const double mean = middle_of(grey);
            for (std::size_t k = 0; k < across.size(); ++k) {
                const auto b = static_cast<std::ptrdiff_t>(std::round((across[k] - shift) / bin)) + half;
                if (b < 0 || b > 2 * half) continue;
                bins[static_cast<std::size_t>(b)].push_back(grey[k] - mean);
            }
        }
        MeanProfile mean;
        for (std::size_t b = 0; b < bins.size(); ++b) {
            if (bins[b].empty()) continue;
            mean.across.push_back(bin * static_cast<double>(static_cast<std::ptrdiff_t>(b) - half));
            mean.weight.push_back(static_cast<double>(bins[b].size()));
            mean.grey.push_back(middle_of(std::move(bins[b])));
        }
        Profile shape;
        shape.kind = kind_;
        if (mean.across.size() >= 9) shape = best_shape(mean, kind_, reach);
        shapes.push_back(shape);
        if (to == n) break;
    }
    // A stretch that was hidden, or muddled by something crossing it, takes after the others.
    std::vector<double> contrasts, blurs, widths;
    for (const auto& s : shapes) {
        if (s.contrast == 0.0) continue;
        contrasts.push_back(s.contrast);
        blurs.push_back(s.blur_px);
        widths.push_back(s.width_px);
    }
    const Profile usual{kind_, middle_of(widths), blurs.empty() ? 1.0 : middle_of(blurs), middle_of(contrasts)};
    for (auto& s : shapes) {
        const bool odd = s.contrast * usual.contrast <= 0.0 || s.blur_px > 2.5 * usual.blur_px ||
                         s.half_width_px() > 2.5 * usual.half_width_px() ||
                         std::abs(s.contrast) < 0.15 * std::abs(usual.contrast);
        if (odd) s = usual;
    }
    return shapes;
}

std::vector<PlaceFit> Measurer::fit_all(const Course& course, const std::vector<Profile>& shapes, std::size_t each,
                                        double most_shift) const {
    std::vector<PlaceFit> places(course.points.size());
    std::vector<double> across, grey;
    for (std::size_t s = 0; s < shapes.size(); ++s) {
        const std::size_t from = s * each, to = s + 1 == shapes.size() ? places.size() : (s + 1) * each;
        const Profile& shape = shapes[s];
        if (shape.contrast == 0.0) continue;
        const Table table(shape);
        const double reach = shape.reach_px() + most_shift + background_px;
        double usual = 0.0;
        for (const bool again : {false, true}) {
            std::vector<double> residuals;
            for (std::size_t i = from; i < to; ++i) {
                profile_at(course, i, reach, across, grey);
                places[i] = fit_place(across, grey, table, shape.contrast, most_shift, usual);
                if (places[i].good) residuals.push_back(places[i].residual);
            }
            if (again) break;
            usual = std::max(middle_of(std::move(residuals)), 0.3);
        }
    }
    return places;
}

void Measurer::drop_strays(std::vector<PlaceFit>& places, std::size_t each, bool closed) const {
    const auto n = static_cast<std::ptrdiff_t>(places.size());
    std::vector<double> off(places.size(), 0.0);
    std::vector<double> near;
    const auto r = static_cast<std::ptrdiff_t>(neighbours);
    for (std::ptrdiff_t i = 0; i < n; ++i) {
        if (!places[static_cast<std::size_t>(i)].good) continue;
        near.clear();
        for (std::ptrdiff_t j = i - r; j <= i + r; ++j) {
            if (!closed && (j < 0 || j >= n)) continue;
            const auto& p = places[static_cast<std::size_t>(((j % n) + n) % n)];
            if (p.good) near.push_back(p.shift);
        }
        off[static_cast<std::size_t>(i)] = places[static_cast<std::size_t>(i)].shift - middle_of(near);
    }
    for (std::size_t from = 0; from < places.size(); from += each) {
        const std::size_t to = std::min(places.size(), from + each);
        std::vector<double> sizes;
        for (std::size_t i = from; i < to; ++i) {
            if (places[i].good) sizes.push_back(std::abs(off[i]));
        }
        const double scatter = middle_of(std::move(sizes)) / 0.6745;
        for (std::size_t i = from; i < to; ++i) {
            auto& p = places[i];
            if (!p.good) continue;
            if (std::abs(off[i]) > most_out * std::max({scatter, p.scatter, 0.02})) p.good = false;
            p.scatter = std::max(p.scatter, scatter);
        }
    }
}

Measured Measurer::measure(Course course) const {
    const std::size_t n = course.points.size();
    const std::size_t each = std::max(least_places_per_shape, n / most_shapes + 1);
    const double first = first_reach * coarse_;
    std::vector<Profile> shapes = shapes_of(course, {}, each, first);
    std::vector<PlaceFit> places = fit_all(course, shapes, each, std::max(1.5, 1.2 * coarse_));
    drop_strays(places, each, course.closed);

    // Once more about a smooth course through what was found, with the shapes as they are seen from there.
    Row row{std::move(course.points), {}, course.closed};
    for (std::size_t i = 0; i < n; ++i) {
        if (places[i].good) row.points[i] = row.points[i] + places[i].shift * course.normals[i];
        row.weights.push_back(places[i].good ? 1.0 : 1e-3);
    }
    course = smooth(row, std::max(6.0, 0.5 * smooth_reach * coarse_));
    shapes = shapes_of(course, {}, each, first);
    const double most_shift = std::max(1.5, 0.5 * coarse_);
    places = fit_all(course, shapes, each, most_shift);
    drop_strays(places, each, course.closed);

    Measured measured;
    measured.shapes = std::move(shapes);
    measured.places_per_shape = each;
    measured.places.reserve(n);
    for (std::size_t i = 0; i < n; ++i) {
        measured.places.push_back({course.points[i] + places[i].shift * course.normals[i], course.normals[i],
                                   places[i].scatter, std::abs(places[i].contrast), places[i].good});
    }
    return measured;
}

}  // namespace

double Profile::at(double across_px) const {
    if (kind == LineKind::edge) return error_step(across_px / blur_px);
    const auto bar = [&](double u) {
        if (width_px < 0.05 * blur_px) return std::exp(-0.5 * u * u / (blur_px * blur_px));
        return error_step((u + 0.5 * width_px) / blur_px) - error_step((u - 0.5 * width_px) / blur_px);
    };
    return bar(across_px) / bar(0.0);
}

double Profile::half_width_px() const {
    if (kind == LineKind::edge) return 0.0;
    double inside = 0.0, outside = reach_px() + 5.0 * blur_px;
    for (int i = 0; i < 40; ++i) {
        const double u = 0.5 * (inside + outside);
        (at(u) > 0.5 ? inside : outside) = u;
    }
    return inside + outside;
}

double Profile::reach_px() const {
    return 0.5 * width_px + reach_in_blurs * blur_px;
}

Measured measure_across(const Picture& picture, const std::vector<Point>& course_px, bool closed, double coarse_px,
                        LineKind kind, const std::function<bool(Point)>& passed_over) {
    Row row{evenly_spaced(course_px, closed), {}, closed};
    row.weights.assign(row.points.size(), 1.0);
    Course course = smooth(row, smooth_reach * coarse_px);
    lengthen(course, 3.0 * coarse_px);
    return Measurer(picture, kind, coarse_px, passed_over).measure(std::move(course));
}

}  // namespace seamwright::trace
