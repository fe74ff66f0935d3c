#include "signal/tones/tone_series.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "arithmetic/lanes.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::signal::tones {
namespace {

void sort_by_strength(std::vector<ToneSeries>& all) {
  for (ToneSeries& series : all) {
    std::stable_sort(series.tones.begin(), series.tones.end(),
                     [](const Tone& a, const Tone& b) { return a.amplitude > b.amplitude; });
  }
  std::stable_sort(all.begin(), all.end(), [](const ToneSeries& a, const ToneSeries& b) {
    return strongest_amplitude(a) > strongest_amplitude(b);
  });
}

}  // namespace

Tone as_tone(const lines::FittedLine& fitted, const lines::TiedLine& tied) {
  Tone tone{fitted.hz,           fitted.amplitude,    fitted.phase_rad, fitted.hz_sd,
            fitted.amplitude_sd, fitted.phase_sd_rad, tied.order};
  if (tied.beside) tone.beside = Beside{tied.beside->fundamental, tied.beside->order};
  return tone;
}

std::vector<ToneSeries> as_series(const lines::LineFit& fit, std::optional<std::size_t> mains) {
  std::vector<ToneSeries> all;
  for (std::size_t f = 0; f < fit.model.fundamental_hz.size(); ++f) {
    ToneSeries own;
    own.kind = mains == f ? SeriesKind::mains_locked : SeriesKind::free_running;
    own.fundamental_hz = fit.model.fundamental_hz[f];
    own.fundamental_hz_sd = fit.fundamental_hz_sd[f];
    own.fundamental = f;
    ToneSeries sidebands = own;
    sidebands.kind = SeriesKind::sideband;
    for (std::size_t i = 0; i < fit.model.lines.size(); ++i) {
      const lines::TiedLine& line = fit.model.lines[i];
      if (line.fundamental != f) continue;
      (line.beside ? sidebands : own).tones.push_back(as_tone(fit.lines[i], line));
    }
    if (!own.tones.empty()) all.push_back(std::move(own));
    if (!sidebands.tones.empty()) all.push_back(std::move(sidebands));
  }
  sort_by_strength(all);
  return all;
}

lines::LineModel model_of(const ToneAnalysis& known) {
  lines::LineModel model;
  std::vector<std::optional<std::size_t>> place;  // in the model, by fundamental
  const auto place_of = [&](std::size_t fundamental) -> std::optional<std::size_t>& {
    if (fundamental >= place.size()) place.resize(fundamental + 1);
    return place[fundamental];
  };
  for (const ToneSeries& series : known.series) {
    if (series.kind == SeriesKind::sideband) continue;
    place_of(series.fundamental) = model.fundamental_hz.size();
    model.fundamental_hz.push_back(series.fundamental_hz);
  }
  std::size_t own = 0;  // series of their own so far
  for (const ToneSeries& series : known.series) {
    if (series.kind != SeriesKind::sideband) {
      for (const Tone& tone : series.tones) model.lines.push_back({own, tone.order});
      ++own;
      continue;
    }
    for (const Tone& tone : series.tones) {
      const auto carrier = place_of(series.fundamental);
      const auto other = tone.beside ? place_of(tone.beside->fundamental) : std::nullopt;
      if (carrier && other) {
        model.lines.push_back({*carrier, tone.order, lines::Tie{*other, tone.beside->order}});
      } else {
        model.lines.push_back({model.fundamental_hz.size(), 1});
        model.fundamental_hz.push_back(tone.hz);
      }
    }
  }
  return model;
}

std::size_t fundamentals_in(const ToneAnalysis& tones) {
  std::size_t count = 0;
  for (const ToneSeries& series : tones.series) count = std::max(count, series.fundamental + 1);
  return count;
}

double strongest_amplitude(const ToneSeries& series) {
  double strongest = 0.0;
  for (const Tone& tone : series.tones) strongest = std::max(strongest, tone.amplitude);
  return strongest;
}

void require_finite(const Window& window) {
  if (arithmetic::all_finite(window.value)) return;
  for (std::size_t i = 0; i < window.size(); ++i) {
    if (!std::isfinite(window.value[i])) {
      throw UsageError("sample " + std::to_string(i) +
                       " of the window is not a finite number; remove it before the analysis");
    }
  }
}

ToneAnalysis mean_alone(const Window& window) {
  ToneAnalysis result;
  for (const double x : window.value) result.mean += x / static_cast<double>(window.size());
  return result;
}

}  // namespace lampbeat::signal::tones
