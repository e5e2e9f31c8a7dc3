#include "cut_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "plan/edging_study.h"
#include "units/length.h"

namespace seamwright::paper {
namespace {

/// RFC 4180: in quotes where it holds a comma, a quote or a line end.
std::string quoted(const std::string& text) {
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"') out += '"';
        out += c;
    }
    return out + '"';
}

}  // namespace

std::vector<CutLine> cut_list(const JobStudies& s) {
    struct Sorted {
        std::size_t board;
        double x, y;
        CutLine line;
    };
    std::vector<Sorted> all;
    if (s.boards) {
        for (std::size_t i = 0; i < s.boards->parts.size(); ++i) {
            const plan::SawnPart& part = s.boards->parts[i];
            const auto& lie = s.boards->placing.lies[i];
            const Box box = part.sawn(lie.value_or(stock::Lie{}));
            CutLine line{part.name,
                         s.plan.pieces[part.piece].species,
                         {},
                         box.width_mm(),
                         box.height_mm(),
                         s.plan.thickness_mm,
                         std::nullopt,
                         false,
                         false};
            if (!lie) {
                all.push_back({s.shelf.boards.size(), 0.0, 0.0, std::move(line)});
                continue;
            }
            line.board = s.shelf.boards[lie->board].name;
            line.from = Point{std::max(0.0, box.low.x), std::max(0.0, box.low.y)};
            line.turned = lie->turned;
            line.over = lie->over;
            all.push_back({lie->board, box.low.x, box.low.y, std::move(line)});
        }
    } else {
        for (const plan::RoughPiece& rough : s.rough.pieces) {
            const plan::PiecePlan& piece = s.plan.pieces[rough.piece];
            if (const plan::SegmentedEdging* edging = plan::segmented(s.plan, rough.piece)) {
                const auto& segments = edging->ring.segments;
                for (std::size_t k = 0; k < segments.size(); ++k) {
                    CutLine line{fmt::format("{}, segment {} of {}", piece.name, k + 1, segments.size()),
                                 piece.species,
                                 {},
                                 segments[k].board_length_mm,
                                 segments[k].board_width_mm,
                                 s.plan.thickness_mm,
                                 std::nullopt,
                                 false,
                                 false};
                    all.push_back({0, 0.0, 0.0, std::move(line)});
                }
                continue;
            }
            all.push_back({0, 0.0, 0.0,
                           CutLine{piece.name,
                                   piece.species,
                                   {},
                                   rough.length_mm,
                                   rough.width_mm,
                                   s.plan.thickness_mm,
                                   std::nullopt,
                                   false,
                                   false}});
        }
    }
    if (s.build_up != nullptr) {
        for (std::size_t i = 0; i < s.build_up->parts.size(); ++i) {
            const plan::BuildUpPiece& part = s.build_up->parts[i];
            CutLine line{fmt::format("build-up {}, {}", i + 1, s.build_up->edges[part.edge].name),
                         s.plan.pieces[part.piece].species,
                         {},
                         part.along_mm,
                         part.across_mm,
                         s.build_up->thickness_mm,
                         std::nullopt,
                         false,
                         false,
                         plan::words::build_up_place(part, *s.build_up, s.plan, s.job)};
            if (!part.source) {
                all.push_back({s.shelf.boards.size(), 0.0, 0.0, std::move(line)});
                continue;
            }
            const Box& blank = part.source->blank;
            line.board = s.shelf.boards[part.source->board].name;
            line.from = Point{std::max(0.0, blank.low.x), std::max(0.0, blank.low.y)};
            all.push_back({part.source->board, blank.low.x, blank.low.y, std::move(line)});
        }
    }
    std::stable_sort(all.begin(), all.end(), [](const Sorted& a, const Sorted& b) {
        return std::tie(a.board, a.x, a.y) < std::tie(b.board, b.x, b.y);
    });
    std::vector<CutLine> out;
    for (Sorted& sorted : all) out.push_back(std::move(sorted.line));
    return out;
}

std::string cut_list_csv(const JobStudies& s) {
    std::string out =
        "part,wood,board,length,width,thickness,length_mm,width_mm,thickness_mm,from_left_end,from_near_edge,lies,"
        "place\r\n";
    const auto show = [&](double mm) { return quoted(units::show(mm, s.plan.style)); };
    for (const CutLine& line : cut_list(s)) {
        std::string lies = line.turned ? "turned end for end" : "";
        if (line.over) lies += lies.empty() ? "face down" : " and face down";
        out += fmt::format("{},{},{},{},{},{},{:.1f},{:.1f},{:.1f},{},{},{},{}\r\n", quoted(line.part),
                           quoted(line.species), quoted(line.board), show(line.length_mm), show(line.width_mm),
                           show(line.thickness_mm), line.length_mm, line.width_mm, line.thickness_mm,
                           line.from ? show(line.from->x) : std::string(),
                           line.from ? show(line.from->y) : std::string(), lies, quoted(line.place));
    }
    return out;
}

}  // namespace seamwright::paper
