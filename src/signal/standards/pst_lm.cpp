#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lampbeat/error.hpp"
#include "lampbeat/standards.hpp"
#include "signal/standards/flickermeter.hpp"

namespace lampbeat {
namespace {

/// Far above what the 35 Hz low-pass lets through, squared; the first stage leaves the second a
/// factor of eight, which its four boxes take.
constexpr double internal_rate_hz = 2000.0;
constexpr double first_stage_rate_hz = 16000.0;
/// Ten times the low-pass, so that what folds onto flicker has been filtered.
constexpr double least_rate_hz = 400.0;
constexpr double least_record_s = 180.0;  ///< IEC TR 61547-1: a test of three minutes
constexpr double memory_s = 0.3;  ///< of the sliding mean after the squarer (IEC 61000-4-15)

/// Scale from squared weighted relative light to perceived flicker. Derived, not read: such that
/// through the standard's 230 V weighting a sinusoidal voltage change of 0.250 % peak to peak at
/// 8.8 Hz peaks at 1.
constexpr double scale = 1.23835e6;

std::size_t first_factor(double rate_hz) {
  return std::max<std::size_t>(1, static_cast<std::size_t>(rate_hz / first_stage_rate_hz));
}
std::size_t second_factor(double rate_hz) {
  const double rest = rate_hz / static_cast<double>(first_factor(rate_hz));
  return std::max<std::size_t>(1, static_cast<std::size_t>(rest / internal_rate_hz));
}
double decimated_rate_hz(double rate_hz) {
  return rate_hz / static_cast<double>(first_factor(rate_hz) * second_factor(rate_hz));
}

}  // namespace

/// The chain is linear up to the squarer and passes no constant part, so the division by the mean
/// illuminance waits until the end, when the mean is known.
struct PstMeter::State {
  double rate_hz;
  double decimated_hz;
  double settling_s;
  signal::standards::Decimator first, second;
  signal::standards::Weighting weighting;
  signal::standards::Filter memory;
  signal::standards::Classifier classifier;
  std::vector<double> once, twice;
  std::uint64_t fed = 0;
  std::uint64_t decimated = 0;
  double sum = 0.0;
  double reference = 0.0;  ///< the first value: the filters start as if it had always been there

  State(double rate, double settling)
      : rate_hz(rate),
        decimated_hz(decimated_rate_hz(rate)),
        settling_s(settling),
        first(first_factor(rate), 2),
        second(second_factor(rate), 4),
        weighting(decimated_hz),
        memory({1.0}, {1.0, memory_s}, decimated_hz, 0.5) {}

  void take(double x) {
    if (decimated == 0) reference = x;
    ++decimated;
    sum += x;
    const double weighted = weighting(x - reference);
    const double level = memory(weighted * weighted);
    if (static_cast<double>(decimated) > settling_s * decimated_hz) classifier.add(level);
  }
};

PstMeter::PstMeter(double rate_hz, double settling_s) {
  if (!(rate_hz >= least_rate_hz && std::isfinite(rate_hz))) {
    throw UsageError(
        fmt::format("the light flickermeter needs at least {} samples per second, not {}",
                    least_rate_hz, rate_hz));
  }
  if (!(settling_s >= 0.0 && settling_s < least_record_s)) {
    throw UsageError(fmt::format("the light flickermeter settles in 0 to {} s, not {}",
                                 least_record_s, settling_s));
  }
  state_ = std::make_unique<State>(rate_hz, settling_s);
}
PstMeter::~PstMeter() = default;
PstMeter::PstMeter(PstMeter&&) noexcept = default;
PstMeter& PstMeter::operator=(PstMeter&&) noexcept = default;

void PstMeter::feed(std::span<const double> value) {
  State& s = *state_;
  s.fed += value.size();
  s.once.clear();
  s.twice.clear();
  s.first.feed(value, s.once);
  s.second.feed(s.once, s.twice);
  for (const double x : s.twice) s.take(x);
}

// The percentiles and their weights: IEC 61000-4-15, as reproduced in the manual of a mains
// power-quality instrument.
std::optional<double> PstMeter::pst() const {
  const State& s = *state_;
  if (static_cast<double>(s.fed) < least_record_s * s.rate_hz || s.decimated == 0) {
    return std::nullopt;
  }
  const double mean = s.sum / static_cast<double>(s.decimated);
  if (!(mean > 0.0) || !std::isfinite(mean) || s.classifier.count() == 0) return std::nullopt;
  const auto p = [&](double percent) { return s.classifier.exceeded(percent); };
  const double p1 = (p(0.7) + p(1.0) + p(1.5)) / 3.0;
  const double p3 = (p(2.2) + p(3.0) + p(4.0)) / 3.0;
  const double p10 = (p(6.0) + p(8.0) + p(10.0) + p(13.0) + p(17.0)) / 5.0;
  const double p50 = (p(30.0) + p(50.0) + p(80.0)) / 3.0;
  const double sum = 0.0314 * p(0.1) + 0.0525 * p1 + 0.0657 * p3 + 0.28 * p10 + 0.08 * p50;
  return std::sqrt(scale * sum) / mean;
}

Finding pst_scale_note() {
  return {"pst_scale_derived",
          "PstLM: the scale constant of the light flickermeter is derived here from the voltage "
          "flickermeter's 230 V reference, not read in IEC TR 61547-1; the report's own constant "
          "may make the figure up to 5.7 % lower. Do not quote it as a conformity test."};
}

}  // namespace lampbeat
