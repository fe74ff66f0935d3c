#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "capture/clock/time_unit.hpp"
#include "lampbeat/finding.hpp"

namespace lampbeat::capture::clock {

/// Watches the times of a table go by: turns them into seconds since the first, refuses those that
/// go back, and counts those that repeat or leave samples out. Bounded memory.
class TimeChecks {
 public:
  /// `rounding` is the last printed digit's worth in the column's own unit, 0 when unknown;
  /// `from_s` is where the wanted part begins.
  TimeChecks(std::string file, TimeUnit unit, double rounding, double from_s);

  /// The next time as written; `counted` is false before the wanted part.
  /// Returns seconds since the first time. Throws InputError when it goes back, except where a
  /// 32-bit counter began anew.
  double accept(double written, std::uint64_t line, bool counted);

  /// What was noticed; ends the watch. Where the times were `rebuilt`, repeats and gaps are told by
  /// who rebuilt them.
  Findings finish(bool rebuilt);

 private:
  struct Step {
    double length_s = 0.0;
    double from_s = 0.0;
    std::uint64_t line = 0;
  };

  bool began_anew(double written);
  [[noreturn]] void refuse_going_back(double written, std::uint64_t line) const;
  void judge(const Step& step);
  void learn_usual_step();

  std::string file_;
  TimeUnit unit_;
  double rounding_s_ = 0.0;
  double from_s_ = 0.0;
  bool any_ = false;
  double first_written_ = 0.0;
  double previous_written_ = 0.0;
  double previous_s_ = 0.0;
  double wrapped_by_ = 0.0;  ///< added to what is written since the counter began anew
  std::uint64_t wraps_ = 0;
  std::uint64_t wrap_line_ = 0;

  std::uint64_t repeats_ = 0;
  std::uint64_t first_repeat_line_ = 0;
  std::vector<Step> early_steps_;  ///< until the usual step is known
  double usual_step_s_ = 0.0;
  double gap_from_s_ = 0.0;  ///< steps longer than this left samples out; 0: not known yet
  std::uint64_t gaps_ = 0;
  double missing_ = 0.0;
  Step longest_gap_;
};

/// Rows that were lost: how many, in how many gaps, and where the longest is.
struct MissingRows {
  double rows = 0.0;
  std::uint64_t gaps = 0;
  double longest_s = 0.0;
  double longest_from_s = 0.0;
  std::uint64_t longest_line = 0;
  double usual_step_s = 0.0;
};
Finding missing_samples(const MissingRows& missing);

}  // namespace lampbeat::capture::clock
