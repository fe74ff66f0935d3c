#include "reasoning/comparison/rhythms.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "reasoning/comparison/steadiness.hpp"

namespace lampbeat::reasoning::comparison {

namespace {

/// The rhythm a figure speaks of.
std::optional<OccasionRhythm> rhythm_at(const Occasion& occasion, double hz) {
  const auto nearest = std::min_element(
      occasion.rhythms.begin(), occasion.rhythms.end(),
      [&](const auto& a, const auto& b) { return std::abs(a.hz - hz) < std::abs(b.hz - hz); });
  constexpr double one_and_the_same = 1e-3;
  if (nearest == occasion.rhythms.end()) return std::nullopt;
  if (std::abs(nearest->hz - hz) > one_and_the_same * hz) return std::nullopt;
  return *nearest;
}

bool within(double a, double a_sd, double b, double b_sd) {
  return std::abs(a - b) <= changed_beyond * std::hypot(a_sd, b_sd);
}

bool same_rhythm(const OccasionRhythm& a, const OccasionRhythm& b) {
  if (a.mains_order && b.mains_order) return *a.mains_order == *b.mains_order;
  return within(a.hz, a.hz_sd, b.hz, b.hz_sd);
}

bool as_deep(const OccasionRhythm& a, const OccasionRhythm& b) {
  return a.percent && b.percent && a.percent_sd && b.percent_sd &&
         within(*a.percent, *a.percent_sd, *b.percent, *b.percent_sd);
}

bool has_as_deep(const Occasion& occasion, const OccasionRhythm& wanted) {
  return std::any_of(occasion.rhythms.begin(), occasion.rhythms.end(), [&](const auto& rhythm) {
    return same_rhythm(rhythm, wanted) && as_deep(rhythm, wanted);
  });
}

/// The step of the mains orders seen: 2 where both half cycles are alike, as they are in most
/// lamps. 0 where none is locked.
int order_step(const Occasion& occasion) {
  int step = 0;
  for (const OccasionRhythm& r : occasion.rhythms) {
    if (r.mains_order) step = std::gcd(step, *r.mains_order);
  }
  return step;
}

bool in_series_of(const OccasionRhythm& rhythm, const Occasion& occasion) {
  if (rhythm.mains_order) {
    const int step = order_step(occasion);
    return step > 0 && *rhythm.mains_order % step == 0;
  }
  // A weak harmonic may have been read by itself, a little beside its place. High orders lie so
  // close that every frequency is one: there nothing counts as new.
  constexpr double beside = 0.002;
  return std::any_of(occasion.rhythms.begin(), occasion.rhythms.end(), [&](const auto& r) {
    const double multiple = std::max(1.0, std::round(rhythm.hz / r.hz));
    const double spread = std::max(beside, 0.03 * occasion.clock_spread_percent.value_or(0.0));
    return std::abs(rhythm.hz - multiple * r.hz) <= spread * rhythm.hz;
  });
}

const OccasionRhythm* own_rhythm(const Occasion& occasion) {
  const auto own =
      std::find_if(occasion.rhythms.begin(), occasion.rhythms.end(),
                   [](const OccasionRhythm& r) { return !r.mains_order && !r.of_others; });
  return own == occasion.rhythms.end() ? nullptr : &*own;
}

/// How many times as fast the light's own clock is now, where it moved and left its place: then its
/// rhythms are the old ones, elsewhere.
double clock_moved(const Occasion& before, const Occasion& after) {
  const OccasionRhythm* was = own_rhythm(before);
  const OccasionRhythm* is = own_rhythm(after);
  if (!was || !is || in_series_of(*was, after) || in_series_of(*is, before)) return 1.0;
  return is->hz / was->hz;
}

/// Beyond what irregular light of either capture may have been, or have hidden.
bool is_no_irregular_light(const OccasionRhythm& rhythm, const Occasion& before,
                           const Occasion& after) {
  const double irregular = std::hypot(irregular_rms(before), irregular_rms(after));
  return rhythm.percent.value_or(0.0) > 2.0 * 100.0 * std::sqrt(2.0) * irregular;
}

/// Deep enough beside the strongest, and far enough from all that was there before to have been
/// told apart from it in a second.
bool stands_out(const OccasionRhythm& rhythm, const Occasion& among, const Occasion& before) {
  constexpr double of_the_strongest = 0.05;
  constexpr double apart_hz = 5.0;
  const double strongest = among.rhythms.front().percent.value_or(0.0);
  return rhythm.percent.value_or(0.0) >= of_the_strongest * strongest &&
         std::none_of(before.rhythms.begin(), before.rhythms.end(),
                      [&](const auto& r) { return std::abs(r.hz - rhythm.hz) < apart_hz; });
}

/// Slower light is told by whole captures, and a longer one tells more; its depth is in the
/// figures.
constexpr double slowest_told_hz = 20.0;
/// Below it rhythms come and go with the noise.
constexpr double least_new_percent = 0.3;
constexpr double surely = 10.0;

/// Deep enough, and surely, to be asked about.
bool is_sure(const OccasionRhythm& rhythm, const Occasion& among) {
  if (rhythm.of_others || rhythm.hz < slowest_told_hz ||
      rhythm.percent.value_or(0.0) < least_new_percent) {
    return false;
  }
  // A saved light says of all of them together what each of a measurement says of itself.
  return rhythm.percent_sd ? *rhythm.percent >= surely * *rhythm.percent_sd
                           : *rhythm.percent >= among.seen_above_percent.value_or(0.0);
}

/// Empty where nobody wrote down how well was looked.
std::optional<bool> would_have_been_found(const OccasionRhythm& rhythm, const Occasion& occasion) {
  constexpr double well_inside = 0.9;
  if (!occasion.seen_to_hz || !occasion.seen_above_percent) return std::nullopt;
  if (rhythm.hz > *occasion.seen_to_hz) return std::nullopt;
  return rhythm.hz <= well_inside * *occasion.seen_to_hz &&
         *rhythm.percent >= *occasion.seen_above_percent;
}

/// A harmonic of a light whose series was too short to have had one there unseen. Where light is
/// switched, harmonics are many, and which of them are found differs from capture to capture.
bool grew_from_nothing(const OccasionRhythm& rhythm, const Occasion& before,
                       const Occasion& after) {
  constexpr std::size_t short_series = 3;
  constexpr double of_the_strongest = 0.1;
  constexpr double above_seen = 4.0;
  return before.rhythms.size() <= short_series &&
         *rhythm.percent >= of_the_strongest * after.rhythms.front().percent.value_or(0.0) &&
         *rhythm.percent >= above_seen * before.seen_above_percent.value_or(HUGE_VAL);
}

/// The first of those that stand out which was found before as `found` says.
std::optional<OccasionRhythm> first_new(const Occasion& before, const Occasion& after,
                                        std::optional<bool> found) {
  if (clock_strays(before) || clock_strays(after)) return std::nullopt;
  const double times = clock_moved(before, after);
  for (const OccasionRhythm& rhythm : after.rhythms) {
    OccasionRhythm as_before = rhythm;
    if (!rhythm.mains_order) as_before.hz /= times;
    if (is_sure(rhythm, after) && would_have_been_found(rhythm, before) == found &&
        stands_out(as_before, after, before) && is_no_irregular_light(rhythm, before, after) &&
        (!in_series_of(as_before, before) || grew_from_nothing(rhythm, before, after))) {
      return rhythm;
    }
  }
  return std::nullopt;
}

}  // namespace

void settle_rhythm(FigureChange& change, const Occasion& before, const Occasion& after) {
  if (!change.changed.value_or(false) || !change.change) return;
  const auto was = rhythm_at(before, *change.before.value);
  const auto is = rhythm_at(after, *change.after.value);
  if (!was || !is) return;
  if (was->mains_order && is->mains_order && *was->mains_order == *is->mains_order) {
    change.changed = false;
    change.note = "moved with the mains";
  } else if (has_as_deep(after, *was) && has_as_deep(before, *is)) {
    change.changed = false;
    change.note = "two rhythms of one depth, both there both times";
  }
}

std::optional<OccasionRhythm> new_rhythm(const Occasion& before, const Occasion& after) {
  return first_new(before, after, true);
}

std::optional<OccasionRhythm> perhaps_new(const Occasion& before, const Occasion& after) {
  return first_new(before, after, std::nullopt);
}

std::optional<DeeperRhythm> deeper_rhythm(const Occasion& before, const Occasion& after) {
  constexpr double worth_telling = 1.1;
  constexpr double of_the_strongest = 0.2;
  if (clock_strays(before) || clock_strays(after)) return std::nullopt;
  for (const OccasionRhythm& is : after.rhythms) {
    if (is.percent.value_or(0.0) < of_the_strongest * after.rhythms.front().percent.value_or(0.0))
      continue;
    if (!is_sure(is, after) || !is.percent_sd || !is_no_irregular_light(is, before, after))
      continue;
    const auto was = std::find_if(
        before.rhythms.begin(), before.rhythms.end(),
        [&](const OccasionRhythm& r) { return r.percent && r.percent_sd && same_rhythm(r, is); });
    if (was == before.rhythms.end() || as_deep(*was, is)) continue;
    if (*is.percent > worth_telling * *was->percent) return DeeperRhythm{*was, is};
  }
  return std::nullopt;
}

std::optional<double> moved_percent(const FigureChange& rhythm, const Occasion& before,
                                    const Occasion& after) {
  if (!rhythm.changed.value_or(false) || !rhythm.change) return std::nullopt;
  constexpr double tolerance_percent = 1.0;  // the clock tolerance that predictions allow
  const double allowed = std::max({tolerance_percent, before.clock_spread_percent.value_or(0.0),
                                   after.clock_spread_percent.value_or(0.0)});
  const double moved = 100.0 * std::abs(*rhythm.change) / *rhythm.before.value;
  return moved > allowed ? std::optional(moved) : std::nullopt;
}

std::optional<OccasionRhythm> out_of_sight(const Occasion& seen, const Occasion& other) {
  if (!other.seen_to_hz) return std::nullopt;
  for (const OccasionRhythm& rhythm : seen.rhythms) {
    const bool counts = rhythm.percent.value_or(0.0) >= least_new_percent;
    if (counts && rhythm.hz > *other.seen_to_hz && !in_series_of(rhythm, other)) return rhythm;
  }
  return std::nullopt;
}

}  // namespace lampbeat::reasoning::comparison
