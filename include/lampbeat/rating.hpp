#pragma once

#include <optional>
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
  std::vector<FailedCapture> failed;
};

}  // namespace lampbeat
