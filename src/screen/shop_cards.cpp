// Edge, build-up, finish, calendar and prices: the work after the seams.

#include <fmt/format.h>

#include <algorithm>

#include "cards.h"
#include "plan/words.h"
#include "process/finishing.h"
#include "say.h"

namespace seamwright::screen {
namespace {

using Layout = job::JsonWriter::Layout;

/// { "set": pointer, "value": what `write` writes under that key }.
template <class Write>
std::string set_group(std::string_view pointer, const Write& write) {
    job::JsonWriter json(Layout::one_line_thousandths);
    json.begin_group();
    json.text("set", pointer);
    json.begin_group("value");
    write(json);
    json.end_group();
    json.end_group();
    return json.take_part();
}

std::string remove_edit(std::string_view pointer) {
    job::JsonWriter json(Layout::one_line_thousandths);
    json.begin_group();
    json.text("remove", pointer);
    json.end_group();
    return json.take_part();
}

/// A size to begin with, round in the job's unit.
std::string size_to_begin(const Blanks& blanks, const char* mm, const char* in) {
    return blanks.unit() == units::Unit::inch ? std::string(in) + " in" : std::string(mm) + " mm";
}

void write_rim(job::JsonWriter& json, job::EdgeShape::Kind kind, const std::string& reach) {
    json.text("kind", job::name_of(kind));
    if (kind != job::EdgeShape::Kind::square) json.text("reach", reach);
}

void say_rim(Card& card, const Blanks& blanks, const std::string& name, const job::EdgeShape& rim,
             const std::string& what) {
    using Kind = job::EdgeShape::Kind;
    const std::string at = "/edges/" + name;
    // Another profile keeps the size.
    const std::string reach =
        rim.kind == Kind::square ? size_to_begin(blanks, "3", "1/8") : blanks.length(at + "/reach", 0.0, {}).value;
    const auto choice = [&](Kind kind, const char* says) {
        return Choice{std::string(job::name_of(kind)), says,
                      set_group(at, [&](job::JsonWriter& json) { write_rim(json, kind, reach); })};
    };
    std::vector<Part> sentence{
        plan::words::capitalised(what) + " is ",
        blanks.choice(at, std::string(job::name_of(rim.kind)), "profile of " + what,
                      {choice(Kind::square, "left square"), choice(Kind::round_over, "rounded over"),
                       choice(Kind::chamfer, "chamfered"), choice(Kind::cove, "routed with a cove")})};
    if (rim.kind != Kind::square) {
        sentence.emplace_back(rim.kind == Kind::chamfer ? ", as wide as down, by " : " with a radius of ");
        sentence.emplace_back(blanks.length(at + "/reach", rim.size_mm, "size of the profile of " + what));
    }
    sentence.emplace_back(".");
    card.say(std::move(sentence));
}

Card edges(const Blanks& blanks) {
    const auto& job = blanks.job().document().job;
    Card card{"/edges", "Edge", {}};
    if (!job.edges) {
        const std::string begin = set_group("/edges", [&](job::JsonWriter& json) {
            json.begin_group("top");
            write_rim(json, job::EdgeShape::Kind::round_over, size_to_begin(blanks, "3", "1/8"));
            json.end_group();
            json.begin_group("underside");
            write_rim(json, job::EdgeShape::Kind::chamfer, size_to_begin(blanks, "2", "1/16"));
            json.end_group();
        });
        card.say({"Nothing is routed along the edge: both its rims stay square.", Press{"Rout the edge", {begin}}});
        return card;
    }
    say_rim(card, blanks, "top", job.edges->top, "the upper rim");
    say_rim(card, blanks, "underside", job.edges->underside, "the lower rim");
    card.say({"They are routed all round.", Press{"Leave both rims square", {remove_edit("/edges")}}});
    return card;
}

Card build_up(const Blanks& blanks) {
    const auto& job = blanks.job().document().job;
    Card card{"/build_up", "Build-up under the edge", {}};
    if (!job.build_up) {
        const std::string begin = set_group("/build_up", [&](job::JsonWriter& json) {
            json.text("thickness", size_to_begin(blanks, "20", "3/4"));
            json.text("width", size_to_begin(blanks, "70", "2 3/4"));
            json.text("ends", job::name_of(job::BuildUp::Ends::end_grain));
        });
        card.say({"The edge is as thick as the top.", Press{"Add a build-up under the edge", {begin}}});
        return card;
    }
    card.say({"Under the edge lies wood ",
              blanks.length("/build_up/thickness", job.build_up->thickness_mm, "thickness of the build-up"),
              " thick, all round, reaching ",
              blanks.length("/build_up/width", job.build_up->width_mm, "width of the build-up"),
              " in from the edge, so that the top looks thicker."});
    card.say({"Under the ends, across the fibres, lie ",
              blanks.choice("/build_up/ends", std::string(job::name_of(job.build_up->ends)), "ends of the build-up",
                            {{"end_grain", "short pieces with their fibres as the top's: they move with it", {}},
                             {"floating", "long pieces, held so that the top can move over them", {}},
                             {"glued_across", "long pieces glued fast: the top will tear or bow", {}}}),
              "."});
    card.say(
        {"It is glued on before the outline is cut.", Press{"Take the build-up away", {remove_edit("/build_up")}}});
    return card;
}

Card finish(const Blanks& blanks) {
    const auto& job = blanks.job().document().job;
    Card card{"/finish", "Finish", {}};
    if (!job.finish) {
        const std::string begin =
            set_group("/finish", [](job::JsonWriter& json) { json.text("system", "hardwax-oil"); });
        card.say({"No finish is said yet.", Press{"Add a finish", {begin}}});
        return card;
    }
    const process::FinishSystem* system = process::find_finish(job.finish->system);
    std::vector<Choice> systems;
    for (const auto& each : process::finish_systems()) {
        std::string says = each.name;
        std::replace(says.begin(), says.end(), '\n', ' ');
        systems.push_back({each.id, std::move(says), {}});
    }
    std::vector<Choice> ways{{"", "as is usual", open_edit("/finish/apply")}};
    for (const auto& way : process::ways()) {
        const bool suits =
            system == nullptr || std::find(system->ways.begin(), system->ways.end(), way.way) != system->ways.end();
        // The one that was chosen stays to be seen, whether it suits or not.
        if (suits || job.finish->apply == way.id) ways.push_back({way.id, way.says, {}});
    }
    card.say({"The top is finished with ",
              blanks.choice("/finish/system", job.finish->system, "kind of finish", std::move(systems)), ", put on ",
              blanks.choice("/finish/apply", job.finish->apply, "way of applying the finish", std::move(ways)), ", in ",
              blanks.number("/finish/coats", system != nullptr ? system->coats.low : 1.0, "coats of finish"),
              " coats."});
    if (system == nullptr) {
        card.say({fmt::format("There is no finish called \"{}\": choose one from the list.", job.finish->system)});
    } else {
        if (const auto way = process::way_named(job.finish->apply);
            way && std::find(system->ways.begin(), system->ways.end(), *way) == system->ways.end()) {
            card.say({fmt::format("It is not usually put on {}.", process::name_of(*way).says)});
        }
        card.say({sentence(system->looks)});
        card.say({fmt::format("It stands water: {}; heat: {}; alcohol: {}; wear: {} (common practice, from memory).",
                              process::says(system->water), process::says(system->heat), process::says(system->alcohol),
                              process::says(system->wear))});
        card.say({"To mend it later: " + sentence(system->repair)});
    }
    card.say({"The label of your product goes before all of this.",
              Press{"Take the finish away", {remove_edit("/finish")}}});
    return card;
}

/// "08:00–12:00, 13:00–17:00".
std::string shown_hours(const std::vector<job::Calendar::Hours>& hours) {
    std::string text;
    for (const auto& h : hours)
        text += fmt::format("{}{}–{}", text.empty() ? "" : ", ", job::show_time(h.from), job::show_time(h.to));
    return text.empty() ? "closed" : text;
}

Card calendar(const Blanks& blanks) {
    const auto& job = blanks.job().document().job;
    Card card{"/calendar", "Shop calendar", {}};
    if (!job.calendar) {
        const std::string begin = set_group("/calendar", [](job::JsonWriter& json) {
            json.number("people", 1.0);
            json.begin_group("hours");
            const auto week = job::usual_week();
            for (std::size_t d = 0; d < week.size(); ++d) {
                std::vector<std::string> hours;
                for (const auto& h : week[d]) hours.push_back(job::show_time(h.from) + '-' + job::show_time(h.to));
                if (!hours.empty()) json.texts(job::name_of_weekday(d), hours);
            }
            json.end_group();
        });
        card.say({"Nothing is said of when the shop works: days are counted from the first one.",
                  Press{"Add a calendar", {begin}}});
        return card;
    }
    card.say({"Work begins on ", blanks.day("/calendar/first_day", "first day of work"), "; ",
              blanks.choice("/calendar/people", fmt::format("{}", job.calendar->people), "people who work",
                            {{"1", "one person works", R"({"set": "/calendar/people", "value": 1})"},
                             {"2", "two people work", R"({"set": "/calendar/people", "value": 2})"}}),
              "."});
    for (std::size_t d = 0; d < 7; ++d) {
        const std::string name = plan::words::capitalised(std::string(job::name_of_weekday(d)));
        Field hours = blanks.text(fmt::format("/calendar/hours/{}", job::name_of_weekday(d)), "hours on " + name);
        hours.value = shown_hours(job.calendar->week[d]);
        card.say({name + ": ", std::move(hours), "."});
    }
    // As they are written, which need not be their order.
    std::vector<std::pair<std::string, std::string>> off;
    for (std::size_t i = 0;; ++i) {
        std::string at = fmt::format("/calendar/off/{}", i);
        auto day = blanks.job().written_at(at);
        if (!day) break;
        off.emplace_back(std::move(*day), std::move(at));
    }
    std::stable_sort(off.begin(), off.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    for (std::size_t i = 0; i < off.size(); ++i)
        card.say({"The shop is closed on ", blanks.day(off[i].second, fmt::format("day off {}", i + 1)), ".",
                  Press{"Open on " + off[i].first, {remove_edit(off[i].second)}}});
    Field another = blanks.day("/calendar/off/-", "another day off");
    another.edit = R"({"insert": "/calendar/off/-", "value": "$"})";
    card.say({off.empty() ? "A day on which it is closed: " : "Another day on which it is closed: ", std::move(another),
              ".", Press{"Take the calendar away", {remove_edit("/calendar")}}});
    return card;
}

Card prices(const Blanks& blanks) {
    const auto& job = blanks.job().document().job;
    Card card{"/prices", "Prices", {}};
    if (!job.prices) {
        const std::string begin =
            set_group("/prices", [&](job::JsonWriter& json) { json.number("waste_percent", 25.0); });
        card.say({"No prices are said: there is nothing to sum up, and the quote stays open.",
                  Press{"Add prices", {begin}}});
        return card;
    }
    const auto price = [&](const char* name, const char* label) {
        return blanks.open_number(std::string("/prices/") + name, label);
    };
    card.say({"Prices are in ", blanks.text("/prices/currency", "currency"),
              "; what is left open stands open in the quote."});
    card.say({"An hour of work is ", price("labour_per_hour", "price of an hour of work"), ", a cubic metre of wood ",
              price("wood_per_m3", "price of a cubic metre of wood"), ", with ",
              blanks.number("/prices/waste_percent", job.prices->waste_percent, "waste of wood in percent"),
              " % more for waste; boards with a price of their own count by that."});
    card.say({"A square metre of template sheet is ", price("sheet_per_m2", "price of a square metre of sheet"),
              ", a kilogram of glue ", price("adhesive_per_kg", "price of a kilogram of glue"), ", a litre of finish ",
              price("finish_per_litre", "price of a litre of finish"), "."});
    card.say({"A sanding disc or quarter sheet is ", price("abrasive_per_sheet", "price of a disc or quarter sheet"),
              ", the wear of cutters for each metre routed ", price("cutter_per_metre", "price of a metre routed"),
              "."});
    card.say({"On top of the sum come ",
              blanks.number("/prices/overhead_percent", job.prices->overhead_percent, "overhead in percent"),
              " % of overhead."});
    card.say({"The quote is for ", blanks.text("/prices/customer", "customer"), "."});
    card.say({"It is made on these terms: ", blanks.long_text("/prices/terms", "terms of the quote")});
    card.say({"Money is your own: no price here is the program's.",
              Press{"Take the prices away", {remove_edit("/prices")}}});
    return card;
}

}  // namespace

std::vector<Card> shop_cards(const Blanks& blanks) {
    return {edges(blanks), build_up(blanks), finish(blanks), calendar(blanks), prices(blanks)};
}

}  // namespace seamwright::screen
