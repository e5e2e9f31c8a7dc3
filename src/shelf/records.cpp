#include "shelf/records.h"

namespace seamwright::shelf {

std::string_view name_of(RimSeen seen) {
    switch (seen) {
        case RimSeen::clean:
            return "clean";
        case RimSeen::fuzzy:
            return "fuzzy";
        case RimSeen::torn:
            return "torn";
    }
    return {};
}

}  // namespace seamwright::shelf
