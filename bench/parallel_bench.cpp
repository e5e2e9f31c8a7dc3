// Parallels and closings of a 2.4 m edge: ours beside the peers, on the same board, at the same deviation.

#include <benchmark/benchmark.h>

#include <array>
#include <exception>
#include <string>

#include "deviation.h"
#include "edges.h"
#include "geometry/parallel.h"
#include "geometry/path_index.h"
#include "one_try.h"
#include "peers.h"
#include "register.h"

namespace seamwright::bench {

namespace {

using geometry::Path;
using geometry::Point;
using geometry::Side;

constexpr double offset_mm = 12.7;
constexpr double closing_mm = 19.05;
constexpr double deviation_mm = 0.001;

enum class Work { outward, inward, closing };
constexpr std::array<Work, 3> all_work{Work::outward, Work::inward, Work::closing};

std::string name_of(Work work) {
    switch (work) {
        case Work::outward:
            return "out";
        case Work::inward:
            return "in";
        case Work::closing:
            return "close";
    }
    return {};
}

double distance_of(Work work) {
    return work == Work::closing ? closing_mm : offset_mm;
}

std::vector<Path> plain(const std::vector<geometry::TracedPath>& traced) {
    std::vector<Path> paths;
    for (const geometry::TracedPath& t : traced) paths.push_back(t.path());
    return paths;
}

std::vector<Path> plain(const Rings& rings) {
    std::vector<Path> paths;
    for (const auto& ring : rings) paths.push_back(geometry::polyline(ring, true));
    return paths;
}

/// The upper edge and the board below it, each in the direction in which the disc rolls on the left, so that nothing
/// is turned round inside the time.
struct Board {
    Path edge, edge_turned;  // left to right: the disc rolls outside; turned: inside
    Path inward, outward;    // counter-clockwise: the disc rolls inside; clockwise: outside
    Path smooth;             // without bumps
};
Board board_of(const Path& edge, double fold_mm = 0.0) {
    Board board;
    board.edge = edge;
    board.edge_turned = geometry::reversed(edge);
    board.inward = board_below(edge);
    board.outward = geometry::reversed(board.inward);
    constexpr std::size_t enough = 4000;
    board.smooth = board_below(traced_edge({.name = "smooth", .fold_mm = fold_mm}, enough));
    return board;
}

enum class On { edge, board };

struct Ours {
    geometry::Parallel rolled;
    std::vector<geometry::TracedPath> edge;
};
Ours ours(const Board& board, On on, Work work) {
    const bool inside = work == Work::inward;
    const Path& source =
        on == On::edge ? (inside ? board.edge_turned : board.edge) : (inside ? board.inward : board.outward);
    Ours out;
    out.rolled = geometry::parallel(source, Side::left, distance_of(work));
    if (work == Work::closing) out.edge = geometry::edge_behind(out.rolled, 0.0);
    return out;
}

void count(benchmark::State& state, const Deviation& d, const std::vector<Path>& paths) {
    constexpr double um_per_mm = 1e3;
    state.counters["pieces"] = static_cast<double>(pieces(paths));
    state.counters["loops"] = static_cast<double>(paths.size());
    state.counters["out_to_truth_um"] = um_per_mm * d.output_to_truth_mm;
    state.counters["truth_to_out_um"] = um_per_mm * d.truth_to_output_mm;
    state.counters["places"] = static_cast<double>(d.places);
}

Deviation measured(const Board& board, const Path& truth_edge, Work work, const std::vector<Path>& output) {
    const Truth truth(truth_edge, board.inward, board.smooth, distance_of(work), work != Work::inward);
    if (work != Work::closing) return truth.of_parallel(output);
    return truth.of_closing(output, plain(ours(board, On::edge, Work::closing).rolled.paths));
}

void run_ours(benchmark::State& state, const Board& board, On on, Work work) {
    Ours result;
    for (auto _ : state) {
        result = ours(board, on, work);
        benchmark::DoNotOptimize(result);
    }
    const std::vector<Path> output = plain(work == Work::closing ? result.edge : result.rolled.paths);
    count(state, measured(board, board.edge, work, output), output);
}

void do_work(Peer& peer, Work work) {
    switch (work) {
        case Work::outward:
            return peer.offset(offset_mm);
        case Work::inward:
            return peer.offset(-offset_mm);
        case Work::closing:
            return peer.close(closing_mm);
    }
}

/// The peer is given `chords` of the board; its result is held against the board itself.
void run_peer(benchmark::State& state, Peer& peer, const std::vector<Point>& chords, double join_mm, const Board& board,
              Work work) {
    peer.load(chords, join_mm);
    if (!finishes_in_time([&] { do_work(peer, work); })) {
        state.SkipWithError("left out: > 5 s, or gave up");
        return;
    }
    for (auto _ : state) do_work(peer, work);
    const std::vector<Path> output = plain(peer.fetch());
    count(state, measured(board, board.edge, work, output), output);
}

void add(const std::string& name, const std::function<void(benchmark::State&)>& run) {
    const auto guarded = [run](benchmark::State& state) {
        try {
            run(state);
        } catch (const std::exception& e) {
            state.SkipWithError(e.what());
        }
    };
    benchmark::RegisterBenchmark(name.c_str(), guarded)->Unit(benchmark::kMillisecond);
}

void add_input(const std::string& input, const std::function<Board()>& board_now, bool chorded) {
    for (const Work work : all_work) {
        const std::string what = input + "/" + name_of(work) + "/";
        add(what + "ours", [=](benchmark::State& state) { run_ours(state, board_now(), On::edge, work); });
        add(what + "ours, whole board",
            [=](benchmark::State& state) { run_ours(state, board_now(), On::board, work); });
        for (const auto& make : peers()) {
            add(what + make()->name(), [=](benchmark::State& state) {
                const Board board = board_now();
                // A smooth edge is flattened with half of the deviation, so that joins have the other half.
                const double share = chorded ? 0.5 : 1.0;
                std::vector<Point> points;
                if (chorded) {
                    points = geometry::chords(board.inward, share * deviation_mm);
                } else {
                    for (const auto& s : board.inward.segments) points.push_back(s.start);
                }
                if (points.size() > 1 && points.front() == points.back()) points.pop_back();
                const auto peer = make();
                run_peer(state, *peer, points, share * deviation_mm, board, work);
            });
        }
    }
}

void fit_of_the_smooth_edge(benchmark::State& state) {
    const geometry::SmoothCurve curve = smooth_edge();
    geometry::ArcFit fit;
    for (auto _ : state) fit = geometry::fit_arcs(curve, deviation_mm);
    const geometry::PathIndex index(fit.path);
    double worst = 0.0;
    constexpr int places = 20000;
    for (int i = 0; i <= places; ++i) {
        const double x = board_length_mm * i / places;
        worst = std::max(worst, index.distance_mm({x, edge_height_mm(x)}));
    }
    state.counters["pieces"] = static_cast<double>(fit.path.segments.size());
    state.counters["truth_to_out_um"] = 1e3 * worst;
    state.counters["certified_um"] = 1e3 * fit.bound_mm;
}

void largest_distance_to_the_closing(benchmark::State& state, std::size_t points) {
    const Path edge = traced_edge(trace(), points);
    const Path closed =
        geometry::main_path(geometry::edge_behind(geometry::parallel(edge, Side::left, closing_mm), 0.0));
    geometry::LargestDistance largest;
    for (auto _ : state) {
        const geometry::PathIndex index(edge);
        largest = geometry::largest_distance(closed, index, deviation_mm);
    }
    state.counters["pieces"] = static_cast<double>(closed.segments.size());
    state.counters["largest_mm"] = largest.value_mm;
}

}  // namespace

void register_all() {
    add("smooth/fit/ours", fit_of_the_smooth_edge);
    add_input("smooth", [] { return board_of(geometry::fit_arcs(smooth_edge(), deviation_mm).path); }, true);
    for (const Roughness& r : {trace(), hard(), back(), fold()}) {
        for (const std::size_t n : {std::size_t{10000}, std::size_t{100000}, std::size_t{1000000}}) {
            add_input(r.name + " " + std::to_string(n), [=] { return board_of(traced_edge(r, n), r.fold_mm); }, false);
        }
    }
    for (const std::size_t n : {std::size_t{10000}, std::size_t{100000}}) {
        add("trace " + std::to_string(n) + "/largest distance/ours",
            [=](benchmark::State& state) { largest_distance_to_the_closing(state, n); });
    }
}

}  // namespace seamwright::bench
