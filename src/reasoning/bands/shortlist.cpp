#include "reasoning/bands/shortlist.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <experimental/simd>
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
  float floor() const { return full() ? best_.back().score : std::numeric_limits<float>::lowest(); }
  const std::vector<Candidate>& best() const { return best_; }

 private:
  std::size_t wanted_;
  std::vector<Candidate> best_;
};

using Lanes = std::experimental::native_simd<float>;

/// Calls `look` with the places, in order, of all scores above `floor`, which it may raise.
template <typename Look>
void for_each_above(std::span<const float> scores, float& floor, Look look) {
  std::size_t from = 0;
  while (from < scores.size()) {
    const std::size_t to = std::min(from + Lanes::size(), scores.size());
    if (to - from == Lanes::size()) {
      const Lanes here(&scores[from], std::experimental::element_aligned);
      if (std::experimental::none_of(here > floor)) {
        from = to;
        continue;
      }
    }
    for (; from < to; ++from) {
      if (scores[from] > floor) look(from);
    }
  }
}

float highest_of(std::span<const float> scores) {
  Lanes highest = std::numeric_limits<float>::lowest();
  std::size_t i = 0;
  for (; i + Lanes::size() <= scores.size(); i += Lanes::size()) {
    highest =
        std::experimental::max(highest, Lanes(&scores[i], std::experimental::element_aligned));
  }
  float most = std::experimental::hmax(highest);
  for (; i < scores.size(); ++i) most = std::max(most, scores[i]);
  return most;
}

/// The best of those no worse than their neighbours in their own direction (`count` forwards and as
/// many backwards), as far as they are above `floor`.
Shortlist hilltops_above(float floor, std::span<const float> scores, std::size_t count,
                         std::size_t wanted) {
  Shortlist tops(wanted);
  for (std::size_t direction = 0; direction < 2; ++direction) {
    const std::span<const float> s = scores.subspan(direction * count, count);
    for_each_above(s, floor, [&](std::size_t i) {
      if (i > 0 && s[i - 1] > s[i]) return;
      if (i + 1 < count && s[i + 1] > s[i]) return;
      tops.offer({s[i], direction * count + i});
      floor = std::max(floor, tops.floor());
    });
  }
  return tops;
}

/// All of them; mostly there are enough just below the highest of all.
Shortlist hilltops(std::span<const float> scores, std::size_t count, std::size_t wanted) {
  constexpr float close = 0.98F;
  const float highest = highest_of(scores);
  if (highest > 0.0F) {
    Shortlist tops = hilltops_above(close * highest, scores, count, wanted);
    if (tops.full()) return tops;
  }
  return hilltops_above(std::numeric_limits<float>::lowest(), scores, count, wanted);
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

LagTable::LagTable(std::span<const Cycle> cycles, std::span<const int> lags, double unit_s,
                   std::pmr::memory_resource* memory)
    : lags_(lags),
      shift_(2 * cycles.size() * lags.size(), memory),
      part_(shift_.size(), memory),
      score_(2 * lags.size(), memory) {
  const double longest = lags.empty() ? 0.0 : lags.back();
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
  std::size_t at = 0;
  for (float& score : score_) {
    score = cycles[0].best(shift_[at], part_[at]);
    ++at;
  }
  for (const Cycle& cycle : cycles.subspan(1)) {
    for (float& score : score_) {
      score += cycle.best(shift_[at], part_[at]);
      ++at;
    }
  }
}

std::vector<int> LagTable::promising(std::span<const Cycle> cycles, std::size_t wanted) {
  score(cycles);
  const std::size_t count = lags_.size();
  const auto lag_at = [&](std::size_t at) { return at < count ? lags_[at] : -lags_[at - count]; };
  if (wanted == 1) {  // the best of all is better than its neighbours too
    const auto best = std::find(score_.begin(), score_.end(), highest_of(score_));
    return {lag_at(static_cast<std::size_t>(best - score_.begin()))};
  }
  const Shortlist tops = hilltops(score_, count, wanted);
  const float least = reached_by_the_best(score_, count, tops, wanted);
  Shortlist all(wanted);
  float floor = std::nextafter(least, std::numeric_limits<float>::lowest());
  for_each_above(score_, floor, [&](std::size_t at) {
    all.offer({score_[at], at});
    floor = std::max(floor, all.floor());
  });
  std::vector<int> chosen;
  for (const Shortlist* list : {&std::as_const(all), &tops}) {
    for (const Candidate& c : list->best()) {
      const int lag = lag_at(c.at);
      if (std::find(chosen.begin(), chosen.end(), lag) == chosen.end()) chosen.push_back(lag);
    }
  }
  return chosen;
}

}  // namespace lampbeat::reasoning::bands
