#include <fmt/format.h>

#include <cstdio>
#include <cstdlib>
#include <map>
#include <random>
#include <string>

#include "support/trials.hpp"

// How often the ± of percent flicker, flicker index and frequency hold, over kinds of light, rates,
// noises and clocks drawn anew. Prints a table; tests/signal/uncertainties.cpp holds to it.
//   bench_coverage [TRIALS [SEED [KIND]]]     KIND by number: each of its trials is then told

namespace {

constexpr double within_sds = 2.5;

std::string words(const trials::Figure& figure) {
  return fmt::format("{:5.1f} {:5.2f} {:8.1f} {:4d}", 100.0 * figure.share_within(within_sds),
                     figure.quantile(0.5), figure.quantile(0.98), figure.withheld);
}

std::string words(const char* name, const std::optional<double>& value,
                  const std::optional<double>& sd, double truth) {
  if (!value || !sd) return fmt::format("  {} none for {:.5g}", name, truth);
  return fmt::format("  {} {:.6g} ± {:.2g} for {:.6g} ({:+.1f})", name, *value, *sd, truth,
                     (*value - truth) / *sd);
}

void tell(int number, const trials::Trial& t) {
  const lampbeat::Measurement& m = t.measured;
  std::string line =
      fmt::format("{:3d} {:6.0f}/s {:5.2f} s noise {:.1e}:", number, t.rate_hz, t.seconds, t.noise);
  line += words("percent", m.percent_flicker, m.percent_flicker_sd, t.light.percent_flicker);
  line += words("index", m.flicker_index, m.flicker_index_sd, t.light.flicker_index);
  line += words("Hz", m.dominant_hz, m.dominant_hz_sd, t.light.hz);
  for (const lampbeat::Finding& w : m.warnings) line += " " + w.code;
  fmt::print("{}\n", line);
}

}  // namespace

int main(int argc, char** argv) {
  const int all = argc > 1 ? std::atoi(argv[1]) : 100;
  const unsigned seed =
      argc > 2 ? static_cast<unsigned>(std::atoi(argv[2])) : std::random_device{}();
  const int only = argc > 3 ? std::atoi(argv[3]) : -1;
  fmt::print("seed {}; of errors over their ±: % within {}, median, 98th percentile; withheld\n",
             seed, within_sds);
  fmt::print("{:<28} {:^25} {:^25} {:^25}\n", "", "percent flicker", "flicker index", "frequency");
  const auto& kinds = lamp_kinds::all();
  for (std::size_t kind = 0; kind <= kinds.size(); ++kind) {
    if (only >= 0 && static_cast<std::size_t>(only) != kind) continue;
    lamp_kinds::Random random(seed + static_cast<unsigned>(kind));
    trials::OfKind figures;
    std::map<std::string, int> said;
    for (int i = 0; i < all; ++i) {
      const trials::Trial t = trials::drawn(kind, random);
      trials::take(figures, t);
      for (const lampbeat::Finding& w : t.measured.warnings) ++said[w.code];
      if (only >= 0) tell(i, t);
    }
    fmt::print("{:<28} {:<25} {:<25} {:<25}\n", lamp_kinds::name_of(kind), words(figures.percent),
               words(figures.index), words(figures.hz));
    for (const auto& [code, n] : said) {
      if (n * 20 > all) fmt::print("{:<28}   {} in {} of {}\n", "", code, n, all);
    }
    std::fflush(stdout);
  }
}
