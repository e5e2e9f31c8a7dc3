#include "words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "plan/made_study.h"
#include "shop_hours.h"

namespace seamwright::edit {
namespace {

std::string name_at(const Json& tree, const Steps& steps, std::string_view otherwise) {
    const Json* name = find(tree, steps / "name");
    return name != nullptr && name->is_string() ? name->get<std::string>() : std::string(otherwise);
}

/// "the note on routing edges of front seam, 2027-01-12"
std::string note_words(const Json& tree, const Steps& note) {
    const auto text = [&](const char* member) {
        const Json* value = find(tree, note / member);
        return value != nullptr && value->is_string() ? value->get<std::string>() : std::string("a step");
    };
    job::Job names;
    if (const Json* seams = find(tree, {"seams"}); seams != nullptr && seams->is_array()) {
        for (std::size_t i = 0; i < seams->size(); ++i) {
            names.seams.emplace_back();
            names.seams.back().name = name_at(tree, Steps{"seams", std::to_string(i)}, "the seam");
        }
    }
    return fmt::format("the note on {}, {}", plan::words::step_text(text("step"), names), text("on"));
}

std::string plain(std::string_view name) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 36> words{{
        {"at", "place"},
        {"turn_degrees", "turn"},
        {"grain_degrees", "grain direction"},
        {"start_degrees", "direction at the start"},
        {"end_degrees", "direction at the end"},
        {"max_speed", "highest speed"},
        {"measured", "measured size"},
        {"outside", "outside"},
        {"bulge", "side it bulges to"},
        {"batten", "lie of the batten"},
        {"master", "hand of the master"},
        {"chain", "way of copying"},
        {"from", "start"},
        {"to", "end"},
        {"pass", "depth of a pass"},
        {"first_pass", "depth of the first pass"},
        {"last_pass", "depth of the last pass"},
        {"gap", "accepted gap"},
        {"least_radius", "tightest radius allowed"},
        {"within", "distance allowed"},
        {"as_made", "readings along the template"},
        {"longest_bump", "longest bump"},
        {"fair_within", "what counts as fair"},
        {"edges", "edge"},
        {"build_up", "build-up under the edge"},
        {"calendar", "shop calendar"},
        {"first_day", "first day of work"},
        {"system", "kind"},
        {"apply", "way of applying"},
        {"labour_per_hour", "price of an hour"},
        {"sheet_per_m2", "price of sheet goods"},
        {"adhesive_per_kg", "price of glue"},
        {"finish_per_litre", "price of finish"},
        {"abrasive_per_sheet", "price of an abrasive"},
        {"cutter_per_metre", "price of a metre routed"},
        {"wood_per_m3", "price of wood"},
    }};
    const auto it = std::find_if(words.begin(), words.end(), [&](const auto& pair) { return pair.first == name; });
    std::string text(it != words.end() ? it->second : name);
    std::replace(text.begin(), text.end(), '_', ' ');
    return text;
}

}  // namespace

std::string seam_name(const Json& tree, const Steps& steps) {
    return name_at(tree, first_steps(steps, 2), "the seam");
}

std::string owner_words(const Json& tree, const Steps& steps) {
    if (steps.empty()) return "the job";
    const std::string& first = steps.front();
    if (first == "seams" && steps.size() > 1) return seam_name(tree, steps);
    if (first == "pieces" && steps.size() > 1) return name_at(tree, first_steps(steps, 2), "the piece");
    if (first == "made" && steps.size() > 1) return note_words(tree, first_steps(steps, 2));
    if (first == "shelf" && steps.size() > 2 && steps[1] == "work_done")
        return "the record of " +
               note_words(tree, first_steps(steps, 3)).substr(std::string_view("the note on ").size());
    if (first == "shelf" && steps.size() > 2 && steps[1] == "test_cuts") {
        const auto tool = [&](const char* member) {
            const Json* name = find(tree, first_steps(steps, 3) / member);
            return name != nullptr && name->is_string() ? name->get<std::string>() : std::string("a tool");
        };
        return fmt::format("the test cut of {} and {}", tool("guide"), tool("cutter"));
    }
    if (first == "shelf" && steps.size() > 2 && steps[1] == "discs") {
        const Json* species = find(tree, first_steps(steps, 3) / "species");
        return species != nullptr && species->is_string() ? "the disc of " + species->get<std::string>()
                                                          : std::string("the disc");
    }
    if (first == "shelf" && steps.size() > 2) return name_at(tree, first_steps(steps, 3), "the tool");
    if (first == "top") return "the top";
    if (first == "template") return "the templates";
    if (first == "limits") return "the limits";
    if (first == "accuracy") return "how true the work is";
    if (first == "gluing") return "the gluing";
    if (first == "paper") return "the paper";
    if (first == "edges") return steps.size() > 1 && steps[1] == "underside" ? "the lower rim" : "the upper rim";
    if (first == "build_up") return "the build-up";
    if (first == "finish") return "the finish";
    if (first == "calendar") return "the shop calendar";
    if (first == "prices") return "the prices";
    if (first == "show") return "the lengths shown";
    return "the job";
}

std::string place_words(const Json& tree, const Steps& steps) {
    std::string owner = owner_words(tree, steps);
    if (steps.empty()) return owner;
    const std::size_t n = steps.size();
    const std::string& last = steps.back();
    const auto index = index_of(last);
    if (!index) {
        if (n == 1 && last == "note") return "note";
        if (n == 3 && steps[1] == "hours") return "hours on " + capitalised(last);
        // The note of a note is what was written there.
        if (n == 3 && steps.front() == "made")
            return fmt::format("{} in {}", last == "note" ? "words" : last == "on" ? "day" : last, owner);
        if (n == 1) return plain(last);
        const bool edge = n > 4 && steps[n - 2] != "rectangle" && steps[2] == "rectangle";
        if (edge && steps[n - 2] != "corner_radius") return fmt::format("{} of the {} edge", plain(last), steps[n - 2]);
        if (edge) return fmt::format("{} corner of the top", plain(last));
        if (n > 1 && steps[n - 2] == "stick") return fmt::format("{} of the stick of {}", plain(last), owner);
        if (n > 1 && steps[n - 2] == "sprung" && last == "length")
            return fmt::format("length of the stick of {}", owner);
        const Json* list = n > 2 && index_of(steps[n - 2]) && steps[n - 3] == "terms"
                               ? find(tree, first_steps(steps, n - 2))
                               : nullptr;
        if (list != nullptr && list->size() > 1)
            return fmt::format("{} of wave {} of {}", plain(last), *index_of(steps[n - 2]) + 1, owner);
        return fmt::format("{} of {}", plain(last), owner);
    }
    if (n >= 2 && (steps[n - 2] == "points" || steps[n - 2] == "pins"))
        return fmt::format("pin {} of {}", *index + 1, owner);
    if (n == 3 && steps[1] == "off") {
        const Json* day = find(tree, steps);
        return day != nullptr && day->is_string() ? "day off " + day->get<std::string>() : "day off";
    }
    if (n >= 2 && steps[n - 2] == "terms") return fmt::format("wave {} of {}", *index + 1, owner);
    if (n >= 2 && steps[n - 2] == "readings") return fmt::format("reading {} of {}", last, owner);
    // A coordinate stands for its point.
    if (kind_of_field(steps) == FieldKind::length)
        return fmt::format("{} of {}", *index == 0 ? "x" : "y", place_words(tree, first_steps(steps, n - 1)));
    return owner;
}

std::string value_words(const Json& tree, const Steps& steps, const Json& value) {
    const Ruler ruler(tree);
    const FieldKind kind = kind_of_field(steps);
    const bool fine =
        !steps.empty() && (steps.back() == "measured" || (steps.size() > 1 && steps[steps.size() - 2] == "readings"));
    if (value.is_number() && fine) return units::show_thin(ruler.mm(value, 0.0), ruler.style.unit);
    if (value.is_number() && kind == FieldKind::length) return ruler.show(ruler.mm(value, 0.0));
    if (value.is_number() && kind == FieldKind::angle) return value.dump() + "°";
    if (value.is_boolean()) return value.get<bool>() ? "yes" : "no";
    if (value.is_string()) {
        constexpr std::size_t longest = 60;
        const auto& text = value.get_ref<const std::string&>();
        if (kind == FieldKind::length && length_mm(value, ruler.bare) && !length_mm(value, units::Unit::millimetre))
            return text + " in";
        return text.size() <= longest ? text : "changed";
    }
    if (is_weekday(steps) && value.is_array()) {
        std::string hours;
        for (const Json& each : value)
            if (each.is_string()) hours += (hours.empty() ? "" : ", ") + each.get<std::string>();
        return hours.empty() ? "closed" : hours;
    }
    return value.is_structured() ? "changed" : value.dump();
}

}  // namespace seamwright::edit
