#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "curves/drawn.h"
#include "curves/high_spots.h"
#include "job/shop_work.h"
#include "shelf/shelf.h"
#include "units/length.h"

namespace seamwright::job {

using geometry::Point;

/// One side of a rectangular outline: straight, bowed outward (+) or inward (−) by its rise, or drawn with pins that
/// lie between the two corners (the corners themselves are the first and last pin and are not listed). Pins run
/// counter-clockwise round the top, each farther along the side than the one before; a document may list them the
/// other way and is read the same.
struct StraightEdge {
    friend bool operator==(const StraightEdge&, const StraightEdge&) = default;
};
struct BowedEdge {
    double rise_mm = 0.0;
    friend bool operator==(const BowedEdge&, const BowedEdge&) = default;
};
struct DrawnEdge {
    std::vector<Point> pins;
    friend bool operator==(const DrawnEdge&, const DrawnEdge&) = default;
};
using Edge = std::variant<StraightEdge, BowedEdge, DrawnEdge>;

/// Corners at (0,0) front left, (length,0) front right, (length,width) back right, (0,width) back left; the maker
/// stands at the front.
struct RectangleOutline {
    double length_mm = 0.0, width_mm = 0.0;
    Edge front, right, back, left;
    /// Rounding of each corner, 0 = sharp: front left, front right, back right, back left.
    std::array<double, 4> corner_radius_mm{};
    friend bool operator==(const RectangleOutline&, const RectangleOutline&) = default;
};
struct RoundOutline {
    double diameter_mm = 0.0;  ///< centre at (diameter/2, diameter/2)
    friend bool operator==(const RoundOutline&, const RoundOutline&) = default;
};
struct OvalOutline {
    double length_mm = 0.0, width_mm = 0.0;  ///< centre at (length/2, width/2)
    friend bool operator==(const OvalOutline&, const OvalOutline&) = default;
};
/// Any closed curve: pins or an imported path.
struct FreeOutline {
    curves::Curve curve;
};
using Outline = std::variant<RectangleOutline, RoundOutline, OvalOutline, FreeOutline>;

enum class SeamKind {
    open,   ///< from edge to edge
    inlay,  ///< closed: the piece inside is set into the one outside
    edging  ///< parallel to the outline at a width inside it
};
/// As documents call it: "open", "inlay", "edging".
std::string_view name_of(SeamKind kind);

/// The seam is not cut as drawn, but along the fairest curve near it that turns no tighter than this.
struct Easing {
    double least_radius_mm = 0.0;
    double within_mm = 0.0;  ///< how far it may lie beside what is drawn
    friend bool operator==(const Easing&, const Easing&) = default;
};

/// The springy stick with which a curve is drawn at full size.
struct Stick {
    std::string species;
    double thickness_mm = 0.0;  ///< in the direction it is bent
    friend bool operator==(const Stick&, const Stick&) = default;
};

/// The template that was made by hand, measured: how far its edge stands proud of what was meant (+), or lies low.
struct MadeEdge {
    std::vector<curves::Reading> readings;  ///< along the edge from where the seam enters the wood, in order
    double wave_mm = 150.0;                 ///< longer bumps are the shape itself, which every copy shares
    double fair_mm = 0.02;                  ///< within this the edge counts as fair
    friend bool operator==(const MadeEdge&, const MadeEdge&) = default;
};

/// An edging sawn in segments out of straight boards.
struct Segments {
    double board_width_mm = 0.0;
    std::optional<double> board_length_mm;
    int number = 0;  ///< 0: as few as the boards allow
    friend bool operator==(const Segments&, const Segments&) = default;
};

struct Seam {
    std::string name;
    SeamKind kind = SeamKind::open;
    curves::Curve curve;                              ///< open, inlay
    double edging_width_mm = 0.0;                     ///< edging
    std::optional<Segments> segments = std::nullopt;  ///< edging; absent: the ring comes out of one piece
    std::optional<Easing> eased;                      ///< open seams only
    std::optional<Stick> stick;                       ///< open, inlay; absent: the job's, if any
    std::optional<MadeEdge> as_made;                  ///< open seams only
    /// Which template is made by hand; absent: the plan chooses the hand with more room.
    enum class Hand { left, right };
    std::optional<Hand> master;
    /// Pins the maker to one of the chains by its id (as plan.json names it); absent: the best one.
    std::string chain;
};

/// What a document says of a piece whose wood is still to be chosen.
inline constexpr std::string_view no_species = "not chosen";

/// Where a piece lies on a board: the middle of its box (as it lies on the board) at a place of the board.
struct Laid {
    std::string board;
    Point at;
    bool turned = false;  ///< end for end
    bool over = false;    ///< with its face down
    friend bool operator==(const Laid&, const Laid&) = default;
};

/// The same of one strip of a piece that is glued up.
struct LaidStrip {
    std::size_t strip = 1;  ///< from the piece's lower edge as it lies with its fibres along, counted from 1
    Laid laid;
    friend bool operator==(const LaidStrip&, const LaidStrip&) = default;
};

struct Piece {
    std::string name;
    Point at;  ///< any point inside the piece
    std::string species;
    double grain_rad = 0.0;                  ///< direction of the fibres, from +x (along the length) counter-clockwise
    std::optional<double> moisture_percent;  ///< a meter's reading
    /// The board it has to come out of, along the piece's grain; 0: not said.
    double board_mm = 0.0;
    double board_margin_mm = 5.0;  ///< kept free along each edge of the board
    /// It must come out of one board, not be glued up from several.
    bool one_board = false;
    /// Boards it is to come out of, by their names on the shelf, in the order they lie across it; empty: any.
    std::vector<std::string> from_boards = {};
    /// Laid on its board by the maker, and not to be moved.
    std::optional<Laid> laid = std::nullopt;
    std::size_t strips = 0;  ///< how many it is glued up from; 0: as few as will do
    std::vector<LaidStrip> laid_strips = {};
    friend bool operator==(const Piece&, const Piece&) = default;
};

struct TemplateSheet {
    double thickness_mm = 12.0;
    double run_out_mm = 60.0;  ///< template edge beyond the wood at each end
    double body_mm = 120.0;    ///< width of the template behind its edge
    friend bool operator==(const TemplateSheet&, const TemplateSheet&) = default;
};

struct Limits {
    double gap_mm = 0.1;              ///< largest gap the maker accepts before closing
    double first_pass_mm = 3.0;       ///< common practice
    double pass_mm = 5.0;             ///< deepest step (common practice for hardwood, 12 mm shank; from memory)
    double last_pass_mm = 2.0;        ///< light last pass at full depth (common practice)
    double below_wood_mm = 1.0;       ///< how far the cutter goes into the spoil board
    double feed_mm_per_min = 1500.0;  ///< hand feed in hardwood 1–3 m/min (common practice; from memory)
    double reveal_mm = 6.0;           ///< wood left standing beyond the finished edge by the rough cut
    /// The steps of a cut go by wood and cutter (process/cut_stages.h); the three above then do not count.
    bool passes_by_wood = false;
    double skim_mm = 0.0;  ///< left by all passes and taken off at full depth in a last one; 0: none
    friend bool operator==(const Limits&, const Limits&) = default;
};

/// What came out of the maker's printer: a bar drawn 100 mm long, measured.
struct PrinterCorrection {
    double measured_x_mm = 100.0, measured_y_mm = 100.0;
    friend bool operator==(const PrinterCorrection&, const PrinterCorrection&) = default;
};
struct Paper {
    std::string size = "A4";  ///< A4, A3, Letter, Tabloid
    double overlap_mm = 10.0;
    double margin_mm = 10.0;
    PrinterCorrection correction;
    friend bool operator==(const Paper&, const Paper&) = default;
};

/// How the router is held while it goes along the edge. As documents call them: "one_way", "end_for_end", "with_edge",
/// "any_way".
enum class Held {
    one_way,      ///< the same handle toward the same end, always
    end_for_end,  ///< turned end for end between the cut of one piece and that of the other
    with_edge,    ///< turned along with the edge, one side always to the template
    any_way       ///< as it comes
};
std::string_view name_of(Held held);

/// How true this maker's tools and hands are; what is not known otherwise lies anywhere within ± these. The values that
/// stand here are common practice, from memory.
struct Accuracy {
    double measured_mm = 0.02;       ///< a diameter that was measured
    double marked_mm = 0.10;         ///< a diameter known from its marking alone
    double cutter_wear_mm = 0.01;    ///< lost in diameter between the first copy and the last cut
    double guide_wear_mm = 0.01;     ///< the same of a guide's barrel
    double cutter_wobble_mm = 0.03;  ///< a cutter that runs out of true cuts wider by up to this
    double guide_play_mm = 0.05;     ///< how far the guide sits aside in its base
    double off_centre_mm = 0.10;     ///< guide against spindle
    Held held = Held::one_way;
    double routed_edge_mm = 0.02;     ///< unevenness of a routed edge
    double hand_edge_mm = 0.10;       ///< unevenness of an edge worked by hand to a line
    double edge_wave_mm = 150.0;      ///< length of that unevenness, crest to crest
    double paper_per_metre_mm = 0.3;  ///< paper longer or shorter, per metre
    double moisture_points = 0.0;     ///< moisture the first piece gains or loses until the second one is cut
    friend bool operator==(const Accuracy&, const Accuracy&) = default;
};

/// How the seams are glued.
struct Gluing {
    std::string adhesive = "pva";  ///< see process/gluing.h
    std::string exposure = "D1";   ///< D1 to D4 of EN 204, or "Type II", "Type I" of ANSI/HPVA
    double temperature_c = 21.0;
    int people = 1;               ///< 1 or 2
    double caul_depth_mm = 60.0;  ///< in the direction of the push
    double caul_thickness_mm = 40.0;
    double friction = 0.1;  ///< of wood on wet glue (our judgement)
    friend bool operator==(const Gluing&, const Gluing&) = default;
};

/// Air that wood comes to rest with.
struct Air {
    double temperature = 21.0;
    bool in_fahrenheit = false;
    double humidity_percent = 50.0;

    double celsius() const { return in_fahrenheit ? (temperature - 32.0) / 1.8 : temperature; }
    friend bool operator==(const Air&, const Air&) = default;
};

/// The air where the top is made and where it will stand.
struct Climate {
    std::optional<Air> shop;
    /// Over the year where it stands. Absent: 30 % and 65 % at 21 °C, a heated house (common practice, from memory).
    std::optional<Air> driest, dampest;
    friend bool operator==(const Climate&, const Climate&) = default;
};

/// How the top is held on its base.
struct Base {
    double screw_mm = 5.0;
    /// The line along which it is held fast, from the lowest edge of the top; absent: its middle.
    std::optional<double> fixed_line_mm;
    double supports_mm = 0.0;  ///< between the outermost supports along the length; 0: not said
    double load_n = 500.0;     ///< put on it at its middle, to reckon how far it sags
    friend bool operator==(const Base&, const Base&) = default;
};

/// Wood glued on under the edge all round, so that the top looks thicker.
struct BuildUp {
    /// What lies under the ends, across the fibres of the top.
    enum class Ends {
        end_grain,    ///< short pieces whose fibres run as the top's
        floating,     ///< one long piece, held so that the top can move over it
        glued_across  ///< one long piece glued fast
    };
    double thickness_mm = 0.0;
    double width_mm = 0.0;  ///< from the edge inward
    Ends ends = Ends::end_grain;
    friend bool operator==(const BuildUp&, const BuildUp&) = default;
};
/// As documents call it: "end_grain", "floating", "glued_across".
std::string_view name_of(BuildUp::Ends ends);

/// How pieces are cut out of boards.
struct Cutting {
    double margin_mm = 6.0;                                  ///< wood left around a piece by the rough cut
    double kerf_mm = 3.0;                                    ///< of the saw
    double jointing_mm = 2.0;                                ///< taken off an edge that is glued, each
    double grain_within_rad = 3.0 * (geometry::pi / 180.0);  ///< fibres may lie askew by up to this
    double defect_from_seam_mm = 15.0;  ///< how far a defect that is allowed in the wood stays from seams and edges
    double joint_from_seam_mm = 20.0;   ///< how far a glue joint stays from where a seam runs along it
    double narrowest_strip_mm = 40.0;   ///< of a panel that is glued up
    bool turn_over = true;              ///< either face may be up
    /// Which way the heart sides of strips face that are glued up side by side.
    enum class HeartSides {
        any,
        alternate,  ///< up and down by turns: the cups of the strips even out
        match       ///< all up
    };
    HeartSides heart_sides = HeartSides::any;
    double ends_mm = 0.0;  ///< left at both ends of a piece, along its fibres; the margin where that is more

    /// Wood left at the ends of a piece.
    double at_ends_mm() const { return ends_mm > margin_mm ? ends_mm : margin_mm; }
    friend bool operator==(const Cutting&, const Cutting&) = default;
};

/// As documents call it: "any", "alternate", "match".
std::string_view name_of(Cutting::HeartSides sides);

struct Job {
    std::string name;
    std::string note;
    units::LengthStyle style;
    double thickness_mm = 0.0;
    Outline outline;
    std::vector<Seam> seams;
    std::vector<Piece> pieces;
    std::optional<Stick> stick;  ///< for curves through pins and sprung ones
    TemplateSheet sheet;
    Limits limits;
    Accuracy accuracy;
    Gluing gluing;
    Climate climate;
    Base base;
    Cutting cutting;
    std::optional<BuildUp> build_up = std::nullopt;
    std::optional<Edges> edges = std::nullopt;
    std::optional<Finish> finish = std::nullopt;
    std::optional<Calendar> calendar = std::nullopt;
    std::optional<Prices> prices = std::nullopt;
    std::vector<Made> made = {};  ///< in the order it was noted
    Paper paper;
};

/// Something wrong, and what to do about it. `pointer` is an RFC 6901 JSON pointer into the job document.
struct Problem {
    enum class Weight { error, warning };
    Weight weight = Weight::error;
    std::string pointer;
    std::string found;
    std::string allowed;
    std::string remedy;
    std::optional<Point> at;  ///< a place on the drawing, where there is one

    friend bool operator==(const Problem&, const Problem&) = default;
};
std::string show(const Problem& p);
bool any_error(const std::vector<Problem>& problems);
/// True when the problem stands at the place of that pointer or at something in it.
bool is_within(const Problem& problem, std::string_view pointer);

}  // namespace seamwright::job
