#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "geometry/path.h"

namespace seamwright::bench {

using Rings = std::vector<std::vector<geometry::Point>>;

/// A library that can offset a board. Loading and fetching are conversions and are not timed.
class Peer {
  public:
    virtual ~Peer() = default;
    virtual std::string name() const = 0;
    /// The board as straight pieces; joins may deviate by join_mm.
    virtual void load(const std::vector<geometry::Point>& board, double join_mm) = 0;
    /// Outward for distance_mm > 0. Result stays in the library's own form until fetched.
    virtual void offset(double distance_mm) = 0;
    /// Outward and back in.
    virtual void close(double radius_mm) = 0;
    virtual Rings fetch() const = 0;
};

/// GEOS, Boost.Geometry and polyclipping as Debian ships them.
std::vector<std::function<std::unique_ptr<Peer>()>> peers();

}  // namespace seamwright::bench
