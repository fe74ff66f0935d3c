#include "capture/clock/time_checks.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "lampbeat/error.hpp"

namespace lampbeat {
namespace {

constexpr std::size_t steps_to_learn_from = 4096;

/// Seconds with as many digits as tell neighbouring samples apart.
std::string seconds_text(double t_s) { return fmt::format("{:.9g} s", t_s); }

}  // namespace

TimeChecks::TimeChecks(std::string file, TimeUnit unit, double rounding, double from_s)
    : file_(std::move(file)),
      unit_(unit),
      rounding_s_(rounding / unit.per_second),
      from_s_(from_s) {
  early_steps_.reserve(steps_to_learn_from);
}

double TimeChecks::accept(double written, std::uint64_t line, bool counted) {
  if (!any_) {
    any_ = true;
    first_written_ = previous_written_ = written;
    return 0.0;
  }
  if (written < previous_written_) {
    if (!began_anew(written)) refuse_going_back(written, line);
    if (wraps_++ == 0) wrap_line_ = line;
  }
  const double now_s = (written + wrapped_by_ - first_written_) / unit_.per_second;
  if (counted) {
    const Step step{now_s - previous_s_, previous_s_, line};
    if (written == previous_written_) {
      if (repeats_++ == 0) first_repeat_line_ = line;
    } else if (gap_from_s_ > 0.0) {
      if (step.length_s > gap_from_s_) judge(step);
    } else {
      early_steps_.push_back(step);
      if (early_steps_.size() == steps_to_learn_from) learn_usual_step();
    }
  }
  previous_written_ = written;
  previous_s_ = now_s;
  return now_s;
}

/// A counter of 32 bits, written as it is or as microseconds turned into the column's unit, starts
/// at 0 again after 2^32: then the step across is an ordinary one.
bool TimeChecks::began_anew(double written) {
  constexpr double counts = 4294967296.0;
  for (const double modulus : {counts, counts * unit_.per_second / 1e6}) {
    const double step_s = (written + modulus - previous_written_) / unit_.per_second;
    const double usual_s = usual_step_s_ > 0.0    ? usual_step_s_
                           : early_steps_.empty() ? 0.0
                                                  : early_steps_.back().length_s;
    if (previous_written_ < modulus && written >= 0.0 && step_s > 0.0 &&
        step_s <= std::max(1.0, 1000.0 * usual_s) && previous_written_ > 0.9 * modulus) {
      wrapped_by_ += modulus;
      return true;
    }
  }
  return false;
}

void TimeChecks::refuse_going_back(double written, std::uint64_t line) const {
  const double kept_s = previous_s_ - from_s_;
  throw InputError(fmt::format(
      "{}, line {}: time goes back from {} to {}; the logger probably restarted there.\n{}elete "
      "one "
      "side of the break",
      file_, line, seconds_text(previous_written_ / unit_.per_second),
      seconds_text(written / unit_.per_second),
      kept_s > 0.0 ? fmt::format("Keep what comes before with --for {:.9g}, or d", kept_s) : "D"));
}

void TimeChecks::learn_usual_step() {
  // Lengths of ordinary steps scatter: by the logger's jitter, and by the rounding of the times it
  // prints. Half a step beyond what these explain is a gap.
  std::vector<double> lengths;
  lengths.reserve(early_steps_.size());
  for (const Step& step : early_steps_) lengths.push_back(step.length_s);
  const auto quantile = [&](double share) {
    const auto at = lengths.begin() +
                    static_cast<std::ptrdiff_t>(share * static_cast<double>(lengths.size() - 1));
    std::nth_element(lengths.begin(), at, lengths.end());
    return *at;
  };
  usual_step_s_ = quantile(0.5);
  const double long_step_s = quantile(0.95);
  const bool rounding_explains = long_step_s - usual_step_s_ <= 1.5 * rounding_s_;
  for (double& length : lengths) length = std::abs(length - usual_step_s_);
  const double scatter_s = quantile(0.5);
  gap_from_s_ = std::max({1.5 * usual_step_s_, usual_step_s_ + 5.0 * scatter_s,
                          rounding_explains ? 1.5 * long_step_s : 0.0});
  for (const Step& step : early_steps_) judge(step);
  early_steps_.clear();
  early_steps_.shrink_to_fit();
}

void TimeChecks::judge(const Step& step) {
  if (step.length_s <= gap_from_s_) return;
  ++gaps_;
  missing_ += std::max(1.0, std::round(step.length_s / usual_step_s_) - 1.0);
  if (step.length_s > longest_gap_.length_s) longest_gap_ = step;
}

Finding missing_samples(const MissingRows& missing) {
  return {"missing_samples",
          fmt::format("About {:.0f} {} missing in {} {}; the longest lasts {:.4g} s, from {:.6g} s "
                      "on (line {}), where {:.4g} s is usual. Rows were lost on the way to the "
                      "file; nothing was filled in.",
                      missing.rows, missing.rows < 1.5 ? "sample is" : "samples are", missing.gaps,
                      missing.gaps == 1 ? "gap" : "gaps", missing.longest_s, missing.longest_from_s,
                      missing.longest_line, missing.usual_step_s)};
}

Findings TimeChecks::finish(bool rebuilt) {
  constexpr std::size_t fewest_steps = 8;
  if (gap_from_s_ == 0.0 && early_steps_.size() >= fewest_steps) learn_usual_step();
  Findings findings;
  if (wraps_ > 0) {
    findings.push_back(
        {"counter_wrapped",
         fmt::format("The logger's 32-bit time counter began anew at line {}{}; the times after it "
                     "were carried on.",
                     wrap_line_,
                     wraps_ > 1 ? fmt::format(" and {} times later", wraps_ - 1) : "")});
  }
  if (rebuilt) return findings;
  if (repeats_ > 0) {
    findings.push_back(
        {"repeated_times",
         fmt::format("{} {} the time of the row before (first at line {}): the logger's clock is "
                     "coarser than its samples, or rows were written twice. They were kept.",
                     repeats_, repeats_ == 1 ? "row repeats" : "rows repeat", first_repeat_line_)});
  }
  if (gaps_ > 0) {
    findings.push_back(missing_samples({missing_, gaps_, longest_gap_.length_s, longest_gap_.from_s,
                                        longest_gap_.line, usual_step_s_}));
  }
  return findings;
}

}  // namespace lampbeat
