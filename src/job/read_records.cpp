#include <fmt/format.h>

#include "parts.h"

namespace seamwright::job {
namespace {

shelf::RimStretch read_rim_stretch(Checker& checker, const Node& node) {
    const Group group(checker, node, {"from_degrees", "to_degrees", "feed", "seen"});
    shelf::RimStretch stretch;
    const auto angle = [&](std::string_view name, std::string_view what, double& into) {
        const auto there = group.need(name, what);
        if (there && read_number(checker, *there, ranges::whole_turn_degrees, "degrees round the rim"))
            into = read_angle(checker, *there).value_or(0.0);
    };
    angle("from_degrees", "where the stretch begins, in degrees from the fibres, counter-clockwise", stretch.from_rad);
    angle("to_degrees", "where the stretch ends", stretch.to_rad);
    if (const auto feed = group.find("feed"))
        stretch.climb = read_choice(checker, *feed, {"conventional", "climb"}) == "climb";
    if (const auto seen = group.need("seen", "how the rim looks there: clean, fuzzy or torn")) {
        const auto choice = read_choice(checker, *seen, {"clean", "fuzzy", "torn"});
        for (const auto s : {shelf::RimSeen::clean, shelf::RimSeen::fuzzy, shelf::RimSeen::torn})
            if (choice == name_of(s)) stretch.seen = s;
    }
    return stretch;
}

void name_at(Checker& checker, const Group& group, std::string_view member, std::string& into) {
    if (const auto node = group.find(member)) into = read_name(checker, *node).value_or("");
}

void number_at(Checker& checker, const Group& group, std::string_view member, Range range, std::string_view of_what,
               std::optional<double>& into) {
    if (const auto node = group.find(member)) into = read_number(checker, *node, range, of_what);
}

}  // namespace

std::string read_wood(Checker& checker, const Group& group) {
    const auto species = group.need("species", "the wood, such as \"Walnut, black\"");
    const auto name = species ? read_name(checker, *species) : std::nullopt;
    if (name && shelf::find_species(*name) == nullptr) {
        checker.warning(*species, fmt::format("{}, which is not in the tables", quote(*name)),
                        "a species of data/mechanical.csv",
                        fmt::format("write \"{}\" if that is what is meant", shelf::nearest_species(*name)));
    }
    return name.value_or("");
}

std::vector<shelf::Disc> read_discs(Checker& checker, const Node& node) {
    std::vector<shelf::Disc> out;
    for (const Node& item : read_list(checker, node, ranges::most_discs)) {
        const Group group(checker, item, {"species", "on", "cutter_diameter", "side_cut", "on_table", "rim"});
        shelf::Disc disc;
        disc.species = read_wood(checker, group);
        name_at(checker, group, "on", disc.on);
        group.length("cutter_diameter", ranges::cutter_diameter_mm, disc.cutter_mm);
        group.length("side_cut", ranges::side_cut_mm, disc.side_cut_mm);
        group.flag("on_table", disc.on_table);
        if (const auto rim = group.find("rim")) {
            for (const Node& stretch : read_list(checker, *rim, ranges::most_rim_stretches))
                disc.rim.push_back(read_rim_stretch(checker, stretch));
        }
        out.push_back(std::move(disc));
    }
    return out;
}

std::vector<shelf::WorkDone> read_work_done(Checker& checker, const Node& node) {
    std::vector<shelf::WorkDone> out;
    for (const Node& item : read_list(checker, node, ranges::most_work_done)) {
        const Group group(checker, item,
                          {"job", "step", "on", "usual_minutes", "hours", "guide", "cutter", "gap", "gap_told",
                           "offset", "offset_told", "system", "area_m2", "litres", "litres_told", "note"});
        shelf::WorkDone done;
        if (group.need("job", "the name of the job")) name_at(checker, group, "job", done.job);
        if (group.need("step", "which step it was, as the shop plan calls it"))
            name_at(checker, group, "step", done.step);
        if (group.need("on", "the day, such as 2026-12-07")) name_at(checker, group, "on", done.on);
        number_at(checker, group, "usual_minutes", ranges::minutes, "minutes", done.usual_min);
        number_at(checker, group, "hours", ranges::hours, "hours", done.hours);
        name_at(checker, group, "guide", done.guide);
        name_at(checker, group, "cutter", done.cutter);
        group.length("gap", ranges::gap_found_mm, done.gap_mm);
        group.length("gap_told", ranges::gap_found_mm, done.gap_told_mm);
        group.length("offset", ranges::offset_found_mm, done.offset_mm);
        group.length("offset_told", ranges::offset_found_mm, done.offset_told_mm);
        name_at(checker, group, "system", done.system);
        number_at(checker, group, "area_m2", ranges::area_m2, "square metres finished", done.area_m2);
        number_at(checker, group, "litres", ranges::litres, "litres of finish", done.litres);
        number_at(checker, group, "litres_told", ranges::litres, "litres of finish", done.litres_told);
        if (const auto note = group.find("note")) done.note = read_note(checker, *note).value_or("");
        out.push_back(std::move(done));
    }
    return out;
}

}  // namespace seamwright::job
