#include "signal/states/light_states.hpp"

#include <algorithm>
#include <utility>

#include "signal/states/least_missed.hpp"
#include "signal/states/one_rhythm.hpp"
#include "signal/tones/rhythm.hpp"
#include "signal/tones/same_light.hpp"

namespace lampbeat::signal::states {

namespace {

/// Four times what the sentence about them tells one by one, so that what is forgotten is what was
/// not told; each window is compared with all.
constexpr std::size_t most_states = 24;

}  // namespace

/// The state of the window before comes first.
template <typename Same>
std::optional<std::size_t> LightStates::current_or_first(Same same) const {
  for (std::size_t i = 0; i < epochs_.size(); ++i) {
    const std::size_t state = i == 0 ? current_ : i <= current_ ? i - 1 : i;
    if (same(epochs_[state])) return state;
  }
  return std::nullopt;
}

ToneAnalysis LightStates::place(const windows::PlacedWindow& placed, const Window& light,
                                const left_over::LeftOverAccount& whole,
                                std::optional<Followed> known) {
  if (known) {
    join(known->state, known->tones, placed, light);
    return known->tones;
  }
  ToneSettings settings;
  settings.mains_hz = mains_hz_;
  const ToneAnalysis found = with_rhythms_made_one(light, analyse_tones(light, settings));
  if (const auto state = with_same_rhythms(found, light)) {
    const ToneAnalysis fit = follow_tones(light, epochs_[*state].first());
    join(*state, fit, placed, light);
    return fit;
  }
  const auto steady = still_steady(found);
  const std::size_t state = steady ? *steady : begin(found, placed.start_s, whole);
  join(state, found, placed, light);
  EpochFigures& figures = epochs_[state].figures;
  if (figures.spectrum.amplitude.empty()) figures.spectrum = spectrum_of(light);
  if (const Tone* strongest = tones::strongest_tone(found)) {
    figures.strongest_doubtful = std::max(figures.strongest_doubtful, strongest->amplitude);
  }
  return found;
}

std::optional<LightStates::Followed> LightStates::followed(const Window& light) const {
  ToneAnalysis fit;
  const auto state = current_or_first([&](const Epoch& epoch) {
    if (epoch.steady()) return false;
    fit = follow_tones(light, epoch.first());
    return as_bright(epoch.so_far(), fit) && explains(epoch.so_far(), fit);
  });
  if (!state) return std::nullopt;
  return Followed{*state, std::move(fit)};
}

/// The state whose fit leaves more than before, its rhythms being as strong as they were.
std::optional<std::size_t> LightStates::with_same_rhythms(const ToneAnalysis& found,
                                                          const Window& light) const {
  return current_or_first([&](const Epoch& epoch) {
    const double window_s = std::min(light.duration_s(), epoch.seconds() / epoch.windows());
    return as_bright(epoch.so_far(), found) &&
           tones::same_light(epoch.first(), found, 1.0 / light.interval_s, window_s);
  });
}

std::optional<std::size_t> LightStates::still_steady(const ToneAnalysis& found) const {
  return current_or_first([&](const Epoch& epoch) {
    return epoch.steady() && stays_steady(epoch.so_far(), found) &&
           as_bright(epoch.so_far(), found);
  });
}

void LightStates::join(std::size_t state, const ToneAnalysis& tones,
                       const windows::PlacedWindow& placed, const Window& light) {
  const bool goes_on = state == current_;
  current_ = state;
  epochs_[state].add(tones, {placed.start_s, placed.start_s + light.duration_s()},
                     static_cast<double>(light.size()), goes_on);
}

void LightStates::close_first(const left_over::LeftOverAccount& whole) {
  if (epochs_.size() == 1 && !epochs_.front().left_over) epochs_.front().left_over = whole;
}

std::vector<Epoch> LightStates::release() {
  if (epochs_.empty()) epochs_.emplace_back(ToneAnalysis{}, 0.0);
  current_ = 0;
  return std::exchange(epochs_, {});
}

std::size_t LightStates::begin(const ToneAnalysis& found, double start_s,
                               const left_over::LeftOverAccount& whole) {
  if (epochs_.size() >= most_states) {
    if (const auto gone = least_missed(epochs_, current_)) {
      epochs_.erase(epochs_.begin() + static_cast<std::ptrdiff_t>(*gone));
      if (current_ > *gone) --current_;
      ++forgotten_;
    }
  }
  close_first(whole);
  epochs_.emplace_back(found, start_s);
  if (epochs_.size() > 1) epochs_.back().left_over.emplace();
  return epochs_.size() - 1;
}

}  // namespace lampbeat::signal::states
