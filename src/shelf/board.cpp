#include "shelf/board.h"

namespace seamwright::shelf {

std::string_view name_of(Sawn sawn) {
    switch (sawn) {
        case Sawn::rift:
            return "rift";
        case Sawn::quarter:
            return "quarter";
        default:
            return "flat";
    }
}

std::string_view name_of(Defect::Kind kind) {
    switch (kind) {
        case Defect::Kind::check:
            return "check";
        case Defect::Kind::sapwood:
            return "sapwood";
        case Defect::Kind::wane:
            return "wane";
        case Defect::Kind::other:
            return "other";
        default:
            return "knot";
    }
}

std::string_view name_of(Defect::Allowed allowed) {
    switch (allowed) {
        case Defect::Allowed::away_from_seams:
            return "away_from_seams";
        case Defect::Allowed::anywhere:
            return "anywhere";
        default:
            return "nowhere";
    }
}

}  // namespace seamwright::shelf
