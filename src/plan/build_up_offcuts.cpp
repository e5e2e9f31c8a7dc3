#include "build_up_offcuts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

namespace seamwright::plan {
namespace {

using geometry::Box;
using Where = BuildUpSource::Where;

constexpr double same_mm = 0.5;

Box moved_to(const Box& box, Point low) {
    return {low, low + (box.high - box.low)};
}

bool apart(const Box& a, const Box& b, double by) {
    return a.low.x >= b.high.x + by || b.low.x >= a.high.x + by || a.low.y >= b.high.y + by || b.low.y >= a.high.y + by;
}

}  // namespace

BuildUpOffcuts::BuildUpOffcuts(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                               const BoardsStudy& boards, const RoughCutStudy& rough)
    : plan_(plan), job_(job), shelf_(shelf), boards_(boards), rough_(rough) {
    settings_.kerf_mm = job.cutting.kerf_mm;
    settings_.grain_within_rad = job.cutting.grain_within_rad;
}

std::optional<BuildUpOffcuts::Above> BuildUpOffcuts::above(const BuildUpPiece& part) const {
    if (part.floating) return std::nullopt;
    // Of a piece that is glued up: the strip under whose middle the part lies.
    const Box lying = geometry::bounding_box(geometry::turned(part.shape, {}, -part.fibre_rad));
    const double middle = 0.5 * (lying.low.y + lying.high.y);
    std::optional<std::size_t> found;
    double least = HUGE_VAL;
    for (std::size_t i = 0; i < boards_.parts.size(); ++i) {
        const SawnPart& sawn = boards_.parts[i];
        if (sawn.piece != part.piece || !boards_.placing.lies[i]) continue;
        // A segment of a ring has fibres of its own.
        if (std::abs(std::remainder(sawn.fibre_rad - part.fibre_rad, geometry::pi)) > 1e-6) continue;
        const Box box = geometry::bounding_box(sawn.shape);
        const double off = std::max({box.low.y - middle, middle - box.high.y, 0.0});
        if (off >= least) continue;
        least = off;
        found = i;
    }
    if (!found) return std::nullopt;
    const stock::Lie& lie = *boards_.placing.lies[*found];
    const Box finished = geometry::bounding_box(boards_.parts[*found].shape);
    Above out;
    out.board = lie.board;
    out.sawn_part = *found;
    // The boards lie along their pieces' fibres, to a few degrees.
    const Point at = lie.placed(geometry::midpoint(lying.low, lying.high));
    const Point half{0.5 * part.along_mm, 0.5 * part.across_mm};
    out.box = {at - half, at + half};
    const bool right = lying.low.x + lying.high.x > finished.low.x + finished.high.x;
    out.outward = right == lie.turned ? -1.0 : 1.0;
    return out;
}

bool BuildUpOffcuts::clear(std::size_t board, const Box& blank, std::optional<std::size_t> but) const {
    const double kerf = job_.cutting.kerf_mm - 1e-6;
    for (std::size_t i = 0; i < boards_.parts.size(); ++i) {
        const auto& lie = boards_.placing.lies[i];
        if (!lie || lie->board != board || i == but) continue;
        if (!apart(blank, boards_.parts[i].sawn(*lie), kerf)) return false;
    }
    return std::all_of(taken_.begin(), taken_.end(),
                       [&](const BuildUpSource& t) { return t.board != board || apart(blank, t.blank, kerf); });
}

/// On the board, off its spots, its fibres along: by the same rules as the pieces.
bool BuildUpOffcuts::sound(std::size_t board, const Box& blank) const {
    stock::Item item;
    item.name = "build-up";
    item.shape = geometry::rectangle(Point{}, blank.high - blank.low);
    stock::Lie lie;
    lie.board = board;
    lie.shift = blank.low;
    const std::vector<stock::Item> items{item};
    const std::vector<std::optional<stock::Lie>> lies{lie};
    const auto faults = stock::faults_of(0, items, lies, shelf_.boards, settings_);
    return std::all_of(faults.begin(), faults.end(),
                       [](const stock::Fault& f) { return f.kind == stock::Fault::Kind::fibres_askew; });
}

bool BuildUpOffcuts::meets_screws(const BuildUpPiece& part, const Box& lying) const {
    const double c = std::cos(-part.fibre_rad), s = std::sin(-part.fibre_rad);
    const Box grown = lying.grown(0.5 * rough_.rules.head_mm);
    for (const RoughCut& cut : rough_.cuts) {
        if (cut.piece != part.piece) continue;
        for (const CutEnd& end : cut.ends) {
            for (const CutEnd::Screw& screw : end.screws) {
                const Point p{c * screw.at.x - s * screw.at.y, s * screw.at.x + c * screw.at.y};
                if (p.x > grown.low.x && p.x < grown.high.x && p.y > grown.low.y && p.y < grown.high.y) return true;
            }
        }
    }
    return false;
}

/// What is cut off the piece when it comes to its length, where that is long enough and no screw has stood in it.
std::optional<BuildUpSource> BuildUpOffcuts::cut_off(const BuildUpPiece& part, const Above& above) const {
    const double kerf = job_.cutting.kerf_mm;
    if (!part.end_grain || kerf + part.along_mm > job_.cutting.at_ends_mm()) return std::nullopt;
    const SawnPart& sawn = boards_.parts[above.sawn_part];
    const stock::Lie& lie = *boards_.placing.lies[above.sawn_part];
    const Box finished = geometry::bounding_box(geometry::turned(part.shape, {}, -part.fibre_rad));
    const Box whole = geometry::bounding_box(sawn.shape);
    const bool right = finished.low.x + finished.high.x > whole.low.x + whole.high.x;
    const double x = right ? finished.high.x + kerf : finished.low.x - kerf - part.along_mm;
    const double y = 0.5 * (finished.low.y + finished.high.y - part.across_mm);
    const Box lying{{x, y}, {x + part.along_mm, y + part.across_mm}};
    if (meets_screws(part, lying)) return std::nullopt;
    const Point at = lie.placed(geometry::midpoint(lying.low, lying.high));
    const Point half{0.5 * part.along_mm, 0.5 * part.across_mm};
    const Box blank{at - half, at + half};
    const Box rough = sawn.sawn(lie);
    constexpr double hair = 1e-6;
    if (blank.low.x < rough.low.x - hair || blank.high.x > rough.high.x + hair || blank.low.y < rough.low.y - hair ||
        blank.high.y > rough.high.y + hair)
        return std::nullopt;
    if (!clear(above.board, blank, above.sawn_part) || !sound(above.board, blank)) return std::nullopt;
    return BuildUpSource{Where::cut_off, above.board, blank};
}

std::optional<BuildUpSource> BuildUpOffcuts::on_board(const BuildUpPiece& part, std::size_t board,
                                                      const Above* above) const {
    const shelf::Board& wood = shelf_.boards[board];
    const Box size{{}, {part.along_mm, part.across_mm}};
    const double most_x = wood.length_mm - part.along_mm, most_y = wood.width_mm - part.across_mm;
    if (most_x < 0.0 || most_y < 0.0) return std::nullopt;
    if (wood.planed_mm.value_or(wood.thickness_mm) < job_.build_up->thickness_mm) return std::nullopt;
    // Where it would go if it could.
    Point best{};
    if (above != nullptr) {
        best = above->box.low;
        if (part.end_grain) {
            const Box own = boards_.parts[above->sawn_part].sawn(*boards_.placing.lies[above->sawn_part]);
            best.x = above->outward > 0.0 ? own.high.x + job_.cutting.kerf_mm
                                          : own.low.x - job_.cutting.kerf_mm - part.along_mm;
        }
    }
    std::vector<double> xs{best.x, 0.0, most_x}, ys{best.y, 0.0, most_y};
    const auto beside = [&](const Box& box, double by) {
        xs.insert(xs.end(), {box.high.x + by, box.low.x - by - part.along_mm});
        ys.insert(ys.end(), {box.high.y + by, box.low.y - by - part.across_mm});
    };
    for (std::size_t i = 0; i < boards_.parts.size(); ++i)
        if (const auto& lie = boards_.placing.lies[i]; lie && lie->board == board)
            beside(boards_.parts[i].sawn(*lie), job_.cutting.kerf_mm);
    for (const BuildUpSource& t : taken_)
        if (t.board == board) beside(t.blank, job_.cutting.kerf_mm);
    for (const shelf::Defect& d : wood.defects) beside(geometry::bounding_box(stock::outline_of(d)), 1.0);
    constexpr int grid = 8;
    for (int k = 1; k < grid; ++k) {
        xs.push_back(most_x * k / grid);
        ys.push_back(most_y * k / grid);
    }
    struct Candidate {
        double cost;
        Point at;
    };
    std::vector<Candidate> all;
    constexpr double matters = 3.0;
    for (const double x : xs) {
        for (const double y : ys) {
            if (x < 0.0 || x > most_x || y < 0.0 || y > most_y) continue;
            if (!clear(board, moved_to(size, {x, y}), std::nullopt)) continue;
            const double dx = std::abs(x - best.x), dy = std::abs(y - best.y);
            all.push_back({part.end_grain ? dx + matters * dy : matters * dx + dy, {x, y}});
        }
    }
    std::stable_sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) {
        return std::tie(a.cost, a.at.x, a.at.y) < std::tie(b.cost, b.at.x, b.at.y);
    });
    constexpr std::size_t most_tried = 300;
    for (std::size_t i = 0; i < std::min(all.size(), most_tried); ++i) {
        const Box blank = moved_to(size, all[i].at);
        if (!sound(board, blank)) continue;
        Where where = above == nullptr ? Where::other_board : Where::same_board;
        if (above != nullptr) {
            const bool x = std::abs(blank.low.x - best.x) < same_mm, y = std::abs(blank.low.y - best.y) < same_mm;
            if (part.end_grain && y) where = x ? Where::beyond_end : Where::in_line;
            if (!part.end_grain && x) where = Where::beside;
        }
        return BuildUpSource{where, board, blank};
    }
    return std::nullopt;
}

std::optional<BuildUpSource> BuildUpOffcuts::take(const BuildUpPiece& part) {
    std::optional<BuildUpSource> found;
    const auto own = above(part);
    if (own) {
        found = cut_off(part, *own);
        if (!found) found = on_board(part, own->board, &*own);
    }
    const std::string& species = plan_.pieces[part.piece].species;
    // Boards that nothing is sawn from are no offcuts.
    for (const std::size_t b : boards_.placing.boards_used) {
        if (found) break;
        if ((own && own->board == b) || !stock::of_one_wood(shelf_.boards[b].species, species)) continue;
        found = on_board(part, b, nullptr);
        if (found && !own) found->where = Where::same_wood;
    }
    if (found) taken_.push_back(*found);
    return found;
}

void BuildUpOffcuts::give_back(const BuildUpSource& source) {
    const auto it = std::find_if(taken_.begin(), taken_.end(), [&](const BuildUpSource& t) {
        return t.board == source.board && t.blank.low == source.blank.low;
    });
    if (it != taken_.end()) taken_.erase(it);
}

std::vector<Offcut> BuildUpOffcuts::left() const {
    std::vector<Offcut> out;
    const double kerf = job_.cutting.kerf_mm;
    for (const Offcut& o : boards_.offcuts) {
        const Box whole{o.at, o.at + Point{o.length_mm, o.width_mm}};
        std::optional<Box> used;
        for (const BuildUpSource& t : taken_) {
            if (t.board != o.board || t.where == Where::cut_off || apart(t.blank, whole, 0.0)) continue;
            if (!used) used = t.blank;
            used->low = {std::min(used->low.x, t.blank.low.x), std::min(used->low.y, t.blank.low.y)};
            used->high = {std::max(used->high.x, t.blank.high.x), std::max(used->high.y, t.blank.high.y)};
        }
        if (!used) continue;
        const Box cut = used->grown(kerf);
        const std::array<Box, 4> around{
            Box{whole.low, {cut.low.x, whole.high.y}}, Box{{cut.high.x, whole.low.y}, whole.high},
            Box{whole.low, {whole.high.x, cut.low.y}}, Box{{whole.low.x, cut.high.y}, whole.high}};
        const auto area = [](const Box& b) {
            return std::max(0.0, b.high.x - b.low.x) * std::max(0.0, b.high.y - b.low.y);
        };
        const Box largest = *std::max_element(around.begin(), around.end(),
                                              [&](const Box& a, const Box& b) { return area(a) < area(b); });
        constexpr double least_mm = 30.0;
        if (area(largest) > 0.0 && largest.width_mm() >= least_mm && largest.height_mm() >= least_mm)
            out.push_back({o.board, largest.width_mm(), largest.height_mm(), largest.low});
    }
    return out;
}

}  // namespace seamwright::plan
