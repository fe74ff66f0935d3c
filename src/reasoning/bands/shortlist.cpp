#include "reasoning/bands/shortlist.hpp"

#include <algorithm>
#include <cstdint>
#include <limits>

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

  /// What scores no more than this is not taken.
  float floor() const {
    return best_.size() == wanted_ ? best_.back().score : std::numeric_limits<float>::lowest();
  }
  const std::vector<Candidate>& best() const { return best_; }

 private:
  std::size_t wanted_;
  std::vector<Candidate> best_;
};

/// Where `count` lags of one cycle read its table, both ways. `Whole` holds their whole turns.
template <typename Whole>
void place_lags(const Cycle& cycle, const int* lags, std::size_t count, double cycles_per_unit,
                std::int32_t* shift, float* part) {
  for (std::size_t i = 0; i < count; ++i) {
    const double turns = cycles_per_unit * lags[i];
    const double apart = turns - static_cast<double>(static_cast<Whole>(turns));
    const double ahead = cycle.place(apart);
    const double behind = cycle.place(1.0 - apart);
    const auto shift_ahead = static_cast<std::int32_t>(ahead);
    const auto shift_behind = static_cast<std::int32_t>(behind);
    shift[i] = shift_ahead;
    shift[count + i] = shift_behind;
    part[i] = static_cast<float>(ahead - shift_ahead);
    part[count + i] = static_cast<float>(behind - shift_behind);
  }
}

}  // namespace

LagTable::LagTable(std::span<const Cycle> cycles, std::span<const int> lags, double unit_s)
    : lags_(lags),
      shift_(2 * cycles.size() * lags.size()),
      part_(shift_.size()),
      score_(2 * lags.size()) {
  const double longest = lags.empty() ? 0.0 : *std::max_element(lags.begin(), lags.end());
  std::size_t at = 0;
  for (const Cycle& cycle : cycles) {
    const double cycles_per_unit = cycle.hz() * unit_s;
    // Narrow whole numbers are converted several at a time.
    const bool narrow = cycles_per_unit * longest < std::numeric_limits<std::int32_t>::max();
    const auto place = narrow ? place_lags<std::int32_t> : place_lags<std::int64_t>;
    place(cycle, lags.data(), lags.size(), cycles_per_unit, shift_.data() + at, part_.data() + at);
    at += score_.size();
  }
}

std::vector<int> LagTable::promising(std::span<const Cycle> cycles, std::size_t wanted) {
  const std::size_t count = lags_.size();
  std::fill(score_.begin(), score_.end(), 0.0F);
  std::size_t at = 0;
  for (const Cycle& cycle : cycles) {
    for (std::size_t i = 0; i < score_.size(); ++i, ++at) {
      score_[i] += cycle.best(shift_[at], part_[at]);
    }
  }
  Shortlist all(wanted), tops(wanted);
  for (std::size_t direction = 0; direction < 2; ++direction) {
    const float* const s = score_.data() + direction * count;
    for (std::size_t i = 0; i < count; ++i) {
      if (s[i] <= tops.floor()) continue;  // and so none of the best of all either
      const Candidate c{s[i], direction == 0 ? lags_[i] : -lags_[i]};
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
