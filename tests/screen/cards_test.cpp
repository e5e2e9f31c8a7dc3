#include <gtest/gtest.h>

#include <functional>
#include <set>

#include "screens.h"

namespace seamwright::screen::testing {
namespace {

/// Every blank of the cards and of the shelf.
std::vector<Json> blanks_of(const Json& screen) {
    std::vector<Json> found;
    for (const Json& card : screen["cards"]) {
        for (const Json& sentence : card["sentences"]) {
            for (const Json& part : sentence) {
                if (part.is_object() && part.contains("pointer")) found.push_back(part);
            }
        }
    }
    for (const auto& [kind, rows] : screen["shelf"].items()) {
        for (const Json& row : rows) {
            found.push_back(row["name"]);
            for (const Json& field : row["fields"]) found.push_back(field);
        }
    }
    return found;
}

/// The edit the page sends when `value` is given as the answer (web/src/column/Blank.tsx).
Json edit_for(const Json& field, const std::string& value) {
    if (field.contains("choices")) {
        for (const Json& choice : field["choices"]) {
            if (choice["value"] == value && choice.contains("edit")) return choice["edit"];
        }
    }
    if (!field.contains("edit")) return {{"set", field["pointer"]}, {"value", value}};
    std::function<Json(Json)> filled = [&](Json part) -> Json {
        if (part == "$") return value;
        if (part.is_structured()) {
            for (auto& inner : part) inner = filled(inner);
        }
        return part;
    };
    return filled(field["edit"]);
}

std::variant<edit::OpenJob::Edited, edit::Refused> after(const edit::OpenJob& job, const Json& edit) {
    return job.edited(Json::array({edit}).dump());
}

std::string refusal(const std::variant<edit::OpenJob::Edited, edit::Refused>& done) {
    const auto* refused = std::get_if<edit::Refused>(&done);
    return refused == nullptr ? "" : job::show(refused->problems.front());
}

/// Everything planned. The fingerprint of the inputs tells a default from the same size written down.
std::string plan_text(const edit::OpenJob& job) {
    plan::Plan plan = job.plan();
    plan.inputs_sha256.clear();
    return plan::write_plan(plan);
}

TEST(Cards, every_blank_can_be_sent_back_as_it_stands_and_changes_nothing) {
    for (const auto& name : example_names()) {
        const auto job = example(name);
        const auto blanks = blanks_of(screen_of(job));
        ASSERT_GT(blanks.size(), 40u);
        for (const Json& field : blanks) {
            if (field["kind"] == "choice") continue;
            // An empty one that adds to a list is not sent.
            if (field.contains("edit") && field["edit"].contains("insert")) continue;
            const auto done = after(job, edit_for(field, field["value"]));
            const auto* edited = std::get_if<edit::OpenJob::Edited>(&done);
            ASSERT_NE(edited, nullptr) << field << '\n' << refusal(done);
            // Defaults of an inch job are told to a thousandth of an inch; what is written is kept to the bit.
            const bool written = job.written_at(field["pointer"].get<std::string>()).has_value();
            if (written || name != "bench-top") {
                EXPECT_EQ(plan_text(edited->job), plan_text(job)) << field;
            }
        }
    }
}

TEST(Cards, every_answer_of_a_choice_is_taken_or_refused_with_a_remedy) {
    for (const auto& name : example_names()) {
        const auto job = example(name);
        std::size_t taken = 0;
        for (const Json& field : blanks_of(screen_of(job))) {
            if (field["kind"] != "choice") continue;
            bool current = false;
            std::set<std::string> values;
            for (const Json& choice : field["choices"]) {
                EXPECT_TRUE(values.insert(choice["value"]).second) << field;
                EXPECT_NE(choice["says"], "") << field;
                if (choice["value"] == field["value"]) {
                    current = true;
                    continue;
                }
                // Sixty-three woods are alike to the program.
                if (values.size() > 8) continue;
                const auto done = after(job, edit_for(field, choice["value"]));
                if (std::holds_alternative<edit::OpenJob::Edited>(done)) {
                    ++taken;
                } else {
                    EXPECT_FALSE(std::get<edit::Refused>(done).problems.front().remedy.empty()) << field;
                    ADD_FAILURE() << field["label"] << " -> " << choice["value"] << ": " << refusal(done);
                }
            }
            EXPECT_TRUE(current) << field["label"] << " is " << field["value"];
        }
        EXPECT_GT(taken, 15u) << name;
    }
}

TEST(Cards, a_choice_made_is_what_the_card_then_says) {
    const auto job = example("hall-console");
    const auto chosen = [&](const edit::OpenJob& from, const std::string& label, const std::string& value) {
        for (const Json& field : blanks_of(screen_of(from))) {
            if (field["label"] != label) continue;
            auto done = after(from, edit_for(field, value));
            EXPECT_EQ(refusal(done), "");
            return std::get<edit::OpenJob::Edited>(std::move(done)).job;
        }
        throw std::runtime_error("no blank " + label);
    };
    const auto value_of = [&](const edit::OpenJob& from, const std::string& label) {
        for (const Json& field : blanks_of(screen_of(from))) {
            if (field["label"] == label) return field["value"].get<std::string>();
        }
        return std::string("no blank ") + label;
    };
    const auto round = chosen(job, "shape of the top", "round");
    EXPECT_TRUE(std::holds_alternative<job::RoundOutline>(round.document().job.outline));
    EXPECT_EQ(value_of(round, "shape of the top"), "round");

    const auto bowed = chosen(job, "shape of the front edge", "bow");
    EXPECT_EQ(value_of(bowed, "bow of the front edge"), "45 mm") << "3 % of 1510 mm";
    const auto straight = chosen(bowed, "shape of the front edge", "straight");
    EXPECT_EQ(straight.plan().inputs_sha256, job.plan().inputs_sha256);
    const auto pinned = chosen(job, "shape of the left edge", "pins");
    EXPECT_EQ(value_of(pinned, "pin 1 of the left edge, from the left"), "-13 mm") << "out of the top";

    const auto arc = chosen(job, "how front seam is drawn", "arc");
    EXPECT_EQ(screen_of(arc)["seams"][0]["as"], "arc");

    const auto held = chosen(job, "way of copying for front seam", job.plan().seams[0].chains[1].id);
    EXPECT_TRUE(screen_of(held)["seams"][0]["chains"][1]["pinned"].get<bool>());
    EXPECT_TRUE(screen_of(held)["seams"][0]["chains"][1]["chosen"].get<bool>());
    EXPECT_EQ(chosen(held, "way of copying for front seam", "").plan().inputs_sha256, job.plan().inputs_sha256);

    const auto left = chosen(job, "hand of the master of front seam", "left");
    EXPECT_EQ(left.document().job.seams[0].master, job::Seam::Hand::left);
    EXPECT_EQ(value_of(chosen(job, "wood of insert", "Ash, white"), "wood of insert"), "Ash, white");

    const auto inches = chosen(job, "unit of plain numbers", "in");
    EXPECT_EQ(inches.plan().outline.segments.size(), job.plan().outline.segments.size());
    EXPECT_NEAR(inches.plan().box.width_mm(), job.plan().box.width_mm(), 1e-9);
}

TEST(Cards, an_arc_told_by_its_rise_or_its_radius_is_the_same_arc) {
    const auto job = example("bench-top");
    for (const Json& field : blanks_of(screen_of(job))) {
        if (field["label"] != "what the arc of arch is given by") continue;
        const auto done = after(job, edit_for(field, "rise"));
        ASSERT_EQ(refusal(done), "");
        const auto& edited = std::get<edit::OpenJob::Edited>(done).job;
        const auto& arc = std::get<curves::Arc>(edited.document().job.seams[0].curve);
        // Rise of 60 in radius over a chord of 62 in: r − √(r² − c²/4).
        EXPECT_NEAR(*arc.rise_mm, 25.4 * (60.0 - std::sqrt(60.0 * 60.0 - 31.0 * 31.0)), 0.001);
        return;
    }
    FAIL() << "no such blank";
}

// check_values.csv, elastica_pinned_strip: a stick whose ends are 0.95 of its length apart rises by 0.1401106 of it.
TEST(Cards, a_stick_told_by_its_rise_or_its_length_is_the_same_stick) {
    const auto job = opened(job::testing::small_job(
        R"({"straight": {"from": [-30, 200], "to": [1030, 200]}})",
        R"({"sprung": {"from": [-30, 200], "to": [1030, 200], "length": 1115.7894736842, "bulge": "left"}})"));
    const Json screen = screen_of(job);
    EXPECT_EQ(screen["seams"][0]["as"], "sprung");
    bool told = false;
    for (const Json& sentence : screen["cards"][1]["sentences"])
        told =
            told || sentence[0].dump().find("1115.8 mm long between its ends, rises by 156.3 mm and leaves them at ") !=
                        std::string::npos;
    EXPECT_TRUE(told) << screen["cards"][1].dump(1);
    for (const Json& field : blanks_of(screen)) {
        if (field["label"] != "what the stick of seam is given by") continue;
        const auto done = after(job, edit_for(field, "rise"));
        ASSERT_EQ(refusal(done), "");
        const auto& edited = std::get<edit::OpenJob::Edited>(done).job;
        EXPECT_NEAR(*std::get<curves::Sprung>(edited.document().job.seams[0].curve).rise_mm, 0.1401106 * 1060.0 / 0.95,
                    0.001);
        return;
    }
    FAIL() << "no such blank";
}

TEST(Cards, the_stick_of_the_job_and_one_of_its_own) {
    const auto job = opened(
        job::testing::small_job(R"({"straight": {"from": [-30, 200], "to": [1030, 200]}})",
                                R"({"sprung": {"from": [-30, 200], "to": [1030, 200], "rise": 60, "bulge": "left"}})"));
    const auto chosen = [&](const edit::OpenJob& from, const std::string& label, const std::string& value) {
        for (const Json& field : blanks_of(screen_of(from))) {
            if (field["label"] != label) continue;
            const auto done = after(from, edit_for(field, value));
            EXPECT_EQ(refusal(done), "");
            return std::get<edit::OpenJob::Edited>(done).job;
        }
        throw std::runtime_error("no blank " + label);
    };
    const auto one = chosen(job, "stick of the job", "one");
    EXPECT_EQ(*one.document().job.stick, (job::Stick{"Ash, white", 6.0}));
    EXPECT_NE(screen_of(one)["cards"].dump().find("It holds; so does any up to "), std::string::npos);
    const auto own = chosen(one, "stick of seam", "own");
    EXPECT_EQ(*own.document().job.seams[0].stick, (job::Stick{"Ash, white", 6.0})) << "begun with that of the job";
    const auto thick = chosen(own, "thickness of the stick of seam", "40");
    EXPECT_NE(screen_of(thick)["problems"].dump().find("\"thinner:/seams/0/stick/thickness\""), std::string::npos);
    EXPECT_EQ(chosen(thick, "wood of the stick of seam", "Cherry, black").document().job.seams[0].stick->species,
              "Cherry, black");
    EXPECT_FALSE(chosen(thick, "stick of seam", "").document().job.seams[0].stick);
    EXPECT_EQ(chosen(one, "stick of the job", "").plan().inputs_sha256, job.plan().inputs_sha256);
}

TEST(Cards, a_piece_without_a_name_can_be_given_one_and_a_wood) {
    const auto job = opened(job::testing::small_job());
    const Json screen = screen_of(job);
    int named = 0;
    for (const Json& field : blanks_of(screen)) {
        if (field["pointer"] != "/pieces") continue;
        const auto done = after(job, edit_for(field, field["kind"] == "text" ? "front" : "Ash, white"));
        ASSERT_EQ(refusal(done), "");
        const auto& pieces = std::get<edit::OpenJob::Edited>(done).job.document().job.pieces;
        ASSERT_EQ(pieces.size(), 1u);
        if (field["kind"] == "text") {
            EXPECT_EQ(pieces[0].name, "front");
        } else {
            EXPECT_EQ(pieces[0].species, "Ash, white");
        }
        ++named;
    }
    EXPECT_EQ(named, 4) << "name and wood of two pieces";
}

TEST(Cards, sentences_read_as_sentences) {
    for (const auto& name : example_names()) {
        const Json screen = screen_of(example(name));
        for (const Json& card : screen["cards"]) {
            EXPECT_NE(card["title"], "");
            EXPECT_FALSE(card["sentences"].empty());
            for (const Json& sentence : card["sentences"]) {
                ASSERT_TRUE(sentence.front().is_string()) << sentence;
                std::string text;
                for (const Json& part : sentence)
                    text += part.is_string() ? part.get<std::string>() : part.value("value", "");
                // A text of several lines stands below its sentence.
                if (sentence.back().is_object() && sentence.back().value("kind", "") == "long") continue;
                EXPECT_TRUE(text.back() == '.' || text.starts_with("Remark")) << text;
                EXPECT_EQ(text.find("  "), std::string::npos) << text;
            }
        }
    }
}

TEST(Cards, labels_name_each_blank_of_a_card_once) {
    for (const auto& name : example_names()) {
        std::set<std::string> seen;
        for (const Json& field : blanks_of(screen_of(example(name)))) {
            EXPECT_TRUE(seen.insert(field["label"]).second) << field["label"];
        }
    }
}

TEST(Cards, an_inch_job_is_told_in_inches) {
    for (const Json& field : blanks_of(screen_of(example("bench-top")))) {
        if (field["kind"] != "length" || field["value"] == "") continue;
        EXPECT_NE(field["value"].get<std::string>().find(" in"), std::string::npos) << field;
    }
}

}  // namespace
}  // namespace seamwright::screen::testing
