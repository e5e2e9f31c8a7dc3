#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "parts.h"

namespace seamwright::job {

namespace {

using shelf::Bearing;
using shelf::Cutter;
using shelf::Diameter;
using shelf::Guide;

/// Marked and measured size, under the name the kind of tool has for it.
bool read_diameter(Checker& checker, const Group& group, std::string_view name, Range range_mm, std::string_view what,
                   Diameter& into) {
    if (!group.need_length(name, range_mm, what, into.nominal_mm)) return false;
    const auto measured = group.find("measured");
    if (!measured) return true;
    into.measured_mm = read_length(checker, *measured, range_mm);
    if (into.measured_mm && std::abs(*into.measured_mm - into.nominal_mm) > ranges::surprising_wear_mm) {
        checker.warning(*measured, checker.say_mm(*into.measured_mm),
                        fmt::format("close to the marked size, {}", checker.say_mm(into.nominal_mm)),
                        "measure again, with callipers or by a test groove");
    }
    if (const auto within = group.find("measured_within"))
        into.measured_within_mm = read_length(checker, *within, ranges::tool_error_mm);
    return into.measured_mm.has_value();
}

std::optional<shelf::OffCentre> read_off_centre(Checker& checker, const Node& node) {
    const Group group(checker, node, {"x", "y", "within"});
    shelf::OffCentre off;
    const bool there =
        group.need_length("x", ranges::off_centre_mm, "how far the cutter lies to the right of the guide", off.x_mm) &&
        group.need_length("y", ranges::off_centre_mm, "how far it lies beyond it", off.y_mm);
    group.length("within", ranges::tool_error_mm, off.within_mm);
    return there ? std::optional(off) : std::nullopt;
}

std::vector<Guide> read_guides(Checker& checker, const Node& node, UsedNames& names) {
    std::vector<Guide> guides;
    for (const Node& item : read_list(checker, node, ranges::most_tools)) {
        const Group group(checker, item,
                          {"name", "outside", "measured", "measured_within", "barrel", "bore", "off_centre"});
        Guide guide;
        if (group.need_name("what the guide is called, such as \"30 mm guide\"", guide.name)) {
            names.add(checker, *group.find("name"), guide.name, "guide or bearing");
        }
        const bool sized = read_diameter(checker, group, "outside", ranges::rider_outside_mm,
                                         "the outside diameter of its barrel, such as 30", guide.outside);
        group.need_length("barrel", ranges::barrel_mm, "how far the barrel stands out below the base, such as 9",
                          guide.barrel_length_mm);
        if (const auto bore = group.find("bore")) {
            guide.bore_mm = read_length(checker, *bore, ranges::bore_mm);
            if (guide.bore_mm && sized && *guide.bore_mm >= guide.outside.real_mm()) {
                checker.error(*bore, checker.say_mm(*guide.bore_mm),
                              fmt::format("less than the outside, {}", checker.say_mm(guide.outside.real_mm())),
                              "measure inside and outside again; they may be swapped");
            }
        }
        if (const auto off = group.find("off_centre")) guide.off_centre = read_off_centre(checker, *off);
        guides.push_back(std::move(guide));
    }
    return guides;
}

std::vector<Bearing> read_bearings(Checker& checker, const Node& node, UsedNames& names) {
    std::vector<Bearing> bearings;
    for (const Node& item : read_list(checker, node, ranges::most_tools)) {
        const Group group(checker, item, {"name", "outside", "measured", "measured_within"});
        Bearing bearing;
        if (group.need_name("what the bearing is called, such as \"19 mm bearing\"", bearing.name)) {
            names.add(checker, *group.find("name"), bearing.name, "guide or bearing");
        }
        read_diameter(checker, group, "outside", ranges::rider_outside_mm, "the outside diameter, such as 19",
                      bearing.outside);
        bearings.push_back(std::move(bearing));
    }
    return bearings;
}

/// A cutter's `bearings`, checked once all bearings are known.
void read_fitting(Checker& checker, const Node& node, const std::vector<Bearing>& bearings, Cutter& cutter) {
    std::vector<std::string_view> known;
    for (const Bearing& bearing : bearings) known.push_back(bearing.name);
    UsedNames names;
    for (const Node& item : read_list(checker, node, ranges::most_tools)) {
        const auto name = read_name(checker, item);
        if (!name || !names.add(checker, item, *name, "bearing")) continue;
        if (std::find(known.begin(), known.end(), *name) == known.end()) {
            const std::string near = nearest_name(*name, known);
            checker.error(item, fmt::format("{}, which is not on the shelf", quote(*name)),
                          "the name of one of the bearings on this shelf",
                          near.empty() ? std::string("add the bearing to \"bearings\" of the shelf, or take it out")
                                       : fmt::format("write {} if that is what is meant", quote(near)));
            continue;
        }
        cutter.bearings.push_back(*name);
    }
}

Cutter read_cutter(Checker& checker, const Node& node, const std::vector<Bearing>& bearings, UsedNames& names) {
    const Group group(checker, node,
                      {"name", "diameter", "measured", "measured_within", "cutting_length", "shank", "reach",
                       "max_speed", "flutes", "bearings"});
    Cutter cutter;
    if (group.need_name("what the cutter is called, such as \"10 mm straight cutter\"", cutter.name)) {
        names.add(checker, *group.find("name"), cutter.name, "cutter");
    }
    read_diameter(checker, group, "diameter", ranges::cutter_diameter_mm, "the cutting diameter, such as 10",
                  cutter.cutting);
    const bool length_known =
        group.need_length("cutting_length", ranges::cutting_length_mm, "the length of the cutting edges, such as 50",
                          cutter.cutting_length_mm);
    group.need_length("shank", ranges::shank_mm, "the diameter of the shank, such as 8", cutter.shank_mm);
    if (const auto reach = group.find("reach")) {
        cutter.reach_mm = read_length(checker, *reach, ranges::reach_mm);
        if (cutter.reach_mm && length_known && *cutter.reach_mm < cutter.cutting_length_mm) {
            checker.error(*reach, checker.say_mm(*cutter.reach_mm),
                          fmt::format("at least the cutting length, {}", checker.say_mm(cutter.cutting_length_mm)),
                          "measure from the collet to the tip with the cutter held by its whole clamping length");
        }
    }
    if (const auto speed = group.find("max_speed")) {
        cutter.max_speed_rpm =
            read_number(checker, *speed, ranges::speed_rpm, "turns per minute, as marked on the cutter");
    }
    if (const auto flutes = group.find("flutes")) {
        cutter.flutes = read_whole(checker, *flutes, 1, ranges::most_flutes).value_or(cutter.flutes);
    }
    if (const auto fitting = group.find("bearings")) read_fitting(checker, *fitting, bearings, cutter);
    return cutter;
}

/// A cutter works when it passes some guide with room for chips, or carries a bearing.
bool works(const Cutter& cutter, const std::vector<Guide>& guides) {
    if (!cutter.bearings.empty()) return true;
    const double widest_mm = std::max(cutter.cutting.real_mm(), cutter.shank_mm);
    return std::any_of(guides.begin(), guides.end(), [&](const Guide& guide) {
        return widest_mm + 2.0 * shelf::chip_room_mm <= guide.bore_or_default_mm();
    });
}

void check_together(Checker& checker, const Node& cutters_node, const shelf::Shelf& shelf) {
    // A size that was refused is left at 0: nothing can be said about what fits.
    const bool sized = std::all_of(shelf.guides.begin(), shelf.guides.end(),
                                   [](const Guide& g) { return g.outside.nominal_mm > 0.0; }) &&
                       std::all_of(shelf.cutters.begin(), shelf.cutters.end(),
                                   [](const Cutter& c) { return c.cutting.nominal_mm > 0.0 && c.shank_mm > 0.0; });
    if (!sized) return;
    double widest_bore_mm = 0.0;
    for (const Guide& guide : shelf.guides) widest_bore_mm = std::max(widest_bore_mm, guide.bore_or_default_mm());
    const std::string allowed = fmt::format(
        "cutting diameter and shank at least {} narrower than the bore of a guide (widest bore: {}), or a bearing on "
        "the cutter",
        checker.say_mm(2.0 * shelf::chip_room_mm), checker.say_mm(widest_bore_mm));
    const auto idle = [&](const Cutter& cutter) { return !works(cutter, shelf.guides); };
    if (std::all_of(shelf.cutters.begin(), shelf.cutters.end(), idle)) {
        checker.error(cutters_node, "no cutter that passes any guide: every one is too large, and none has a bearing",
                      allowed, "add a larger guide or a smaller cutter");
        return;
    }
    for (std::size_t i = 0; i < shelf.cutters.size(); ++i) {
        if (!idle(shelf.cutters[i])) continue;
        checker.warning(child(cutters_node, i),
                        fmt::format("{}, too large for every guide", quote(shelf.cutters[i].name)), allowed,
                        "the plan leaves it out; add a larger guide to use it");
    }
}

std::vector<shelf::Clamps> read_clamps(Checker& checker, const Node& node) {
    std::vector<shelf::Clamps> all;
    UsedNames names;
    for (const Node& item : read_list(checker, node, ranges::most_tools)) {
        const Group group(checker, item, {"name", "count", "opens", "force_n"});
        shelf::Clamps clamps;
        if (group.need_name("what the clamps are called, such as \"long bar clamps\"", clamps.name)) {
            names.add(checker, *group.find("name"), clamps.name, "kind of clamps");
        }
        if (const auto count = group.need("count", "how many of them there are, such as 6")) {
            clamps.count = read_whole(checker, *count, 1, ranges::most_clamps).value_or(1);
        }
        group.need_length("opens", ranges::clamp_opens_mm, "how wide they open, such as 1000", clamps.opens_mm);
        if (const auto force = group.need("force_n", "the force of one, tightened by hand, in newtons, such as 2000")) {
            clamps.force_n =
                read_number(checker, *force, ranges::clamp_force_n, "newtons that one clamp gives").value_or(0.0);
        }
        all.push_back(std::move(clamps));
    }
    return all;
}

/// The name of a tool that a test cut was made with; a tool that has gone from the shelf since is no fault.
void read_tool_name(Checker& checker, const Group& group, std::string_view member, const std::string& what,
                    std::string& into) {
    const auto node = group.need(member, what);
    if (!node) return;
    if (const auto name = read_name(checker, *node)) into = *name;
}

std::vector<shelf::TestCut> read_test_cuts(Checker& checker, const Node& node) {
    static const std::vector<std::string> numbers = [] {
        std::vector<std::string> all;
        for (std::size_t i = 1; i <= shelf::test_cut_places; ++i) all.push_back(std::to_string(i));
        return all;
    }();
    std::vector<shelf::TestCut> cuts;
    for (const Node& item : read_list(checker, node, ranges::most_test_cuts)) {
        const Group group(checker, item, {"guide", "cutter", "on", "reading_within", "readings"});
        shelf::TestCut cut;
        read_tool_name(checker, group, "guide", "the guide it was made with, by its name on the shelf", cut.guide);
        read_tool_name(checker, group, "cutter", "the cutter it was made with, by its name on the shelf", cut.cutter);
        if (const auto on = group.find("on")) cut.on = read_name(checker, *on).value_or("");
        group.length("reading_within", ranges::reading_within_mm, cut.reading_within_mm);
        if (const auto readings = group.find("readings")) {
            const Group places(checker, *readings, {numbers.begin(), numbers.end()});
            for (std::size_t i = 0; i < shelf::test_cut_places; ++i) {
                if (const auto place = places.find(numbers[i]))
                    cut.readings_mm[i] = read_length(checker, *place, ranges::test_reading_mm);
            }
        }
        cuts.push_back(std::move(cut));
    }
    return cuts;
}

}  // namespace

shelf::Shelf read_shelf(Checker& checker, const Node& node) {
    const Group group(checker, node,
                      {"guides", "bearings", "cutters", "clamps", "test_cuts", "boards", "discs", "work_done"});
    shelf::Shelf shelf;
    if (!group) return shelf;
    UsedNames riders, cutters;
    const auto guides_node = group.find("guides");
    const auto bearings_node = group.find("bearings");
    const auto cutters_node = group.find("cutters");
    if (guides_node) shelf.guides = read_guides(checker, *guides_node, riders);
    if (bearings_node) shelf.bearings = read_bearings(checker, *bearings_node, riders);
    if (cutters_node) {
        for (const Node& item : read_list(checker, *cutters_node, ranges::most_tools)) {
            shelf.cutters.push_back(read_cutter(checker, item, shelf.bearings, cutters));
        }
    }
    if (const auto clamps = group.find("clamps")) shelf.clamps = read_clamps(checker, *clamps);
    if (const auto cuts = group.find("test_cuts")) shelf.test_cuts = read_test_cuts(checker, *cuts);
    if (const auto boards = group.find("boards")) shelf.boards = read_boards(checker, *boards);
    if (const auto discs = group.find("discs")) shelf.discs = read_discs(checker, *discs);
    if (const auto done = group.find("work_done")) shelf.work_done = read_work_done(checker, *done);
    if (shelf.cutters.empty() || (shelf.guides.empty() && shelf.bearings.empty())) {
        checker.error(node,
                      shelf.cutters.empty() ? std::string("no cutter on the shelf")
                                            : std::string("no guide and no bearing on the shelf"),
                      "at least one cutter, and one guide or bearing to ride on the template",
                      "list the tools that are there, with their sizes");
        return shelf;
    }
    check_together(checker, *cutters_node, shelf);
    return shelf;
}

}  // namespace seamwright::job
