#include <fmt/format.h>

#include <cmath>

#include "cards.h"
#include "curves/elastica.h"
#include "job/json_writer.h"
#include "plan/words.h"
#include "say.h"

namespace seamwright::screen {
namespace {

/// More pins than this are moved on the drawing, not in a list.
constexpr std::size_t most_pins_listed = 60;

/// A job may hold twice as many; more than this nobody can keep apart (our choice).
constexpr std::size_t most_waves_offered = 8;

class Sentences {
  public:
    Sentences(Card& card, const Blanks& blanks, std::string pointer, const std::string& of)
        : card_(card), blanks_(blanks), pointer_(std::move(pointer)), of_(of) {}

    void operator()(const curves::Straight& line) { ends("straight", line.from, line.to); }

    void operator()(const curves::Arc& arc) {
        ends("arc", arc.from, arc.to);
        const std::string at = pointer_ + "/arc";
        const double half_mm = 0.5 * geometry::distance(arc.from, arc.to);
        const double size_mm = std::abs(arc.radius_mm ? *arc.radius_mm : arc.rise_mm.value_or(0.0));
        const bool left = (arc.radius_mm ? *arc.radius_mm : arc.rise_mm.value_or(0.0)) > 0.0;
        const Field side = blanks_.choice(at + "/bulge", left ? "left" : "right", "side to which " + of_ + " bulges",
                                          {{"left", "left", {}}, {"right", "right", {}}});
        if (arc.radius_mm) {
            // The shorter way round: the rise is at most half the chord.
            const double rise_mm = size_mm - std::sqrt(std::max(0.0, size_mm * size_mm - half_mm * half_mm));
            card_.say(
                {"It bulges to the ", side, ", given by its ",
                 blanks_.choice(at, "radius", "what the arc of " + of_ + " is given by",
                                {{"radius", "radius", {}}, {"rise", "rise", set_edit(at + "/rise", plain(rise_mm))}}),
                 ", ", blanks_.length(at + "/radius", size_mm, "radius of " + of_), "."});
        } else {
            const double radius_mm = size_mm > 0.0 ? 0.5 * (half_mm * half_mm / size_mm + size_mm) : 0.0;
            std::vector<Choice> choices{{"rise", "rise", {}}};
            // Beyond a half circle the radius alone would mean the shorter way round.
            if (size_mm <= half_mm) choices.push_back({"radius", "radius", set_edit(at + "/radius", plain(radius_mm))});
            card_.say({"It bulges to the ", side, ", given by its ",
                       blanks_.choice(at, "rise", "what the arc of " + of_ + " is given by", std::move(choices)), ", ",
                       blanks_.length(at + "/rise", size_mm, "rise of " + of_), "."});
        }
    }

    void operator()(const curves::Sprung& sprung) {
        ends("sprung", sprung.from, sprung.to);
        const std::string at = pointer_ + "/sprung";
        const double size_mm = sprung.length_mm ? *sprung.length_mm : sprung.rise_mm.value_or(0.0);
        const auto stick = curves::stick_of(sprung);
        const auto* s = std::get_if<curves::SprungStick>(&stick);
        const auto given_by = [&](const char* now) {
            std::vector<Choice> choices{{"rise", "rise", {}}, {"length", "length", {}}};
            for (Choice& choice : choices) {
                if (choice.value == now || s == nullptr) continue;
                choice.edit =
                    set_edit(at + "/" + choice.value, plain(choice.value == "rise" ? s->rise_mm : s->length_mm));
            }
            return blanks_.choice(at, now, "what the stick of " + of_ + " is given by", std::move(choices));
        };
        const Field side =
            blanks_.choice(at + "/bulge", size_mm > 0.0 ? "left" : "right", "side to which " + of_ + " bulges",
                           {{"left", "left", {}}, {"right", "right", {}}});
        const char* member = sprung.length_mm ? "length" : "rise";
        card_.say({"A stick is sprung between them and bulges to the ", side, ", given by its ", given_by(member), ", ",
                   blanks_.length(fmt::format("{}/{}", at, member), std::abs(size_mm),
                                  sprung.length_mm ? "length of the stick of " + of_ : "rise of " + of_),
                   "."});
        if (s == nullptr) return;
        const auto& style = blanks_.job().plan().style;
        card_.say({fmt::format("The stick is {}; it bends most at its crest, to a radius of {}.",
                               plan::words::sprung_text(*s, style), units::show(s->tightest_radius_mm, style))});
    }

    void operator()(const curves::Wave& wave) {
        ends("wave", wave.from, wave.to);
        card_.say({"It is made of ", waves(wave), "."});
        for (std::size_t i = 0; i < wave.terms.size(); ++i) {
            const auto& term = wave.terms[i];
            const std::string at = fmt::format("{}/wave/terms/{}", pointer_, i);
            const std::string which = wave.terms.size() == 1 ? of_ : fmt::format("wave {} of {}", i + 1, of_);
            card_.say({i == 0 ? "It runs as a wave, " : "On that rides another wave, ",
                       blanks_.length(at + "/half_height", term.half_height_mm, "height of " + which),
                       " high above its middle line, one wave every ",
                       blanks_.length(at + "/length", term.length_mm, "length of " + which), ", begun ",
                       blanks_.number(at + "/shift", term.shift, "shift of " + which), " of a wave along its course."});
        }
    }

    void operator()(const curves::Oval& oval) {
        if (blanks_.job().written_at(pointer_ + "/circle/diameter")) {
            const std::string at = pointer_ + "/circle";
            card_.say({"It is a circle of ", blanks_.length(at + "/diameter", oval.length_mm, "diameter of " + of_),
                       " across."});
            card_.say(
                joined({{"Its middle lies "}, blanks_.place(at + "/centre", oval.centre, "middle of " + of_), {"."}}));
            return;
        }
        const std::string at = pointer_ + "/oval";
        card_.say({"It is an oval, ", blanks_.length(at + "/length", oval.length_mm, "length of " + of_), " long and ",
                   blanks_.length(at + "/width", oval.width_mm, "width of " + of_), " wide, turned by ",
                   blanks_.angle(at + "/turn_degrees", oval.turn_rad * geometry::degrees_per_radian, "turn of " + of_),
                   "."});
        card_.say(
            joined({{"Its middle lies "}, blanks_.place(at + "/centre", oval.centre, "middle of " + of_), {"."}}));
    }

    void operator()(const curves::Pins& pins) {
        const std::string at = pointer_ + "/pins";
        card_.say({fmt::format("It is a fair curve, as a batten lies {} {} pins.", pins.closed ? "round" : "through",
                               pins.points.size())});
        card_.say({"The batten ",
                   blanks_.choice(at + "/batten", pins.batten == curves::Batten::free ? "free" : "even",
                                  "lie of the batten of " + of_,
                                  {{"even", "bends evenly, so that pins on a circle give the circle", {}},
                                   {"free", "lies as a real stick does, free to slide through the pins", {}}}),
                   "."});
        for (std::size_t i = 0; i < pins.points.size() && i < most_pins_listed; ++i) {
            const std::string pin = fmt::format("pin {} of {}", i + 1, of_);
            card_.say(joined({{fmt::format("Pin {} stands ", i + 1)},
                              blanks_.place(fmt::format("{}/points/{}", at, i), pins.points[i], pin),
                              {"."}}));
        }
        if (pins.points.size() > most_pins_listed) {
            card_.say(
                {fmt::format("The other {} pins are moved on the drawing.", pins.points.size() - most_pins_listed)});
        }
        if (pins.closed) return;
        card_.say(
            {"Left blank, the batten lies as it likes at its ends; at the first pin it can be held in the direction ",
             blanks_.open_angle(at + "/start_degrees", "direction at the first pin of " + of_), ", at the last in ",
             blanks_.open_angle(at + "/end_degrees", "direction at the last pin of " + of_), "."});
    }

    void operator()(const curves::Imported& imported) {
        const std::size_t count = imported.path.segments.size();
        if (blanks_.job().written_at(pointer_ + "/svg_path/d")) {
            const std::string at = pointer_ + "/svg_path";
            card_.say({fmt::format("It was brought in from a drawing: {} lines and arcs. One unit of that drawing is ",
                                   count),
                       blanks_.length(at + "/unit_size", 1.0, "size of a unit in the drawing of " + of_), "."});
            moved(at);
        } else if (blanks_.job().written_at(pointer_ + "/points/csv")) {
            const std::string at = pointer_ + "/points";
            const std::string unit = blanks_.unit() == units::Unit::inch ? "in" : "mm";
            card_.say(
                {fmt::format("It was brought in as a list of points: {} lines from point to point. They are in ",
                             count),
                 blanks_.choice(
                     at + "/unit", blanks_.job().written_at(at + "/unit").value_or(unit),
                     "unit of the points of " + of_,
                     {{"mm", "millimetres", {}}, {"cm", "centimetres", {}}, {"m", "metres", {}}, {"in", "inches", {}}}),
                 "."});
            moved(at);
        } else {
            card_.say({fmt::format("It was brought in as {} lines and arcs.", count)});
        }
    }

    void operator()(const curves::Traced& traced) {
        const std::string at = pointer_ + "/traced";
        const auto size = [&](double mm) { return exact_size(mm, blanks_.job().document().job.style); };
        if (traced.source) say_source(*traced.source, traced.points.size(), size);
        const auto drawn = curves::draw(traced);
        const auto* line = std::get_if<curves::Drawn>(&drawn);
        std::vector<Part> smooth{
            "Ripples shorter than ",
            blanks_.length(at + "/smooth_below", traced.wave_mm, "longest ripple that is smoothed out of " + of_),
            " are smoothed out"};
        if (line != nullptr && line->trace) {
            smooth.push_back(fmt::format("; the points then lie {} beside the curve on the whole, {} at most",
                                         size(line->trace->rms_mm), size(std::abs(line->trace->largest_mm))));
        }
        smooth.push_back(".");
        card_.say(std::move(smooth));
        card_.say({"It may leave the points by ", blanks_.open_length(at + "/band", "band of " + of_),
                   " at most (left blank: as far as smoothing moves it)."});
        card_.say(joined(
            {{"Its middle lies "},
             blanks_.place(at + "/at", traced.at, "middle of " + of_),
             {", turned by ",
              blanks_.angle(at + "/turn_degrees", traced.turn_rad * geometry::degrees_per_radian, "turn of " + of_),
              "."}}));
        if (traced.closed) return;
        card_.say({"It runs on straight by ",
                   blanks_.length(at + "/run_on_start", traced.run_on_start_mm, "run-on before " + of_),
                   " before its first point and by ",
                   blanks_.length(at + "/run_on_end", traced.run_on_end_mm, "run-on after " + of_),
                   " after its last."});
    }

  private:
    template <typename Size>
    void say_source(const curves::Traced::Source& source, std::size_t points, const Size& size) {
        std::string says = fmt::format("It was taken over from a {}", source.scan ? "scan" : "photo");
        if (!source.picture.empty()) says += fmt::format(", \"{}\"", source.picture);
        says += fmt::format(": {} points", points);
        if (source.marks > 0)
            says += fmt::format(", measured by {} marks that agree to {:.2f} pixels", source.marks, source.residual_px);
        card_.say({says + "."});
        if (source.near_mm > 0.0 || source.overall_mm > 0.0) {
            card_.say({fmt::format(
                "It can be trusted to {} from place to place and to {} over its whole length: {}.",
                size(source.near_mm), size(source.overall_mm),
                source.scan ? "good for finding high spots" : "good for design, not for finding high spots")});
        }
    }

    std::string plain(double mm) const { return fmt::format("{} mm", plain_number(std::round(mm * 1000.0) / 1000.0)); }

    /// How many waves lie one on the other; one more is half as long as the last and a quarter as high, one less leaves
    /// the last out.
    Field waves(const curves::Wave& wave) const {
        const std::string terms = pointer_ + "/wave/terms";
        const std::size_t count = wave.terms.size();
        const auto said = [](std::size_t n) { return plan::words::times(n, "wave", "waves"); };
        const auto value = [](std::size_t n) { return fmt::format("{}", n); };
        std::vector<Choice> choices;
        if (count > 1) {
            job::JsonWriter less(job::JsonWriter::Layout::one_line_thousandths);
            less.begin_group();
            less.text("remove", fmt::format("{}/{}", terms, count - 1));
            less.end_group();
            choices.push_back({value(count - 1), said(count - 1), less.take_part()});
        }
        choices.push_back({value(count), said(count), {}});
        if (count > 0 && count < most_waves_offered) {
            const auto& last = wave.terms.back();
            job::JsonWriter more(job::JsonWriter::Layout::one_line_thousandths);
            more.begin_group();
            more.text("insert", terms + "/-");
            more.begin_group("value");
            more.text("half_height", plain(0.25 * last.half_height_mm));
            more.text("length", plain(0.5 * last.length_mm));
            more.end_group();
            more.end_group();
            choices.push_back({value(count + 1), said(count + 1), more.take_part()});
        }
        return blanks_.choice(terms, value(count), "waves of " + of_, std::move(choices));
    }

    void ends(const char* kind, geometry::Point from, geometry::Point to) {
        const std::string at = fmt::format("{}/{}", pointer_, kind);
        card_.say(joined({{"It starts "}, blanks_.place(at + "/from", from, "start of " + of_), {"."}}));
        card_.say(joined({{"It ends "}, blanks_.place(at + "/to", to, "end of " + of_), {"."}}));
    }

    void moved(const std::string& at) {
        if (!blanks_.job().written_at(at + "/move/0")) return;
        card_.say({"It is moved by ", blanks_.length(at + "/move/0", 0.0, "move of " + of_ + ", to the right"),
                   " to the right and ", blanks_.length(at + "/move/1", 0.0, "move of " + of_ + ", to the back"),
                   " to the back."});
    }

    Card& card_;
    const Blanks& blanks_;
    std::string pointer_;
    const std::string& of_;
};

}  // namespace

void say_curve(Card& card, const Blanks& blanks, const std::string& pointer, const curves::Curve& curve,
               const std::string& of) {
    std::visit(Sentences(card, blanks, pointer, of), curve);
}

}  // namespace seamwright::screen
