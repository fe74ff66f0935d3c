#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/combine.hpp"
#include "footage/contrasts.hpp"
#include "footage/diagnosis.hpp"
#include "footage/frequencies.hpp"
#include "footage/standing.hpp"
#include "footage/stretch.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/footage.hpp"
#include "lampbeat/visibility.hpp"

namespace lampbeat {

namespace {

using footage::Cells;
using footage::FrameReducer;
using footage::Wave;

// Frames analysed together. Whatever is left at the end joins the last stretch.
constexpr std::size_t stretch_frames = 600;
constexpr std::size_t most_frames = stretch_frames + stretch_frames / 2;
// A clip is faster than this only when somebody mistyped.
constexpr double most_burnt_out = 0.02;
constexpr double restless = 0.03;
// Beyond this relative uncertainty a figure is a guess and is withheld.
constexpr double too_uncertain = 0.25;

struct Watched {
  footage::Combined combined;
  std::vector<float> scene;
  Cells layout;
  std::uint64_t frames = 0;
  double burnt_out = 0.0;
};

/// Reads a clip to its end, stretch by stretch.
Watched watch(ClipSource& clip, const FootageSettings& settings) {
  const ClipFormat& format = clip.format();
  FrameReducer reducer(format, settings.transfer, settings.full_range.value_or(format.full_range));
  Watched watched;
  watched.layout = reducer.stretch();
  Cells cells = reducer.stretch();
  const auto close_stretch = [&](const Cells& part) {
    const footage::StretchEstimate estimate = footage::analyse(part);
    watched.combined.add(estimate);
    if (watched.scene.empty()) watched.scene = estimate.scene;
  };
  while (const auto* luma = clip.next()) {
    reducer.add(*luma, cells);
    ++watched.frames;
    if (cells.frames() < most_frames) continue;
    Cells full = reducer.stretch();
    const auto end =
        cells.value.begin() + static_cast<std::ptrdiff_t>(stretch_frames * cells.frame_size());
    full.value.assign(cells.value.begin(), end);
    cells.value.erase(cells.value.begin(), end);
    close_stretch(full);
  }
  if (watched.frames == 0) {
    throw InputError(fmt::format("{}: holds a header but no frame", format.name));
  }
  close_stretch(cells);
  watched.burnt_out = reducer.burnt_out_share();
  return watched;
}

/// Could a light on the mains stand still at this frame rate? Then silence proves nothing.
bool mains_could_stand(double fps, double duration_s) {
  for (const double hz : {100.0, 120.0}) {
    const double roll = std::abs(hz - fps * std::round(hz / fps));
    if (roll * duration_s < 0.25) return true;
  }
  return false;
}

class Report {
 public:
  Report(ClipSource& clip, ClipSource* reference, const FootageSettings& settings)
      : clip_(clip), reference_(reference), settings_(settings) {}

  FootageResult run() {
    const ClipFormat& format = clip_.format();
    result_.clip = format.name;
    result_.rows = format.height;
    result_.fps = settings_.fps.value_or(format.fps);
    if (!format.still && result_.fps.numerator == 0) {
      throw InputError(fmt::format("{}: its header does not give the frame rate; add it with --fps",
                                   format.name));
    }
    fps_ = format.still ? 0.0 : result_.fps.per_s();
    watched_ = watch(clip_, settings_);
    result_.frames = watched_.frames;
    waves_ = watched_.combined.waves();
    result_.smallest_seen_percent = 100.0 * watched_.combined.smallest_seen();
    withhold_guesses();
    if (waves_.empty() && !withheld_) look_for_standing();
    note_picture_faults();
    if (!waves_.empty()) {
      fill_figures();
      name_the_light();
      if (!settings_.suspects.empty() && fps_ > 0.0) {
        result_.suspects = footage::judge_suspects(waves_, result_, settings_);
      }
    }
    if (result_.band_percent) judge();
    return std::move(result_);
  }

 private:
  void note(const char* code, std::string message) {
    result_.warnings.push_back({code, std::move(message)});
  }

  /// Less than a good part of a cycle may fit anything.
  void withhold_guesses() {
    if (waves_.empty()) return;
    const Wave& first = waves_.front();
    const double amplitude = std::abs(first.strongest().amplitude);
    if (first.strongest().sd <= too_uncertain * amplitude &&
        first.bands_sd <= too_uncertain * std::max(first.bands, 0.5)) {
      return;
    }
    note("clip_too_short",
         fmt::format(
             "Something rolls at about {:.2g} Hz, too slowly for this clip to tell bands from "
             "scene; film {:.0f} s or more.",
             first.roll * fps_, std::ceil(1.0 / std::max(std::abs(first.roll) * fps_, 0.02))));
    withheld_ = true;
    waves_.clear();
  }

  std::optional<footage::RowProfile> standing_profile() {
    if (reference_) {
      const ClipFormat& a = clip_.format();
      const ClipFormat& b = reference_->format();
      if (a.width != b.width || a.height != b.height) {
        throw InputError(
            fmt::format("{}: is {} x {} but the clip is {} x {}; a reference shows the same view "
                        "in the same mode",
                        b.name, b.width, b.height, a.width, a.height));
      }
      const Watched safe = watch(*reference_, settings_);
      return footage::against_reference(watched_.scene, safe.scene, watched_.layout);
    }
    if (clip_.format().still && !settings_.plain_wall) {
      note("still_taken_for_a_wall",
           "One photograph cannot show what moves, so it was taken for an evenly lit plain wall; "
           "anything striped in it counts as bands.");
    }
    if (settings_.plain_wall || clip_.format().still) {
      return footage::wall_profile(watched_.scene, watched_.layout);
    }
    return std::nullopt;
  }

  void look_for_standing() {
    const double duration_s = fps_ > 0.0 ? static_cast<double>(watched_.frames) / fps_ : 0.0;
    if (const auto profile = standing_profile()) {
      const footage::StandingSearch search = footage::find_standing(*profile);
      if (!clip_.format().still) {
        result_.smallest_seen_percent =
            std::max(*result_.smallest_seen_percent, 100.0 * search.smallest_seen);
      } else {
        result_.smallest_seen_percent = 100.0 * search.smallest_seen;
      }
      if (search.wave) {
        waves_ = {*search.wave};
        // The phase would have to move by a tenth of a cycle over the clip to be noticed.
        waves_.front().roll_sd = duration_s > 0.0 ? 0.1 / duration_s / fps_ : 0.0;
        waves_.front().bands_sd = std::hypot(waves_.front().bands_sd, 0.003 * waves_.front().bands);
        for (auto& h : waves_.front().harmonics) {
          h.sd = std::hypot(h.sd, 0.01 * std::abs(h.amplitude));
        }
        return;
      }
      if (search.smallest_seen > 0.0) return nothing_seen(profile->fewest_bands);
    } else if (watched_.frames >= footage::fewest_frames && !mains_could_stand(fps_, duration_s)) {
      return nothing_seen(0.0);
    }
    if (watched_.frames < footage::fewest_frames && !clip_.format().still) {
      note("too_few_frames",
           fmt::format("{} frame{} cannot show what moves; film two seconds or more.",
                       watched_.frames, watched_.frames == 1 ? "" : "s"));
    }
    note(
        "standing_bands_unknown",
        fmt::format("Nothing rolls through the picture{}. Bands that stand still look like part of "
                    "the scene at this frame rate: give --reference CLIP (same view at a safe "
                    "shutter), or --plain-wall if the view is one evenly lit wall.",
                    watched_.frames >= footage::fewest_frames
                        ? fmt::format(" by more than {:.2g} %", *result_.smallest_seen_percent)
                        : std::string()));
  }

  void nothing_seen(double fewest_bands) {
    result_.band_percent = result_.smallest_seen_percent;
    note("no_bands_seen",
         fmt::format(
             "No bands were found; any deeper than {:.2g} % would have been{}.",
             *result_.smallest_seen_percent,
             fewest_bands > 0.0
                 ? fmt::format(", if they number {:g} or more over the picture", fewest_bands)
                 : std::string()));
  }

  void note_picture_faults() {
    if (watched_.burnt_out > most_burnt_out) {
      note("burnt_out",
           fmt::format("{:.0f} % of the picture is burnt out and says nothing about the light; "
                       "expose darker, with the wall at mid-grey.",
                       100.0 * watched_.burnt_out));
    }
    if (watched_.combined.unrest() > restless) {
      note("restless_view",
           fmt::format(
               "The picture changes by {:.1g} % from frame to frame beside the bands: a moving "
               "camera or much movement; a tripod and a plain wall measure better.",
               100.0 * watched_.combined.unrest()));
    }
    const bool dark = std::all_of(watched_.scene.begin(), watched_.scene.end(),
                                  [](float v) { return std::isnan(v); });
    if (dark) {
      note("nothing_to_measure",
           "The picture is black or burnt out nearly everywhere; nothing was measured.");
    }
  }

  bool has_bands() const { return waves_.front().bands > 3.0 * waves_.front().bands_sd; }

  void fill_figures() {
    const Wave& first = waves_.front();
    if (!has_bands()) {
      for (Wave& wave : waves_) wave.roll = std::abs(wave.roll);
      if (!settings_.light_hz) {
        note("roll_direction_unknown",
             "All rows pulse together, as with a global shutter, so which way the pattern would "
             "roll cannot be told; roll_hz is given without its sign.");
      }
    }
    const footage::Harmonic& strongest = first.strongest();
    const double order = strongest.order;
    result_.band_percent = 100.0 * footage::band_contrast(waves_);
    double variance = 0.0;
    for (const Wave& wave : waves_) variance += wave.strongest().sd * wave.strongest().sd;
    result_.band_percent_sd =
        *result_.band_percent * std::sqrt(variance) / std::abs(strongest.amplitude);
    result_.bands_per_frame = order * first.bands;
    result_.bands_per_frame_sd = order * first.bands_sd;
    if (fps_ > 0.0) {
      double roll = order * first.roll;
      roll -= std::floor(roll + 0.5);
      result_.roll_hz = roll * fps_;
      result_.roll_hz_sd = order * first.roll_sd * fps_;
      result_.pulse_percent = 100.0 * footage::pulse_contrast(waves_, fps_);
      if (*result_.pulse_percent > 0.0) {
        double most = 0.0;
        for (const Wave& wave : waves_) {
          for (const footage::Harmonic& h : wave.harmonics) {
            double beat = h.order * wave.roll;
            beat -= std::round(beat);
            if (std::abs(h.frame_amplitude) > most) {
              most = std::abs(h.frame_amplitude);
              result_.pulse_hz = std::abs(beat) * fps_;
            }
          }
        }
      }
    }
    const auto pattern =
        footage::pattern_of(waves_, 1, static_cast<std::size_t>(std::min(result_.rows, 540)),
                            {result_.rows, (result_.rows + 539) / 540});
    result_.row_pattern = pattern.value;
  }

  /// Frequencies and readout follow from each other through bands = frequency · readout.
  void name_the_light() {
    std::optional<double> hz;
    if (fps_ > 0.0 && settings_.light_hz) {
      if (const auto known = footage::wave_of_light(waves_, *settings_.light_hz, fps_)) {
        hz = from_known_light(*known);
      } else {
        unexplained();
      }
    } else if (!(fps_ > 0.0) && settings_.light_hz) {
      hz = settings_.light_hz;
      if (has_bands()) set_readout(waves_.front(), *settings_.light_hz);
    }
    if (fps_ > 0.0 && result_.lights.empty()) {
      result_.lights = footage::light_candidates(waves_.front(), fps_, settings_.readout_s);
      for (const LightCandidate& c : result_.lights) {
        if (c.plausible && !hz && settings_.readout_s) hz = c.hz;
      }
    } else if (!(fps_ > 0.0) && settings_.readout_s && *settings_.readout_s > 0.0) {
      const double coarse = waves_.front().bands / *settings_.readout_s;
      const double sd = coarse * std::hypot(waves_.front().bands_sd / waves_.front().bands, 0.02);
      result_.lights.push_back({coarse, sd, "bands over readout, coarse", true});
    }
    if (settings_.exposure_s && hz && fps_ > 0.0) {
      const auto readout = settings_.readout_s ? settings_.readout_s : result_.readout_s;
      result_.light = footage::recovered_light(waves_, *hz, readout, fps_, *settings_.exposure_s,
                                               watched_.combined.smallest_seen());
      result_.light->name = "light in " + result_.clip;
      result_.light->source = "camera: " + result_.clip;
      for (const Finding& f : result_.light->findings) result_.warnings.push_back(f);
    } else if (settings_.exposure_s && !hz) {
      note("light_frequency_unknown",
           "The light itself was not recovered: that needs its frequency, from --light-hz or, "
           "through the rows, from --readout.");
    }
  }

  void set_readout(const Wave& wave, double hz) {
    result_.readout_s = wave.bands / hz;
    result_.readout_s_sd = wave.bands_sd / hz;
  }

  /// Returns the frequency of the first wave when it is the light's.
  std::optional<double> from_known_light(const footage::KnownWave& known) {
    const Wave& wave = waves_[known.wave];
    const double sd = wave.roll_sd * fps_;
    if (!has_bands()) {
      double alias = known.hz - fps_ * std::floor(known.hz / fps_ + 0.5);
      result_.roll_hz = alias;
      note("no_bands_to_time",
           "All rows pulse together: the shutter is global, or reads too quickly for this light to "
           "time it.");
    } else {
      set_readout(wave, known.hz);
    }
    if (known.upwards && has_bands()) {
      note("read_upwards",
           "The bands roll the other way round: the camera was upside down, or reads its rows from "
           "the bottom up.");
    }
    if (known.order > 1) {
      note("light_is_a_multiple",
           fmt::format("The bands roll as {:.5g} Hz does, {} times the {:g} Hz given.", known.hz,
                       known.order, *settings_.light_hz));
    }
    const auto mains = footage::mains_match(known.hz, sd);
    result_.lights.push_back({known.hz, sd,
                              mains ? fmt::format("{:.5g} Hz, as given: {} times {:g} Hz mains",
                                                  known.hz, mains->order, mains->mains_hz)
                                    : fmt::format("{:.5g} Hz, as given", known.hz),
                              true});
    return known.wave == 0 ? std::optional<double>(known.hz) : std::nullopt;
  }

  void unexplained() {
    const auto others = footage::light_candidates(waves_.front(), fps_, settings_.readout_s);
    std::string which;
    for (std::size_t i = 0; i < std::min<std::size_t>(others.size(), 3); ++i) {
      which += fmt::format("{}{:.5g} Hz", i == 0 ? "" : ", ", others[i].hz);
    }
    const double expected =
        *settings_.light_hz - fps_ * std::floor(*settings_.light_hz / fps_ + 0.5);
    note("light_does_not_explain_roll",
         fmt::format(
             "A light of {:g} Hz would roll at {:+.2f} Hz at this frame rate; the bands roll "
             "at {:+.2f} Hz{}. No readout is given.",
             *settings_.light_hz, expected, *result_.roll_hz,
             which.empty() ? std::string() : ", as would " + which));
  }

  void judge() {
    // Slow motion is watched slowed down, at 30 frames a second unless somebody says otherwise.
    double slowed = fps_ > 60.0 ? 30.0 / fps_ : 1.0;
    if (settings_.viewing.playback_fps && fps_ > 0.0)
      slowed = *settings_.viewing.playback_fps / fps_;
    const double roll = result_.roll_hz.value_or(0.0);
    double seen =
        band_visibility(*result_.band_percent / 100.0, result_.bands_per_frame.value_or(2.0),
                        slowed * roll, settings_.viewing);
    if (result_.pulse_percent && result_.pulse_hz) {
      seen = std::max(seen, pulse_visibility(*result_.pulse_percent / 100.0,
                                             slowed * *result_.pulse_hz, settings_.viewing));
    }
    result_.visibility = seen;
    result_.verdict = verdict_of(seen);
  }

  ClipSource& clip_;
  ClipSource* reference_;
  const FootageSettings& settings_;
  FootageResult result_;
  Watched watched_;
  std::vector<Wave> waves_;
  double fps_ = 0.0;
  bool withheld_ = false;
};

void require_sensible(const FootageSettings& s) {
  const auto within = [](std::optional<double> v, double low, double high) {
    return !v || (*v >= low && *v <= high);
  };
  if (!within(s.light_hz, 10.0, 100000.0)) {
    throw UsageError("a light's rhythm lies between 10 and 100000 Hz");
  }
  if (!within(s.readout_s, 0.0, 1.0)) throw UsageError("a readout lies between 0 and 1 s");
  if (!within(s.exposure_s, 1e-7, 1.0)) throw UsageError("an exposure lies between 0.1 µs and 1 s");
}

}  // namespace

FootageResult measure_footage(ClipSource& clip, ClipSource* reference,
                              const FootageSettings& settings) {
  require_sensible(settings);
  return Report(clip, reference, settings).run();
}

}  // namespace lampbeat
