#include "capture/clock/time_checks.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "arithmetic/median.hpp"
#include "lampbeat/error.hpp"
#include "words/numbers.hpp"

namespace lampbeat::capture::clock {
namespace {

constexpr std::size_t steps_to_learn_from = 4096;
constexpr std::size_t fewest_steps_to_learn_from = 8;

/// Lengths of ordinary steps scatter: by the logger's jitter, and by the rounding of the times it
/// prints. What goes half a step beyond these is a gap.
constexpr double beyond_usual = 1.5;
constexpr double scatters_allowed = 5.0;  ///< of the median distance from the usual step
constexpr double long_step_share = 0.95;

/// 2^32: a logger's counter of 32 bits starts at 0 again.
constexpr double counts_of_32_bits = 4294967296.0;
constexpr double counted_in_microseconds = 1e6;
/// The counter was nearly full before, and the step across is no longer than these.
constexpr double nearly_full = 0.9;
constexpr double longest_step_s = 1.0;
constexpr double longest_step_usual = 1000.0;

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
  const double usual_s = usual_step_s_ > 0.0    ? usual_step_s_
                         : early_steps_.empty() ? 0.0
                                                : early_steps_.back().length_s;
  const double longest_s = std::max(longest_step_s, longest_step_usual * usual_s);
  for (const double modulus :
       {counts_of_32_bits, counts_of_32_bits * unit_.per_second / counted_in_microseconds}) {
    const double step_s = (written + modulus - previous_written_) / unit_.per_second;
    const bool was_nearly_full =
        previous_written_ > nearly_full * modulus && previous_written_ < modulus;
    if (was_nearly_full && written >= 0.0 && step_s > 0.0 && step_s <= longest_s) {
      wrapped_by_ += modulus;
      return true;
    }
  }
  return false;
}

void TimeChecks::refuse_going_back(double written, std::uint64_t line) const {
  const double kept_s = previous_s_ - from_s_;
  throw InputError(fmt::format(
      "{}, line {}: time goes back from {} to {}; the logger restarted there, or one row is "
      "corrupt.\n{}elete one side of the break, or leave the row out (--skip-bad-rows)",
      file_, line, seconds_text(previous_written_ / unit_.per_second),
      seconds_text(written / unit_.per_second),
      kept_s > 0.0 ? fmt::format("Keep what comes before (--for {:.9g}), d", kept_s) : "D"));
}

void TimeChecks::learn_usual_step() {
  std::vector<double> lengths;
  lengths.reserve(early_steps_.size());
  for (const Step& step : early_steps_) lengths.push_back(step.length_s);
  usual_step_s_ = arithmetic::quantile(lengths, 0.5);
  const double long_step_s = arithmetic::quantile(lengths, long_step_share);
  const bool rounding_explains = long_step_s - usual_step_s_ <= beyond_usual * rounding_s_;
  for (double& length : lengths) length = std::abs(length - usual_step_s_);
  const double scatter_s = arithmetic::quantile(lengths, 0.5);
  gap_from_s_ =
      std::max({beyond_usual * usual_step_s_, usual_step_s_ + scatters_allowed * scatter_s,
                rounding_explains ? beyond_usual * long_step_s : 0.0});
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
          fmt::format("About {:.0f} {} missing in {} {}; the longest lasts {} s, from {} s "
                      "on (line {}), where {} s is usual. Rows were lost on the way to the "
                      "file; nothing was filled in.",
                      missing.rows, missing.rows < 1.5 ? "sample is" : "samples are", missing.gaps,
                      missing.gaps == 1 ? "gap" : "gaps",
                      words::in_digits_at_most(missing.longest_s, 4),
                      words::in_digits_at_most(missing.longest_from_s, 6), missing.longest_line,
                      words::in_digits_at_most(missing.usual_step_s, 4))};
}

Findings TimeChecks::finish(bool rebuilt) {
  if (gap_from_s_ == 0.0 && early_steps_.size() >= fewest_steps_to_learn_from) learn_usual_step();
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

}  // namespace lampbeat::capture::clock
