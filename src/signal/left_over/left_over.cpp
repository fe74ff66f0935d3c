#include "signal/left_over/left_over.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "arithmetic/alias.hpp"
#include "arithmetic/phase.hpp"
#include "signal/cycle/ripple_free.hpp"
#include "signal/lines/line_model.hpp"
#include "signal/lines/projection.hpp"

namespace lampbeat::signal {
namespace {

/// The Hann window's main lobe, and one bin for a rhythm that moves within the window.
constexpr double lobe_bins = 3.0;
/// A rhythm's clock strays: its multiples are this much wider, at most this share of their spacing.
constexpr double stray_share = 0.003;
constexpr double most_of_spacing = 0.3;
/// Mean and slope were taken out of each window, and with them what is slower than this.
constexpr double slowest_bins = 2.5;
constexpr double course_block_s = 0.01;
constexpr std::size_t most_course_blocks = std::size_t{1} << 17U;
/// Windows see faster light, the course slower.
constexpr double slow_below_hz = 8.0;
constexpr double enough_cycles = 3.5;
/// Taking out the drift takes noise with it, up to this many cycles in the whole.
constexpr double drift_cycles = 8.0;
/// Where more of what a band holds leaked in from slower light, it says nothing of its own.
constexpr double most_leak = 0.5;

bool belongs(const Tone& tone, const std::vector<Rhythm>& rhythms) {
  return std::any_of(rhythms.begin(), rhythms.end(), [&](const Rhythm& rhythm) {
    const double order = tone.hz / rhythm.hz;
    return arithmetic::off_whole(order) < 1e-6 * std::max(order, 1.0) && order > 0.5;
  });
}

/// Takes out the tones that no folded rhythm holds: sidebands, third rhythms. Slow ones stay for
/// the course of the whole capture.
void take_out_lone_tones(std::vector<double>& value, const Window& window,
                         const ToneAnalysis& tones, const std::vector<Rhythm>& rhythms,
                         bool sidebands) {
  const FitClock clock(window);
  std::vector<double> rate, cosine, sine;
  for (const ToneSeries& series : tones.series) {
    if (!sidebands && series.kind == SeriesKind::sideband) continue;
    for (const Tone& tone : series.tones) {
      if (tone.hz < slow_rhythms_below_hz || belongs(tone, rhythms)) continue;
      rate.push_back(2.0 * std::numbers::pi * tone.hz * clock.half_s);
      const double angle = tone.phase_rad + 2.0 * std::numbers::pi * tone.hz * clock.centre_s;
      cosine.push_back(tone.amplitude * std::cos(angle));
      sine.push_back(-tone.amplitude * std::sin(angle));
    }
  }
  if (rate.empty()) return;
  if (window.even()) {
    const std::vector<double> waves = BlockedWindow(window).waves(rate, 0.0, 0.0, cosine, sine);
    for (std::size_t i = 0; i < value.size(); ++i) value[i] -= waves[i];
    return;
  }
  for (std::size_t i = 0; i < value.size(); ++i) {
    const double u = clock.at(window.time_at(i));
    for (std::size_t k = 0; k < rate.size(); ++k) {
      value[i] -= cosine[k] * std::cos(rate[k] * u) + sine[k] * std::sin(rate[k] * u);
    }
  }
}

double power_of(const std::vector<double>& value) {
  double sum = 0.0;
  double squares = 0.0;
  for (const double x : value) {
    sum += x;
    squares += x * x;
  }
  const auto n = static_cast<double>(value.size());
  return squares / n - sum / n * (sum / n);
}

/// What is left of the window beside all that was found in it, by whichever way two rhythms meet
/// leaves less.
std::vector<double> left_beside(const Window& light, const ToneAnalysis& tones,
                                const std::vector<Rhythm>& rhythms) {
  if (rhythms.size() != 2) {
    std::vector<double> rest = without_rhythms(light, rhythms);
    take_out_lone_tones(rest, light, tones, rhythms, true);
    return rest;
  }
  LeftByMeeting left = without_rhythms_either_way(light, rhythms);
  take_out_lone_tones(left.sum, light, tones, rhythms, true);
  // Sidebands are what a product of two rhythms consists of.
  take_out_lone_tones(left.product, light, tones, rhythms, false);
  return power_of(left.product) < power_of(left.sum) ? left.product : left.sum;
}

/// Around every tone and every multiple of every rhythm, folded where it lies above half the rate.
std::vector<Gap> gaps_around(const ToneAnalysis& tones, const std::vector<Rhythm>& rhythms,
                             double bin_hz, double rate_hz) {
  std::vector<Gap> gaps;
  const auto leave_out = [&](double hz, double most_hz) {
    const double reach = std::min(lobe_bins * bin_hz + stray_share * hz, most_hz);
    const double seen = arithmetic::folded_hz(hz, rate_hz);
    gaps.push_back({seen - reach, seen + reach});
  };
  for (const ToneSeries& series : tones.series) {
    for (const Tone& tone : series.tones) leave_out(tone.hz, lobe_bins * bin_hz);
  }
  for (const Rhythm& rhythm : rhythms) {
    const double most_hz = most_of_spacing * rhythm.hz;
    for (double hz = rhythm.hz; hz < rate_hz / 2.0; hz += rhythm.hz) leave_out(hz, most_hz);
  }
  std::sort(gaps.begin(), gaps.end(),
            [](const Gap& a, const Gap& b) { return a.from_hz < b.from_hz; });
  return gaps;
}

/// The samples for the course of the whole capture, in which slow rhythms stay.
std::vector<double> without_fast_rhythms(const Window& light, const std::vector<double>& rest,
                                         const std::vector<Rhythm>& rhythms) {
  std::vector<Rhythm> fast = rhythms;
  std::erase_if(fast, [](const Rhythm& rhythm) { return rhythm.hz < slow_rhythms_below_hz; });
  return fast.size() == rhythms.size() ? rest : without_rhythms(light, fast);
}

/// What slow light of this power leaks into windows of `window_s`, and what the corners of a slow
/// rhythm put there: sample units squared per hertz at `hz`.
struct Leak {
  double slow_power = 0.0;
  double slow_hz = 0.0;  ///< the fastest of it
  double corners = 0.0;  ///< density times frequency squared
  double window_s = 1.0;
  double at(double hz) const {
    const double bins = (hz - slow_hz) * window_s;
    // Side lobes of the Hann window fall as the cube of the distance (Harris, 1978).
    const double lobe = bins > 2.0 ? std::pow(2.0 / bins, 6) : 1.0;
    return slow_power * window_s * lobe + corners / (hz * hz);
  }
};

/// The corners of a switched rhythm make multiples that fall with the order: their densities,
/// times the frequency squared, agree with each other. A sine has none.
double corners_of(const SlowRhythm& slow) {
  double most = 0.0;
  for (const ToneSeries& series : slow.tones.series) {
    for (const Tone& tone : series.tones) {
      if (tone.order < 3) continue;
      const double spread = tone.amplitude * tone.hz;
      most = std::max(most, spread * spread / (2.0 * slow.rhythm.hz));
    }
  }
  constexpr double edges_do_not_average = 4.0;  // few of them in one window
  return edges_do_not_average * most;
}

}  // namespace

bool LeftOverAccount::takes(const Window& light, double start_s) {
  constexpr std::size_t fewest_samples = 32;
  if (light.size() < fewest_samples || !(light.interval_s > 0.0)) return false;
  if (!course_) {
    const double block = std::max(1.0, std::floor(course_block_s / light.interval_s));
    course_.emplace(static_cast<std::size_t>(block), most_course_blocks);
    first_s_ = start_s;
  }
  return true;
}

void LeftOverAccount::pass_over(const Window& light, double start_s) {
  if (!takes(light, start_s)) return;
  course_->add(light, light.value, start_s);
  raw_.add(light, light.value, start_s);
  extremes_.add(light, start_s);
  end_s_ = start_s + light.duration_s();
}

void LeftOverAccount::add(const Window& light, double start_s, const ToneAnalysis& tones,
                          const std::vector<Rhythm>& rhythms, double least) {
  if (!takes(light, start_s)) return;
  if (shortest_s_ == 0.0) shortest_s_ = light.duration_s();
  const std::vector<double> rest = left_beside(light, tones, rhythms);
  const double bin_hz = 1.0 / light.duration_s();
  const double rate_hz = 1.0 / light.interval_s;
  windows_.add(Window{rest, light.time_s, light.interval_s}, slowest_bins * bin_hz, rate_hz / 2.0,
               gaps_around(tones, rhythms, bin_hz, rate_hz));
  course_->add(light, without_fast_rhythms(light, rest, rhythms), start_s);
  raw_.add(light, light.value, start_s);
  extremes_.add(light, start_s);
  join(strays_, strays_in(rest, least, start_s, light.interval_s));
  end_s_ = start_s + light.duration_s();
  shortest_s_ = std::min(shortest_s_, light.duration_s());
}

LeftOver LeftOverAccount::result(const NoiseKnowledge& known, bool level_kept) const {
  LeftOver left;
  if (!course_) return left;
  left.strays = strays_;
  left.extremes = extremes_;
  left.seconds = end_s_ - first_s_;
  left.step = known.step;
  const Course::Part course = course_->part(first_s_, end_s_);
  left.drift = drift_of(course);
  left.jump = largest_jump(course, std::abs(known.level));
  std::vector<Band> bands = windows_.bands();
  account_for_slow(left, bands, level_kept);
  if (!bands.empty()) left.from_hz = bands.front().from_hz;
  if (level_kept) left.few = few_cycles(raw_.part(first_s_, end_s_));
  // Edges that do not repeat are a few cycles only in a short capture; in a long one they are
  // changes of the light.
  if (left.few && !left.few->hz && end_s_ - first_s_ >= least_course_s) left.few.reset();
  if (left.few) {
    left.strays = {};
    left.from_hz = 0.0;
    return left;
  }
  NoiseKnowledge noise = known;
  noise.trusted_from_hz = drift_cycles / (end_s_ - first_s_);
  ResidualAccount account = residual_account(bands, noise);
  left.surplus = std::move(account.surplus);
  left.noise = account.noise;
  if (!bands.empty()) {
    // What is slower than a third of the whole is drift.
    const double slowest_hz = std::min(left.from_hz, 0.3 / left.seconds);
    NoiseModel slow = left.noise;
    slow.white = 0.0;
    left.slow_noise_power = slow.power(slowest_hz, known.half_rate_hz);
  }
  left.bands = std::move(bands);
  left.window_s = shortest_s_;
  return left;
}

void LeftOverAccount::account_for_slow(LeftOver& left, std::vector<Band>& bands,
                                       bool level_kept) const {
  const Course::Part part = course_->part(first_s_, end_s_);
  constexpr std::size_t fewest_blocks = 48;
  if (!level_kept || end_s_ - first_s_ < least_course_s || part.value.size() < fewest_blocks) {
    return;
  }
  const double to_hz = std::min(slow_below_hz, 0.2 / part.interval_s);
  const double window_from_hz = bands.empty() ? to_hz : std::max(to_hz, bands.front().from_hz);
  std::vector<double> course = without_drift(part.value);
  const Window window{course, {}, part.interval_s};
  std::vector<Gap> gaps;
  const double bin_hz = 1.0 / window.duration_s();
  Leak leak;
  leak.window_s = shortest_s_;
  leak.slow_hz = std::min(to_hz, 2.0 / shortest_s_);
  for (const double x : course) leak.slow_power += x * x / static_cast<double>(course.size());
  left.slow = slow_rhythm(part, slow_rhythms_below_hz);
  if (left.slow) {
    leak.corners = corners_of(*left.slow);
    const std::vector<Rhythm> rhythm = {left.slow->rhythm};
    course = without_rhythms(window, rhythm);
    gaps = gaps_around(left.slow->tones, rhythm, bin_hz, 1.0 / part.interval_s);
    left.strays = {};
    for (ToneSeries& series : left.slow->tones.series) {
      for (Tone& tone : series.tones) {
        tone.phase_rad = arithmetic::wrapped_rad(tone.phase_rad -
                                                 2.0 * std::numbers::pi * tone.hz * part.first_s);
      }
    }
  }
  // The windows know it better where they hold enough of its cycles.
  if (left.slow && left.slow->rhythm.hz * shortest_s_ > enough_cycles) left.slow.reset();
  BandPowers slow;
  slow.add(Window{course, {}, part.interval_s}, 2.0 * bin_hz, to_hz, gaps);
  std::vector<Band> all = slow.bands();
  for (Band band : bands) {
    if (band.from_hz < window_from_hz) continue;
    const double hz = std::sqrt(band.from_hz * band.to_hz);
    const double leaked = leak.at(hz);
    if (leaked > most_leak * band.density) continue;
    band.density -= leaked;
    all.push_back(band);
  }
  bands = std::move(all);
}

}  // namespace lampbeat::signal
