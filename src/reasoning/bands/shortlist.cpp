#include "reasoning/bands/shortlist.hpp"

#include <algorithm>
#include <cstdint>

namespace lampbeat::reasoning::bands {
namespace {

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

}  // namespace

std::vector<int> promising_lags(std::span<const Cycle> cycles, std::span<const int> lags,
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
  std::vector<int> chosen;
  for (const Shortlist* list : {&all, &tops}) {
    for (const Candidate& c : list->best()) {
      if (std::find(chosen.begin(), chosen.end(), c.lag) == chosen.end()) chosen.push_back(c.lag);
    }
  }
  return chosen;
}

}  // namespace lampbeat::reasoning::bands
