#include "plan/finished_look.h"

#include <fmt/format.h>

#include <algorithm>

#include "plan/edging_study.h"
#include "plan/wood_look.h"
#include "plan/words.h"
#include "wood_figure.h"

namespace seamwright::plan {
namespace {

using geometry::Box;

/// Strips reach past their piece by this much, so that no sliver of it is left out.
constexpr double beyond_mm = 5.0;

BoardOnTop from_map(const std::function<Point(Point)>& map) {
    const Point origin = map({0.0, 0.0});
    return {origin, map({1.0, 0.0}) - origin, map({0.0, 1.0}) - origin};
}

Point turned(Point p, double angle_rad) {
    const Point along = geometry::unit(angle_rad);
    return p.x * along + p.y * geometry::left_of(along);
}

/// The way back from a board to a piece as it lies along its fibres (stock::Lie::placed), and on to the top.
BoardOnTop laid_back(const stock::Lie& lie, double grain_rad) {
    return from_map([&](Point on_board) {
        const Point p = turned(on_board - lie.shift, -(lie.turn_rad + (lie.turned ? geometry::pi : 0.0)));
        return turned(lie.over ? Point{p.x, -p.y} : p, grain_rad);
    });
}

/// The part of a board that a patch shows.
Box seen_of(const LookPatch& patch) {
    const Path& shape = patch.within ? *patch.within : patch.clip.front();
    // along and across are a turn, perhaps mirrored: their transpose leads back.
    Box seen;
    constexpr double sag_mm = 1.0;
    for (const Point p : geometry::chords(shape, sag_mm)) {
        const Point d = p - patch.lies.origin;
        seen.add(Point{geometry::dot(d, patch.lies.along), geometry::dot(d, patch.lies.across)});
    }
    return seen.grown(sag_mm);
}

/// The stretches of a straight line that lie in a region.
std::vector<Path> inside(const Path& line, const geometry::Region& region) {
    const geometry::Segment& whole = line.segments.front();
    std::vector<double> cuts{0.0, 1.0};
    const auto add = [&](const Path& edge) {
        for (const geometry::Segment& s : edge.segments)
            for (const auto& c : geometry::crossings(whole, s)) cuts.push_back(std::clamp(c.u, 0.0, 1.0));
    };
    add(region.outer);
    for (const Path& hole : region.holes) add(hole);
    std::sort(cuts.begin(), cuts.end());
    std::vector<Path> out;
    for (std::size_t k = 0; k + 1 < cuts.size(); ++k) {
        if (!(cuts[k] < cuts[k + 1])) continue;
        if (!geometry::contains(region, geometry::point_at(whole, 0.5 * (cuts[k] + cuts[k + 1])))) continue;
        out.push_back({{geometry::part(whole, cuts[k], cuts[k + 1])}, false});
    }
    return out;
}

class Look {
  public:
    Look(const Plan& plan, const shelf::Shelf& shelf, const BoardsStudy* boards,
         const std::function<bool(const std::string&)>& may_use)
        : plan_(plan), shelf_(shelf), boards_(boards), may_use_(may_use) {}

    FinishedLook look() {
        if (boards_ != nullptr) {
            for (std::size_t i = 0; i < boards_->parts.size(); ++i) add_part(i);
        } else {
            for (std::size_t i = 0; i < plan_.pieces.size(); ++i) add_whole(i);
        }
        for (const SeamPlan& seam : plan_.seams)
            if (!seam.in_wood.empty()) out_.seams.push_back(seam.in_wood);
        out_.outline = plan_.outline;
        out_.box = plan_.box;
        return std::move(out_);
    }

  private:
    LookPatch begin(std::size_t piece, const std::string& name) const {
        const PiecePlan& of = plan_.pieces[piece];
        LookPatch patch;
        patch.piece = piece;
        patch.name = name;
        patch.clip.push_back(of.region.outer);
        patch.clip.insert(patch.clip.end(), of.region.holes.begin(), of.region.holes.end());
        const WoodTone tone = tone_of(wood_look(of.species));
        patch.ground = tone.ground;
        patch.line = tone.line;
        return patch;
    }

    /// On a board of its own that is as large as it is.
    void lay_on_none(LookPatch& patch, const Path& lying, double grain_rad) const {
        const Box box = geometry::bounding_box(lying);
        shelf::Board board;
        board.length_mm = patch.length_mm = box.width_mm();
        board.width_mm = patch.width_mm = box.height_mm();
        patch.lies = from_map([&](Point p) { return turned(p + box.low, grain_rad); });
        patch.figure = wood_figure(fmt::format("{} {}", patch.piece, patch.name), board, seen_of(patch));
    }

    void add_whole(std::size_t piece) {
        if (const SegmentedEdging* edging = segmented(plan_, piece)) {
            for (std::size_t k = 0; k < edging->ring.segments.size(); ++k) {
                const auto& s = edging->ring.segments[k];
                LookPatch patch = begin(piece, fmt::format("{}, segment {}", plan_.pieces[piece].name, k + 1));
                as_segment(patch, s);
                lay_on_none(patch, geometry::turned(segment_outline(s), {}, -s.fibre_rad), s.fibre_rad);
                out_.patches.push_back(std::move(patch));
            }
            return;
        }
        LookPatch patch = begin(piece, plan_.pieces[piece].name);
        const double grain_rad = plan_.pieces[piece].grain_rad;
        lay_on_none(patch, geometry::turned(plan_.pieces[piece].region.outer, {}, -grain_rad), grain_rad);
        out_.patches.push_back(std::move(patch));
    }

    static void as_segment(LookPatch& patch, const process::EdgingSegment& segment) {
        patch.within = segment_outline(segment);
        patch.joints = {geometry::polyline(std::vector<Point>{segment.outer.end(), segment.joint_to})};
    }

    void add_part(std::size_t i) {
        const SawnPart& part = boards_->parts[i];
        LookPatch patch = begin(part.piece, part.name);
        const double grain_rad = part.fibre_rad;
        if (const SegmentedEdging* edging = segmented(plan_, part.piece)) {
            as_segment(patch, edging->ring.segments[part.strip - 1]);
        } else if (part.strip > 0) {
            const auto same = [&](std::size_t k) {
                return k < boards_->parts.size() && boards_->parts[k].piece == part.piece;
            };
            Box box = geometry::bounding_box(part.shape);
            const bool last = !same(i + 1);
            if (!last) {
                const Point a{box.low.x - beyond_mm, box.high.y}, b{box.high.x + beyond_mm, box.high.y};
                patch.joints = inside(geometry::turned(geometry::polyline(std::vector<Point>{a, b}), {}, grain_rad),
                                      plan_.pieces[part.piece].region);
            }
            if (i == 0 || !same(i - 1)) box.low.y -= beyond_mm;
            if (last) box.high.y += beyond_mm;
            box.low.x -= beyond_mm;
            box.high.x += beyond_mm;
            patch.within = geometry::turned(geometry::rectangle(box.low, box.high), {}, grain_rad);
        }
        const auto& lie = boards_->placing.lies[i];
        if (!lie) {
            lay_on_none(patch, part.shape, grain_rad);
        } else {
            const shelf::Board& board = shelf_.boards[lie->board];
            patch.board = lie->board;
            patch.other_face = lie->over;
            patch.lies = laid_back(*lie, grain_rad);
            patch.length_mm = board.length_mm;
            patch.width_mm = board.width_mm;
            if (!board.picture.empty() && may_use_(board.picture)) {
                patch.picture = board.picture;
            } else {
                patch.figure = wood_figure(board.name, board, seen_of(patch));
            }
        }
        out_.patches.push_back(std::move(patch));
    }

    const Plan& plan_;
    const shelf::Shelf& shelf_;
    const BoardsStudy* boards_;
    const std::function<bool(const std::string&)>& may_use_;
    FinishedLook out_;
};

}  // namespace

FinishedLook finished_look(const Plan& plan, const shelf::Shelf& shelf, const BoardsStudy* boards,
                           const std::function<bool(const std::string& picture)>& may_use) {
    return Look(plan, shelf, boards, may_use).look();
}

std::vector<std::string> words::finished_look_text(const FinishedLook& look) {
    std::vector<std::string> drawn, mirrored;
    for (const LookPatch& patch : look.patches) {
        if (patch.picture.empty()) drawn.push_back(patch.name);
        if (!patch.picture.empty() && patch.other_face) mirrored.push_back(patch.name);
    }
    const auto list = [](const std::vector<std::string>& names) {
        std::string out;
        for (std::size_t i = 0; i < names.size(); ++i)
            out += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
        return out;
    };
    std::vector<std::string> said;
    if (!drawn.empty() && drawn.size() == look.patches.size()) {
        said.emplace_back("The figure is drawn, not photographed: your wood will look different.");
    } else if (!drawn.empty()) {
        said.push_back(fmt::format("Drawn, not photographed, because the board has no picture that can be shown: {}.",
                                   list(drawn)));
    }
    if (!mirrored.empty()) {
        said.push_back(
            fmt::format("Face down on the board: {}. What is shown is the board's other face, mirrored; the "
                        "face that will be seen may look different.",
                        list(mirrored)));
    }
    return said;
}

}  // namespace seamwright::plan
