#pragma once

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <initializer_list>
#include <random>
#include <string>
#include <vector>

// Tables of a limit beside the figures of what it is to separate.

namespace lampbeat::test {

/// The value that so much of them lie at or below; 0 of none.
inline double quantile(std::vector<double> values, double share) {
  if (values.empty()) return 0.0;
  std::sort(values.begin(), values.end());
  const double last = static_cast<double>(values.size() - 1);
  return values[static_cast<std::size_t>(std::lround(share * last))];
}

/// A figure of everything drawn of one kind.
class Population {
 public:
  explicit Population(std::string name) : name_(std::move(name)) {}
  void add(double value) { values_.push_back(value); }

  std::size_t size() const { return values_.size(); }
  const std::string& name() const { return name_; }
  double quantile(double share) const { return test::quantile(values_, share); }
  double share_above(double limit) const {
    const auto above =
        std::count_if(values_.begin(), values_.end(), [&](double v) { return v > limit; });
    return static_cast<double>(above) / static_cast<double>(values_.size());
  }
  double rms() const {
    double sum = 0.0;
    for (const double v : values_) sum += v * v;
    return std::sqrt(sum / static_cast<double>(values_.size()));
  }

 private:
  std::string name_;
  std::vector<double> values_;
};

inline void print_heading(const char* title) {
  fmt::print("\n{}\n{:<44} {:>6} {:>9} {:>9} {:>9} {:>9} {:>9} {:>9} {:>9}  {:>8}\n", title, "",
             "n", "least", "1 %", "5 %", "half", "95 %", "99 %", "most", "above");
}

/// The limit, then a line for each population, with the share of it that is above the limit.
inline void print_limit(const char* what, double limit,
                        std::initializer_list<const Population*> populations) {
  fmt::print("{} = {:g}\n", what, limit);
  for (const Population* p : populations) {
    fmt::print("  {:<42} {:>6}", p->name(), p->size());
    if (p->size() > 0) {
      for (const double share : {0.0, 0.01, 0.05, 0.5, 0.95, 0.99, 1.0}) {
        fmt::print(" {:>9.3g}", p->quantile(share));
      }
      fmt::print("  {:>6.1f} %", 100.0 * p->share_above(limit));
    }
    fmt::print("\n");
  }
  std::fflush(stdout);
}

/// How many to draw, and from what: the second argument, or a seed of its own for every run.
struct Asked {
  int draws = 0;
  unsigned seed = 0;
};
inline Asked asked_for(int count, char** arguments, int usual) {
  const Asked asked{count > 1 ? std::atoi(arguments[1]) : usual,
                    count > 2 ? static_cast<unsigned>(std::strtoul(arguments[2], nullptr, 10))
                              : std::random_device{}()};
  fmt::print("{} draws of seed {}; again: {} {} {}\n", asked.draws, asked.seed, arguments[0],
             asked.draws, asked.seed);
  return asked;
}

}  // namespace lampbeat::test
