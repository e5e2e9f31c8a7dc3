#pragma once

#include <string>
#include <vector>

namespace seamwright::plan {

// Cautions in our own words. Sources: OSHA 3157, "A Guide for Protecting Workers from Woodworking Hazards" (1999), for
// kickback, thrown cutters and the direction of feed; IARC vol. 62 (1995) and vol. 100C (2012) for wood dust; the rest
// is common practice, from memory.

std::vector<std::string> routing_cautions();
std::vector<std::string> hand_work_cautions();

}  // namespace seamwright::plan
