#include "footage/waves/still_bands.hpp"

#include <algorithm>
#include <cmath>

#include "footage/rows/step_fit.hpp"
#include "footage/waves/still_spread.hpp"

namespace lampbeat::footage {

namespace {

// Bands are looked at with so many blocks of rows to each.
constexpr double blocks_per_band = 12.0;
constexpr std::size_t fewest_blocks = 24;
constexpr double narrowest_band_rows = 6.0;
// One in e^14 random scenes fits so well at one number of bands, and some hundred are tried.
constexpr double surprising = 14.0;
constexpr double coverage = 3.0;
constexpr double second_costs = 2.0;
constexpr std::size_t most_candidates = 12;
constexpr int highest_order = 4;
// Strips in which at least half the pattern must show.
constexpr double most_strips = 0.75;
// Told from painted stripes: little else in the picture, soft edges, few of them.
constexpr double little_else = 0.1;
constexpr double leading = 0.35;
constexpr double soft_edges = 0.35;
constexpr double few_bands = 10.0;
// Scenes of known content: their steps are not quite as white as the fit takes them for.
constexpr double lean = 1.4;
constexpr double beyond_saying = 0.9;

class StillSearch {
 public:
  StillSearch(const std::vector<float>& scene, const Cells& layout)
      : scene_(scene), layout_(layout) {}

  StillBands run() {
    StillBands found;
    const double hidden = survey();
    if (hidden == 0.0) return found;
    const double contrast = std::tanh(hidden);
    found.smallest_seen = contrast < beyond_saying ? contrast : 0.0;
    const StepFit best = best_candidate();
    if (best.surprise > surprising) take(best, found);
    return found;
  }

 private:
  static double step_at(double bands) { return bands < 3.0 ? 0.05 : bands < 20.0 ? 0.1 : 0.2; }

  /// Fits at every number of bands; returns half the log swing that may hide, 0 when nothing can
  /// be said.
  double survey() {
    const double most = static_cast<double>(layout_.rows) / narrowest_band_rows;
    double hidden = 0.0;
    for (double bands = fewest_in_still - 0.3; bands < most; bands += step_at(bands)) {
      const StepFit fit = at(bands, {1});
      if (fit.freedom < 8.0) return 0.0;
      if (bands >= fewest_in_still) hidden = std::max(hidden, could_hide(fit));
      consider(fit);
      // Rectified mains has a second harmonic that one wave alone would leave for scene.
      if (bands < few_bands) consider(at(bands, {1, 2}));
    }
    return hidden;
  }

  void consider(StepFit fit) {
    fit.surprise -= second_costs * static_cast<double>(fit.orders.size() - 1);
    if (fit.surprise > 0.4 * surprising) candidates_.push_back(std::move(fit));
  }

  /// The best after each promising one, and its neighbours with it, has found its own bands.
  StepFit best_candidate() {
    std::sort(candidates_.begin(), candidates_.end(),
              [](const StepFit& a, const StepFit& b) { return a.surprise > b.surprise; });
    StepFit best;
    std::vector<double> tried;
    for (const StepFit& c : candidates_) {
      const bool known = std::any_of(tried.begin(), tried.end(),
                                     [&](double b) { return std::abs(b - c.bands) < 0.15; });
      if (known || tried.size() >= most_candidates) continue;
      tried.push_back(c.bands);
      steps_for(c.bands);
      StepFit fit = improved(at(c.bands, c.orders));
      if (fit.bands > fewest_in_still && fit.surprise > best.surprise) best = std::move(fit);
    }
    return best;
  }

  const BlockSteps& steps_for(double bands) {
    auto blocks =
        std::max(fewest_blocks, static_cast<std::size_t>(std::ceil(blocks_per_band * bands)));
    blocks = std::min((blocks + 11) / 12 * 12, layout_.rows);
    if (steps_.blocks != blocks) steps_ = block_steps(scene_, layout_, blocks);
    return steps_;
  }

  StepFit at(double bands, const std::vector<int>& orders) {
    return fit_steps(steps_for(bands), bands, orders);
  }

  /// Half the log swing of bands that a scene may hide: what they seem to be and what the scene
  /// adds, and what it takes to surprise.
  static double could_hide(const StepFit& fit) {
    const double needed = std::sqrt(fit.freedom * std::expm1(2.0 * surprising / fit.freedom)) + 2.0;
    return std::max(fit.log_swing + coverage * fit.log_swing_sd, needed * fit.log_swing_sd);
  }

  StepFit improved(StepFit fit) {
    for (double step = 0.05; step > 2e-4; step *= 0.5) {
      for (const double side : {-1.0, 1.0}) {
        StepFit tried = fit_steps(steps_, fit.bands + side * step, fit.orders);
        if (tried.left_share < fit.left_share) fit = std::move(tried);
      }
    }
    return fit;
  }

  StepFit with_harmonics(const StepFit& fit) {
    std::vector<int> all{1};
    for (int order = 2; order <= highest_order; ++order) {
      if (order * fit.bands * 3.0 < static_cast<double>(steps_.blocks)) all.push_back(order);
    }
    const StepFit rich = fit_steps(steps_, fit.bands, all);
    if (rich.freedom < 8.0) return fit;
    std::vector<int> kept{1};
    for (std::size_t k = 1; k < all.size(); ++k) {
      if (std::abs(rich.amplitude[k]) > 4.0 * rich.amplitude_sd[k]) kept.push_back(all[k]);
    }
    return improved(fit_steps(steps_, fit.bands, kept));
  }

  void take(const StepFit& coarse, StillBands& found) {
    steps_for(coarse.bands);
    const StepFit fit = with_harmonics(improved(at(coarse.bands, coarse.orders)));
    int usable = 0;
    int alike = 0;
    for (std::size_t s = 0; s < steps_.strips; ++s) {
      const double share = share_in_strip(steps_, fit, s);
      if (std::isnan(share)) continue;
      ++usable;
      alike += share > 0.5 && share < 1.5 ? 1 : 0;
    }
    if (fit.bands < fewest_in_still || alike < most_strips * usable) return;
    double edges = 0.0;
    for (std::size_t k = 1; k < fit.orders.size(); ++k) edges += std::abs(fit.amplitude[k]);
    const bool soft = edges < soft_edges * std::abs(fit.amplitude.front());
    found.like_light = usable >= 3 && fit.left_share < little_else && fit.bands < few_bands && soft;
    found.leads = fit.left_share < leading && fit.bands < few_bands && soft;
    Wave wave;
    wave.bands = fit.bands;
    const StillSpread spread = spread_of(steps_, fit);
    wave.bands_sd = std::max(lean * fit.bands_sd, spread.bands);
    for (std::size_t k = 0; k < fit.orders.size(); ++k) {
      const double sd =
          std::max(lean * fit.amplitude_sd[k], spread.share * std::abs(fit.amplitude[k]));
      wave.harmonics.push_back({fit.orders[k], fit.amplitude[k], sd, {}});
    }
    found.wave = std::move(wave);
  }

  const std::vector<float>& scene_;
  const Cells& layout_;
  BlockSteps steps_;
  std::vector<StepFit> candidates_;
};

}  // namespace

StillBands bands_in_still(const std::vector<float>& scene, const Cells& layout) {
  return StillSearch(scene, layout).run();
}

}  // namespace lampbeat::footage
