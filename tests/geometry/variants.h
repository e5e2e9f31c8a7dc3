#pragma once

#include <functional>
#include <string>
#include <vector>

#include "geometry/parallel.h"
#include "geometry/path.h"

namespace seamwright::geometry::testing {

/// A path rerun in another guise, with what that does to sides and lengths.
struct Variant {
    std::string name;
    Path path;
    bool sides_swap = false;  ///< left of the original is right of this
    double scale = 1.0;
};

/// Each case is rerun reversed, mirrored, turned, start-rotated (closed), moved 10 m away and scaled.
inline std::vector<Variant> variants(const Path& path) {
    std::vector<Variant> all{{"as it is", path, false, 1.0},
                             {"reversed", reversed(path), true, 1.0},
                             {"mirrored", mirrored(path), true, 1.0},
                             {"moved 10 m away", moved(path, {10000.0, -10000.0}), false, 1.0},
                             {"turned", turned(path, {100.0, 50.0}, 0.7), false, 1.0},
                             {"scaled up", scaled(path, 16.0), false, 16.0},
                             {"scaled down", scaled(path, 1.0 / 16.0), false, 1.0 / 16.0}};
    if (path.closed) all.push_back({"start rotated", start_rotated(path, path.segments.size() / 2), false, 1.0});
    return all;
}

inline Side on(Side side, const Variant& v) {
    return v.sides_swap ? other(side) : side;
}

}  // namespace seamwright::geometry::testing
