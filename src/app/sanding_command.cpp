#include "sanding_command.h"

#include <fmt/format.h>

#include <ostream>

#include "app/plain_text.h"
#include "app/write_files.h"
#include "paper/papers.h"
#include "refuse.h"

namespace seamwright::app {
namespace {

std::string spots_table(const std::vector<curves::Spot>& spots, const plan::Plan& plan, bool sanding) {
    std::vector<std::vector<std::string>> rows{
        {"from", "to", sanding ? "deepest at" : "top at", sanding ? "take off" : "height", sanding ? "" : "what"}};
    const auto length = [&](double mm) { return units::show(mm, plan.style); };
    for (const curves::Spot& spot : spots) {
        std::string what = sanding ? "" : spot.height_mm > 0.0 ? "high" : "low";
        if (spot.felt) what += what.empty() ? "a hand feels it" : ", a hand feels it";
        if (spot.uncertain) what += what.empty() ? "uncertain, near an end" : ", uncertain, near an end";
        rows.push_back({length(spot.from_mm), length(spot.to_mm), length(spot.at_mm),
                        units::show_thin(std::abs(spot.height_mm), plan.style.unit), what});
    }
    return table("    ", rows);
}

std::string seam_text(const plan::SeamPlan& seam, const plan::Plan& plan) {
    const plan::MadePlan& made = *seam.as_made;
    std::string text = wrapped(
        "", printable(fmt::format("Seam \"{}\", {} template, measured along {}", seam.name,
                                  made.template_on_left ? "left" : "right", units::show(made.length_mm, plan.style))));
    text += wrapped("  ", printable(made.verdict));
    if (!made.made.map.spots.empty()) {
        text += wrapped("  ", "High and low, from where the seam enters the wood:");
        text += spots_table(made.made.map.spots, plan, false);
    }
    if (!made.made.sanding.spots.empty()) {
        text += wrapped("  ", "To sand, nothing filled:");
        text += spots_table(made.made.sanding.spots, plan, true);
        text += wrapped("    ! ",
                        "Sanding dust harms the lungs: extraction and a mask. Sand with a long flexible block, "
                        "measure again, and copy anew what was copied before.");
    }
    return text;
}

}  // namespace

Exit tell_sanding(const plan::Plan& plan, const SandingWish& wish, std::ostream& out, std::ostream& err) {
    std::string text, known;
    std::vector<paper::Drawing> maps;
    bool seam_there = false;
    for (const plan::SeamPlan& seam : plan.seams) {
        seam_there = seam_there || seam.name == wish.seam;
        if (!seam.as_made) continue;
        known += (known.empty() ? "" : ", ") + seam.name;
        if (!wish.seam.empty() && seam.name != wish.seam) continue;
        if (!text.empty()) text += '\n';
        text += seam_text(seam, plan);
        maps.push_back(paper::sanding_map(plan, seam));
    }
    if (maps.empty()) {
        const std::string reason = wish.seam.empty() ? "No template of this job was measured."
                                   : seam_there      ? fmt::format("The template of {} was not measured.", wish.seam)
                                                     : fmt::format("The job has no seam named {}.", wish.seam);
        return refuse(
            {reason, known.empty() ? "Put the readings of a dial gauge or feelers under \"as_made\" of the seam."
                                   : fmt::format("Measured: {}.", known)},
            Exit::bad_input, err);
    }
    if (!wish.output.empty()) {
        if (const auto why = write_file(wish.output, paper::tiled_pdf(maps, paper::tiling_for(plan.paper))))
            return refuse(*why, Exit::cannot_write, err);
        text += '\n' + wrapped("", printable(fmt::format("Written to {}.", wish.output)));
    }
    out << text;
    return Exit::good;
}

}  // namespace seamwright::app
