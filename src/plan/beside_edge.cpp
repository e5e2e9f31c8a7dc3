#include "plan/beside_edge.h"

#include <algorithm>
#include <cmath>

namespace seamwright::plan {

BesideEdge::BesideEdge(const RoutedEdge& edge) : edge_(edge), running_(geometry::running_length_mm(edge.edge)) {}

geometry::Station BesideEdge::station(double mm) const {
    if (!edge_.edge.closed) return geometry::station_at(edge_.edge, running_, std::clamp(mm, 0.0, length_mm()));
    const double turned = std::fmod(mm, length_mm());
    return geometry::station_at(edge_.edge, running_, turned < 0.0 ? turned + length_mm() : turned);
}

Point BesideEdge::at(double mm) const {
    return geometry::point_at(edge_.edge, station(mm));
}

Point BesideEdge::tangent(double mm) const {
    return geometry::tangent_at(edge_.edge, station(mm));
}

Point BesideEdge::out(double mm) const {
    const Point left = geometry::left_of(tangent(mm));
    return edge_.on_left ? -1.0 * left : left;
}

}  // namespace seamwright::plan
