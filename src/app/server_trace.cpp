#include "server_trace.h"

#include <fmt/format.h>

#include <cstdint>
#include <mutex>
#include <nlohmann/json.hpp>
#include <span>
#include <variant>
#include <vector>

#include "job/read.h"
#include "plan/sha256.h"
#include "server_fault.h"
#include "server_json.h"
#include "server_wish.h"
#include "trace/as_curve.h"
#include "trace_words.h"

namespace seamwright::app {
namespace {

using Json = nlohmann::ordered_json;
using geometry::Point;
using Picture = std::span<const std::uint8_t>;

/// Places on the overlay for one line: more than a screen has pixels.
constexpr std::size_t most_places = 2000;

std::vector<Picture> pictures_in(std::string_view body) {
    std::vector<Picture> pictures;
    const auto* bytes = reinterpret_cast<const std::uint8_t*>(body.data());
    std::size_t at = 0;
    while (at < body.size()) {
        if (body.size() - at < 4 || pictures.size() == trace::most_scans)
            throw Unreadable{"the pictures cannot be told apart"};
        std::size_t length = 0;
        for (std::size_t k = 0; k < 4; ++k) length = length << 8U | bytes[at + k];
        at += 4;
        if (length > body.size() - at) throw Unreadable{"a picture is cut short"};
        pictures.emplace_back(bytes + at, length);
        at += length;
    }
    if (pictures.empty()) throw Unreadable{"there is no picture"};
    return pictures;
}

struct Wish {
    bool scan = false;
    std::optional<double> per_inch;
    trace::LineSettings line;
    trace::ViewSettings view;
    std::string name;
    units::LengthStyle style;
};

Wish wish_in(std::string_view query) {
    const Json json = wish_json(query);
    Wish wish;
    const auto has = [&](const char* key) { return json.contains(key) && !json[key].is_null(); };
    if (has("unit") && json["unit"] == "in") wish.style.unit = units::Unit::inch;
    wish.scan = has("scan") && json["scan"] == true;
    if (has("edge") && json["edge"] == true) wish.line.kind = trace::LineKind::edge;
    if (has("per_inch")) {
        constexpr double least = 75.0, most = 4800.0;
        if (!json["per_inch"].is_number() || !(json["per_inch"] >= least) || !(json["per_inch"] <= most))
            throw Unreadable{"pixels per inch are 75 to 4800"};
        wish.per_inch = json["per_inch"].get<double>();
    }
    if (has("name") && json["name"].is_string()) wish.name = json["name"].get<std::string>();
    if (has("from")) wish.line.start_px = place_in(json["from"]);
    if (has("to")) wish.line.end_px = place_in(json["to"]);
    if (has("through")) {
        if (!json["through"].is_array()) throw Unreadable{"places that are no list"};
        for (const Json& place : json["through"]) wish.line.through_px.push_back(place_in(place));
    }
    if (has("above")) wish.view.above_marks_mm = length_in(json["above"], wish.style.unit);
    if (has("taped")) {
        if (!json["taped"].is_array()) throw Unreadable{"distances that are no list"};
        for (const Json& one : json["taped"]) {
            const auto mark = [&](const char* key) {
                if (!one.is_object() || !one.contains(key) || !one[key].is_number_integer())
                    throw Unreadable{"a mark without number"};
                const int id = one[key].get<int>();
                if (id < 0 || id >= trace::mark_count) throw Unreadable{"marks have the numbers 0 to 586"};
                return id;
            };
            trace::Taped taped;
            taped.from_mark = mark("from");
            taped.to_mark = mark("to");
            if (!one.contains("apart")) throw Unreadable{"marks without a distance"};
            taped.apart_mm = length_in(one["apart"], wish.style.unit);
            if (!(taped.apart_mm > 0.0) || taped.from_mark == taped.to_mark) throw Unreadable{"a distance of nothing"};
            wish.view.taped.push_back(taped);
        }
    }
    return wish;
}

Json places_of(const std::vector<Point>& places) {
    Json list = Json::array();
    for (const Point p : places) list.push_back(place_of(p));
    return list;
}

Json overlay_of(const trace::Overlay& overlay) {
    Json json;
    json["width"] = overlay.width_px;
    json["height"] = overlay.height_px;
    Json line = Json::array();
    const std::size_t every = overlay.line_px.size() / most_places + 1;
    for (std::size_t i = 0; i < overlay.line_px.size(); i += every) line.push_back(place_of(overlay.line_px[i]));
    if (!overlay.line_px.empty() && (overlay.line_px.size() - 1) % every != 0)
        line.push_back(place_of(overlay.line_px.back()));
    json["line"] = std::move(line);
    json["closed"] = overlay.closed;
    Json marks = Json::array();
    for (const trace::FoundMark& mark : overlay.marks)
        marks.push_back({{"id", mark.id}, {"corners", places_of({mark.corners_px.begin(), mark.corners_px.end()})}});
    json["marks"] = std::move(marks);
    json["free_ends"] = places_of(overlay.free_ends_px);
    json["gaps"] = places_of(overlay.gaps_px);
    return json;
}

Json view_of(const trace::Trace& found, const Wish& wish, Picture first) {
    const TraceWords words = words_of(found, wish.scan, wish.style);
    const std::string_view bytes(reinterpret_cast<const char*>(first.data()), first.size());
    const curves::Traced curve = trace::as_curve(found, {wish.scan, wish.name, plan::sha256_hex(bytes)});
    Json json;
    json["line"] = words.line;
    json["picture"] = words.picture;
    json["marks"] = words.marks;
    json["trust"] = words.trust;
    Json uses = Json::array();
    for (const trace::TraceUse& use : words.uses) uses.push_back({{"good", use.good}, {"says", use.says}});
    json["uses"] = std::move(uses);
    Json minds = Json::array();
    for (const trace::TraceProblem& remark : found.remarks) minds.push_back(problem_of(remark));
    json["minds"] = std::move(minds);
    Json pictures = Json::array();
    for (const trace::Overlay& overlay : found.pictures) pictures.push_back(overlay_of(overlay));
    json["pictures"] = std::move(pictures);
    json["traced"] = Json::parse(job::write_traced(curve));
    return json;
}

}  // namespace

Answer trace_answer(std::string_view query, std::string_view body) {
    static std::mutex one_at_a_time;
    try {
        const Wish wish = wish_in(query);
        const std::vector<Picture> pictures = pictures_in(body);
        if (!wish.scan && pictures.size() > 1) throw Unreadable{"several photos at once"};
        const std::lock_guard lock(one_at_a_time);
        const auto answer = [&]() -> std::variant<trace::Trace, trace::TraceProblem> {
            if (wish.scan) return trace::trace_scans(pictures, {wish.line, wish.per_inch});
            return trace::trace_photo(pictures.front(), {wish.view, wish.line});
        }();
        if (const auto* why = std::get_if<trace::TraceProblem>(&answer)) return json_answer(422, problem_of(*why));
        return json_answer(200, view_of(std::get<trace::Trace>(answer), wish, pictures.front()));
    } catch (const Unreadable& why) {
        return fault(400, fmt::format("The picture was not traced: {}.", why.says), "Put it right and try again.");
    }
}

}  // namespace seamwright::app
