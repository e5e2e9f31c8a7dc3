#include "seam/chain.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "ranking.h"
#include "tools.h"
#include "ways.h"

namespace seamwright::seam {
namespace {

std::array<Reaches, slots> reaches(const std::vector<Pair>& pairs, const Assignment& a, Reaches (*of)(const Pair&)) {
    std::array<Reaches, slots> r;
    for (std::size_t s = 0; s < slots; ++s) r[s] = of(pairs[a.pair[s]]);
    return r;
}

bool uses(Way way, std::size_t slot) {
    return slot >= own_cut || slot < facts(way).copies;
}

std::string_view hand_word(bool left) {
    return left ? "left" : "right";
}

struct Template {
    double x_mm;    // its edge, in the frame of the master's hand
    bool own_side;  // body on the master's hand
    std::string name;
};

// Writes down one chain step by step. x grows away from the master's hand.
class Writer {
  public:
    Writer(const shelf::Shelf& shelf, const std::vector<Pair>& pairs, const Assignment& a, bool left)
        : shelf_(shelf), pairs_(pairs), a_(a), left_(left) {}

    void by_hand(double x_mm, bool own_side, std::string name) {
        Step step;
        step.kind = own_side ? Step::Kind::make_master : Step::Kind::make_mating;
        step.makes_template = static_cast<int>(templates_.size());
        step.rides_at_mm = step.edge_at_mm = n_of(x_mm);
        step.template_on_left = own_side == left_;
        step.says = fmt::format(
            "Make the {} by hand from the paper: saw close to the line, then work the edge to it. Mark the upper face.",
            name);
        templates_.push_back({x_mm, own_side, std::move(name)});
        steps_.push_back(std::move(step));
    }

    void copy(std::size_t slot, std::size_t from, bool far, std::string name) {
        const Template source = templates_[from];
        Step step = routed(slot, from, far);
        step.kind = far ? Step::Kind::copy_far : Step::Kind::copy_near;
        step.makes_template = static_cast<int>(templates_.size());
        step.says = fmt::format(
            "Fasten the {} on a fresh sheet, marked face up. {} runs along its edge. Keep the sheet {}: its edge is "
            "the "
            "{}. Mark its upper face.",
            source.name, tools(slot), far ? "beyond the groove" : "under the template", name);
        const double x_mm = edge_x(slot, from, far);
        templates_.push_back({x_mm, source.own_side != far, std::move(name)});
        steps_.push_back(std::move(step));
    }

    void cut(std::size_t slot, std::size_t from, bool far) {
        const Template& source = templates_[from];
        const bool left_piece = (source.own_side != far) == left_;
        Step step = routed(slot, from, far);
        step.kind = left_piece ? Step::Kind::cut_left : Step::Kind::cut_right;
        if (far) {
            step.says = fmt::format(
                "Fasten the {} on the waste beside the {} piece, marked face up, the waste held as fast as the piece. "
                "{} "
                "runs along its edge. The wood beyond the groove stays: its edge is the {} edge of the seam.",
                source.name, hand_word(left_piece), tools(slot), hand_word(left_piece));
        } else {
            step.says = fmt::format(
                "Fasten the {} on the {} piece, marked face up. {} runs along its edge. The wood under the template "
                "stays: its edge is the {} edge of the seam.",
                source.name, hand_word(left_piece), tools(slot), hand_word(left_piece));
        }
        steps_.push_back(std::move(step));
    }

    std::vector<Step> steps() && { return std::move(steps_); }

  private:
    // The sum keeps a nought from coming out negative.
    double n_of(double x_mm) const { return (left_ ? x_mm : -x_mm) + 0.0; }

    double edge_x(std::size_t slot, std::size_t from, bool far) const {
        const Reaches r = measured(pairs_[a_.pair[slot]]);
        const double out_mm = far ? r.far_mm : r.near_mm;
        const Template& source = templates_[from];
        return source.x_mm + (source.own_side ? out_mm : -out_mm);
    }

    Step routed(std::size_t slot, std::size_t from, bool far) const {
        Step step;
        step.pair = pairs_[a_.pair[slot]];
        step.from_template = static_cast<int>(from);
        step.rides_at_mm = n_of(templates_[from].x_mm);
        step.edge_at_mm = n_of(edge_x(slot, from, far));
        step.template_on_left = templates_[from].own_side == left_;
        step.keeps_far = far;
        return step;
    }

    std::string tools(std::size_t slot) const {
        const Pair& p = pairs_[a_.pair[slot]];
        const std::string& cutter = shelf_.cutters[p.cutter].name;
        return p.rides == Pair::Rides::guide
                   ? fmt::format("The guide \"{}\" with the cutter \"{}\"", shelf_.guides[p.rider].name, cutter)
                   : fmt::format("The bearing \"{}\" on the cutter \"{}\"", shelf_.bearings[p.rider].name, cutter);
    }

    const shelf::Shelf& shelf_;
    const std::vector<Pair>& pairs_;
    const Assignment& a_;
    bool left_;
    std::vector<Template> templates_;
    std::vector<Step> steps_;
};

std::vector<Step> steps_of(const shelf::Shelf& shelf, const std::vector<Pair>& pairs, const Assignment& a, bool left) {
    const auto r = reaches(pairs, a, measured);
    const auto template_name = [&](bool own, std::string_view kind) {
        return fmt::format("{} {}", hand_word(own == left), kind);
    };
    // Where the wood is cut: own_at and mate_at are the templates, counted as they are made.
    std::size_t own_at = 0;
    std::size_t mate_at = 1;
    bool mate_far = false;
    Writer writer(shelf, pairs, a, left);
    const double master_x = -r[own_cut].near_mm - (a.way == Way::near_and_far ? r[first_copy].near_mm : 0.0);
    writer.by_hand(master_x, true, template_name(true, a.way == Way::paper ? "template" : "master template"));
    switch (a.way) {
        case Way::one_pattern:
            mate_at = 0;
            mate_far = true;
            break;
        case Way::far:
            writer.copy(first_copy, 0, true, template_name(false, "mating template"));
            break;
        case Way::far_near:
            writer.copy(first_copy, 0, true, template_name(false, "mating template"));
            writer.copy(second_copy, 1, false, template_name(false, "second mating template"));
            mate_at = 2;
            break;
        case Way::near_far:
            writer.copy(first_copy, 0, false, template_name(true, "second template"));
            writer.copy(second_copy, 1, true, template_name(false, "mating template"));
            mate_at = 2;
            break;
        case Way::near_and_far:
            writer.copy(first_copy, 0, false, template_name(true, "second template"));
            writer.copy(second_copy, 0, true, template_name(false, "mating template"));
            own_at = 1;
            mate_at = 2;
            break;
        case Way::paper:
            writer.by_hand(r[mate_cut].near_mm, false, template_name(false, "template"));
            break;
    }
    if (mate_cut_first(pairs, a)) {
        writer.cut(mate_cut, mate_at, mate_far);
        writer.cut(own_cut, own_at, false);
    } else {
        writer.cut(own_cut, own_at, false);
        writer.cut(mate_cut, mate_at, mate_far);
    }
    return std::move(writer).steps();
}

std::string spelled(const shelf::Shelf& shelf, const std::vector<Pair>& pairs, const Assignment& a, bool left) {
    std::string id = a.way == Way::paper ? "paper:" : fmt::format("{}:", hand_word(left));
    for (const char c : facts(a.way).spelling) {
        if (c >= '0' && c <= '3') {
            id += name_of(shelf, pairs[a.pair[static_cast<std::size_t>(c - '0')]]);
        } else {
            id += c;
        }
    }
    return id;
}

// Names may hold any sign, so the spelling is matched from the left against every pair, and another pair is tried
// where the rest does not match.
bool match(std::string_view text, std::string_view spelling, const std::vector<std::string>& names, Assignment& a) {
    if (spelling.empty()) return text.empty();
    const char c = spelling.front();
    if (c < '0' || c > '3') {
        return !text.empty() && text.front() == c && match(text.substr(1), spelling.substr(1), names, a);
    }
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (!text.starts_with(names[i])) continue;
        a.pair[static_cast<std::size_t>(c - '0')] = static_cast<std::uint16_t>(i);
        if (match(text.substr(names[i].size()), spelling.substr(1), names, a)) return true;
    }
    return false;
}

}  // namespace

bool Chain::exact() const {
    return !prints_mating && std::abs(mismatch_mm) <= exact_mm;
}

int tool_changes_of(const std::vector<Pair>& pairs, const Assignment& a) {
    const auto change = [&](std::size_t s, std::size_t t) {
        return changes_between(pairs[a.pair[s]], pairs[a.pair[t]]);
    };
    const std::size_t copies = facts(a.way).copies;
    const int between_copies = copies == 2 ? change(first_copy, second_copy) : 0;
    const int between_cuts = change(own_cut, mate_cut);
    if (copies == 0) return between_cuts;
    const std::size_t last = copies == 2 ? second_copy : first_copy;
    return between_copies + between_cuts + std::min(change(last, own_cut), change(last, mate_cut));
}

bool mate_cut_first(const std::vector<Pair>& pairs, const Assignment& a) {
    const std::size_t copies = facts(a.way).copies;
    if (copies == 0) return false;
    const Pair& last = pairs[a.pair[copies == 2 ? second_copy : first_copy]];
    return changes_between(last, pairs[a.pair[mate_cut]]) < changes_between(last, pairs[a.pair[own_cut]]);
}

Chain written_out(const shelf::Shelf& shelf, const std::vector<Pair>& pairs, const Assignment& a, bool left,
                  const Depths& depths) {
    Chain chain;
    chain.id = spelled(shelf, pairs, a, left);
    chain.master_on_left = left;
    chain.steps = steps_of(shelf, pairs, a, left);
    chain.mismatch_mm = mismatch_of(a.way, reaches(pairs, a, measured));
    chain.nominal_mismatch_mm = mismatch_of(a.way, reaches(pairs, a, nominal));
    chain.tool_changes = tool_changes_of(pairs, a);
    chain.templates = facts(a.way).templates;
    chain.prints_mating = a.way == Way::paper;
    chain.stiffness = HUGE_VAL;
    for (std::size_t s = 0; s < slots; ++s) {
        if (!uses(a.way, s)) continue;
        const double work_mm = s >= own_cut ? depths.top_mm : depths.sheet_mm;
        const Pair& p = pairs[a.pair[s]];
        chain.tools_fit = chain.tools_fit && !what_stops(shelf, p, work_mm, depths);
        chain.stiffness = std::min(chain.stiffness, stiffness(shelf, p, work_mm, depths));
    }
    chain.reasons = reasons_for(chain);
    return chain;
}

std::optional<Chain> chain_of_id(const shelf::Shelf& shelf, const Depths& depths, std::string_view id) {
    std::vector<Pair> usable = pairs(shelf).usable;
    std::erase_if(usable, [&](const Pair& p) { return id.find(name_of(shelf, p)) == std::string_view::npos; });
    // Only names that overlap each other can make this many; no maker's do.
    if (usable.size() > most_pairs) return std::nullopt;
    std::vector<std::string> names;
    names.reserve(usable.size());
    for (const Pair& p : usable) names.push_back(name_of(shelf, p));
    const std::size_t colon = id.find(':');
    if (colon == std::string_view::npos) return std::nullopt;
    const std::string_view hand = id.substr(0, colon);
    const std::string_view rest = id.substr(colon + 1);
    if (hand != "left" && hand != "right" && hand != "paper") return std::nullopt;
    for (const WayFacts& way : all_ways) {
        if ((way.way == Way::paper) != (hand == "paper")) continue;
        Assignment a;
        a.way = way.way;
        if (match(rest, way.spelling, names, a)) return written_out(shelf, usable, a, hand != "right", depths);
    }
    return std::nullopt;
}

}  // namespace seamwright::seam
