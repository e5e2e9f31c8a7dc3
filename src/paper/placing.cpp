#include "placing.h"

#include <algorithm>
#include <cmath>

#include "geometry/path.h"
#include "text_size.h"

namespace seamwright::paper {

namespace {

/// Lines are remembered as points this far apart; every clearance asked for is larger than half of it.
constexpr double spacing_mm = 1.0;
constexpr double bucket_mm = 10.0;

std::pair<long, long> bucket(Point p) {
    return {std::lround(std::floor(p.x / bucket_mm)), std::lround(std::floor(p.y / bucket_mm))};
}

}  // namespace

Point Patch::at(double along_mm, double up_mm) const {
    const Point along = geometry::unit(turn_rad);
    return centre + along_mm * along + up_mm * geometry::left_of(along);
}

Path Patch::outline(double grown_mm) const {
    const double w = 0.5 * width_mm + grown_mm, h = 0.5 * height_mm + grown_mm;
    const Point corners[] = {at(-w, -h), at(w, -h), at(w, h), at(-w, h)};
    return geometry::polyline(corners, true);
}

Patch patch_for(const Text& text) {
    Patch p;
    p.width_mm = text_length_mm(text);
    p.height_mm = (ascent_per_height + descent_per_height) * text.height_mm;
    return p;
}

Text centred(Text text, const Patch& patch) {
    text.anchor = Text::Anchor::middle;
    text.turn_rad = patch.turn_rad;
    text.at = patch.at(0.0, -0.5 * (ascent_per_height - descent_per_height) * text.height_mm);
    return text;
}

double reading_turn(double heading_rad) {
    const double turn = geometry::wrap_pi(heading_rad);
    // A hair past straight up still reads from the right, whatever rounding says.
    constexpr double upright = 0.5 * geometry::pi + 0.01;
    if (turn > upright) return turn - geometry::pi;
    if (turn < -geometry::pi + upright) return turn + geometry::pi;
    return turn;
}

void Placer::add(Point p) {
    points_[bucket(p)].push_back(p);
}

void Placer::add(const Path& path) {
    for (const auto& s : path.segments) {
        const int steps = std::max(1, static_cast<int>(std::ceil(geometry::length_mm(s) / spacing_mm)));
        for (int i = 0; i <= steps; ++i) add(geometry::point_at(s, static_cast<double>(i) / steps));
    }
}

void Placer::add(const Patch& patch) {
    const int across = std::max(1, static_cast<int>(std::ceil(patch.width_mm / spacing_mm)));
    const int up = std::max(1, static_cast<int>(std::ceil(patch.height_mm / spacing_mm)));
    for (int i = 0; i <= across; ++i) {
        for (int j = 0; j <= up; ++j)
            add(patch.at(patch.width_mm * (static_cast<double>(i) / across - 0.5),
                         patch.height_mm * (static_cast<double>(j) / up - 0.5)));
    }
}

bool Placer::free(const Patch& patch, double clear_mm) const {
    const double w = 0.5 * patch.width_mm + clear_mm, h = 0.5 * patch.height_mm + clear_mm;
    Box box;
    for (const double x : {-w, w}) {
        for (const double y : {-h, h}) box.add(patch.at(x, y));
    }
    const Point along = geometry::unit(patch.turn_rad);
    const auto low = bucket(box.low), high = bucket(box.high);
    for (long i = low.first; i <= high.first; ++i) {
        for (auto it = points_.lower_bound({i, low.second});
             it != points_.end() && it->first <= std::pair{i, high.second}; ++it) {
            const bool blocked = std::ranges::any_of(it->second, [&](Point p) {
                const Point d = p - patch.centre;
                return std::abs(geometry::dot(along, d)) < w && std::abs(geometry::cross(along, d)) < h;
            });
            if (blocked) return false;
        }
    }
    return true;
}

bool fits(const Placer& placer, const Patch& patch, double clear_mm, const std::function<bool(Point)>& inside) {
    // Free or not is found in a few buckets, inside or not by a search through the outline.
    if (!placer.free(patch, clear_mm)) return false;
    const double w = 0.5 * patch.width_mm, h = 0.5 * patch.height_mm;
    for (const double x : {-w, 0.0, w}) {
        for (const double y : {-h, 0.0, h}) {
            if (!inside(patch.at(x, y))) return false;
        }
    }
    return true;
}

std::optional<Patch> first_free(const Placer& placer, const std::vector<Patch>& patches, double clear_mm,
                                const std::function<bool(Point)>& inside) {
    for (const auto& p : patches) {
        if (fits(placer, p, clear_mm, inside)) return p;
    }
    return std::nullopt;
}

}  // namespace seamwright::paper
