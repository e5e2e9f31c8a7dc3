#include "plan/cautions.h"

namespace seamwright::plan {

std::vector<std::string> routing_cautions() {
    return {
        "What the makers of your router, guide and cutter tell you comes before anything written here.",
        ("Unplug the router before you change or set a cutter or guide. Put the shank in at least to its mark, but not "
         "hard against the bottom. Let the cutter stop before you lift the router off."),
        "Feed against the turn of the cutter. Fed with it, the router can pull itself out of your hands.",
        "Clamp or fasten template and work so that neither can move, and keep every fastening out of the cut.",
        "Keep both hands on the router and away from the cutter. Take the depth in passes, never at once.",
        ("Wear eye and ear protection and extract the dust where it is made: wood dust causes cancer and harms the "
         "lungs."),
    };
}

std::vector<std::string> hand_work_cautions() {
    return {
        ("What the makers of your saw and tools tell you comes before anything written here. Clamp the sheet, keep "
         "your "
         "hands behind the edge of the tool, and wear eye protection. Dust from sheet material is harmful: extract "
         "it."),
    };
}

}  // namespace seamwright::plan
