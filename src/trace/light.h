#pragma once

#include <cmath>

namespace seamwright::trace {

// Cameras write greys as they are seen, not in equal steps of light: the curve of sRGB (IEC 61966-2-1), each with a
// touch of its own. Where a blurred edge lies is told by the light: half of it lies on each side. By its greys the
// light side would come out wider by half the blur.

/// Part of the light, 0 to 1, of a grey of 0 to 255.
inline double light_of_grey(double grey) {
    const double v = grey / 255.0;
    return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
}

inline double grey_of_light(double light) {
    const double v = light <= 0.0031308 ? 12.92 * light : 1.055 * std::pow(light, 1.0 / 2.4) - 0.055;
    return 255.0 * v;
}

/// Steps of grey for a small step of light.
inline double grey_per_light(double light) {
    return 255.0 * (light <= 0.0031308 ? 12.92 : 1.055 / 2.4 * std::pow(light, 1.0 / 2.4 - 1.0));
}

}  // namespace seamwright::trace
