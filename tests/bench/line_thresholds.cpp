// What tells the lines of one window apart, over randomly drawn windows: two thresholds of the line
// search, each beside the statistic of what it lets pass and of what it must not.
//   bench_line_thresholds [draws [seed]]

#include <fmt/core.h>

#include <algorithm>
#include <random>
#include <vector>

#include "bench/populations.hpp"
#include "lampbeat/spectrum.hpp"
#include "signal/lines/line_fit.hpp"
#include "signal/spectrum/peaks.hpp"
#include "support/draws.hpp"
#include "support/signals.hpp"

namespace {

using namespace lampbeat;
using test::quantile;
namespace lines = signal::lines;
namespace spectrum = signal::spectrum;

lines::LineModel free_lines(const std::vector<double>& hz) {
  lines::LineModel model;
  for (const double one : hz) {
    model.lines.push_back({model.fundamental_hz.size(), 1});
    model.fundamental_hz.push_back(one);
  }
  return model;
}

struct Drawn {
  double rate_hz = 0.0;
  double duration_s = 0.0;
  double noise = 0.0;
  double hz = 0.0;
  double bin_hz() const { return 1.0 / duration_s; }
};

Drawn draw(test::Random& random) {
  Drawn d;
  d.rate_hz = test::logarithmic(random, 2000.0, 20000.0);
  d.duration_s = test::between(random, 0.3, 1.0);
  d.noise = test::logarithmic(random, 1e-4, 0.02);
  d.hz = test::between(random, 60.0, 0.4 * d.rate_hz);
  return d;
}

signals::Samples record(test::Random& random, const Drawn& d,
                        const std::vector<signals::Wave>& components) {
  signals::Samples s = signals::even_times(d.rate_hz, d.duration_s);
  signals::fill(s, signals::sum_of(1.0, components));
  signals::add_noise(s, d.noise, static_cast<unsigned>(random()));
  return s;
}

double phase(test::Random& random) { return test::between(random, 0.0, signals::two_pi); }

/// `closest_bins`: two lines that both stand out, so many bins apart, the search a tenth of a bin
/// off. Found again: both within a quarter of their distance.
void two_lines(test::Random& random, int draws) {
  fmt::print("two lines, {} draws each\n{:>9} {:>12} {:>28}\n", draws, "bins", "found again",
             "amplitude sd over a lone line's: median, 90 %");
  for (const double bins : {0.4, 0.5, 0.6, 0.7, 0.8, 1.0, 1.5, 2.0}) {
    int found = 0;
    std::vector<double> widened;
    for (int i = 0; i < draws; ++i) {
      const Drawn d = draw(random);
      const double apart = bins * d.bin_hz();
      const double one = d.noise * test::logarithmic(random, 1.0, 30.0);
      const double other = one * test::logarithmic(random, 0.2, 1.0);
      const auto s =
          record(random, d, {{d.hz, one, phase(random)}, {d.hz + apart, other, phase(random)}});
      const auto off = [&] { return test::between(random, -0.1, 0.1) * d.bin_hz(); };
      const lines::LineFit fit =
          lines::fit_lines(s.window(), free_lines({d.hz + off(), d.hz + apart + off()}), 6);
      found += std::abs(fit.lines[0].hz - d.hz) < apart / 4.0 &&
               std::abs(fit.lines[1].hz - d.hz - apart) < apart / 4.0;
      const double lone = fit.noise_sd * std::sqrt(2.0 / static_cast<double>(s.value.size()));
      widened.push_back(fit.lines[0].amplitude_sd / lone);
    }
    fmt::print("{:>9} {:>10.1f} % {:>14.2f} {:>13.2f}\n", bins, 100.0 * found / draws,
               quantile(widened, 0.5), quantile(widened, 0.9));
  }
}

/// `keeps_of_threshold`: amplitude over the threshold when fitted with a strong line, of lines that
/// passed the threshold alone and of places where there is nothing but the strong line's skirt.
void kept_lines(test::Random& random, int draws) {
  std::vector<double> true_lines, nothing;
  for (int i = 0; i < draws; ++i) {
    const Drawn d = draw(random);
    const double strong = d.noise * test::logarithmic(random, 3.0, 300.0);
    const double sd = d.noise * std::sqrt(2.0 / (d.rate_hz * d.duration_s));
    const double weak = sd * test::between(random, 3.0, 12.0);
    const double bins = test::between(random, 6.0, 30.0);
    const double second_hz = d.hz + bins * d.bin_hz();
    const bool there = test::often(random, 0.5);
    std::vector<signals::Wave> all = {{d.hz, strong, phase(random)}};
    if (there) all.push_back({second_hz, weak, phase(random)});
    const auto s = record(random, d, all);
    const lines::LineFit alone = lines::fit_lines(s.window(), free_lines({d.hz}), 6);
    const Spectrum left =
        spectrum_of(Window{alone.residual, s.window().time_s, s.window().interval_s});
    const double threshold = spectrum::threshold_over_floor(static_cast<double>(left.floor.size()),
                                                            spectrum::search_false_alarm) *
                             spectrum::floor_near(left, second_hz);
    if (there && spectrum::amplitude_near(left, second_hz) < threshold) continue;
    const lines::LineFit both =
        lines::fit_lines(s.window(), free_lines({d.hz, second_hz}), 6, lines::Uncertainty::lonely);
    (there ? true_lines : nothing).push_back(both.lines[1].amplitude / threshold);
  }
  fmt::print("\nfitted with a strong line, over the threshold\n");
  fmt::print("lines that passed it ({}): 0.1 % {:.2f}, 1 % {:.2f}, median {:.2f}\n",
             true_lines.size(), quantile(true_lines, 0.001), quantile(true_lines, 0.01),
             quantile(true_lines, 0.5));
  fmt::print("nothing there ({}): median {:.2f}, 99 % {:.2f}, 99.9 % {:.2f}\n", nothing.size(),
             quantile(nothing, 0.5), quantile(nothing, 0.99), quantile(nothing, 0.999));
}

}  // namespace

int main(int count, char** arguments) {
  const auto [draws, seed] = test::asked_for(count, arguments, 2000);
  test::Random random(seed);
  two_lines(random, draws);
  kept_lines(random, draws);
  return 0;
}
