#include <algorithm>

#include "checker.h"

namespace seamwright::job {

namespace {

std::string lower(std::string_view text) {
    std::string result(text);
    for (char& c : result) {
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
        if (c == ' ' || c == '-') c = '_';
    }
    return result;
}

/// Least number of letters to change, add, drop or swap with their neighbour (Damerau 1964, each place edited once).
std::size_t edits(std::string_view a, std::string_view b) {
    std::vector<std::vector<std::size_t>> cost(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = 0; i <= a.size(); ++i) cost[i][0] = i;
    for (std::size_t j = 0; j <= b.size(); ++j) cost[0][j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t change = cost[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            cost[i][j] = std::min({cost[i - 1][j] + 1, cost[i][j - 1] + 1, change});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                cost[i][j] = std::min(cost[i][j], cost[i - 2][j - 2] + 1);
            }
        }
    }
    return cost[a.size()][b.size()];
}

}  // namespace

std::string nearest_name(std::string_view name, const std::vector<std::string_view>& known) {
    constexpr std::size_t longest_compared = 60;  // longer than any name of ours; bounds the work on hostile input
    if (name.size() > longest_compared) return {};
    const std::string wanted = lower(name);
    std::string best;
    std::size_t best_edits = 0;
    for (const std::string_view candidate : known) {
        const std::string plain = lower(candidate);
        std::size_t apart = edits(wanted, plain);
        // "thick" for "thickness" is many letters away but plainly meant.
        constexpr std::size_t shortest_stem = 3;
        const std::size_t stem = std::min(wanted.size(), plain.size());
        if (stem >= shortest_stem && wanted.compare(0, stem, plain, 0, stem) == 0) {
            apart = std::min<std::size_t>(apart, 2);
        }
        const std::size_t near = std::max<std::size_t>(1, std::max(wanted.size(), plain.size()) / 3);
        if (apart > near && apart > 2) continue;
        if (apart >= std::min(wanted.size(), plain.size())) continue;  // nothing in common
        if (best.empty() || apart < best_edits) {
            best = candidate;
            best_edits = apart;
        }
    }
    return best;
}

std::string list_of(const std::vector<std::string_view>& names, std::string_view last_word) {
    std::string result;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (i > 0 && i + 1 < names.size()) result += ", ";
        if (i > 0 && i + 1 == names.size()) result.append(1, ' ').append(last_word).append(1, ' ');
        result += names[i];
    }
    return result;
}

}  // namespace seamwright::job
