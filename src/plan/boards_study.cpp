#include "plan/boards_study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

#include "asked.h"
#include "geometry/path_index.h"
#include "plan/edging_study.h"
#include "plan/words.h"
#include "process/sawing.h"
#include "rough_outline.h"

namespace seamwright::plan {
namespace {

using geometry::Box;

/// The seams along a piece, turned with it.
std::vector<Path> seams_of(const Plan& plan, const PiecePlan& piece) {
    std::vector<Path> out;
    for (const Bordering& b : bordering(plan, piece))
        out.push_back(geometry::turned(plan.seams[b.seam].in_wood, {}, -piece.grain_rad));
    return out;
}

/// Heights at which a seam runs along the fibres, within 15°, every few millimetres.
std::vector<double> along_seams(const std::vector<Path>& seams) {
    constexpr double along_rad = 15.0 * geometry::pi / 180.0, step_mm = 5.0;
    std::vector<double> out;
    for (const Path& seam : seams) {
        const auto running = geometry::running_length_mm(seam);
        for (double at = 0.0; at <= running.back(); at += step_mm) {
            const auto station = geometry::station_at(seam, running, at);
            const double heading = geometry::heading(geometry::tangent_at(seam, station));
            if (std::abs(std::remainder(heading, geometry::pi)) > along_rad) continue;
            out.push_back(geometry::point_at(seam, station).y);
        }
    }
    return out;
}

double off_seams(const std::vector<double>& heights, double y) {
    double least = HUGE_VAL;
    for (const double height : heights) least = std::min(least, std::abs(y - height));
    return least;
}

/// Moves a joint by as little as takes it off the seams, within `most_mm`; stays where nothing does.
double moved_off(const std::vector<double>& heights, double y, double off_mm, double most_mm) {
    constexpr double step_mm = 1.0;
    for (double by = 0.0; by <= most_mm; by += step_mm) {
        for (const double at : {y - by, y + by})
            if (off_seams(heights, at) >= off_mm) return at;
    }
    return y;
}

/// Where the shape is narrowest across, at most `most_mm` and at most half of what it has elsewhere: heights a joint
/// must keep off, every few millimetres across the neck.
std::vector<double> necks_of(const Path& shape, double most_mm) {
    const Box box = geometry::bounding_box(shape);
    constexpr double step_mm = 10.0, across_mm = 5.0, end_part = 0.1;
    struct Across {
        double low = 0.0, high = 0.0;
        double width() const { return high - low; }
    };
    std::vector<Across> all;
    double widest = 0.0;
    for (double x = box.low.x + step_mm; x < box.high.x; x += step_mm) {
        const Path line = geometry::polyline(std::vector<Point>{{x, box.low.y - 1.0}, {x, box.high.y + 1.0}}, false);
        std::vector<double> ys;
        for (const auto& c : geometry::crossings(geometry::PathIndex(line), geometry::PathIndex(shape)))
            ys.push_back(geometry::point_at(line, c.on_a).y);
        if (ys.size() < 2) continue;
        const auto [low, high] = std::minmax_element(ys.begin(), ys.end());
        all.push_back({*low, *high});
        widest = std::max(widest, all.back().width());
    }
    std::vector<double> out;
    const auto ends = static_cast<std::size_t>(end_part * static_cast<double>(all.size()));
    for (std::size_t i = std::max<std::size_t>(ends, 1); i + 1 + ends < all.size(); ++i) {
        const Across& a = all[i];
        if (a.width() > std::min(most_mm, 0.5 * widest)) continue;
        if (a.width() > all[i - 1].width() || a.width() > all[i + 1].width()) continue;
        for (double y = a.low; y <= a.high; y += across_mm) out.push_back(y);
    }
    return out;
}

struct Reach {
    double low = HUGE_VAL, high = -HUGE_VAL;
};
/// What of a closed outline lies between two heights: how far it reaches along.
std::optional<Reach> reach_between(const Path& shape, double low, double high) {
    Reach out;
    constexpr double step_mm = 2.0;
    for (const geometry::Segment& s : shape.segments) {
        const double parts = std::max(1.0, std::ceil(geometry::length_mm(s) / step_mm));
        for (double k = 0.0; k <= parts; k += 1.0) {
            const Point p = geometry::point_at(s, k / parts);
            if (p.y < low - step_mm || p.y > high + step_mm) continue;
            out.low = std::min(out.low, p.x);
            out.high = std::max(out.high, p.x);
        }
    }
    if (out.low > out.high) return std::nullopt;
    return out;
}

class Study {
  public:
    Study(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, std::uint64_t effort)
        : plan_(plan), job_(job), shelf_(shelf) {
        settings_.kerf_mm = job.cutting.kerf_mm;
        settings_.grain_within_rad = job.cutting.grain_within_rad;
        settings_.effort = effort;
    }

    BoardsStudy study() {
        std::vector<bool> wide(plan_.pieces.size());
        bool any = false;
        for (std::size_t i = 0; i < plan_.pieces.size(); ++i) any = (wide[i] = must_be_glued(i)) || any;
        BoardsStudy best = with_strips(wide, {});
        using How = Division::How;
        for (const Division& division : {Division{How::equal, 1}, Division{How::equal, 2},
                                         Division{How::widest_first, 0}, Division{How::narrowest_first, 0}}) {
            if (!any) break;
            BoardsStudy other = with_strips(wide, division);
            const auto worse = [](const BoardsStudy& s) {
                return std::tuple(s.placing.unplaced.size(), s.placing.cost, s.parts.size());
            };
            if (worse(other) < worse(best)) best = std::move(other);
        }
        finish(best);
        return best;
    }

    std::optional<SawnPart> part(std::size_t piece, std::size_t strip, std::size_t of) const {
        BoardsStudy study;
        if (segmented(plan_, piece) != nullptr) {
            add_segments(study, piece);
        } else if (strip == 0) {
            add(study, piece, plan_.pieces[piece].name, 0, lying(piece), sawn(piece));
        } else {
            const Box box = geometry::bounding_box(lying(piece));
            add_strips(study, piece, in_equal_parts(box, static_cast<double>(of)));
        }
        for (SawnPart& part : study.parts)
            if (part.strip == strip) return std::move(part);
        return std::nullopt;
    }

  private:
    double margin() const { return job_.cutting.margin_mm; }

    std::vector<std::size_t> boards_of(std::size_t piece) const {
        std::vector<std::size_t> out;
        const job::Piece* asked = asked_of(job_, plan_.pieces[piece]);
        const auto number_of = [&](const std::string& name) -> std::optional<std::size_t> {
            for (std::size_t b = 0; b < shelf_.boards.size(); ++b)
                if (shelf_.boards[b].name == name) return b;
            return std::nullopt;
        };
        if (asked != nullptr && !asked->from_boards.empty()) {
            for (const std::string& name : asked->from_boards)
                if (const auto b = number_of(name)) out.push_back(*b);
            return out;
        }
        for (std::size_t b = 0; b < shelf_.boards.size(); ++b)
            if (stock::of_one_wood(shelf_.boards[b].species, plan_.pieces[piece].species)) out.push_back(b);
        return out;
    }

    Path lying(std::size_t piece) const {
        return geometry::turned(plan_.pieces[piece].region.outer, {}, -plan_.pieces[piece].grain_rad);
    }
    /// The same, longer at its ends.
    Path sawn(std::size_t piece) const {
        const PiecePlan& p = plan_.pieces[piece];
        return geometry::turned(rough_outline(plan_, p, job_.cutting.at_ends_mm() - margin()), {}, -p.grain_rad);
    }

    double widest_of(std::size_t piece) const {
        double widest = 0.0;
        for (const std::size_t b : boards_of(piece)) widest = std::max(widest, shelf_.boards[b].width_mm);
        return widest;
    }

    bool must_be_glued(std::size_t piece) const {
        if (segmented(plan_, piece) != nullptr) return false;
        const job::Piece* asked = asked_of(job_, plan_.pieces[piece]);
        if (asked != nullptr && (asked->one_board || asked->laid || asked->strips == 1)) return false;
        if (asked != nullptr && asked->strips > 1) return true;
        const double widest = widest_of(piece);
        const Box box = geometry::bounding_box(lying(piece));
        return widest > 0.0 &&
               (box.height_mm() + 2.0 * margin() > widest || (asked != nullptr && asked->from_boards.size() > 1));
    }

    void add(BoardsStudy& study, std::size_t piece, std::string name, std::size_t strip, Path shape, Path rough,
             std::optional<double> fibre_rad = std::nullopt) const {
        SawnPart part{piece,
                      std::move(name),
                      strip,
                      false,
                      std::move(shape),
                      std::move(rough),
                      std::max(margin(), strip > 0 && !fibre_rad ? job_.cutting.jointing_mm : 0.0),
                      fibre_rad.value_or(plan_.pieces[piece].grain_rad)};
        part.by_hand = laid_by_hand(part) != nullptr;
        study.parts.push_back(std::move(part));
    }

    /// Each as a blank, a rectangle along its chord.
    void add_segments(BoardsStudy& study, std::size_t piece) const {
        const SegmentedEdging& edging = *segmented(plan_, piece);
        const std::size_t count = edging.ring.segments.size();
        for (std::size_t k = 0; k < count; ++k) {
            const process::EdgingSegment& s = edging.ring.segments[k];
            Path shape = geometry::turned(segment_outline(s), {}, -s.fibre_rad);
            const Box box = geometry::bounding_box(shape);
            const Point ends{edging.wish.end_margin_mm - margin(), 0.0};
            add(study, piece, fmt::format("{}, segment {} of {}", plan_.pieces[piece].name, k + 1, count), k + 1,
                std::move(shape), geometry::rectangle(box.low - ends, box.high + ends), s.fibre_rad);
        }
    }

    /// How a piece is divided into strips where the maker has not said so.
    struct Division {
        enum class How { equal, widest_first, narrowest_first };
        How how = How::equal;
        std::size_t more = 0;  ///< strips than would do, of equal ones
    };

    /// Joints so that each of these boards gives all it has, one after the other.
    std::vector<double> joints_by_boards(const std::vector<std::size_t>& boards, const Box& box) const {
        const double around = std::max(margin(), job_.cutting.jointing_mm);
        std::vector<double> joints;
        double y = box.low.y;
        for (const std::size_t b : boards) {
            y += shelf_.boards[b].width_mm - 2.0 * around;
            if (y >= box.high.y - job_.cutting.narrowest_strip_mm) break;
            joints.push_back(y);
        }
        return joints;
    }

    static std::vector<double> in_equal_parts(const Box& box, double count) {
        std::vector<double> joints;
        for (double k = 1.0; k < count; k += 1.0) joints.push_back(box.low.y + box.height_mm() * k / count);
        return joints;
    }

    std::vector<double> joints_of(std::size_t piece, const Box& box, const Division& division) const {
        const double around = std::max(margin(), job_.cutting.jointing_mm);
        const job::Piece* asked = asked_of(job_, plan_.pieces[piece]);
        if (asked != nullptr && asked->strips > 1) return in_equal_parts(box, static_cast<double>(asked->strips));
        if (asked != nullptr && asked->from_boards.size() > 1) return joints_by_boards(boards_of(piece), box);
        std::vector<std::size_t> boards;
        for (const std::size_t b : boards_of(piece))
            if (shelf_.boards[b].length_mm >= box.width_mm() + 2.0 * margin()) boards.push_back(b);
        const auto width = [&](std::size_t b) { return shelf_.boards[b].width_mm; };
        if (division.how == Division::How::widest_first)
            std::stable_sort(boards.begin(), boards.end(), [&](auto a, auto b) { return width(a) > width(b); });
        if (division.how == Division::How::narrowest_first)
            std::stable_sort(boards.begin(), boards.end(), [&](auto a, auto b) { return width(a) < width(b); });
        if (division.how != Division::How::equal && !boards.empty()) return joints_by_boards(boards, box);
        const double takes = std::max(widest_of(piece) - 2.0 * around, job_.cutting.narrowest_strip_mm);
        return in_equal_parts(box, std::ceil(box.height_mm() / takes - 1e-9) + static_cast<double>(division.more));
    }

    void add_strips(BoardsStudy& study, std::size_t piece, std::vector<double> joints) const {
        const Path shape = lying(piece), longer = sawn(piece);
        const Box box = geometry::bounding_box(shape);
        auto heights = along_seams(seams_of(plan_, plan_.pieces[piece]));
        for (const double y : necks_of(shape, 3.0 * job_.cutting.narrowest_strip_mm)) heights.push_back(y);
        std::sort(heights.begin(), heights.end());
        GluedUp glued{piece, {}, {}};
        const double each = box.height_mm() / static_cast<double>(joints.size() + 1);
        for (double& y : joints) {
            y = moved_off(heights, y, job_.cutting.joint_from_seam_mm, 0.2 * each);
            glued.joints_mm.push_back(y - box.low.y);
            const double off = off_seams(heights, y);
            glued.off_seam_mm.push_back(std::isfinite(off) ? std::optional(off) : std::nullopt);
        }
        for (std::size_t k = 0; k <= joints.size(); ++k) {
            const double low = k == 0 ? box.low.y : joints[k - 1];
            const double high = k == joints.size() ? box.high.y : joints[k];
            const auto reach = reach_between(shape, low, high);
            const auto rough = reach_between(longer, low, high);
            if (!reach || !rough) continue;
            add(study, piece, fmt::format("{}, strip {} of {}", plan_.pieces[piece].name, k + 1, joints.size() + 1),
                k + 1, geometry::rectangle({reach->low, low}, {reach->high, high}),
                geometry::rectangle({rough->low, low}, {rough->high, high}));
        }
        study.glued_up.push_back(std::move(glued));
    }

    /// Where the maker laid the part.
    const job::Laid* laid_by_hand(const SawnPart& part) const {
        const job::Piece* asked = asked_of(job_, plan_.pieces[part.piece]);
        if (asked == nullptr) return nullptr;
        if (part.strip == 0) return asked->laid ? &*asked->laid : nullptr;
        for (const job::LaidStrip& strip : asked->laid_strips)
            if (strip.strip == part.strip) return &strip.laid;
        return nullptr;
    }

    std::optional<stock::Lie> laid(const SawnPart& part) const {
        const job::Laid* laid = laid_by_hand(part);
        if (laid == nullptr) return std::nullopt;
        for (std::size_t b = 0; b < shelf_.boards.size(); ++b) {
            if (shelf_.boards[b].name != laid->board) continue;
            stock::Lie lie{b, stock::turn_on(shelf_.boards[b], settings_), laid->turned, laid->over, {}};
            const Box box = geometry::bounding_box(lie.placed(part.shape));
            lie.shift = laid->at - geometry::midpoint(box.low, box.high);
            return lie;
        }
        return std::nullopt;
    }

    std::vector<stock::Item> items_of(const BoardsStudy& study) const {
        std::vector<stock::Item> items;
        for (const SawnPart& part : study.parts) {
            stock::Item item;
            item.name = part.name;
            item.species = plan_.pieces[part.piece].species;
            item.shape = part.shape;
            item.rough = part.rough;
            item.margin_mm = part.grown_mm;
            item.thickness_mm = plan_.thickness_mm;
            item.may_turn_over = job_.cutting.turn_over;
            item.clear_of_edge_mm = job_.cutting.defect_from_seam_mm;
            item.fixed = laid(part);
            const job::Piece* asked = asked_of(job_, plan_.pieces[part.piece]);
            if (asked != nullptr && !asked->from_boards.empty()) {
                const auto boards = boards_of(part.piece);
                const bool in_order = part.strip > 0 && part.strip <= boards.size();
                item.only_from = in_order ? std::vector{boards[part.strip - 1]} : boards;
            }
            items.push_back(std::move(item));
        }
        return items;
    }

    BoardsStudy with_strips(const std::vector<bool>& wide, const Division& division) {
        BoardsStudy study;
        for (std::size_t i = 0; i < plan_.pieces.size(); ++i) {
            if (segmented(plan_, i) != nullptr) {
                add_segments(study, i);
            } else if (wide[i]) {
                add_strips(study, i, joints_of(i, geometry::bounding_box(lying(i)), division));
            } else {
                add(study, i, plan_.pieces[i].name, 0, lying(i), sawn(i));
            }
        }
        study.placing = stock::place(items_of(study), shelf_.boards, settings_);
        return study;
    }

    /// Whether the heart side of a part lies up in the top; nothing where its board does not say.
    std::optional<bool> heart_up(const BoardsStudy& study, std::size_t part) const {
        const auto& lie = study.placing.lies[part];
        if (!lie || !shelf_.boards[lie->board].heart_up) return std::nullopt;
        return *shelf_.boards[lie->board].heart_up != lie->over;
    }

    /// Strips are rectangles: turned over in its place each lies where it lay.
    void turn_hearts(BoardsStudy& study) const {
        using Sides = job::Cutting::HeartSides;
        for (GluedUp& glued : study.glued_up) {
            std::optional<bool> before;
            for (std::size_t i = 0; i < study.parts.size(); ++i) {
                const SawnPart& part = study.parts[i];
                if (part.piece != glued.piece) continue;
                std::optional<bool> up = heart_up(study, i);
                const bool wanted = job_.cutting.heart_sides == Sides::match || !before || !*before;
                const bool free = job_.cutting.heart_sides != Sides::any && job_.cutting.turn_over && !part.by_hand;
                if (up && free && *up != wanted) {
                    stock::Lie& lie = *study.placing.lies[i];
                    const Box was = geometry::bounding_box(lie.placed(part.shape));
                    lie.over = !lie.over;
                    const Box is = geometry::bounding_box(lie.placed(part.shape));
                    lie.shift = lie.shift + (was.low - is.low);
                    up = wanted;
                }
                glued.heart_up.push_back(up);
                if (up) before = up;
            }
        }
    }

    void finish(BoardsStudy& study) const {
        turn_hearts(study);
        const auto items = items_of(study);
        for (std::size_t i = 0; i < items.size(); ++i) {
            study.wood_mm2 += std::abs(geometry::area_mm2(items[i].shape));
            if (!items[i].fixed) continue;
            for (const stock::Fault& fault : stock::faults_of(i, items, study.placing.lies, shelf_.boards, settings_))
                study.faults.push_back(told(fault, items[i], items));
        }
        for (const std::size_t b : study.placing.boards_used) {
            study.used_mm2 += std::abs(geometry::area_mm2(stock::outline_of(shelf_.boards[b])));
            add_offcuts(study, b);
        }
    }

    std::string told(const stock::Fault& fault, const stock::Item& item, const std::vector<stock::Item>& items) const {
        const std::string by = units::show(fault.by_mm, job_.style);
        using Kind = stock::Fault::Kind;
        switch (fault.kind) {
            case Kind::on_defect:
                return fmt::format("{}: a spot that must not be in it lies {} inside its edge.", item.name, by);
            case Kind::near_defect:
                return fmt::format("{}: a spot comes {} too near its edge.", item.name, by);
            case Kind::fibres_askew:
                return fmt::format("{}: fibres run more than {:.1f}° askew to it there.", item.name,
                                   settings_.grain_within_rad * geometry::degrees_per_radian);
            case Kind::on_other:
                return fmt::format("{} comes {} too near {}.", item.name, by, items[fault.other].name);
            default:
                return fmt::format("{} with the wood left around it reaches {} beyond its board.", item.name, by);
        }
    }

    void add_offcuts(BoardsStudy& study, std::size_t b) const {
        const shelf::Board& board = shelf_.boards[b];
        Box used{{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
        for (std::size_t i = 0; i < study.parts.size(); ++i) {
            const auto& lie = study.placing.lies[i];
            if (!lie || lie->board != b) continue;
            const Box box = study.parts[i].sawn(*lie);
            const double kerf = job_.cutting.kerf_mm;
            used.low = {std::min(used.low.x, box.low.x - kerf), std::min(used.low.y, box.low.y - kerf)};
            used.high = {std::max(used.high.x, box.high.x + kerf), std::max(used.high.y, box.high.y + kerf)};
        }
        constexpr double least_length_mm = 200.0, least_width_mm = 30.0;
        const auto keep = [&](double length, double width, Point at) {
            if (length >= least_length_mm && width >= least_width_mm) study.offcuts.push_back({b, length, width, at});
        };
        keep(board.length_mm - used.high.x, board.width_mm, {used.high.x, 0.0});
        keep(used.low.x, board.width_mm, {});
        const double from = std::max(used.low.x, 0.0);
        keep(used.high.x - used.low.x, board.width_mm - used.high.y, {from, used.high.y});
        keep(used.high.x - used.low.x, used.low.y, {from, 0.0});
    }

    const Plan& plan_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
    stock::Settings settings_;
};

}  // namespace

geometry::Box SawnPart::sawn(const stock::Lie& lie) const {
    const Box box = geometry::bounding_box(lie.placed(rough));
    const Point around{grown_mm, grown_mm};
    return {box.low - around, box.high + around};
}

std::size_t strips_of(const BoardsStudy& study, std::size_t piece) {
    for (const GluedUp& glued : study.glued_up)
        if (glued.piece == piece) return glued.joints_mm.size() + 1;
    return static_cast<std::size_t>(std::count_if(study.parts.begin(), study.parts.end(), [&](const SawnPart& part) {
        return part.piece == piece && part.strip > 0;
    }));
}

Point kept_on_board(const SawnPart& part, const shelf::Board& board, const stock::Lie& lie, double within_mm) {
    const Box box = part.sawn(lie);
    const auto back = [&](double low, double high, double most) {
        if (low < 0.0 && low > -within_mm) return -low;
        if (high > most && high < most + within_mm) return most - high;
        return 0.0;
    };
    return {back(box.low.x, box.high.x, board.length_mm), back(box.low.y, box.high.y, board.width_mm)};
}

std::optional<SawnPart> sawn_part(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf, std::size_t piece,
                                  std::size_t strip, std::size_t of) {
    return Study(plan, job, shelf, 0).part(piece, strip, of);
}

std::optional<BoardsStudy> study_boards(const Plan& plan, const job::Job& job, const shelf::Shelf& shelf,
                                        std::uint64_t effort) {
    if (shelf.boards.empty() || plan.pieces.empty()) return std::nullopt;
    return Study(plan, job, shelf, effort).study();
}

namespace words {
namespace {

/// Boards of that wood that plane to less than the top's thickness: with them it might do.
std::string told_thin(const std::string& species, const Plan& plan, const shelf::Shelf& shelf,
                      const units::LengthStyle& style) {
    std::string out;
    for (const shelf::Board& board : shelf.boards) {
        const double planes_to = board.planed_mm.value_or(board.thickness_mm);
        if (!stock::of_one_wood(board.species, species) || planes_to >= plan.thickness_mm) continue;
        out += fmt::format(" {} is too thin for it: it planes to {}, the top takes {}.", capitalised(board.name),
                           units::show(planes_to, style), units::show(plan.thickness_mm, style));
    }
    return out;
}

std::string told_missing(const stock::Unplaced& u, const BoardsStudy& study, const Plan& plan,
                         const shelf::Shelf& shelf, const units::LengthStyle& style) {
    using Why = stock::Unplaced::Why;
    const SawnPart& part = study.parts[u.item];
    const std::string& species = plan.pieces[part.piece].species;
    const std::string needs = units::show(u.needs_mm, style), most = units::show(u.most_mm, style);
    switch (u.why) {
        case Why::no_such_wood:
            return fmt::format("{}: there is no board of {} for it.", part.name, species);
        case Why::too_thin:
            return fmt::format("{}: the top is {} thick; the thickest board of its wood planes to {}.", part.name,
                               needs, most);
        case Why::too_short:
            return fmt::format("{}: it takes {} along the board; the longest of its wood has {}.", part.name, needs,
                               most);
        case Why::too_narrow:
            return fmt::format("{}: it takes {} across the board; the widest that is long enough has {}.", part.name,
                               needs, most);
        case Why::in_the_way:
            return fmt::format(
                "{}: the boards are large enough, but spots or curved edges leave no place of {} across.", part.name,
                needs);
        default:
            return fmt::format("{}: it would fit by itself, but the other pieces take that wood.{}", part.name,
                               told_thin(species, plan, shelf, style));
    }
}

/// Which way the strips' heart sides face, and whether that is as wished.
void tell_hearts(Told& told, const GluedUp& glued, const job::Cutting& cutting) {
    using Sides = job::Cutting::HeartSides;
    if (cutting.heart_sides == Sides::any) {
        told.lines.push_back(
            "Turn the heart side of every second strip down, or all up where the look asks for it "
            "(common practice).");
        return;
    }
    std::string sides;
    bool all_known = true, as_wished = true;
    for (std::size_t k = 0; k < glued.heart_up.size(); ++k) {
        const auto& up = glued.heart_up[k];
        sides += fmt::format("{}{}", k == 0 ? "" : ", ", !up ? "not noted" : *up ? "up" : "down");
        all_known = all_known && up;
        const auto& before = glued.heart_up[k == 0 ? 0 : k - 1];
        if (cutting.heart_sides == Sides::match) as_wished = as_wished && up.value_or(true);
        if (cutting.heart_sides == Sides::alternate && k > 0 && up && before) as_wished = as_wished && *up != *before;
    }
    told.lines.push_back(fmt::format("Heart sides, strip by strip from the lower edge: {}.", sides));
    if (!all_known)
        told.lines.push_back(
            "Note \"heart\" of the other boards as well: seen at the end, the rings are hollow toward it.");
    if (!as_wished)
        told.cautions.push_back(cutting.turn_over
                                    ? "A strip laid by hand keeps its side up, so they are not as wished."
                                    : "Boards may not be turned over in this job, so they are not as wished.");
}

}  // namespace

std::vector<Told> boards_text(const BoardsStudy& study, const Plan& plan, const job::Job& job,
                              const shelf::Shelf& shelf) {
    const units::LengthStyle& style = job.style;
    const auto show = [&](double mm) { return units::show(mm, style); };
    std::vector<Told> out;
    if (!study.placing.unplaced.empty() || !study.faults.empty()) {
        Told missing{"What does not fit", {}, {}};
        for (const auto& u : study.placing.unplaced)
            missing.cautions.push_back(told_missing(u, study, plan, shelf, style));
        for (const std::string& fault : study.faults) missing.cautions.push_back(fault);
        out.push_back(std::move(missing));
    }
    for (const std::size_t b : study.placing.boards_used) {
        const shelf::Board& board = shelf.boards[b];
        Told told{fmt::format("{}: {}, {} × {} × {}", board.name, board.species, show(board.length_mm),
                              show(board.width_mm), show(board.thickness_mm)),
                  {},
                  {}};
        std::vector<std::pair<double, std::string>> lines;
        for (std::size_t i = 0; i < study.parts.size(); ++i) {
            const auto& lie = study.placing.lies[i];
            if (!lie || lie->board != b) continue;
            const Box box = study.parts[i].sawn(*lie);
            std::string how;
            if (lie->turned) how += ", turned end for end";
            if (lie->over) how += ", face down";
            if (lie->turn_rad != 0.0)
                how += fmt::format(", askew by {:.1f}°", std::abs(lie->turn_rad) * geometry::degrees_per_radian);
            lines.emplace_back(box.low.x,
                               fmt::format("{}: saw {} × {}, {} from the left end and {} from the near edge{}.",
                                           study.parts[i].name, show(box.width_mm()), show(box.height_mm()),
                                           show(std::max(0.0, box.low.x)), show(std::max(0.0, box.low.y)), how));
        }
        std::stable_sort(lines.begin(), lines.end(), [](const auto& x, const auto& y) { return x.first < y.first; });
        for (auto& line : lines) told.lines.push_back(std::move(line.second));
        for (const Offcut& o : study.offcuts)
            if (o.board == b)
                told.lines.push_back(fmt::format("Left over: about {} × {}.", show(o.length_mm), show(o.width_mm)));
        out.push_back(std::move(told));
    }
    for (const GluedUp& glued : study.glued_up) {
        Told told{fmt::format("{}: glued up from {}", capitalised(plan.pieces[glued.piece].name),
                              times(glued.joints_mm.size() + 1, "strip", "strips")),
                  {},
                  {}};
        for (std::size_t k = 0; k < glued.joints_mm.size(); ++k) {
            std::string line = fmt::format("Joint {} lies {} from its lower edge", k + 1, show(glued.joints_mm[k]));
            const auto& off = glued.off_seam_mm[k];
            if (off && *off < job.cutting.joint_from_seam_mm) {
                told.cautions.push_back(line +
                                        fmt::format(", only {} off a seam that runs along it: the joint may show "
                                                    "through or chip where they meet.",
                                                    show(*off)));
            } else {
                told.lines.push_back(line + '.');
            }
        }
        told.lines.push_back(fmt::format("Joint each edge, {} off at the most.", show(job.cutting.jointing_mm)));
        tell_hearts(told, glued, job.cutting);
        out.push_back(std::move(told));
    }
    Told sum{"How good this is", {}, {}};
    const auto& placing = study.placing;
    if (!placing.boards_used.empty()) {
        sum.lines.push_back(fmt::format("{} started, {} of wood; the pieces are {:.0f} % of it.",
                                        times(placing.boards_used.size(), "board", "boards"),
                                        area_text(study.used_mm2, style.unit),
                                        100.0 * study.wood_mm2 / study.used_mm2));
        if (placing.by_price) sum.lines.push_back(fmt::format("They cost {:.2f} by your prices.", placing.cost));
        if (!placing.unplaced.empty()) {
            sum.lines.push_back("Nothing is said of what the rest might cost.");
        } else if (placing.proved) {
            sum.lines.push_back(study.glued_up.empty()
                                    ? "No other way of laying them starts less wood (proved)."
                                    : "With these joints no other way of laying them starts less wood (proved).");
        } else {
            sum.lines.push_back(
                fmt::format("At most {:.0f} % of {} could still be saved by another way of laying them.",
                            std::ceil(100.0 * placing.gap()), placing.by_price ? "that" : "the wood"));
        }
    }
    sum.lines.push_back("Saw outside the line: the template is laid on the rough piece and the router takes the rest.");
    out.push_back(std::move(sum));
    return out;
}

Told sawing_text(const Plan& plan, const job::Job& job) {
    const auto show = [&](double mm) { return units::show(mm, job.style); };
    Told out{"Sawing the pieces roughly", {}, {}};
    // A saw of the usual size, a blade of 160 mm with 0.3 mm free beside it (common practice, from memory).
    constexpr double blade_mm = 80.0, free_mm = 0.3;
    const double deep = plan.milled_mm + 3.0;
    for (const SeamPlan& seam : plan.seams) {
        double tightest = HUGE_VAL;
        bool sawn = false;
        for (const TemplatePlan& t : seam.templates) {
            if (t.rough_cut.empty()) continue;
            sawn = true;
            const seam::TightestTurns turns = seam::tightest_turns(t.rough_cut);
            tightest = std::min({tightest, turns.left_mm, turns.right_mm});
        }
        if (!sawn) continue;
        std::string line = std::isfinite(tightest) && tightest < 1e5
                               ? fmt::format("{}: the saw line bends to a radius of {} at the tightest",
                                             capitalised(seam.name), show(tightest))
                               : fmt::format("{}: the saw line is all but straight", capitalised(seam.name));
        const auto blade = process::widest_blade(tightest);
        if (!blade) {
            line += ": too tight for any band-saw blade; nibble it away in straight cuts.";
        } else {
            line += fmt::format("; a band-saw blade of up to {} follows it", show(blade->width_mm));
            line += process::jigsaw_radius_mm(plan.milled_mm) <= tightest ? ", and a jigsaw" : ", a jigsaw does not";
            const bool circular =
                blade_mm > deep && process::circular_saw_radius_mm(blade_mm, deep, free_mm) <= tightest;
            line += circular ? ", even a circular saw of the usual size." : ".";
        }
        if (seam.in_wood.closed)
            line +=
                " Into the hole of the outer piece no band saw comes: drill a hole in the waste and saw it with a "
                "jigsaw.";
        out.lines.push_back(std::move(line));
    }
    if (out.lines.empty()) return out;
    out.lines.push_back("Blade widths and bends are common practice, from memory: try yours on waste first.");
    out.cautions.push_back(
        "Saw with the waste outside and both hands clear of the line; keep the guard down to the wood. "
        "What the maker of your saw says comes first.");
    return out;
}

}  // namespace words
}  // namespace seamwright::plan
