#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "lampbeat/filming.hpp"
#include "lampbeat/measurement.hpp"

namespace lampbeat {

/// One fixture of the shelf, judged at the worst of its captures.
struct FixtureRating {
  std::string fixture;
  std::string capture;  ///< the capture that decided (the worst level)
  std::string level;    ///< its dimmer level as named in the shelf file, may be empty
  std::string notes;
  int captures = 1;  ///< how many were measured
  /// Its recording lost the mean: percent flicker and flicker index are not known, and filming is
  /// judged at the deepest that the light can be.
  bool depth_assumed = false;
  std::optional<double> percent_flicker;
  std::optional<double> flicker_index;
  std::optional<double> dominant_hz;
  std::optional<double> svm;
  std::optional<Ieee1789> ieee;
  FilmingRating filming;
  std::vector<StandardVerdict> standards;
  Findings warnings;
  int rank = 0;  ///< 1 is best; equal ratings share a rank
};

struct FailedCapture {
  std::string fixture;
  std::string capture;
  std::string reason;
};

struct ShelfRating {
  std::vector<FixtureRating> fixtures;  ///< best first
  std::vector<FailedCapture> failed;    ///< in the order given
  Findings findings;                    ///< what the whole rating left out or assumed
  std::vector<FrameRate> rates;         ///< all were judged at, slowest first
};

/// How fit is the light of one capture? `fixture`, `level` and `notes` are left empty, rank 0.
/// Throws InputError when the capture gives no percent flicker (it has no mean to relate to):
/// such a light cannot be compared with others. `rates`: as for `rate_for_filming`.
FixtureRating rate_capture(const Measurement& measurement, std::optional<double> readout_s,
                           const PredictionOptions& options, std::span<const FrameRate> rates = {});

/// How fit is a light that was saved, by `measure` or `footage` or by hand? By the figures its
/// measurement found where the profile holds them; else by its rhythms alone: percent flicker is
/// that of its strongest rhythm, and the flicker index is left out. Throws InputError for a light
/// nothing was found of while much could hide in the noise.
FixtureRating rate_light(const Light& light, std::optional<double> readout_s,
                         const PredictionOptions& options, std::span<const FrameRate> rates = {});

/// What a rating at these rates (none: the usual ones) for a camera of this readout leaves out or
/// assumes: `rates_left_out`, usual frame rates at which it cannot record; `readout_assumed`.
Findings doubts_of_camera(std::optional<double> readout_s, std::span<const FrameRate> rates = {});

/// What holds for several fixtures of a rating together: `moved_mains`, which of them were measured
/// on another mains than they are rated for.
Findings doubts_of_fixtures(const std::vector<FixtureRating>& fixtures);

/// The order of fitness for filming: negative when `a` is the better, positive when `b` is, 0 when
/// they are equal. Decided by, in this order: filming class; clean stops (more are better); the
/// shortest clean exposure (shorter is better, none is worst); the highest clean frame rate;
/// percent flicker; flicker index. Names play no part.
int compare_ratings(const FixtureRating& a, const FixtureRating& b);

/// One entry per fixture name, the worst of its captures, best first with ranks. Equal ratings
/// share a rank and stand in the order of their names; the rank after them counts them all. The
/// result does not depend on the order given.
std::vector<FixtureRating> rank_fixtures(std::vector<FixtureRating> captures);

}  // namespace lampbeat
