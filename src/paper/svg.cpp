#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <stdexcept>

#include "check.h"
#include "number.h"
#include "paper/drawing.h"

namespace seamwright::paper {

namespace {

constexpr double svg_margin_mm = 5.0;
/// An arc written by its ends and radius loses its centre when it nears a half turn (the error grows as the square root
/// of the rounding); a quarter turn keeps it.
constexpr double longest_sweep_rad = 0.5 * geometry::pi;

bool allowed(unsigned char c) {
    // XML 1.0 allows no control characters but tab and line ends.
    return c >= 0x20 || c == '\t' || c == '\n';
}

std::string escaped(const std::string& text) {
    std::string out;
    for (const char c : text) {
        switch (c) {
            case '&':
                out += "&amp;";
                break;
            case '<':
                out += "&lt;";
                break;
            case '>':
                out += "&gt;";
                break;
            case '"':
                out += "&quot;";
                break;
            default:
                if (allowed(static_cast<unsigned char>(c))) out += c;
        }
    }
    return out;
}

bool letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/// Ids of letters, digits and dashes, each once.
class Ids {
  public:
    std::string unique(const std::string& wanted) {
        std::string id;
        // GCC 12 warns falsely about std::string::insert; hence the prefix first.
        if (wanted.empty() || !letter(wanted[0])) id = "line-";
        for (const char c : wanted) {
            const bool plain =
                (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
            id += plain ? c : '-';
        }
        std::string candidate = id;
        for (int n = 2; !taken_.insert(candidate).second; ++n) candidate = fmt::format("{}-{}", id, n);
        return candidate;
    }

  private:
    std::set<std::string> taken_;
};

class Writer {
  public:
    explicit Writer(const Box& page) : page_(page) {}

    std::string write(const Drawing& drawing);

  private:
    Box page_;
    Ids ids_;
    std::string hatches_, body_;

    double x(Point p) const { return p.x - page_.low.x; }
    double y(Point p) const { return page_.high.y - p.y; }
    std::string pair(Point p) const { return fmt::format("{} {}", number(x(p)), number(y(p))); }

    std::string path_data(const Path& path) const;
    std::string fill(const DrawnPath& p);
    void draw(const DrawnPath& p);
    void draw(const Text& t);
};

std::string Writer::path_data(const Path& path) const {
    std::string d = fmt::format("M{}", pair(path.start()));
    for (const auto& s : path.segments) {
        if (s.is_line()) {
            d += fmt::format("L{}", pair(s.end));
            continue;
        }
        const int pieces = std::max(1, static_cast<int>(std::ceil(std::abs(s.sweep_rad) / longest_sweep_rad - 1e-9)));
        const double begin = geometry::heading(s.start - s.centre);
        for (int i = 1; i <= pieces; ++i) {
            const Point to =
                i == pieces ? s.end : s.centre + s.radius_mm * geometry::unit(begin + s.sweep_rad * i / pieces);
            // y is turned over, so counter-clockwise becomes the decreasing angle of SVG.
            d += fmt::format("A{0} {0} 0 0 {1} {2}", number(s.radius_mm), s.sweep_rad > 0.0 ? 0 : 1, pair(to));
        }
    }
    if (path.closed) d += "Z";
    return d;
}

std::string Writer::fill(const DrawnPath& p) {
    if (!p.path.closed) return "none";
    if (p.fill.hatch_spacing_mm > 0.0) {
        const std::string id = ids_.unique("hatch");
        const std::string spacing = number(p.fill.hatch_spacing_mm);
        hatches_ += fmt::format(
            "<pattern id=\"{0}\" width=\"{1}\" height=\"{1}\" patternUnits=\"userSpaceOnUse\" "
            "patternTransform=\"rotate({2})\">{3}<path d=\"M0 {4}H{1}\" stroke=\"#737373\" "
            "stroke-width=\"0.13\"/></pattern>\n",
            id, spacing, number(-p.fill.hatch_angle_rad * 180.0 / geometry::pi),
            p.fill.colour
                ? fmt::format("<rect width=\"{0}\" height=\"{0}\" fill=\"{1}\"/>", spacing, escaped(*p.fill.colour))
                : std::string{},
            number(0.5 * p.fill.hatch_spacing_mm));
        return fmt::format("url(#{})", id);
    }
    return p.fill.colour ? escaped(*p.fill.colour) : "none";
}

void Writer::draw(const DrawnPath& p) {
    if (p.path.empty()) return;
    std::string d = path_data(p.path);
    for (const auto& h : p.holes) {
        if (!h.empty()) d += path_data(h);
    }
    body_ += "<path";
    if (!p.id.empty()) body_ += fmt::format(" id=\"{}\"", ids_.unique(p.id));
    body_ += fmt::format(" d=\"{}\" fill=\"{}\"", d, fill(p));
    if (!p.holes.empty()) body_ += " fill-rule=\"evenodd\"";
    if (p.stroke.width_mm > 0.0) {
        const int level = static_cast<int>(std::lround(std::clamp(p.stroke.grey, 0.0, 1.0) * 255.0));
        body_ += fmt::format(" stroke=\"{}\" stroke-width=\"{}\"",
                             p.stroke.colour ? escaped(*p.stroke.colour) : fmt::format("#{0:02x}{0:02x}{0:02x}", level),
                             number(p.stroke.width_mm));
        for (std::size_t i = 0; i < p.stroke.dash_mm.size(); ++i)
            body_ += fmt::format("{}{}", i == 0 ? " stroke-dasharray=\"" : " ", number(p.stroke.dash_mm[i]));
        if (!p.stroke.dash_mm.empty()) body_ += "\"";
    }
    body_ += "/>\n";
}

void Writer::draw(const Text& t) {
    if (t.text.empty()) return;
    body_ +=
        fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\"", number(x(t.at)), number(y(t.at)), number(t.height_mm));
    if (t.anchor == Text::Anchor::middle) body_ += " text-anchor=\"middle\"";
    if (t.anchor == Text::Anchor::right) body_ += " text-anchor=\"end\"";
    if (t.bold) body_ += " font-weight=\"bold\"";
    if (t.turn_rad != 0.0)
        body_ += fmt::format(" transform=\"rotate({} {})\"", number(-t.turn_rad * 180.0 / geometry::pi), pair(t.at));
    body_ += fmt::format(">{}</text>\n", escaped(t.text));
}

std::string Writer::write(const Drawing& drawing) {
    for (const auto& p : drawing.paths) draw(p);
    for (const auto& t : drawing.texts) draw(t);
    const std::string width = number(page_.width_mm()), height = number(page_.height_mm());
    std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    out += fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 {0} {1}\">\n", width,
        height);
    out += fmt::format("<title>{}</title>\n", escaped(drawing.title));
    if (!hatches_.empty()) out += fmt::format("<defs>\n{}</defs>\n", hatches_);
    out += "<g font-family=\"DejaVu Sans, sans-serif\" fill=\"#000000\">\n";
    out += body_;
    out += "</g>\n</svg>\n";
    return out;
}

}  // namespace

std::string svg(const Drawing& drawing) {
    check_drawing(drawing);
    if (!drawing.patches.empty()) throw std::invalid_argument("a drawing with pictures is not written as SVG");
    if (drawing.laid_out_on)
        return Writer({{0.0, 0.0}, {drawing.laid_out_on->width_mm, drawing.laid_out_on->height_mm}}).write(drawing);
    return Writer(drawing.box().grown(svg_margin_mm)).write(drawing);
}

}  // namespace seamwright::paper
