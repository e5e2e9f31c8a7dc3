#include "process/tear_risk.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace seamwright::process {
namespace {

constexpr double quarter_turn = 0.5 * geometry::pi;
// Below it the quotient loses its digits; its series begins with 2ψ/3, the next term is ψ³/90.
constexpr double small_engagement_rad = 1e-3;

double degrees(double angle) {
    return angle / geometry::degrees_per_radian;
}

}  // namespace

std::vector<TearModel::Knot> TearModel::usual_table() {
    return {{-quarter_turn, 0.3},  {degrees(-75.0), 0.6}, {degrees(-60.0), 0.95}, {degrees(-45.0), 1.0},
            {degrees(-30.0), 0.9}, {degrees(-15.0), 0.6}, {degrees(-5.0), 0.1},   {0.0, 0.0},
            {degrees(60.0), 0.0},  {quarter_turn, 0.3}};
}

double largest_engagement_rad(double cutter_radius_mm, double side_cut_mm) {
    if (!(cutter_radius_mm > 0.0) || !std::isfinite(cutter_radius_mm))
        throw std::invalid_argument("largest_engagement_rad: cutter radius must be above 0");
    if (!(side_cut_mm >= 0.0)) throw std::invalid_argument("largest_engagement_rad: side cut must not be negative");
    return std::acos(std::max(-1.0, 1.0 - side_cut_mm / cutter_radius_mm));
}

double mean_engagement_rad(double largest_rad) {
    if (largest_rad < small_engagement_rad) return 2.0 / 3.0 * largest_rad;
    const double half_sine = std::sin(0.5 * largest_rad);
    return (std::sin(largest_rad) - largest_rad * std::cos(largest_rad)) / (2.0 * half_sine * half_sine);
}

double wrap_half_turn(double angle_rad) {
    const double turned = angle_rad - geometry::pi * std::ceil(angle_rad / geometry::pi - 0.5);
    // Rounding may leave it a last bit outside.
    return turned <= -quarter_turn ? quarter_turn : std::min(turned, quarter_turn);
}

void check(const TearModel& model) {
    const auto& table = model.table;
    if (table.size() < 2 || table.front().phi_rad != -quarter_turn || table.back().phi_rad != quarter_turn)
        throw std::invalid_argument("TearModel: the table must run from -90 to 90 degrees");
    for (std::size_t i = 0; i < table.size(); ++i) {
        if (!(table[i].share >= 0.0) || !std::isfinite(table[i].share))
            throw std::invalid_argument("TearModel: the share must not be negative");
        if (i > 0 && !(table[i].phi_rad >= table[i - 1].phi_rad))
            throw std::invalid_argument("TearModel: the angles of the table must rise");
    }
    if (table[1].phi_rad == -quarter_turn || table[table.size() - 2].phi_rad == quarter_turn)
        throw std::invalid_argument("TearModel: no jump at the ends of the table");
    if (!(0.0 < model.care_from && model.care_from < model.tears_from && model.tears_from <= 1.0))
        throw std::invalid_argument("TearModel: 0 < care from < tears from <= 1 is needed");
    if (!(model.mean_engagement_at_rad > 0.0) || !(model.side_cut_at_mm > 0.0))
        throw std::invalid_argument("TearModel: the engagement and side cut it is made for must be above 0");
    if (!(0.0 < model.least_climb && model.least_climb <= 1.0) ||
        !(0.0 < model.least_side_cut && model.least_side_cut <= model.most_side_cut))
        throw std::invalid_argument("TearModel: bounds out of order");
}

double tear_share(const TearModel& model, double phi_rad) {
    const double phi = wrap_half_turn(phi_rad);
    const auto& table = model.table;
    if (phi == quarter_turn) return std::max(table.front().share, table.back().share);
    double share = 0.0;
    for (std::size_t i = 1; i < table.size(); ++i) {
        const TearModel::Knot &from = table[i - 1], &to = table[i];
        if (phi < from.phi_rad || phi > to.phi_rad) continue;
        const double wide = to.phi_rad - from.phi_rad;
        const double here =
            wide > 0.0 ? std::lerp(from.share, to.share, (phi - from.phi_rad) / wide) : std::max(from.share, to.share);
        share = std::max(share, here);
    }
    return share;
}

double side_cut_factor(const TearModel& model, double cutter_radius_mm, double side_cut_mm, Feed feed) {
    const double mean = mean_engagement_rad(largest_engagement_rad(cutter_radius_mm, side_cut_mm));
    const double part = mean / model.mean_engagement_at_rad;
    const double by_feed = feed == Feed::conventional ? 1.0 + part : std::max(model.least_climb, 1.0 - part);
    const double by_depth = std::sqrt(side_cut_mm / model.side_cut_at_mm);
    return by_feed * std::clamp(by_depth, model.least_side_cut, model.most_side_cut);
}

double tear_risk(const TearModel& model, double phi_rad, double cutter_radius_mm, double side_cut_mm, Feed feed) {
    return std::min(1.0, tear_share(model, phi_rad) * side_cut_factor(model, cutter_radius_mm, side_cut_mm, feed));
}

TearZone tear_zone(const TearModel& model, double risk) {
    if (risk < model.care_from) return TearZone::clean;
    return risk < model.tears_from ? TearZone::care : TearZone::tears;
}

}  // namespace seamwright::process
