#include "server_board_photo.h"

#include <fmt/format.h>

#include <mutex>
#include <nlohmann/json.hpp>
#include <span>
#include <variant>

#include "board_photo_words.h"
#include "plan/sha256.h"
#include "server_fault.h"
#include "server_json.h"
#include "server_wish.h"
#include "trace/board_picture.h"

namespace seamwright::app {
namespace {

using Json = nlohmann::ordered_json;

struct Wish {
    trace::BoardPictureSettings settings;
    units::LengthStyle style;
};

Wish wish_in(std::string_view query) {
    const Json json = wish_json(query);
    Wish wish;
    const auto has = [&](const char* key) { return json.contains(key) && !json[key].is_null(); };
    if (has("unit") && json["unit"] == "in") wish.style.unit = units::Unit::inch;
    auto& corners = wish.settings.corners_px;
    if (!has("corners") || !json["corners"].is_array() || json["corners"].size() != corners.size())
        throw Unreadable{"a board has four corners"};
    for (std::size_t i = 0; i < corners.size(); ++i) corners[i] = place_in(json["corners"][i]);
    const auto size = [&](const char* key, std::optional<double>& into) {
        if (!has(key)) return;
        const double mm = length_in(json[key], wish.style.unit);
        constexpr double longest_mm = 10000.0;
        if (!(mm > 0.0 && mm <= longest_mm)) throw Unreadable{"a board is up to 10 m long"};
        into = mm;
    };
    size("length", wish.settings.length_mm);
    size("width", wish.settings.width_mm);
    if (has("above")) wish.settings.view.above_marks_mm = length_in(json["above"], wish.style.unit);
    return wish;
}

}  // namespace

Answer board_photo_answer(std::string_view query, std::string_view body,
                          const std::function<void(const std::string& name, const std::string& bytes)>& keep) {
    static std::mutex one_at_a_time;
    try {
        const Wish wish = wish_in(query);
        const std::lock_guard lock(one_at_a_time);
        // Bodies are read as char, pictures as unsigned char.
        const auto made = trace::picture_of_board(
            std::span(reinterpret_cast<const std::uint8_t*>(body.data()), body.size()), wish.settings);
        if (const auto* why = std::get_if<trace::TraceProblem>(&made)) return json_answer(422, problem_of(*why));
        const auto& board = std::get<trace::BoardPicture>(made);
        const std::string jpeg = trace::write_jpeg(board.picture, board_picture_quality);
        constexpr std::size_t digits = 24;  // 96 bits: no two pictures meet by chance
        const std::string name = fmt::format("board-{}.jpg", plan::sha256_hex(jpeg).substr(0, digits));
        keep(name, jpeg);
        Json json{{"picture", name}, {"says", words_of(board, wish.style)}};
        Json minds = Json::array();
        for (const trace::TraceProblem& mind : board.remarks) minds.push_back(problem_of(mind));
        json["minds"] = std::move(minds);
        return json_answer(200, json);
    } catch (const Unreadable& why) {
        return fault(400, fmt::format("The photo was not used: {}.", why.says), "Put it right and try again.");
    }
}

}  // namespace seamwright::app
