#pragma once

#include <cstdint>
#include <functional>
#include <vector>

// What a camera records, by plain numeric integration of the light over every row's exposure: no
// closed form, nothing from the library. Slow, simple and independent, to hold predictions against.

namespace brute_force {

/// Light over time, relative to anything.
using Waveform = std::function<double(double t_s)>;

struct Camera {
  double fps = 25.0;
  double exposure_s = 0.02;
  double readout_s = 0.0;
  int rows = 1080;
};

/// Mean of the light from `start_s` over `exposure_s`: Gauss-Legendre, five points in each of
/// `pieces` pieces. Each piece should be a small part of the fastest cycle.
double mean_light(const Waveform& light, double start_s, double exposure_s, int pieces);

/// The rows of the frame that starts at `start_s`.
std::vector<double> frame(const Waveform& light, const Camera& camera, double start_s, int pieces);

double mean(const std::vector<double>& values);

/// (max − min)/(max + min)
double michelson(const std::vector<double>& values);

/// Greatest Michelson contrast within a frame over the given starts.
double worst_banding(const Waveform& light, const Camera& camera,
                     const std::vector<double>& starts_s, int pieces);

/// Greatest Michelson contrast of the frame means of a clip of `frames` frames over the starts.
double worst_pulsing(const Waveform& light, const Camera& camera,
                     const std::vector<double>& starts_s, int frames, int pieces);

/// `count` starts spread evenly over `span_s`.
std::vector<double> starts_over(double span_s, int count);

}  // namespace brute_force
