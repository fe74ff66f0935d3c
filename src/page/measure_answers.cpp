#include <fmt/format.h>

#include <optional>
#include <utility>
#include <vector>

#include "files/json.hpp"
#include "lampbeat/capture.hpp"
#include "lampbeat/filming.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/light_profile.hpp"
#include "lampbeat/live.hpp"
#include "lampbeat/meter.hpp"
#include "lampbeat/text.hpp"
#include "page/answers.hpp"
#include "page/figures.hpp"
#include "page/microphone.hpp"
#include "report/plots/plots.hpp"
#include "words/units.hpp"

namespace lampbeat::page {
namespace {

/// Narrow enough for a telephone.
TextStyle page_style() {
  TextStyle style;
  style.width = 44;
  return style;
}

Json figures_of(const Measurement& m) {
  return {figure("percent_flicker", "percent flicker", m.percent_flicker,
                 words::with_uncertainty(m.percent_flicker.value_or(0),
                                         m.percent_flicker_sd.value_or(0), 2, "%")),
          figure("flicker_index", "flicker index", m.flicker_index,
                 words::with_uncertainty(m.flicker_index.value_or(0),
                                         m.flicker_index_sd.value_or(0), 4, "")),
          figure("dominant_hz", "strongest rhythm", m.dominant_hz,
                 words::measured_hertz(m.dominant_hz.value_or(0), m.dominant_hz_sd.value_or(0)))};
}

/// The light of a measurement for the plan, as the profile that `measure --save` writes; empty
/// where nothing is known of its rhythms.
std::string profile_of(const Measurement& m) { return light_profile(light_from(m)); }

Json measured(const Measurement& m) {
  const auto filming = rate_for_filming(m);
  Json answer;
  answer["measurement"] = Json::parse(to_json(m));
  answer["text"] = to_text(m, filming, page_style());
  answer["figures"] = figures_of(m);
  answer["waveform"] = report::plots::waveform_svg(m);
  answer["profile"] = profile_of(m);
  return answer;
}

Json read(const LiveReading& reading) {
  TextStyle style;
  return {{"reading", Json::parse(to_json(reading))},
          {"text", to_text(reading, style, false)},
          {"figures",
           {figure("percent_flicker", "percent flicker", reading.percent_flicker,
                   words::with_uncertainty(reading.percent_flicker.value_or(0),
                                           reading.percent_flicker_sd.value_or(0), 1, "%")),
            figure("dominant_hz", "strongest rhythm", reading.dominant_hz,
                   words::measured_hertz(reading.dominant_hz.value_or(0),
                                         reading.dominant_hz_sd.value_or(0)))}},
          {"cycle", reading.cycle}};
}

/// What a recorder that a page listens to is: a sound card, by floating numbers that its
/// converter's steps do not show in.
CaptureFormat microphone_format(double rate_hz) {
  CaptureFormat format;
  format.name = "the microphone input";
  format.kind = fmt::format("microphone input, {:g} Hz", rate_hz);
  format.evenly_sampled = true;
  format.rate_hz = rate_hz;
  constexpr double sound_card_ppm = 50.0;  // as `CaptureFormat::clock_ppm` has it
  format.clock_ppm = sound_card_ppm;
  format.sound_file = true;
  format.rail_low = -1.0;
  format.rail_high = 1.0;
  return format;
}

/// A recording from memory whose format is a recorder's.
class HeardSource final : public CaptureSource {
 public:
  HeardSource(CaptureFormat format, std::span<const double> value)
      : format_(std::move(format)), value_(value) {}
  const CaptureFormat& format() const override { return format_; }
  const Findings& findings() const override { return findings_; }
  SampleBlock next() override { return {std::exchange(value_, {}), {}}; }

 private:
  CaptureFormat format_;
  std::span<const double> value_;
  Findings findings_;
};

struct Listening {
  explicit Listening(double rate_hz)
      : format(microphone_format(rate_hz)), meter(format, MeasurementSettings{}) {}
  CaptureFormat format;
  LiveMeter meter;
  std::vector<double> heard;
};

std::optional<Listening>& listening() {
  static std::optional<Listening> now;
  return now;
}

}  // namespace

void begin_listening(double rate_hz) { listening().emplace(rate_hz); }

void hear(std::span<const float> samples) {
  if (!listening()) return;
  Listening& now = *listening();
  constexpr double longest_s = 120.0;  // a minute or two is more than any figure here asks for
  const std::vector<double> value(samples.begin(), samples.end());
  now.meter.hear({value, {}});
  if (static_cast<double>(now.heard.size()) < longest_s * *now.format.rate_hz) {
    now.heard.insert(now.heard.end(), value.begin(), value.end());
  }
}

Json opened_answer(const Json& request) {
  const std::string name = text_of(request, "name");
  if (is_light_profile(name)) {
    const Light light = read_light_profile(name);
    return {{"profile", light_profile(light)}, {"name", light.name}};
  }
  CaptureOptions options;
  if (request.contains("rate_hz")) options.rate_hz = request.at("rate_hz").get<double>();
  return measured(measure_twice_if_covered(
      [&](const CaptureOptions& with) { return open_capture(name, with); }, options, {}));
}

Json heard_answer(const Json& request) {
  if (!listening()) return {{"text", ""}};
  Listening& now = *listening();
  if (!request.value("whole", false)) {
    const auto reading = now.meter.reading();
    return reading ? read(*reading) : Json{{"text", ""}};
  }
  HeardSource source(now.format, now.heard);
  return measured(measure(source, {}));
}

}  // namespace lampbeat::page
