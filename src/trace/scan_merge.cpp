// The line of several scans. One after another is laid onto what is there, its overhanging ends lengthen it, and in the
// end all points are counted along the whole.

#include "scan_merge.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace seamwright::trace {
namespace {

/// Lines are compared at points this far apart; where they are nearer than `same_mm` they are one.
constexpr double apart_mm = 1.0, same_mm = 1.5;
/// They must run together for so long.
constexpr double least_overlap_mm = 5.0;
/// The last bit of a line may stray: it lies near the scan's border.
constexpr double stray_mm = 3.0;

std::vector<Point> thinned(const std::vector<Point>& points, double apart) {
    std::vector<Point> out = {points.front()};
    for (const Point& p : points) {
        if (distance(out.back(), p) >= apart) out.push_back(p);
    }
    return out;
}

struct Nearest {
    std::size_t index = 0;
    double off = HUGE_VAL;
};
Nearest nearest(const std::vector<Point>& line, Point p) {
    Nearest best;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const double off = distance(line[i], p);
        if (off < best.off) best = {i, off};
    }
    return best;
}

struct Overlap {
    std::size_t first = 0, last = 0;            ///< of the line that is laid on
    std::size_t base_first = 0, base_last = 0;  ///< of the base
    double length = 0.0;
};
std::optional<Overlap> overlap_of(const std::vector<Point>& base, const std::vector<Point>& line) {
    std::optional<Overlap> found;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const Nearest n = nearest(base, line[i]);
        // The end of the base is nearest to all that lies beyond it.
        if (n.off > same_mm) continue;
        if (!found) found = Overlap{i, i, n.index, n.index, 0.0};
        if (i > found->first) found->length += distance(line[i - 1], line[i]);
        found->last = i;
        found->base_last = n.index;
    }
    return found;
}

/// Counts points along a line.
class Ruler {
  public:
    Ruler(std::vector<Point> line, bool closed) : line_(std::move(line)), closed_(closed) {
        along_.push_back(0.0);
        for (std::size_t i = 1; i < line_.size(); ++i)
            along_.push_back(along_.back() + distance(line_[i - 1], line_[i]));
    }
    double length() const { return along_.back() + (closed_ ? distance(line_.back(), line_.front()) : 0.0); }
    /// Points come in order, so that each is looked for near the one before, and all over only where it is not there.
    double at(Point p, std::size_t& hint) const {
        const std::size_t n = line_.size();
        const std::size_t from = hint > near ? hint - near : 0, to = std::min(n, hint + near + 1);
        Nearest found;
        for (std::size_t k = from; k < to; ++k) {
            const double off = distance(line_[k], p);
            if (off < found.off) found = {k, off};
        }
        if (found.off > same_mm || found.index == from || found.index + 1 == to) found = nearest(line_, p);
        const std::size_t i = found.index;
        hint = i;
        const std::size_t a = i > 0 ? i - 1 : (closed_ ? n - 1 : 0), b = i + 1 < n ? i + 1 : (closed_ ? 0 : n - 1);
        const Point way = line_[b] - line_[a];
        const double size = norm(way);
        double along = along_[i] + (size > 0.0 ? dot(p - line_[i], way) / size : 0.0);
        if (closed_) along = along < 0.0 ? along + length() : std::fmod(along, length());
        return std::clamp(along, 0.0, length());
    }

  private:
    static constexpr std::size_t near = 24;
    std::vector<Point> line_;
    bool closed_;
    std::vector<double> along_;
};

/// Brings the two ends of a base together where they overlap.
bool close_up(std::vector<Point>& base) {
    if (base.size() < 20) return false;
    const std::vector<Point> head(base.begin(), base.begin() + static_cast<std::ptrdiff_t>(base.size() / 3));
    const std::vector<Point> tail(base.end() - static_cast<std::ptrdiff_t>(base.size() / 3), base.end());
    const auto overlap = overlap_of(head, tail);
    if (!overlap || overlap->length < least_overlap_mm || overlap->base_last < overlap->base_first) return false;
    base.erase(base.end() - static_cast<std::ptrdiff_t>(tail.size() - overlap->first), base.end());
    // What lies before the place the tail came to is there twice.
    base.erase(base.begin(), base.begin() + static_cast<std::ptrdiff_t>(overlap->base_first));
    return true;
}

/// How far apart two scans put the line, root mean square over the places both show.
double disagreement(const std::vector<std::vector<Sample>>& of_scan, double length) {
    if (of_scan.size() < 2) return 0.0;
    constexpr double step = 2.0;
    const auto count = static_cast<std::size_t>(length / step) + 1;
    struct Mean {
        Point sum;
        double n = 0.0;
    };
    std::vector<std::vector<Mean>> means(of_scan.size(), std::vector<Mean>(count));
    for (std::size_t s = 0; s < of_scan.size(); ++s) {
        for (const auto& sample : of_scan[s]) {
            auto& mean = means[s][std::min(count - 1, static_cast<std::size_t>(sample.along_mm / step))];
            mean.sum = mean.sum + sample.at;
            mean.n += 1.0;
        }
    }
    double sum = 0.0, n = 0.0;
    for (std::size_t k = 1; k + 1 < count; ++k) {
        for (std::size_t a = 0; a < means.size(); ++a) {
            for (std::size_t b = a + 1; b < means.size(); ++b) {
                const Mean &p = means[a][k], &q = means[b][k], &before = means[a][k - 1], &after = means[a][k + 1];
                if (p.n == 0.0 || q.n == 0.0 || before.n == 0.0 || after.n == 0.0) continue;
                const Point way = after.sum / after.n - before.sum / before.n;
                if (norm(way) <= 0.0) continue;
                const double off = cross(way, q.sum / q.n - p.sum / p.n) / norm(way);
                sum += off * off;
                n += 1.0;
            }
        }
    }
    return n > 0.0 ? std::sqrt(sum / n) : 0.0;
}

}  // namespace

std::variant<MergedLine, TraceProblem> merge_lines(const std::vector<ScannedLine>& lines) {
    std::vector<std::vector<Point>> thin;
    std::size_t longest = 0;
    for (const auto& line : lines) {
        thin.push_back(thinned(line.points, apart_mm));
        if (thin.back().size() > thin[longest].size()) longest = thin.size() - 1;
    }
    std::vector<Point> base = thin[longest];
    bool closed = lines[longest].closed;
    std::vector<bool> laid(lines.size(), false);
    laid[longest] = true;
    for (std::size_t k = 1; k < lines.size(); ++k) {
        std::optional<Overlap> best;
        std::size_t next = lines.size();
        for (std::size_t i = 0; i < lines.size(); ++i) {
            if (laid[i]) continue;
            const auto overlap = overlap_of(base, thin[i]);
            if (next == lines.size()) next = i;
            if (!overlap || overlap->length < least_overlap_mm || (best && best->length >= overlap->length)) continue;
            best = overlap;
            next = i;
        }
        if (!best) {
            return TraceProblem{fmt::format("The line on scan {} does not run on from that of the others.", next + 1),
                                "Let neighbouring scans overlap by a hand's breadth of the line, and choose the ends "
                                "if another line was taken.",
                                lines[next].points.front()};
        }
        laid[next] = true;
        if (closed) continue;
        std::vector<Point>& line = thin[next];
        if (best->base_last < best->base_first) {
            std::reverse(line.begin(), line.end());
            std::swap(best->base_first, best->base_last);
            const std::size_t first = line.size() - 1 - best->last;
            best->last = line.size() - 1 - best->first;
            best->first = first;
        }
        const auto first = static_cast<std::ptrdiff_t>(best->first), last = static_cast<std::ptrdiff_t>(best->last);
        const double before_base = apart_mm * static_cast<double>(best->base_first);
        const double after_base = apart_mm * static_cast<double>(base.size() - 1 - best->base_last);
        const bool leads_in = first > 0, leads_out = best->last + 1 < line.size();
        if ((leads_in && static_cast<double>(first) * apart_mm > stray_mm && before_base > stray_mm) ||
            (leads_out && static_cast<double>(line.size() - 1 - best->last) * apart_mm > stray_mm &&
             after_base > stray_mm)) {
            return TraceProblem{fmt::format("The line on scan {} parts from that of the others.", next + 1),
                                "Choose the ends of the line, so that the same one is taken on all scans.",
                                line[leads_in ? 0 : line.size() - 1]};
        }
        std::vector<Point> whole;
        if (leads_in && before_base <= stray_mm) {
            whole.assign(line.begin(), line.begin() + first);
            base.erase(base.begin(), base.begin() + static_cast<std::ptrdiff_t>(best->base_first));
            best->base_last -= best->base_first;
        }
        whole.insert(whole.end(), base.begin(), base.end());
        if (leads_out && after_base <= stray_mm) {
            whole.erase(whole.end() - static_cast<std::ptrdiff_t>(base.size() - 1 - best->base_last), whole.end());
            whole.insert(whole.end(), line.begin() + last + 1, line.end());
        }
        base = std::move(whole);
    }
    if (!closed && lines.size() > 1) closed = close_up(base);

    const Ruler ruler(base, closed);
    MergedLine merged;
    merged.closed = closed;
    merged.length_mm = ruler.length();
    std::vector<std::vector<Sample>> of_scan(lines.size());
    for (std::size_t s = 0; s < lines.size(); ++s) {
        std::size_t hint = 0;
        for (std::size_t i = 0; i < lines[s].points.size(); ++i) {
            of_scan[s].push_back({ruler.at(lines[s].points[i], hint), lines[s].points[i], lines[s].scatter_mm[i]});
        }
        merged.samples.insert(merged.samples.end(), of_scan[s].begin(), of_scan[s].end());
    }
    std::stable_sort(merged.samples.begin(), merged.samples.end(),
                     [](const Sample& a, const Sample& b) { return a.along_mm < b.along_mm; });
    merged.apart_mm = disagreement(of_scan, merged.length_mm);
    return merged;
}

}  // namespace seamwright::trace
