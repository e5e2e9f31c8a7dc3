#include "peers.h"

#include <geos_c.h>

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wconversion"
#pragma GCC diagnostic ignored "-Wshadow"
#pragma GCC diagnostic ignored "-Wold-style-cast"
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/multi_polygon.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>
#include <polyclipping/clipper.hpp>
#pragma GCC diagnostic pop

#include <cmath>
#include <stdexcept>

namespace seamwright::bench {

namespace {

using geometry::Point;

/// Turn of one chord whose rise over its circle of `radius_mm` is `sag_mm`.
double chord_turn_rad(double radius_mm, double sag_mm) {
    return 2.0 * std::acos(1.0 - sag_mm / radius_mm);
}

class Geos : public Peer {
  public:
    Geos() : handle_(GEOS_init_r()) {}
    Geos(const Geos&) = delete;
    Geos& operator=(const Geos&) = delete;
    ~Geos() override {
        drop(result_);
        drop(board_);
        GEOS_finish_r(handle_);
    }
    std::string name() const override { return std::string("GEOS ") + GEOS_VERSION; }
    void load(const std::vector<Point>& board, double join_mm) override {
        join_mm_ = join_mm;
        const auto n = static_cast<unsigned>(board.size());
        GEOSCoordSequence* places = GEOSCoordSeq_create_r(handle_, n + 1, 2);
        for (unsigned i = 0; i <= n; ++i) {
            GEOSCoordSeq_setXY_r(handle_, places, i, board[i % n].x, board[i % n].y);
        }
        board_ = GEOSGeom_createPolygon_r(handle_, GEOSGeom_createLinearRing_r(handle_, places), nullptr, 0);
    }
    void offset(double distance_mm) override { put(buffer(board_, distance_mm)); }
    void close(double radius_mm) override {
        GEOSGeometry* grown = buffer(board_, radius_mm);
        put(buffer(grown, -radius_mm));
        drop(grown);
    }
    Rings fetch() const override {
        Rings rings;
        for (int k = 0; k < GEOSGetNumGeometries_r(handle_, result_); ++k) {
            const GEOSGeometry* part = GEOSGetGeometryN_r(handle_, result_, k);
            add(GEOSGetExteriorRing_r(handle_, part), rings);
            for (int h = 0; h < GEOSGetNumInteriorRings_r(handle_, part); ++h) {
                add(GEOSGetInteriorRingN_r(handle_, part, h), rings);
            }
        }
        return rings;
    }

  private:
    GEOSGeometry* buffer(const GEOSGeometry* of, double distance_mm) const {
        const double turn = chord_turn_rad(std::abs(distance_mm), join_mm_);
        const int quadrant_segments = static_cast<int>(std::ceil(0.5 * geometry::pi / turn));
        GEOSGeometry* out = GEOSBuffer_r(handle_, of, distance_mm, quadrant_segments);
        if (out == nullptr) throw std::runtime_error("GEOS gave no result");
        return out;
    }
    void add(const GEOSGeometry* ring, Rings& rings) const {
        if (ring == nullptr) return;
        const GEOSCoordSequence* places = GEOSGeom_getCoordSeq_r(handle_, ring);
        unsigned n = 0;
        GEOSCoordSeq_getSize_r(handle_, places, &n);
        std::vector<Point> points;
        for (unsigned i = 0; i + 1 < n; ++i) {
            Point p;
            GEOSCoordSeq_getXY_r(handle_, places, i, &p.x, &p.y);
            points.push_back(p);
        }
        rings.push_back(std::move(points));
    }
    void put(GEOSGeometry* result) {
        drop(result_);
        result_ = result;
    }
    void drop(GEOSGeometry* g) const {
        if (g != nullptr) GEOSGeom_destroy_r(handle_, g);
    }

    GEOSContextHandle_t handle_;
    GEOSGeometry* board_ = nullptr;
    GEOSGeometry* result_ = nullptr;
    double join_mm_ = 0.0;
};

class BoostGeometry : public Peer {
  public:
    std::string name() const override { return "Boost.Geometry " BOOST_LIB_VERSION; }
    void load(const std::vector<Point>& board, double join_mm) override {
        join_mm_ = join_mm;
        for (const Point p : board) boost::geometry::append(board_.outer(), Place(p.x, p.y));
        boost::geometry::correct(board_);
    }
    void offset(double distance_mm) override { result_ = buffer(board_, distance_mm); }
    void close(double radius_mm) override { result_ = buffer(buffer(board_, radius_mm), -radius_mm); }
    Rings fetch() const override {
        Rings rings;
        const auto add = [&](const auto& ring) {
            std::vector<Point> points;
            for (std::size_t i = 0; i + 1 < ring.size(); ++i) points.push_back({ring[i].x(), ring[i].y()});
            rings.push_back(std::move(points));
        };
        for (const Polygon& part : result_) {
            add(part.outer());
            for (const auto& hole : part.inners()) add(hole);
        }
        return rings;
    }

  private:
    using Place = boost::geometry::model::d2::point_xy<double>;
    using Polygon = boost::geometry::model::polygon<Place>;
    using Polygons = boost::geometry::model::multi_polygon<Polygon>;

    template <class From>
    Polygons buffer(const From& from, double distance_mm) const {
        namespace way = boost::geometry::strategy::buffer;
        const double turn = chord_turn_rad(std::abs(distance_mm), join_mm_);
        const auto per_circle = static_cast<std::size_t>(std::ceil(2.0 * geometry::pi / turn));
        Polygons out;
        boost::geometry::buffer(from, out, way::distance_symmetric<double>(distance_mm), way::side_straight(),
                                way::join_round(per_circle), way::end_round(per_circle), way::point_circle(per_circle));
        return out;
    }

    Polygon board_;
    Polygons result_;
    double join_mm_ = 0.0;
};

class Polyclipping : public Peer {
  public:
    std::string name() const override { return "polyclipping " CLIPPER_VERSION; }
    void load(const std::vector<Point>& board, double join_mm) override {
        join_mm_ = join_mm;
        for (const Point p : board) {
            board_.emplace_back(std::llround(p.x * units_per_mm), std::llround(p.y * units_per_mm));
        }
    }
    void offset(double distance_mm) override { result_ = grown({board_}, distance_mm); }
    void close(double radius_mm) override { result_ = grown(grown({board_}, radius_mm), -radius_mm); }
    Rings fetch() const override {
        Rings rings;
        for (const ClipperLib::Path& path : result_) {
            std::vector<Point> points;
            for (const ClipperLib::IntPoint p : path) {
                points.push_back({static_cast<double>(p.X) / units_per_mm, static_cast<double>(p.Y) / units_per_mm});
            }
            rings.push_back(std::move(points));
        }
        return rings;
    }

  private:
    /// Nanometres: a thousandth of the deviation asked for.
    static constexpr double units_per_mm = 1e6;

    ClipperLib::Paths grown(const ClipperLib::Paths& from, double distance_mm) const {
        ClipperLib::ClipperOffset offset(2.0, join_mm_ * units_per_mm);
        offset.AddPaths(from, ClipperLib::jtRound, ClipperLib::etClosedPolygon);
        ClipperLib::Paths out;
        offset.Execute(out, distance_mm * units_per_mm);
        return out;
    }

    ClipperLib::Path board_;
    ClipperLib::Paths result_;
    double join_mm_ = 0.0;
};

}  // namespace

std::vector<std::function<std::unique_ptr<Peer>()>> peers() {
    return {[] { return std::make_unique<Geos>(); }, [] { return std::make_unique<BoostGeometry>(); },
            [] { return std::make_unique<Polyclipping>(); }};
}

}  // namespace seamwright::bench
