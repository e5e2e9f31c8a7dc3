#include <fmt/format.h>

#include "cards.h"
#include "plan/words.h"
#include "say.h"

namespace seamwright::screen {
namespace {

/// A stick to start from: common practice for a batten that is bent by hand (our choice).
constexpr std::string_view first_wood = "Ash, white";

std::string stick_edit(const Blanks& blanks, const std::string& pointer, const std::optional<job::Stick>& like) {
    job::JsonWriter json(job::JsonWriter::Layout::one_line_thousandths);
    json.begin_group();
    json.text("set", pointer);
    json.begin_group("value");
    json.text("species", like ? like->species : std::string(first_wood));
    json.text("thickness", like                                 ? plain_number(like->thickness_mm) + " mm"
                           : blanks.unit() == units::Unit::inch ? "1/4 in"
                                                                : "6 mm");
    json.end_group();
    json.end_group();
    return json.take_part();
}

void say_its_size(Card& card, const Blanks& blanks, const std::string& pointer, const job::Stick& stick,
                  const std::string& of) {
    card.say({"It is of ", wood_choice(blanks, pointer + "/species", stick.species, "the stick of " + of), ", ",
              blanks.length(pointer + "/thickness", stick.thickness_mm, "thickness of the stick of " + of),
              " thick in the direction it is bent."});
}

}  // namespace

void say_stick(Card& card, const Blanks& blanks, std::optional<std::size_t> seam) {
    const job::Job& job = blanks.job().document().job;
    if (!seam) {
        const std::string at = "/stick";
        card.say({"Curves through pins and sprung ones are drawn with ",
                  blanks.choice(at, job.stick ? "one" : "", "stick of the job",
                                {{"", "a stick not told here", open_edit(at)},
                                 {"one", "this stick", stick_edit(blanks, at, std::nullopt)}}),
                  "."});
        if (job.stick) say_its_size(card, blanks, at, *job.stick, "the job");
        return;
    }
    const job::Seam& asked = job.seams.at(*seam);
    const bool by_stick =
        std::holds_alternative<curves::Pins>(asked.curve) || std::holds_alternative<curves::Sprung>(asked.curve);
    if (!by_stick && !asked.stick) return;
    const std::string at = fmt::format("/seams/{}/stick", *seam);
    const bool jobs = job.stick && by_stick;
    card.say({"It is drawn with ",
              blanks.choice(at, asked.stick ? "own" : "", "stick of " + asked.name,
                            {{"", jobs ? "the stick of the job" : "a stick not told here", open_edit(at)},
                             {"own", "a stick of its own", stick_edit(blanks, at, job.stick)}}),
              "."});
    if (asked.stick) say_its_size(card, blanks, at, *asked.stick, asked.name);
    const plan::Plan& plan = blanks.job().plan();
    if (*seam >= plan.seams.size() || !plan.seams[*seam].stick) return;
    card.say({"That stick: " + plan::words::stick_text(*plan.seams[*seam].stick, plan.style)});
}

}  // namespace seamwright::screen
