#pragma once

#include <optional>
#include <vector>

#include "reasoning/judge/judge.hpp"
#include "reasoning/judge/swing.hpp"

namespace lampbeat::reasoning::judge {

/// Bounds of what one scene can show, over whole ranges of exposures and every offset of its
/// clocks, for a few multiplications: every line at the top of the highest lobe of its gain within
/// reach, all of them peaking together, each at its most visible. Where a bound is clean nothing
/// else needs to be asked; where it is not, it says nothing.
class Ceilings {
 public:
  Ceilings(const Scene& scene, const Judge& judge, const std::vector<FrameRate>& rates);

  /// No exposure from `from_s` to `to_s` is more visible at this frame rate.
  double visibility(double from_s, double to_s, std::size_t rate);

  /// About what the worst clock shows at least, at every exposure from `from_s` to `to_s`, of any
  /// one rhythm: good for leaving a search out, not for a claim.
  double shown_anyway(double from_s, double to_s, std::size_t rate);

  /// How much the visibility changes at most from one exposure to another, for each unit of the
  /// logarithm of their ratio. With E the mean of L over an exposure T about a moment c,
  /// dE/d ln T = (L(c − T/2) + L(c + T/2)) / 2 − E: no row gains or loses more than the light
  /// itself stands above or below it.
  double steepest(std::size_t rate);

 private:
  struct Line {
    double amplitude = 0.0;
    double low_hz = 0.0, high_hz = 0.0;
    bool led = false;                ///< never the strongest that is left: see `led_by_another`
    std::vector<double> frame_mean;  ///< greatest gain of it, by frame rate
    std::vector<std::optional<double>> weight;  ///< of its bands, by frame rate
    std::vector<std::optional<double>> pulse_weight;
  };

  /// A line and the most that is left of it.
  struct Left {
    double most = 0.0;
    Line* line = nullptr;
  };

  void expose(double from_s, double to_s);
  double rows_contrast(double from_s, double to_s) const;
  double pulsing_beyond_lines(double from_s, double to_s, std::size_t rate) const;
  Shot shot_at(std::size_t rate) const;
  double band_weight(Line& line, std::size_t rate);
  double pulse_weight(Line& line, std::size_t rate);

  const Judge& judge_;
  std::vector<FrameRate> rates_;
  bool any_waveform_;  ///< whichever line may be the strongest
  std::vector<Line> lines_;
  /// A series anywhere within its clock's reach.
  struct Reach {
    double low_hz = 0.0, high_hz = 0.0;
    const SwingTable* swing;
    std::size_t first_line, last_line;  ///< of `lines_`; the last is not its own any more
    int flashes_told;  ///< of a light known by its frequency alone: its highest order; else 0
    std::vector<std::optional<double>> weight_anyway;  ///< by frame rate
  };
  double weight_anyway(Line& line, std::size_t rate);
  double least_weight_anyway(const Reach& reach, std::size_t rate);

  std::vector<Reach> reaches_;
  // Of the exposures asked about last, which the frame rates share:
  double last_from_s_ = 0.0, last_to_s_ = 0.0;
  double last_contrast_ = 1.0;
  std::vector<Left> last_left_;    ///< by line
  std::vector<Left> last_sorted_;  ///< most first
};

}  // namespace lampbeat::reasoning::judge
