#include "canvas.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>

#include "text_size.h"

#if defined(__SANITIZE_ADDRESS__)
#define SEAMWRIGHT_LEAK_CHECK 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SEAMWRIGHT_LEAK_CHECK 1
#endif
#endif
#ifdef SEAMWRIGHT_LEAK_CHECK
// Pango keeps one font map for each thread until the program ends, and fontconfig's patterns hang on it; it does not
// grow with the number of drawings (measured: 60 whole plans in a row).
extern "C" const char* __lsan_default_options();
extern "C" const char* __lsan_default_options() {
    return "print_suppressions=0";  // what was suppressed is no message for the maker
}
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() {
    return "leak:libfontconfig\nleak:libpango\n";
}
#endif

namespace seamwright::paper {

namespace {

constexpr double unit_per_mm = fine * pt_per_mm;
constexpr double hatch_width_mm = 0.13;
constexpr double line_spacing = 1.42;  // of the text height; calm to read

cairo_status_t collect(void* bytes, const unsigned char* data, unsigned int size) {
    // Cairo hands over bytes as unsigned char.
    static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), size);
    return CAIRO_STATUS_SUCCESS;
}

double channel(const std::string& colour, std::size_t at) {
    const auto digit = [&](char c) {
        if (c >= '0' && c <= '9') return c - '0';
        if (c >= 'a' && c <= 'f') return c - 'a' + 10;
        if (c >= 'A' && c <= 'F') return c - 'A' + 10;
        throw std::invalid_argument("a colour is written #rrggbb, found \"" + colour + "\"");
    };
    if (colour.size() != 7 || colour[0] != '#')
        throw std::invalid_argument("a colour is written #rrggbb, found \"" + colour + "\"");
    return (16 * digit(colour[at]) + digit(colour[at + 1])) / 255.0;
}

void set_colour(cairo_t* cr, const std::string& colour) {
    cairo_set_source_rgb(cr, channel(colour, 1), channel(colour, 3), channel(colour, 5));
}

PangoLayout* new_layout(cairo_t* cr) {
    PangoLayout* layout = pango_cairo_create_layout(cr);
    PangoContext* context = pango_layout_get_context(layout);
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(context, FALSE);
    return layout;
}

void set_text(PangoLayout* layout, const std::string& text, double height_mm, bool bold) {
    PangoFontDescription* font = pango_font_description_new();
    pango_font_description_set_family(font, "DejaVu Sans");
    pango_font_description_set_weight(font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(font, height_mm * unit_per_mm * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    pango_layout_set_width(layout, -1);
    pango_layout_set_text(layout, text.data(), static_cast<int>(text.size()));
}

double measured_mm(PangoLayout* layout) {
    PangoRectangle logical;
    pango_layout_get_extents(layout, nullptr, &logical);
    return static_cast<double>(logical.width) / PANGO_SCALE / unit_per_mm;
}

}  // namespace

int arc_pieces(double radius_mm, double sweep_rad, double within_mm) {
    constexpr double quarter = 0.5 * geometry::pi;
    int pieces = std::max(1, static_cast<int>(std::ceil(std::abs(sweep_rad) / quarter - 1e-12)));
    for (;;) {
        const double a = std::abs(sweep_rad) / pieces / 4.0;
        const double error = 4.0 / 27.0 * std::pow(std::sin(a), 6.0) / (std::cos(a) * std::cos(a));
        if (radius_mm * error <= within_mm) return pieces;
        ++pieces;
    }
}

struct Destroyer {
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};

struct Canvas::State {
    struct Picture {
        std::shared_ptr<const PictureFile> file;  ///< its address tells it from others, so it is kept
        std::unique_ptr<cairo_surface_t, Destroyer> surface;
    };

    std::string bytes;
    cairo_surface_t* surface = nullptr;
    cairo_t* cr = nullptr;
    PangoLayout* layout = nullptr;
    std::size_t pages = 0;
    double page_height_mm = 0.0;
    Point shift;

    double x(Point p) const { return (p.x + shift.x) * unit_per_mm; }
    double y(Point p) const { return (page_height_mm - p.y - shift.y) * unit_per_mm; }

    void move_to(Point p) const { cairo_move_to(cr, x(p), y(p)); }
    void line_to(Point p) const { cairo_line_to(cr, x(p), y(p)); }

    /// Each picture by itself, so that it stands in the file once.
    std::map<const PictureFile*, Picture> pictures;

    void outline(const Path& path) const;
    cairo_surface_t* surface_of(const std::shared_ptr<const PictureFile>& picture);
    void hatch(const Fill& fill, const Box& box) const;
};

void Canvas::State::outline(const Path& path) const {
    if (path.empty()) return;
    move_to(path.start());
    for (const auto& s : path.segments) {
        if (s.is_line()) {
            line_to(s.end);
            continue;
        }
        const int pieces = arc_pieces(s.radius_mm, s.sweep_rad, arc_error_mm);
        const double turn = s.sweep_rad / pieces;
        const double handle = 4.0 / 3.0 * std::tan(0.25 * turn);
        const double begin = geometry::heading(s.start - s.centre);
        Point from = s.start - s.centre;
        for (int i = 1; i <= pieces; ++i) {
            const Point to = i == pieces ? s.end - s.centre : s.radius_mm * geometry::unit(begin + i * turn);
            const Point c1 = s.centre + from + handle * geometry::left_of(from);
            const Point c2 = s.centre + to - handle * geometry::left_of(to);
            const Point end = s.centre + to;
            cairo_curve_to(cr, x(c1), y(c1), x(c2), y(c2), x(end), y(end));
            from = to;
        }
    }
    if (path.closed) cairo_close_path(cr);
}

void Canvas::State::hatch(const Fill& fill, const Box& box) const {
    const Point along = geometry::unit(fill.hatch_angle_rad);
    const Point across = geometry::left_of(along);
    double low = 1e300, high = -1e300, from = 1e300, to = -1e300;
    for (const Point corner : {box.low, box.high, Point{box.low.x, box.high.y}, Point{box.high.x, box.low.y}}) {
        low = std::min(low, geometry::dot(across, corner));
        high = std::max(high, geometry::dot(across, corner));
        from = std::min(from, geometry::dot(along, corner));
        to = std::max(to, geometry::dot(along, corner));
    }
    const auto first = static_cast<long>(std::ceil(low / fill.hatch_spacing_mm));
    const auto last = static_cast<long>(std::floor(high / fill.hatch_spacing_mm));
    for (long i = first; i <= last; ++i) {
        const Point foot = static_cast<double>(i) * fill.hatch_spacing_mm * across;
        move_to(foot + from * along);
        line_to(foot + to * along);
    }
    cairo_set_line_width(cr, hatch_width_mm * unit_per_mm);
    cairo_set_dash(cr, nullptr, 0, 0.0);
    cairo_set_source_rgb(cr, 0.45, 0.45, 0.45);
    cairo_stroke(cr);
}

Canvas::Canvas() : state_(std::make_unique<State>()) {
    auto& s = *state_;
    s.surface = cairo_pdf_surface_create_for_stream(collect, &s.bytes, 1.0, 1.0);
    s.cr = cairo_create(s.surface);
    s.layout = new_layout(s.cr);
}

Canvas::~Canvas() {
    g_object_unref(state_->layout);
    cairo_destroy(state_->cr);
    cairo_surface_destroy(state_->surface);
}

std::size_t Canvas::page(double width_mm, double height_mm) {
    auto& s = *state_;
    if (!(width_mm > 0.0 && height_mm > 0.0 && width_mm <= longest_page_mm && height_mm <= longest_page_mm))
        throw std::invalid_argument("a page must have a size, and be no longer than 100 m");
    if (s.pages > 0) cairo_show_page(s.cr);
    cairo_pdf_surface_set_size(s.surface, width_mm * unit_per_mm, height_mm * unit_per_mm);
    s.page_height_mm = height_mm;
    s.shift = {};
    return s.pages++;
}

void Canvas::move_by(Point by) {
    state_->shift = state_->shift + by;
}

void Canvas::draw(const DrawnPath& path) {
    auto& s = *state_;
    if (path.path.empty()) return;
    cairo_new_path(s.cr);
    s.outline(path.path);
    for (const auto& h : path.holes) s.outline(h);
    if (path.path.closed && path.fill.colour) {
        cairo_set_fill_rule(s.cr, CAIRO_FILL_RULE_EVEN_ODD);
        set_colour(s.cr, *path.fill.colour);
        cairo_fill_preserve(s.cr);
    }
    if (path.path.closed && path.fill.hatch_spacing_mm > 0.0) {
        cairo_path_t* kept = cairo_copy_path(s.cr);
        cairo_save(s.cr);
        cairo_set_fill_rule(s.cr, CAIRO_FILL_RULE_EVEN_ODD);
        cairo_clip(s.cr);
        s.hatch(path.fill, geometry::bounding_box(path.path));
        cairo_restore(s.cr);
        cairo_new_path(s.cr);
        cairo_append_path(s.cr, kept);
        cairo_path_destroy(kept);
    }
    if (path.stroke.width_mm > 0.0) {
        std::vector<double> dash;
        for (const double d : path.stroke.dash_mm) dash.push_back(d * unit_per_mm);
        cairo_set_dash(s.cr, dash.data(), static_cast<int>(dash.size()), 0.0);
        cairo_set_line_width(s.cr, path.stroke.width_mm * unit_per_mm);
        cairo_set_line_join(s.cr, CAIRO_LINE_JOIN_MITER);
        if (path.stroke.colour) {
            set_colour(s.cr, *path.stroke.colour);
        } else {
            cairo_set_source_rgb(s.cr, path.stroke.grey, path.stroke.grey, path.stroke.grey);
        }
        cairo_stroke(s.cr);
    }
    cairo_new_path(s.cr);
}

cairo_surface_t* Canvas::State::surface_of(const std::shared_ptr<const PictureFile>& picture) {
    const auto known = pictures.find(picture.get());
    if (known != pictures.end()) return known->second.surface.get();
    // Cairo wants pixels beside the file, and does not look at them for a PDF.
    Picture held{picture, std::unique_ptr<cairo_surface_t, Destroyer>(
                              cairo_image_surface_create(CAIRO_FORMAT_RGB24, picture->width_px, picture->height_px))};
    cairo_status_t status = cairo_surface_status(held.surface.get());
    if (status == CAIRO_STATUS_SUCCESS) {
        // Cairo reads bytes as unsigned char. They live as long as the picture, which is held beside the surface.
        status = cairo_surface_set_mime_data(held.surface.get(), CAIRO_MIME_TYPE_JPEG,
                                             reinterpret_cast<const unsigned char*>(picture->jpeg.data()),
                                             static_cast<unsigned long>(picture->jpeg.size()), nullptr, nullptr);
    }
    if (status != CAIRO_STATUS_SUCCESS)
        throw std::runtime_error(std::string("a picture could not be drawn: ") + cairo_status_to_string(status));
    return pictures.emplace(picture.get(), std::move(held)).first->second.surface.get();
}

void Canvas::draw(const WoodPatch& patch) {
    auto& s = *state_;
    cairo_save(s.cr);
    cairo_set_fill_rule(s.cr, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_new_path(s.cr);
    for (const Path& edge : patch.clip) s.outline(edge);
    cairo_clip(s.cr);
    if (patch.within) {
        s.outline(*patch.within);
        cairo_clip(s.cr);
    }
    if (!patch.ground.empty()) {
        for (const Path& edge : patch.clip) s.outline(edge);
        set_colour(s.cr, patch.ground);
        cairo_fill(s.cr);
    }
    if (patch.picture) {
        const double across = patch.length_mm / patch.picture->width_px,
                     down = patch.width_mm / patch.picture->height_px;
        const Point corner = patch.lies.at({0.0, patch.width_mm});
        const Point right = across * patch.lies.along, below = -down * patch.lies.across;
        cairo_matrix_t matrix;
        cairo_matrix_init(&matrix, right.x * unit_per_mm, -right.y * unit_per_mm, below.x * unit_per_mm,
                          -below.y * unit_per_mm, s.x(corner), s.y(corner));
        cairo_save(s.cr);
        cairo_transform(s.cr, &matrix);
        cairo_set_source_surface(s.cr, s.surface_of(patch.picture), 0.0, 0.0);
        cairo_paint(s.cr);
        cairo_restore(s.cr);
    }
    if (!patch.figure.empty()) {
        set_colour(s.cr, patch.line);
        cairo_set_dash(s.cr, nullptr, 0, 0.0);
        cairo_set_line_join(s.cr, CAIRO_LINE_JOIN_ROUND);
        for (const plan::FigureLine& line : patch.figure) {
            if (line.points.empty()) continue;
            s.move_to(patch.lies.at(line.points.front()));
            for (const Point p : line.points) s.line_to(patch.lies.at(p));
            cairo_set_line_width(s.cr, line.width_mm * unit_per_mm);
            cairo_stroke(s.cr);
        }
    }
    cairo_restore(s.cr);
}

void Canvas::draw(const Text& text, double grey) {
    auto& s = *state_;
    if (text.text.empty()) return;
    cairo_save(s.cr);
    cairo_translate(s.cr, s.x(text.at), s.y(text.at));
    cairo_rotate(s.cr, -text.turn_rad);
    cairo_set_source_rgb(s.cr, grey, grey, grey);
    set_text(s.layout, text.text, text.height_mm, text.bold);
    pango_cairo_update_layout(s.cr, s.layout);
    const double width = measured_mm(s.layout) * unit_per_mm;
    const double from = text.anchor == Text::Anchor::left     ? 0.0
                        : text.anchor == Text::Anchor::middle ? -0.5 * width
                                                              : -width;
    cairo_move_to(s.cr, from, 0.0);
    pango_cairo_show_layout_line(s.cr, pango_layout_get_line_readonly(s.layout, 0));
    cairo_restore(s.cr);
}

void Canvas::draw_within(Text text, double most_mm, double grey) {
    const double length = length_mm(text);
    if (length > most_mm && most_mm > 0.0) text.height_mm *= most_mm / length;
    draw(text, grey);
}

double Canvas::paragraph(Point upper_left, double width_mm, double height_mm, const std::string& text, bool bold,
                         double grey) {
    auto& s = *state_;
    set_text(s.layout, text, height_mm, bold);
    pango_cairo_update_layout(s.cr, s.layout);
    pango_layout_set_width(s.layout, static_cast<int>(width_mm * unit_per_mm * PANGO_SCALE));
    pango_layout_set_wrap(s.layout, PANGO_WRAP_WORD_CHAR);
    cairo_set_source_rgb(s.cr, grey, grey, grey);
    const int lines = pango_layout_get_line_count(s.layout);
    for (int i = 0; i < lines; ++i) {
        const Point baseline{upper_left.x, upper_left.y - height_mm - i * line_spacing * height_mm};
        s.move_to(baseline);
        pango_cairo_show_layout_line(s.cr, pango_layout_get_line_readonly(s.layout, i));
    }
    pango_layout_set_width(s.layout, -1);
    return lines * line_spacing * height_mm;
}

double Canvas::length_mm(const Text& text) {
    auto& s = *state_;
    set_text(s.layout, text.text, text.height_mm, text.bold);
    pango_cairo_update_layout(s.cr, s.layout);
    return measured_mm(s.layout);
}

double text_length_mm(const Text& t) {
    cairo_surface_t* surface = cairo_recording_surface_create(CAIRO_CONTENT_ALPHA, nullptr);
    cairo_t* cr = cairo_create(surface);
    PangoLayout* layout = new_layout(cr);
    set_text(layout, t.text, t.height_mm, t.bold);
    const double length = measured_mm(layout);
    g_object_unref(layout);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    return length;
}

std::string Canvas::finish() {
    auto& s = *state_;
    cairo_show_page(s.cr);
    cairo_surface_finish(s.surface);
    const cairo_status_t status = cairo_surface_status(s.surface);
    if (status != CAIRO_STATUS_SUCCESS)
        throw std::runtime_error(std::string("the PDF could not be drawn: ") + cairo_status_to_string(status));
    return std::move(s.bytes);
}

}  // namespace seamwright::paper
