// Photographs by the tests' own camera, one for each seed, traced as a maker would and held against the truth:
//
//     photo_seeds [--first N] [--count N] [--quiet] [--keep FOLDER]
//
// Every case is a line (even seeds) or a template's edge (odd seeds) of 2.4 m in a picture of 12 megapixels, with five
// to eight strips of marks (15 to 24 marks) laid loosely along both sides, the scale of print and the tape off by
// chance, lens, tilt, blur, noise, uneven light, and JPEG of quality 85 to 95. See tests/trace/against_truth.h for what
// is measured. Returns 1 when what is promised does not hold.

#include <malloc.h>

#include <chrono>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <string>

#include "against_truth.h"
#include "curves/fair.h"

namespace {

using namespace seamwright;
using namespace seamwright::trace;

struct Result {
    bool traced = false, edge = false;
    double near = 0, near_worst = 0, overall = 0, near_bound = 0, overall_bound = 0;
    double fair_near_worst = 0, fair_overall = 0, seconds = 0, megabytes = 0, length_part = 0;
    bool wrong_good = false;
    std::string why;
};

/// Largest memory the process held since it was last asked to forget.
double peak_megabytes() {
    std::ifstream status("/proc/self/status");
    for (std::string line; std::getline(status, line);) {
        if (line.rfind("VmHWM:", 0) == 0) return std::stod(line.substr(6)) / 1024.0;
    }
    return 0.0;
}
void forget_peak() {
    malloc_trim(0);
    std::ofstream("/proc/self/clear_refs") << "5";
}

Result run(unsigned seed, const std::string& keep) {
    UsualSettings usual;
    usual.edge = seed % 2 == 1;
    usual.strips = 5 + static_cast<int>(seed / 2 % 4);
    const int quality = 85 + static_cast<int>(seed % 11);
    std::vector<std::uint8_t> file;
    const UsualCase c = usual_case(seed, usual);
    {
        const Picture picture = photograph(c.bench, c.camera, c.light);
        file = jpeg_file(picture, quality);
    }
    if (!keep.empty()) {
        std::ofstream out(keep + "/seed" + std::to_string(seed) + ".jpg", std::ios::binary);
        out.write(reinterpret_cast<const char*>(file.data()), static_cast<std::streamsize>(file.size()));
    }
    PhotoSettings settings;
    settings.line.kind = usual.edge ? LineKind::edge : LineKind::drawn_line;
    settings.view.taped = c.taped;
    if (usual.edge) {
        // A sheet has two long edges alike: the maker says which is meant, somewhere along it and not exactly.
        const Point middle = c.camera.to_px(c.curve[c.curve.size() / 3]);
        settings.line.through_px = {middle + Point{static_cast<double>(seed % 31) - 15.0, 12.0}};
    }
    Result result;
    result.edge = usual.edge;
    forget_peak();
    const auto begin = std::chrono::steady_clock::now();
    const auto traced = trace_photo(file, settings);
    result.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    result.megabytes = peak_megabytes();
    if (const auto* why = std::get_if<TraceProblem>(&traced)) {
        result.why = why->reason;
        return result;
    }
    const auto& trace = std::get<Trace>(traced);
    result.traced = true;
    const auto errors = trace::testing::errors_of(trace.points, c);
    result.near = errors.near_mm;
    result.near_worst = errors.near_worst_mm;
    result.overall = errors.overall_mm;
    result.near_bound = trace.near_mm;
    result.overall_bound = trace.overall_mm;
    double length = 0.0;
    for (std::size_t i = 1; i < c.curve.size(); ++i) length += distance(c.curve[i - 1], c.curve[i]);
    result.length_part = trace.length_mm / length;
    // Another line than the one meant, or a bound that is not even half of the truth.
    result.wrong_good = result.overall > 2.0 * result.overall_bound || std::abs(result.length_part - 1.0) > 0.02;
    curves::FairSettings fair;
    fair.wave_mm = trace.usual_wave_mm;
    std::vector<double> weights;
    for (const double s : trace.scatter_mm) weights.push_back(1.0 / (s * s));
    double mean = 0.0;
    for (const double w : weights) mean += w / static_cast<double>(weights.size());
    for (double& w : weights) w /= mean;
    const auto fitted = curves::fit_fair(trace.points, fair, weights);
    if (const auto* curve = std::get_if<curves::FairCurve>(&fitted)) {
        std::vector<Point> points;
        const auto smooth = curve->curve();
        const double step = (smooth.t_end - smooth.t_begin) / 800.0;
        for (int i = 0; i <= 800; ++i) points.push_back(smooth.point(smooth.t_begin + step * i));
        const auto fair_errors = trace::testing::errors_of(points, c);
        result.fair_near_worst = fair_errors.near_worst_mm;
        result.fair_overall = fair_errors.overall_mm;
    } else {
        result.why = std::get<curves::FairProblem>(fitted).reason;
        result.wrong_good = true;
    }
    for (const auto& remark : trace.remarks) result.why += (result.why.empty() ? "" : " | ") + remark.reason;
    return result;
}

double at_part(std::vector<double> values, double part) {
    if (values.empty()) return 0.0;
    std::sort(values.begin(), values.end());
    return values[static_cast<std::size_t>(part * static_cast<double>(values.size() - 1) + 0.5)];
}

}  // namespace

int main(int argc, char** argv) {
    unsigned first = 1, count = 200;
    bool quiet = false;
    std::string keep;
    for (int i = 1; i < argc; ++i) {
        const auto is = [&](const char* name) { return std::strcmp(argv[i], name) == 0; };
        if (is("--quiet")) {
            quiet = true;
        } else if (is("--first") && i + 1 < argc) {
            first = static_cast<unsigned>(std::stoul(argv[++i]));
        } else if (is("--count") && i + 1 < argc) {
            count = static_cast<unsigned>(std::stoul(argv[++i]));
        } else if (is("--keep") && i + 1 < argc) {
            keep = argv[++i];
        } else {
            std::fputs("photo_seeds [--first N] [--count N] [--quiet] [--keep FOLDER]\n", stderr);
            return 2;
        }
    }
    if (!quiet) {
        std::puts("seed kind  near95 worst bound   overall bound   fair:worst overall   s     MB   length");
    }
    std::vector<double> near, near_worst, overall, fair_near, fair_overall, seconds, megabytes;
    std::vector<double> near_bounds, overall_bounds;
    unsigned near_covered = 0, overall_covered = 0, refused = 0, wrong = 0;
    for (unsigned seed = first; seed < first + count; ++seed) {
        const Result r = run(seed, keep);
        if (!quiet) {
            std::printf("%4u %-5s %6.3f %6.3f %6.3f  %6.3f %6.3f  %6.3f %6.3f  %5.2f %5.0f  %.4f %s%s\n", seed,
                        r.edge ? "edge" : "line", r.near, r.near_worst, r.near_bound, r.overall, r.overall_bound,
                        r.fair_near_worst, r.fair_overall, r.seconds, r.megabytes, r.length_part,
                        r.traced ? "" : "REFUSED ", (r.wrong_good ? "WRONG " + r.why : r.why).c_str());
            std::fflush(stdout);
        }
        seconds.push_back(r.seconds);
        megabytes.push_back(r.megabytes);
        if (!r.traced) {
            ++refused;
            continue;
        }
        near.push_back(r.near);
        near_worst.push_back(r.near_worst);
        overall.push_back(r.overall);
        fair_near.push_back(r.fair_near_worst);
        fair_overall.push_back(r.fair_overall);
        near_bounds.push_back(r.near_bound);
        overall_bounds.push_back(r.overall_bound);
        near_covered += r.near <= r.near_bound ? 1 : 0;
        overall_covered += r.overall <= r.overall_bound ? 1 : 0;
        wrong += r.wrong_good ? 1 : 0;
    }
    const double all = static_cast<double>(count), traced = static_cast<double>(near.size());
    const auto within = [&](const std::vector<double>& values, double limit) {
        return static_cast<double>(std::count_if(values.begin(), values.end(), [&](double v) { return v <= limit; })) /
               all;
    };
    const auto line = [](const char* what, const std::vector<double>& v) {
        std::printf("%-38s median %.3f, 95 %% %.3f, worst %.3f\n", what, at_part(v, 0.5), at_part(v, 0.95),
                    at_part(v, 1.0));
    };
    std::printf("%u pictures, %u refused, %u wrong and not told\n", count, refused, wrong);
    line("near, 95 of 100 points (mm):", near);
    line("near, worst point (mm):", near_worst);
    line("  bound stated (mm):", near_bounds);
    line("overall, worst point (mm):", overall);
    line("  bound stated (mm):", overall_bounds);
    line("fair curve, near, worst point (mm):", fair_near);
    line("fair curve, overall, worst point (mm):", fair_overall);
    line("time (s):", seconds);
    line("memory (MB):", megabytes);
    const double near_part = within(near_worst, 0.3), overall_part = within(overall, 1.0);
    const double near_cover = near_covered / std::max(1.0, traced),
                 overall_cover = overall_covered / std::max(1.0, traced);
    std::printf(
        "near within 0.3 mm: %.1f %%; overall within 1 mm: %.1f %%; bounds hold: near %.1f %%, overall %.1f %%\n",
        100 * near_part, 100 * overall_part, 100 * near_cover, 100 * overall_cover);
    const bool good = near_part >= 0.95 && overall_part >= 0.95 && near_cover >= 0.9 && overall_cover >= 0.9 &&
                      wrong == 0 && at_part(megabytes, 1.0) <= 500.0;
    std::puts(good ? "As promised." : "NOT as promised.");
    return good ? 0 : 1;
}
