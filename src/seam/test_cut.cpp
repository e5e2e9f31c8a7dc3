#include "seam/test_cut.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

namespace seamwright::seam {
namespace {

using What = CutReading::What;
using Row = Eigen::Matrix<double, 4, 1>;  // B, b, w along x, w along y

constexpr double marked_within_mm = 0.5;  ///< standard deviation that a marked size stands for: ±1 mm
constexpr double centre_within_mm = 0.5;  ///< the same of the guide about the spindle
constexpr double most_off_mm = 3.0;       ///< farther off is a slip of the pen
constexpr double stands_out = 3.5;        ///< standard deviations
constexpr double covers = 2.0;            ///< standard deviations for 95 in 100 (JCGM 100:2008, 6.2, k = 2)
/// A value that the readings have not narrowed to this part of what was known before is not told by them.
constexpr double told_part = 0.2;

Row row_of(const CutReading& reading) {
    const Point n = geometry::unit(reading.towards_rad);
    switch (reading.what) {
        case What::slot_width:
            return {0.0, 1.0, 0.0, 0.0};
        case What::near_edge:
            return {0.5, -0.5, n.x, n.y};
        case What::far_edge:
            return {0.5, 0.5, n.x, n.y};
        case What::guide_across:
            return {1.0, 0.0, 0.0, 0.0};
    }
    return Row::Zero();
}

std::optional<TestCutProblem> refused(const TestCut& cut, const Row& marked) {
    if (!(cut.guide_mm > 0.0) || !(cut.cutter_mm > 0.0) || !std::isfinite(cut.guide_mm + cut.cutter_mm))
        return TestCutProblem{"The marked sizes are none.", "Give guide and cutter as marked.", {}};
    if (!(cut.reading_mm > 0.0) || !std::isfinite(cut.reading_mm))
        return TestCutProblem{"How far a reading may be off is no length.", "Give a length above nothing.", {}};
    if (cut.readings.empty())
        return TestCutProblem{"There are no readings.", "Cut the coupons and measure them first.", {}};
    for (std::size_t i = 0; i < cut.readings.size(); ++i) {
        const double off = cut.readings[i].mm - row_of(cut.readings[i]).dot(marked);
        if (!std::isfinite(off) || std::abs(off) > most_off_mm) {
            return TestCutProblem{"This reading is more than 3 mm from what the marked sizes give.",
                                  "Read it again; look whether another guide or cutter was used.", i};
        }
    }
    return std::nullopt;
}

}  // namespace

TestCutAnswer solve_test_cut(const TestCut& cut) {
    const Row marked{cut.guide_mm, cut.cutter_mm, 0.0, 0.0};
    TestCutAnswer answer;
    answer.problem = refused(cut, marked);
    if (answer.problem) return answer;

    const Row before{marked_within_mm, marked_within_mm, centre_within_mm, centre_within_mm};
    Eigen::Matrix4d normal = before.array().square().inverse().matrix().asDiagonal();
    Row right = Row::Zero();  // about the marked sizes
    const double weight = 1.0 / (cut.reading_mm * cut.reading_mm);
    for (const CutReading& reading : cut.readings) {
        const Row row = row_of(reading);
        normal += weight * row * row.transpose();
        right += weight * (reading.mm - row.dot(marked)) * row;
    }
    const Eigen::LLT<Eigen::Matrix4d> factored(normal);
    const Row found = marked + factored.solve(right);
    const Eigen::Matrix4d spread = factored.solve(Eigen::Matrix4d::Identity());

    RealTools& tools = answer.tools;
    tools.marked_guide_mm = cut.guide_mm;
    tools.marked_cutter_mm = cut.cutter_mm;
    const auto known = [&](const Row& of) {
        const double within = std::sqrt(of.dot(spread * of));
        const double without = std::sqrt(of.dot(before.array().square().matrix().asDiagonal() * of));
        return Known{of.dot(found), covers * within, within < told_part * without};
    };
    tools.guide_mm = known({1.0, 0.0, 0.0, 0.0});
    tools.cutter_mm = known({0.0, 1.0, 0.0, 0.0});
    tools.near_mm = known({0.5, -0.5, 0.0, 0.0});
    tools.far_mm = known({0.5, 0.5, 0.0, 0.0});
    tools.off_x_mm = known({0.0, 0.0, 1.0, 0.0});
    tools.off_y_mm = known({0.0, 0.0, 0.0, 1.0});
    tools.off_centre_mm = std::hypot(found[2], found[3]);

    int told = 0;
    for (const Known* k : {&tools.guide_mm, &tools.cutter_mm, &tools.off_x_mm, &tools.off_y_mm}) told += k->told;
    double squares = 0.0;
    for (std::size_t i = 0; i < cut.readings.size(); ++i) {
        const Row row = row_of(cut.readings[i]);
        const double off = cut.readings[i].mm - row.dot(found);
        tools.off_mm.push_back(off);
        squares += off * off;
        // A reading pulls the answer its way: so much less does it stand out.
        const double own = 1.0 - weight * row.dot(spread * row);
        const double expected = cut.reading_mm * std::sqrt(std::fmax(own, 1e-3));
        if (std::abs(off) > stands_out * expected) tools.doubtful.push_back(i);
    }
    const std::size_t needed = static_cast<std::size_t>(told);
    tools.spare = cut.readings.size() > needed ? cut.readings.size() - needed : 0;
    if (tools.spare > 0) tools.scatter_mm = std::sqrt(squares / static_cast<double>(tools.spare));
    // One wrong reading drags the good ones with it: the one that stands out most is named, the others may be good.
    if (tools.doubtful.size() > 1) {
        const auto worst = std::max_element(
            tools.doubtful.begin(), tools.doubtful.end(),
            [&](std::size_t a, std::size_t b) { return std::abs(tools.off_mm[a]) < std::abs(tools.off_mm[b]); });
        tools.doubtful = {*worst};
    }
    return answer;
}

std::vector<CutPlace> places_to_measure() {
    constexpr double quarter = 0.5 * geometry::pi;
    std::vector<CutPlace> places;
    const auto add = [&](What what, double towards, bool arc, bool turned, const char* says) {
        places.push_back({what, towards, arc, turned, says});
    };
    const char* const thirds[] = {"near one end", "in the middle", "near the other end"};
    for (const char* where : thirds) add(What::slot_width, quarter, false, false, where);
    for (const char* where : thirds) add(What::near_edge, quarter, false, false, where);
    for (const char* where : thirds) add(What::near_edge, 3.0 * quarter, false, true, where);
    add(What::near_edge, 0.0, true, false, "on the right");
    add(What::near_edge, 0.5 * quarter, true, false, "half way to the far side");
    add(What::near_edge, quarter, true, false, "on the far side");
    add(What::near_edge, 1.5 * quarter, true, false, "half way to the left");
    add(What::near_edge, 2.0 * quarter, true, false, "on the left");
    return places;
}

}  // namespace seamwright::seam
