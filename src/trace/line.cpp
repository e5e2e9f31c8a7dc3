// From a picture to the line in it, in three steps: where lines run (line_ridge.cpp, line_chain.cpp), which of them is
// meant (line_stroke.cpp, line_way.cpp), and where exactly that one lies (line_profile.cpp). The first two look at
// smaller copies of the picture, so that lines of every width are found by one narrow detector, and fast; the last
// looks at the greys as they are.

#include "trace/line.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "line_chain.h"
#include "line_level.h"
#include "line_profile.h"
#include "line_stroke.h"
#include "line_way.h"

namespace seamwright::trace {
namespace {

/// Lines are looked for in copies of at most so many pixels, and in smaller ones down to this side.
constexpr double most_level_pixels = 4.5e6;
constexpr int least_level_side = 120, most_levels = 4;
/// The finest copy in which the line stands out by at least this part of the most is taken.
constexpr double nearly_as_much = 0.8;
/// Shorter than this is no line: in pixels of the copy, and of the picture; and "too short" below this part of its
/// longer side.
constexpr double least_level_length = 20.0, least_length_px = 50.0, short_part = 0.03;
/// Another line is alike when it stands out by this part of the best; so many of them, and none is meant.
constexpr double alike_part = 0.7;
constexpr std::size_t too_many_alike = 3;
/// Grain of wood is a crowd of lines: so many others, together as long as the best and each of nearly its contrast, and
/// the best is but the longest of them.
constexpr std::size_t crowd = 8;
constexpr double crowd_contrast = 1.0 / 1.5;
/// A maker's finger is this exact, as a part of the picture's longer side.
constexpr double finger_part = 1.0 / 40.0;
/// Scatter of a single place beyond which nothing is won by measuring on, px.
constexpr double most_scatter_px = 0.8;
constexpr double blurred_px = 4.0;
/// Half the places, at the least, must be there to be measured.
constexpr double least_good_part = 0.5;
/// Nearly all of the picture darker than this, or in a range of greys below that: nothing is to be seen in it.
constexpr double dark = 40.0, least_range = 12.0;
constexpr int least_side = 80;
/// An end this near to the border runs out of the picture, in pixels of the copy.
constexpr double near_border = 8.0;
constexpr std::size_t most_free_ends = 64;

struct Seen {
    Level level;
    std::vector<Chain> chains;
    std::vector<Stroke> strokes;
};

TraceProblem problem(std::string reason, std::string remedy, std::optional<Point> at = {}) {
    return {std::move(reason), std::move(remedy), at};
}

std::string name_of(LineKind kind) {
    return kind == LineKind::edge ? "edge" : "line";
}

/// Greys below which this part of the picture lies.
class Greys {
  public:
    explicit Greys(const Picture& picture) {
        constexpr std::size_t every = 7;
        for (std::size_t i = 0; i < picture.grey.size(); i += every) {
            ++counts_[picture.grey[i]];
            ++all_;
        }
    }
    double below(double part) const {
        std::size_t sum = 0;
        for (std::size_t g = 0; g < counts_.size(); ++g) {
            sum += counts_[g];
            if (static_cast<double>(sum) >= part * static_cast<double>(all_)) return static_cast<double>(g);
        }
        return 255.0;
    }

  private:
    std::array<std::size_t, 256> counts_{};
    std::size_t all_ = 0;
};

std::optional<TraceProblem> refuse_picture(const Picture& picture) {
    const auto pixels =
        static_cast<std::size_t>(std::max(0, picture.width)) * static_cast<std::size_t>(std::max(0, picture.height));
    if (picture.width >= least_side && picture.height >= least_side && picture.grey.size() == pixels) return {};
    return problem(fmt::format("The picture is only {} × {} pixels.", picture.width, picture.height),
                   "Take the picture with the camera's full size, and do not cut it down.");
}

TraceProblem nothing_found(const Picture& picture, LineKind kind) {
    const Greys greys(picture);
    const double light = greys.below(0.98);
    if (light < dark) {
        return problem("The picture is too dark: there is hardly anything but black in it.",
                       "Take it again with more light, without flash, or with a longer exposure.");
    }
    if (light - greys.below(0.0001) < least_range) {
        return problem("The picture is one even grey: nothing is drawn in it, or it is over-exposed.",
                       "Check that it is the right picture; if it is, take it again with less light.");
    }
    return kind == LineKind::edge
               ? problem("No edge was found in the picture.",
                         "Lay the template on a ground that is clearly lighter or darker than it, and take the picture "
                         "with the edge sharp and in even light.")
               : problem("No line was found in the picture, or it is too faint.",
                         "Draw it darker, with a soft pencil or a pen, on a light and plain ground, and take the "
                         "picture from closer or with more light.");
}

std::vector<Seen> look(const Picture& picture, const LineSettings& settings) {
    int power = 0;
    const double pixels = static_cast<double>(picture.width) * picture.height;
    while (pixels / std::pow(4.0, power) > most_level_pixels) ++power;
    std::vector<Seen> all;
    Level level = reduced(picture, power, settings.masked_px);
    while (true) {
        Seen seen;
        const auto ridges = ridge_points(level, settings.kind);
        seen.chains = chains_of(level, ridges, settings.kind);
        seen.strokes = strokes_of(level, seen.chains, settings.kind);
        const bool enough = static_cast<int>(all.size()) + 1 >= most_levels ||
                            std::min(level.width, level.height) < 2 * least_level_side;
        Level next;
        if (!enough) next = halved(level, settings.masked_px);
        level.grey = {};
        level.smooth = {};
        seen.level = std::move(level);
        all.push_back(std::move(seen));
        if (enough) return all;
        level = std::move(next);
    }
}

// --------------------------------------------------------------------------------------------- the line that is meant

struct Meant {
    const Seen* seen = nullptr;
    Stroke stroke;
    std::vector<TraceProblem> remarks;
};
using Choice = std::variant<Meant, TraceProblem>;

double least_length(const Level& level) {
    return std::max(least_length_px, least_level_length * level.scale());
}

const Seen* clearest(const std::vector<Seen>& all) {
    const auto best = [](const Seen& s) {
        for (const auto& stroke : s.strokes) {
            if (stroke.length >= least_length(s.level)) return stroke.standing;
        }
        return 0.0;
    };
    double most = 0.0;
    for (const auto& s : all) most = std::max(most, best(s));
    if (most <= 0.0) return nullptr;
    for (const auto& s : all) {
        if (best(s) >= nearly_as_much * most) return &s;
    }
    return nullptr;
}

/// Is the middle of this stroke away from the course of another, and not its other flank?
bool apart(const Seen& seen, const std::vector<Point>& course, const Stroke& other) {
    const auto points = points_of(seen.level, seen.chains, other);
    const Point middle = points[points.size() / 2];
    return std::none_of(course.begin(), course.end(),
                        [&](Point p) { return distance(p, middle) <= widest_gap * seen.level.scale(); });
}

/// Lines that could be meant as well as the best, which is the first.
struct Others {
    std::size_t alike = 0;  ///< those that stand out nearly as much
    std::optional<Point> at;
    bool in_a_crowd = false;
};
Others others(const Seen& seen) {
    const Stroke& best = seen.strokes.front();
    const auto course = points_of(seen.level, seen.chains, best);
    Others found;
    std::size_t count = 0;
    double length = 0.0;
    for (std::size_t i = 1; i < seen.strokes.size() && !found.in_a_crowd; ++i) {
        const Stroke& other = seen.strokes[i];
        if (other.length < least_length(seen.level) || other.part < crowd_contrast * best.part) continue;
        if (!apart(seen, course, other)) continue;
        ++count;
        length += other.length;
        found.in_a_crowd = count >= crowd && length >= best.length;
    }
    for (std::size_t i = 1; i < seen.strokes.size(); ++i) {
        const Stroke& other = seen.strokes[i];
        if (other.standing < alike_part * best.standing || found.alike >= too_many_alike) break;
        if (!apart(seen, course, other)) continue;
        ++found.alike;
        if (!found.at) found.at = points_of(seen.level, seen.chains, other).front();
    }
    return found;
}

Choice longest(const std::vector<Seen>& all, const Picture& picture, const LineSettings& settings) {
    const Seen* seen = clearest(all);
    if (seen == nullptr) return nothing_found(picture, settings.kind);
    const Stroke& best = seen->strokes.front();
    const std::string what = name_of(settings.kind);
    const double side = std::max(picture.width, picture.height);
    if (best.length < short_part * side) {
        return problem(fmt::format("The longest {} in the picture is only {:.0f} pixels long.", what, best.length),
                       "Take the picture from closer, or choose both ends of the line.",
                       points_of(seen->level, seen->chains, best).front());
    }
    Meant meant{seen, best, {}};
    const Others also = others(*seen);
    if (also.alike >= too_many_alike || also.in_a_crowd) {
        return problem(
            fmt::format("There are many {}s in the picture that stand out alike: grain of the wood, or {}s "
                        "that do not belong to the drawing.",
                        what, what),
            "Choose both ends of the one that is meant, or make it stand out: a darker line, a plain ground.", also.at);
    }
    if (also.alike > 0) {
        meant.remarks.push_back(problem(fmt::format("There is another {} that stands out nearly as much.", what),
                                        "Look whether the right one was taken; if not, choose both ends.", also.at));
    }
    return meant;
}

/// The stroke that passes nearest to the places, cut at a single chosen end.
Choice near_places(const std::vector<Seen>& all, const Picture& picture, const LineSettings& settings) {
    const double reach = finger_part * std::max(picture.width, picture.height);
    std::vector<Point> places = settings.through_px;
    const std::optional<Point> one_end = settings.start_px ? settings.start_px : settings.end_px;
    if (one_end) places.push_back(*one_end);
    Meant meant;
    double most = 0.0;
    for (const auto& seen : all) {
        for (const auto& stroke : seen.strokes) {
            if (stroke.length < least_length(seen.level) || stroke.standing * nearly_as_much <= most) continue;
            const auto course = points_of(seen.level, seen.chains, stroke);
            const bool near_all = std::all_of(places.begin(), places.end(), [&](Point place) {
                return std::any_of(course.begin(), course.end(), [&](Point p) { return distance(p, place) <= reach; });
            });
            if (!near_all) continue;
            most = stroke.standing;
            meant = {&seen, stroke, {}};
        }
    }
    if (meant.seen == nullptr) {
        return problem(fmt::format("No {} passes by the places that were chosen.", name_of(settings.kind)),
                       "Choose places on the line itself.", places.front());
    }
    return meant;
}

Choice between_ends(const std::vector<Seen>& all, const Picture& picture, const LineSettings& settings) {
    const double reach = finger_part * std::max(picture.width, picture.height);
    std::vector<Point> places = {*settings.start_px};
    places.insert(places.end(), settings.through_px.begin(), settings.through_px.end());
    places.push_back(*settings.end_px);
    const std::string what = name_of(settings.kind);
    std::optional<TraceProblem> why;
    std::optional<Meant> best;
    double least = HUGE_VAL;
    for (const auto& seen : all) {
        std::vector<Chosen> chosen;
        std::optional<Point> lost;
        for (const Point& place : places) {
            const auto nearest = nearest_line(seen.level, seen.chains, place, reach);
            if (!nearest) {
                lost = place;
                break;
            }
            chosen.push_back(*nearest);
        }
        if (lost) {
            if (!why) {
                why = problem(fmt::format("There is no {} at a place that was chosen.", what),
                              "Choose a place on the line itself; if it is there, it is too faint: draw it darker.",
                              lost);
            }
            continue;
        }
        auto way = way_through(seen.level, seen.chains, chosen, settings.kind);
        if (const auto* none = std::get_if<NoWay>(&way)) {
            why = problem(fmt::format("The chosen places are not joined by {} {}: it ends in between.",
                                      settings.kind == LineKind::edge ? "an" : "a", what),
                          "Draw in what is missing, or choose places on one line; places in between help at crossings.",
                          none->stopped_px);
            continue;
        }
        auto& stroke = std::get<Stroke>(way);
        // Places on finer copies are more certain: a coarser one must be clearly better.
        const double cost = stroke.length * (1.0 + 0.05 * seen.level.power) / std::max(std::sqrt(stroke.part), 1e-3);
        if (cost >= least) continue;
        least = cost;
        best = Meant{&seen, std::move(stroke), {}};
    }
    if (best) return *best;
    return *why;
}

// ------------------------------------------------------------------------------------------------ the line as measured

/// A single chosen end cuts the line there; the longer part is kept, and begins or ends there.
void cut_at_end(FoundLine& line, const LineSettings& settings) {
    const bool at_start = settings.start_px.has_value();
    const Point place = at_start ? *settings.start_px : *settings.end_px;
    auto& points = line.points_px;
    const auto nearest = std::min_element(points.begin(), points.end(),
                                          [&](Point a, Point b) { return distance(a, place) < distance(b, place); });
    const auto at = nearest - points.begin();
    const auto turn_round = [&] {
        std::reverse(points.begin(), points.end());
        std::reverse(line.scatter_px.begin(), line.scatter_px.end());
    };
    if (line.closed) {
        std::rotate(points.begin(), points.begin() + at, points.end());
        std::rotate(line.scatter_px.begin(), line.scatter_px.begin() + at, line.scatter_px.end());
        return;
    }
    const auto size = static_cast<std::ptrdiff_t>(points.size());
    if (at < size / 2) {
        points.erase(points.begin(), points.begin() + at);
        line.scatter_px.erase(line.scatter_px.begin(), line.scatter_px.begin() + at);
        if (!at_start) turn_round();
    } else {
        points.erase(points.begin() + at + 1, points.end());
        line.scatter_px.erase(line.scatter_px.begin() + at + 1, line.scatter_px.end());
        if (at_start) turn_round();
    }
}

/// The line ends where a chosen end is, not where the pencil was set down a little further out.
void cut_beyond_ends(FoundLine& line, const LineSettings& settings) {
    const auto nearest = [&](Point place) {
        return std::min_element(line.points_px.begin(), line.points_px.end(),
                                [&](Point a, Point b) { return distance(a, place) < distance(b, place); }) -
               line.points_px.begin();
    };
    const auto size = static_cast<std::ptrdiff_t>(line.points_px.size());
    const auto first = nearest(*settings.start_px), last = nearest(*settings.end_px);
    if (first >= last || last - first < size / 2) return;
    line.points_px = {line.points_px.begin() + first, line.points_px.begin() + last + 1};
    line.scatter_px = {line.scatter_px.begin() + first, line.scatter_px.begin() + last + 1};
}

/// How far the last of these points lie off the parabola through the ones before them, laid on by least squares; in the
/// order of the points, from `curl` points before the end on.
std::vector<double> off_own_course(std::span<const Point> points, std::size_t curl) {
    const std::size_t kept = points.size() - curl;
    const Point origin = points[kept - 1], ahead = points[kept - 1] - points.front();
    const double size = norm(ahead);
    if (size <= 0.0) return std::vector<double>(curl, 0.0);
    const Point along = ahead / size;
    // Sums for y = a + b x + c x².
    double s[5] = {}, t[3] = {};
    for (std::size_t i = 0; i < kept; ++i) {
        const Point p = points[i] - origin;
        const double x = dot(p, along) / size, y = cross(along, p);
        for (double power = 1.0; double& sum : s) {
            sum += power;
            power *= x;
        }
        for (double power = y; double& sum : t) {
            sum += power;
            power *= x;
        }
    }
    const double d =
        s[0] * (s[2] * s[4] - s[3] * s[3]) - s[1] * (s[1] * s[4] - s[3] * s[2]) + s[2] * (s[1] * s[3] - s[2] * s[2]);
    std::vector<double> off;
    if (d == 0.0) return std::vector<double>(curl, 0.0);
    const double a =
        (t[0] * (s[2] * s[4] - s[3] * s[3]) - s[1] * (t[1] * s[4] - s[3] * t[2]) + s[2] * (t[1] * s[3] - s[2] * t[2])) /
        d;
    const double b =
        (s[0] * (t[1] * s[4] - s[3] * t[2]) - t[0] * (s[1] * s[4] - s[3] * s[2]) + s[2] * (s[1] * t[2] - t[1] * s[2])) /
        d;
    const double c =
        (s[0] * (s[2] * t[2] - t[1] * s[3]) - s[1] * (s[1] * t[2] - t[1] * s[2]) + t[0] * (s[1] * s[3] - s[2] * s[2])) /
        d;
    for (std::size_t i = kept; i < points.size(); ++i) {
        const Point p = points[i] - origin;
        const double x = dot(p, along) / size;
        off.push_back(cross(along, p) - (a + b * x + c * x * x));
    }
    return off;
}

/// An end that runs round a corner into the next side is cut where it leaves its own course. Only where nobody chose
/// the end.
void cut_curled_ends(FoundLine& line, const LineSettings& settings, double scale) {
    if (line.closed) return;
    const auto curl = static_cast<std::size_t>(std::max(24.0, 8.0 * scale));
    const std::size_t looked_at = 5 * curl;
    for (const bool last : {false, true}) {
        if (last ? settings.end_px.has_value() : settings.start_px.has_value()) continue;
        if (line.points_px.size() < 2 * looked_at) return;
        auto& points = line.points_px;
        std::vector<Point> stretch(last ? points.end() - static_cast<std::ptrdiff_t>(looked_at) : points.begin(),
                                   last ? points.end() : points.begin() + static_cast<std::ptrdiff_t>(looked_at));
        if (!last) std::reverse(stretch.begin(), stretch.end());
        const auto off = off_own_course(stretch, curl);
        const double usual = line.scatter_px[line.scatter_px.size() / 2];
        const double most = 1.5 + 5.0 * usual;
        // From the first place beyond which all are off.
        std::size_t good = off.size();
        while (good > 0 && std::abs(off[good - 1]) > most) --good;
        if (good == off.size()) continue;
        // What was seen just before was on its way out already.
        const auto cut = static_cast<std::ptrdiff_t>(std::min(off.size() - good + 4, looked_at));
        if (last) {
            points.erase(points.end() - cut, points.end());
            line.scatter_px.erase(line.scatter_px.end() - cut, line.scatter_px.end());
        } else {
            points.erase(points.begin(), points.begin() + cut);
            line.scatter_px.erase(line.scatter_px.begin(), line.scatter_px.begin() + cut);
        }
    }
}

std::vector<Point> free_ends(const Seen& seen) {
    std::vector<Point> ends;
    for (const auto& stroke : seen.strokes) {
        if (ends.size() + 2 > most_free_ends || stroke.length < least_length(seen.level)) continue;
        if (stroke.closed) continue;
        const auto points = points_of(seen.level, seen.chains, stroke);
        ends.push_back(points.front());
        ends.push_back(points.back());
    }
    return ends;
}

std::optional<TraceProblem> refuse_measured(const FoundLine& line, std::size_t places, LineKind kind) {
    const std::string what = name_of(kind);
    const Point middle = line.points_px.empty() ? Point{} : line.points_px[line.points_px.size() / 2];
    if (static_cast<double>(line.points_px.size()) < least_good_part * static_cast<double>(places) ||
        line.points_px.size() < 10) {
        return problem(fmt::format("The {} is too faint or too broken to be measured along most of its length.", what),
                       kind == LineKind::edge ? "Lay the template on a ground that is clearly lighter or darker."
                                              : "Draw it darker and in one go, with a soft pencil or a pen.",
                       middle);
    }
    std::vector<double> scatters = line.scatter_px;
    const auto half = scatters.begin() + static_cast<std::ptrdiff_t>(scatters.size() / 2);
    std::nth_element(scatters.begin(), half, scatters.end());
    if (line.blur_px > blurred_px && line.blur_px > 0.35 * line.width_px) {
        return problem(
            fmt::format("The picture is too blurred: the {} fades out over {:.0f} pixels.", what, 4.0 * line.blur_px),
            "Take it again with the camera held still or on a stand, focused on the line, with more light.", middle);
    }
    if (*half > most_scatter_px) {
        return problem(fmt::format("The {} is too faint: each place on it is uncertain by {:.1f} pixels.", what, *half),
                       kind == LineKind::edge ? "Lay the template on a ground that is clearly lighter or darker."
                                              : "Draw it darker, with a soft pencil or a pen, and use more light.",
                       middle);
    }
    return {};
}

/// Where an end of the line touches the border or something that was passed over.
void look_at_ends(const Picture& picture, const LineSettings& settings, const Seen& seen, FoundLine& line,
                  std::optional<TraceProblem>& refusal) {
    if (line.closed) return;
    const double near = near_border * seen.level.scale();
    for (const bool last : {false, true}) {
        if (last ? settings.end_px.has_value() : settings.start_px.has_value()) continue;
        const Point end = last ? line.points_px.back() : line.points_px.front();
        const bool at_border =
            end.x < near || end.y < near || end.x > picture.width - near || end.y > picture.height - near;
        if (at_border && !settings.may_leave) {
            refusal = problem(fmt::format("The {} runs out of the picture.", name_of(settings.kind)),
                              "Take the picture from further away, or choose both ends within it.", end);
            return;
        }
        if (at_border) continue;
        bool hidden = false;
        const std::size_t size = line.points_px.size();
        const Point before = last ? line.points_px[size - std::min<std::size_t>(size, 20)]
                                  : line.points_px[std::min<std::size_t>(size - 1, 19)];
        const double run = distance(before, end);
        for (double t = 0.0; run > 0.0 && t <= near; t += 1.0) {
            hidden = hidden || seen.level.passes_over(end + (t / run) * (end - before));
        }
        if (hidden) {
            line.remarks.push_back(problem(
                fmt::format("The {} goes under a strip of marks and is taken up to there.", name_of(settings.kind)),
                "Lay the strips beside the line, not on it.", end));
        }
    }
}

}  // namespace

std::variant<FoundLine, TraceProblem> find_line(const Picture& picture, const LineSettings& settings) {
    if (auto why = refuse_picture(picture)) return *why;
    const std::vector<Seen> all = look(picture, settings);
    const bool both = settings.start_px && settings.end_px;
    const bool any = settings.start_px || settings.end_px || !settings.through_px.empty();
    Choice choice = both  ? between_ends(all, picture, settings)
                    : any ? near_places(all, picture, settings)
                          : longest(all, picture, settings);
    if (auto* why = std::get_if<TraceProblem>(&choice)) return std::move(*why);
    Meant& meant = std::get<Meant>(choice);
    const Seen& seen = *meant.seen;

    const auto course = points_of(seen.level, seen.chains, meant.stroke);
    const auto passed_over = [&](Point p) { return seen.level.passes_over(p); };
    const Measured measured =
        measure_across(picture, course, meant.stroke.closed, seen.level.scale(), settings.kind, passed_over);

    FoundLine line;
    line.closed = meant.stroke.closed;
    line.remarks = std::move(meant.remarks);
    line.free_ends_px = free_ends(seen);
    const auto& places = measured.places;
    std::size_t first = 0, last = places.size();
    while (first < last && !places[first].good) ++first;
    while (last > first && !places[last - 1].good) --last;
    const Profile& shape = measured.shape_at((first + last) / 2);
    if (!line.closed) {
        // Where a line ends, its end's own shape is seen with it: half a width and the blur are left off.
        const auto off = static_cast<std::size_t>(std::ceil(0.5 * shape.half_width_px() + shape.blur_px));
        if (last - first > 4 * off) {
            first += off;
            last -= off;
        }
    }
    line.width_px = shape.half_width_px();
    line.blur_px = shape.blur_px;
    line.contrast = std::abs(shape.contrast) / 255.0;
    const double least_gap = std::max(4.0, 2.0 * std::max(line.width_px, line.blur_px));
    std::size_t before = first;
    for (std::size_t i = first; i < last; ++i) {
        if (!places[i].good) continue;
        const Point onward = geometry::right_of(places[i].normal);
        if (!line.points_px.empty() && dot(places[i].at - line.points_px.back(), onward) <= 0.0) continue;
        if (static_cast<double>(i - before) > least_gap) {
            line.gaps_px.push_back(midpoint(places[before].at, places[i].at));
        }
        before = i;
        line.points_px.push_back(places[i].at);
        line.scatter_px.push_back(places[i].scatter);
    }
    if (auto why = refuse_measured(line, last - first, settings.kind)) return *why;
    if (both && !line.closed) {
        cut_beyond_ends(line, settings);
    } else if (settings.start_px || settings.end_px) {
        cut_at_end(line, settings);
    }
    cut_curled_ends(line, settings, seen.level.scale());
    std::optional<TraceProblem> refusal;
    look_at_ends(picture, settings, seen, line, refusal);
    if (refusal) return *refusal;
    return line;
}

}  // namespace seamwright::trace
