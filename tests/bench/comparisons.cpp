// Two captures of one light, compared: how often that is "unchanged". Two captures of lights whose
// depths are so many combined ± apart: how often that is told. Over the kinds of light as shops
// sell them, each pair drawn anew: other noise, another start, another length, the mains a little
// off.   bench_comparisons [pairs a kind] [seed] [combined ± apart] [kind]

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <string>

#include "support/compared_pairs.hpp"

namespace {

std::string line(const std::map<std::string, int>& counts, int all) {
  const auto share = [&](const char* word) {
    const auto found = counts.find(word);
    return found == counts.end() ? 0.0 : 100.0 * found->second / all;
  };
  return fmt::format("{:6.1f} {:6.1f} {:6.1f} {:6.1f}", share("unchanged"), share("worse"),
                     share("better"), share("unknown"));
}

}  // namespace

int main(int count, char** arguments) {
  const int pairs = count > 1 ? std::atoi(arguments[1]) : 100;
  const unsigned seed = count > 2 ? static_cast<unsigned>(std::atoi(arguments[2])) : 1;
  const double apart = count > 3 ? std::atof(arguments[3]) : 6.0;
  fmt::print("{:28} {:^27}   {:^27}\n", "per cent of pairs", "the same light",
             fmt::format("{} ± deeper", apart));
  fmt::print("{:28} {:>6} {:>6} {:>6} {:>6}   {:>6} {:>6} {:>6} {:>6}\n", "", "unch.", "worse",
             "better", "unkn.", "unch.", "worse", "better", "unkn.");
  const std::size_t first = count > 4 ? static_cast<std::size_t>(std::atoi(arguments[4])) : 0;
  for (std::size_t kind = first; kind < lamp_kinds::all().size(); ++kind) {
    lamp_kinds::Random random(seed * 100 + static_cast<unsigned>(kind));
    std::map<std::string, int> same;
    std::map<std::string, int> told;
    std::map<std::string, int> why;
    for (int i = 0; i < pairs; ++i) {
      const compared_pairs::Pair pair = compared_pairs::drawn(kind, random, apart);
      const auto verdict = [](const lampbeat::Comparison& c) {
        return std::string(lampbeat::change_word(c.verdict));
      };
      ++same[verdict(pair.same)];
      if (pair.same.verdict != lampbeat::ChangeVerdict::unchanged) {
        ++why["same: " + verdict(pair.same) + ": " + pair.same.reasons.front().message];
      }
      if (!pair.deeper) continue;
      ++told[verdict(*pair.deeper)];
      if (pair.deeper->verdict != lampbeat::ChangeVerdict::worse) {
        ++why["deeper: " + verdict(*pair.deeper) + ": " + pair.deeper->reasons.front().message];
      }
    }
    int deepened = 0;
    for (const auto& [word, n] : told) deepened += n;
    fmt::print("{:28} {}   {}  of {}\n", lamp_kinds::name_of(kind), line(same, pairs),
               line(told, std::max(deepened, 1)), deepened);
    for (const auto& [reason, n] : why) fmt::print("    {} x {}\n", n, reason);
    std::fflush(stdout);
  }
}
