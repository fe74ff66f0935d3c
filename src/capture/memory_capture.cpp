#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "capture/clock/row_clock.hpp"
#include "lampbeat/capture.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat {
namespace {

class MemorySource final : public CaptureSource {
 public:
  MemorySource(std::string name, std::vector<double> value, double rate_hz,
               std::vector<double> time_s)
      : value_(std::move(value)), time_s_(std::move(time_s)) {
    format_.name = std::move(name);
    format_.kind = "samples in memory";
    format_.evenly_sampled = time_s_.empty();
    if (time_s_.empty()) {
      if (!(rate_hz > 0.0 && std::isfinite(rate_hz))) {
        throw UsageError(fmt::format(
            "evenly spaced samples need a rate greater than 0 per second, not {:g}", rate_hz));
      }
      format_.rate_hz = rate_hz;
    } else if (time_s_.size() != value_.size()) {
      throw UsageError(fmt::format("{} times were given for {} samples; each sample needs one",
                                   time_s_.size(), value_.size()));
    }
    for (std::size_t i = 0; i < value_.size(); ++i) {
      if (!std::isfinite(value_[i]) || (!time_s_.empty() && !std::isfinite(time_s_[i]))) {
        throw InputError(
            fmt::format("{}: sample {} is not a finite number; leave it out", format_.name, i + 1));
      }
      if (i > 0 && !time_s_.empty() && time_s_[i] < time_s_[i - 1]) {
        throw InputError(fmt::format("{}: time goes back at sample {}, from {:g} s to {:g} s",
                                     format_.name, i + 1, time_s_[i - 1], time_s_[i]));
      }
    }
    if (!time_s_.empty()) {
      const double first_s = time_s_.front();
      for (double& t : time_s_) t -= first_s;
      rebuild_coarse_times();
    }
  }

  const CaptureFormat& format() const override { return format_; }
  const Findings& findings() const override { return findings_; }
  SampleClock clock() const override { return clock_.clock(); }

  SampleBlock next() override {
    constexpr std::size_t block = 8192;
    const std::size_t count = std::min(block, value_.size() - delivered_);
    SampleBlock samples{std::span<const double>(value_).subspan(delivered_, count), {}};
    if (!time_s_.empty())
      samples.time_s = std::span<const double>(time_s_).subspan(delivered_, count);
    samples.time_bound_s = clock_.clock().time_bound_s;
    delivered_ += count;
    return samples;
  }

 private:
  void rebuild_coarse_times() {
    for (std::size_t i = 0; i < time_s_.size(); ++i) clock_.push({time_s_[i], 0.0, i + 1});
    clock_.finish();
    time_s_.assign(clock_.settled().begin(), clock_.settled().end());
    findings_ = clock_.findings();
  }

  capture::clock::RowClock clock_;
  std::vector<double> value_;
  std::vector<double> time_s_;
  CaptureFormat format_;
  Findings findings_;
  std::size_t delivered_ = 0;
};

}  // namespace

std::unique_ptr<CaptureSource> capture_from_samples(std::string name, std::vector<double> value,
                                                    double rate_hz, std::vector<double> time_s) {
  return std::make_unique<MemorySource>(std::move(name), std::move(value), rate_hz,
                                        std::move(time_s));
}

}  // namespace lampbeat
