#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

#include "carry_on.h"
#include "draw.h"
#include "easing.h"
#include "keep_record.h"
#include "laying.h"
#include "learn.h"
#include "marking.h"
#include "moves.h"
#include "pieces.h"
#include "remedies.h"
#include "request.h"
#include "values.h"
#include "words.h"

namespace seamwright::edit {
namespace {

struct Act {
    std::string_view name;
    std::string (*carry_out)(Bench& bench, const Json& edit);
};

const Json& value_of(const Json& edit) {
    const auto it = edit.find("value");
    if (it == edit.end()) refuse_edit("an edit without \"value\"", "the value to write");
    return *it;
}

Stride stride_in(const Json& edit) {
    const std::string size = text_in(edit, "size");
    if (size == "fine") return Stride::fine;
    if (size == "rule") return Stride::rule;
    if (size == "coarse") return Stride::coarse;
    refuse_edit("a nudge of an unknown size", "\"fine\", \"rule\" or \"coarse\"");
}

const std::array acts{
    Act{"set",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "set", {"value"});
            return set_value(bench, text_in(edit, "set"), value_of(edit));
        }},
    Act{"insert",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "insert", {"value"});
            return insert_value(bench, text_in(edit, "insert"), value_of(edit));
        }},
    Act{"remove",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "remove", {});
            return remove_value(bench, text_in(edit, "remove"));
        }},
    Act{"move",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "move", {"to", "mm_per_px", "free"});
            return move_handle(bench, text_in(edit, "move"), place_in(edit, "to"), aim_in(edit));
        }},
    Act{"nudge",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "nudge", {"steps", "size"});
            return nudge_handle(bench, text_in(edit, "nudge"), place_in(edit, "steps"), stride_in(edit));
        }},
    Act{"add_pin",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "add_pin", {"at", "mm_per_px"});
            return add_pin(bench, text_in(edit, "add_pin"), place_in(edit, "at"));
        }},
    Act{"draw_seam",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "draw_seam", {});
            const Json& wanted = *edit.find("draw_seam");
            if (!wanted.is_object()) refuse_edit("a seam to draw that is no group", "{ as, through, mm_per_px }");
            check_members(wanted, "as", {"through", "mm_per_px"});
            return draw_seam(bench, text_in(wanted, "as"), places_in(wanted, "through"), aim_in(wanted));
        }},
    Act{"redraw",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "redraw", {"as"});
            return redraw(bench, text_in(edit, "redraw"), text_in(edit, "as"));
        }},
    Act{"ease",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "ease", {"on"});
            return ease(bench, text_in(edit, "ease"), flag_in(edit, "on"));
        }},
    Act{"import",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "import", {"svg_path", "csv", "unit", "name"});
            return import_curve(
                bench, {text_in(edit, "import"), optional_text_in(edit, "svg_path"), optional_text_in(edit, "csv"),
                        text_in(edit, "unit"), optional_text_in(edit, "name").value_or("")});
        }},
    Act{"trace",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "trace", {"traced", "name"});
            const auto traced = edit.find("traced");
            if (traced == edit.end()) refuse_edit("an edit without \"traced\"", "a trace there");
            return bring_trace(bench, text_in(edit, "trace"), *traced, optional_text_in(edit, "name").value_or(""));
        }},
    Act{"piece",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "piece", {"name", "species", "grain_degrees"});
            PieceWords words{place_in(edit, "piece"), optional_text_in(edit, "name"), optional_text_in(edit, "species"),
                             std::nullopt};
            if (edit.contains("grain_degrees")) words.grain_degrees = number_in(edit, "grain_degrees");
            return describe_piece(bench, words);
        }},
    Act{"lay",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "lay", {"strip", "of", "board", "at", "turned", "over"});
            return lay_part(
                bench, {place_in(edit, "lay"), count_in(edit, "strip"), count_in(edit, "of"), text_in(edit, "board"),
                        place_in(edit, "at"), flag_in(edit, "turned"), flag_in(edit, "over")});
        }},
    Act{"unlay",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "unlay", {"strip"});
            return free_part(bench, place_in(edit, "unlay"), count_in(edit, "strip"));
        }},
    Act{"mark",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "mark", {"what", "through"});
            return mark_board(bench, text_in(edit, "mark"), text_in(edit, "what"), places_in(edit, "through"));
        }},
    Act{"remedy",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "remedy", {});
            return carry_out_remedy(bench, text_in(edit, "remedy"));
        }},
    Act{"learn",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "learn", {});
            return learn(bench, text_in(edit, "learn"));
        }},
    Act{"keep_record",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "keep_record", {});
            if (!flag_in(edit, "keep_record")) refuse_edit("\"keep_record\": false", "true");
            return keep_record(bench);
        }},
    Act{"take_shop_shelf",
        [](Bench& bench, const Json& edit) {
            check_members(edit, "take_shop_shelf", {});
            if (!flag_in(edit, "take_shop_shelf")) refuse_edit("\"take_shop_shelf\": false", "true");
            return take_shop_shelf(bench);
        }},
};

std::string carry_out(Bench& bench, const Json& edit) {
    if (!edit.is_object()) refuse_edit("an edit that is no group", "{ \"set\": …, \"value\": … } and its like");
    const Steps outline{"top", "outline"};
    for (const Act& act : acts) {
        if (!edit.contains(std::string(act.name))) continue;
        const Json* there = find(bench.tree(), outline);
        const Json before = there != nullptr ? *there : Json(nullptr);
        std::string says = act.carry_out(bench, edit);
        const Json* after = find(bench.tree(), outline);
        if (after != nullptr && *after != before) carry_seams_on(bench);
        return says;
    }
    refuse_edit("an edit that is not known", "one of the edits this program carries out");
}

/// One sentence for several edits.
std::string joined(const std::vector<std::string>& says) {
    if (says.empty()) return "Nothing changed";
    std::vector<std::string> distinct;
    for (const std::string& one : says) {
        if (distinct.empty() || distinct.back() != one) distinct.push_back(one);
    }
    if (distinct.size() == 1) return distinct.front();
    return fmt::format("{}, and {} more change{}", distinct.front(), distinct.size() - 1,
                       distinct.size() == 2 ? "" : "s");
}

}  // namespace

std::variant<OpenJob::Edited, Refused> OpenJob::edited(std::string_view edits, std::string_view shop_shelf) const {
    try {
        const auto list = parsed(edits);
        // More than any page sends at once; each edit may plan the job anew.
        constexpr std::size_t most_edits = 1000;
        if (!list || !list->is_array() || list->size() > most_edits)
            refuse_edit("edits that are no list", "a list of edits in JSON, at most 1000");
        if (list->empty()) return Edited{*this, "Nothing changed", false};
        Bench bench(*whole_, shop_shelf);
        std::vector<std::string> says;
        for (const Json& edit : *list) says.push_back(carry_out(bench, edit));
        auto whole = std::make_shared<const Whole>(Whole{bench.finish()});
        const Json* before = find(whole_->tree, {"shelf"});
        const Json* after = find(whole->tree, {"shelf"});
        const bool shelf_changed =
            (before == nullptr) != (after == nullptr) || (before != nullptr && *before != *after);
        return Edited{OpenJob(std::move(whole)), joined(says), shelf_changed};
    } catch (Refusal& refusal) {
        std::stable_partition(refusal.problems.begin(), refusal.problems.end(),
                              [](const job::Problem& p) { return p.weight == job::Problem::Weight::error; });
        return Refused{std::move(refusal.problems)};
    }
}

}  // namespace seamwright::edit
