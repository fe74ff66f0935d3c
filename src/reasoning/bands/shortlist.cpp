#include "reasoning/bands/shortlist.hpp"

#include <algorithm>
#include <cstdint>
#include <limits>
#include <utility>

namespace lampbeat::reasoning::bands {
namespace {

/// The score of a lag in one direction: its place among the scores.
struct Candidate {
  float score = 0.0F;
  std::size_t at = 0;
};

/// Keeps the best few of those offered, best first, of equals the first.
class Shortlist {
 public:
  explicit Shortlist(std::size_t wanted) : wanted_(wanted) { best_.reserve(wanted + 1); }

  void offer(Candidate c) {
    if (full() && c.score <= best_.back().score) return;
    const auto place = std::find_if(best_.begin(), best_.end(),
                                    [&](const Candidate& b) { return c.score > b.score; });
    best_.insert(place, c);
    if (best_.size() > wanted_) best_.pop_back();
  }

  bool full() const { return best_.size() == wanted_; }
  /// What scores no more than this is not taken.
  float floor() const {
    return full() ? best_.back().score : std::numeric_limits<float>::lowest();
  }
  const std::vector<Candidate>& best() const { return best_; }

 private:
  std::size_t wanted_;
  std::vector<Candidate> best_;
};

/// The best of those no worse than their neighbours in their own direction: `count` forwards and as
/// many backwards. Scores rise and fall slowly, so that few are.
Shortlist hilltops(std::span<const float> scores, std::size_t count, std::size_t wanted) {
  Shortlist tops(wanted);
  float floor = tops.floor();
  for (std::size_t direction = 0; direction < 2; ++direction) {
    const std::span<const float> s = scores.subspan(direction * count, count);
    for (std::size_t i = 0; i < count; ++i) {
      if (s[i] <= floor) continue;
      if (i > 0 && s[i - 1] > s[i]) continue;
      if (i + 1 < count && s[i + 1] > s[i]) continue;
      tops.offer({s[i], direction * count + i});
      floor = tops.floor();
    }
  }
  return tops;
}

/// As many as are wanted score no less than this: the tops, or where there are too few hills, those
/// around the highest.
float reached_by_the_best(std::span<const float> scores, std::size_t count, const Shortlist& tops,
                          std::size_t wanted) {
  if (tops.full() || tops.best().empty()) return tops.floor();
  const std::size_t top = tops.best().front().at;
  const std::size_t begin = top < count ? 0 : count;
  const std::size_t from = top - std::min(top - begin, wanted);
  const std::size_t to = std::min(begin + count, top + wanted + 1);
  Shortlist around(wanted);
  for (std::size_t at = from; at < to; ++at) around.offer({scores[at], at});
  return around.floor();
}

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

void LagTable::score(std::span<const Cycle> cycles) {
  std::fill(score_.begin(), score_.end(), 0.0F);
  std::size_t at = 0;
  for (const Cycle& cycle : cycles) {
    for (float& score : score_) {
      score += cycle.best(shift_[at], part_[at]);
      ++at;
    }
  }
}

std::vector<int> LagTable::promising(std::span<const Cycle> cycles, std::size_t wanted) {
  score(cycles);
  const std::size_t count = lags_.size();
  const Shortlist tops = hilltops(score_, count, wanted);
  const float least = reached_by_the_best(score_, count, tops, wanted);
  Shortlist all(wanted);
  for (std::size_t at = 0; at < score_.size(); ++at) {
    if (score_[at] >= least) all.offer({score_[at], at});
  }
  std::vector<int> chosen;
  for (const Shortlist* list : {&std::as_const(all), &tops}) {
    for (const Candidate& c : list->best()) {
      const int lag = c.at < count ? lags_[c.at] : -lags_[c.at - count];
      if (std::find(chosen.begin(), chosen.end(), lag) == chosen.end()) chosen.push_back(lag);
    }
  }
  return chosen;
}

}  // namespace lampbeat::reasoning::bands
