#include "geometry/point.h"

namespace seamwright::geometry {

double wrap_two_pi(double angle_rad) {
    double wrapped = std::fmod(angle_rad, 2.0 * pi);
    if (wrapped < 0.0) wrapped += 2.0 * pi;
    // A tiny negative angle rounds up to a full turn.
    return wrapped >= 2.0 * pi ? 0.0 : wrapped;
}

double wrap_pi(double angle_rad) {
    const double wrapped = wrap_two_pi(angle_rad);
    return wrapped > pi ? wrapped - 2.0 * pi : wrapped;
}

}  // namespace seamwright::geometry
