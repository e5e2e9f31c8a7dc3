// Where was the camera, how does its lens bend, and where do the strips lie? All of it is one fit to the corners of the
// marks, because each alone would take its error out on the others: a lens that is not taken into account moves a 2.4 m
// line by a millimetre, a strip that is assumed straight by as much as it lies askew.
//
// What is taken for granted, and by how much it may be wrong (σ), stands in the table of what is expected below: focal
// length as the camera noted it, axis near the picture's middle, a lens of a few per cent, a print that is a little too
// large or small. Where the picture says nothing about one of these, that expectation decides, and its scatter goes
// into the scatter of the result: this is how the print's scale comes to be most of the error over the whole length
// until two marks are measured with a tape.
//
// Error budget at 12 MP over 2.4 m (0.65 mm a pixel, 24 marks): corners 0.02 px = 0.013 mm; through the fit 0.03 mm
// over the length; print scale 0.2 % = 4.8 mm over the length without a tape, 0.5 mm with one.

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "trace/view.h"
#include "view_fit.h"

namespace seamwright::trace {

namespace {

constexpr std::size_t fewest_marks = 4;

// What is expected (σ). From common practice with phone cameras and office printers, not from one source.
constexpr double usual_focal_widths = 0.75;  ///< of a phone's main camera, in parts of the picture's longer side
constexpr double unknown_focal = 0.5;        ///< of the logarithm, when nothing is noted
constexpr double noted_focal = 0.35;         ///< while it is not known whether what is noted holds
constexpr double trusted_focal = 0.03;       ///< once the picture agrees: noted in whole mm, and focusing changes it
constexpr double axis_off_middle = 0.01;     ///< parts of the longer side
constexpr double lens_swell_2 = 0.10, lens_swell_4 = 0.08;  ///< parts of the way to the corner
constexpr double print_stretch = 0.002;                     ///< along against across: paper takes up moisture
constexpr double square_swell_mm = 0.3;                     ///< ink that runs, light that spreads
constexpr double own_print_scale = 0.0005;                  ///< of one strip against the others from the same printer
/// Marks that are farther off than this, and than a few times what most are, do not lie where the others lie.
constexpr double least_misfit_px = 0.15;
constexpr double misfit_times = 4.0;
constexpr double most_left_out = 0.34;  ///< parts of the marks
constexpr double most_residual_px = 0.5;
constexpr double least_row_mm = 0.5 * mark_mm;  ///< marks nearer to one straight line than this are in one row
constexpr double most_scatter = 0.01;           ///< parts of the view's length, besides the print's scale
constexpr double well_fitted = 3.0;             ///< times what is expected: no other start need be tried

using Problem = TraceProblem;

std::vector<Expected> expectations(const Picture& picture, const ViewSettings& settings, const ViewFit& fit,
                                   std::size_t strips) {
    const double longer = std::max(picture.width, picture.height);
    const double focal = picture.focal_px.value_or(usual_focal_widths * longer);
    std::vector<Expected> e{
        {log_focal, std::log(focal), picture.focal_px ? noted_focal : unknown_focal},
        {axis_x, 0.0, axis_off_middle * longer},
        {axis_y, 0.0, axis_off_middle * longer},
        {swell_2, 0.0, lens_swell_2},
        {swell_4, 0.0, lens_swell_4},
        {print_at, 0.0, std::max(settings.print_scale, 1e-9)},
        {print_at + 1, 0.0, print_stretch},
        {print_at + 2, 0.0, square_swell_mm},
    };
    for (std::size_t s = 0; s < strips; ++s) e.push_back({fit.strip_at(s) + 3, 0.0, own_print_scale});
    return e;
}

double median(std::vector<double> v) {
    if (v.empty()) return 0.0;
    const auto middle = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), middle, v.end());
    return *middle;
}

/// Of the marks in use: what most of them are off, px.
double usual_misfit(const ViewFit& fit, const FitState& state) {
    const auto all = fit.mark_residuals_px(state.unknowns);
    std::vector<double> used;
    for (std::size_t i = 0; i < all.size(); ++i)
        if (fit.marks[i].used) used.push_back(all[i]);
    return median(std::move(used));
}

double usual_corner_px(const ViewFit& fit) {
    std::vector<double> v;
    for (const UsedMark& m : fit.marks)
        if (m.used) v.push_back(m.mark->corner_px);
    return median(std::move(v)) * std::sqrt(2.0);
}

FitState best_start(const ViewFit& fit, const Picture& picture) {
    const double longer = std::max(picture.width, picture.height);
    std::vector<double> focals;
    if (picture.focal_px) focals.push_back(*picture.focal_px);
    for (const double widths : {usual_focal_widths, 1.5, 0.45, 3.0}) focals.push_back(widths * longer);
    FitState best;
    best.cost = 1e300;
    for (const double focal : focals) {
        FitState state = fit.settle(fit.start(focal));
        if (state.cost < best.cost) best = std::move(state);
        if (best.cost < 1e300 && usual_misfit(fit, best) < well_fitted * usual_corner_px(fit)) break;
    }
    return best;
}

/// Marks that do not go with the others are taken out one by one: always the one (or the strip) whose absence helps the
/// rest most. False when too many would have to go.
bool leave_out(ViewFit& fit, FitState& state) {
    const auto most = static_cast<std::size_t>(most_left_out * static_cast<double>(fit.marks.size()));
    std::size_t gone = 0;
    for (;;) {
        const auto residuals = fit.mark_residuals_px(state.unknowns);
        const double limit =
            std::max({least_misfit_px, misfit_times * usual_misfit(fit, state), misfit_times * usual_corner_px(fit)});
        std::vector<std::size_t> off;
        for (std::size_t i = 0; i < residuals.size(); ++i)
            if (fit.marks[i].used && residuals[i] > limit) off.push_back(i);
        if (off.empty()) return true;
        std::sort(off.begin(), off.end(), [&](std::size_t a, std::size_t b) {
            return residuals[a] != residuals[b] ? residuals[a] > residuals[b] : a < b;
        });
        std::vector<std::vector<std::size_t>> tries;
        constexpr std::size_t most_tries = 6;
        for (std::size_t i = 0; i < std::min(off.size(), most_tries); ++i) {
            // Others on the same strip are pulled along by a bad one: each of them may be the one.
            for (std::size_t k = 0; k < fit.marks.size(); ++k)
                if (fit.marks[k].used && fit.marks[k].strip == fit.marks[off[i]].strip) tries.push_back({k});
        }
        for (std::size_t i = 0; i < std::min(off.size(), most_tries); ++i) {
            std::vector<std::size_t> strip;
            for (std::size_t k = 0; k < fit.marks.size(); ++k)
                if (fit.marks[k].used && fit.marks[k].strip == fit.marks[off[i]].strip) strip.push_back(k);
            if (strip.size() > 1) tries.push_back(strip);
        }
        std::sort(tries.begin(), tries.end());
        tries.erase(std::unique(tries.begin(), tries.end()), tries.end());
        double most_gain = 0.0;
        const std::vector<std::size_t>* chosen = nullptr;
        FitState next;
        for (const auto& without : tries) {
            if (gone + without.size() > most) continue;
            for (const std::size_t k : without) fit.marks[k].used = false;
            FitState tried = fit.settle(state.unknowns);
            for (const std::size_t k : without) fit.marks[k].used = true;
            const double gain = (state.cost - tried.cost) / static_cast<double>(without.size());
            if (gain > most_gain) {
                most_gain = gain;
                chosen = &without;
                next = std::move(tried);
            }
        }
        if (!chosen) return false;
        for (const std::size_t k : *chosen) fit.marks[k].used = false;
        gone += chosen->size();
        if (fit.marks.size() - gone < fewest_marks) return false;
        state = std::move(next);
    }
}

/// How far the middles of the marks lie from the straight line that goes best through them, mm.
double off_one_row_mm(const std::vector<Point>& middles) {
    const Point mean = std::accumulate(middles.begin(), middles.end(), Point{}) / static_cast<double>(middles.size());
    double xx = 0.0, yy = 0.0, xy = 0.0;
    for (const Point p : middles) {
        xx += (p.x - mean.x) * (p.x - mean.x);
        yy += (p.y - mean.y) * (p.y - mean.y);
        xy += (p.x - mean.x) * (p.y - mean.y);
    }
    const double least = 0.5 * (xx + yy) - std::hypot(0.5 * (xx - yy), xy);
    return std::sqrt(std::max(0.0, least) / static_cast<double>(middles.size()));
}

std::string named(const std::vector<int>& marks) {
    return marks.size() == 1 ? fmt::format("Mark {}", marks[0]) : fmt::format("Marks {}", fmt::join(marks, ", "));
}

Problem not_flat(const ViewFit& fit, const FitState& state, const std::string& measure) {
    const auto residuals = fit.mark_residuals_px(state.unknowns);
    const std::size_t worst = static_cast<std::size_t>(
        std::distance(residuals.begin(), std::max_element(residuals.begin(), residuals.end())));
    return {
        fmt::format("The marks do not fit on one flat bench: {} (mark {} is {:.1f} pixels off).", measure,
                    fit.marks[worst].mark->id, residuals[worst]),
        "Lay all strips flat on the plane of the line, print them all at the same scale, and take the picture again.",
        fit.marks[worst].mark->corners_px[0]};
}

}  // namespace

std::variant<View, TraceProblem> fit_view(const Picture& picture, const FoundMarks& found,
                                          const ViewSettings& settings) {
    if (found.mirrored)
        return Problem{
            "The picture was turned over left to right.", "Take the picture as the camera wrote it, not mirrored.", {}};
    if (found.marks.size() < fewest_marks)
        return Problem{fmt::format("{} marks were found; at least {} are needed.", found.marks.size(), fewest_marks),
                       "Lay strips on both sides of the line and at its ends, all of them in the picture and sharp.",
                       {}};

    // Strips in the order of their numbers.
    std::map<int, std::size_t> strips;
    for (const FoundMark& m : found.marks) strips.emplace(m.id / marks_a_strip, 0);
    std::size_t count = 0;
    for (auto& [strip, place] : strips) place = count++;
    std::vector<UsedMark> used;
    for (const FoundMark& m : found.marks) used.push_back({&m, strips[m.id / marks_a_strip], true});

    ViewFit fit({static_cast<double>(picture.width), static_cast<double>(picture.height)}, used, count, settings.taped);
    fit.expected = expectations(picture, settings, fit, count);
    FitState state = best_start(fit, picture);
    if (state.cost >= 1e300) return not_flat(fit, state, "no camera sees them so");

    const auto middles_of = [&](const FitState& s) {
        std::vector<Point> middles;
        for (const UsedMark& m : fit.marks)
            if (m.used) middles.push_back(fit.mark_middle(s.unknowns, m));
        return middles;
    };
    const auto in_one_row = [&] { return off_one_row_mm(middles_of(state)) < least_row_mm; };
    const auto row = [] {
        return Problem{"All marks lie in one row: how the camera was tilted across it cannot be told.",
                       "Lay strips on both sides of the line, or one across it at each end.",
                       {}};
    };
    if (in_one_row()) return row();
    if (!leave_out(fit, state)) return not_flat(fit, state, "too many of them are off");
    if (in_one_row()) return row();

    View view;
    for (const UsedMark& m : fit.marks)
        if (!m.used) view.left_out.push_back(m.mark->id);
    if (!view.left_out.empty())
        view.remarks.push_back(
            {fmt::format("{} {} not lie on the plane of the others, and {} left out.", named(view.left_out),
                         view.left_out.size() == 1 ? "does" : "do", view.left_out.size() == 1 ? "was" : "were"),
             "Look whether something lies under it, or the paper curls.",
             {}});

    // The focal length that the camera noted is believed when the picture does not say otherwise.
    const auto spread_of = [&](const FitState& s) -> Eigen::MatrixXd {
        double spare = 0.0;
        const double squares = fit.squares(s.unknowns, spare);
        const double wider = std::max(1.0, squares / std::max(spare, 1.0));
        return wider * s.normal.ldlt().solve(Eigen::MatrixXd::Identity(fit.unknowns(), fit.unknowns()));
    };
    Eigen::MatrixXd spread = spread_of(state);
    if (picture.focal_px) {
        const double off = std::abs(state.unknowns[log_focal] - std::log(*picture.focal_px));
        if (off < 3.0 * std::hypot(std::sqrt(spread(log_focal, log_focal)), trusted_focal)) {
            fit.expected[0].scatter = trusted_focal;
            state = fit.settle(state.unknowns);
            spread = spread_of(state);
        } else {
            view.remarks.push_back(
                {fmt::format("The camera noted a focal length of {:.0f} pixels; the marks show {:.0f}.",
                             *picture.focal_px, std::exp(state.unknowns[log_focal])),
                 "The picture may have been zoomed or cropped. It is measured by its marks.",
                 {}});
        }
    }
    const Eigen::VectorXd& x = state.unknowns;
    const auto residuals = fit.mark_residuals_px(x);
    double sum2 = 0.0;
    std::size_t corners = 0;
    for (std::size_t i = 0; i < residuals.size(); ++i) {
        if (!fit.marks[i].used) continue;
        sum2 += 4.0 * residuals[i] * residuals[i];
        corners += 4;
        if (residuals[i] <= view.worst_residual_px) continue;
        view.worst_residual_px = residuals[i];
        view.worst_mark = fit.marks[i].mark->id;
    }
    view.residual_px = std::sqrt(sum2 / static_cast<double>(corners));
    if (!(view.residual_px <= most_residual_px) || !spread.allFinite())
        return not_flat(fit, state, fmt::format("their corners are {:.1f} pixels off", view.residual_px));
    if (!lens_keeps_order(x[swell_2], x[swell_4]))
        return Problem{"How the lens bends cannot be told from these marks.",
                       "Lay strips farther out towards the corners of the picture.",
                       {}};

    view.numbers.width_px = picture.width;
    view.numbers.height_px = picture.height;
    view.numbers.above_marks_mm = settings.above_marks_mm;
    std::copy_n(x.data(), camera_numbers, view.numbers.camera.begin());
    using Square = Eigen::Matrix<double, camera_numbers, camera_numbers, Eigen::RowMajor>;
    Eigen::Map<Square>(view.numbers.spread.data()) =
        spread.topLeftCorner(static_cast<int>(camera_numbers), static_cast<int>(camera_numbers));
    const std::vector<Point> middles = middles_of(state);
    view.numbers.middle =
        std::accumulate(middles.begin(), middles.end(), Point{}) / static_cast<double>(middles.size());
    Eigen::Map<Eigen::Matrix<double, 3, camera_numbers, Eigen::RowMajor>> motion(view.numbers.motion.data());
    double size2 = 0.0;
    for (const Point p : middles) {
        const auto slopes = place_slopes(view.numbers, p);
        const Point from = p - view.numbers.middle;
        motion.topRows<2>() += slopes / static_cast<double>(middles.size());
        motion.row(2) += -from.y * slopes.row(0) + from.x * slopes.row(1);
        size2 += norm2(from);
    }
    motion.row(2) /= size2;

    std::map<std::size_t, std::pair<double, int>> by_strip;
    for (std::size_t i = 0; i < residuals.size(); ++i) {
        if (!fit.marks[i].used) continue;
        by_strip[fit.marks[i].strip].first += residuals[i] * residuals[i];
        by_strip[fit.marks[i].strip].second += 1;
    }
    for (const auto& [strip, place] : strips) {
        const auto own = by_strip.find(place);
        if (own == by_strip.end()) continue;
        StripPlace s;
        s.strip = strip;
        if (place > 0) {
            const Eigen::Index at = fit.strip_at(place);
            s.at = {x[at], x[at + 1]};
            s.heading_rad = geometry::wrap_pi(x[at + 2]);
        }
        s.residual_px = std::sqrt(own->second.first / own->second.second);
        view.strips.push_back(s);
    }
    view.tilt_rad = std::acos(std::clamp(std::cos(x[tilt_x]) * std::cos(x[tilt_y]), -1.0, 1.0));
    view.focal_px = std::exp(x[log_focal]);
    const double per_ray = view.focal_px / fit.frame().corner_px();
    view.lens_k1 = x[swell_2] * per_ray * per_ray;
    view.lens_k2 = x[swell_4] * std::pow(per_ray, 4);
    view.print_scale = x[print_at];

    double length = 0.0, worst = 0.0;
    for (const Point p : middles) {
        length = std::max(length, 2.0 * norm(p - view.numbers.middle));
        worst = std::max(worst, view.scatter(p).overall_mm);
    }
    if (worst > (most_scatter + settings.print_scale) * length)
        return Problem{fmt::format("These marks leave the view open by {:.0f} mm.", worst),
                       "Lay more strips, on both sides of the line and at its ends.",
                       {}};
    return view;
}

}  // namespace seamwright::trace
