#include <fmt/format.h>

#include <array>
#include <variant>

#include "cards.h"
#include "say.h"

namespace seamwright::screen {
namespace {

using geometry::Point;
using Layout = job::JsonWriter::Layout;

const std::string outline_at = "/top/outline";
/// A bow or a pin to start from stands out by this part of its edge (our choice).
constexpr double first_bow_part = 0.03;

std::string whole_mm(double mm) {
    return plain_number(std::round(mm)) + " mm";
}

/// Sets a group of lengths, each with its unit.
std::string set_sizes(const std::string& pointer, const std::vector<std::pair<std::string_view, double>>& sizes_mm) {
    job::JsonWriter json(Layout::one_line_thousandths);
    json.begin_group();
    json.text("set", pointer);
    json.begin_group("value");
    for (const auto& [name, mm] : sizes_mm) json.text(name, plain_number(std::round(mm * 1000.0) / 1000.0) + " mm");
    json.end_group();
    json.end_group();
    return json.take_part();
}

/// A closed curve through pins on the outline as it stands.
std::string set_drawn(const plan::Plan& plan) {
    constexpr int pins = 12;
    job::JsonWriter json(Layout::one_line_thousandths);
    json.begin_group();
    json.text("set", outline_at + "/drawn");
    json.begin_group("value");
    json.begin_group("pins");
    json.begin_list("points");
    const auto running_mm = geometry::running_length_mm(plan.outline);
    for (int i = 0; i < pins; ++i) {
        const Point p = geometry::point_at(
            plan.outline, geometry::station_at(plan.outline, running_mm, running_mm.back() * i / pins));
        json.begin_list();
        json.text({}, whole_mm(p.x));
        json.text({}, whole_mm(p.y));
        json.end_list();
    }
    json.end_list();
    json.flag("closed", true);
    json.end_group();
    json.end_group();
    json.end_group();
    return json.take_part();
}

Field outline_kind(const Blanks& blanks, const job::Outline& outline) {
    constexpr std::array<std::string_view, 4> kinds{"rectangle", "round", "oval", "drawn"};
    const plan::Plan& plan = blanks.job().plan();
    std::vector<Choice> choices{{"rectangle", "a rectangle", {}},
                                {"round", "round", {}},
                                {"oval", "an oval", {}},
                                {"drawn", "a curve of its own", {}}};
    const double length_mm = plan.box.width_mm(), width_mm = plan.box.height_mm();
    if (!plan.outline.empty()) {
        choices[0].edit = set_sizes(outline_at + "/rectangle", {{"length", length_mm}, {"width", width_mm}});
        choices[1].edit = set_sizes(outline_at + "/round", {{"diameter", std::max(length_mm, width_mm)}});
        choices[2].edit = set_sizes(outline_at + "/oval", {{"length", length_mm}, {"width", width_mm}});
        choices[3].edit = set_drawn(plan);
    }
    choices[outline.index()].edit.clear();
    return blanks.choice(outline_at, std::string(kinds[outline.index()]), "shape of the top", std::move(choices));
}

class Rectangle {
  public:
    Rectangle(Card& card, const Blanks& blanks, const job::RectangleOutline& top)
        : card_(card), blanks_(blanks), top_(top) {}

    void say() {
        card_.say({"It is ", blanks_.length(at_ + "/length", top_.length_mm, "length of the top"),
                   " long, left to right, and ", blanks_.length(at_ + "/width", top_.width_mm, "width of the top"),
                   " wide, front to back."});
        const Point fl{0.0, 0.0}, fr{top_.length_mm, 0.0}, br{top_.length_mm, top_.width_mm}, bl{0.0, top_.width_mm};
        edge("front", top_.front, fl, fr);
        edge("right", top_.right, fr, br);
        edge("back", top_.back, br, bl);
        edge("left", top_.left, bl, fl);
        corners();
    }

  private:
    void edge(const std::string& name, const job::Edge& edge, Point from, Point to) {
        const std::string at = fmt::format("{}/{}", at_, name);
        const double first_mm = std::max(1.0, std::round(first_bow_part * geometry::distance(from, to)));
        constexpr std::array<std::string_view, 3> kinds{"straight", "bow", "pins"};
        std::vector<Choice> choices{{"straight", "straight", open_edit(at)},
                                    {"bow", "bowed", set_edit(at + "/bow", whole_mm(first_mm))},
                                    {"pins", "drawn with pins", first_pin(at, from, to, first_mm)}};
        choices[edge.index()].edit.clear();
        std::vector<Part> sentence{
            fmt::format("Its {} edge is ", name),
            blanks_.choice(at, std::string(kinds[edge.index()]), "shape of the " + name + " edge", std::move(choices))};
        if (const auto* bowed = std::get_if<job::BowedEdge>(&edge)) {
            sentence.emplace_back(", its middle standing out by ");
            sentence.emplace_back(blanks_.length(at + "/bow", bowed->rise_mm, "bow of the " + name + " edge"));
            sentence.emplace_back(" (less than nought: in)");
        }
        sentence.emplace_back(".");
        card_.say(std::move(sentence));
        const auto* drawn = std::get_if<job::DrawnEdge>(&edge);
        if (drawn == nullptr) return;
        // The document may list them the other way round: its own order counts.
        for (std::size_t i = 0; i < drawn->pins.size(); ++i) {
            card_.say(joined({{fmt::format("Pin {} of it stands ", i + 1)},
                              blanks_.place(fmt::format("{}/pins/{}", at, i), drawn->pins[i],
                                            fmt::format("pin {} of the {} edge", i + 1, name)),
                              {"."}}));
        }
    }

    static std::string first_pin(const std::string& at, Point from, Point to, double out_mm) {
        const Point way = (to - from) / geometry::distance(from, to);
        const Point pin = geometry::midpoint(from, to) + out_mm * geometry::right_of(way);
        job::JsonWriter json(Layout::one_line_thousandths);
        json.begin_group();
        json.text("set", at + "/pins");
        json.begin_list("value");
        json.begin_list();
        json.text({}, whole_mm(pin.x));
        json.text({}, whole_mm(pin.y));
        json.end_list();
        json.end_list();
        json.end_group();
        return json.take_part();
    }

    void corners() {
        const std::string at = at_ + "/corner_radius";
        const auto& r = top_.corner_radius_mm;
        const bool alike = r[0] == r[1] && r[1] == r[2] && r[2] == r[3];
        if (alike && !blanks_.job().written_at(at + "/front_left")) {
            card_.say({"All four corners are rounded with a radius of ",
                       blanks_.length(at, r[0], "radius of the corners"), " (nought: sharp)."});
        }
        constexpr std::array<std::pair<const char*, const char*>, 4> names{{{"front_left", "front left"},
                                                                            {"front_right", "front right"},
                                                                            {"back_right", "back right"},
                                                                            {"back_left", "back left"}}};
        std::vector<Part> each{alike ? "One by one: " : "The corners are rounded with these radii (nought: sharp): "};
        for (std::size_t i = 0; i < names.size(); ++i) {
            each.emplace_back(fmt::format("{}{} ", i == 0 ? "" : ", ", names[i].second));
            each.emplace_back(blanks_.length(fmt::format("{}/{}", at, names[i].first), r[i],
                                             fmt::format("radius of the {} corner", names[i].second)));
        }
        each.emplace_back(".");
        card_.say(std::move(each));
    }

    const std::string at_ = outline_at + "/rectangle";
    Card& card_;
    const Blanks& blanks_;
    const job::RectangleOutline& top_;
};

}  // namespace

Card top_card(const Blanks& blanks) {
    const job::Job& job = blanks.job().document().job;
    Card card{"/top", "The top", {}};
    card.say({"This job is called ", blanks.text("/name", "name of the job"), "."});
    card.say({"Remark: ", blanks.text("/note", "remark"), ""});
    card.say({"The top is ", blanks.length("/top/thickness", job.thickness_mm, "thickness of the top"),
              " thick and is ", outline_kind(blanks, job.outline), "."});
    if (const auto* rectangle = std::get_if<job::RectangleOutline>(&job.outline)) {
        Rectangle(card, blanks, *rectangle).say();
    } else if (const auto* round = std::get_if<job::RoundOutline>(&job.outline)) {
        card.say({"It is ", blanks.length(outline_at + "/round/diameter", round->diameter_mm, "diameter of the top"),
                  " across."});
    } else if (const auto* oval = std::get_if<job::OvalOutline>(&job.outline)) {
        card.say({"It is ", blanks.length(outline_at + "/oval/length", oval->length_mm, "length of the top"),
                  " long, left to right, and ",
                  blanks.length(outline_at + "/oval/width", oval->width_mm, "width of the top"),
                  " wide, front to back."});
    } else {
        say_curve(card, blanks, outline_at + "/drawn", std::get<job::FreeOutline>(job.outline).curve, "the outline");
    }
    return card;
}

}  // namespace seamwright::screen
