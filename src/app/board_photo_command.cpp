#include "board_photo_command.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <filesystem>
#include <ostream>
#include <variant>

#include "asked_text.h"
#include "board_photo_words.h"
#include "trace/board_picture.h"

namespace seamwright::app {
namespace {

constexpr double longest_mm = 10000.0;

std::optional<double> size_in(const std::string& text, units::Unit bare, const char* option) {
    if (text.empty()) return std::nullopt;
    const double mm = length_in(text, bare, option);
    if (!(mm > 0.0 && mm <= longest_mm))
        throw Stop{Exit::bad_input, fmt::format("{} {}: no board is that size.", option, text),
                   "Write what the tape says, above 0 and up to 10 m."};
    return mm;
}

bool ends_as_jpeg(const std::string& name) {
    std::string ending = std::filesystem::path(name).extension().string();
    for (char& c : ending) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    return ending == ".jpg" || ending == ".jpeg";
}

}  // namespace

void add_board_photo_options(CLI::App& command, BoardPhotoWish& wish) {
    command.add_option("PHOTO", wish.photo, "A photo of one board, taken from above")->required()->type_name("");
    command
        .add_option(
            "--corners", wish.corners,
            "Its corners in pixels from the left and the top of the photo: near left, near right, far right, far "
            "left")
        ->required()
        ->expected(4)
        ->type_name("X,Y");
    command.add_option("--length", wish.length, "Its length by the tape; needed where no marks are seen")
        ->type_name("LENGTH");
    command.add_option("--width", wish.width, "Its width where it is widest; needed where no marks are seen")
        ->type_name("LENGTH");
    command.add_option("--above", wish.above, "How much higher its face lies than the marks; otherwise they lie on it")
        ->type_name("LENGTH");
    command.add_option("--unit", wish.unit, "mm or in, of bare numbers and for what is told; otherwise mm")
        ->type_name("UNIT")
        ->check(CLI::IsMember({"mm", "in"}).description(""));
    command.add_option("-o,--output", wish.output, "JPEG file for the picture")->required()->type_name("FILE");
}

Exit board_photo(const BoardPhotoWish& wish, std::ostream& out, std::ostream& err) {
    try {
        const units::Unit unit = unit_in(wish.unit);
        if (!ends_as_jpeg(wish.output))
            throw Stop{Exit::bad_input, fmt::format("-o {}: the picture is written as JPEG.", wish.output),
                       "Give it a name that ends in .jpg, such as ash-1.jpg."};
        trace::BoardPictureSettings settings;
        for (std::size_t i = 0; i < settings.corners_px.size(); ++i)
            settings.corners_px[i] = place_in(wish.corners.at(i), "--corners");
        settings.length_mm = size_in(wish.length, unit, "--length");
        settings.width_mm = size_in(wish.width, unit, "--width");
        if (!wish.above.empty()) settings.view.above_marks_mm = length_in(wish.above, unit, "--above");
        const auto made = trace::picture_of_board(picture_bytes(wish.photo), settings);
        if (const auto* why = std::get_if<trace::TraceProblem>(&made))
            throw Stop{Exit::bad_input, why->reason, why->remedy};
        const auto& board = std::get<trace::BoardPicture>(made);
        write_whole(wish.output, trace::write_jpeg(board.picture, board_picture_quality));
        units::LengthStyle style;
        style.unit = unit;
        for (const std::string& said : words_of(board, style)) say(out, "  ", said);
        for (const trace::TraceProblem& mind : board.remarks) say(out, "! ", mind.reason + ' ' + mind.remedy);
        say(out, "",
            fmt::format("Written to {}: name it as \"picture\" of the board in a job file beside it.", wish.output));
        return Exit::good;
    } catch (const Stop& stop) {
        say(err, "", stop.reason);
        say(err, "", stop.remedy);
        return stop.exit;
    }
}

}  // namespace seamwright::app
