#include "signal/left_over/left_over.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"
#include "signal/cycle/ripple_free.hpp"
#include "signal/left_over/rest_of_window.hpp"

namespace lampbeat::signal::left_over {
namespace {

/// The mean over a block leaves 99 % of light at `slow_below_hz` (sinc of 0.08).
constexpr double course_block_s = 0.01;
/// Twenty minutes of them; of a longer capture blocks are joined.
constexpr std::size_t most_course_blocks = std::size_t{1} << 17U;
/// Windows see faster light, the course slower: a second holds eight of its cycles.
constexpr double slow_below_hz = 8.0;
/// Three, which a window claims a rhythm from, and half a one for what its frequency may read low.
constexpr double enough_cycles = 3.5;
/// Taking out the drift takes noise with it, up to this many cycles in the whole.
constexpr double drift_cycles = 8.0;
/// Where more of what a band holds leaked in from slower light, it says nothing of its own.
constexpr double most_leak = 0.5;

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
double corners_of(const course::SlowRhythm& slow) {
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
  if (!enough_for_account(light)) return false;
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

void LeftOverAccount::add(const Window& light, double start_s, const RestOfWindow& rest) {
  if (!takes(light, start_s)) return;
  windows_.add(rest.bands());
  course_->add(light, rest.course(), start_s);
  raw_.add(light, light.value, start_s);
  extremes_.add(light, start_s);
  join(strays_, rest.strays());
  end_s_ = start_s + light.duration_s();
  shortest_s_ = std::min(shortest_s_.value_or(light.duration_s()), light.duration_s());
}

LeftOver LeftOverAccount::result(const NoiseKnowledge& known, bool level_kept) const {
  LeftOver left;
  if (!course_) return left;
  left.strays = strays_;
  left.extremes = extremes_;
  left.seconds = end_s_ - first_s_;
  left.step = known.step;
  const course::Course::Part course = course_->part(first_s_, end_s_);
  left.drift = drift_of(course);
  left.jump = course::largest_jump(course, std::abs(known.level));
  std::vector<spectrum::Band> bands = windows_.bands();
  account_for_slow(left, bands, level_kept);
  if (!bands.empty()) left.from_hz = bands.front().from_hz;
  if (level_kept) left.few = course::few_cycles(raw_.part(first_s_, end_s_));
  // Edges that do not repeat are a few cycles only in a short capture; in a long one they are
  // changes of the light.
  if (left.few && !left.few->hz && end_s_ - first_s_ >= least_course_s) left.few.reset();
  if (left.few) {
    left.strays = {};
    left.from_hz.reset();
    return left;
  }
  NoiseKnowledge noise = known;
  noise.trusted_from_hz = drift_cycles / (end_s_ - first_s_);
  ResidualAccount account = residual_account(bands, noise);
  left.surplus = std::move(account.surplus);
  left.noise = account.noise;
  if (!bands.empty()) {
    // What is slower than a third of the whole is drift.
    const double slowest_hz = std::min(bands.front().from_hz, 0.3 / left.seconds);
    NoiseModel slow = left.noise;
    slow.white = 0.0;
    left.slow_noise_power = slow.power(slowest_hz, known.half_rate_hz);
  }
  left.bands = std::move(bands);
  left.window_s = shortest_s_;
  return left;
}

void LeftOverAccount::account_for_slow(LeftOver& left, std::vector<spectrum::Band>& bands,
                                       bool level_kept) const {
  const course::Course::Part part = course_->part(first_s_, end_s_);
  if (!level_kept || end_s_ - first_s_ < least_course_s ||
      part.value.size() < course::fewest_blocks_of_a_rhythm) {
    return;
  }
  const double to_hz = std::min(slow_below_hz, 0.2 / part.interval_s);
  const double window_from_hz = bands.empty() ? to_hz : std::max(to_hz, bands.front().from_hz);
  std::vector<double> course = course::without_drift(part.value);
  const Window window{course, {}, part.interval_s};
  std::vector<spectrum::Gap> gaps;
  const double bin_hz = 1.0 / window.duration_s();
  Leak leak;
  if (shortest_s_) {
    leak.window_s = *shortest_s_;
    leak.slow_hz = std::min(to_hz, 2.0 / *shortest_s_);
  }
  for (const double x : course) leak.slow_power += x * x / static_cast<double>(course.size());
  left.slow = course::slow_rhythm(part, course::slow_rhythms_below_hz);
  if (left.slow) {
    leak.corners = corners_of(*left.slow);
    const std::vector<Rhythm> rhythm = {left.slow->rhythm};
    course = cycle::without_rhythms(window, rhythm);
    gaps = gaps_around(left.slow->tones, rhythm, bin_hz, 1.0 / part.interval_s);
    left.strays = {};
    for (ToneSeries& series : left.slow->tones.series) {
      for (Tone& tone : series.tones) {
        tone.phase_rad =
            arithmetic::wrapped_rad(tone.phase_rad - arithmetic::turn * tone.hz * part.first_s);
      }
    }
  }
  // The windows know it better where they hold enough of its cycles.
  if (left.slow && shortest_s_ && left.slow->rhythm.hz * *shortest_s_ > enough_cycles) {
    left.slow.reset();
  }
  spectrum::BandPowers slow;
  slow.add(Window{course, {}, part.interval_s}, 2.0 * bin_hz, to_hz, gaps);
  std::vector<spectrum::Band> all = slow.bands();
  for (spectrum::Band band : bands) {
    if (band.from_hz < window_from_hz) continue;
    const double hz = std::sqrt(band.from_hz * band.to_hz);
    const double leaked = leak.at(hz);
    if (leaked > most_leak * band.density) continue;
    band.density -= leaked;
    all.push_back(band);
  }
  bands = std::move(all);
}

}  // namespace lampbeat::signal::left_over
