#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace seamwright::wood {

// The Delaunay triangulation of sites with edges that must stand in it. Sites lie on a grid of whole numbers: turning
// sense and circle test are whole-number arithmetic and never wrong.

/// |x|, |y| <= largest_site.
struct Site {
    std::int64_t x = 0, y = 0;
};
inline constexpr std::int64_t largest_site = std::int64_t{1} << 27;

struct FixedEdge {
    int from = 0, to = 0;
};

/// Counter-clockwise. `beside` and `fixed` belong to the edge opposite each corner; -1: none.
struct SiteTriangle {
    std::array<int, 3> corner{}, beside{}, fixed{};
};

struct Triangulation {
    /// Cover a frame well around the sites. Corners from sites.size() on are the four of the frame.
    std::vector<SiteTriangle> triangles;
    /// Fixed edges that meet another one or run through a site, and fixed edges one of whose sites lies on another
    /// site: in order, each once. Where there are some, the triangles are of no use.
    std::vector<int> in_trouble;
};

/// The sites come in in their order; it is fast when each lies near the one before and the first ones are spread wide.
Triangulation triangulate(std::span<const Site> sites, std::span<const FixedEdge> edges);

}  // namespace seamwright::wood
