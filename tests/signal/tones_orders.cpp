#include <cmath>
#include <functional>
#include <vector>

#include "lampbeat/tones.hpp"
#include "signal/left_over/rest_of_window.hpp"
#include "signal/tones/rhythm.hpp"
#include "support/catch.hpp"
#include "support/signals.hpp"

using namespace lampbeat;
using signals::Samples;

namespace {

Samples made(double rate_hz, const std::function<double(double)>& shape, unsigned seed) {
  Samples s = signals::even_times(rate_hz, 1.0);
  signals::fill(s, shape);
  signals::add_noise(s, 0.005, seed);
  return s;
}

/// A dimmed ripple: a carrier of its own, the mains' ripple, and their sums and differences.
double chopped_ripple(double t) {
  static const auto pwm = signals::pulses(481.3, 0.5);
  return (1.0 + 0.2 * std::cos(signals::two_pi * 100.04 * t)) * pwm(t);
}

double fundamental_hz(const ToneAnalysis& analysis, std::size_t fundamental) {
  for (const ToneSeries& series : analysis.series) {
    if (series.kind != SeriesKind::sideband && series.fundamental == fundamental) {
      return series.fundamental_hz;
    }
  }
  return std::nan("");
}

/// Every tone lies where its orders put it; returns how many sidebands there were.
int check_orders(const ToneAnalysis& analysis) {
  int sidebands = 0;
  for (const ToneSeries& series : analysis.series) {
    for (const Tone& tone : series.tones) {
      CHECK(tone.beside.has_value() == (series.kind == SeriesKind::sideband));
      double hz = tone.order * fundamental_hz(analysis, series.fundamental);
      if (tone.beside) {
        ++sidebands;
        CHECK(tone.beside->fundamental != series.fundamental);
        hz += tone.beside->order * fundamental_hz(analysis, tone.beside->fundamental);
      }
      CHECK(tone.hz == Approx(hz).epsilon(1e-12));
    }
  }
  return sidebands;
}

}  // namespace

TEST_CASE("every tone lies where the orders it keeps put it, in later windows too") {
  const Samples first = made(20000.0, chopped_ripple, 1);
  const ToneAnalysis known = analyse_tones(first.window(), {});
  CHECK(check_orders(known) >= 4);
  const Samples later = made(
      20000.0, [](double t) { return chopped_ripple(t + 3.7); }, 2);
  const ToneAnalysis next = follow_tones(later.window(), known);
  CHECK(check_orders(next) == check_orders(known));
  for (std::size_t s = 0; s < known.series.size(); ++s) {
    for (std::size_t t = 0; t < known.series[s].tones.size(); ++t) {
      const Tone& was = known.series[s].tones[t];
      const Tone& is = next.series[s].tones[t];
      CHECK(is.order == was.order);
      if (was.beside) CHECK(is.beside->order == was.beside->order);
    }
  }
}

TEST_CASE("a sideband whose other rhythm is not known any more is followed by itself") {
  const Samples s = made(20000.0, chopped_ripple, 3);
  ToneAnalysis known = analyse_tones(s.window(), {});
  std::erase_if(known.series,
                [](const ToneSeries& series) { return series.kind == SeriesKind::mains_locked; });
  const ToneAnalysis next = follow_tones(s.window(), known);
  REQUIRE(next.series.size() == known.series.size());
  for (std::size_t i = 0; i < known.series.size(); ++i) {
    for (std::size_t t = 0; t < known.series[i].tones.size(); ++t) {
      CHECK(std::abs(next.series[i].tones[t].hz - known.series[i].tones[t].hz) < 0.1);
    }
  }
}

TEST_CASE("a choice of rhythms names the tones of each, and those of the others") {
  // By chance all but a multiple of the ripple, and its own rhythm all the same.
  const double own_hz = 4.0 * 120.0 * (1.0 + 1e-7);
  const auto tone = [](double hz, double amplitude, int order) {
    return Tone{.hz = hz, .amplitude = amplitude, .order = order};
  };
  ToneAnalysis tones;
  tones.mean = 1.0;
  const auto series = [](SeriesKind kind, double hz, std::vector<Tone> its) {
    ToneSeries made;
    made.kind = kind;
    made.fundamental_hz = hz;
    made.fundamental_hz_sd = 1e-3;
    made.tones = std::move(its);
    return made;
  };
  tones.series = {
      series(SeriesKind::mains_locked, 60.0,
             {tone(120.0, 0.2, 2), tone(240.0, 0.05, 4), tone(60.0, 1e-5, 1)}),
      series(SeriesKind::free_running, own_hz, {tone(own_hz, 0.1, 1), tone(2.0 * own_hz, 0.04, 2)}),
      series(SeriesKind::free_running, 777.7, {tone(777.7, 0.02, 1)}),
      series(SeriesKind::sideband, own_hz, {tone(own_hz - 120.0, 0.01, 1)})};
  for (std::size_t i = 0; i < 3; ++i) tones.series[i].fundamental = 7 - i;

  const signal::tones::RhythmChoice choice = signal::tones::choose_rhythms(tones);
  REQUIRE(choice.rhythms.size() == 2);
  REQUIRE(choice.members.size() == 2);
  CHECK(choice.rhythms[0].hz == Approx(120.0));
  CHECK(choice.members[0].size() == 2);  // the trace at 60 Hz does not repeat with 120 Hz
  CHECK(choice.rhythms[1].hz == Approx(own_hz));
  CHECK(choice.members[1].size() == 2);
  CHECK(choice.fundamental == std::vector<std::size_t>{7, 6});
  REQUIRE(choice.traces.size() == 1);
  CHECK(choice.traces[0].hz == 60.0);
  REQUIRE(choice.others.size() == 1);
  CHECK(choice.others[0].hz == 777.7);
  REQUIRE(choice.sidebands.size() == 1);
  CHECK(choice.sidebands[0].hz == own_hz - 120.0);
}

TEST_CASE("a member of a rhythm is taken out with it, once") {
  // Three times the other, as far as the noise lets anybody know.
  const double lead_hz = 200.0;
  const double third_hz = 600.003;
  const Samples s = made(
      20000.0,
      [&](double t) {
        return 1.0 + 0.3 * std::cos(signals::two_pi * lead_hz * t) +
               0.1 * std::cos(signals::two_pi * third_hz * t);
      },
      5);
  ToneAnalysis tones;
  tones.mean = 1.0;
  for (const Tone& tone : {Tone{.hz = lead_hz, .amplitude = 0.3, .hz_sd = 2e-3},
                           Tone{.hz = third_hz, .amplitude = 0.1, .hz_sd = 2e-3}}) {
    ToneSeries& series = tones.series.emplace_back();
    series.fundamental_hz = tone.hz;
    series.fundamental_hz_sd = tone.hz_sd;
    series.fundamental = tones.series.size() - 1;
    series.tones = {tone};
  }
  const signal::tones::RhythmChoice choice = signal::tones::choose_rhythms(tones);
  REQUIRE(choice.rhythms.size() == 1);
  REQUIRE(choice.members[0].size() == 2);
  signal::left_over::RestOfWindow rest;
  rest.find(s.window(), 0.0, tones, choice, 0.0);
  double squares = 0.0;
  for (const double x : rest.beside()) squares += (x - 1) * (x - 1);
  // The noise, and what half a hundredth of a turn leaves of the third: taken out twice, it would
  // be all there again.
  CHECK(std::sqrt(squares / static_cast<double>(s.value.size())) < 0.006);
}
