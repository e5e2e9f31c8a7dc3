#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plan/build_up_study.h"
#include "plan/rough_cut_study.h"
#include "plan/words.h"

namespace seamwright::plan::words {
namespace {

class Teller {
  public:
    Teller(const BuildUpStudy& study, const Plan& plan, const job::Job& job, const shelf::Shelf& shelf)
        : study_(study), plan_(plan), job_(job), shelf_(shelf) {}

    std::vector<Told> all() const {
        std::vector<Told> out;
        Told what{"Building up the edge", {}, {}};
        what.lines.push_back(fmt::format(
            "{} wide and {} thick, from the top's own offcuts: {}. Blanks are {} larger all round, flushed after "
            "gluing.",
            show(study_.width_mm), show(study_.thickness_mm), times(study_.parts.size(), "part", "parts"),
            show(study_.allowance_mm)));
        if (study_.ring)
            what.lines.emplace_back("The fibres of each part follow its segment above, not those of the field.");
        else
            what.lines.emplace_back("All fibres lie as in the wood above, so that both move alike through the year.");
        const auto curved =
            std::any_of(study_.edges.begin(), study_.edges.end(), [](const BuildUpEdgeLine& e) { return e.curved; });
        if (curved)
            what.lines.emplace_back(
                "Under a curve each part is wider than the build-up by the rise of its arc; its ends are sawn square "
                "to the edge, at a corner on its mitre. Saw outside to the line after gluing.");
        for (const std::string& must : study_.must) what.cautions.push_back(must);
        for (const std::string& mind : study_.mind) what.lines.push_back(mind);
        out.push_back(std::move(what));
        for (std::size_t e = 0; e < study_.edges.size(); ++e)
            if (Told told = edge(e); !told.lines.empty()) out.push_back(std::move(told));
        out.push_back(wood());
        return out;
    }

  private:
    std::string show(double mm) const { return units::show(mm, job_.style); }

    Told edge(std::size_t e) const {
        const BuildUpEdgeLine& line = study_.edges[e];
        Told out{fmt::format("Build-up, {}", line.name), {}, {}};
        for (std::size_t i = 0; i < study_.parts.size(); ++i) {
            const BuildUpPiece& part = study_.parts[i];
            if (part.edge != e) continue;
            std::string text = fmt::format("{}. {}: blank {} × {}", i + 1, build_up_place(part, study_, plan_, job_),
                                           show(part.along_mm), show(part.across_mm));
            if (part.rise_mm > 0.05) text += fmt::format(", rise {}", show(part.rise_mm));
            constexpr double square_rad = 0.05 / geometry::degrees_per_radian;
            if (std::abs(part.start_lean_rad) > square_rad || std::abs(part.end_lean_rad) > square_rad)
                text += fmt::format(", ends {} and {}", off_square(part.start_lean_rad, true),
                                    off_square(part.end_lean_rad, false));
            out.lines.push_back(text + "; " + build_up_source(part, shelf_, job_) + '.');
        }
        if (out.lines.empty()) return out;
        const bool floats = std::any_of(study_.parts.begin(), study_.parts.end(),
                                        [&](const BuildUpPiece& p) { return p.edge == e && p.floating; });
        if (!line.seams.empty() && !floats) {
            std::string places;
            for (const auto& seam : line.seams)
                places += fmt::format("{}{} at {}", places.empty() ? "" : "; ", plan_.seams[seam.seam].name,
                                      show(seam.at_mm));
            out.lines.push_back(
                fmt::format("Seams meet this edge: {}. Parts end there too, along the line of the seam.", places));
        }
        out.lines.push_back(fmt::format("Places are measured along the edge from {}.", starts_at(line)));
        return out;
    }

    std::string starts_at(const BuildUpEdgeLine& line) const {
        if (line.name == "front") return "its left end";
        if (line.name == "back") return "its right end";
        if (line.name == "right end") return "the front";
        if (line.name == "left end") return "the back";
        return fmt::format("the {} of the top, counter-clockwise seen from above",
                           line.line.empty() ? "start" : end_name(line.line.start(), plan_));
    }

    /// Longer or shorter outside than inside.
    static std::string off_square(double lean_rad, bool starts) {
        const double degrees = std::abs(lean_rad) * geometry::degrees_per_radian;
        if (degrees < 0.05) return "square";
        const bool longer_outside = (lean_rad > 0.0) == starts;
        return fmt::format("{:.1f}° off square (longer {})", degrees, longer_outside ? "outside" : "inside");
    }

    Told wood() const {
        Told out{"Wood for the build-up, and gluing it on", {}, {}};
        if (!study_.from_boards)
            out.lines.emplace_back("List the boards on the shelf to learn which offcut each part comes from.");
        for (const Offcut& o : study_.left)
            out.lines.push_back(fmt::format("Then left of {}: about {} × {}, {} from its left end.",
                                            shelf_.boards[o.board].name, show(o.length_mm), show(o.width_mm),
                                            show(o.at.x)));
        for (const auto& l : study_.lacking) {
            std::string numbers;
            for (const std::size_t i : l.parts) numbers += fmt::format("{}{}", numbers.empty() ? "" : ", ", i + 1);
            const std::string board =
                fmt::format("{} of {}, {} × {} in all, one after the other", times(l.parts.size(), "blank", "blanks"),
                            l.species, show(l.length_mm), show(l.width_mm));
            if (study_.from_boards)
                out.cautions.push_back(fmt::format(
                    "The offcuts do not hold part {}: find {}, as like in colour as you can, or buy the boards so much "
                    "longer.",
                    numbers, board));
            else
                out.lines.push_back(fmt::format("Needed: {}.", board));
        }
        out.lines.push_back(fmt::format("Glued: {}.", area_text(study_.glue_mm2, job_.style.unit)));
        const auto any = [&](auto is) { return std::any_of(study_.parts.begin(), study_.parts.end(), is); };
        if (any([](const BuildUpPiece& p) { return p.end_grain; }))
            out.lines.emplace_back(
                "End-grain parts: fold each under like a page, so that the face at the edge is the one next to the saw "
                "cut; or slide it under as it lies. Do all of an end the same way. Draw a triangle across them before "
                "they are sawn apart.");
        if (any([](const BuildUpPiece& p) { return !p.end_grain && !p.floating; }) && !study_.ring)
            out.lines.emplace_back(
                "Long-grain parts: turn each over under the edge beside which it grew, so that colour and grain go on "
                "round the edge.");
        if (any([](const BuildUpPiece& p) { return p.floating; }))
            out.lines.push_back(fmt::format(
                "The long piece under an end is held fast in its middle only and {} shorter at both its ends: the "
                "strips beside it come nearer when the top shrinks. Its slots are told with the movement of the top.",
                show(study_.room_mm)));
        out.cautions.emplace_back(
            "Short parts are held in a jig or cut off a longer piece, never by hand near a blade. What the maker of "
            "your saw says comes first.");
        return out;
    }

    const BuildUpStudy& study_;
    const Plan& plan_;
    const job::Job& job_;
    const shelf::Shelf& shelf_;
};

}  // namespace

std::string build_up_name(const BuildUpPiece& part, const Plan& plan) {
    const std::string& name = plan.pieces[part.piece].name;
    return part.strip == 0 ? name : fmt::format("{}, strip {}", name, part.strip);
}

std::string build_up_place(const BuildUpPiece& part, const BuildUpStudy& study, const Plan& plan, const job::Job& job) {
    const auto show = [&](double mm) { return units::show(mm, job.style); };
    const char* how = part.floating ? "one long piece that floats" : part.end_grain ? "end grain" : "long grain";
    const std::string where = fmt::format("{} to {}", show(part.from_mm), show(part.to_mm));
    if (part.floating) return fmt::format("{}, of {}, {}", how, plan.pieces[part.piece].species, where);
    return fmt::format("under {}, {}, {}", build_up_name(part, plan), study.ring ? "a segment" : how, where);
}

std::string build_up_source(const BuildUpPiece& part, const shelf::Shelf& shelf, const job::Job& job) {
    if (!part.source) return "no offcut holds it";
    const auto show = [&](double mm) { return units::show(std::max(0.0, mm), job.style); };
    const BuildUpSource& source = *part.source;
    const char* how = "";
    using Where = BuildUpSource::Where;
    switch (source.where) {
        case Where::cut_off:
            how = "from the end that is cut off the piece itself";
            break;
        case Where::beyond_end:
            how = "next to that end of the piece";
            break;
        case Where::beside:
            how = "beside the piece, at the same place along it";
            break;
        case Where::in_line:
            how = "of the same board, in line with the place it goes under";
            break;
        case Where::same_board:
            how = "of the same board";
            break;
        case Where::same_wood:
            how = "of that wood";
            break;
        case Where::other_board:
            how = "of another board of that wood: lay it against the top for colour first";
            break;
    }
    return fmt::format("{}, {} from its left end and {} from its near edge, {}", shelf.boards[source.board].name,
                       show(source.blank.low.x), show(source.blank.low.y), how);
}

std::vector<Told> build_up_text(const BuildUpStudy& study, const Plan& plan, const job::Job& job,
                                const shelf::Shelf& shelf) {
    return Teller(study, plan, job, shelf).all();
}

}  // namespace seamwright::plan::words
