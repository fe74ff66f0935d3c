#pragma once

#include <optional>
#include <vector>

#include "lampbeat/tones.hpp"
#include "signal/states/epoch.hpp"
#include "signal/windows/window_cutter.hpp"

namespace lampbeat::signal::states {

/// The states of a light as its windows bring them: each window joins the state it shows, or begins
/// one. Those that matter least are forgotten, so that the list stays short.
class LightStates {
 public:
  /// `mains_hz` is the user's word, if given.
  explicit LightStates(std::optional<double> mains_hz) : mains_hz_(mains_hz) {}

  /// A state with rhythms whose tones, refitted, explain a window.
  struct Followed {
    std::size_t state = 0;
    ToneAnalysis tones;
  };
  /// The state that the window shows, if it has been seen before. Reads no state's figures nor its
  /// account: the window before may still be measured.
  std::optional<Followed> followed(const Window& light) const;
  /// The window's tones: `known` where it is `followed`, else searched for anew. `whole` is the
  /// account of the capture up to here: the first state's own until a second one begins.
  ToneAnalysis place(const windows::PlacedWindow& placed, const Window& light,
                     const left_over::LeftOverAccount& whole, std::optional<Followed> known);
  /// What follows may be another light: the account of the first one ends here.
  void close_first(const left_over::LeftOverAccount& whole);

  bool empty() const { return epochs_.empty(); }
  Epoch& current() { return epochs_[current_]; }  ///< the state of the latest window
  int forgotten() const { return forgotten_; }
  double level() const { return empty() ? 0.0 : epochs_[current_].level(); }
  /// In the order seen; the list is not needed here any longer. A capture without a window to
  /// analyse has one empty state.
  std::vector<Epoch> release();

 private:
  std::optional<std::size_t> with_same_rhythms(const ToneAnalysis& found,
                                               const Window& light) const;
  std::optional<std::size_t> still_steady(const ToneAnalysis& found) const;
  std::size_t begin(const ToneAnalysis& found, double start_s,
                    const left_over::LeftOverAccount& whole);
  void join(std::size_t state, const ToneAnalysis& tones, const windows::PlacedWindow& placed,
            const Window& light);
  template <typename Same>
  std::optional<std::size_t> current_or_first(Same same) const;

  std::optional<double> mains_hz_;
  std::vector<Epoch> epochs_;
  std::size_t current_ = 0;
  int forgotten_ = 0;
};

}  // namespace lampbeat::signal::states
