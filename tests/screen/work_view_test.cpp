// The work as the page shows it: calendar drawn, cost, feed, what stands open, and the cards that say it.

#include "screen/work_view.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "plan/effort.h"
#include "plan/work_studies.h"
#include "screens.h"

namespace seamwright::screen::testing {
namespace {

using ::testing::HasSubstr;

Json work_of(const edit::OpenJob& job) {
    return Json::parse(write_work(job, 5));
}

/// Without these groups.
edit::OpenJob without(const std::string& name, const std::vector<std::string>& keys) {
    nlohmann::ordered_json tree = nlohmann::ordered_json::parse(example_text(name));
    for (const auto& key : keys) tree.erase(key);
    return opened(tree.dump(2));
}

edit::OpenJob after(const edit::OpenJob& job, const Json& edits) {
    auto done = job.edited(edits.dump());
    if (const auto* refused = std::get_if<edit::Refused>(&done))
        throw std::runtime_error(job::show(refused->problems.front()));
    return std::get<edit::OpenJob::Edited>(std::move(done)).job;
}

Json card_of(const edit::OpenJob& job, const std::string& pointer) {
    const Json screen = screen_of(job);
    for (const Json& card : screen["cards"])
        if (card["pointer"] == pointer) return card;
    return {};
}

/// The edits of the press that says so.
Json pressed(const edit::OpenJob& job, const std::string& card, const std::string& says) {
    const Json shown = card_of(job, card);
    for (const Json& sentence : shown["sentences"])
        for (const Json& part : sentence)
            if (part.is_object() && part.value("says", "") == says) return part["edits"];
    throw std::runtime_error("no press " + says);
}

TEST(Work, every_stretch_of_the_schedule_is_drawn_in_its_row_and_inside_the_picture) {
    for (const auto& name : example_names()) {
        const auto job = example(name);
        const Json view = work_of(job)["calendar"];
        const auto studies =
            plan::study_work(job.plan(), job.document().job, job.document().shelf, plan::effort_of_page);
        const auto& schedule = *studies.shop.calendar.schedule;
        ASSERT_EQ(view["steps"].size(), schedule.tasks.size());
        double y = view["head"];
        for (std::size_t i = 0; i < schedule.tasks.size(); ++i) {
            const Json& step = view["steps"][i];
            EXPECT_EQ(step["name"], studies.shop.steps[i].task.name);
            EXPECT_NEAR(step["y"].get<double>(), y, 1e-3);
            y += step["height"].get<double>();
            std::size_t by_hand = 0;
            for (const Json& bar : step["bars"]) {
                by_hand += bar["kind"] == "work" ? 1U : 0U;
                const auto box = bar["box"].get<std::vector<double>>();
                EXPECT_GE(box[0], 0.0);
                EXPECT_GT(box[2], 0.0);
                EXPECT_LE(box[0] + box[2], view["width"].get<double>() + 1e-3);
                EXPECT_GE(box[1], step["y"].get<double>());
                EXPECT_LE(box[1] + box[3], y + 1e-3);
            }
            EXPECT_EQ(by_hand, schedule.tasks[i].work.size()) << step["name"];
            EXPECT_EQ(step["chain"], schedule.tasks[i].on_chain);
        }
        EXPECT_NEAR(y, view["height"].get<double>(), 1e-3);
        // Nothing begins before what stands before it in time: x goes up with the clock.
        for (std::size_t i = 0; i < schedule.tasks.size(); ++i)
            for (std::size_t k = 0; k < schedule.tasks.size(); ++k) {
                if (schedule.tasks[i].work.empty() || schedule.tasks[k].work.empty()) continue;
                if (schedule.tasks[i].start >= schedule.tasks[k].start) continue;
                const auto x = [&](std::size_t t) {
                    double least = 1e9;
                    for (const Json& bar : view["steps"][t]["bars"])
                        if (bar["kind"] == "work") least = std::min(least, bar["box"][0].get<double>());
                    return least;
                };
                EXPECT_LT(x(i), x(k));
            }
    }
}

TEST(Work, bars_of_the_chain_are_taller_and_the_line_runs_from_the_first_to_the_delivery) {
    const Json view = work_of(example("hall-console"))["calendar"];
    double chain = 0.0, other = 0.0;
    for (const Json& step : view["steps"])
        for (const Json& bar : step["bars"]) (bar["chain"] ? chain : other) = bar["box"][3].get<double>();
    EXPECT_GT(chain, 1.4 * other);
    ASSERT_GT(other, 0.0) << "the templates are made while the boards rest";
    const auto line = view["chain"].get<std::string>();
    EXPECT_EQ(line.front(), 'M');
    EXPECT_NEAR(std::stod(line.substr(line.rfind('H') + 1)), view["delivery"].get<double>(), 0.06);
}

TEST(Work, days_off_and_week_ends_are_closed_for_the_whole_day) {
    // Monday 2027-01-11 to Tuesday 2027-02-02 with one Friday off.
    const Json view = work_of(example("hall-console"))["calendar"];
    EXPECT_EQ(view["days"].size(), 23u);
    EXPECT_EQ(view["days"][0]["weekday"], "Mo");
    EXPECT_EQ(view["days"][11]["number"], "22");
    std::vector<double> closed;
    for (const Json& each : view["closed"])
        if (each["day"].get<bool>()) closed.push_back(each["x"].get<double>());
    std::vector<double> wanted;
    for (const std::size_t day : {5u, 6u, 11u, 12u, 13u, 19u, 20u})
        wanted.push_back(view["days"][day]["x"].get<double>());
    EXPECT_EQ(closed, wanted);
    ASSERT_EQ(view["months"].size(), 2u);
    EXPECT_EQ(view["months"][1]["says"], "February 2027");
}

TEST(Work, sums_by_kind_add_up_to_the_sum) {
    for (const auto& name : example_names()) {
        const Json cost = work_of(example(name))["cost"];
        const auto hundredths = [](const std::string& text) { return std::llround(100.0 * std::stod(text)); };
        long long sum = 0;
        for (const Json& kind : cost["kinds"]) {
            long long lines = 0;
            for (const Json& line : kind["lines"]) lines += hundredths(line["amount"]);
            EXPECT_EQ(lines, hundredths(kind["sum"])) << kind["says"];
            sum += lines;
        }
        EXPECT_EQ(sum, hundredths(cost["sum"]));
    }
}

TEST(Work, a_line_without_a_price_is_open_and_so_is_its_kind) {
    const auto job = after(example("hall-console"), Json::parse(R"([{"set": "/prices/wood_per_m3", "value": ""},
                                                                    {"set": "/prices/labour_per_hour", "value": null}])"));
    const Json view = work_of(job);
    EXPECT_EQ(view["cost"]["kinds"][0]["says"], "Wood");
    EXPECT_EQ(view["cost"]["kinds"][0]["sum"], "open");
    EXPECT_THAT(view["cost"]["sum"].get<std::string>(), HasSubstr("so far"));
    EXPECT_THAT(view["open"].dump(), HasSubstr("No price for: front board"));
}

TEST(Work, strokes_are_those_of_the_study_and_a_climb_cut_has_two_heads) {
    const auto job = example("bench-top");
    const Json view = work_of(job);
    const auto studies = plan::study_work(job.plan(), job.document().job, job.document().shelf, plan::effort_of_page);
    std::size_t edges = 0, climbs = 0, crossed = 0;
    for (const Json& map : view["feed"]) {
        const auto box = map["box"].get<std::vector<double>>();
        for (const Json& edge : map["edges"]) {
            const auto& of_study =
                *std::find_if(studies.feed.edges.begin(), studies.feed.edges.end(), [&](const auto& each) {
                    return job.plan().pieces[each.piece].name == map["piece"].get<std::string>() &&
                           job.plan().seams[each.seam].name == edge["name"].get<std::string>();
                });
            ++edges;
            ASSERT_EQ(edge["strokes"].size(), of_study.feed.runs.size());
            for (std::size_t i = 0; i < edge["strokes"].size(); ++i) {
                const Json& stroke = edge["strokes"][i];
                const bool climb = of_study.feed.runs[i].way == process::FeedWay::climb_skim;
                EXPECT_EQ(stroke["number"], i + 1);
                EXPECT_EQ(stroke["way"] == "climb", climb);
                const auto heads = stroke["heads"].get<std::string>();
                EXPECT_EQ(std::count(heads.begin(), heads.end(), 'M'), climb ? 2 : 1);
                climbs += climb ? 1U : 0U;
                const auto label = stroke["label"].get<std::vector<double>>();
                EXPECT_TRUE(label[0] > box[0] && label[0] < box[2] && label[1] > box[1] && label[1] < box[3]);
            }
            for (const Json& zone : edge["zones"]) {
                EXPECT_EQ(zone["crosses"] != "", zone["zone"] == "tears");
                crossed += zone["crosses"] != "" ? 1U : 0U;
            }
        }
    }
    EXPECT_EQ(edges, studies.feed.edges.size());
    EXPECT_EQ(climbs, 2u);
    EXPECT_EQ(crossed, 2u);
}

TEST(Work, what_is_not_said_stands_open_and_the_calendar_file_says_what_it_needs) {
    const auto job = without("hall-console", {"edges", "finish", "calendar", "prices"});
    const Json view = work_of(job);
    EXPECT_EQ(view["open"].size(), 5u) << view["open"].dump(1);
    ASSERT_EQ(view["files"].size(), 4u);
    for (const Json& file : view["files"]) EXPECT_EQ(file["lacks"] != "", file["name"] == "calendar.ics");
    EXPECT_THAT(view["files"][3]["lacks"].get<std::string>(), HasSubstr("first day of work"));
    EXPECT_TRUE(work_of(example("hall-console"))["open"].empty());
}

TEST(ShopCards, each_is_begun_with_one_press_and_taken_away_with_another) {
    const std::vector<std::vector<std::string>> presses{
        {"/edges", "Rout the edge", "Leave both rims square"},
        {"/build_up", "Add a build-up under the edge", "Take the build-up away"},
        {"/finish", "Add a finish", "Take the finish away"},
        {"/calendar", "Add a calendar", "Take the calendar away"},
        {"/prices", "Add prices", "Take the prices away"},
    };
    for (const std::string name : {"hall-console", "bench-top"}) {
        const auto bare = without(name, {"edges", "build_up", "finish", "calendar", "prices"});
        for (const auto& press : presses) {
            const auto begun = after(bare, pressed(bare, press[0], press[1]));
            EXPECT_NE(begun.text(), bare.text());
            EXPECT_GT(card_of(begun, press[0])["sentences"].size(), 1u);
            const auto ended = after(begun, pressed(begun, press[0], press[2]));
            EXPECT_EQ(ended.plan().inputs_sha256, bare.plan().inputs_sha256) << press[0];
        }
    }
}

TEST(ShopCards, a_profile_chosen_keeps_its_size_and_a_square_one_has_none) {
    const auto job = example("bench-top");
    const auto chosen = [](const edit::OpenJob& from, const std::string& value) {
        const Json card = card_of(from, "/edges");
        for (const Json& part : card["sentences"][0])
            if (part.is_object() && part.value("pointer", "") == "/edges/top")
                for (const Json& choice : part["choices"])
                    if (choice["value"] == value) return after(from, Json::array({choice["edit"]}));
        throw std::runtime_error("no choice");
    };
    const auto cove = chosen(job, "cove");
    EXPECT_EQ(cove.document().job.edges->top.kind, job::EdgeShape::Kind::cove);
    EXPECT_EQ(cove.document().job.edges->top.size_mm, job.document().job.edges->top.size_mm);
    const auto square = chosen(cove, "square");
    EXPECT_EQ(square.document().job.edges->top, job::EdgeShape{});
    EXPECT_EQ(chosen(square, "round_over").written_at("/edges/top/reach"), "1/8 in");
}

TEST(ShopCards, hours_are_typed_as_they_are_said) {
    // hall-console says no hours of its own: the other days stay as usual.
    const auto job = example("hall-console");
    using Hours = std::vector<job::Calendar::Hours>;
    const auto typed = [&](const std::string& text) {
        return after(job, Json::array({{{"set", "/calendar/hours/friday"}, {"value", text}}}));
    };
    const auto friday = [&](const std::string& text) { return typed(text).document().job.calendar->week[4]; };
    EXPECT_EQ(friday("08:00–12:00"), (Hours{{480, 720}}));
    EXPECT_EQ(friday("7-11:30 and 12 – 15:15"), (Hours{{420, 690}, {720, 915}}));
    EXPECT_EQ(friday("7:00-11:30, 12:00-15:15"), (Hours{{420, 690}, {720, 915}}));
    EXPECT_EQ(friday("closed"), Hours{});
    EXPECT_EQ(friday(""), Hours{});
    EXPECT_EQ(typed("closed").document().job.calendar->week[0], job::usual_week()[0]);
    const auto refused = [&](const std::string& text) {
        const auto done = job.edited(Json::array({{{"set", "/calendar/hours/friday"}, {"value", text}}}).dump());
        const auto* problems = std::get_if<edit::Refused>(&done);
        return problems == nullptr ? std::string() : problems->problems.front().pointer;
    };
    EXPECT_EQ(refused("8-25"), "/calendar/hours/friday/0");
    EXPECT_EQ(refused("12-8"), "/calendar/hours/friday/0");
    EXPECT_EQ(refused("8-12, 11-17"), "/calendar/hours/friday/1");
    EXPECT_EQ(refused("all day"), "/calendar/hours/friday/0");
}

TEST(ShopCards, days_off_come_and_go_one_by_one) {
    const auto job =
        after(example("hall-console"), Json::parse(R"([{"insert": "/calendar/off/-", "value": "2027-01-14"}])"));
    EXPECT_EQ(job.document().job.calendar->off.size(), 2u);
    const Json card = card_of(job, "/calendar");
    EXPECT_THAT(card.dump(), HasSubstr("Open on 2027-01-14"));
    EXPECT_LT(card.dump().find("Open on 2027-01-14"), card.dump().find("Open on 2027-01-22"));
    const auto left = after(job, pressed(job, "/calendar", "Open on 2027-01-22"));
    ASSERT_EQ(left.document().job.calendar->off.size(), 1u);
    EXPECT_EQ(job::show(left.document().job.calendar->off[0]), "2027-01-14");
    const auto done = job.edited(R"([{"insert": "/calendar/off/-", "value": "2027-02-30"}])");
    ASSERT_TRUE(std::holds_alternative<edit::Refused>(done));
    EXPECT_EQ(std::get<edit::Refused>(done).problems.front().pointer, "/calendar/off/2");
}

TEST(ShopCards, what_was_done_is_told_in_words) {
    const auto job = example("hall-console");
    const auto says = [&](const char* edits) { return std::get<edit::OpenJob::Edited>(job.edited(edits)).says; };
    EXPECT_EQ(says(R"([{"remove": "/finish"}])"), "Finish removed");
    EXPECT_EQ(says(R"([{"set": "/finish/coats", "value": "3"}])"), "Coats of the finish: 3");
    EXPECT_EQ(says(R"([{"set": "/edges/top/reach", "value": "5"}])"), "Reach of the upper rim: 5.0 mm");
    EXPECT_EQ(says(R"([{"set": "/calendar/hours/monday", "value": "8-12"}])"), "Hours on Monday: 08:00-12:00");
    EXPECT_EQ(says(R"([{"insert": "/calendar/off/-", "value": "2027-01-14"}])"), "Day off 2027-01-14 added");
    EXPECT_EQ(says(R"([{"remove": "/calendar/off/0"}])"), "Day off 2027-01-22 removed");
    EXPECT_EQ(says(R"([{"set": "/prices/labour_per_hour", "value": "50"}])"), "Price of an hour of the prices: 50");
    EXPECT_EQ(says(R"([{"set": "/prices/customer", "value": ""}])"), "Customer of the prices: left open");
}

}  // namespace
}  // namespace seamwright::screen::testing
