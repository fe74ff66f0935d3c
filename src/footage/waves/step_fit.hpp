#pragma once

#include <Eigen/Dense>
#include <complex>
#include <optional>
#include <vector>

#include "footage/rows/block_steps.hpp"

namespace lampbeat::footage::waves {

/// Bands fitted to steps of log brightness: log(1 + Σ Re{a_k · exp(2πi · k · bands · place)}) and a
/// soft shading (a slope and a vignette).
struct StepFit {
  double bands = 0.0;
  std::vector<int> orders;
  std::vector<std::complex<double>> amplitude;
  std::vector<double> amplitude_sd;
  double bands_sd = 0.0;
  /// −ln of the probability that steps of a random scene fit so well at this number of bands.
  double surprise = 0.0;
  double left_share = 1.0;    ///< of what shading leaves, the part the bands leave too
  double log_swing = 0.0;     ///< half of max − min of the fitted log pattern
  double log_swing_sd = 0.0;  ///< what the scene does to that
  double freedom = 0.0;       ///< steps beyond the parameters
  double inflation = 1.0;     ///< steps that resemble their neighbours: so many count as one
  Eigen::VectorXd pattern;    ///< steps of the fitted bands alone

  /// There were steps enough to fit.
  bool fitted() const { return freedom >= fewest_free_steps; }
  static constexpr double fewest_free_steps = 8.0;
};

/// Best amplitudes of these orders at so many bands.
StepFit fit_steps(const rows::BlockSteps& steps, double bands, const std::vector<int>& orders);

/// How much of a fit's pattern one strip shows: 1 when it does as all do; empty when it cannot
/// tell.
std::optional<double> share_in_strip(const rows::BlockSteps& steps, const StepFit& fit,
                                     std::size_t strip);

}  // namespace lampbeat::footage::waves
