#include "shelf_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "cards.h"
#include "plan/feed_study.h"
#include "plan/test_cut_study.h"
#include "told.h"

namespace seamwright::screen {
namespace {

/// What the chosen chains take from the shelf.
struct Used {
    std::set<std::size_t> guides, bearings, cutters;
};

Used used_tools(const plan::Plan& plan) {
    Used used;
    for (const auto& seam : plan.seams) {
        if (seam.chosen >= seam.chains.size()) continue;
        for (const auto& step : seam.chains[seam.chosen].steps) {
            if (!step.pair) continue;
            (step.pair->rides == seam::Pair::Rides::guide ? used.guides : used.bearings).insert(step.pair->rider);
            used.cutters.insert(step.pair->cutter);
        }
    }
    return used;
}

class Rows {
  public:
    Rows(job::JsonWriter& json, const Blanks& blanks) : json_(json), blanks_(blanks) {}

    void row(const std::string& pointer, const std::string& name, bool used, const std::vector<Field>& fields,
             const std::optional<std::string>& picture = std::nullopt) {
        json_.begin_group();
        json_.text("pointer", pointer);
        if (picture) json_.text("picture", *picture);
        write_field(json_, "name", blanks_.text(pointer + "/name", "name of " + name));
        json_.begin_list("fields");
        for (const Field& field : fields) write_field(json_, {}, field);
        json_.end_list();
        json_.flag("used", used);
        json_.end_group();
    }

    void spot(const std::string& pointer, const std::string& title, const std::vector<Field>& fields) {
        json_.begin_group();
        json_.text("pointer", pointer);
        json_.text("title", title);
        json_.begin_list("fields");
        for (const Field& field : fields) write_field(json_, {}, field);
        json_.end_list();
        json_.end_group();
    }

  private:
    job::JsonWriter& json_;
    const Blanks& blanks_;
};

Field listed_bearings(const Blanks& blanks, const std::string& pointer, const shelf::Cutter& cutter,
                      const shelf::Shelf& shelf) {
    // One bearing on a cutter is the rule; a cutter with several keeps them, and says so.
    const std::string label = "bearing of " + cutter.name;
    std::vector<Choice> choices{{"", "none", open_edit(pointer)}};
    for (const auto& bearing : shelf.bearings) {
        job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
        json.begin_group();
        json.text("set", pointer);
        json.texts("value", {bearing.name});
        json.end_group();
        choices.push_back({bearing.name, bearing.name, json.take_part()});
    }
    std::string value;
    for (const auto& name : cutter.bearings) value += (value.empty() ? "" : ", ") + name;
    if (cutter.bearings.size() > 1) choices.push_back({value, value, {}});
    return blanks.choice(pointer, value, label, std::move(choices));
}

void write_boards(Rows& rows, const Blanks& blanks, const shelf::Shelf& shelf) {
    for (std::size_t i = 0; i < shelf.boards.size(); ++i) {
        const shelf::Board& board = shelf.boards[i];
        const std::string at = fmt::format("/shelf/boards/{}", i);
        const auto open_number = [&](const char* name, const std::optional<double>& now, const std::string& label) {
            Field field = blanks.number(at + '/' + name, now.value_or(0.0), label + " of " + board.name);
            if (!now) field.value.clear();
            return field;
        };
        rows.row(
            at, board.name, false,
            {wood_choice(blanks, at + "/species", board.species, board.name),
             blanks.length(at + "/length", board.length_mm, "length of " + board.name),
             blanks.length(at + "/width", board.width_mm, "width of " + board.name),
             blanks.length(at + "/thickness", board.thickness_mm, "thickness of " + board.name),
             blanks.open_length(at + "/planed", "thickness when planed of " + board.name),
             blanks.choice(at + "/sawn", std::string(shelf::name_of(board.sawn)), "rings of " + board.name,
                           {{"flat", "flat-sawn", {}}, {"rift", "rift-sawn", {}}, {"quarter", "quarter-sawn", {}}}),
             blanks.angle(at + "/slope_degrees", board.slope_rad * geometry::degrees_per_radian,
                          "slope of the fibres of " + board.name),
             open_number("moisture_percent", board.moisture_percent, "moisture in percent"),
             open_number("price", board.price, "price")},
            board.picture);
    }
}

/// Of a spot that was drawn, what it is and where it may be; its outline stands on the board.
void write_spots(Rows& rows, const Blanks& blanks, const shelf::Shelf& shelf) {
    for (std::size_t i = 0; i < shelf.boards.size(); ++i) {
        const shelf::Board& board = shelf.boards[i];
        for (std::size_t k = 0; k < board.defects.size(); ++k) {
            const shelf::Defect& spot = board.defects[k];
            const std::string at = fmt::format("/shelf/boards/{}/defects/{}", i, k);
            const std::string of = fmt::format("spot {} on {}", k + 1, board.name);
            std::vector<Field> fields{blanks.choice(at + "/kind", std::string(shelf::name_of(spot.kind)),
                                                    "kind of " + of,
                                                    {{"knot", "knot", {}},
                                                     {"check", "check", {}},
                                                     {"sapwood", "sapwood", {}},
                                                     {"wane", "wane", {}},
                                                     {"other", "other", {}}})};
            if (spot.outline.empty()) {
                fields.push_back(blanks.length(at + "/at/0", spot.at.x, "from the left end of " + of));
                fields.push_back(blanks.length(at + "/at/1", spot.at.y, "from the near edge of " + of));
                fields.push_back(blanks.length(at + "/radius", spot.radius_mm, "radius of " + of));
            }
            fields.push_back(blanks.choice(at + "/allowed", std::string(shelf::name_of(spot.allowed)),
                                           "where allowed of " + of,
                                           {{"nowhere", "nowhere in the piece", {}},
                                            {"away_from_seams", "not near a seam", {}},
                                            {"anywhere", "anywhere", {}}}));
            rows.spot(at, spot.outline.empty() ? of : of + ", as drawn", fields);
        }
    }
}

/// Test cuts with blanks for what was read, what it tells, and whether the shelf has taken that over already.
void write_test_cuts(job::JsonWriter& json, const Blanks& blanks, const shelf::Shelf& shelf) {
    for (std::size_t i = 0; i < shelf.test_cuts.size(); ++i) {
        const shelf::TestCut& cut = shelf.test_cuts[i];
        const std::string at = fmt::format("/shelf/test_cuts/{}", i);
        const std::string of = fmt::format("test cut {} of {} and {}", i + 1, cut.guide, cut.cutter);
        const auto study = plan::study_test_cut(shelf, cut, i, blanks.job().document().job.style);
        json.begin_group();
        json.text("pointer", at);
        json.text("title", fmt::format("{} and {}", cut.guide, cut.cutter));
        write_field(json, "on", blanks.text(at + "/on", "day of " + of));
        json.begin_list("fields");
        for (std::size_t place = 0; place < cut.readings_mm.size(); ++place) {
            write_field(json, {},
                        blanks.open_length(fmt::format("{}/readings/{}", at, place + 1),
                                           fmt::format("{} of {}", plan::words::test_place_text(place), of)));
        }
        json.end_list();
        json.texts("places", [&] {
            std::vector<std::string> places;
            for (std::size_t place = 0; place < cut.readings_mm.size(); ++place)
                places.push_back(plan::words::test_place_text(place));
            return places;
        }());
        write_told(json, "told", plan::words::test_cut_text(study, cut, blanks.job().document().job.style));
        const bool kept = study.can_be_kept && plan::learned(shelf, cut, study) == shelf;
        json.flag("can_be_kept", study.can_be_kept && !kept);
        json.flag("kept", kept);
        json.text("sheet", fmt::format("test-cut-{}.pdf", i + 1));
        json.end_group();
    }
}

/// Discs routed all round, with their stretches, and what they make of the model. A disc that a newer one of its wood
/// has replaced says so.
void write_discs(job::JsonWriter& json, const Blanks& blanks, const shelf::Shelf& shelf) {
    const units::LengthStyle& style = blanks.job().document().job.style;
    for (std::size_t i = 0; i < shelf.discs.size(); ++i) {
        const shelf::Disc& disc = shelf.discs[i];
        const std::string at = fmt::format("/shelf/discs/{}", i);
        const std::string of = fmt::format("disc {} of {}", i + 1, disc.species);
        json.begin_group();
        json.text("pointer", at);
        json.text("title", of);
        json.begin_list("fields");
        for (const Field& field :
             {wood_choice(blanks, at + "/species", disc.species, of), blanks.text(at + "/on", "day of " + of),
              blanks.length(at + "/cutter_diameter", disc.cutter_mm, "cutter of " + of),
              blanks.length(at + "/side_cut", disc.side_cut_mm, "taken off the rim of " + of),
              blanks.yes(at + "/on_table", "on a router table of " + of)})
            write_field(json, {}, field);
        json.end_list();
        json.begin_list("rim");
        for (std::size_t k = 0; k < disc.rim.size(); ++k) {
            const shelf::RimStretch& stretch = disc.rim[k];
            const std::string on = fmt::format("{}/rim/{}", at, k);
            const std::string named = fmt::format("stretch {} of {}", k + 1, of);
            json.begin_group();
            json.text("pointer", on);
            json.text("title", named);
            json.begin_list("fields");
            for (const Field& field :
                 {blanks.angle(on + "/from_degrees", stretch.from_rad * geometry::degrees_per_radian,
                               "from of " + named),
                  blanks.angle(on + "/to_degrees", stretch.to_rad * geometry::degrees_per_radian, "to of " + named),
                  blanks.choice(on + "/feed", stretch.climb ? "climb" : "conventional", "feed of " + named,
                                {{"conventional", "conventional", {}}, {"climb", "climb", {}}}),
                  blanks.choice(on + "/seen", std::string(shelf::name_of(stretch.seen)), "seen of " + named,
                                {{"clean", "clean", {}}, {"fuzzy", "fuzzy", {}}, {"torn", "torn", {}}})})
                write_field(json, {}, field);
            json.end_list();
            json.end_group();
        }
        json.end_list();
        plan::words::Told told{"What it tells", {}, {}};
        const plan::SpeciesTear tear = plan::tear_of(shelf, disc.species);
        if (disc.rim.empty()) {
            told.lines.push_back("Nothing is written of its rim yet.");
        } else if (std::find(tear.discs.begin(), tear.discs.end(), i) == tear.discs.end()) {
            told.lines.push_back("A newer disc of this wood stands in its place.");
        } else {
            told.lines = plan::words::tear_lines(tear, shelf, style);
        }
        write_told(json, "told", told);
        json.end_group();
    }
}

}  // namespace

void write_shelf_view(job::JsonWriter& json, const Blanks& blanks, bool live) {
    const shelf::Shelf& shelf = blanks.job().document().shelf;
    const Used used = used_tools(blanks.job().plan());
    Rows rows(json, blanks);
    json.begin_group("shelf");
    json.begin_list("guides");
    for (std::size_t i = 0; i < shelf.guides.size() && !live; ++i) {
        const auto& guide = shelf.guides[i];
        const std::string at = fmt::format("/shelf/guides/{}", i);
        rows.row(at, guide.name, used.guides.contains(i),
                 {blanks.length(at + "/outside", guide.outside.nominal_mm, "marked outside of " + guide.name),
                  blanks.open_length(at + "/measured", "measured outside of " + guide.name),
                  blanks.length(at + "/barrel", guide.barrel_length_mm, "barrel length of " + guide.name),
                  blanks.length(at + "/bore", guide.bore_or_default_mm(), "bore of " + guide.name)});
    }
    json.end_list();
    json.begin_list("bearings");
    for (std::size_t i = 0; i < shelf.bearings.size() && !live; ++i) {
        const auto& bearing = shelf.bearings[i];
        const std::string at = fmt::format("/shelf/bearings/{}", i);
        rows.row(at, bearing.name, used.bearings.contains(i),
                 {blanks.length(at + "/outside", bearing.outside.nominal_mm, "marked outside of " + bearing.name),
                  blanks.open_length(at + "/measured", "measured outside of " + bearing.name)});
    }
    json.end_list();
    json.begin_list("cutters");
    for (std::size_t i = 0; i < shelf.cutters.size() && !live; ++i) {
        const auto& cutter = shelf.cutters[i];
        const std::string at = fmt::format("/shelf/cutters/{}", i);
        Field speed = blanks.number(at + "/max_speed", 0.0, "most turns per minute of " + cutter.name);
        if (!cutter.max_speed_rpm) speed.value.clear();
        rows.row(at, cutter.name, used.cutters.contains(i),
                 {blanks.length(at + "/diameter", cutter.cutting.nominal_mm, "marked diameter of " + cutter.name),
                  blanks.open_length(at + "/measured", "measured diameter of " + cutter.name),
                  blanks.length(at + "/cutting_length", cutter.cutting_length_mm, "cutting length of " + cutter.name),
                  blanks.length(at + "/shank", cutter.shank_mm, "shank of " + cutter.name),
                  blanks.length(at + "/reach", cutter.reach_or_default_mm(), "longest stick-out of " + cutter.name),
                  speed, blanks.number(at + "/flutes", cutter.flutes, "flutes of " + cutter.name),
                  listed_bearings(blanks, at + "/bearings", cutter, shelf)});
    }
    json.end_list();
    json.begin_list("clamps");
    for (std::size_t i = 0; i < shelf.clamps.size() && !live; ++i) {
        const auto& clamps = shelf.clamps[i];
        const std::string at = fmt::format("/shelf/clamps/{}", i);
        rows.row(at, clamps.name, false,
                 {blanks.number(at + "/count", clamps.count, "how many of " + clamps.name),
                  blanks.length(at + "/opens", clamps.opens_mm, "opening of " + clamps.name),
                  blanks.number(at + "/force_n", clamps.force_n, "force in newtons of " + clamps.name)});
    }
    json.end_list();
    json.begin_list("boards");
    if (!live) write_boards(rows, blanks, shelf);
    json.end_list();
    json.begin_list("spots");
    if (!live) write_spots(rows, blanks, shelf);
    json.end_list();
    json.begin_list("test_cuts");
    if (!live) write_test_cuts(json, blanks, shelf);
    json.end_list();
    json.begin_list("discs");
    if (!live) write_discs(json, blanks, shelf);
    json.end_list();
    json.end_group();
}

}  // namespace seamwright::screen
