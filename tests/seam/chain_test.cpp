#include "seam/chain.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <stdexcept>
#include <tuple>

#include "seam/shelves.h"
#include "seam/tool_table.h"
#include "shelf/data_table.h"

namespace seamwright::seam {
namespace {

using testing::HasSubstr;
using testing::Not;

constexpr double rounding_mm = 1e-9;

// The rules of the trade, stated apart from the program: a template with its body on the left is ridden on its right
// side; the near edge lies (B − b)/2 out from its edge, the far one (B + b)/2, and what is kept beyond the groove has
// its body on the other side.
struct Walked {
    double left = NAN, right = NAN;
    int made = 0, by_hand = 0, changes = 0;
};
Walked walk(const Chain& chain) {
    struct Template {
        double n;
        bool on_left;
    };
    std::vector<Template> templates;
    Walked w;
    const Step* before = nullptr;
    for (const Step& s : chain.steps) {
        EXPECT_TRUE(s.this_side_up);
        EXPECT_FALSE(s.says.empty());
        if (!s.pair) {
            templates.push_back({s.edge_at_mm, s.template_on_left});
            ++w.by_hand;
            continue;
        }
        const Template& from = templates.at(static_cast<std::size_t>(s.from_template));
        EXPECT_EQ(from.on_left, s.template_on_left);
        EXPECT_NEAR(from.n, s.rides_at_mm, rounding_mm);
        const double B = s.pair->B_mm;
        const double b = s.pair->b_mm;
        const double out = s.keeps_far ? (B + b) / 2.0 : (B - b) / 2.0;
        const double edge = from.on_left ? from.n + out : from.n - out;
        EXPECT_NEAR(edge, s.edge_at_mm, rounding_mm);
        const bool on_left = from.on_left != s.keeps_far;
        if (s.kind == Step::Kind::cut_left || s.kind == Step::Kind::cut_right) {
            EXPECT_EQ(on_left, s.kind == Step::Kind::cut_left);
            (on_left ? w.left : w.right) = edge;
        } else {
            EXPECT_EQ(s.keeps_far, s.kind == Step::Kind::copy_far);
            EXPECT_EQ(s.makes_template, static_cast<int>(templates.size()));
            templates.push_back({edge, on_left});
        }
        if (before != nullptr) {
            const Pair& p = *before->pair;
            w.changes += (p.rides != s.pair->rides || p.rider != s.pair->rider) ? 1 : 0;
            w.changes += p.cutter != s.pair->cutter ? 1 : 0;
        }
        before = &s;
    }
    w.made = static_cast<int>(templates.size());
    return w;
}

void expect_sound(const Chain& chain) {
    const Walked w = walk(chain);
    EXPECT_NEAR(w.right - w.left, chain.mismatch_mm, rounding_mm) << chain.id;
    EXPECT_NEAR(chain.master_on_left ? w.left : w.right, 0.0, rounding_mm) << chain.id;
    EXPECT_EQ(w.made, chain.templates) << chain.id;
    EXPECT_EQ(w.by_hand, chain.prints_mating ? 2 : 1) << chain.id;
    EXPECT_EQ(w.changes, chain.tool_changes) << chain.id;
    EXPECT_FALSE(chain.reasons.empty()) << chain.id;
}

// Every chain of the six ways, tried out one by one; only the numbers that rank it.
struct Ranked {
    double mismatch;
    int changes, templates;
};
std::vector<Ranked> all_copied(const std::vector<Pair>& p) {
    const auto change = [](const Pair& a, const Pair& b) {
        return (a.rides != b.rides || a.rider != b.rider ? 1 : 0) + (a.cutter != b.cutter ? 1 : 0);
    };
    const auto of_cuts = [&](const Pair& last, const Pair& a, const Pair& b) {
        return change(a, b) + std::min(change(last, a), change(last, b));
    };
    const auto o = [](const Pair& x) { return (x.B_mm - x.b_mm) / 2.0; };
    const auto f = [](const Pair& x) { return (x.B_mm + x.b_mm) / 2.0; };
    std::vector<Ranked> found;
    for (const Pair& own : p) {
        for (const Pair& mate : p) {
            found.push_back({f(mate) - o(own), change(own, mate), 1});
            for (const Pair& c : p) {
                found.push_back({f(c) - o(own) - o(mate), of_cuts(c, own, mate), 2});
                for (const Pair& d : p) {
                    const int changes = change(c, d) + of_cuts(d, own, mate);
                    if (o(d) >= 0.01) found.push_back({f(c) - o(d) - o(own) - o(mate), changes, 3});
                    if (o(c) >= 0.01) {
                        found.push_back({o(c) + f(d) - o(own) - o(mate), changes, 3});
                        found.push_back({f(d) - o(c) - o(own) - o(mate), changes, 3});
                    }
                }
            }
        }
    }
    return found;
}

rc::Gen<shelf::Shelf> shelves() {
    // Sizes on a grid of half a millimetre, some worn, so that chains match by chance often enough.
    return rc::gen::exec([] {
        shelf::Shelf shelf;
        const int guides = *rc::gen::inRange(1, 4);
        const int cutters = *rc::gen::inRange(1, 4);
        for (int i = 0; i < guides; ++i) {
            const double size = 10.0 + 0.5 * *rc::gen::inRange(0, 61);
            const bool worn = *rc::gen::inRange(0, 3) == 0;
            shelf.guides.push_back(guide(numbered("G", i), size,
                                         worn ? std::optional(size - 0.01 * *rc::gen::inRange(1, 9)) : std::nullopt));
        }
        for (int i = 0; i < cutters; ++i) {
            const double size = 3.0 + 0.5 * *rc::gen::inRange(0, 27);
            const bool worn = *rc::gen::inRange(0, 3) == 0;
            shelf.cutters.push_back(cutter(numbered("C", i), size,
                                           worn ? std::optional(size - 0.02 * *rc::gen::inRange(1, 9)) : std::nullopt));
        }
        if (*rc::gen::arbitrary<bool>()) {
            shelf.bearings.push_back({"R", shelf.cutters[0].cutting});
            shelf.cutters[0].bearings = {"R"};
        }
        return shelf;
    });
}

double grade(double mismatch) {
    return std::abs(mismatch) <= exact_mm ? 0.0 : std::ceil(std::abs(mismatch) / 0.001);
}

// Law S1: a pair with B = 3b copies its own mating template exactly (design.md section 3; common practice: 30 mm guide
// and 10 mm cutter, 1-1/2 in guide and 1/2 in cutter).
TEST(Chain, S1ThreeTimesTheCutter) {
    for (const auto& [B, b] : {std::pair{30.0, 10.0}, std::pair{38.1, 12.7}, std::pair{24.0, 8.0}}) {
        for (const bool left : {true, false}) {
            const Chain chain = same_pair_chain(B, b, left);
            EXPECT_TRUE(chain.exact());
            EXPECT_EQ(chain.tool_changes, 0);
            EXPECT_EQ(chain.templates, 2);
            expect_sound(chain);
            ASSERT_EQ(chain.steps.size(), 4u);
            EXPECT_NEAR(chain.steps[0].edge_at_mm, left ? -b : b, rounding_mm);
        }
    }
    const Chains chains = solve_chains(same_pair_shelf(30.0, 10.0), usual);
    ASSERT_FALSE(chains.ranked.empty());
    EXPECT_TRUE(chains.any_exact);
    EXPECT_TRUE(chains.advice.empty());
    EXPECT_EQ(chains.ranked[0].id, "left:far(G/C)-G/C-G/C");
    EXPECT_EQ(chains.ranked[1].id, "right:far(G/C)-G/C-G/C");
}

// Worked by hand: copying the mating template once more on its near edge takes another o away, so that a pair with
// B = 2b matches too: (B + b)/2 − 3 (B − b)/2 = 2b − B.
TEST(Chain, TwiceTheCutterWithOneCopyMore) {
    const Chains chains = solve_chains(same_pair_shelf(24.0, 12.0), usual);
    EXPECT_TRUE(chains.any_exact);
    const Chain* chain = find(chains, "left:far(G/C)+near(G/C)-G/C-G/C");
    ASSERT_NE(chain, nullptr);
    EXPECT_TRUE(chain->exact());
    EXPECT_EQ(chain->templates, 3);
    const Chain* on_copy = find(chains, "right:near(G/C),far(G/C)-G/C-G/C");
    ASSERT_NE(on_copy, nullptr);
    EXPECT_TRUE(on_copy->exact());
}

// Law S2: in that chain a cutter worn by δ leaves the pieces overlapping by 3δ/2 (design.md section 3).
RC_GTEST_PROP(Chain, S2WornCutter, ()) {
    const double b = 4.0 + 0.5 * *rc::gen::inRange(0, 20);
    const double worn = 0.01 * *rc::gen::inRange(1, 50);
    const bool left = *rc::gen::arbitrary<bool>();
    const Chain chain = same_pair_chain(3.0 * b, b, left, b - worn);
    RC_ASSERT(std::abs(chain.mismatch_mm + 1.5 * worn) < rounding_mm);
    RC_ASSERT(std::abs(chain.nominal_mismatch_mm) < rounding_mm);
    expect_sound(chain);
}

// data/router.csv: matched inside and outside cuts from one pattern need a second guide of the first one's size plus
// two cutters: 1/2 in, 1/4 in and 1 in (routerforums.com thread 1645).
TEST(Chain, InsideAndOutsideFromOnePattern) {
    const shelf::Table table = shelf::data_table("router.csv");
    const std::size_t row = table.rows_where("topic", "offset").at(2);
    ASSERT_THAT(table.cell(row, "item"), HasSubstr("1/2 in OD and 1/4 in cutter"));
    shelf::Shelf shelf;
    shelf.guides = {guide("half", 12.7), guide("one", table.number(row, "value_low").value() * 25.4)};
    shelf.cutters = {cutter("quarter", 6.35)};
    const Chains chains = solve_chains(shelf, usual);
    const Chain* chain = find(chains, "left:one/quarter-far(half/quarter)");
    ASSERT_NE(chain, nullptr);
    EXPECT_TRUE(chain->exact());
    EXPECT_EQ(chain->templates, 1);
    EXPECT_EQ(chain->tool_changes, 1);
    expect_sound(*chain);
}

// Law S3: every chain that is offered obeys the rules of the trade, step by step, and its id finds it again.
RC_GTEST_PROP(Chain, S3EveryChainIsSound, ()) {
    const shelf::Shelf shelf = *shelves();
    const Chains chains = solve_chains(shelf, usual);
    std::set<std::string> ids;
    for (const Chain& chain : chains.ranked) {
        expect_sound(chain);
        RC_ASSERT(ids.insert(chain.id).second);
        const auto again = chain_of_id(shelf, usual, chain.id);
        RC_ASSERT(again.has_value());
        RC_ASSERT(again->id == chain.id);
        RC_ASSERT(again->mismatch_mm == chain.mismatch_mm);
        RC_ASSERT(again->steps.size() == chain.steps.size());
    }
    RC_ASSERT(chains.ranked.size() <= 24u);
    RC_ASSERT(chains.ranked.empty() == pairs(shelf).usable.empty());
    RC_ASSERT(!::testing::Test::HasFailure());
}

// Law S4: the search finds what trying out every chain finds. Blind spot: compares rank numbers, not names.
RC_GTEST_PROP(Chain, S4AsGoodAsTryingAll, ()) {
    const shelf::Shelf shelf = *shelves();
    std::vector<Ranked> all = all_copied(pairs(shelf).usable);
    RC_PRE(!all.empty());
    const auto key = [](const Ranked& r) { return std::tuple(grade(r.mismatch), r.changes, r.templates); };
    std::sort(all.begin(), all.end(), [&](const Ranked& a, const Ranked& b) { return key(a) < key(b); });
    const bool any_exact = grade(all[0].mismatch) == 0.0;
    if (any_exact) std::erase_if(all, [](const Ranked& r) { return grade(r.mismatch) > 0.0; });

    const Chains chains = solve_chains(shelf, usual, 24);
    std::vector<Ranked> found;
    for (const Chain& c : chains.ranked)
        if (!c.prints_mating && c.master_on_left) found.push_back({c.mismatch_mm, c.tool_changes, c.templates});
    RC_ASSERT(chains.any_exact == any_exact);
    RC_ASSERT(found.size() == std::min<std::size_t>(10, all.size()));
    for (std::size_t i = 0; i < found.size(); ++i) {
        // A grade is a rounding: sums taken in another order may fall into the next one.
        RC_ASSERT(std::abs(grade(found[i].mismatch) - grade(all[i].mismatch)) <= 1.0);
        if (any_exact) RC_ASSERT(key(found[i]) == key(all[i]));
    }
    RC_TAG(any_exact);
}

// Law S5: a chain and its mirror image have the same mismatch and mirrored positions.
RC_GTEST_PROP(Chain, S5BothHands, ()) {
    const shelf::Shelf shelf = *shelves();
    for (const Chain& chain : solve_chains(shelf, usual).ranked) {
        if (chain.prints_mating || !chain.master_on_left) continue;
        const auto mirror = chain_of_id(shelf, usual, "right" + chain.id.substr(4));
        RC_ASSERT(mirror.has_value());
        RC_ASSERT(mirror->mismatch_mm == chain.mismatch_mm);
        for (std::size_t i = 0; i < chain.steps.size(); ++i) {
            RC_ASSERT(mirror->steps[i].edge_at_mm == -chain.steps[i].edge_at_mm);
            RC_ASSERT(mirror->steps[i].template_on_left != chain.steps[i].template_on_left);
        }
    }
}

TEST(Chain, OrderOfTheList) {
    shelf::Shelf shelf;
    shelf.guides = {guide("G30", 30.0), guide("G24", 24.0), guide("G20", 20.0)};
    shelf.cutters = {cutter("C10", 10.0), cutter("C8", 8.0)};
    const Chains chains = solve_chains(shelf, usual);
    bool paper_seen = false;
    int changes = 0;
    for (const Chain& c : chains.ranked) {
        if (c.prints_mating) {
            paper_seen = true;
            EXPECT_THAT(c.reasons.front(), HasSubstr("by hand"));
            continue;
        }
        EXPECT_FALSE(paper_seen) << c.id;
        EXPECT_TRUE(c.exact()) << c.id;
        EXPECT_GE(c.tool_changes, changes);
        changes = c.tool_changes;
    }
    EXPECT_TRUE(paper_seen);
    // Both pairs match by themselves; the thicker cutter is stiffer.
    EXPECT_EQ(chains.ranked[0].id, "left:far(G30/C10)-G30/C10-G30/C10");
    EXPECT_EQ(chains.ranked[2].id, "left:far(G24/C8)-G24/C8-G24/C8");
}

// Two edges made by hand stand behind a copy that is a little out, and before one that is far out.
TEST(Chain, HandMadeEdgesCountAsATenth) {
    const Chains near = solve_chains(same_pair_shelf(30.0, 10.0, 9.96), usual);  // 0.06
    EXPECT_FALSE(near.any_exact);
    EXPECT_FALSE(near.ranked[0].prints_mating);
    EXPECT_NEAR(near.ranked[0].mismatch_mm, -0.06, 1e-9);
    const Chains far = solve_chains(same_pair_shelf(30.0, 10.0, 9.9), usual);  // 0.15
    EXPECT_TRUE(far.ranked[0].prints_mating);
    EXPECT_FALSE(far.ranked[0].exact());
}

TEST(Chain, RankedAgainForASeam) {
    shelf::Shelf shelf;
    shelf.guides = {guide("G30", 30.0), guide("G24", 24.0)};
    shelf.cutters = {cutter("C10", 10.0), cutter("C8", 8.0)};
    Chains chains = solve_chains(shelf, usual, 8);
    std::vector<double> margins;
    for (const Chain& c : chains.ranked) {
        const bool large = c.id.find("G30") != std::string::npos;
        margins.push_back(large ? -3.0 : c.master_on_left ? 4.0 : 9.0);
    }
    rerank(chains, margins);
    EXPECT_EQ(chains.ranked[0].id, "right:far(G24/C8)-G24/C8-G24/C8");
    EXPECT_EQ(chains.ranked[1].id, "left:far(G24/C8)-G24/C8-G24/C8");
    bool failing = false;
    for (const Chain& c : chains.ranked) {
        if (c.margin_mm.value() < 0.0) failing = true;
        EXPECT_EQ(failing, c.margin_mm.value() < 0.0) << c.id;
    }
    EXPECT_TRUE(failing);
    EXPECT_THROW(rerank(chains, {1.0}), std::invalid_argument);
}

TEST(Chain, ToolsTooShortComeLastAndSaySo) {
    shelf::Shelf shelf;
    shelf.guides = {guide("G30", 30.0), guide("G24", 24.0)};
    shelf.cutters = {cutter("C10", 10.0), cutter("C8", 8.0)};
    shelf.cutters[0].reach_mm = 40.0;  // 12 + 34 + 1 are needed
    const Chains some = solve_chains(shelf, usual);
    EXPECT_EQ(some.ranked[0].id, "left:far(G24/C8)-G24/C8-G24/C8");
    EXPECT_TRUE(some.any_exact);
    for (const Chain& c : some.ranked) EXPECT_TRUE(c.tools_fit);
    ASSERT_EQ(some.refused.size(), 2u);
    EXPECT_DOUBLE_EQ(some.refused[0].wanted_mm, 47.0);
    EXPECT_DOUBLE_EQ(some.refused[0].found_mm, 40.0);

    shelf.cutters[1].reach_mm = 40.0;
    const Chains none = solve_chains(shelf, usual);
    ASSERT_FALSE(none.ranked.empty());
    EXPECT_FALSE(none.any_exact);
    for (const Chain& c : none.ranked) {
        EXPECT_FALSE(c.tools_fit);
        EXPECT_THAT(c.reasons.front(), HasSubstr("too short"));
    }
}

TEST(Chain, EmptyShelf) {
    const Chains chains = solve_chains({}, usual);
    EXPECT_TRUE(chains.ranked.empty());
    EXPECT_FALSE(chains.any_exact);
    EXPECT_TRUE(chains.advice.empty());
    EXPECT_TRUE(solve_chains(same_pair_shelf(30.0, 10.0), usual, 0).ranked.empty());
}

// As many tools as a job file may hold (1000 of a kind): still an answer, and it says what it did not look at.
TEST(Chain, HugeShelf) {
    shelf::Shelf shelf;
    for (int i = 0; i < 1000; ++i) {
        shelf.guides.push_back(guide(numbered("G", i), 12.0 + 0.037 * i));
        shelf.cutters.push_back(cutter(numbered("C", i), 3.0 + 0.0213 * i));
    }
    const Chains chains = solve_chains(shelf, usual);
    EXPECT_EQ(chains.ranked.size(), 24u);
    const Pairs all = pairs(shelf);
    EXPECT_EQ(all.usable.size() + all.refused.size() + all.refused_more, 1000000u);
    EXPECT_EQ(chains.pairs_left_out, all.usable.size() - most_pairs);
    EXPECT_LE(chains.refused.size(), most_refusals + most_pairs);
    for (const Chain& c : chains.ranked) EXPECT_EQ(chain_of_id(shelf, usual, c.id).value().id, c.id);
}

TEST(Chain, IdsWithAnySigns) {
    shelf::Shelf shelf;
    shelf.guides = {guide("G", 30.0), guide("G/C-far(", 24.0)};
    shelf.cutters = {cutter("C", 10.0), cutter("C-G/C", 8.0)};
    for (const Chain& c : solve_chains(shelf, usual).ranked) {
        const auto again = chain_of_id(shelf, usual, c.id);
        ASSERT_TRUE(again.has_value()) << c.id;
        EXPECT_EQ(again->id, c.id);
    }
    for (const char* id : {"", "left", "left:", "left:far(G/X)-G/C-G/C", "up:far(G/C)-G/C-G/C",
                           "left:far(G/C)-G/C-G/C ", "paper:far(G/C)-G/C-G/C"}) {
        EXPECT_FALSE(chain_of_id(shelf, usual, id).has_value()) << id;
    }
}

// Lengths belong in their own fields, where the caller writes them in the maker's unit.
TEST(Chain, SentencesHoldNoSizes) {
    for (const Chain& c : solve_chains(same_pair_shelf(30.0, 10.0, 9.7), usual).ranked) {
        for (const Step& s : c.steps) EXPECT_THAT(s.says, Not(testing::ContainsRegex("[0-9]"))) << c.id;
        for (const std::string& r : c.reasons) EXPECT_THAT(r, Not(testing::ContainsRegex(" mm")));
    }
}

// Law A1: what is advised, once on the shelf, makes an exact chain.
RC_GTEST_PROP(Advice, A1AdviceHelps, ()) {
    const shelf::Shelf shelf = *shelves();
    const Chains chains = solve_chains(shelf, usual);
    RC_PRE(!chains.any_exact);
    for (const Advice& a : chains.advice) {
        std::vector<shelf::Shelf> tries;
        if (a.what == Advice::What::guide) {
            tries.push_back(shelf);
            tries.back().guides.push_back(guide("new", a.diameter_mm));
        } else if (a.what == Advice::What::cutter) {
            tries.push_back(shelf);
            tries.back().cutters.push_back(cutter("new", a.diameter_mm));
        } else {
            for (std::size_t c = 0; c < shelf.cutters.size(); ++c) {
                tries.push_back(shelf);
                tries.back().bearings.push_back({"new", {a.diameter_mm, {}}});
                tries.back().cutters[c].bearings.push_back("new");
            }
        }
        RC_ASSERT(std::any_of(tries.begin(), tries.end(),
                              [](const shelf::Shelf& s) { return solve_chains(s, usual).any_exact; }));
        RC_ASSERT(!a.with.empty());
    }
}

TEST(Advice, CommonSizesFirst) {
    const Chains chains = solve_chains(same_pair_shelf(24.0, 10.0), usual);
    ASSERT_FALSE(chains.advice.empty());
    const auto has = [&](Advice::What what, double size) {
        return std::any_of(chains.advice.begin(), chains.advice.end(), [&](const Advice& a) {
            return a.what == what && std::abs(a.diameter_mm - size) < 1e-9 && a.common_size && a.tool_changes == 0;
        });
    };
    EXPECT_TRUE(has(Advice::What::guide, 30.0));
    EXPECT_TRUE(has(Advice::What::cutter, 8.0));
    EXPECT_EQ(chains.advice.front().tool_changes, 0);
}

// A worn cutter calls for a guide that no shop stocks: the guide is still named, marked as not common.
TEST(Advice, WornCutter) {
    const Chains chains = solve_chains(same_pair_shelf(30.0, 10.0, 9.8), usual);
    const auto odd = std::find_if(chains.advice.begin(), chains.advice.end(), [](const Advice& a) {
        return a.what == Advice::What::guide && std::abs(a.diameter_mm - 29.4) < 1e-9;
    });
    ASSERT_NE(odd, chains.advice.end());
    EXPECT_FALSE(odd->common_size);
    EXPECT_EQ(odd->with, "C");
    EXPECT_EQ(odd->chain, "left:far(new guide/C)-new guide/C-new guide/C");
}

TEST(Advice, CommonSizesAreTheTables) {
    const CommonSizes& sizes = common_sizes();
    const auto has = [](const std::vector<double>& in, double mm) {
        return std::find(in.begin(), in.end(), mm) != in.end();
    };
    EXPECT_TRUE(has(sizes.guides_mm, 30.0));
    EXPECT_TRUE(has(sizes.guides_mm, 25.4 * 51.0 / 64.0));  // 20.241 in the table
    EXPECT_TRUE(has(sizes.guides_mm, 25.4 * 5.0 / 16.0));
    EXPECT_TRUE(has(sizes.cutters_mm, 25.4 * 3.0 / 16.0));  // 4.762 in the table
    EXPECT_TRUE(has(sizes.cutters_mm, 10.0));
    const shelf::Table table = shelf::data_table("router.csv");
    EXPECT_EQ(sizes.cutters_mm.size(), table.rows_where("topic", "cutter diameter").size());
    EXPECT_EQ(sizes.guides_mm.size(), table.rows_where("topic", "bushing metric").size() - 1 +
                                          table.rows_where("topic", "bushing inch").size() - 1);
}

}  // namespace
}  // namespace seamwright::seam
