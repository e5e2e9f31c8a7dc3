#pragma once

#include <cmath>

namespace seamwright::geometry {

inline constexpr double pi = 3.14159265358979323846;
inline constexpr double two_pi = 2.0 * pi;
inline constexpr double degrees_per_radian = 180.0 / pi;

/// A place on the drawing, or a displacement, in millimetres. x runs along the length of the top, y away from the
/// maker; angles turn counter-clockwise from +x, in radians.
struct Point {
    double x = 0.0;
    double y = 0.0;

    friend bool operator==(const Point&, const Point&) = default;
};

inline Point operator+(Point a, Point b) {
    return {a.x + b.x, a.y + b.y};
}
inline Point operator-(Point a, Point b) {
    return {a.x - b.x, a.y - b.y};
}
inline Point operator-(Point a) {
    return {-a.x, -a.y};
}
inline Point operator*(double k, Point a) {
    return {k * a.x, k * a.y};
}
inline Point operator*(Point a, double k) {
    return k * a;
}
inline Point operator/(Point a, double k) {
    return {a.x / k, a.y / k};
}

inline double dot(Point a, Point b) {
    return a.x * b.x + a.y * b.y;
}
/// Positive when b lies counter-clockwise of a.
inline double cross(Point a, Point b) {
    return a.x * b.y - a.y * b.x;
}
inline double norm2(Point a) {
    return dot(a, a);
}
inline double norm(Point a) {
    return std::sqrt(norm2(a));
}
inline double distance(Point a, Point b) {
    return norm(b - a);
}
inline double heading(Point a) {
    return std::atan2(a.y, a.x);
}
inline Point unit(double angle_rad) {
    return {std::cos(angle_rad), std::sin(angle_rad)};
}
/// A quarter turn counter-clockwise: the left normal of a direction.
inline Point left_of(Point a) {
    return {-a.y, a.x};
}
inline Point right_of(Point a) {
    return {a.y, -a.x};
}
inline Point midpoint(Point a, Point b) {
    return {0.5 * (a.x + b.x), 0.5 * (a.y + b.y)};
}

/// The angle brought into (-pi, pi].
double wrap_pi(double angle_rad);
/// The angle brought into [0, 2 pi).
double wrap_two_pi(double angle_rad);

/// An axis-parallel box. Starts empty (low > high); grows by `add`.
struct Box {
    Point low{1e300, 1e300};
    Point high{-1e300, -1e300};

    bool empty() const { return low.x > high.x || low.y > high.y; }
    double width_mm() const { return empty() ? 0.0 : high.x - low.x; }
    double height_mm() const { return empty() ? 0.0 : high.y - low.y; }
    void add(Point p) {
        low.x = p.x < low.x ? p.x : low.x;
        low.y = p.y < low.y ? p.y : low.y;
        high.x = p.x > high.x ? p.x : high.x;
        high.y = p.y > high.y ? p.y : high.y;
    }
    void add(const Box& b) {
        if (b.empty()) return;
        add(b.low);
        add(b.high);
    }
    Box grown(double by_mm) const { return {{low.x - by_mm, low.y - by_mm}, {high.x + by_mm, high.y + by_mm}}; }
    bool meets(const Box& b) const {
        return low.x <= b.high.x && b.low.x <= high.x && low.y <= b.high.y && b.low.y <= high.y;
    }
};

}  // namespace seamwright::geometry
