#pragma once

#include <apriltag.h>
#include <tag36h11.h>

#include <memory>

namespace seamwright::trace {

struct MarkFamilyEnds {
    void operator()(apriltag_family_t* family) const { tag36h11_destroy(family); }
};
using MarkFamily = std::unique_ptr<apriltag_family_t, MarkFamilyEnds>;

}  // namespace seamwright::trace
