#include "reasoning/bands/contrast.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <numbers>

#include "arithmetic/phase.hpp"

namespace lampbeat::reasoning {
namespace {

using Complex = std::complex<double>;
constexpr double two_pi = 2.0 * std::numbers::pi;

/// Of finite numbers: without the care for infinities that the operator takes.
Complex product(Complex a, Complex b) {
  return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
}

/// e^{2πi · order · cycles} for rising orders, each reached from the one before it by a few
/// multiplications, or anew after a wide gap.
class Turns {
 public:
  explicit Turns(double cycles)
      : cycles_(cycles), one_(std::polar(1.0, two_pi * arithmetic::begun_turn(cycles))) {}

  Complex at(int order) {
    if (order < order_ || order > order_ + 8) {
      turned_ = std::polar(1.0, two_pi * arithmetic::begun_turn(order * cycles_));
      order_ = order;
    }
    for (; order_ < order; ++order_) turned_ = product(turned_, one_);
    return turned_;
  }

 private:
  double cycles_;
  Complex one_;
  Complex turned_ = 1.0;
  int order_ = 0;
};

double value_at(std::span<const Harmonic> harmonics, double cycles) {
  Turns turns(cycles);
  double value = 0.0;
  for (const Harmonic& h : harmonics) value += product(h.amplitude, turns.at(h.order)).real();
  return value;
}

struct Height {
  double value = 0.0, slope = 0.0, bend = 0.0;
};

Height height_at(std::span<const Harmonic> harmonics, double cycles) {
  Turns turns(cycles);
  Height height;
  for (const Harmonic& h : harmonics) {
    const double rate = two_pi * h.order;
    const Complex here = product(h.amplitude, turns.at(h.order));
    height.value += here.real();
    height.slope -= rate * here.imag();
    height.bend -= rate * rate * here.real();
  }
  return height;
}

/// What the two samples of a pair weigh: contrast c is reached when
/// Σ [(1 − c) · first − (1 + c) · second] = 2c.
struct Weights {
  explicit Weights(double contrast) : first(1.0 - contrast), second(1.0 + contrast) {}
  double first, second;
};

/// One cycle of a rhythm in samples, and for every shift the best a pair that far apart can do.
class Cycle {
 public:
  /// `strong`: harmonics from here on decide how finely the cycle is sampled; weaker ones count
  /// too, except in a quick look.
  Cycle(const Rhythm& rhythm, double strong, Effort effort) : hz_(rhythm.hz) {
    int order = 1;
    for (const Harmonic& h : rhythm.harmonics) {
      const bool is_strong = std::abs(h.amplitude) >= strong;
      if (is_strong) order = std::max(order, h.order);
      if (is_strong || effort == Effort::full) harmonics_.push_back(h);
    }
    std::sort(harmonics_.begin(), harmonics_.end(),
              [](const Harmonic& a, const Harmonic& b) { return a.order < b.order; });
    const int per_harmonic = effort == Effort::full ? 32 : 10;
    const int most = effort == Effort::full ? 1024 : 320;
    size_ = std::clamp(per_harmonic * order, effort == Effort::full ? 128 : 40, most);
    size_ += (4 - size_ % 4) % 4;
    if (harmonics_.size() > 1) {
      samples_.assign(static_cast<std::size_t>(2 * size_), 0.0F);
      for (const Harmonic& h : harmonics_) {
        const Complex step = std::polar(1.0, two_pi * h.order / size_);
        Complex turning = h.amplitude;
        for (int i = 0; i < size_; ++i, turning = product(turning, step)) {
          samples_[static_cast<std::size_t>(i)] += static_cast<float>(turning.real());
        }
      }
      std::copy_n(samples_.begin(), size_, samples_.begin() + size_);
    }
  }

  bool empty() const { return harmonics_.empty(); }
  double hz() const { return hz_; }

  void weigh(Weights w) {
    best_.assign(static_cast<std::size_t>(size_ + 2), 0.0F);
    if (harmonics_.size() == 1) {
      for (int shift = 0; shift < size_; ++shift) {
        best_[static_cast<std::size_t>(shift)] = best_of_cosine(w, double(shift) / size_);
      }
    } else {
      best_of_samples(w);
    }
    const auto whole = static_cast<std::size_t>(size_);
    best_[whole] = best_[0];
    best_[whole + 1] = best_[1];
  }

  /// Best weighted difference of a pair `cycles` apart (0 ... 1, both included), read between the
  /// samples.
  float best(double cycles) const {
    const double place = cycles * size_;
    const auto i = static_cast<std::size_t>(place);
    const auto part = static_cast<float>(place - static_cast<double>(i));
    return best_[i] + part * (best_[i + 1] - best_[i]);
  }

  /// The phase, in cycles, at which a pair exactly `cycles` apart differs most.
  double best_phase(Weights w, double cycles) const {
    std::vector<Harmonic> pair = harmonics_;
    Turns turns(cycles);
    for (Harmonic& h : pair) {
      h.amplitude = product(h.amplitude, w.first - w.second * turns.at(h.order));
    }
    if (pair.size() == 1) return -std::arg(pair[0].amplitude) / (two_pi * pair[0].order);
    double phase = sampled_best_phase(w, cycles);
    Height here = height_at(pair, phase);
    for (int round = 0; round < 4 && here.bend < 0.0; ++round) {
      const double step = std::clamp(-here.slope / here.bend, -0.5 / size_, 0.5 / size_);
      const Height next = height_at(pair, phase + step);
      if (next.value <= here.value) break;
      phase += step;
      const bool settled = next.value <= here.value + 1e-9 * std::abs(here.value);
      here = next;
      if (settled) break;
    }
    return phase;
  }

  std::span<const Harmonic> harmonics() const { return harmonics_; }

 private:
  float best_of_cosine(Weights w, double cycles) const {
    const Harmonic& h = harmonics_[0];
    const double square =
        w.first * w.first + w.second * w.second -
        2.0 * w.first * w.second * std::cos(two_pi * arithmetic::begun_turn(h.order * cycles));
    return static_cast<float>(std::abs(h.amplitude) * std::sqrt(std::max(0.0, square)));
  }

  /// The best phase among the samples, the second of the pair read between them: where to start
  /// from, good to a fraction of a sample.
  double sampled_best_phase(Weights w, double cycles) const {
    const double place = cycles * size_;
    const auto whole = std::min(static_cast<std::size_t>(place), samples_.size() / 2 - 1);
    const double part = place - static_cast<double>(whole);
    const auto first = static_cast<float>(w.first);
    const auto before = static_cast<float>(w.second * (1.0 - part));
    const auto after = static_cast<float>(w.second * part);
    const float* const one = samples_.data();
    const float* const other = one + whole;
    float highest = std::numeric_limits<float>::lowest();
    int best = 0;
    for (int i = 0; i < size_; ++i) {
      const float sum = first * one[i] - before * other[i] - after * other[i + 1];
      if (sum > highest) {
        highest = sum;
        best = i;
      }
    }
    return double(best) / size_;
  }

  // Shift by shift in the inner loop, so that it runs on several at once.
  void best_of_samples(Weights w) {
    std::fill(best_.begin(), best_.end(), std::numeric_limits<float>::lowest());
    float* const best = best_.data();
    const auto weight = static_cast<float>(w.second);
    // Four samples at a time (the size is a multiple of 4), so that `best` is passed less often.
    for (int i = 0; i < size_; i += 4) {
      const float* const second = samples_.data() + i;
      const float a = static_cast<float>(w.first) * second[0];
      const float b = static_cast<float>(w.first) * second[1];
      const float c = static_cast<float>(w.first) * second[2];
      const float d = static_cast<float>(w.first) * second[3];
      for (int shift = 0; shift < size_; ++shift) {
        const float from_a = a - weight * second[shift];
        const float from_b = b - weight * second[shift + 1];
        const float from_c = c - weight * second[shift + 2];
        const float from_d = d - weight * second[shift + 3];
        const float ab = from_a > from_b ? from_a : from_b;
        const float cd = from_c > from_d ? from_c : from_d;
        const float most = ab > cd ? ab : cd;
        best[shift] = most > best[shift] ? most : best[shift];
      }
    }
  }

  double hz_;
  std::vector<Harmonic> harmonics_;
  int size_ = 0;
  std::vector<float> samples_;  ///< the cycle twice over
  std::vector<float> best_;     ///< by shift, and the first two once more
};

/// A lone cosine needs no search. Two samples of 1 + a cos φ, a phase 2δ apart, differ most in
/// ratio by a |sin δ| / √(1 − a² cos² δ), which grows with |sin δ|: the best lag is the one nearest
/// to half a cycle.
double cosine_contrast(double amplitude, double hz, std::span<const int> lags, double unit_s) {
  constexpr double near_enough = 1e-3;  // cycles; less than 1e-5 of the contrast
  const double cycles_per_unit = hz * unit_s;
  double off = 0.5;
  for (const int lag : lags) {
    off = std::min(off, std::abs(arithmetic::begun_turn(cycles_per_unit * lag) - 0.5));
    if (off < near_enough) break;
  }
  const double sine = amplitude * std::sin(std::numbers::pi * (0.5 - off));
  const double cosine = amplitude * std::sin(std::numbers::pi * off);
  // Darkness is within reach, unless every sample falls on the same phase.
  if (amplitude >= 1.0) return sine > 1e-9 ? 1.0 : 0.0;
  return sine / std::sqrt(1.0 - cosine * cosine);
}

/// The greatest contrast of a pair exactly `lag_s` apart.
double contrast_at(std::span<const Cycle> cycles, double lag_s, double from, int rounds) {
  double contrast = from;
  for (int round = 0; round < rounds; ++round) {
    double high = 1.0, low = 1.0;
    for (const Cycle& cycle : cycles) {
      const double apart = arithmetic::begun_turn(cycle.hz() * lag_s);
      const double phase = cycle.best_phase(Weights(contrast), apart);
      high += value_at(cycle.harmonics(), phase);
      low += value_at(cycle.harmonics(), phase + apart);
    }
    // Independent rhythms added at their worst can pass below darkness; nothing is darker.
    if (low <= 0.0) return 1.0;
    const double next = (high - low) / (high + low);
    if (next <= contrast * (1.0 + 1e-7)) return std::max(next, round == 0 ? 0.0 : contrast);
    contrast = next;
  }
  return contrast;
}

struct Candidate {
  float score = 0.0F;
  int lag = 0;
};

/// Keeps the best few of those offered, best first.
class Shortlist {
 public:
  explicit Shortlist(std::size_t wanted) : wanted_(wanted) { best_.reserve(wanted + 1); }

  void offer(Candidate c) {
    if (best_.size() == wanted_ && c.score <= best_.back().score) return;
    const auto place = std::find_if(best_.begin(), best_.end(),
                                    [&](const Candidate& b) { return c.score > b.score; });
    best_.insert(place, c);
    if (best_.size() > wanted_) best_.pop_back();
  }

  const std::vector<Candidate>& best() const { return best_; }

 private:
  std::size_t wanted_;
  std::vector<Candidate> best_;
};

/// The most promising lags: the best of all, and the best of those better than their neighbours,
/// which for slow rhythms are the tops of different hills.
std::vector<Candidate> promising(std::span<const Cycle> cycles, std::span<const int> lags,
                                 double unit_s, std::size_t wanted) {
  const std::size_t count = lags.size();
  std::vector<float> score(2 * count, 0.0F);
  for (const Cycle& cycle : cycles) {
    const double cycles_per_unit = cycle.hz() * unit_s;
    for (std::size_t i = 0; i < count; ++i) {
      const double turns = cycles_per_unit * lags[i];
      const double apart = turns - static_cast<double>(static_cast<std::int64_t>(turns));
      score[i] += cycle.best(apart);
      score[count + i] += cycle.best(1.0 - apart);
    }
  }
  Shortlist all(wanted), tops(wanted);
  for (std::size_t direction = 0; direction < 2; ++direction) {
    const float* const s = score.data() + direction * count;
    for (std::size_t i = 0; i < count; ++i) {
      const Candidate c{s[i], direction == 0 ? lags[i] : -lags[i]};
      all.offer(c);
      if ((i == 0 || s[i - 1] <= s[i]) && (i + 1 == count || s[i + 1] <= s[i])) tops.offer(c);
    }
  }
  std::vector<Candidate> chosen = all.best();
  for (const Candidate& c : tops.best()) {
    if (std::none_of(chosen.begin(), chosen.end(),
                     [&](const Candidate& other) { return other.lag == c.lag; })) {
      chosen.push_back(c);
    }
  }
  return chosen;
}

}  // namespace

double greatest_contrast(std::span<const Rhythm> rhythms, std::span<const int> lags, double unit_s,
                         Effort effort) {
  double largest = 0.0;
  for (const Rhythm& r : rhythms) {
    for (const Harmonic& h : r.harmonics) largest = std::max(largest, std::abs(h.amplitude));
  }
  if (largest <= 0.0 || lags.empty() || !(unit_s > 0.0)) return 0.0;
  if (rhythms.size() == 1 && rhythms[0].harmonics.size() == 1) {
    return cosine_contrast(largest, rhythms[0].harmonics[0].order * rhythms[0].hz, lags, unit_s);
  }

  std::vector<Cycle> cycles;
  cycles.reserve(rhythms.size());
  for (const Rhythm& r : rhythms) {
    if (!r.harmonics.empty()) cycles.emplace_back(r, 0.01 * largest, effort);
    if (!cycles.empty() && cycles.back().empty()) cycles.pop_back();
  }
  const bool full = effort == Effort::full;
  double contrast = 0.0;
  int lag = 0;
  for (int round = 0; round < (full ? 5 : 2); ++round) {
    for (Cycle& cycle : cycles) cycle.weigh(Weights(contrast));
    double reached = contrast;
    for (const Candidate& c : promising(cycles, lags, unit_s, full ? 4 : 1)) {
      const double here = contrast_at(cycles, c.lag * unit_s, contrast, full ? 8 : 2);
      if (here > reached) {
        reached = here;
        lag = c.lag;
      }
    }
    // The method closes in ever faster: after so small a step the next would be far smaller.
    const bool settled = reached <= contrast * (1.0 + 1e-5);
    contrast = reached;
    if (settled) break;
  }
  if (full && lag != 0) {
    const int longest = *std::max_element(lags.begin(), lags.end());
    for (const int direction : {-1, 1}) {
      for (int next = lag + direction; next != 0 && std::abs(next) <= longest; next += direction) {
        const double here = contrast_at(cycles, next * unit_s, contrast, 8);
        if (here <= contrast * (1.0 + 1e-9)) break;
        contrast = here;
      }
    }
  }
  return std::min(contrast, 1.0);
}

std::vector<int> lags_up_to(int highest, int limit) {
  std::vector<int> lags;
  if (highest <= 0) return lags;
  if (highest <= limit) {
    lags.resize(static_cast<std::size_t>(highest));
    for (int i = 0; i < highest; ++i) lags[static_cast<std::size_t>(i)] = i + 1;
    return lags;
  }
  // Every short lag, then ever fewer; scattered by the golden ratio so that no rhythm is in step
  // with the choice.
  const int near = limit / 2;
  for (int i = 1; i <= near; ++i) lags.push_back(i);
  const int far = limit - near;
  const double stride = static_cast<double>(highest - near) / far;
  for (int i = 0; i < far - 1; ++i) {
    const double scatter = arithmetic::begun_turn(i * std::numbers::phi);
    lags.push_back(near + 1 + static_cast<int>((i + scatter) * stride));
  }
  lags.push_back(highest);
  lags.erase(std::unique(lags.begin(), lags.end()), lags.end());
  return lags;
}

}  // namespace lampbeat::reasoning
