#include "footage/stretches/error_floors.hpp"

#include <algorithm>
#include <cmath>

#include "footage/stretches/divided.hpp"

namespace lampbeat::footage::stretches {

namespace {

// Figures "measured" are root mean squares that bench_footage_floors prints, of eight-bit clips
// with 1 % noise, half of the rows textured; its clips hold nobody and a steady exposure, so that
// where people and exposure automatics matter the floors lie above what it measures.

// Share of the figure that code values and block coding take or give where noise does not decide:
// measured 0.3 % up to coding in steps of 8 codes, 1.1 % in steps of 16, where the rows' own
// unexplained rest widens it too.
constexpr double amplitude_floor = 0.007;
// Measured 0.0001 to 0.0004 of the bands under the same, and 0.001 to 0.002 below one and a bit.
constexpr double bands_floor = 0.0015;
constexpr double least_bands = 0.5;  // of which that share is taken
// Turns over the stretch: measured 0.0001 to 0.0006.
constexpr double roll_floor = 0.002;
// Of a code step. Rounding without dither moves the amplitude of a cosine by 0.12 of a step where
// it spans half a step to one, by 0.08 to three and less beyond; only where it spans less than half
// a step, and hardly shows, by more (0.24).
constexpr double rounding_left = 0.15;
// Share of what the rows do beside the waves that ends up in their amplitudes.
constexpr double unexplained_left = 0.25;

constexpr double bands_of_two_edges = 2.0;
constexpr double very_few_bands = 0.5 * enough_bands;
// Slow changes of the light on the scene, told from so few bands by their turns alone.
constexpr double slow_changes = 0.045;
// Keep quotients finite; below both, nothing is told anyway.
constexpr double least_turns = 0.05;
constexpr double least_wave = 1e-6;

/// By how much more than floors a figure leans on what cannot be known. Little more than a turn
/// leans on less evidence; few bands that go round few times are told badly from slow changes of
/// the light on the scene, and very few from their own harmonics.
double lean_of(double bands, double turns) {
  const bool few = bands < enough_bands;
  double lean = std::max(1.0, 2.25 / (turns * turns));
  if (bands < bands_of_two_edges) lean += (few ? 6.0 : 1.0) / turns;
  if (few) lean += bands < very_few_bands ? 5.0 : 1.0;
  return lean;
}

}  // namespace

double least_bands_sd(double bands) { return bands_floor * std::max(bands, least_bands); }

double least_amplitude_sd(double amplitude) { return amplitude_floor * amplitude; }

waves::Wave with_floors(waves::Wave wave, const StretchEstimate& stretch) {
  const auto frames = static_cast<double>(stretch.frames);
  const double amplitude = std::max(std::abs(wave.strongest().amplitude), least_wave);
  const double turns = std::max(std::abs(wave.roll) * frames, least_turns);
  const bool few = wave.bands < enough_bands;
  const Moves moves = few ? of_few_bands : of_many_bands;
  const double lean = lean_of(wave.bands, turns);
  const double slow = few ? slow_changes / (turns * turns) : 0.0;
  const double rounding = rounding_left * stretch.rounding;
  const double moved = stretch.unexplained / amplitude;
  wave.bands_sd = std::hypot(std::hypot(wave.bands_sd, slow, moves.bands * moved),
                             least_bands_sd(wave.bands) * lean, rounding / amplitude);
  wave.roll_sd = std::hypot(wave.roll_sd, roll_floor * lean / frames, moves.turns * moved / frames);
  for (waves::Harmonic& h : wave.harmonics) {
    h.sd = std::hypot(std::hypot(h.sd, least_amplitude_sd(std::abs(h.amplitude)) * lean), rounding,
                      unexplained_left * stretch.unexplained);
  }
  return wave;
}

}  // namespace lampbeat::footage::stretches
